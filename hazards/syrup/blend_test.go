package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever is poured, the solids in are the solids out, and so is the mass.
func TestBlendKeepsItsBalance(t *testing.T) {
	for _, c := range [][3]Brix{{70, 78, 74}, {78, 70, 75}, {66, 80, 74.5}, {10, 85, 40}} {
		b, err := BlendTo(100, c[0], c[1], c[2])
		require.NoError(t, err)
		assert.InDelta(t, 1, float64(b.FirstShare+b.SecondShare), 1e-12)
		solids := float64(b.First)*float64(c[0]) + float64(b.Second)*float64(c[1])
		assert.InDelta(t, float64(b.First+b.Second)*float64(c[2]), solids, 1e-6)
		assert.InDelta(t, 100, float64(b.Volume), 1e-9)
		for i, pair := range []struct {
			mass   Kilograms
			volume Liters
		}{{b.First, b.FirstVolume}, {b.Second, b.SecondVolume}} {
			rho, err := Density(c[i], ReferenceTemperature)
			require.NoError(t, err)
			assert.InDelta(t, float64(pair.mass), float64(pair.volume)*float64(rho)/1000, 1e-9)
		}
		all, err := BlendAll(b.FirstVolume, c[0], c[1], c[2])
		require.NoError(t, err)
		assert.InDelta(t, float64(b.SecondVolume), float64(all.SecondVolume), 1e-6)
	}
}

// Mixing the shares by gallons instead of pounds errs by a few hundredths of a Brix only (trade.md 7.4).
func TestBlendByVolumeErrsLittle(t *testing.T) {
	b, err := BlendTo(100, 70, 78, 74)
	require.NoError(t, err)
	first := float64(massOf(Liters(b.FirstShare), 70, 20))
	second := float64(massOf(Liters(b.SecondShare), 78, 20))
	got := (first*70 + second*78) / (first + second)
	assert.InDelta(t, 74, got, 0.09)
	assert.NotEqual(t, 74.0, got)
}

func TestBlendLimits(t *testing.T) {
	for _, c := range []struct {
		name                  string
		first, second, target Brix
		what                  string
	}{
		{"at the thinner lot", 70, 78, 70, ""},
		{"below it", 70, 78, 69.9, WhatTarget},
		{"at the thicker lot", 78, 70, 78, ""},
		{"above it", 78, 70, 78.1, WhatTarget},
		{"two lots alike", 74, 74, 74, ""},
		{"two lots alike, another target", 74, 74, 75, WhatTarget},
		{"too thick", 85.1, 70, 74, WhatSolids},
		{"second NaN", 70, Brix(math.NaN()), 74, WhatSolids},
		{"target NaN", 70, 78, Brix(math.NaN()), WhatTarget},
	} {
		t.Run(c.name, func(t *testing.T) {
			share, err := BlendShares(c.first, c.second, c.target)
			assertRange(t, err, c.what)
			assert.True(t, share >= 0 && share <= 1)
		})
	}
	_, err := BlendAll(10, 70, 78, 78)
	assertRange(t, err, WhatFirstShare)
	_, err = BlendAll(-1, 70, 78, 74)
	assertRange(t, err, WhatVolume)
	_, err = BlendTo(Liters(math.Inf(1)), 70, 78, 74)
	assertRange(t, err, WhatVolume)
}

func TestVolumeKept(t *testing.T) {
	for _, w := range []Brix{10, 66, 70, 74, 85} {
		kept, err := VolumeKept(w, w)
		require.NoError(t, err)
		assert.Equal(t, Fraction(1), kept)
	}
	there, err := VolumeKept(70, 74)
	require.NoError(t, err)
	back, err := VolumeKept(74, 70)
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(there*back), 1e-12)
	off, err := WaterToGo(100, 20, 70, 74)
	require.NoError(t, err)
	assert.InDelta(t, float64(off.AfterVolume), float64(100*there), 1e-9)
	_, err = VolumeKept(0, 74)
	assertRange(t, err, WhatSolids)
	_, err = VolumeKept(74, 85.1)
	assertRange(t, err, WhatSolids)
}

func TestLoss(t *testing.T) {
	gross, err := SyrupFromJuice(300, 18, 74)
	require.NoError(t, err)
	net, err := gross.Less(0.05)
	require.NoError(t, err)
	assert.InDelta(t, float64(gross.Syrup), float64(net.Syrup+net.Lost), 1e-9)
	assert.InDelta(t, float64(net.Juice), float64(net.Syrup+net.Lost+net.WaterOff), 1e-9)
	assert.InDelta(t, 300, float64(net.SyrupVolume)*net.JuicePerSyrup, 1e-9)
	for loss, what := range map[Fraction]string{0: "", 0.9: "", 0.91: WhatLoss, -0.01: WhatLoss, Fraction(math.NaN()): WhatLoss} {
		_, err := gross.Less(loss)
		assertRange(t, err, what)
	}
}
