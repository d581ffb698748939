package records

import (
	"cmp"
	"context"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records/boilchart"
)

// LoggedPoint is one temperature a logger wrote down during a run.
type LoggedPoint struct {
	At           time.Time
	Temperature  syrup.Celsius
	InstrumentID *string // the logger; nil is not known
}

// Water is where water boils for what a thermometer reads on a house day, and how that is known.
type Water struct {
	Boils    syrup.Celsius
	Pressure syrup.Kilopascals
	Zero     *hazards.ZeroFacts // the thermometer's own that day; nil: counted from the height
	Altitude *syrup.Meters      // of the house; nil with no zero: taken as sea level
}

// SeaLevel tells whether neither a check nor the house's height says where water boils: it is taken as sea level.
func (w Water) SeaLevel() bool { return w.Zero == nil && w.Altitude == nil }

// waterFor is where water boils for a thermometer at a moment: what its boiling-water check of that house day says, else the
// height of the house, else sea level. False when the model cannot say.
func (g *gathered) waterFor(thermometer *string, at time.Time) (Water, bool) {
	w := Water{Altitude: g.house.Altitude}
	if thermometer != nil {
		w.Zero = g.zero(*thermometer, at)
	}
	var err error
	if w.Zero != nil {
		w.Boils = w.Zero.Water
		w.Pressure, err = syrup.SaturationPressure(w.Boils)
		return w, err == nil
	}
	w.Pressure = syrup.StandardPressure
	if w.Altitude != nil {
		if w.Pressure, err = syrup.PressureAtAltitude(*w.Altitude); err != nil {
			return w, false
		}
	}
	w.Boils, err = syrup.WaterBoiling(w.Pressure)
	return w, err == nil
}

// WaterOf is where water boils for a thermometer on the house day of a moment, and the thermometer as it stands then. False
// when the model cannot say.
func WaterOf(ctx context.Context, src Source, thermometer *string, at time.Time) (Water, *hazards.InstrumentFacts, bool, error) {
	g := newGathered(ctx, src)
	var err error
	if g.house, err = theHouse(ctx, src); err != nil {
		return Water{}, nil, false, err
	}
	if err := g.readInstruments([]*string{thermometer}); err != nil {
		return Water{}, nil, false, err
	}
	w, ok := g.waterFor(thermometer, at)
	return w, g.instrument(thermometer, at), ok, nil
}

// BoilCurve is a run as its picture shows it, but for the words of what happened, and how its boiling water is known.
type BoilCurve struct {
	boilchart.Boil
	Water     Water    // of the last temperature by a checked thermometer, else of the last
	Checked   string   // the thermometer whose check gives that water
	Unchecked bool     // some temperatures count from the height or sea level
	Failed    bool     // some are judged with the error a failed check found
	Read      []string // ids of the records of earlier boils, and of the checks, that it is made of
}

// pastBoils is how many earlier boils of the kettle the band is made of at most.
const pastBoils = 12

// BoilCurveOf gives the curve of a run, with the band of the boils of its kettle before it.
func BoilCurveOf(ctx context.Context, src Source, log BoilLog, now time.Time) (BoilCurve, error) {
	g := newGathered(ctx, src)
	var err error
	if g.rules, err = RulesOf(ctx, src); err != nil {
		return BoilCurve{}, err
	}
	if g.house, err = theHouse(ctx, src); err != nil {
		return BoilCurve{}, err
	}
	past, err := boilsBefore(ctx, src, log.Run)
	if err != nil {
		return BoilCurve{}, err
	}
	if err := g.readInstruments(instrumentsIn(append(past, log)...)); err != nil {
		return BoilCurve{}, err
	}
	c := BoilCurve{Boil: boilchart.Boil{Curve: g.curve(log), Out: log.outSpans(now), Until: log.end(now).Sub(log.Run.FireLitAt).Minutes()}}
	for _, p := range past {
		c.Past = append(c.Past, g.curve(p))
		c.Read = append(c.Read, p.ids()...)
	}
	for _, checks := range g.checks {
		for _, k := range checks {
			c.Read = append(c.Read, k.ID)
		}
	}
	slices.Sort(c.Read)
	c.Logged = g.logged(log)
	if g.basis(&c, log, now) {
		c.estimate(g.house.TargetSolids, g.rules)
	}
	return c, nil
}

