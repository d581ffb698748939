package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestIndexRisesAndInverts(t *testing.T) {
	last := Brix(-1)
	for n := MinIndex + 0.0001; n < MaxIndex-0.00005; n += 0.0001 {
		w, err := SolidsFromIndex(n)
		require.NoError(t, err)
		require.Greater(t, w, last, n)
		last = w
		back, err := IndexFromSolids(w)
		require.NoError(t, err)
		require.InDelta(t, float64(n), float64(back), 1e-9)
	}
	for w := Brix(0); w <= 84.9; w += 0.1 {
		n, err := IndexFromSolids(w)
		require.NoError(t, err)
		back, err := SolidsFromIndex(n)
		require.NoError(t, err)
		require.InDelta(t, float64(w), float64(back), 1e-6)
	}
	water, err := SolidsFromIndex(MinIndex)
	require.NoError(t, err)
	assert.Zero(t, water, "water is 0, not a hair less")
}

func TestRefractometerCorrectionRises(t *testing.T) {
	last := math.Inf(-1)
	for c := MinRefractometerTemperature; c <= MaxRefractometerTemperature; c += 0.25 {
		at20, err := RefractometerAt20(70, c)
		require.NoError(t, err)
		require.Greater(t, float64(at20), last)
		last = float64(at20)
	}
}

func TestRefractometerLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		read Brix
		t    Celsius
		what string
	}{
		{"coldest", 70, 10, ""},
		{"colder", 70, 9.99, WhatTemperature},
		{"warmest", 70, 30, ""},
		{"warmer", 70, 30.01, WhatTemperature},
		{"thinnest", 60, 15, ""},
		{"thinner", 59.99, 15, WhatReading},
		{"thickest", 75, 15, ""},
		{"thicker", 75.01, 15, WhatReading},
		{"thin at 20 C, where nothing is corrected", 16, 20, ""},
		{"past the scale at 20 C", 85.01, 20, WhatReading},
		{"below the scale at 20 C", -0.01, 20, WhatReading},
		{"NaN", Brix(math.NaN()), 15, WhatReading},
		{"NaN at 20 C", Brix(math.NaN()), 20, WhatReading},
		{"temperature NaN", 70, Celsius(math.NaN()), WhatTemperature},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := RefractometerAt20(c.read, c.t)
			assertRange(t, err, c.what)
		})
	}
	for n, what := range map[RefractiveIndex]string{
		1.3330: "", 1.3329: WhatIndex, 1.5040: "", 1.5041: WhatIndex, RefractiveIndex(math.Inf(1)): WhatIndex, 0: WhatIndex,
	} {
		_, err := SolidsFromIndex(n)
		assertRange(t, err, what)
	}
	_, err := IndexFromSolids(85)
	assertRange(t, err, WhatSolids)
	_, err = IndexFromSolids(-0.1)
	assertRange(t, err, WhatSolids)
	_, err = InvertReadsLow(-0.1)
	assertRange(t, err, WhatInvertOfSyrup)
	_, err = InvertReadsLow(85.1)
	assertRange(t, err, WhatInvertOfSyrup)
}
