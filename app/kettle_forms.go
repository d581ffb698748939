package app

import (
	"slices"

	"canewright/hazards/syrup"
	"canewright/records"
)

// relabel gives a field a label of its own, in the list of wrong fields too.
func (f *form) relabel(field *Field, label string) *Field {
	field.Label = label
	for i := range f.Wrong {
		if f.Wrong[i].Target == field.ID {
			f.Wrong[i].Label = label
		}
	}
	return field
}

// entryForm binds one line of the boil log, each sort with the fields it needs.
func entryForm(f *form, e *records.BoilEntry) {
	switch e.What {
	case records.EntryTemperature:
		f.Temperature("temperature", &e.Temperature, &e.TemperatureEntered, required)
		f.OptionalPick("instrument", &e.InstrumentID, f.instruments(records.MeasuresTemperature, e.InstrumentID))
		left := f.Volume("volume", &e.Volume, &e.VolumeEntered, optional)
		f.relabel(left, f.words.say("boil_entry.volume_in_kettle")).Help = f.words.say("boil_entry.volume_in_kettle.help")
	case records.EntrySkimming:
		f.Temperature("temperature", &e.Temperature, &e.TemperatureEntered, optional)
	case records.EntryCloth:
		f.OptionalPick("supply_lot", &e.SupplyLotID, f.supplies(records.SupplyCloths, e.SupplyLotID))
	case records.EntryDrawnOff:
		drawn := f.Volume("volume", &e.Volume, &e.VolumeEntered, optional)
		f.relabel(drawn, f.words.say("boil_entry.volume_drawn"))
		f.Flag("estimated", &e.Estimated)
		if e.Outcome == records.OutcomeSyrup {
			f.Volume("heel", &e.Heel, &e.HeelEntered, optional)
		}
		f.Temperature("temperature", &e.Temperature, &e.TemperatureEntered, optional)
		f.OptionalPick("instrument", &e.InstrumentID, f.instruments(records.MeasuresTemperature, e.InstrumentID))
	}
	if e.What == records.EntryNote {
		f.LongText("note", &e.Note, 1, longText)
	} else {
		f.Text("note", &e.Note, 0, shortText)
	}
	f.moment("at", &e.At)
}

// scales are the marks a reading may be in; the text of each is that of its unit.
var scales = map[string]string{string(syrup.ScaleBaume): "unit.baume", string(syrup.ScaleBrix): "unit.brix"}

// readingForm binds a density reading of a run. The scale starts as the one of the instrument last used.
func readingForm(f *form, d *records.DensityReading) {
	if f.Revision > 0 && d.Stage == records.StageLot {
		f.Choice("stage", &d.Stage, required, records.StageLot)
	} else {
		f.Choice("stage", &d.Stage, required, records.StageBoil, records.StageFinish)
	}
	scaleField(f, d)
	f.Temperature("temperature", &d.Temperature, &d.TemperatureEntered, optional)
	f.OptionalPick("instrument", &d.InstrumentID, solidsInstruments(f, d.InstrumentID))
	f.OptionalPick("thermometer", &d.ThermometerID, f.instruments(records.MeasuresTemperature, d.ThermometerID))
	f.Text("note", &d.Note, 0, shortText)
	f.moment("at", &d.At)
	if f.reading() && d.Temperature == nil {
		d.ThermometerID = nil
	}
}

// scaleField binds reading and scale as a number with its unit beside it.
func scaleField(f *form, d *records.DensityReading) {
	first := string(d.Scale)
	if first == "" {
		first = string(syrup.ScaleBaume)
	}
	needed(f, &d.Reading, func(p **float64) { onScales(f, p, d, first, required) })
	if f.reading() {
		d.Scale = syrup.Scale(f.raw.Get("reading_unit"))
	}
}

// onScales binds the number of a reading with the scales beside it, the one of the instrument in hand first.
func onScales(f *form, to **float64, d *records.DensityReading, first string, n need) *Field {
	m := measure[float64]{units: []string{string(syrup.ScaleBaume), string(syrup.ScaleBrix)}, us: first, metric: first,
		from: func(x float64, unit string) (float64, error) { return x, onScale(x, syrup.Scale(unit)) }}
	field := quantityField(f, "reading", m, to, &d.ReadingEntered, n)
	for i, u := range field.Units {
		field.Units[i].Name = f.words.say(scales[u.Value])
	}
	return field
}

