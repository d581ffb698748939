package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Glover's fit of boiling water against height: y = 4.299969165e-8 x^2 - 0.0035531324 x + 100.0049216.
// A quadratic over 4 km is up to 0.25 C low about 2500 m: there the standard atmosphere is 74.7 kPa, at which steam
// tables (from memory: 91.76 C at 75 kPa) agree with the model.
func TestBoilingWaterAgainstGlover(t *testing.T) {
	for h := MinAltitude; h <= MaxAltitude; h += 50 {
		p, err := PressureAtAltitude(h)
		require.NoError(t, err)
		got, err := WaterBoiling(p)
		require.NoError(t, err)
		x := float64(h)
		assert.InDelta(t, 4.299969165e-8*x*x-0.0035531324*x+100.0049216, float64(got), 0.26, "%v m", h)
	}
}

func TestMoreOfAnythingDissolvedLowersActivityAndRaisesTheBoil(t *testing.T) {
	steps := []func(c Composition) Composition{
		func(c Composition) Composition { c.Solids += 0.5; return c },
		func(c Composition) Composition { c.Inverted += 0.05; return c },
		func(c Composition) Composition { c.Ash += 0.002; return c },
	}
	for w := Brix(5); w < 84; w += 2.5 {
		for _, inverted := range []Fraction{0, 0.3, 0.9} {
			here := Composition{Solids: w, Inverted: inverted, Ash: 0.01}
			for _, step := range steps {
				more := step(here)
				a, err := ActivityOf(here, 25)
				require.NoError(t, err)
				b, err := ActivityOf(more, 25)
				require.NoError(t, err)
				require.Less(t, b, a, "%v to %v", here, more)
				low, err := SyrupBoiling(here, StandardPressure)
				require.NoError(t, err)
				high, err := SyrupBoiling(more, StandardPressure)
				require.NoError(t, err)
				require.Greater(t, high.Rise, low.Rise, "%v to %v", here, more)
			}
		}
	}
}

func TestWaterItself(t *testing.T) {
	b, err := SyrupBoiling(Composition{}, StandardPressure)
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(b.Rise), 1e-9)
	aw, err := ActivityOf(Composition{}, 25)
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(aw), 1e-12)
	p, err := PressureAtAltitude(0)
	require.NoError(t, err)
	assert.Equal(t, StandardPressure, p)
}

func TestBoilingLimits(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		mix  Composition
		p    Kilopascals
		what string
	}{
		{"lowest pressure", Composition{Solids: 74}, 65, ""},
		{"below", Composition{Solids: 74}, 64.99, WhatPressure},
		{"highest pressure", Composition{Solids: 74}, 108, ""},
		{"above", Composition{Solids: 74}, 108.01, WhatPressure},
		{"pressure NaN", Composition{Solids: 74}, Kilopascals(nan), WhatPressure},
		{"most solids, all inverted", Composition{Solids: 85, Inverted: 1}, 101.3, ""},
		{"more solids", Composition{Solids: 85.1}, 101.3, WhatSolids},
		{"solids NaN", Composition{Solids: Brix(nan)}, 101.3, WhatSolids},
		{"more than all inverted", Composition{Solids: 74, Inverted: 1.01}, 101.3, WhatInverted},
		{"inverted given in percent", Composition{Solids: 74, Inverted: 30}, 101.3, WhatInverted},
		{"inverted NaN", Composition{Solids: 74, Inverted: Fraction(nan)}, 101.3, WhatInverted},
		{"more ash than solids", Composition{Solids: 10, Ash: 0.11}, 101.3, WhatAsh},
		{"negative ash", Composition{Solids: 10, Ash: -0.01}, 101.3, WhatAsh},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := SyrupBoiling(c.mix, c.p)
			assertRange(t, err, c.what)
		})
	}
}

func TestAltitudeLimits(t *testing.T) {
	for _, c := range []struct {
		h    Meters
		what string
	}{{-500, ""}, {-500.1, WhatAltitude}, {3500, ""}, {3500.1, WhatAltitude}, {Meters(math.Inf(1)), WhatAltitude}} {
		p, err := PressureAtAltitude(c.h)
		assertRange(t, err, c.what)
		if err == nil {
			_, err = WaterBoiling(p)
			assert.NoError(t, err, "every accepted height gives an accepted pressure")
		}
	}
	_, err := WaterBoiling(64)
	assertRange(t, err, WhatPressure)
	_, err = SaturationPressure(-1)
	assertRange(t, err, WhatTemperature)
	_, err = ActivityOf(Composition{Solids: 74}, -11)
	assertRange(t, err, WhatTemperature)
}
