package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// relations are the files of which only a relation is tested, with that relation in a few words.
var relations = map[string]string{
	"density_traps.csv":             "the model differs from the printed value by at least what the row says",
	"boiling_rise_other_curves.csv": "from 66 % on the model lies between the curve that is too low and those that are too high",
	"refractometer_outside.csv":     "the model refuses, and its line would miss the printed value by at least what the row says",
	"water_activity_disputed.csv":   "the model lies within what the row says, on the stated side",
}

func TestDensityTraps(t *testing.T) {
	eachRow(t, "density_traps.csv", func(t *testing.T, r row) {
		rho, err := Density(r.solids(t), Celsius(r.number(t, "temperature_c")))
		require.NoError(t, err)
		assert.Greater(t, math.Abs(float64(rho)-r.number(t, "printed")), r.number(t, "off_by_at_least"))
	})
}

// From 66 % on the model lies between the curve that is too low and the one that is too high.
func TestRiseLiesBetweenTheDisputedCurves(t *testing.T) {
	eachRow(t, "boiling_rise_other_curves.csv", func(t *testing.T, r row) {
		w, expected := r.number(t, "solids_percent"), r.number(t, "expected")
		if r.text(t, "source") == "Geankoplis" {
			assert.InDelta(t, 1.78*w/100+6.22*w*w/1e4, expected, 0.006, "the row is the formula it is quoted from")
		}
		if w < 66 {
			return
		}
		b, err := SyrupBoiling(Composition{Solids: Brix(w)}, StandardPressure)
		require.NoError(t, err)
		if r.text(t, "source") == "Geankoplis" {
			assert.Greater(t, float64(b.Rise), expected)
		} else {
			assert.Less(t, float64(b.Rise), expected)
		}
	})
}

func TestRefractometerRefusesThinJuice(t *testing.T) {
	eachRow(t, "refractometer_outside.csv", func(t *testing.T, r row) {
		at := Celsius(r.number(t, "temperature_c"))
		_, err := RefractometerAt20(Brix(r.number(t, "brix")), at)
		assertRange(t, err, WhatReading)
		miss := math.Abs(float64(refractometerCorrection(at)) - r.number(t, "printed"))
		assert.Greater(t, miss, r.number(t, "off_by_at_least"))
	})
}

// The indices of glucose and fructose rise with strength towards the value used at syrup strength.
func TestInvertTrend(t *testing.T) {
	last := 0.0
	for _, r := range readRows(t, "refractometer_invert.csv") {
		if r.cells["basis"] != "disputed" {
			continue
		}
		low := r.number(t, "expected")
		assert.Greater(t, low, last)
		assert.Less(t, low, invertReadsLow)
		last = low
	}
	assert.Positive(t, last)
}

// Two copies of Herzfeld's 90 C disagree; the modern curve lies between them.
func TestSolubilityLiesBetweenTheCopies(t *testing.T) {
	low, high := 0.0, 0.0
	for _, r := range readRows(t, "solubility.csv") {
		if r.number(t, "temperature_c") == 90 && r.cells["source"] == "Herzfeld" {
			low = r.number(t, "expected")
		}
		if r.cells["basis"] == "disputed" {
			high = r.number(t, "expected")
		}
	}
	assert.Greater(t, solubility(90), low)
	assert.Less(t, solubility(90), high)
	assert.Positive(t, low)
}

func TestWaterActivityBesideOtherFormulas(t *testing.T) {
	eachRow(t, "water_activity_disputed.csv", func(t *testing.T, r row) {
		c := Composition{Solids: r.solids(t), Inverted: Fraction(r.number(t, "inverted_percent") / 100)}
		aw, err := ActivityOf(c, 25)
		require.NoError(t, err)
		expected := r.number(t, "expected")
		assert.InDelta(t, expected, float64(aw), r.number(t, "within"))
		if r.text(t, "source") == "maple scientist" {
			assert.Less(t, float64(aw), expected)
			return
		}
		assert.InDelta(t, norrish(c), expected, 0.0006, "the row is the formula it was computed with")
		assert.Greater(t, float64(aw), expected)
	})
}

// norrish is Norrish's equation with one constant for each sugar, a formula of its own beside the model.
func norrish(c Composition) float64 {
	m := c.moles()
	total := m.water + m.sucrose + m.hexose
	pull := math.Sqrt(6.47)*m.sucrose/total + math.Sqrt(2.25)*m.hexose/total
	return m.water / total * math.Exp(-pull*pull)
}