// solidsInstruments lists hydrometers, then refractometers.
func solidsInstruments(f *form, chosen *string) []Choice {
	density := slices.Clone(f.instruments(records.MeasuresDensity, nil))
	if chosen != nil && slices.ContainsFunc(density, func(c Choice) bool { return c.Value == *chosen }) {
		chosen = nil
	}
	return append(density, f.instruments(records.MeasuresRefraction, chosen)...)
}

// onScale holds a reading to what a stem can show at all; a mix-up of scales is judged, not refused.
func onScale(x float64, scale syrup.Scale) error {
	top := 95.0
	if scale == syrup.ScaleBaume {
		top = 70
	}
	if x < 0 || x > top {
		return syrup.RangeError{What: syrup.WhatReading, Got: x, Min: 0, Max: top, Unit: string(scale)}
	}
	return nil
}

// additionForm binds an addition. Its three answers may wait, and then say so.
func additionForm(f *form, d *records.Addition) {
	f.Text("substance", &d.Substance, 1, shortText)
	f.Choice("use", &d.Use, required, records.AdditionUses()...)
	f.Grams("amount", &d.Amount, &d.AmountEntered, optional)
	f.OptionalPick("supply_lot", &d.SupplyLotID, f.supplies(records.SupplyAdditive, d.SupplyLotID))
	f.YesNo("stays", &d.Stays, optional)
	allergenFields(f, &d.Allergens)
	f.YesNo("sulfites", &d.Sulfites, optional)
	f.moment("at", &d.At)
}

// allergenFields ask first whether there are any: nil is not answered, an empty text is none.
func allergenFields(f *form, to **string) {
	answer, which := "", ""
	if *to != nil {
		answer = "none"
		if which = **to; which != "" {
			answer = "some"
		}
	}
	f.Choice("allergens_answer", &answer, optional, "none", "some")
	named := f.Text("allergens", &which, 0, 400)
	switch {
	case !f.reading():
		return
	case answer == "some" && which == "":
		f.wrong(named, "invalid.required")
	case answer == "none" && which != "":
		f.wrong(named, "kettle_page.allergens_both")
	case answer == "" && which == "":
		*to = nil
	default:
		*to = &which
	}
}

// washForm binds a wash-out.
func washForm(f *form, w *records.WashOut) {
	f.Text("note", &w.Note, 0, shortText)
	f.moment("at", &w.At)
}

// runForm binds what an amendment may change of a run: when the fire was lit, and the note.
func runForm(f *form, r *records.Run) {
	f.moment("fire_lit_at", &r.FireLitAt)
	f.LongText("note", &r.Note, 0, longText)
}

// linkForm binds what an amendment may change of a link: when, how much, and whether that is estimated. Mass and solids
// are worked out anew when the amount changes.
func linkForm(f *form, l *records.Link) {
	before := *l
	switch {
	case l.Units != nil:
		f.Count("units", &l.Units, 1, 1_000_000, required)
	case l.Volume == nil && l.Mass != nil:
		f.Mass("mass", &l.Mass, &l.Entered, optional)
	default:
		f.Volume("volume", &l.Volume, &l.Entered, optional)
	}
	if f.reading() && l.Units == nil {
		keepAmount(l, before)
	}
	f.Flag("estimated", &l.Estimated)
	f.moment("at", &l.At)
}

// keepAmount keeps an amount that was only shown, rounded, and not changed; else what follows from it is worked out anew.
func keepAmount(l *records.Link, before records.Link) {
	if before.Volume != nil && l.Volume != nil && near(float64(*l.Volume), float64(*before.Volume)) ||
		before.Volume == nil && before.Mass != nil && l.Mass != nil && near(float64(*l.Mass), float64(*before.Mass)) {
		l.Volume, l.Mass, l.Solids, l.Entered = before.Volume, before.Mass, before.Solids, before.Entered
		return
	}
	l.Solids = nil
	if before.Volume != nil {
		l.Mass = nil
	}
}

// near tells whether two amounts differ by less than a form shows.
func near(a, b float64) bool {
	return a-b < 0.001*max(1, b) && b-a < 0.001*max(1, b)
}
