package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSolidsFromRiseIsTheInverse(t *testing.T) {
	for _, p := range []Kilopascals{MinPressure, 90, StandardPressure, MaxPressure} {
		for _, inverted := range []Fraction{0, 0.3, 1} {
			for _, ash := range []Fraction{0, 0.015} {
				for w := Brix(2); w <= MaxSolids; w += 1 {
					b, err := SyrupBoiling(Composition{Solids: w, Inverted: inverted, Ash: ash}, p)
					require.NoError(t, err)
					back, err := SolidsFromRise(b.Rise, inverted, ash, p)
					require.NoError(t, err)
					require.InDelta(t, float64(w), float64(back.Percent), 1e-6)
					require.Equal(t, RiseUncertainty, back.Uncertainty)
				}
			}
		}
	}
}

func TestSolidsFromRiseLimits(t *testing.T) {
	b, err := SyrupBoiling(Composition{Solids: MaxSolids}, StandardPressure)
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		rise CelsiusDelta
		inv  Fraction
		ash  Fraction
		p    Kilopascals
		what string
	}{
		{"water", 0, 0, 0, StandardPressure, ""},
		{"below water", -0.01, 0, 0, StandardPressure, WhatRise},
		{"85 percent", b.Rise, 0, 0, StandardPressure, ""},
		{"thicker", b.Rise + 0.01, 0, 0, StandardPressure, WhatRise},
		{"NaN", CelsiusDelta(math.NaN()), 0, 0, StandardPressure, WhatRise},
		{"less than the ash alone", 0, 0, 0.1, StandardPressure, WhatRise},
		{"inverted in percent", 5, 30, 0, StandardPressure, WhatInverted},
		{"ash in percent", 5, 0, 1.5, StandardPressure, WhatAsh},
		{"pressure too low", 5, 0, 0, 64.9, WhatPressure},
		{"pressure NaN", 5, 0, 0, Kilopascals(math.NaN()), WhatPressure},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := SolidsFromRise(c.rise, c.inv, c.ash, c.p)
			assertRange(t, err, c.what)
			assert.True(t, got.Percent >= 0 && got.Percent <= MaxSolids)
		})
	}
}
