package records

import (
	"context"
	"maps"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records/lineage"
)

// gathered is every record a judgement needs, read in a few queries however long the chain is.
type gathered struct {
	ctx   context.Context
	src   Source
	names *namer
	graph *lineage.Graph
	rules hazards.Rules
	house House

	readings     map[string][]DensityReading // by run or lot
	additions    map[string][]Addition       // by node
	drawnOff     map[string]BoilEntry        // by run
	boiling      map[string][]BoilEntry      // temperatures of the boil, by run, in order of time
	turns        map[string][]BoilEntry      // the fire out and relit, by run
	linksInto    map[string][]Link
	linksFrom    map[string][]Link
	takers       map[string]Kind          // of what the links from runs go into
	applications map[string][]Application // by block
	freezes      map[string][]Freeze      // by site
	instruments  map[string]Instrument
	checks       map[string][]InstrumentCheck // by instrument, in order of time
	runs         map[string]hazards.RunFacts  // already made: a heel chain is walked once
}

func newGathered(ctx context.Context, src Source) *gathered {
	return &gathered{ctx: ctx, src: src, names: newNamer(ctx, src), instruments: map[string]Instrument{}, checks: map[string][]InstrumentCheck{},
		runs: map[string]hazards.RunFacts{}}
}

// gather reads everything upstream of a run or lot.
func gather(ctx context.Context, src Source, id string) (*gathered, error) {
	edges, err := flowEdges(ctx, src, id, up)
	if err != nil {
		return nil, err
	}
	g := newGathered(ctx, src)
	g.graph = lineage.New(edges)
	if g.rules, err = RulesOf(ctx, src); err != nil {
		return nil, err
	}
	if g.house, err = theHouse(ctx, src); err != nil {
		return nil, err
	}
	if g.names, err = namesOf(ctx, src, append([]string{id}, g.graph.IDs()...)); err != nil {
		return nil, err
	}
	return g, g.readAround()
}

