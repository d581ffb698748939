package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	ref180 = Fahrenheit(180).Celsius()
	z23    = FahrenheitDelta(23).Celsius()
)

// A straight ramp has an exact integral: t z / (ln 10 (T2 - T1)) (L2 - L1). Finer steps come nearer to it from above.
func TestLethalityOfARamp(t *testing.T) {
	exact := 30 * float64(z23) / (math.Ln10 * (65 - 85)) * (lethalRate(65, ref180, z23) - lethalRate(85, ref180, z23))
	assert.InDelta(t, 13.358, exact, 0.0005)
	last := math.Inf(1)
	for _, step := range []float64{5, 3, 2, 1, 0.5, 0.1} {
		var record []Moment
		for i := range int(math.Round(30/step)) + 1 {
			m := float64(i) * step
			record = append(record, Moment{m, Celsius(85 - 20*m/30)})
		}
		got, err := Lethality(record, ref180, z23)
		require.NoError(t, err)
		assert.Greater(t, got, exact)
		assert.Less(t, got, last)
		last = got
	}
	assert.InDelta(t, exact, last, 0.001)
}

func TestLethalityAtTheReferenceIsTime(t *testing.T) {
	got, err := Lethality([]Moment{{10, ref180}, {12.5, ref180}, {17.5, ref180}}, ref180, z23)
	require.NoError(t, err)
	assert.InDelta(t, 7.5, got, 1e-9)
}

func TestHotterIsMore(t *testing.T) {
	last := 0.0
	for c := Celsius(-20); c <= 150; c++ {
		rate, err := LethalRate(c, ref180, z23)
		require.NoError(t, err)
		require.Greater(t, rate, last)
		last = rate
	}
}

func TestLethalitySteps(t *testing.T) {
	for _, c := range []struct {
		name   string
		record []Moment
		row    int
	}{
		{"five minutes", []Moment{{0, 85}, {5, 80}}, 0},
		{"more", []Moment{{0, 85}, {5.01, 80}}, 2},
		{"the same time twice", []Moment{{0, 85}, {2, 80}, {2, 79}}, 3},
		{"back in time", []Moment{{0, 85}, {2, 80}, {1, 79}}, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Lethality(c.record, ref180, z23)
			if c.row == 0 {
				assert.NoError(t, err)
				return
			}
			var step StepError
			require.ErrorAs(t, err, &step)
			assert.Equal(t, c.row, step.Row)
			assert.Contains(t, err.Error(), "expected")
		})
	}
}

func TestStepErrorSaysWhatIsExpected(t *testing.T) {
	assert.Equal(t, "reading 3 at 2 min: expected a time after 2 min", StepError{Row: 3, Before: 2, At: 2}.Error())
	assert.Equal(t, "reading 2 at 6 min: expected at most 5 min after the reading at 0 min", StepError{Row: 2, Before: 0, At: 6}.Error())
}

func TestLethalityLimits(t *testing.T) {
	nan := math.NaN()
	two := func(m float64, c Celsius) []Moment { return []Moment{{0, 80}, {m, c}} }
	for _, c := range []struct {
		name   string
		record []Moment
		ref    Celsius
		z      CelsiusDelta
		what   string
	}{
		{"hottest", two(1, 150), ref180, z23, ""},
		{"hotter", two(1, 150.1), ref180, z23, WhatTemperature},
		{"coldest", two(1, -20), ref180, z23, ""},
		{"colder", two(1, -20.1), ref180, z23, WhatTemperature},
		{"temperature NaN", two(1, Celsius(nan)), ref180, z23, WhatTemperature},
		{"minutes NaN", two(nan, 80), ref180, z23, WhatMinutes},
		{"minutes Inf", two(math.Inf(1), 80), ref180, z23, WhatMinutes},
		{"one reading", two(1, 80)[:1], ref180, z23, WhatReadings},
		{"none", nil, ref180, z23, WhatReadings},
		{"smallest z", two(1, 80), ref180, 1, ""},
		{"smaller z", two(1, 80), ref180, 0.99, WhatSlope},
		{"largest z", two(1, 80), ref180, 50, ""},
		{"larger z", two(1, 80), ref180, 50.1, WhatSlope},
		{"z NaN", two(1, 80), ref180, CelsiusDelta(nan), WhatSlope},
		{"reference too hot", two(1, 80), 150.1, z23, WhatReference},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Lethality(c.record, c.ref, c.z)
			assertRange(t, err, c.what)
		})
	}
}

func TestLogKill(t *testing.T) {
	kill, err := LogKill(4.4, 2.2)
	require.NoError(t, err)
	assert.InDelta(t, 2, kill, 1e-12)
	_, err = LogKill(-1, 2.2)
	assertRange(t, err, WhatMinutes)
	_, err = LogKill(1, 0)
	assertRange(t, err, WhatDecimal)
	_, err = LogKill(1, 0.001)
	assert.NoError(t, err)
	_, err = LogKill(1, 1000.1)
	assertRange(t, err, WhatDecimal)
}
