package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestThickerColderPurerIsThicker(t *testing.T) {
	for w := Brix(20); w < 80; w += 2 {
		for c := Celsius(0); c < 100; c += 5 {
			here, _, err := Viscosity(w, c, 0.8)
			require.NoError(t, err)
			thick, _, err := Viscosity(w+1, c, 0.8)
			require.NoError(t, err)
			require.Greater(t, thick, here)
			warm, _, err := Viscosity(w, c+1, 0.8)
			require.NoError(t, err)
			require.Less(t, warm, here)
		}
	}
	pure, _, err := Viscosity(74, 20, 1)
	require.NoError(t, err)
	impure, _, err := Viscosity(74, 20, 0.65)
	require.NoError(t, err)
	assert.Less(t, impure, pure)
}

func TestViscosityLimits(t *testing.T) {
	for _, c := range []struct {
		w      Brix
		t      Celsius
		purity Fraction
		what   string
		share  float64
	}{
		{80, 20, 1, "", 0.06}, {80.1, 20, 1, WhatSolids, 0}, {0, 20, 1, "", 0.09}, {-0.1, 20, 1, WhatSolids, 0},
		{59.9, 20, 1, "", 0.09}, {60, 20, 1, "", 0.06}, {74, 15, 1, "", 0.14}, {74, 15.1, 1, "", 0.06},
		{74, 0, 1, "", 0.14}, {74, -0.1, 1, WhatTemperature, 0}, {74, 100, 1, "", 0.06}, {74, 100.1, 1, WhatTemperature, 0},
		{74, 20, 0, "", 0.06}, {74, 20, -0.01, WhatPurity, 0}, {74, 20, 1.01, WhatPurity, 0},
		{Brix(math.NaN()), 20, 1, WhatSolids, 0}, {74, Celsius(math.NaN()), 1, WhatTemperature, 0},
	} {
		v, u, err := Viscosity(c.w, c.t, c.purity)
		assertRange(t, err, c.what)
		if err == nil {
			assert.InDelta(t, c.share, float64(u/v), 1e-9, "%v %% at %v C", c.w, c.t)
		}
	}
}
