package app

import (
	"canewright/hazards/syrup"
	"canewright/records"
)

// fillerKinds are the kinds whose screens are the filler's and the lot's; here they are only amended and struck.
func fillerKinds() []*kindPage {
	own := kindPage{See: reader, Write: crew, Order: "id"}
	return []*kindPage{
		simple(own, lotForm, nil, nil),
		simple(own, fillCheckForm, nil, nil),
		simple(own, fillEndForm, nil, nil),
		simple(own, fillEventForm, nil, nil),
	}
}

// lotForm amends a lot. Its code, day and sources are not typed: the code is on bottles, the sources are links.
func lotForm(f *form, l *records.Lot) {
	f.Pick("product", &l.ProductID, f.choices(records.KindProduct), required)
	f.Pick("container", &l.ContainerID, f.choices(records.KindContainer), required)
	f.OptionalPick("bottles_lot", &l.BottlesLotID, f.choices(records.KindSupplyLot))
	f.OptionalPick("closures_lot", &l.ClosuresLotID, f.choices(records.KindSupplyLot))
	f.DayTime("started_at", &l.StartedAt, required)
	f.LongText("note", &l.Note, 0, longText)
}

// fillCheckForm is one look at a bottle as it is capped. An instrument is kept only with what it measured. Of a full bottle
// weighed the net weight is worked out, and not shown as typed.
func fillCheckForm(f *form, k *records.FillCheck) {
	f.Temperature("bottle", &k.Bottle, &k.BottleEntered, optional)
	f.OptionalPick("instrument", &k.InstrumentID, f.instruments(records.MeasuresTemperature, k.InstrumentID))
	f.YesNo("closure_ok", &k.ClosureOK, optional)
	f.Count("inverted_seconds", &k.InvertedSeconds, 0, 3600, optional).Unit = f.words.say("unit.second")
	f.Count("bottle_number", &k.BottleNumber, 1, 1e6, optional)
	f.Grams("gross", &k.Gross, &k.GrossEntered, optional)
	net := k
	if !f.reading() && k.Gross != nil {
		net = &records.FillCheck{}
	}
	f.Grams("net_weight", &net.NetWeight, &net.NetWeightEntered, optional)
	f.OptionalPick("scale", &k.ScaleID, f.instruments(records.MeasuresWeight, k.ScaleID))
	f.Temperature("tank_reading", &k.TankReading, &k.TankEntered, optional)
	f.Count("case_number", &k.CaseNumber, 1, 1e6, optional)
	if f.Revision > 0 && k.Gross != nil {
		f.Grams("tare", &k.Tare, nil, optional)
	}
	f.moment("at", &k.At)
	f.Text("note", &k.Note, 0, longText)
	if !f.reading() {
		return
	}
	if k.Bottle == nil && k.TankReading == nil {
		k.InstrumentID = nil
	}
	if k.NetWeight == nil && k.Gross == nil {
		k.ScaleID = nil
	}
}

// fillEndForm is the count when the last bottle is capped.
func fillEndForm(f *form, e *records.FillEnd) {
	f.Whole("count", &e.Count, 1, 1e6)
	f.Flag("estimated", &e.Estimated)
	f.moment("at", &e.At)
}

// lotReadingForm is the lot's own density reading.
func lotReadingForm(f *form, d *records.DensityReading) {
	needed(f, &d.Reading, func(p **float64) { f.Number("reading", p, 0, 95, required) })
	choiceOf(f, "scale", &d.Scale, required, syrup.ScaleBaume, syrup.ScaleBrix)
	f.Temperature("temperature", &d.Temperature, &d.TemperatureEntered, optional)
	choices := append(f.instruments(records.MeasuresDensity, nil), f.instruments(records.MeasuresRefraction, nil)...)
	f.OptionalPick("instrument", &d.InstrumentID, choices)
	f.OptionalPick("thermometer", &d.ThermometerID, f.instruments(records.MeasuresTemperature, d.ThermometerID))
	if f.reading() && d.Temperature == nil {
		d.ThermometerID = nil
	}
	f.moment("at", &d.At)
	f.Text("note", &d.Note, 0, longText)
	if f.reading() {
		d.ReadingEntered = f.raw.Get("reading") + " " + string(d.Scale)
	}
}
