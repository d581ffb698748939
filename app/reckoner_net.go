package app

import (
	"errors"
	"math"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// labelled is what a label declares: a volume in mL or a mass in g.
type labelled struct {
	number float64
	unit   hazards.Unit
	word   string // key of the unit that errors and variations are in
}

// labelled asks for what a label declares: fluid measure or weight, more than nothing.
func (f *reckonForm) labelled(name string) labelled {
	got := labelled{unit: hazards.UnitMilliliters, word: "unit.milliliter"}
	from := func(x float64, unit string) (float64, error) {
		if unit == "g" || unit == "oz" || unit == "lb" || unit == "kg" {
			got = labelled{unit: hazards.UnitGrams, word: "unit.gram"}
			m, err := syrup.MassFrom(x, unit)
			return float64(m.Grams()), err
		}
		v, err := syrup.VolumeFrom(x, unit)
		return float64(v.Milliliters()), err
	}
	m := measure[float64]{[]string{"floz", "mL", "oz", "g", "pt", "qt", "lb", "L", "kg"}, "floz", "mL", from, false}
	got.number = known(quantityAsked(f, name, m, nil, required, syrup.WhatVolume, syrup.WhatMass))
	if f.ready() && got.number == 0 {
		f.wrong(f.named(name), "reckoner.above_zero")
	}
	return got
}

// scheme asks by which rules the contents are checked.
func (f *reckonForm) scheme() hazards.NetScheme {
	return hazards.NetScheme(f.choose("scheme", string(hazards.SchemeHB133), string(hazards.SchemeHB133), string(hazards.SchemeR87)))
}

// variation asks for the maximum allowable variation the maker read in the handbook, in mL or g as the label.
func (f *reckonForm) variation(label labelled) *float64 {
	mav := f.number("mav", optional)
	if f.ready() && mav != nil && !(*mav > 0 && *mav < label.number) {
		f.wrong(f.named("mav"), "reckoner.variation")
	}
	return mav
}

// reckonNet judges a sample of packages.
func reckonNet(f *reckonForm) (*reckoned, error) {
	scheme, label := f.scheme(), f.labelled("label")
	var lot *int
	f.Count("lot_size", &lot, 1, 1_000_000, required)
	var typed string
	field := f.LongText("errors", &typed, 1, 4000)
	mav := f.variation(label)
	if !f.ready() {
		return nil, nil
	}
	mav, from := f.fromTables(scheme, label, mav)
	list, err := numberList(typed)
	if err != nil {
		f.wrongWords(field, hazards.SayProblem(f.words.lang, err))
		return nil, nil
	}
	for _, x := range list {
		if x < -label.number {
			f.wrong(field, "reckoner.error_under", "Error", plainNumber(x))
			return nil, nil
		}
	}
	found, err := hazards.CheckNet(hazards.NetSample{Scheme: scheme, Label: label.number, Unit: label.unit, Lot: *lot, Errors: list, MAV: mav})
	var sample hazards.WrongSample
	var small hazards.LotTooSmall
	switch {
	case errors.As(err, &sample):
		f.wrong(field, "reckoner.sample", "Lot", sample.Lot, "Want", sample.Want, "Got", sample.Got)
		return nil, nil
	case errors.As(err, &small):
		f.wrong(f.named("lot_size"), "reckoner.lot_small", "Least", small.Least)
		return nil, nil
	case err != nil:
		return nil, err
	}
	return f.netAnswer(found, label, scheme, from), nil
}

// numberList reads numbers apart by spaces or lines.
func numberList(typed string) ([]float64, error) {
	var list []float64
	for field := range strings.FieldsSeq(typed) {
		x, err := syrup.ParseNumber(field)
		if err != nil {
			return nil, err
		}
		list = append(list, x)
	}
	return list, nil
}

func (f *reckonForm) netAnswer(n hazards.NetResult, label labelled, scheme hazards.NetScheme, entered string) *reckoned {
	r := &reckoned{}
	verdict := "reckoner.word.fails"
	if n.Pass {
		verdict = "reckoner.word.passes"
	}
	r.add(f, "sample", twofold{value: f.words.say(verdict)}, "")
	r.add(f, "average_error", f.one(fixed(n.Average, 2), label.word), "")
	if n.Limit == nil {
		r.say(f, "reckoner.said.single")
	} else {
		r.say(f, "reckoner.said.average", "SD", f.one(fixed(*n.SD, 2), label.word).value, "Limit", f.one(fixed(*n.Limit, 2), label.word).value,
			"Sum", f.one(fixed(n.Average+*n.Limit, 2), label.word).value)
	}
	r.say(f, "reckoner.said.short", "Short", n.Short, "Tolerance", f.one(fixed(n.Tolerance, 1), label.word).value, "Allowed", n.Plan.Allowed,
		"Worst", f.one(fixed(n.Worst, 2), label.word).value)
	r.toleranceFrom(f, n, scheme, entered)
	return r
}

// toleranceFrom says where the tolerance of a package comes from.
func (r *reckoned) toleranceFrom(f *reckonForm, n hazards.NetResult, scheme hazards.NetScheme, entered string) {
	switch {
	case scheme == hazards.SchemeR87:
		r.say(f, "reckoner.said.from_r87")
	case n.Action:
		r.say(f, "reckoner.said.from_action")
	case entered != "":
		r.Said = append(r.Said, entered)
	default:
		r.say(f, "reckoner.said.from_table")
	}
}

// reckonTolerance is what one package may fall short by.
func reckonTolerance(f *reckonForm) (*reckoned, error) {
	scheme, label := f.scheme(), f.labelled("label")
	mav := f.variation(label)
	if !f.ready() {
		return nil, nil
	}
	mav, from := f.fromTables(scheme, label, mav)
	t, err := hazards.PackageTolerance(hazards.NetSample{Scheme: scheme, Label: label.number, Unit: label.unit, MAV: mav})
	if err != nil {
		return nil, err
	}
	r := &reckoned{}
	r.add(f, "may_fall_short", f.one(fixed(t.Tolerance, 1), label.word), "")
	r.add(f, "twice", f.one(fixed(2*t.Tolerance, 1), label.word), "")
	r.toleranceFrom(f, t, scheme, from)
	return r, nil
}

// reckonWeigh finds what one package holds by weighing it.
func reckonWeigh(f *reckonForm) (*reckoned, error) {
	label := known(f.bottle("label", required))
	m := measure[syrup.KilogramsPerCubicMeter]{[]string{"g/mL", "kg/L", "kg/m3", "lb/gal"}, "lb/gal", "g/mL", syrup.DensityFrom, false}
	density := float64(known(quantityAsked(f, "density", m, nil, required, syrup.WhatDensity))) / 1000
	tare, gross := f.grams("tare"), f.grams("gross")
	if f.ready() && gross < tare {
		f.wrong(f.named("gross"), "reckoner.gross_under")
	}
	if !f.ready() {
		return nil, nil
	}
	off, err := hazards.GravimetricError(float64(label), density, tare, gross)
	if err != nil {
		return nil, err
	}
	r := &reckoned{}
	r.add(f, "package_error", f.milliliters(syrup.Milliliters(math.Round(off*100)/100)), "")
	r.add(f, "holds", f.milliliters(label+syrup.Milliliters(off)), "")
	r.add(f, "should_weigh", f.gramsOf(syrup.Grams(float64(label)*density+tare)), "")
	r.say(f, "reckoner.said.weigh_cold")
	return r, nil
}
