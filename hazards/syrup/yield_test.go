package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestYieldKeepsItsBalance(t *testing.T) {
	for juice := Brix(5); juice <= 25; juice += 2.5 {
		for syrup := Brix(60); syrup <= 85; syrup += 5 {
			y, err := SyrupFromJuice(300, juice, syrup)
			require.NoError(t, err)
			assert.InDelta(t, float64(y.Juice), float64(y.Syrup+y.WaterOff), 1e-9)
			assert.InDelta(t, float64(y.Juice)*float64(juice), float64(y.Syrup)*float64(syrup), 1e-6)
			rho, err := Density(syrup, ReferenceTemperature)
			require.NoError(t, err)
			assert.InDelta(t, float64(y.Syrup), float64(y.SyrupVolume)*float64(rho)/1000, 1e-9)
			implied, err := ImpliedJuiceSolids(300, y.SyrupVolume, syrup)
			require.NoError(t, err)
			assert.InDelta(t, float64(juice), float64(implied), 1e-6)
		}
	}
}

func TestAdjustmentsAreInverse(t *testing.T) {
	off, err := WaterToGo(100, 105, 70, 74)
	require.NoError(t, err)
	assert.InDelta(t, float64(off.Before-off.Water), float64(off.After), 1e-9)
	add, err := WaterToAdd(off.AfterVolume, ReferenceTemperature, 74, 70)
	require.NoError(t, err)
	assert.InDelta(t, float64(off.Water), float64(add.Water), 1e-9)
	assert.InDelta(t, float64(add.Before+add.Water), float64(add.After), 1e-9)
	nothing, err := WaterToGo(100, 20, 74, 74)
	require.NoError(t, err)
	assert.Zero(t, nothing.Water)
}

// A hot gallon holds less than a cold one, so the same reading of the dipstick means less water to go.
func TestHotBatchHoldsLess(t *testing.T) {
	cold, err := WaterToGo(100, 20, 70, 74)
	require.NoError(t, err)
	hot, err := WaterToGo(100, 105, 70, 74)
	require.NoError(t, err)
	assert.Less(t, hot.Water, cold.Water)
}

func TestYieldRefuses(t *testing.T) {
	nan := Brix(math.NaN())
	for _, c := range []struct {
		name         string
		juice        Liters
		solids, want Brix
		what         string
	}{
		{"juice thinner than syrup", 100, 18, 74, ""},
		{"juice as thick as syrup", 100, 74, 74, ""},
		{"juice thicker", 100, 74.1, 74, WhatJuiceSolids},
		{"juice without solids", 100, 0, 74, WhatJuiceSolids},
		{"juice NaN", 100, nan, 74, WhatJuiceSolids},
		{"syrup too thick", 100, 18, 85.1, WhatSyrupSolids},
		{"syrup NaN", 100, 18, nan, WhatSyrupSolids},
		{"no juice", 0, 18, 74, ""},
		{"negative juice", -1, 18, 74, WhatVolume},
		{"endless juice", Liters(math.Inf(1)), 18, 74, WhatVolume},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := SyrupFromJuice(c.juice, c.solids, c.want)
			assertRange(t, err, c.what)
		})
	}
	_, err := WaterToGo(100, 20, 75, 74)
	assertRange(t, err, WhatSolids)
	_, err = WaterToAdd(100, 20, 73, 74)
	assertRange(t, err, WhatSolids)
	_, err = WaterToGo(-1, 20, 70, 74)
	assertRange(t, err, WhatVolume)
	_, err = WaterToAdd(1, 120, 75, 74)
	assertRange(t, err, WhatTemperature)
	_, err = ImpliedJuiceSolids(1, 2, 74)
	assertRange(t, err, WhatRatio)
	_, err = ImpliedJuiceSolids(1, 0, 74)
	assertRange(t, err, WhatRatio)
}

// A batch at its target wants no water, in or out.
func TestNoWaterAtTheTarget(t *testing.T) {
	for _, adjust := range []func(Liters, Celsius, Brix, Brix) (Adjustment, error){WaterToAdd, WaterToGo} {
		a, err := adjust(100, 20, 74, 74)
		require.NoError(t, err)
		assert.InDelta(t, 0, float64(a.Water), 1e-12)
		assert.InDelta(t, 100, float64(a.AfterVolume), 1e-9)
	}
}
