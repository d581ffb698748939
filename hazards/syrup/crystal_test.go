package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWarmthDissolvesMore(t *testing.T) {
	last := Brix(0)
	mix := CrystalMix{Solids: 76, Invert: 15, Other: 2}
	lastSS := math.Inf(1)
	for c := MinCrystalTemperature; c <= MaxCrystalTemperature; c += 0.5 {
		s, err := Solubility(c)
		require.NoError(t, err)
		require.Greater(t, s, last)
		last = s
		ss, err := Supersaturation(mix, c)
		require.NoError(t, err)
		require.Less(t, ss, lastSS)
		lastSS = ss
	}
}

func TestMoreSolidsMoreRiskMoreInvertLess(t *testing.T) {
	for w := Brix(60); w < 85; w++ {
		for invert := Brix(0); invert < 40; invert += 2 {
			here, err := Supersaturation(CrystalMix{Solids: w, Invert: invert}, 20)
			require.NoError(t, err)
			thicker, err := Supersaturation(CrystalMix{Solids: w + 0.5, Invert: invert}, 20)
			require.NoError(t, err)
			require.Greater(t, thicker, here)
			inverted, err := Supersaturation(CrystalMix{Solids: w, Invert: invert + 1}, 20)
			require.NoError(t, err)
			require.Less(t, inverted, here)
		}
	}
}

// A saturated solution is saturated: pure sucrose at its solubility has a supersaturation of 1.
func TestSaturatedIsOne(t *testing.T) {
	for c := Celsius(0); c <= 60; c += 5 {
		s, err := Solubility(c)
		require.NoError(t, err)
		ss, err := Supersaturation(CrystalMix{Solids: s}, c)
		require.NoError(t, err)
		assert.InDelta(t, 1, ss, 1e-9)
	}
}

func TestCrystalLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		mix  CrystalMix
		t    Celsius
		what string
	}{
		{"coldest", CrystalMix{74, 20, 2}, 0, ""},
		{"colder", CrystalMix{74, 20, 2}, -0.01, WhatTemperature},
		{"warmest", CrystalMix{74, 20, 2}, 60, ""},
		{"warmer", CrystalMix{74, 20, 2}, 60.01, WhatTemperature},
		{"thickest", CrystalMix{85, 20, 2}, 20, ""},
		{"thicker", CrystalMix{85.1, 20, 2}, 20, WhatSolids},
		{"all invert", CrystalMix{74, 74, 0}, 20, ""},
		{"more invert than solids", CrystalMix{74, 74.1, 0}, 20, WhatInvertOfSyrup},
		{"all of it other", CrystalMix{74, 20, 54}, 20, ""},
		{"more other than is left", CrystalMix{74, 20, 54.1}, 20, WhatOtherSolids},
		{"negative invert", CrystalMix{74, -1, 0}, 20, WhatInvertOfSyrup},
		{"solids NaN", CrystalMix{Brix(math.NaN()), 0, 0}, 20, WhatSolids},
	} {
		t.Run(c.name, func(t *testing.T) {
			ss, err := Supersaturation(c.mix, c.t)
			assertRange(t, err, c.what)
			assert.GreaterOrEqual(t, ss, 0.0)
		})
	}
	_, err := Solubility(60.01)
	assertRange(t, err, WhatTemperature)
}

func TestRiskOfCrystals(t *testing.T) {
	for ss, want := range map[float64]CrystalRisk{
		0: CrystalNone, 1: CrystalNone, 1.001: CrystalLow, 1.1: CrystalLow, 1.101: CrystalMedium, 1.25: CrystalMedium,
		1.2501: CrystalHigh, 3: CrystalHigh,
	} {
		assert.Equal(t, want, RiskOfCrystals(ss), ss)
	}
}

func TestSugars(t *testing.T) {
	for _, c := range []struct {
		name   string
		sugars Sugars
		want   Composition
		what   string
	}{
		{"sucrose alone", Sugars{Solids: 74}, Composition{Solids: 74}, ""},
		{"a laboratory's syrup", Sugars{Solids: 74, Glucose: 10, Fructose: 11.75, Ash: 1.5}, Composition{Solids: 74, Inverted: 0.3, Ash: 0.015}, ""},
		{"glucose alone", Sugars{Solids: 30, Glucose: 30}, Composition{Solids: 30, Inverted: 1}, ""},
		{"ash alone", Sugars{Solids: 2, Ash: 2}, Composition{Solids: 2, Ash: 0.02}, ""},
		{"more glucose than solids", Sugars{Solids: 30, Glucose: 30.1}, Composition{}, WhatGlucose},
		{"more fructose than is left", Sugars{Solids: 30, Glucose: 20, Fructose: 10.1}, Composition{}, WhatFructose},
		{"more ash than is left", Sugars{Solids: 30, Glucose: 20, Fructose: 9, Ash: 1.1}, Composition{}, WhatAsh},
		{"too thick", Sugars{Solids: 86}, Composition{}, WhatSolids},
		{"glucose NaN", Sugars{Solids: 30, Glucose: Brix(math.NaN())}, Composition{}, WhatGlucose},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.sugars.Composition()
			assertRange(t, err, c.what)
			assert.InDelta(t, float64(c.want.Inverted), float64(got.Inverted), 1e-12)
			assert.InDelta(t, float64(c.want.Ash), float64(got.Ash), 1e-12)
			assert.Equal(t, c.want.Solids, got.Solids)
		})
	}
}
