package records

import (
	"context"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// pastFinishes is how many earlier boils of a kettle tell what to expect of the next: about a season of one kettle.
const pastFinishes = 12

// loggerEach is how far apart temperatures of a logger are taken for the estimate: those between say the same again.
const loggerEach = 5 * time.Minute

// FinishFactsOf gathers what the estimate of a boil's end is made from: what went in and out, the usable readings, the
// temperatures with their boiling water of that day, the fire, and the earlier boils of the kettle.
func FinishFactsOf(ctx context.Context, src Source, log BoilLog, target syrup.Brix, now time.Time) (hazards.FinishFacts, error) {
	g, err := finishGathered(ctx, src)
	if err != nil {
		return hazards.FinishFacts{}, err
	}
	past, err := pastLogs(ctx, src, log.Run)
	if err != nil {
		return hazards.FinishFacts{}, err
	}
	if err := g.readInstruments(instrumentsIn(append(slices.Clone(past), log)...)); err != nil {
		return hazards.FinishFacts{}, err
	}
	f := g.finishFacts(log)
	f.Target, f.Now = target, now
	if f.Taken, err = takenInBoil(ctx, src, log); err != nil {
		return f, err
	}
	for _, p := range past {
		if boil, ok := g.pastBoil(p); ok {
			f.Past = append(f.Past, boil)
		}
	}
	return f, nil
}

func finishGathered(ctx context.Context, src Source) (*gathered, error) {
	g := newGathered(ctx, src)
	var err error
	g.house, err = theHouse(ctx, src)
	return g, err
}

// finishFacts are the facts of one log by itself.
func (g *gathered) finishFacts(log BoilLog) hazards.FinishFacts {
	f := hazards.FinishFacts{Lit: log.Run.FireLitAt}
	for _, l := range log.Into {
		f.In = append(f.In, hazards.KettleCharge{At: l.At, Mass: l.Mass, Solids: l.Solids, Estimated: l.Estimated})
	}
	for _, e := range fireTurns(log.Entries) {
		f.Fires = append(f.Fires, hazards.FireChange{At: e.At, Lit: e.What == EntryRelit})
	}
	for _, e := range log.Entries {
		if e.What == EntryDrawnOff {
			continue
		}
		if e.Temperature != nil {
			f.Temperatures = append(f.Temperatures, g.finishTemperature(e.ID, e.At, *e.Temperature, e.InstrumentID))
		}
		if e.Volume != nil {
			f.Volumes = append(f.Volumes, hazards.KettleVolume{At: e.At, Volume: *e.Volume})
		}
	}
	f.Temperatures = append(f.Temperatures, g.loggedTemperatures(log.Logged)...)
	for _, r := range log.Readings {
		if solids, err := g.reading(r).Solids(); err == nil {
			f.Readings = append(f.Readings, hazards.FinishReading{ID: r.ID, At: r.At, Solids: solids})
		}
	}
	addedTo(&f, log.Additions)
	if water, ok := g.waterFor(lastThermometer(log), log.Run.FireLitAt); ok && !water.SeaLevel() {
		f.Pressure = &water.Pressure
	}
	return f
}

// finishTemperature is a temperature with what its thermometer reads in boiling water that day. After a failed check the
// error found is taken off, and its water says nothing.
func (g *gathered) finishTemperature(id string, at time.Time, read syrup.Celsius, thermometer *string) hazards.FinishTemperature {
	t := hazards.FinishTemperature{ID: id, At: at, Temperature: read}
	facts := g.instrument(thermometer, at)
	switch {
	case facts == nil:
	case facts.Error != nil:
		t.Temperature -= syrup.Celsius(*facts.Error)
	case facts.Zero != nil:
		water := facts.Zero.Water + syrup.Celsius(facts.Zero.Off)
		t.Water = &water
	}
	return t
}

// loggedTemperatures are the temperatures of loggers, one in some minutes.
func (g *gathered) loggedTemperatures(points []LoggedPoint) []hazards.FinishTemperature {
	points = slices.Clone(points)
	slices.SortStableFunc(points, func(a, b LoggedPoint) int { return a.At.Compare(b.At) })
	var list []hazards.FinishTemperature
	var last time.Time
	for _, p := range points {
		if p.At.Sub(last) >= loggerEach {
			list, last = append(list, g.finishTemperature("", p.At, p.Temperature, p.InstrumentID)), p.At
		}
	}
	return list
}

// lastThermometer is the one of the newest temperature; nil when none is named.
func lastThermometer(log BoilLog) *string {
	for _, e := range slices.Backward(log.Entries) {
		if e.Temperature != nil && e.InstrumentID != nil {
			return e.InstrumentID
		}
	}
	return nil
}

// addedTo counts water put in; syrup and sweetener carry solids nobody measured, and are named as not counted. Of other
// additions there is too little to matter.
func addedTo(f *hazards.FinishFacts, additions []Addition) {
	for _, a := range additions {
		switch {
		case a.Use == "water" && a.Amount != nil:
			f.Water = append(f.Water, hazards.KettleWater{At: a.At, Mass: a.Amount.Kilograms()})
		case a.Use == "water" || a.Use == "syrup" || a.Use == "sweetener":
			f.Uncounted = append(f.Uncounted, a.Substance)
		}
	}
}

// takenInBoil is what went into other kettles while it boiled.
func takenInBoil(ctx context.Context, src Source, log BoilLog) ([]hazards.KettleTaken, error) {
	var taken []hazards.KettleTaken
	for _, l := range log.Out {
		kind, err := KindOf(ctx, src, l.ToID)
		if err != nil {
			return nil, err
		}
		if inMidBoil(l, kind, log.DrawnOff) && l.Mass != nil {
			taken = append(taken, hazards.KettleTaken{At: l.At, Mass: *l.Mass})
		}
	}
	return taken, nil
}

// pastLogs are the boils of the same kettle before a run that were drawn off as syrup and of which nothing went into another
// kettle on the way, newest first, with what the estimate needs of them.
func pastLogs(ctx context.Context, src Source, run Run) ([]BoilLog, error) {
	runs, err := List[Run](ctx, src, `kettle_id = ? AND fire_lit_at < ? AND id IN (SELECT run_id FROM boil_entry_now WHERE what = ? AND outcome = ?)
		AND id NOT IN (SELECT from_id FROM link_now WHERE NOT heel AND to_id IN (SELECT id FROM run_now))
		ORDER BY fire_lit_at DESC LIMIT ?`, run.KettleID, run.FireLitAt, EntryDrawnOff, OutcomeSyrup, pastFinishes)
	if err != nil || len(runs) == 0 {
		return nil, err
	}
	logs, at, ids := make([]BoilLog, len(runs)), map[string]int{}, make([]string, len(runs))
	for i, r := range runs {
		logs[i].Run, at[r.ID], ids[i] = r, i, r.ID
	}
	entries, err := ListIDs[BoilEntry](ctx, src, "run_id", ids)
	if err != nil {
		return nil, err
	}
	readings, err := ListIDs[DensityReading](ctx, src, "of_id", ids)
	if err != nil {
		return nil, err
	}
	links, err := ListIDs[Link](ctx, src, "to_id", ids)
	for _, e := range entries {
		logs[at[e.RunID]].Entries = append(logs[at[e.RunID]].Entries, e)
	}
	for _, r := range readings {
		logs[at[r.OfID]].Readings = append(logs[at[r.OfID]].Readings, r)
	}
	for _, l := range links {
		logs[at[l.ToID]].Into = append(logs[at[l.ToID]].Into, l)
	}
	return logs, err
}

// pastBoil is an earlier boil as the estimate takes it; false when its records do not say what went in or what it ended at.
func (g *gathered) pastBoil(log BoilLog) (hazards.PastBoil, bool) {
	for i, e := range log.Entries {
		if e.What == EntryDrawnOff {
			log.DrawnOff = &log.Entries[i]
		}
	}
	var p hazards.PastBoil
	for _, l := range log.Into {
		if l.Mass == nil || l.Solids == nil {
			return p, false
		}
		p.Mass += *l.Mass
		p.Solids += *l.Solids
	}
	ended := hazards.Governing(g.readingFacts(log.Readings), StageFinish)
	if log.DrawnOff == nil || ended == nil || p.Mass == 0 {
		return p, false
	}
	solids, err := ended.Solids()
	if err != nil {
		return p, false
	}
	f := g.finishFacts(log)
	f.Now = log.DrawnOff.At
	p.Ended, p.Took = solids.Percent, log.FireAt(f.Now).OnFire
	p.WarmUp = hazards.FirstBoil(f)
	p.ThickAt, p.ThickTook = hazards.FirstThick(f, p.Took)
	return p, p.Took > 0
}

func (g *gathered) readingFacts(readings []DensityReading) []hazards.ReadingFacts {
	facts := make([]hazards.ReadingFacts, len(readings))
	for i, r := range readings {
		facts[i] = g.reading(r)
	}
	return facts
}

// EstimateFinish says when a run will be at a target; nothing is written.
func EstimateFinish(ctx context.Context, src Source, log BoilLog, target syrup.Brix, now time.Time) (hazards.Finish, error) {
	f, err := FinishFactsOf(ctx, src, log, target, now)
	if err != nil {
		return hazards.Finish{}, err
	}
	return hazards.EstimateFinish(f), nil
}

// DrawnOffFactsOf is a run that ended as syrup beside the solids that went into it; false while it boils, when it ended
// otherwise, or when what went in or what it ended at is not known.
func DrawnOffFactsOf(ctx context.Context, src Source, log BoilLog) (hazards.DrawnOffFacts, bool, error) {
	var f hazards.DrawnOffFacts
	if log.DrawnOff == nil || log.DrawnOff.Outcome != OutcomeSyrup {
		return f, false, nil
	}
	ended, err := FinishSolids(ctx, src, log.Run.ID)
	if err != nil || ended == nil {
		return f, false, err
	}
	balance, err := RunBalanceOf(ctx, src, log.Run.ID)
	if err != nil {
		return f, false, err
	}
	in, ladled := balance.In(), sumSolids(balance.Ladled)
	if in == nil || ladled == nil {
		return f, false, nil
	}
	f = hazards.DrawnOffFacts{SolidsIn: *in, Elsewhere: *ladled, Ended: ended.Percent, Temperature: log.DrawnOff.Temperature, Drawn: log.DrawnOff.Volume}
	if balance.Heel != nil {
		f.Elsewhere += *balance.Heel
	}
	return f, true, nil
}
