package hazards

import (
	"errors"
	"fmt"
	"math"

	"canewright/hazards/syrup"
)

// NutritionBasis is said wherever the panel is shown: the figures come from a database, nobody analysed this syrup.
const NutritionBasis = "from database, not analysed"

// NutritionSource is the row the panel is made from.
const NutritionSource = "USDA National Nutrient Database for Standard Reference, Release 28, NDB 90480 \"Syrup, Cane\""

// Nutrients is a set of amounts: g but for kcal and the milligrams.
type Nutrients struct {
	Kilocalories, Protein, Fat, Carbohydrate, Fiber, Sugars float64
	CalciumMG, IronMG, PotassiumMG, SodiumMG                float64
}

// caneSyrup100g is SR28 NDB 90480 per 100 g, which holds 26.00 g water; vitamin D is not in it and taken as none.
var caneSyrup100g = Nutrients{Kilocalories: 269, Carbohydrate: 73.14, Sugars: 73.20, CalciumMG: 13, IronMG: 3.60, PotassiumMG: 63, SodiumMG: 58}

// databaseSolids are the solids of that row: 100 g less its water.
const databaseSolids syrup.Brix = 74

// of is the amounts in so many grams of syrup of the row's solids.
func (n Nutrients) of(grams float64) Nutrients {
	k := grams / 100
	return Nutrients{n.Kilocalories * k, n.Protein * k, n.Fat * k, n.Carbohydrate * k, n.Fiber * k, n.Sugars * k, n.CalciumMG * k, n.IronMG * k,
		n.PotassiumMG * k, n.SodiumMG * k}
}

// ServingNutrients is what a serving of so many grams holds, unrounded: SR28's row, scaled by the syrup's solids.
func ServingNutrients(serving syrup.Grams, solids syrup.Brix) (Nutrients, error) {
	if !(serving > 0) || math.IsInf(float64(serving), 1) {
		return Nutrients{}, fmt.Errorf("serving %v g: expected more than 0", float64(serving))
	}
	if !(solids > 0 && solids <= syrup.MaxSolids) {
		return Nutrients{}, syrup.RangeError{What: syrup.WhatSolids, Got: float64(solids), Min: 0, Max: float64(syrup.MaxSolids), Unit: "%"}
	}
	return caneSyrup100g.of(float64(serving) * float64(solids/databaseSolids)), nil
}

// PanelLine is one line of a Nutrition Facts panel.
type PanelLine struct {
	Nutrient string   // catalogue key "nutrient.NAME"
	Raw      float64  // before rounding
	Amount   *float64 // as rounded for the label; nil where only the percentage is shown
	Unit     string   // "", "g", "mg" or "mcg"
	LessThan bool     // "less than 1 g"
	Percent  *int     // of the Daily Value; nil where the label has none
	Footnote bool     // † after the percentage
}

// Panel is the Nutrition Facts of one serving.
type Panel struct {
	Serving syrup.Grams
	Lines   []PanelLine
}

// Daily Values: added sugars 50 g (FDA guidance, June 2019); the others from memory, high confidence (21 CFR 101.9(c), 2016).
const (
	dvFat, dvSaturated, dvCholesterol, dvSodium = 78, 20, 300, 2300
	dvCarbohydrate, dvFiber, dvAddedSugars      = 275, 28, 50
	dvCalcium, dvIron, dvPotassium, dvVitaminD  = 1300, 18, 4700, 20
)

// NutritionPanel is the panel of a serving by volume. single tells whether the syrup is cane juice alone: then there is no
// "Includes" line, the percentage for added sugars stays and carries the footnote (Farm Bill 2018, section 12516). With salt
// or anything else it is the normal line.
func NutritionPanel(serving syrup.Milliliters, solids syrup.Brix, single bool) (Panel, error) {
	mass, err := syrup.NetMass(serving, solids)
	if err != nil {
		return Panel{}, err
	}
	return PanelOf(mass, solids, single)
}

