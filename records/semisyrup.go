package records

import (
	"context"
	"time"

	"canewright/records/lineage"
)

// SemiSyrup is syrup held half boiled: a tank that holds some, or a run of which some stands in a bucket without a name.
type SemiSyrup struct {
	Stock
	HeldAt time.Time // when the oldest of it was taken off the fire
	Runs   []string  // ids of the runs it was boiled in
	Only   bool      // nothing but semi-syrup is in it
}

// SemiSyrupLeft lists what is held half boiled and not used up, for the next kettle: tanks by name, then runs, newest
// first.
func (s *Store) SemiSyrupLeft(ctx context.Context) ([]SemiSyrup, error) {
	tanks, err := s.tanksHolding(ctx, HoldsSyrup)
	if err != nil {
		return nil, err
	}
	runs, err := List[Run](ctx, s, `fire_lit_at >= ? AND id IN (SELECT run_id FROM boil_entry_now WHERE what = ? AND outcome = ?) ORDER BY fire_lit_at DESC`,
		s.Now().AddDate(0, 0, -semiDays), EntryDrawnOff, OutcomeSemiSyrup)
	if err != nil {
		return nil, err
	}
	for _, r := range runs {
		tanks = append(tanks, r.ID)
	}
	stocks, err := s.stocksLeft(ctx, tanks)
	if err != nil {
		return nil, err
	}
	var list []SemiSyrup
	for _, stock := range stocks {
		semi, err := semiSyrupOf(ctx, s, stock.ID, s.Now())
		if err != nil {
			return nil, err
		}
		if semi.Stock = stock; len(semi.Runs) > 0 {
			list = append(list, semi)
		}
	}
	return list, nil
}

// semiDays is how far back held semi-syrup that stands in no tank is offered: past the keeping times known (trade.md 1.9),
// so that the page can say so.
const semiDays = 45

// semiSyrupOf tells what half-boiled syrup stands in a tank at a moment, or was held of a run.
func semiSyrupOf(ctx context.Context, src Source, id string, at time.Time) (SemiSyrup, error) {
	var semi SemiSyrup
	node, err := nodeAt(ctx, src, id, at)
	if err != nil {
		return semi, err
	}
	runs, err := nearestRuns(ctx, src, node)
	if err != nil {
		return semi, err
	}
	ends, err := ListIDs[BoilEntry](ctx, src, "what = 'drawn_off' AND run_id", runs)
	for _, e := range ends {
		if e.Outcome != OutcomeSemiSyrup {
			continue
		}
		semi.Runs = append(semi.Runs, e.RunID)
		if semi.HeldAt.IsZero() || e.At.Before(semi.HeldAt) {
			semi.HeldAt = e.At
		}
	}
	semi.Only = len(semi.Runs) > 0 && len(semi.Runs) == len(runs)
	return semi, err
}

// nearestRuns lists the runs behind a node that nothing but tanks lies between; a run itself is nearest to itself.
func nearestRuns(ctx context.Context, src Source, node string) ([]string, error) {
	kind, err := KindOf(ctx, src, RecordOf(node))
	if err != nil || kind == KindRun {
		return []string{RecordOf(node)}, err
	}
	edges, err := flowEdges(ctx, src, node, up)
	if err != nil {
		return nil, err
	}
	names, err := namesOf(ctx, src, lineage.New(edges).IDs())
	if err != nil {
		return nil, err
	}
	runs := nearest(lineage.New(edges), names, node).runs
	for i := range runs {
		runs[i] = RecordOf(runs[i])
	}
	return runs, nil
}
