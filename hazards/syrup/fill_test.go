package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFillRatioFallsWithHeat(t *testing.T) {
	for w := Brix(0); w <= MaxSolids; w += 5 {
		last := Fraction(2)
		for f := Fahrenheit(60); f <= 212; f += 2 {
			ratio, err := FillRatio(w, f.Celsius())
			require.NoError(t, err)
			require.Less(t, ratio, last, "%v %% at %v F", w, f)
			last = ratio
		}
		at20, err := FillRatio(w, ReferenceTemperature)
		require.NoError(t, err)
		assert.Equal(t, Fraction(1), at20)
	}
}

// What is poured hot weighs what was declared cold.
func TestHotVolumeKeepsTheMass(t *testing.T) {
	hot, err := HotVolume(355, 74, 85)
	require.NoError(t, err)
	mass, err := NetMass(355, 74)
	require.NoError(t, err)
	rho, err := Density(74, 85)
	require.NoError(t, err)
	assert.InDelta(t, float64(mass), float64(hot)*float64(rho)/1000, 1e-9)
}

func TestFillRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		volume Milliliters
		solids Brix
		t      Celsius
		what   string
	}{
		{"60 F", 355, 74, MinFillTemperature, ""},
		{"colder", 355, 74, MinFillTemperature - 0.01, WhatTemperature},
		{"212 F", 355, 74, MaxFillTemperature, ""},
		{"hotter", 355, 74, MaxFillTemperature + 0.01, WhatTemperature},
		{"temperature NaN", 355, 74, Celsius(math.NaN()), WhatTemperature},
		{"too thick", 355, 85.1, 85, WhatSolids},
		{"negative volume", -1, 74, 85, WhatVolume},
		{"volume NaN", Milliliters(math.NaN()), 74, 85, WhatVolume},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := HotVolume(c.volume, c.solids, c.t)
			assertRange(t, err, c.what)
		})
	}
	_, err := NetMass(-1, 74)
	assertRange(t, err, WhatVolume)
	_, err = NetWeight(1, 86)
	assertRange(t, err, WhatSolids)
	_, err = WeightPerGallon(Brix(math.NaN()))
	assertRange(t, err, WhatSolids)
}
