package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestYieldTables(t *testing.T) {
	eachRow(t, "yield_ratio.csv", func(t *testing.T, r row) {
		ratio, err := JuicePerSyrup(Brix(r.number(t, "juice_percent")), Brix(r.number(t, "syrup_percent")))
		require.NoError(t, err)
		r.compare(t, ratio)
	})
	eachRow(t, "yield_implied.csv", func(t *testing.T, r row) {
		got, err := ImpliedJuiceSolids(Liters(r.number(t, "ratio")), 1, Brix(r.number(t, "syrup_percent")))
		require.NoError(t, err)
		r.compare(t, float64(got))
	})
	eachRow(t, "yield_water.csv", func(t *testing.T, r row) {
		y, err := SyrupFromJuice(100, Brix(r.number(t, "juice_percent")), 74)
		require.NoError(t, err)
		tolerance := r.number(t, "tolerance")
		assert.InDelta(t, r.number(t, "volume_gone_percent"), 100-float64(y.SyrupVolume), tolerance)
		assert.InDelta(t, r.number(t, "mass_gone_percent"), 100*float64(y.WaterOff/y.Juice), tolerance)
		gallon, err := WeightPerGallon(74)
		require.NoError(t, err)
		perGallon := float64(gallon) * float64(y.WaterOff/y.Syrup)
		assert.InDelta(t, r.number(t, "water_lb_per_gal"), perGallon, tolerance)
	})
	eachRow(t, "water_adjustment.csv", func(t *testing.T, r row) {
		model := WaterToAdd
		if r.text(t, "direction") == "off" {
			model = WaterToGo
		}
		batch := USGallons(r.number(t, "batch_gal")).Liters()
		a, err := model(batch, 20, Brix(r.number(t, "now_percent")), Brix(r.number(t, "target_percent")))
		require.NoError(t, err)
		assert.InDelta(t, r.number(t, "water_lb"), float64(a.Water.Pounds()), r.number(t, "tolerance"))
		assert.InDelta(t, r.number(t, "water_gal"), float64(a.WaterVolume.USGallons()), 0.006)
		assert.InDelta(t, r.number(t, "after_gal"), float64(a.AfterVolume.USGallons()), 0.06)
	})
}

func TestWaterToAddTable(t *testing.T) {
	eachRow(t, "water_to_add.csv", func(t *testing.T, r row) {
		a, err := WaterToAdd(USGallons(1).Liters(), 20, Brix(r.number(t, "now_percent")), Brix(r.number(t, "target_percent")))
		require.NoError(t, err)
		r.compare(t, float64(a.WaterVolume.Milliliters().USFluidOunces()))
	})
}

func TestSyrupOfATonOfCane(t *testing.T) {
	eachRow(t, "yield_ton.csv", func(t *testing.T, r row) {
		ton, err := ParseMass("1ton")
		require.NoError(t, err)
		solids := Brix(r.number(t, "juice_percent"))
		rho, err := Density(solids, ReferenceTemperature)
		require.NoError(t, err)
		juice := Liters(float64(ton) * r.number(t, "extraction_percent") / 100 / float64(rho) * 1000)
		assert.InDelta(t, r.number(t, "juice_gal"), float64(juice.USGallons()), r.number(t, "tolerance"))
		y, err := SyrupFromJuice(juice, solids, Brix(r.number(t, "syrup_percent")))
		require.NoError(t, err)
		assert.InDelta(t, r.number(t, "syrup_gal"), float64(y.SyrupVolume.USGallons()), r.number(t, "tolerance"))
	})
}

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
