package app

import (
	"context"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// watchPanel says what to watch for: the reading and the boiling temperature that mean the target.
type watchPanel struct {
	Target    string
	At, When  string // last temperature; empty when there is none
	Hand      string // the instrument in hand
	Reading   string // what it shows at the target; empty when off its scale
	Cold      bool   // a refractometer: the drop has to cool
	Boils     string // from to
	BoilsNote string
}

// readingPanel is the last density reading: what it means and what to do.
type readingPanel struct {
	Read, Solids string
	Stage        string
	Usable       bool
	Advice       string
	Basis        string // for which volume the water was worked out
	Findings     []shownFinding
}

// How much of the sugar is inverted, and how much ash there is, at the two ends between which a kettle's syrup boils: pure
// sucrose, and an inverted, salty one (physics note 5: 30 % inverted, 1.5 % ash).
var (
	leastBoiling = syrup.Composition{}
	mostBoiling  = syrup.Composition{Inverted: 0.3, Ash: 0.015}
)

// boilRange is the boiling temperature of the target at the house's height, between the two ends.
type boilRange struct {
	Low, High, Water syrup.Celsius
	SeaLevel         bool // the height is not recorded
}

// boilsAt works out where syrup of the target boils in this house; false when the model cannot say.
func boilsAt(target syrup.Brix, altitude *syrup.Meters) (boilRange, bool) {
	b := boilRange{SeaLevel: altitude == nil}
	height := syrup.Meters(0)
	if altitude != nil {
		height = *altitude
	}
	pressure, err := syrup.PressureAtAltitude(height)
	if err != nil {
		return b, false
	}
	low, high := leastBoiling, mostBoiling
	low.Solids, high.Solids = target, target
	least, err := syrup.SyrupBoiling(low, pressure)
	if err != nil {
		return b, false
	}
	most, err := syrup.SyrupBoiling(high, pressure)
	b.Low, b.High, b.Water = least.Syrup, most.Syrup, least.Water
	return b, err == nil
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
	w, target := v.words(), v.house.TargetSolids
	p := &watchPanel{Hand: w.say("kettle_page.any_hydrometer")}
	p.Target, _ = w.percent(target)
	scale := syrup.ScaleBaume
	var id *string
	if hand != nil {
		p.Hand, id = hand.Name, &hand.ID
		p.Cold = hand.Measures == records.MeasuresRefraction
		if hand.Scale != "" {
			scale = hand.Scale
		}
	}
	if at, when := lastTemperature(log); at != nil {
		p.At, _ = w.temperature(*at)
		p.When, _ = w.clock(when)
		facts, err := records.InstrumentFactsOf(ctx, a.store, id, a.store.Now())
		if err != nil {
			return nil, err
		}
		if reading, err := hazards.TargetReading(facts, scale, target, *at); err == nil {
			p.Reading = decimal(reading) + noBreak + w.say(scales[string(scale)])
		}
	}
	if boil, ok := boilsAt(target, v.house.Altitude); ok {
		low, _ := w.temperature(boil.Low)
		high, _ := w.temperature(boil.High)
		water, _ := w.temperature(boil.Water)
		p.Boils = w.say("kettle_page.boils_range", "Low", low, "High", high)
		if boil.SeaLevel {
			p.BoilsNote = w.say("kettle_page.boils_sea", "Water", water)
		} else {
			height, _ := w.length(v.house.Altitude)
			p.BoilsNote = w.say("kettle_page.boils_why", "Water", water, "Altitude", height)
		}
	}
	return p, nil
}

// lastTemperature is the newest temperature of the syrup, of the log or of a reading; nil when there is none.
func lastTemperature(log records.BoilLog) (*syrup.Celsius, time.Time) {
	var last *syrup.Celsius
	var when time.Time
	for _, e := range log.Entries {
		if e.Temperature != nil && !e.At.Before(when) {
			last, when = e.Temperature, e.At
		}
	}
	for _, r := range log.Readings {
		if r.Temperature != nil && r.At.After(when) {
			last, when = r.Temperature, r.At
		}
	}
	return last, when
}

// solids writes true solids with their uncertainty.
func (w words) solids(s syrup.Solids) string {
	return w.say("kettle_page.true_solids", "Solids", decimal(float64(s.Percent)), "Uncertainty", decimal(float64(s.Uncertainty)))
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
	advice := hazards.AdviceFacts{Reading: facts, Target: v.house.TargetSolids}
	solids, err := facts.Solids()
	if p.Usable = err == nil; p.Usable {
		p.Solids = w.solids(solids)
		advice.Volume, p.Basis = w.inKettle(log, r, solids.Percent)
	}
	said := hazards.Advise(advice, rules)
	p.Advice = said.Words(w.lang, w.units)
	if log.DrawnOff != nil && said.Code == hazards.AdviceTarget {
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
func (w words) inKettle(log records.BoilLog, r records.DensityReading, now syrup.Brix) (*syrup.Liters, string) {
	for _, e := range slices.Backward(log.Entries) {
		if e.Volume == nil || e.What == records.EntryDrawnOff {
			continue
		}
		if apart := r.At.Sub(e.At); max(apart, -apart) <= freshVolume {
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
	if in == nil || now <= 0 || r.Temperature == nil {
		return nil, ""
	}
	density, err := syrup.Density(now, *r.Temperature)
	if err != nil {
		return nil, ""
	}
	volume := syrup.Liters(float64(*in) / (float64(now) / 100) / float64(density) * 1000)
	said, _ := w.volume(volume)
	return &volume, w.say("kettle_page.volume_from_juice", "Volume", said)
}
