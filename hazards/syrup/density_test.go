package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWaterDensityIsDensityOfNoSolids(t *testing.T) {
	for c := MinDensityTemperature; c <= MaxDensityTemperature; c += 5 {
		water, err := WaterDensity(c)
		require.NoError(t, err)
		rho, err := Density(0, c)
		require.NoError(t, err)
		assert.Equal(t, water, rho)
	}
}

func TestDensityLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		w    Brix
		t    Celsius
		what string
	}{
		{"solids at the lower end", 0, 20, ""},
		{"solids below", -0.001, 20, WhatSolids},
		{"solids at the upper end", 85, 20, ""},
		{"solids above", 85.001, 20, WhatSolids},
		{"solids NaN", Brix(math.NaN()), 20, WhatSolids},
		{"solids Inf", Brix(math.Inf(1)), 20, WhatSolids},
		{"temperature at the lower end", 74, 0, ""},
		{"temperature below", 74, -0.001, WhatTemperature},
		{"temperature at the upper end", 74, 110, ""},
		{"temperature above", 74, 110.001, WhatTemperature},
		{"temperature NaN", 74, Celsius(math.NaN()), WhatTemperature},
		{"temperature Inf", 74, Celsius(math.Inf(-1)), WhatTemperature},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Density(c.w, c.t)
			assertRange(t, err, c.what)
		})
	}
}

// assertRange wants a RangeError about what, or no error when what is empty.
func assertRange(t *testing.T, err error, what string) {
	t.Helper()
	if what == "" {
		assert.NoError(t, err)
		return
	}
	var outside RangeError
	if assert.ErrorAs(t, err, &outside) {
		assert.Equal(t, what, outside.What)
	}
}

func TestDensityRisesWithSolidsAndInverts(t *testing.T) {
	for c := MinDensityTemperature; c <= MaxDensityTemperature; c += 2.5 {
		last := KilogramsPerCubicMeter(0)
		for w := Brix(0); w <= MaxSolids; w += 0.25 {
			rho, err := Density(w, c)
			require.NoError(t, err)
			require.Greater(t, rho, last, "%v %% at %v C", w, c)
			last = rho
			back, err := SolidsFromDensity(rho, c)
			require.NoError(t, err)
			require.InDelta(t, float64(w), float64(back), 1e-6, "%v %% at %v C", w, c)
		}
	}
}

// The search leans on the polynomial rising up to its own end, 90 %, past the public limit.
func TestDensityCurveRisesToTheEndOfTheSearch(t *testing.T) {
	for c := 0.0; c <= 110; c += 2.5 {
		curve := densityAt(c)
		for w := 0.0; w <= highestMassFraction; w += 0.005 {
			_, slope := curve.ofWithSlope(w)
			require.Greater(t, slope, 0.0, "%v at %v C", w, c)
		}
	}
}

func TestMassFractionAgreesWithPlainBisection(t *testing.T) {
	for c := 0.0; c <= 110; c += 5 {
		curve := densityAt(c)
		for rho := curve.of(0); rho < curve.of(highestMassFraction); rho += 1.7 {
			want := bisect(func(w float64) float64 { return curve.of(w) - rho }, 0, highestMassFraction)
			got, ok := curve.massFraction(rho)
			require.True(t, ok)
			require.InDelta(t, want, got, 1e-11)
		}
	}
}

func TestSolidsFromDensityLimits(t *testing.T) {
	water, err := WaterDensity(20)
	require.NoError(t, err)
	thickest, err := Density(MaxSolids, 20)
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		rho  KilogramsPerCubicMeter
		what string
	}{
		{"water", water, ""},
		{"lighter than water", water - 0.01, WhatDensity},
		{"85 percent", thickest, ""},
		{"heavier", thickest + 0.01, WhatDensity},
		{"NaN", KilogramsPerCubicMeter(math.NaN()), WhatDensity},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, err := SolidsFromDensity(c.rho, 20)
			assertRange(t, err, c.what)
			assert.LessOrEqual(t, w, MaxSolids)
		})
	}
	_, err = SolidsFromDensity(1200, 111)
	assertRange(t, err, WhatTemperature)
}