// ids lists what was reached of some kinds.
func (g *gathered) ids(kinds ...Kind) []string {
	var ids []string
	for id, kind := range g.names.kinds {
		if slices.Contains(kinds, kind) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

// readAround reads what belongs to the reached records without being in the flow.
func (g *gathered) readAround() (err error) {
	if g.readings, err = group(g, "of_id", g.ids(KindRun, KindLot), func(r DensityReading) string { return r.OfID }); err != nil {
		return err
	}
	drawn, err := group(g, "run_id", g.ids(KindRun), func(e BoilEntry) string { return e.RunID })
	if err != nil {
		return err
	}
	g.drawnOff, g.boiling, g.turns = map[string]BoilEntry{}, map[string][]BoilEntry{}, map[string][]BoilEntry{}
	var used []*string
	for run, entries := range drawn {
		slices.SortFunc(entries, func(a, b BoilEntry) int { return a.At.Compare(b.At) })
		for _, e := range entries {
			switch {
			case e.What == EntryDrawnOff:
				g.drawnOff[run] = e
			case e.What == EntryFireOut || e.What == EntryRelit:
				g.turns[run] = append(g.turns[run], e)
			case e.What == EntryTemperature && e.Temperature != nil:
				g.boiling[run] = append(g.boiling[run], e)
				used = append(used, e.InstrumentID)
			}
		}
	}
	made := g.ids(KindRun, KindPressing, KindTank, KindLot, KindSupplyLot)
	if g.linksInto, err = group(g, "to_id", made, func(l Link) string { return l.ToID }); err != nil {
		return err
	}
	if g.linksFrom, err = group(g, "from_id", made, func(l Link) string { return l.FromID }); err != nil {
		return err
	}
	if err = g.readTakers(); err != nil {
		return err
	}
	if err = g.readAdditions(); err != nil {
		return err
	}
	if err = g.readField(); err != nil {
		return err
	}
	for _, list := range g.readings {
		for _, r := range list {
			used = append(used, r.InstrumentID, r.ThermometerID)
		}
	}
	return g.readInstruments(used)
}

func group[T any](g *gathered, column string, ids []string, key func(T) string) (map[string][]T, error) {
	rows, err := ListIDs[T](g.ctx, g.src, column, ids)
	by := map[string][]T{}
	for _, r := range rows {
		by[key(r)] = append(by[key(r)], r)
	}
	return by, err
}

// readTakers reads what kinds the links from runs go into, which may lie downstream of what is judged.
func (g *gathered) readTakers() error {
	g.takers = map[string]Kind{}
	var ids []string
	for _, run := range g.ids(KindRun) {
		for _, l := range g.linksFrom[run] {
			if kind, known := g.names.kinds[l.ToID]; known {
				g.takers[l.ToID] = kind
			} else {
				ids = append(ids, l.ToID)
			}
		}
	}
	kinds, err := kindsOf(g.ctx, g.src, ids)
	maps.Copy(g.takers, kinds)
	return err
}

// readAdditions files each addition under the node it went into: for a tank, its contents at that moment.
func (g *gathered) readAdditions() error {
	rows, err := ListIDs[Addition](g.ctx, g.src, "to_id", g.ids(KindRun, KindPressing, KindTank))
	if err != nil {
		return err
	}
	g.additions = map[string][]Addition{}
	split := g.split()
	for _, a := range rows {
		node := a.ToID
		if g.names.kinds[a.ToID] != KindRun || split[a.ToID] {
			if node, err = nodeAt(g.ctx, g.src, a.ToID, a.At); err != nil {
				return err
			}
		}
		g.additions[node] = append(g.additions[node], a)
	}
	return nil
}

// split tells which of the reached runs are more than one node.
func (g *gathered) split() map[string]bool {
	runs := map[string]bool{}
	for _, node := range g.graph.IDs() {
		if id := RecordOf(node); id != node && g.names.kinds[id] == KindRun {
			runs[id] = true
		}
	}
	return runs
}

// readField reads what was sprayed on the blocks of the cuts and how cold their nights were.
func (g *gathered) readField() error {
	var blocks []string
	for _, id := range g.ids(KindPlanting) {
		blocks = append(blocks, g.names.facts[id].(*Planting).BlockID)
	}
	slices.Sort(blocks)
	blocks = slices.Compact(blocks)
	if err := g.names.read(blocks); err != nil {
		return err
	}
	var err error
	if g.applications, err = group(g, "block_id", blocks, func(a Application) string { return a.BlockID }); err != nil {
		return err
	}
	freezes, err := List[Freeze](g.ctx, g.src, "ORDER BY night, id")
	g.freezes = map[string][]Freeze{}
	for _, f := range freezes {
		g.freezes[f.SiteID] = append(g.freezes[f.SiteID], f)
	}
	return err
}

func (g *gathered) readInstruments(used []*string) error {
	var ids []string
	for _, id := range used {
		if id != nil && g.instruments[*id].ID == "" {
			ids = append(ids, *id)
		}
	}
	slices.Sort(ids)
	ids = slices.Compact(ids)
	rows, err := ListIDs[Instrument](g.ctx, g.src, "id", ids)
	if err != nil {
		return err
	}
	for _, i := range rows {
		g.instruments[i.ID] = i
	}
	checks, err := group(g, "instrument_id", ids, func(k InstrumentCheck) string { return k.InstrumentID })
	for id, list := range checks {
		slices.SortFunc(list, func(a, b InstrumentCheck) int { return a.At.Compare(b.At) })
		g.checks[id] = list
	}
	return err
}

// instrument is an instrument as it stood for a reading at a moment, with the error of a failed check and a thermometer's zero
// of the day.
func (g *gathered) instrument(id *string, at time.Time) *hazards.InstrumentFacts {
	if id == nil {
		return nil
	}
	i, ok := g.instruments[*id]
	if !ok {
		return nil
	}
	facts := &hazards.InstrumentFacts{ID: i.ID, Name: i.Name, Measures: i.Measures, Stem: i.Stem, Modulus: i.Modulus, Uncertainty: i.canonicalUncertainty(),
		Error: g.asFound(i.ID, at)}
	if i.Measures == MeasuresTemperature {
		facts.Zero = g.zero(i.ID, at)
	}
	return facts
}

// canonicalUncertainty is in Celsius degrees for a thermometer, in the marks of its scale for others.
func (i Instrument) canonicalUncertainty() *float64 {
	if i.Uncertainty == nil || i.Measures != MeasuresTemperature || i.ReadsIn != "F" {
		return i.Uncertainty
	}
	celsius := float64(syrup.FahrenheitDelta(*i.Uncertainty).Celsius())
	return &celsius
}

// error is read minus expected, a temperature in Celsius degrees.
func (k InstrumentCheck) error() *float64 {
	off := k.Read - k.Expected
	if k.Unit == "F" {
		off = off * 5 / 9
	}
	return &off
}

// RulesOf are what the house judges by: the reference limits with its own beside them, and its zone.
func RulesOf(ctx context.Context, src Source) (hazards.Rules, error) {
	own, err := List[HouseLimit](ctx, src, "ORDER BY set_on, id")
	if err != nil {
		return hazards.Rules{}, err
	}
	var limits []hazards.Limit
	for _, l := range own {
		limits = append(limits, hazards.Limit{Code: l.Code, Value: l.Value, Unit: hazards.Unit(l.Unit), Source: l.Source,
			CheckedOn: hazards.Day(l.SetOn), Version: l.ID + "/" + itoa(int64(l.Revision))})
	}
	set, err := hazards.NewLimits(limits...)
	return hazards.Rules{Limits: set, Zone: zoneOf(ctx, src)}, err
}

// inspect refuses a house limit for something we have no limit for, or in another unit.
func (l *HouseLimit) inspect(*Tx) error {
	_, err := hazards.NewLimits(hazards.Limit{Code: l.Code, Value: l.Value, Unit: hazards.Unit(l.Unit)})
	if err != nil {
		return Invalid{{"code", "house_limit.unknown", []any{"Problem", err.Error()}}}
	}
	return nil
}
