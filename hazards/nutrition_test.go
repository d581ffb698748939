package hazards

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// roundings are the rounding rules by their names in nutrition_rounding.csv, each saying the figure of the label.
var roundings = map[string]func(x float64) string{
	"calories": func(x float64) string { return fmt.Sprint(RoundCalories(x)) }, "sodium": func(x float64) string { return fmt.Sprint(RoundSodium(x)) },
	"fat": func(x float64) string { return fmt.Sprint(RoundFat(x)) }, "mineral": func(x float64) string { return fmt.Sprint(RoundMineralPercent(x)) },
	"grams":       func(x float64) string { return orLess(RoundGrams(x)) },
	"cholesterol": func(x float64) string { return orLess(RoundCholesterol(x)) },
}

func orLess(rounded float64, less bool) string {
	if less {
		return fmt.Sprint("less than ", rounded)
	}
	return fmt.Sprint(rounded)
}

func TestNutritionRounding(t *testing.T) {
	for _, r := range csvRows(t, "nutrition_rounding.csv") {
		assert.Equal(t, r["expected"], roundings[r["rule"]](r.must(t, "value")), "%v", r)
	}
}

// Vector 25 of standards.md 14: SR28's row for 41 g.
func TestNutritionPanel(t *testing.T) {
	panel, err := PanelOf(41, 74, true)
	require.NoError(t, err)
	for _, r := range csvRows(t, "nutrition_panel.csv") {
		line, ok := panel.Line(r["nutrient"])
		require.True(t, ok, r["nutrient"])
		assert.InDelta(t, r.must(t, "raw"), line.Raw, 0.006, r["nutrient"])
		assert.InDelta(t, r.must(t, "amount"), *line.Amount, 1e-9, r["nutrient"])
		if percent, ok := r.number(t, "percent"); ok {
			assert.Equal(t, int(percent), *line.Percent, r["nutrient"])
		} else {
			assert.Nil(t, line.Percent, r["nutrient"])
		}
	}
	for _, line := range panel.Lines {
		for _, lang := range text.Languages() {
			assert.True(t, text.Has(lang, "nutrient."+line.Nutrient), line.Nutrient)
		}
	}
	_, ok := panel.Line("caffeine")
	assert.False(t, ok)
	raw, err := ServingNutrients(41, 74)
	require.NoError(t, err)
	assert.InDelta(t, 30.012, raw.Sugars, 0.0005)
}

// Vector 27: FDA's guidance on single-ingredient sugars and syrups.
func TestAddedSugars(t *testing.T) {
	pure, err := PanelOf(41, 74, true)
	require.NoError(t, err)
	line, _ := pure.Line("added_sugars")
	assert.Nil(t, line.Amount, "no Includes line")
	assert.Equal(t, 60, *line.Percent)
	assert.True(t, line.Footnote)
	salted, err := PanelOf(41, 74, false)
	require.NoError(t, err)
	line, _ = salted.Line("added_sugars")
	assert.Equal(t, 30.0, *line.Amount)
	assert.Equal(t, 60, *line.Percent)
	assert.False(t, line.Footnote)
}

// The row is scaled by solids; more solids are never less of anything, and sugars never more than carbohydrate.
func TestNutritionScales(t *testing.T) {
	row, err := ServingNutrients(100, 74)
	require.NoError(t, err)
	assert.Equal(t, caneSyrup100g, row)
	half, err := ServingNutrients(100, 37)
	require.NoError(t, err)
	assert.InDelta(t, row.Kilocalories/2, half.Kilocalories, 1e-9)
	last := 0.0
	for w := syrup.Brix(1); w <= syrup.MaxSolids; w++ {
		panel, err := NutritionPanel(30, w, true)
		require.NoError(t, err)
		energy, _ := panel.Line("calories")
		assert.Greater(t, energy.Raw, last)
		last = energy.Raw
		sugars, _ := panel.Line("sugars")
		carbohydrate, _ := panel.Line("carbohydrate")
		assert.LessOrEqual(t, sugars.Raw, carbohydrate.Raw)
	}
	panel, err := NutritionPanel(30, 74, true)
	require.NoError(t, err)
	assert.InDelta(t, 41.17, float64(panel.Serving), 0.02, "30 mL of 1.3724 g/mL (CRC)")
	for _, c := range []struct {
		serving syrup.Grams
		solids  syrup.Brix
	}{{0, 74}, {-1, 74}, {syrup.Grams(math.NaN()), 74}, {syrup.Grams(math.Inf(1)), 74}, {41, 0}, {41, -1}, {41, 85.01}, {41, syrup.Brix(math.NaN())}} {
		_, err := PanelOf(c.serving, c.solids, true)
		assert.ErrorContains(t, err, "expected", "%v", c)
	}
	_, err = NutritionPanel(-30, 74, true)
	assert.Error(t, err)
	assert.True(t, strings.Contains(NutritionBasis, "not analysed"))
}

// Vector 29, with the ends of its bands.
func TestServings(t *testing.T) {
	for _, c := range []struct {
		container, want float64
		about           bool
	}{{355, 12, true}, {99, 3.5, true}, {90, 3, false}, {75, 2.5, false}, {59.9, 1, false}, {60, 2, false}, {62, 2, true}, {150, 5, false},
		{151, 5, true}, {164, 5, true}, {166, 6, true}, {300, 10, false}} {
		count, about, err := Servings(syrup.Milliliters(c.container), 30)
		require.NoError(t, err)
		assert.Equal(t, c.want, count, "%v", c)
		assert.Equal(t, c.about, about, "%v", c)
	}
	for _, c := range [][2]float64{{0, 30}, {355, 0}, {math.NaN(), 30}, {355, math.NaN()}, {math.Inf(1), 30}, {355, math.Inf(1)}} {
		_, _, err := Servings(syrup.Milliliters(c[0]), syrup.Milliliters(c[1]))
		assert.ErrorIs(t, err, ErrServings)
	}
}

// Vector 28: 21 CFR 101.9(j)(18) by FDA's guide.
func TestExemption(t *testing.T) {
	for _, c := range []struct {
		employees, units float64
		claim, importer  bool
		want             NutritionExemption
	}{
		{99, 99_999, false, false, ExemptWithNotice}, {9, 9_999, false, false, ExemptWithoutPaper}, {10, 9_999, false, false, ExemptWithNotice},
		{9, 10_000, false, false, ExemptWithNotice}, {100, 1, false, false, PanelRequired}, {1, 100_000, false, false, PanelRequired},
		{9, 9_999, true, false, PanelRequired}, {9, 9_999, false, true, ExemptWithNotice}, {math.NaN(), 1, false, false, PanelRequired},
	} {
		assert.Equal(t, c.want, Exemption(c.employees, c.units, c.claim, c.importer), "%v", c)
	}
}
