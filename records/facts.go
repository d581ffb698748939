package records

import (
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records/lineage"
)

// The facts of a judgement, filled straight from the records. Package hazards judges them and never sees a record.

func (g *gathered) reading(r DensityReading) hazards.ReadingFacts {
	return hazards.ReadingFacts{ID: r.ID, Name: g.names.name(r.OfID), At: r.At, Stage: r.Stage, Reading: r.Reading, Scale: r.Scale,
		Temperature: r.Temperature, TemperatureEntered: r.TemperatureEntered, Instrument: g.instrument(r.InstrumentID, r.At),
		Thermometer: g.instrument(r.ThermometerID, r.At), Person: r.DoneBy}
}

func (g *gathered) readingsOf(id string) []hazards.ReadingFacts {
	var facts []hazards.ReadingFacts
	for _, r := range g.readings[id] {
		facts = append(facts, g.reading(r))
	}
	return facts
}

func (g *gathered) additionsOf(node string) []hazards.AdditionFacts {
	var facts []hazards.AdditionFacts
	for _, a := range g.additions[node] {
		facts = append(facts, hazards.AdditionFacts{ID: a.ID, Name: a.Substance, Use: a.Use, SupplyLotID: a.SupplyLotID, Amount: a.Amount,
			Stays: a.Stays, Allergens: a.Allergens, Sulfites: a.Sulfites})
	}
	return facts
}

// additionsInto are those to a run up to a node of it.
func (g *gathered) additionsInto(node string) []hazards.AdditionFacts {
	facts := g.additionsOf(node)
	for _, e := range g.graph.In(node) {
		if RecordOf(e.From) == RecordOf(node) {
			facts = append(g.additionsInto(e.From), facts...)
		}
	}
	return facts
}

// upstream is what feeds a node through tanks: the nearest runs, pressings and supply lots, and the tanks on the way.
type upstream struct{ runs, pressings, tanks []string }

func (g *gathered) upstreamOf(node string) upstream { return nearest(g.graph, g.names, node) }

func nearest(graph *lineage.Graph, names *namer, node string) upstream {
	var u upstream
	seen := map[string]bool{}
	var walk func(node string)
	walk = func(node string) {
		for _, e := range graph.In(node) {
			if e.Beside || seen[e.From] {
				continue
			}
			seen[e.From] = true
			switch id := RecordOf(e.From); names.kinds[id] {
			case KindRun:
				if id == RecordOf(node) { // what was in the kettle before a part of it was taken
					walk(e.From)
				} else {
					u.runs = append(u.runs, e.From)
				}
			case KindPressing:
				u.pressings = append(u.pressings, id)
			case KindTank:
				u.tanks = append(u.tanks, e.From)
				walk(e.From)
			case KindPart: // rework: the lot the part was of
				walk(e.From)
			case KindLot:
				walk(e.From)
			}
		}
	}
	walk(node)
	u.runs = latest(u.runs)
	return u
}

// latest keeps of each run the last of its contents: the earlier ones went into it.
func latest(nodes []string) []string {
	last := map[string]string{}
	for _, node := range nodes {
		id, k, split := lineage.TankOf(node)
		_, before, wasSplit := lineage.TankOf(last[id])
		if !split || last[id] == "" || wasSplit && k > before {
			last[id] = node
		}
	}
	return slices.DeleteFunc(nodes, func(node string) bool { return last[RecordOf(node)] != node })
}

func (g *gathered) pressing(id string) hazards.PressingFacts {
	p := g.names.facts[id].(*Pressing)
	f := hazards.PressingFacts{ID: id, Name: g.names.name(id), Person: p.DoneBy, StartedAt: &p.StartedAt, EndedAt: p.EndedAt,
		Volume: p.Volume, Brix: p.Brix, PH: p.PH, Temperature: p.Temperature, TemperatureEntered: p.TemperatureEntered,
		Additions: g.additionsOf(id), Draws: g.draws(id, KindPressing)}
	for _, e := range g.graph.In(id) {
		if cut, ok := g.names.facts[e.From].(*Cut); ok {
			f.Cuts = append(f.Cuts, g.cut(cut))
		}
	}
	return f
}

