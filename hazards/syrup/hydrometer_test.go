package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 36 Be at 60 F on the trade's stem is 66.9 Brix: the pair the stem is defined by.
func TestTradePairAt60F(t *testing.T) {
	solids, err := Hydrometer{}.TrueSolids(ScaleBaume, 36, Fahrenheit(60).Celsius())
	require.NoError(t, err)
	assert.InDelta(t, 66.9, float64(solids.Percent), 0.1)
	assert.Equal(t, ColdUncertainty, solids.Uncertainty)
}

func TestUncertaintyBorder(t *testing.T) {
	for _, c := range []struct {
		t    Celsius
		want Brix
	}{{20, 0.3}, {40, 0.3}, {40.001, 0.5}, {104, 0.5}} {
		solids, err := Hydrometer{}.TrueSolids(ScaleBaume, 36, c.t)
		require.NoError(t, err)
		assert.Equal(t, c.want, solids.Uncertainty, "%v C", c.t)
	}
}

func TestZeroValueIsTheTradeStem(t *testing.T) {
	named := Hydrometer{Stem: Stem60F, Modulus: 145}
	for _, reading := range []float64{5, 20, 35.5} {
		a, err := Hydrometer{}.TrueSolids(ScaleBaume, reading, 100)
		require.NoError(t, err)
		b, err := named.TrueSolids(ScaleBaume, reading, 100)
		require.NoError(t, err)
		assert.Equal(t, b, a)
	}
}

// Brix scales of the 60F and the 60/60 stem are the same thing: true at 60 F.
func TestBrixScaleOfThe60Stems(t *testing.T) {
	a, err := Hydrometer{Stem: Stem60F}.Reading(ScaleBrix, 74, 105)
	require.NoError(t, err)
	b, err := Hydrometer{Stem: Stem6060}.Reading(ScaleBrix, 74, 105)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

func TestOldModulus(t *testing.T) {
	new145, err := Hydrometer{}.Reading(ScaleBaume, 74, 20)
	require.NoError(t, err)
	old, err := Hydrometer{Modulus: 144.3}.Reading(ScaleBaume, 74, 20)
	require.NoError(t, err)
	assert.InDelta(t, new145*144.3/145, old, 1e-9, "Be is proportional to the modulus")
}

func TestReadingAndTrueSolidsAreInverse(t *testing.T) {
	for _, stem := range Stems {
		h := Hydrometer{Stem: stem}
		for _, scale := range []Scale{ScaleBaume, ScaleBrix} {
			for c := Celsius(0); c <= 110; c += 5 {
				checkRoundTrips(t, h, scale, c)
			}
		}
	}
}

// checkRoundTrips walks all solids at one temperature: the reading rises, and comes back as the same solids.
func checkRoundTrips(t *testing.T, h Hydrometer, scale Scale, c Celsius) {
	t.Helper()
	last := math.Inf(-1)
	for w := Brix(0); w <= MaxSolids; w += 0.5 {
		reading, err := h.Reading(scale, w, c)
		if err != nil {
			assertRange(t, err, WhatSolids)
			continue
		}
		require.Greater(t, reading, last, "%v %s %v %% at %v C", h, scale, w, c)
		last = reading
		back, err := h.TrueSolids(scale, reading, c)
		require.NoError(t, err)
		require.InDelta(t, float64(w), float64(back.Percent), 1e-6, "%v %s at %v C", h, scale, c)
	}
	require.Greater(t, last, 0.0)
}

func TestHotterMeansMoreSolidsForTheSameReading(t *testing.T) {
	for _, stem := range Stems {
		last := Brix(0)
		for c := Celsius(0); c <= 110; c++ {
			solids, err := Hydrometer{Stem: stem}.TrueSolids(ScaleBaume, 33.5, c)
			require.NoError(t, err)
			require.Greater(t, solids.Percent, last, "%s at %v C", stem, c)
			last = solids.Percent
		}
	}
}

func TestTrueSolidsRefuses(t *testing.T) {
	for _, c := range []struct {
		name    string
		h       Hydrometer
		scale   Scale
		reading float64
		t       Celsius
		what    string
	}{
		{"a reading below the scale", Hydrometer{}, ScaleBaume, -0.1, 20, WhatReading},
		{"a Baume past the scale", Hydrometer{}, ScaleBaume, 50.1, 20, WhatReading},
		{"a Brix past the scale", Hydrometer{}, ScaleBrix, 85.1, 20, WhatReading},
		{"a reading that means more than 85 percent", Hydrometer{}, ScaleBaume, 45.5, 100, WhatReading},
		{"the same on a laboratory stem", Hydrometer{Stem: Stem68F}, ScaleBaume, 49, 20, WhatReading},
		{"a reading past the end of the model", Hydrometer{}, ScaleBaume, 50, 20, WhatReading},
		{"a reading that means less than water", Hydrometer{Stem: Stem68F}, ScaleBrix, 0, 4, WhatReading},
		{"NaN", Hydrometer{}, ScaleBaume, math.NaN(), 20, WhatReading},
		{"Inf", Hydrometer{}, ScaleBaume, math.Inf(1), 20, WhatReading},
		{"too hot", Hydrometer{}, ScaleBaume, 35, 110.1, WhatTemperature},
		{"too cold", Hydrometer{}, ScaleBaume, 35, -0.1, WhatTemperature},
		{"temperature NaN", Hydrometer{}, ScaleBaume, 35, Celsius(math.NaN()), WhatTemperature},
		{"an impossible modulus", Hydrometer{Modulus: 100}, ScaleBaume, 35, 20, WhatModulus},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.h.TrueSolids(c.scale, c.reading, c.t)
			assertRange(t, err, c.what)
		})
	}
	t.Run("an unknown stem", func(t *testing.T) {
		_, err := Hydrometer{Stem: "70F"}.TrueSolids(ScaleBaume, 35, 20)
		assert.ErrorContains(t, err, "60F, 68F or 60/60")
	})
	t.Run("an unknown scale", func(t *testing.T) {
		_, err := Hydrometer{}.TrueSolids("Plato", 35, 20)
		assert.ErrorContains(t, err, "Be or Bx")
	})
}

