package hazards

import (
	"math"

	"canewright/hazards/syrup"
)

// nearest rounds to a multiple of step, a half up.
func nearest(x, step float64) float64 { return math.Round(x/step) * step }

// RoundCalories rounds kcal: under 5 to 0, up to 50 to 5, above to 10 (FDA NLEA guide, attachment 7).
func RoundCalories(x float64) float64 {
	switch {
	case x < 5:
		return 0
	case x <= 50:
		return nearest(x, 5)
	}
	return nearest(x, 10)
}

// RoundFat rounds g of fat: under 0.5 to 0, under 5 to 0.5, above to 1.
func RoundFat(x float64) float64 {
	switch {
	case x < 0.5:
		return 0
	case x < 5:
		return nearest(x, 0.5)
	}
	return nearest(x, 1)
}

// RoundCholesterol rounds mg: under 2 to 0, up to 5 "less than 5 mg", above to 5.
func RoundCholesterol(x float64) (rounded float64, lessThan bool) {
	switch {
	case x < 2:
		return 0, false
	case x <= 5:
		return 5, true
	}
	return nearest(x, 5), false
}

// RoundSodium rounds mg: under 5 to 0, up to 140 to 5, above to 10.
func RoundSodium(x float64) float64 {
	switch {
	case x < 5:
		return 0
	case x <= 140:
		return nearest(x, 5)
	}
	return nearest(x, 10)
}

// RoundGrams rounds g of carbohydrate, fiber, sugars and protein: under 0.5 to 0, under 1 "less than 1 g", above to 1.
func RoundGrams(x float64) (rounded float64, lessThan bool) {
	switch {
	case x < 0.5:
		return 0, false
	case x < 1:
		return 1, true
	}
	return nearest(x, 1), false
}

// RoundMineralPercent rounds a percentage of a Daily Value of a vitamin or mineral: under 2 to 0, up to 10 to 2, up to 50
// to 5, above to 10 (the last two from memory).
func RoundMineralPercent(x float64) int {
	switch {
	case x < 2:
		return 0
	case x <= 10:
		return int(nearest(x, 2))
	case x <= 50:
		return int(nearest(x, 5))
	}
	return int(nearest(x, 10))
}

// Servings is how many servings a container holds as the label says it, and whether it says "about": from 2 to 5 to the
// nearest half, above to the nearest whole. Under 2 it is one serving (21 CFR 101.9(b)(6), from memory).
func Servings(container, serving syrup.Milliliters) (count float64, about bool, err error) {
	if !(container > 0) || !(serving > 0) || math.IsInf(float64(container), 1) || math.IsInf(float64(serving), 1) {
		return 0, false, ErrServings
	}
	n := float64(container / serving)
	switch {
	case n < 2:
		return 1, false, nil
	case n <= 5:
		count = nearest(n, 0.5)
	default:
		count = nearest(n, 1)
	}
	return count, math.Abs(count-n) > 1e-9, nil
}

// NutritionExemption is whether a small maker may leave the panel off.
type NutritionExemption string

// The answers (21 CFR 101.9(j)(18), FDA Small Business Nutrition Labeling Exemption Guide).
const (
	PanelRequired      NutritionExemption = "required"
	ExemptWithNotice   NutritionExemption = "exempt_with_notice"
	ExemptWithoutPaper NutritionExemption = "exempt"
)

// Exemption judges by full-time equivalent employees and by units of this product in twelve months. A nutrient or health
// claim on the label ends any exemption; an importer always gives notice.
func Exemption(employees, units float64, claim, importer bool) NutritionExemption {
	switch {
	case claim || !(employees < 100 && units < 100_000):
		return PanelRequired
	case employees < 10 && units < 10_000 && !importer:
		return ExemptWithoutPaper
	}
	return ExemptWithNotice
}
