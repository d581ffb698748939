package records

import (
	"context"
	"slices"
	"time"

	"canewright/hazards/syrup"
	"canewright/records/lineage"
)

// runStates splits a run where a part of it was taken and something ran in after that, so that the part has nothing of what
// came later: id#1 is what was in the kettle up to the first such parting, id#2 up to the next, and the id itself what it
// came to in the end. A run of which nothing was taken before its last juice has no states: it is one node.
type runStates struct {
	id         string
	into, from []Link
	partings   []time.Time
}

// statesOf reads what splits a run. Heels and what is drawn off stand at its end and split nothing.
func statesOf(ctx context.Context, src Source, id string) (runStates, error) {
	s := runStates{id: id}
	var err error
	if s.from, err = List[Link](ctx, src, "from_id = ? ORDER BY at, id", id); err != nil {
		return s, err
	}
	taken := slices.DeleteFunc(slices.Clone(s.from), func(l Link) bool { return l.Heel })
	if len(taken) == 0 {
		return s, nil
	}
	if s.into, err = List[Link](ctx, src, "to_id = ? ORDER BY at, id", id); err != nil {
		return s, err
	}
	came, err := cameInto(ctx, src, id, s.into)
	for _, at := range came {
		for _, l := range slices.Backward(taken) { // the last parting before it
			if l.At.Before(at) {
				s.partings = append(s.partings, l.At)
				break
			}
		}
	}
	slices.SortFunc(s.partings, time.Time.Compare)
	s.partings = slices.CompactFunc(s.partings, time.Time.Equal)
	return s, err
}

// cameInto lists when something came into a run: juice and the like, additions, and cloths with their supply lots.
func cameInto(ctx context.Context, src Source, id string, into []Link) ([]time.Time, error) {
	var at []time.Time
	for _, l := range into {
		at = append(at, l.At)
	}
	additions, err := List[Addition](ctx, src, "to_id = ?", id)
	if err != nil {
		return nil, err
	}
	for _, a := range additions {
		at = append(at, a.At)
	}
	cloths, err := List[BoilEntry](ctx, src, "run_id = ? AND supply_lot_id IS NOT NULL", id)
	for _, e := range cloths {
		at = append(at, e.At)
	}
	return at, err
}

// at is the node of the run's contents at a moment; a parting of that moment takes from what was there before.
func (s runStates) at(t time.Time) string {
	for k, parting := range s.partings {
		if !t.After(parting) {
			return lineage.StateID(s.id, k+1)
		}
	}
	return s.id
}

// carry is what stayed in the kettle at each parting: the solids that ran in less those that were taken.
func (s runStates) carry() []flow {
	var flows []flow
	held, estimated := new(syrup.Kilograms), false
	add := func(l Link, sign syrup.Kilograms) {
		estimated = estimated || l.Estimated
		if held == nil || l.Solids == nil {
			held = nil
			return
		}
		sum := max(0, *held+sign**l.Solids)
		held = &sum
	}
	for k := range s.partings {
		here := lineage.StateID(s.id, k+1)
		for _, l := range s.into {
			if s.at(l.At) == here {
				add(l, 1)
			}
		}
		for _, l := range s.from {
			if s.at(l.At) == here {
				add(l, -1)
			}
		}
		next := s.id
		if k+1 < len(s.partings) {
			next = lineage.StateID(s.id, k+2)
		}
		at := s.partings[k]
		flows = append(flows, flow{FromNode: here, ToNode: next, At: &at, Solids: held, Estimated: estimated})
	}
	return flows
}

// flowRun rebuilds everything that touches a run which is split, or was until now.
func (tx *Tx) flowRun(id string) error {
	if kind, err := KindOf(tx.ctx, tx, id); err != nil || kind != KindRun {
		return err
	}
	states, err := statesOf(tx.ctx, tx, id)
	if err != nil {
		return err
	}
	if len(states.partings) == 0 {
		var was []string
		err := tx.db.Raw("SELECT from_node FROM flow WHERE source_id = ? LIMIT 1", id).Scan(&was).Error
		if err != nil || len(was) == 0 {
			return err
		}
		if states.into, err = List[Link](tx.ctx, tx, "to_id = ? ORDER BY at, id", id); err != nil {
			return err
		}
	}
	links := append(slices.Clone(states.into), states.from...)
	for _, source := range append([]string{id}, idsOf(links)...) {
		if err := tx.dropFlows(source); err != nil {
			return err
		}
	}
	if err := tx.addFlows(id, states.carry()); err != nil {
		return err
	}
	if err := tx.flowRunLinks(links); err != nil {
		return err
	}
	return tx.flowBeside(id)
}

// flowRunLinks writes the links of a run anew: those of tanks with everything else of the tank.
func (tx *Tx) flowRunLinks(links []Link) error {
	for _, l := range links {
		tank, err := tx.tankAt(l)
		if err != nil {
			return err
		}
		if tank != "" {
			err = tx.flowTank(tank)
		} else {
			err = tx.flowAsIs(l)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// tankAt is the tank at an end of a link; blank when there is none.
func (tx *Tx) tankAt(l Link) (string, error) {
	for _, id := range []string{l.FromID, l.ToID} {
		if kind, err := KindOf(tx.ctx, tx, id); err != nil || kind == KindTank {
			return id, err
		}
	}
	return "", nil
}

// flowAsIs writes a link between what are no tanks, from and into the contents of its moment.
func (tx *Tx) flowAsIs(l Link) error {
	if err := tx.dropFlows(l.ID); err != nil {
		return err
	}
	from, err := tx.nodeAt(l.FromID, l.At)
	if err != nil {
		return err
	}
	into, err := tx.nodeAt(l.ToID, l.At)
	if err != nil {
		return err
	}
	return tx.addFlows(l.ID, []flow{linkFlow(l, from, into)})
}

// flowBeside moves additions and cloths of a run to the contents they came into.
func (tx *Tx) flowBeside(run string) error {
	if err := tx.flowAdditions(run); err != nil {
		return err
	}
	cloths, err := List[BoilEntry](tx.ctx, tx, "run_id = ? AND supply_lot_id IS NOT NULL", run)
	for i := 0; err == nil && i < len(cloths); i++ {
		err = tx.flowPlain(&cloths[i], &cloths[i])
	}
	return err
}

// splits lists the runs that a fact just written may split, and may have split as it stood before.
func (tx *Tx) splits(fact Fact) ([]string, error) {
	runs := splitBy(fact)
	if fact.row().Revision == 1 {
		return runs, nil
	}
	before, err := loadRevisions(tx.ctx, tx, fact.Kind(), fact.row().ID, "revision DESC", 2)
	for _, f := range before {
		runs = append(runs, splitBy(f)...)
	}
	slices.Sort(runs)
	return slices.Compact(runs), err
}

// splitBy is the run that a fact may split: what it went into, or was taken from.
func splitBy(fact Fact) []string {
	switch f := fact.(type) {
	case *Link:
		return []string{f.FromID, f.ToID}
	case *Addition:
		return []string{f.ToID}
	case *BoilEntry:
		if f.SupplyLotID != nil {
			return []string{f.RunID}
		}
	}
	return nil
}