// The range in the error is the range that works: its ends are accepted, a little past them is refused.
func TestRefusalNamesTheWorkingRange(t *testing.T) {
	for _, stem := range Stems {
		h := Hydrometer{Stem: stem}
		_, err := h.TrueSolids(ScaleBaume, 50, 100)
		var outside RangeError
		require.ErrorAs(t, err, &outside)
		_, err = h.TrueSolids(ScaleBaume, outside.Max, 100)
		assert.NoError(t, err, stem)
		_, err = h.TrueSolids(ScaleBaume, outside.Max+0.001, 100)
		assert.Error(t, err, stem)
		_, err = h.Reading(ScaleBaume, 0, 100)
		require.ErrorAs(t, err, &outside)
		_, err = h.Reading(ScaleBaume, Brix(outside.Min)+0.001, 100)
		assert.NoError(t, err, stem)
		_, err = h.Reading(ScaleBaume, Brix(outside.Min)-0.001, 100)
		assert.Error(t, err, stem)
	}
}

func TestParseStem(t *testing.T) {
	for text, want := range map[string]Stem{"60F": Stem60F, "68f": Stem68F, " 60/60 ": Stem6060, "60 F": Stem60F} {
		got, err := ParseStem(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	_, err := ParseStem("15C")
	assert.ErrorContains(t, err, "60F, 68F or 60/60")
}

func BenchmarkTrueSolidsHot(b *testing.B) {
	h, hot := Hydrometer{}, Fahrenheit(220).Celsius()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := h.TrueSolids(ScaleBaume, 33.5, hot); err != nil {
			b.Fatal(err)
		}
	}
}