// boilsBefore gives the temperatures and density readings of the runs of a kettle before one, drawn off as syrup, the newest
// ones: a boil that was broken off is no pattern for the next.
func boilsBefore(ctx context.Context, src Source, run Run) ([]BoilLog, error) {
	runs, err := List[Run](ctx, src, `kettle_id = ? AND fire_lit_at < ? AND id IN (SELECT run_id FROM boil_entry_now WHERE what = ? AND outcome = ?)
		ORDER BY fire_lit_at DESC LIMIT ?`, run.KettleID, run.FireLitAt, EntryDrawnOff, OutcomeSyrup, pastBoils)
	if err != nil {
		return nil, err
	}
	logs, at, ids := make([]BoilLog, len(runs)), map[string]int{}, make([]string, len(runs))
	for i, r := range runs {
		logs[i].Run, ids[i], at[r.ID] = r, r.ID, i
	}
	entries, err := ListIDs[BoilEntry](ctx, src, "run_id", ids)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		logs[at[e.RunID]].Entries = append(logs[at[e.RunID]].Entries, e)
	}
	readings, err := ListIDs[DensityReading](ctx, src, "of_id", ids)
	for _, r := range readings {
		logs[at[r.OfID]].Readings = append(logs[at[r.OfID]].Readings, r)
	}
	return logs, err
}

// ids lists the run and what was written in its log.
func (l BoilLog) ids() []string {
	ids := []string{l.Run.ID}
	for _, e := range l.Entries {
		ids = append(ids, e.ID)
	}
	for _, r := range l.Readings {
		ids = append(ids, r.ID)
	}
	return ids
}

// instrumentsIn lists every instrument that logs were written with.
func instrumentsIn(logs ...BoilLog) []*string {
	var used []*string
	for _, log := range logs {
		for _, e := range log.Entries {
			used = append(used, e.InstrumentID)
		}
		for _, r := range log.Readings {
			used = append(used, r.InstrumentID, r.ThermometerID)
		}
		for _, p := range log.Logged {
			used = append(used, p.InstrumentID)
		}
	}
	return used
}

// curve is a run in both quantities. A temperature counts with its thermometer's zero of the day, or the error of a failed
// check, taken off; a density reading that cannot be used is left out.
func (g *gathered) curve(log BoilLog) boilchart.Curve {
	var c boilchart.Curve
	minute := func(at time.Time) float64 { return at.Sub(log.Run.FireLitAt).Minutes() }
	for _, e := range log.Entries {
		if e.Temperature == nil {
			continue
		}
		if rise, ok := g.rise(*e.Temperature, e.InstrumentID, e.At); ok {
			c.Rises = append(c.Rises, boilchart.Rise{Minute: minute(e.At), Above: rise})
		}
	}
	for _, r := range log.Readings {
		if solids, err := g.reading(r).Solids(); err == nil && r.Stage != StageLot {
			c.Solids = append(c.Solids, boilchart.Thick{Minute: minute(r.At), Solids: solids.Percent})
		}
	}
	slices.SortStableFunc(c.Rises, func(a, b boilchart.Rise) int { return cmp.Compare(a.Minute, b.Minute) })
	slices.SortStableFunc(c.Solids, func(a, b boilchart.Thick) int { return cmp.Compare(a.Minute, b.Minute) })
	return c
}

// loggedEach is how far apart a logger's points stand in a picture at least: closer ones would fall on one another.
const loggedEach = time.Minute

