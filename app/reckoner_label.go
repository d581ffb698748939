package app

import (
	"math"
	"strconv"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/labels"
)

// reckonName lists the names that solids and ingredients allow.
func reckonName(f *reckonForm) (*reckoned, error) {
	solids := f.solids("solids", f.target)
	var typed string
	field := f.Text("ingredients", &typed, 1, 500)
	var list []string
	for name := range strings.SplitSeq(typed, ",") {
		if name = strings.TrimSpace(name); name != "" {
			list = append(list, name)
		}
	}
	if f.ready() && list == nil {
		f.wrong(field, "invalid.required")
	}
	if !f.ready() {
		return nil, nil
	}
	additions := hazards.IngredientAdditions(list)
	names := hazards.AllowedNames(&solids, additions)
	r := &reckoned{}
	if len(names) == 0 {
		r.add(f, "names", twofold{value: f.words.say("reckoner.word.no_name")}, "")
		r.say(f, "reckoner.said.no_name", "Solids", f.solidsOf(solids).value)
	} else {
		r.add(f, "names", twofold{value: names[0]}, "")
		r.say(f, "reckoner.said.names_too", "Names", strings.Join(names[1:], ", "))
	}
	if barred := hazards.BarCane(additions); len(barred) > 0 {
		r.say(f, "reckoner.said.barred", "Names", strings.Join(barred, ", "))
	} else if _, thin := hazards.LostToCane(solids); thin && len(names) > 0 {
		r.say(f, "reckoner.said.thin_name")
	}
	for _, name := range list {
		if hazards.NamesEvaporatedJuice(name) {
			r.say(f, "reckoner.said.evaporated", "Name", name)
		}
	}
	return r, nil
}

// The two shapes of a bottle.
const (
	shapeRound = "round"
	shapeFlat  = "flat"
)

// reckonPanel is the display panel and the letters of the net contents on it.
func reckonPanel(f *reckonForm) (*reckoned, error) {
	height := known(f.length("height", required))
	shape := f.choose("shape", shapeRound, shapeRound, shapeFlat)
	across := known(f.length("across", required))
	moulded := f.flag("moulded")
	if !f.ready() {
		return nil, nil
	}
	up, over := labels.Millimeters(height*1000), labels.Millimeters(across*1000)
	area := labels.FlatPanel(up, over)
	if shape == shapeRound {
		area = labels.CylinderPanel(up, over)
	}
	letters := labels.ContentsHeight(area, moulded)
	r := &reckoned{}
	r.add(f, "letters", f.two2(sixteenths(float64(letters)/25.4), "unit.inch", fixed(letters, 1), "unit.millimeter"), "")
	r.add(f, "panel_area", f.two(float64(area), "unit.square_inch", float64(area)*2.54*2.54, "unit.square_centimeter", 1), "")
	if moulded {
		r.say(f, "reckoner.said.moulded")
	}
	return r, nil
}

// two2 is two for figures already written.
func (f *reckonForm) two2(us, usUnit, metric, metricUnit string) twofold {
	a, b := f.one(us, usUnit).value, f.one(metric, metricUnit).value
	if f.words.units == "metric" {
		return twofold{b, a}
	}
	return twofold{a, b}
}

// sixteenths writes inches as a ruler has them: 3/16, 1/4.
func sixteenths(x float64) string {
	parts, whole := int(math.Round(x*16)), 16
	for parts%2 == 0 && whole > 1 {
		parts, whole = parts/2, whole/2
	}
	return strconv.Itoa(parts) + "/" + strconv.Itoa(whole)
}

// reckonNutrition makes the lines of a Nutrition Facts panel.
func reckonNutrition(f *reckonForm) (*reckoned, error) {
	serving := f.labelled("serving")
	solids := f.solids("solids", f.target)
	container := f.bottle("container", optional)
	others := f.flag("others")
	if !f.ready() {
		return nil, nil
	}
	perML, err := syrup.NetMass(1, solids)
	if err != nil {
		return nil, err
	}
	mass, volume := syrup.Grams(serving.number), syrup.Milliliters(serving.number)
	if serving.unit == hazards.UnitGrams {
		volume = syrup.Milliliters(mass / perML)
	} else {
		mass = perML * syrup.Grams(serving.number)
	}
	panel, err := hazards.PanelOf(mass, solids, !others)
	if err != nil {
		return nil, err
	}
	r := &reckoned{}
	r.add(f, "serving_weighs", f.one(fixed(mass, 0), "unit.gram"), "")
	if err := r.servings(f, container, volume); err != nil {
		return nil, err
	}
	for _, l := range panel.Lines {
		r.Rows = append(r.Rows, f.nutrient(l))
	}
	if !others {
		r.say(f, "reckoner.said.footnote")
	}
	r.say(f, "reckoner.said.database")
	return r, nil
}

// servings adds how many servings a container holds, where it is known.
func (r *reckoned) servings(f *reckonForm, container *syrup.Milliliters, serving syrup.Milliliters) error {
	if container == nil {
		return nil
	}
	count, about, err := hazards.Servings(*container, serving)
	if err != nil {
		return err
	}
	said := plainNumber(count)
	if about {
		said = f.words.say("reckoner.word.about", "Number", said)
	}
	r.add(f, "servings", twofold{value: said}, "")
	return nil
}