func (g *gathered) cut(k *Cut) hazards.CutFacts {
	f := hazards.CutFacts{ID: k.ID, Name: g.names.name(k.ID), Person: k.DoneBy, CutOn: hazards.Day(k.CutOn), FinishedAt: k.FinishedAt,
		DayHigh: k.DayHigh, FrozenStalks: k.FrozenStalks}
	planting, ok := g.names.facts[k.PlantingID].(*Planting)
	if !ok {
		return f
	}
	f.Planting = &hazards.PlantingFacts{ID: planting.ID, Name: g.names.name(planting.ID), PlantedOn: hazards.Day(planting.PlantedOn),
		Ratoon: &planting.Ratoon}
	for _, a := range g.applications[planting.BlockID] {
		f.Applications = append(f.Applications, hazards.ApplicationFacts{ID: a.ID, Name: a.Product, AppliedOn: hazards.Day(a.AppliedOn),
			PreHarvestDays: a.PreHarvestDays, ForSugarcane: a.ForSugarcane})
	}
	if block, ok := g.names.facts[planting.BlockID].(*Block); ok {
		for _, z := range g.freezes[block.SiteID] {
			f.Freezes = append(f.Freezes, hazards.FreezeFacts{ID: z.ID, Name: string(z.Night), Night: hazards.Day(z.Night), Low: z.Low,
				HoursBelow: z.HoursBelow, Found: z.Found})
		}
	}
	return f
}

// run gives a run, by its node, with everything upstream of it, making each run of a heel chain once.
func (g *gathered) run(node string) hazards.RunFacts {
	if made, ok := g.runs[node]; ok {
		return made
	}
	made := g.makeRun(node)
	g.runs[node] = made
	return made
}

func (g *gathered) makeRun(node string) hazards.RunFacts {
	id := RecordOf(node)
	r := g.names.facts[id].(*Run)
	f := hazards.RunFacts{ID: id, Node: node, Name: r.Code, Person: r.DoneBy, Open: true, FireLitAt: &r.FireLitAt, Sources: g.sources(id),
		Readings: g.readingsOf(id), Additions: g.additionsInto(node), Draws: g.draws(id, KindRun)}
	if drawn, ok := g.drawnOff[id]; ok {
		f.Open, f.DrawnOffAt, f.VolumeOut, f.Outcome = false, &drawn.At, drawn.Volume, drawn.Outcome
		f.FireOut = drawn.At.Sub(r.FireLitAt) - BoilLog{Run: *r, Entries: g.turns[id]}.FireAt(drawn.At).OnFire
	}
	f.JuiceIn, f.Boiled = g.juiceInto(id), slices.ContainsFunc(g.linksInto[id], g.boiled)
	f.Finish = g.finish(r, f.Readings)
	up := g.upstreamOf(node)
	for _, tank := range up.tanks {
		f.Additions = append(f.Additions, g.additionsOf(tank)...)
	}
	for _, p := range up.pressings {
		f.Pressings = append(f.Pressings, g.pressing(p))
	}
	for _, heel := range up.runs {
		f.Heels = append(f.Heels, g.run(heel))
	}
	if b, ok := g.boilBalance(f); ok {
		f.Balances = append(f.Balances, b)
	}
	return f
}

// boiled tells whether a link brings what had boiled before: semi-syrup, or out of another kettle. A heel is too little.
func (g *gathered) boiled(l Link) bool {
	tank, _ := g.names.facts[l.FromID].(*Tank)
	return !l.Heel && (g.names.kinds[l.FromID] == KindRun || tank != nil && tank.Holds == HoldsSyrup)
}

// juiceInto is the volume of juice that went into a run; nil when a part of it is not known or is not juice, or went on into
// another kettle.
func (g *gathered) juiceInto(id string) *syrup.Liters {
	var juice syrup.Liters
	if slices.ContainsFunc(g.linksFrom[id], g.ladled) {
		return nil
	}
	for _, l := range g.linksInto[id] {
		tank, _ := g.names.facts[l.FromID].(*Tank)
		_, pressed := g.names.facts[l.FromID].(*Pressing)
		if l.Volume == nil || !pressed && (tank == nil || tank.Holds != HoldsJuice) {
			return nil
		}
		juice += *l.Volume
	}
	if juice == 0 {
		return nil
	}
	return &juice
}

// besideReading is how near a boil temperature stands to the finish reading it is compared with: near the finish syrup gains
// about a degree in this time (our choice, no source).
const besideReading = 5 * time.Minute

// finish is the finish reading beside the temperature of the boil taken with it: two estimates of one syrup. Nil when either
// was not taken, or nothing says at what water boiled there.
func (g *gathered) finish(r *Run, readings []hazards.ReadingFacts) *hazards.CompareFacts {
	density := hazards.Governing(readings, StageFinish)
	if density == nil {
		return nil
	}
	var boil *BoilEntry
	for i, e := range g.boiling[r.ID] {
		if away := density.At.Sub(e.At).Abs(); away <= besideReading && (boil == nil || away <= density.At.Sub(boil.At).Abs()) {
			boil = &g.boiling[r.ID][i]
		}
	}
	if boil == nil {
		return nil
	}
	facts := &hazards.CompareFacts{ID: r.ID, Name: r.Code, Density: *density}
	facts.Boiling = hazards.BoilingFacts{Syrup: *boil.Temperature, Thermometer: g.instrument(boil.InstrumentID, boil.At)}
	facts.Boiling.Water, facts.Boiling.Pressure = g.waterThatDay(boil), g.pressureThatDay(boil)
	return facts
}