// PanelOf is NutritionPanel for a serving by mass.
func PanelOf(serving syrup.Grams, solids syrup.Brix, single bool) (Panel, error) {
	n, err := ServingNutrients(serving, solids)
	if err != nil {
		return Panel{}, err
	}
	sugars := min(n.Sugars, n.Carbohydrate) // the row has more sugars than carbohydrate
	p := Panel{Serving: serving}
	p.Lines = []PanelLine{
		{Nutrient: "calories", Raw: n.Kilocalories, Amount: amount(RoundCalories(n.Kilocalories))},
		fatLine("fat", n.Fat, dvFat), fatLine("saturated_fat", 0, dvSaturated), noPercent(fatLine("trans_fat", 0, 1)),
		cholesterolLine(0),
		{Nutrient: "sodium", Raw: n.SodiumMG, Amount: amount(RoundSodium(n.SodiumMG)), Unit: "mg", Percent: percentOf(n.SodiumMG, dvSodium)},
		gramLine("carbohydrate", n.Carbohydrate, dvCarbohydrate), gramLine("fiber", n.Fiber, dvFiber),
		noPercent(gramLine("sugars", sugars, 1)), addedLine(n.Sugars, sugars, single), noPercent(gramLine("protein", n.Protein, 1)),
		mineralLine("vitamin_d", 0, dvVitaminD, "mcg", 10), mineralLine("calcium", n.CalciumMG, dvCalcium, "mg", 0.1),
		mineralLine("iron", n.IronMG, dvIron, "mg", 10), mineralLine("potassium", n.PotassiumMG, dvPotassium, "mg", 0.1),
	}
	return p, nil
}

// Line finds a line by its nutrient.
func (p Panel) Line(nutrient string) (PanelLine, bool) {
	for _, l := range p.Lines {
		if l.Nutrient == nutrient {
			return l, true
		}
	}
	return PanelLine{}, false
}

func amount(x float64) *float64 { return &x }

// percentOf is the whole percentage of a Daily Value.
func percentOf(x, daily float64) *int {
	p := int(math.Round(x * 100 / daily))
	return &p
}

func noPercent(l PanelLine) PanelLine {
	l.Percent = nil
	return l
}

func gramLine(name string, x, daily float64) PanelLine {
	rounded, less := RoundGrams(x)
	return PanelLine{Nutrient: name, Raw: x, Amount: &rounded, LessThan: less, Unit: "g", Percent: percentOf(x, daily)}
}

func fatLine(name string, x, daily float64) PanelLine {
	return PanelLine{Nutrient: name, Raw: x, Amount: amount(RoundFat(x)), Unit: "g", Percent: percentOf(x, daily)}
}

func cholesterolLine(x float64) PanelLine {
	rounded, less := RoundCholesterol(x)
	return PanelLine{Nutrient: "cholesterol", Raw: x, Amount: &rounded, LessThan: less, Unit: "mg", Percent: percentOf(x, dvCholesterol)}
}

// addedLine is added sugars: all sugars of a syrup. The percentage is of the amount the database gives.
func addedLine(raw, sugars float64, single bool) PanelLine {
	line := gramLine("added_sugars", sugars, dvAddedSugars)
	line.Percent = percentOf(raw, dvAddedSugars)
	if single {
		line.Amount, line.LessThan, line.Footnote = nil, false, true
	}
	return line
}

// mineralLine rounds the amount to 1/parts.
func mineralLine(name string, x, daily float64, unit string, parts float64) PanelLine {
	percent := RoundMineralPercent(x * 100 / daily)
	return PanelLine{Nutrient: name, Raw: x, Amount: amount(math.Round(x*parts) / parts), Unit: unit, Percent: &percent}
}

// ErrServings says that a container and a serving do not make a number of servings.
var ErrServings = errors.New("servings: container and serving are expected to be more than 0")