// logged are a logger's points.
func (g *gathered) logged(log BoilLog) []boilchart.Rise {
	var rises []boilchart.Rise
	var last time.Time
	for _, p := range log.Logged { // in order of time
		if p.At.Sub(last) < loggedEach {
			continue
		}
		if rise, ok := g.rise(p.Temperature, p.InstrumentID, p.At); ok {
			rises, last = append(rises, boilchart.Rise{Minute: p.At.Sub(log.Run.FireLitAt).Minutes(), Above: rise}), p.At
		}
	}
	return rises
}

// rise is how far above boiling water a temperature stands as judged.
func (g *gathered) rise(t syrup.Celsius, thermometer *string, at time.Time) (syrup.CelsiusDelta, bool) {
	water, ok := g.waterFor(thermometer, at)
	return g.instrument(thermometer, at).Temperature(t).Sub(water.Boils), ok
}

// basis notes where water boils for the temperatures: for the last one whose thermometer was checked that day, else for the
// last one; and whether all are known as well. False when the model cannot say.
func (g *gathered) basis(c *BoilCurve, log BoilLog, now time.Time) bool {
	var ok bool
	if c.Water, ok = g.waterFor(nil, log.end(now)); !ok {
		return false
	}
	c.Unchecked = len(c.Rises) == 0
	for _, e := range log.Entries {
		if e.Temperature == nil {
			continue
		}
		water, ok := g.waterFor(e.InstrumentID, e.At)
		if !ok {
			return false
		}
		facts := g.instrument(e.InstrumentID, e.At)
		c.Failed = c.Failed || facts != nil && facts.Error != nil
		c.Unchecked = c.Unchecked || water.Zero == nil
		if water.Zero != nil {
			c.Water, c.Checked = water, facts.Name
		} else if c.Water.Zero == nil {
			c.Water = water
		}
	}
	return true
}

// estimate adds the solids that the boiling rise suggests with the usual composition, from the temperatures written down or,
// without any, a logger's; and where the target lies: its solids up to where syrup is called thick, and where it boils above
// that day's water, from pure sucrose to inverted and salty.
func (c *BoilCurve) estimate(target syrup.Brix, rules hazards.Rules) {
	from := c.Rises
	if len(from) == 0 {
		from = c.Logged
	}
	for _, r := range from {
		if r.Above < hazards.LeastSuggesting {
			continue
		}
		if solids, err := syrup.SolidsFromRise(r.Above, hazards.UsualInverted, hazards.UsualAsh, c.Water.Pressure); err == nil {
			c.Estimated = append(c.Estimated, boilchart.Thick{Minute: r.Minute, Solids: solids.Percent})
		}
	}
	c.Target = [2]syrup.Brix{target, max(target, syrup.Brix(rules.Limits.Judged(hazards.LimitThick).Value))}
	if low, high, ok := hazards.TargetRise(target, c.Water.Pressure); ok {
		c.RiseLow, c.RiseHigh = &low, &high
	}
}

// LastAt is when the last entry of a log was: the fire being lit where there is none.
func (l BoilLog) LastAt() time.Time {
	last := l.Run.FireLitAt
	for _, e := range l.Entries {
		last = later(last, e.At)
	}
	for _, r := range l.Readings {
		last = later(last, r.At)
	}
	for _, a := range l.Additions {
		last = later(last, a.At)
	}
	return last
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// end is when the run ended, or now.
func (l BoilLog) end(now time.Time) time.Time {
	if l.DrawnOff != nil {
		return l.DrawnOff.At
	}
	return now
}

// outSpans are the stretches of minutes the fire was out.
func (l BoilLog) outSpans(now time.Time) []boilchart.Span {
	var spans []boilchart.Span
	minute := func(at time.Time) float64 { return at.Sub(l.Run.FireLitAt).Minutes() }
	var since *time.Time
	for _, e := range fireTurns(l.Entries) {
		switch {
		case e.What == EntryFireOut && since == nil:
			since = &e.At
		case e.What == EntryRelit && since != nil:
			spans, since = append(spans, boilchart.Span{From: minute(*since), To: minute(e.At)}), nil
		}
	}
	if since != nil {
		spans = append(spans, boilchart.Span{From: minute(*since), To: minute(l.end(now))})
	}
	return spans
}