// sources are the links into a record, each with the step it came from.
func (g *gathered) sources(id string) []hazards.LinkFacts {
	var links []hazards.LinkFacts
	for _, l := range g.linksInto[id] {
		links = append(links, hazards.LinkFacts{From: g.step(l.FromID), At: &l.At})
	}
	return links
}

func (g *gathered) step(id string) hazards.StepFacts {
	s := hazards.StepFacts{ID: id, Name: g.names.name(id)}
	switch f := g.names.facts[id].(type) {
	case *Pressing:
		s.Start, s.End = &f.StartedAt, f.EndedAt
	case *Run:
		s.Start = &f.FireLitAt
		if drawn, ok := g.drawnOff[id]; ok {
			s.End = &drawn.At
		}
	}
	return s
}

// ladled tells whether a link took from a run in mid-boil, into another kettle.
func (g *gathered) ladled(l Link) bool {
	end, ended := g.drawnOff[l.FromID]
	if !ended {
		return inMidBoil(l, g.takers[l.ToID], nil)
	}
	return inMidBoil(l, g.takers[l.ToID], &end)
}

// draws is everything drawn from a pressing or run beside what it had. A heel stayed in the kettle, and what was ladled into
// another kettle was gone before the end: they are no part of either.
func (g *gathered) draws(id string, kind Kind) []hazards.DrawFacts {
	var drawn float64
	for _, l := range g.linksFrom[id] {
		if l.Heel || g.ladled(l) {
			continue
		}
		if l.Mass == nil {
			return nil
		}
		drawn += float64(*l.Mass)
	}
	d := hazards.DrawFacts{ID: id, Name: g.names.name(id), Juice: kind == KindPressing,
		Drawn: hazards.Value{Number: drawn, Unit: hazards.UnitKilograms}}
	if made := g.made(id); made != nil {
		d.Held = &hazards.Value{Number: float64(*made), Unit: hazards.UnitKilograms}
	}
	return []hazards.DrawFacts{d}
}

// made is the mass of a pressing's juice or a run's syrup.
func (g *gathered) made(id string) *syrup.Kilograms {
	var volume *syrup.Liters
	m := matter{}
	switch f := g.names.facts[id].(type) {
	case *Pressing:
		volume, m = f.Volume, atOr(f.Brix, f.Temperature, assumedJuice)
	case *Run:
		drawn, ok := g.drawnOff[id]
		governing := hazards.EndReading(drawn.Outcome, g.readingsOf(id))
		if governing == nil || !ok || drawn.Outcome == OutcomeGivenUp {
			return nil
		}
		solids, _ := governing.Solids()
		volume, m = drawn.Volume, atOr(&solids.Percent, drawn.Temperature, assumedSyrup)
	}
	if volume == nil || m.solids == nil {
		return nil
	}
	rho, err := syrup.Density(*m.solids, m.at)
	if err != nil {
		return nil
	}
	mass := syrup.Kilograms(float64(*volume) / 1000 * float64(rho))
	return &mass
}

// boilBalance compares the dissolved solids that went into a kettle with those that came out of it: drawn off, ladled into
// other kettles, left as a heel, or poured away.
func (g *gathered) boilBalance(r hazards.RunFacts) (hazards.BalanceFacts, bool) {
	b := balanceOfRun(g.linksInto[r.ID], g.linksFrom[r.ID], g.ladled)
	if end, ok := g.drawnOff[r.ID]; ok {
		b.end(end, g.made(r.ID), hazards.EndReading(end.Outcome, r.Readings))
	}
	in, out, loss, ok := b.sums()
	return hazards.BalanceFacts{ID: r.ID, Name: r.Name, Stage: hazards.BalanceBoil, Unit: hazards.UnitKilograms, In: in, Out: out, Loss: loss, Estimated: true}, ok
}