// nutrient is a line of the panel as on a label; Also is the percentage of the Daily Value.
func (f *reckonForm) nutrient(l hazards.PanelLine) reckonFigure {
	line := reckonFigure{Label: f.words.say("nutrient." + l.Nutrient)}
	if l.Amount != nil {
		line.Value = plainNumber(*l.Amount)
		if l.Unit != "" {
			line.Value += noBreak + l.Unit
		}
		if l.LessThan {
			line.Value = f.words.say("reckoner.word.less_than", "Amount", line.Value)
		}
	}
	if l.Percent != nil {
		percent := f.one(strconv.Itoa(*l.Percent), "unit.percent").value
		if l.Footnote {
			percent += "†"
		}
		line.Also = percent
	}
	return line
}

// reckonActivity is the water activity, estimated.
func reckonActivity(f *reckonForm) (*reckoned, error) {
	solids := f.solids("solids", f.target)
	inverted, ash, pure := f.mix()
	at := f.maybeTemperature("aw_at", nil, optional)
	if !f.ready() {
		return nil, nil
	}
	when := syrup.Celsius(25) // where laboratories measure it
	if at != nil {
		when = *at
	}
	mix := syrup.Composition{Solids: solids, Inverted: inverted, Ash: ash}
	aw, err := syrup.ActivityOf(mix, when)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelWaterActivity)
	r.add(f, "activity", f.one(fixed(aw, 3), ""), plainNumber(float64(syrup.ActivityUncertaintyOf(mix))))
	if pure {
		r.say(f, "reckoner.said.pure_activity")
	} else {
		r.say(f, "reckoner.said.mix", "Invert", plainNumber(float64(inverted)*100), "Ash", plainNumber(float64(ash)*100))
	}
	if at == nil {
		r.say(f, "reckoner.said.activity_at", "At", f.degrees(when).both())
	}
	r.say(f, "reckoner.said.laboratory")
	return r, nil
}

// reckonCrystal is how much sugar water holds, and whether a syrup will form crystals.
func reckonCrystal(f *reckonForm) (*reckoned, error) {
	at := f.temperature("kept_at", nil)
	solids := f.maybeSolids("solids", f.target, optional)
	invert := f.share("invert_of_syrup", true, syrup.WhatInvertOfSyrup)
	other := f.share("other", true, syrup.WhatOtherSolids)
	if f.reading() && solids == nil && (invert != nil || other != nil) {
		f.wrong(f.named("solids"), "invalid.required")
	}
	if !f.ready() {
		return nil, nil
	}
	pure, err := syrup.Solubility(at)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelCrystal)
	if solids != nil {
		mix := syrup.CrystalMix{Solids: *solids, Invert: syrup.Brix(known(invert)), Other: syrup.Brix(known(other))}
		ratio, err := syrup.Supersaturation(mix, at)
		if err != nil {
			return nil, err
		}
		r.add(f, "saturated", f.one(fixed(ratio, 2), ""), plainNumber(syrup.SupersaturationUncertainty))
		r.say(f, "reckoner.said.risk_"+string(syrup.RiskOfCrystals(ratio)))
		if invert == nil && other == nil {
			r.say(f, "reckoner.said.worst_case")
		}
		r.say(f, "reckoner.said.dextrose")
	}
	r.add(f, "water_holds", f.percentOf(float64(pure), 1), "")
	return r, nil
}

// reckonShelf looks a laboratory's numbers up in the Food Code's tables.
func reckonShelf(f *reckonForm) (*reckoned, error) {
	aw := f.bounded("aw", hazards.BoundWaterActivity, 1)
	ph := f.bounded("ph", hazards.BoundSyrupPH, 14)
	treated := f.flag("treated")
	if !f.ready() {
		return nil, nil
	}
	found, err := hazards.ShelfClass(aw, ph, treated)
	if err != nil {
		return nil, err
	}
	table, word := "B", "reckoner.word.non_tcs"
	if treated {
		table = "A"
	}
	if found == hazards.ProductAssessment {
		word = "reckoner.word.assessment"
	}
	r := &reckoned{}
	r.add(f, "food_code", twofold{value: f.words.say(word)}, "")
	r.say(f, "reckoner.said.food_code", "Table", table)
	if rule := hazards.CannedFood(aw, &ph); rule != hazards.NoCannedFoodRule {
		r.Said = append(r.Said, f.words.say("canned_rule."+string(rule)))
	}
	r.say(f, "reckoner.said.measured")
	return r, nil
}

// bounded asks for a number from 0 to most; a likely slip is asked about.
func (f *reckonForm) bounded(name, bound string, most float64) float64 {
	x := f.number(name, required)
	if x == nil || *x >= 0 && *x <= most {
		return known(x)
	}
	field := f.named(name)
	message := f.words.say("reckoner.from_nothing", "Max", plainNumber(most))
	if _, slip := hazards.Plausible(bound, *x, field.Value); slip != "" {
		message += " " + f.words.say("slip."+string(slip))
	}
	f.wrongWords(field, message)
	return *x
}
