package app

import (
	"errors"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// reckonFill is how much to fill hot so that the declared volume is there at 20 C, and what it weighs.
func reckonFill(f *reckonForm) (*reckoned, error) {
	declared := known(f.bottle("declared", required))
	at := f.temperature("fill_at", nil)
	solids := f.solids("solids", f.target)
	if !f.ready() {
		return nil, nil
	}
	hot, err := syrup.HotVolume(declared, solids, at)
	if err != nil {
		return nil, err
	}
	mass, err := syrup.NetMass(declared, solids)
	if err != nil {
		return nil, err
	}
	weight, err := syrup.NetWeight(declared, solids)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelFill)
	r.add(f, "fill_hot", f.milliliters(hot), f.percentOf(0.1, 1).value)
	r.add(f, "scale_shows", f.gramsOf(weight), f.percentOf(0.1, 1).value)
	r.say(f, "reckoner.said.shrinks", "Shrink", f.percentOf(100*(1-float64(declared/hot)), 1).value, "Declared", f.milliliters(declared).both())
	r.say(f, "reckoner.said.net_mass", "Mass", f.gramsOf(mass).both())
	return r, nil
}

// reckonHeadspace is the room left in a bottle hot and cold.
func reckonHeadspace(f *reckonForm) (*reckoned, error) {
	brim, declared := known(f.bottle("brim", required, syrup.WhatBrim)), known(f.bottle("declared", required))
	at := f.temperature("fill_at", nil)
	solids := f.solids("solids", f.target)
	if !f.ready() {
		return nil, nil
	}
	h, err := syrup.HeadspaceOf(brim, declared, solids, at)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelHeadspace)
	r.add(f, "room_hot", f.percentOf(float64(h.Hot)*100, 1), f.percentOf(0.1, 1).value)
	r.add(f, "room_cold", f.percentOf(float64(h.Cold)*100, 1), f.percentOf(0.1, 1).value)
	if hot, err := syrup.HotVolume(declared, solids, at); err == nil {
		r.add(f, "fill_hot", f.milliliters(hot), "")
	}
	// A bottle filled to within a thousandth of the brim, or half empty, has no bound; the headspace stands all the same.
	if vacuum, err := syrup.VacuumBound(syrup.Composition{Solids: solids}, h.Hot, at); err == nil {
		r.say(f, "reckoner.said.vacuum", "Vacuum", f.two(vacuum.InchesOfMercury(), "unit.inch_mercury", float64(vacuum), "unit.kilopascal", 0).both())
	}
	return r, nil
}

// reckonWeight is what a gallon or a liter of syrup weighs.
func reckonWeight(f *reckonForm) (*reckoned, error) {
	solids := f.solids("solids", f.target)
	if !f.ready() {
		return nil, nil
	}
	pounds, err := syrup.WeightPerGallon(solids)
	if err != nil {
		return nil, err
	}
	density, err := syrup.Density(solids, syrup.ReferenceTemperature)
	if err != nil {
		return nil, err
	}
	baume, err := syrup.BaumeFromSolids(solids, syrup.DefaultModulus)
	if err != nil {
		return nil, err
	}
	gravity, err := syrup.TrueGravity(solids)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelDensity)
	r.add(f, "gallon_weighs", f.one(fixed(pounds, 3), "unit.pound"), f.one("0.004", "unit.pound").value)
	r.add(f, "liter_weighs", f.one(fixed(density/1000, 3), "unit.kilogram"), f.one("0.001", "unit.kilogram").value)
	r.add(f, "baume_cold", f.one(fixed(baume, 2), "unit.baume"), f.one("0.04", "unit.baume").value)
	r.add(f, "gravity", f.one(fixed(gravity, 4), ""), "")
	r.say(f, "reckoner.said.air")
	return r, nil
}

// reckonLethality is what a record of a cooling bottle is worth in minutes at a reference temperature.
func reckonLethality(f *reckonForm) (*reckoned, error) {
	usual, slope := syrup.Fahrenheit(180).Celsius(), syrup.FahrenheitDelta(23).Celsius()
	var typed string
	f.LongText("record", &typed, 1, 40_000)
	field := f.named("record")
	ref := f.temperature("ref", &usual, syrup.WhatReference)
	z := known(quantityAsked(f, "z", measure[syrup.CelsiusDelta]{[]string{"F", "C"}, "F", "C", syrup.DifferenceFrom, false}, &slope, required, syrup.WhatSlope))
	if !f.ready() {
		return nil, nil
	}
	record, err := syrup.ParseRecord(strings.NewReader(typed))
	if err != nil {
		f.wrongWords(field, hazards.SayProblem(f.words.lang, err))
		return nil, nil
	}
	f.note(field, 0, "", []string{syrup.WhatReadings, syrup.WhatMinutes, syrup.WhatTemperature})
	minutes, err := syrup.Lethality(record, ref, z)
	if err != nil {
		return nil, err
	}
	highest := record[0].Temperature
	for _, m := range record {
		highest = max(highest, m.Temperature)
	}
	r := modelled(syrup.ModelLethality)
	r.add(f, "worth", f.one(fixed(minutes, 2), "unit.minute"), "")
	r.say(f, "reckoner.said.record", "Count", len(record), "Over", plainNumber(record[len(record)-1].Minutes-record[0].Minutes), "Highest", f.degrees(highest).both())
	r.say(f, "reckoner.said.reference", "Reference", f.degrees(ref).both(), "Slope", f.degreesApart(z).both())
	r.say(f, "reckoner.said.mould")
	return r, nil
}

// reckonLotCode checks a lot code and says what it means.
func reckonLotCode(f *reckonForm) (*reckoned, error) {
	var typed string
	field := f.Text("code", &typed, 1, 40)
	if !f.ready() {
		return nil, nil
	}
	code, err := labels.ParseLotCode(typed)
	var malformed labels.MalformedCode
	var wrong labels.WrongCheck
	switch {
	case errors.As(err, &malformed):
		f.wrongWords(field, malformed.Say(f.words.lang))
		return nil, nil
	case errors.As(err, &wrong):
		f.wrongWords(field, wrong.Say(f.words.lang))
		f.code = typed
		return nil, nil
	case err != nil:
		return nil, err
	}
	r := &reckoned{}
	r.add(f, "code_right", twofold{value: code.Printed()}, "")
	day, err := f.words.day(records.Day(code.Day().Format("2006-01-02")))
	if err != nil {
		return nil, err
	}
	r.say(f, "reckoner.said.first_bottle", "Day", day)
	if code.Kettle() == 0 {
		r.say(f, "reckoner.said.kettles_mixed", "Bottling", code.Bottling())
	} else {
		r.say(f, "reckoner.said.kettle", "Kettle", code.Kettle(), "Bottling", code.Bottling())
	}
	return r, nil
}