func (g *gathered) lot(id string) (hazards.LotFacts, error) {
	l := g.names.facts[id].(*Lot)
	product, err := Get[Product](g.ctx, g.src, l.ProductID)
	if err != nil {
		return hazards.LotFacts{}, err
	}
	f := hazards.LotFacts{ID: id, Name: PrintedCode(l.Code), Person: l.DoneBy, Product: product.Name, Names: product.Names, BottlesLotID: l.BottlesLotID,
		ClosuresLotID: l.ClosuresLotID, Sources: g.sources(id), Readings: g.readingsOf(id)}
	if f.Fill, err = g.filling(l); err != nil {
		return f, err
	}
	ends, err := List[FillEnd](g.ctx, g.src, "lot_id = ?", id)
	if err != nil {
		return f, err
	}
	f.Open = len(ends) == 0
	if !f.Open {
		f.Units, f.Fill.EndedAt = &ends[0].Count, &ends[0].At
	}
	up := g.upstreamOf(id)
	f.FromTanks = len(up.tanks) > 0 && len(up.runs) == 0
	for _, tank := range up.tanks {
		f.Additions = append(f.Additions, g.additionsOf(tank)...)
	}
	for _, run := range up.runs {
		f.Runs = append(f.Runs, g.run(run))
	}
	f.Supplies = g.supplies(l)
	if f.Labels, err = labelCounts(g.ctx, g.src, id); err != nil {
		return f, err
	}
	if f.Nets, err = g.netFacts(id, f.Name); err != nil {
		return f, err
	}
	if b, ok := g.bottledBalance(f); ok {
		f.Balances = append(f.Balances, b)
	}
	return f, nil
}

func (g *gathered) supplies(l *Lot) []hazards.SupplyFacts {
	var list []hazards.SupplyFacts
	for _, id := range []*string{l.BottlesLotID, l.ClosuresLotID} {
		if id == nil {
			continue
		}
		if s, ok := g.names.facts[*id].(*SupplyLot); ok {
			list = append(list, hazards.SupplyFacts{ID: s.ID, Name: g.names.name(s.ID), Sort: s.Sort, ReceivedOn: hazards.Day(s.ReceivedOn)})
		}
	}
	return list
}

func (g *gathered) filling(l *Lot) (hazards.FillFacts, error) {
	container, err := Get[Container](g.ctx, g.src, l.ContainerID)
	if err != nil {
		return hazards.FillFacts{}, err
	}
	contents := container.Contents
	if err := limitSource(g.ctx, g.src, &container); err != nil {
		return hazards.FillFacts{}, err
	}
	f := hazards.FillFacts{ID: l.ID, Name: PrintedCode(l.Code), ContainerID: container.ID, Container: container.Name, Contents: &contents,
		HouseLimit: container.FillLimit, LimitSource: container.FillLimitSource, StartedAt: &l.StartedAt}
	checks, err := List[FillCheck](g.ctx, g.src, "lot_id = ? ORDER BY at, id", l.ID)
	if err != nil {
		return f, err
	}
	var used []*string
	for _, k := range checks {
		used = append(used, k.InstrumentID)
	}
	if err := g.readInstruments(used); err != nil {
		return f, err
	}
	for _, k := range checks {
		f.Checks = append(f.Checks, hazards.FillCheckFacts{ID: k.ID, Name: g.clock(k.At), At: k.At, Bottle: k.Bottle, BottleEntered: k.BottleEntered,
			Tank: k.TankReading, Instrument: g.instrument(k.InstrumentID, k.At), InvertedSeconds: k.InvertedSeconds, ClosureOK: k.ClosureOK,
			NetWeight: k.NetWeight, Person: k.DoneBy, BottleNumber: k.BottleNumber})
	}
	f.Stops, err = fillStops(g.ctx, g.src, l.ID)
	return f, err
}

// clock names a check by the house's clock.
func (g *gathered) clock(t time.Time) string { return t.In(g.rules.Zone).Format("15:04") }

// bottledBalance compares the syrup drawn for a lot with what its bottles hold.
func (g *gathered) bottledBalance(l hazards.LotFacts) (hazards.BalanceFacts, bool) {
	solids := hazards.LotSolids(l)
	links := g.linksInto[l.ID]
	known := !slices.ContainsFunc(links, func(k Link) bool { return k.Mass == nil })
	if solids == nil || l.Units == nil || l.Fill.Contents == nil || len(links) == 0 || !known {
		return hazards.BalanceFacts{}, false
	}
	one, err := syrup.NetMass(*l.Fill.Contents, solids.Percent)
	if err != nil {
		return hazards.BalanceFacts{}, false
	}
	in, out := 0.0, float64(one.Kilograms())*float64(*l.Units)
	for _, k := range links {
		in += float64(*k.Mass)
	}
	return hazards.BalanceFacts{ID: l.ID, Name: l.Name, Stage: hazards.BalanceBottled, Unit: hazards.UnitKilograms, In: &in, Out: &out, Estimated: true}, true
}
