package app

import (
	"context"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// watchPanel says what to watch for: the reading, the rise and the boiling temperature that mean the target.
type watchPanel struct {
	Target    string
	At, When  string // last temperature as judged; empty when there is none
	Corrected string // what was read, where that differs
	Hand      string // the instrument in hand
	Reading   string // what it shows at the target; empty when off its scale
	Cold      bool   // a refractometer: the drop has to cool
	Boils     string // from to, as the thermometer shows it today
	On        string // the thermometer
	Rise      string // from to, above boiling water
	Above     string // how far the kettle stands above boiling water now
	Suggests  string // the solids that suggests
	Water     string // where water boils, and how that is known
	Ask       string // address of the check in boiling water, while there is none today
	Failed    string // said of a thermometer that failed its check
}

// readingPanel is the last density reading: what it means and what to do.
type readingPanel struct {
	Read, Solids string
	Corrected    string // what was taken off its temperature
	Stage        string
	Usable       bool
	Advice       string
	Basis        string // for which volume the water was worked out
	Findings     []shownFinding
}

// watchRun fills the two panels.
func (a *App) watchRun(ctx context.Context, v *visitor, log records.BoilLog, rules hazards.Rules, page *runPage) error {
	hand, err := a.inHand(ctx, log)
	if err != nil {
		return err
	}
	if page.Open {
		if page.Watch, err = a.watch(ctx, v, log, hand); err != nil {
			return err
		}
	}
	if len(log.Readings) == 0 {
		return nil
	}
	last := log.Readings[len(log.Readings)-1]
	page.Reading, err = a.readingPanel(ctx, v, log, last, rules)
	return err
}

func (a *App) watch(ctx context.Context, v *visitor, log records.BoilLog, hand *records.Instrument) (*watchPanel, error) {
	w := v.words()
	p := &watchPanel{Hand: w.say("kettle_page.any_hydrometer")}
	p.Target, _ = w.percent(v.house.TargetSolids)
	if err := a.watchReading(ctx, v, log, hand, p); err != nil {
		return nil, err
	}
	thermometer, err := a.lastThermometer(ctx, log)
	if err != nil {
		return nil, err
	}
	water, facts, known, err := records.WaterOf(ctx, a.store, thermometer, a.store.Now())
	if err != nil || !known {
		return p, err
	}
	p.watchRise(w, log, water, facts, v.house.TargetSolids)
	if water.Zero == nil && v.may(crew) {
		p.Ask = waterURL(thermometer, log.Run.ID)
	}
	return p, nil
}

// watchReading adds what the instrument in hand shows at the target, at the last temperature as judged.
func (a *App) watchReading(ctx context.Context, v *visitor, log records.BoilLog, hand *records.Instrument, p *watchPanel) error {
	w, scale := v.words(), syrup.ScaleBaume
	var id *string
	if hand != nil {
		p.Hand, id = hand.Name, &hand.ID
		p.Cold = hand.Measures == records.MeasuresRefraction
		if hand.Scale != "" {
			scale = hand.Scale
		}
	}
	read, when, by := lastRead(log)
	if read == nil {
		return nil
	}
	thermometer, err := records.InstrumentFactsOf(ctx, a.store, by, when)
	if err != nil {
		return err
	}
	at := thermometer.Temperature(*read)
	p.At, _ = w.temperature(at)
	p.When, _ = w.clock(when)
	if c := thermometer.Correction(*read); c != nil {
		p.Corrected = c.Words(w.lang, w.units)
	}
	facts, err := records.InstrumentFactsOf(ctx, a.store, id, a.store.Now())
	if err != nil {
		return err
	}
	if reading, err := hazards.TargetReading(facts, scale, v.house.TargetSolids, at); err == nil {
		p.Reading = decimal(reading) + noBreak + w.say(scales[string(scale)])
	}
	return nil
}

// watchRise adds how far above boiling water the target boils, what the thermometer shows there today, and what the kettle's
// last rise suggests.
func (p *watchPanel) watchRise(w words, log records.BoilLog, water records.Water, thermometer *hazards.InstrumentFacts, target syrup.Brix) {
	low, high, ok := hazards.TargetRise(target, water.Pressure)
	if !ok {
		return
	}
	p.Rise = w.say("watch.range", "Low", w.bareRise(low), "High", w.rise(high))
	from, _ := w.temperature(thermometer.Shows(water.Boils + syrup.Celsius(low)))
	to, _ := w.temperature(thermometer.Shows(water.Boils + syrup.Celsius(high)))
	p.Boils = w.say("kettle_page.boils_range", "Low", from, "High", to)
	p.On = w.say("watch.any_thermometer")
	if thermometer != nil {
		p.On = thermometer.Name
		if thermometer.Error != nil {
			p.Failed = w.say("watch.failed", "Thermometer", thermometer.Name, "Off", w.signed(syrup.CelsiusDelta(*thermometer.Error)))
		}
	}
	p.Water = w.waterToday(water, p.On)
	last := lastInKettle(log)
	if last == nil || !sameInstrument(last.InstrumentID, thermometer) {
		return
	}
	above := thermometer.Temperature(*last.Temperature).Sub(water.Boils)
	if thin, thick, ok := hazards.SuggestedSolids(above, thermometer, water.Pressure); ok {
		p.Above, p.Suggests = w.rise(above), w.say("watch.range", "Low", decimal(float64(thin)), "High", decimal(float64(thick))+noBreak+w.say("unit.percent"))
	}
}

// bareRise is a difference of temperatures without its unit, before one that has it.
func (w words) bareRise(d syrup.CelsiusDelta) string {
	if w.units == "metric" {
		return decimal(float64(d))
	}
	return decimal(float64(d) * 9 / 5)
}

// waterToday says where water boils today and how that is known.
func (w words) waterToday(water records.Water, thermometer string) string {
	boils, _ := w.temperature(water.Boils)
	switch {
	case water.Zero != nil:
		when, _ := w.clock(water.Zero.At)
		read, _ := w.temperature(water.Boils + syrup.Celsius(water.Zero.Off))
		return w.say("watch.checked", "Water", boils, "Thermometer", thermometer, "Read", read, "When", when, "Off", w.signed(water.Zero.Off))
	case water.SeaLevel():
		return w.say("watch.sea", "Water", boils)
	}
	height, _ := w.length(water.Altitude)
	return w.say("watch.height", "Water", boils, "Altitude", height)
}

// sameInstrument tells whether a reading was taken with an instrument.
func sameInstrument(id *string, i *hazards.InstrumentFacts) bool {
	if id == nil || i == nil {
		return id == nil && i == nil
	}
	return *id == i.ID
}

// lastInKettle is the newest temperature of what is in the kettle; nil when there is none.
func lastInKettle(log records.BoilLog) *records.BoilEntry {
	var last *records.BoilEntry
	for i, e := range log.Entries {
		if e.Temperature != nil && (last == nil || !e.At.Before(last.At)) {
			last = &log.Entries[i]
		}
	}
	return last
}

// lastRead is the newest temperature of the syrup, of the log or of a reading, with its thermometer; nil when there is none.
func lastRead(log records.BoilLog) (read *syrup.Celsius, when time.Time, thermometer *string) {
	if e := lastInKettle(log); e != nil {
		read, when, thermometer = e.Temperature, e.At, e.InstrumentID
	}
	for _, r := range log.Readings {
		if r.Temperature != nil && r.At.After(when) {
			read, when, thermometer = r.Temperature, r.At, r.ThermometerID
		}
	}
	return read, when, thermometer
}

// solids writes true solids with their uncertainty.
func (w words) solids(s syrup.Solids) string {
	return w.say("kettle_page.true_solids", "Solids", decimal(float64(s.Percent)), "Uncertainty", decimal(float64(s.Uncertainty)))
}

// estimatedSolids says the solids of a reading, with what it was worked out from; blank when it cannot be used.
func (a *App) estimatedSolids(ctx context.Context, w words, r records.DensityReading) (hazards.ReadingFacts, string) {
	facts, err := records.ReadingFactsOf(ctx, a.store, r)
	if err != nil {
		return facts, ""
	}
	solids, err := facts.Solids()
	if err != nil {
		return facts, ""
	}
	return facts, w.solids(solids) + " " + w.say("kettle_page.estimated")
}

// solidsWords say the solids of a reading, and that a thermometer's zero was taken off its temperature where it was; blank
// when it cannot be used.
func (a *App) solidsWords(ctx context.Context, w words, r records.DensityReading) string {
	facts, said := a.estimatedSolids(ctx, w, r)
	if said == "" {
		return ""
	}
	if c := facts.Correction(); c != nil {
		by := c.By.Words(w.lang, w.units)
		if c.By.Number > 0 {
			by = "+" + by
		}
		said += ", " + w.say("watch.temperature_corrected", "By", by)
	}
	return said
}

func (a *App) readingPanel(ctx context.Context, v *visitor, log records.BoilLog, r records.DensityReading, rules hazards.Rules) (*readingPanel, error) {
	w := v.words()
	facts, err := records.ReadingFactsOf(ctx, a.store, r)
	if err != nil {
		return nil, err
	}
	p := &readingPanel{Stage: w.say("density_reading.stage." + r.Stage), Findings: shownFindings(w, hazards.JudgeReading(facts, rules))}
	when, _ := w.clock(r.At)
	if r.Temperature == nil {
		p.Read = w.say("kettle_page.read_as_cold", "Reading", w.reading(r), "When", when)
	} else {
		temperature, _ := w.temperature(r.Temperature)
		p.Read = w.say("kettle_page.read_as", "Reading", w.reading(r), "Temperature", temperature, "When", when)
	}
	if c := facts.Correction(); c != nil {
		p.Corrected = c.Words(w.lang, w.units)
	}
	advice := hazards.AdviceFacts{Reading: facts, Target: v.house.TargetSolids}
	solids, err := facts.Solids()
	if p.Usable = err == nil; p.Usable {
		p.Solids = w.solids(solids)
		advice.Volume, p.Basis = w.inKettle(log, r.At, solids.Percent, facts.Thermometer.Temperature(*r.Temperature))
	}
	said := hazards.Advise(advice, rules)
	p.Advice = said.Words(w.lang, w.units)
	if end := log.DrawnOff; end != nil && (said.Code == hazards.AdviceTarget || end.Outcome != records.OutcomeSyrup) {
		p.Advice = "" // the fire is out
	}
	if said.Water == nil {
		p.Basis = ""
	}
	return p, nil
}

// freshVolume is how far a volume written in the log may lie from a reading and still be what was in the kettle then.
const freshVolume = 20 * time.Minute

// inKettle is the volume in the kettle at a reading, and where it comes from: written in the log near that time, drawn
// off, or worked out from the solids of the juice. nil when it is not known.
func (w words) inKettle(log records.BoilLog, at time.Time, now syrup.Brix, temperature syrup.Celsius) (*syrup.Liters, string) {
	for _, e := range slices.Backward(log.Entries) {
		if e.Volume == nil || e.What == records.EntryDrawnOff {
			continue
		}
		if apart := at.Sub(e.At); max(apart, -apart) <= freshVolume {
			when, _ := w.clock(e.At)
			volume, _ := w.volume(e.Volume)
			return e.Volume, w.say("kettle_page.volume_typed", "Volume", volume, "When", when)
		}
	}
	if log.DrawnOff != nil && log.DrawnOff.Volume != nil {
		volume, _ := w.volume(log.DrawnOff.Volume)
		return log.DrawnOff.Volume, w.say("kettle_page.volume_drawn", "Volume", volume)
	}
	in := log.SolidsIn()
	if in == nil || now <= 0 {
		return nil, ""
	}
	density, err := syrup.Density(now, temperature)
	if err != nil {
		return nil, ""
	}
	volume := syrup.Liters(float64(*in) / (float64(now) / 100) / float64(density) * 1000)
	said, _ := w.volume(volume)
	return &volume, w.say("kettle_page.volume_from_juice", "Volume", said)
}
