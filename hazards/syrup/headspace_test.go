package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHeadspace(t *testing.T) {
	h, err := HeadspaceOf(380, 355, 74, 85)
	require.NoError(t, err)
	hot, err := HotVolume(355, 74, 85)
	require.NoError(t, err)
	assert.InDelta(t, 1-float64(hot)/380, float64(h.Hot), 1e-12)
	assert.InDelta(t, 1-355.0/380, float64(h.Cold), 1e-12)
	assert.Less(t, h.Hot, h.Cold)
	full, err := HeadspaceOf(hot, 355, 74, 85)
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(full.Hot), 1e-12)
	_, err = HeadspaceOf(hot-0.01, 355, 74, 85)
	assertRange(t, err, WhatBrim)
	_, err = HeadspaceOf(354.99, 355, 74, 15.6)
	assertRange(t, err, WhatBrim)
	_, err = HeadspaceOf(380, -1, 74, 85)
	assertRange(t, err, WhatVolume)
	_, err = HeadspaceOf(Milliliters(math.NaN()), 355, 74, 85)
	assertRange(t, err, WhatBrim)
	_, err = HeadspaceOf(most, 355, 74, 85)
	require.NoError(t, err)
	_, err = HeadspaceOf(most*1.001, 355, 74, 85)
	assertRange(t, err, WhatBrim)
	empty, err := HeadspaceOf(0, 0, 74, 85)
	require.NoError(t, err)
	assert.Equal(t, Headspace{}, empty)
}

func TestHotterClosesTighter(t *testing.T) {
	mix := Composition{Solids: 74, Inverted: 0.3, Ash: 0.015}
	last := Kilopascals(-1)
	for f := Fahrenheit(70); f <= 212; f += 2 {
		v, err := VacuumBound(mix, 0.05, f.Celsius())
		require.NoError(t, err)
		require.Greater(t, v, last)
		last = v
	}
	require.Less(t, last, StandardPressure)
	none, err := VacuumBound(mix, 0.05, ReferenceTemperature)
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(none), 1e-9, "closed cold there is no vacuum")
}

func TestVacuumLimits(t *testing.T) {
	mix := Composition{Solids: 74}
	for h, what := range map[Fraction]string{0.001: "", 0.0009: WhatHeadspace, 0.5: "", 0.51: WhatHeadspace, Fraction(math.NaN()): WhatHeadspace} {
		_, err := VacuumBound(mix, h, 85)
		assertRange(t, err, what)
	}
	_, err := VacuumBound(mix, 0.05, 101)
	assertRange(t, err, WhatTemperature)
	_, err = VacuumBound(Composition{Solids: 90}, 0.05, 85)
	assertRange(t, err, WhatSolids)
	_, err = VacuumBound(Composition{Solids: 74, Inverted: 2}, 0.05, 85)
	assertRange(t, err, WhatInverted)
}
