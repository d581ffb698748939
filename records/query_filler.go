package records

import (
	"context"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// SyrupLeft is a run or tank that a lot may be filled from, with what is left in it. Mass, volume and solids are nil where
// they are not known.
type SyrupLeft struct {
	ID       string
	Kind     Kind
	Name     string
	Since    time.Time // drawn off, or last filled
	Mass     *syrup.Kilograms
	Volume   *syrup.Liters // at the temperature it was drawn at, about 85 C where that is not recorded
	Solids   *syrup.Brix
	OnFire   bool // not drawn off yet: bottling may start while drawing off
	Finished bool // nothing is left by the records
}

// leftRecently is how long a run or tank whose contents are not known, or are used up, is still offered to a filler.
const leftRecently = 3 * 24 * time.Hour

// What is left of a run counts as nothing below the first share, and below the second once it is no longer recent: the rest
// stuck to kettle and hoses, and stands in the run's balance (our choice, no source).
const (
	leftNothing = 0.005
	leftLittle  = 0.10
)

// SyrupsLeft lists the runs and holding tanks with syrup left, newest first; behind them those used up of late. What was
// held half boiled is not among them.
func SyrupsLeft(ctx context.Context, src Source, now time.Time) ([]SyrupLeft, error) {
	runs, err := runsLeft(ctx, src, now)
	if err != nil {
		return nil, err
	}
	tanks, err := tanksLeft(ctx, src, now)
	if err != nil {
		return nil, err
	}
	list := append(runs, tanks...)
	slices.SortStableFunc(list, func(a, b SyrupLeft) int {
		if a.Finished != b.Finished {
			return map[bool]int{true: 1, false: -1}[a.Finished]
		}
		if a.OnFire != b.OnFire {
			return map[bool]int{true: 1, false: -1}[a.OnFire]
		}
		return b.Since.Compare(a.Since)
	})
	return list, nil
}

func runsLeft(ctx context.Context, src Source, now time.Time) ([]SyrupLeft, error) {
	runs, err := List[Run](ctx, src, "ORDER BY fire_lit_at DESC")
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(runs))
	for i, r := range runs {
		ids[i] = r.ID
	}
	drawn, err := ListIDs[BoilEntry](ctx, src, "what = 'drawn_off' AND run_id", ids)
	if err != nil {
		return nil, err
	}
	ends := map[string]BoilEntry{}
	for _, e := range drawn {
		ends[e.RunID] = e
	}
	taken, err := ListIDs[Link](ctx, src, "from_id", ids)
	if err != nil {
		return nil, err
	}
	out := map[string][]Link{}
	for _, l := range taken {
		out[l.FromID] = append(out[l.FromID], l)
	}
	var list []SyrupLeft
	for _, r := range runs {
		end, ended := ends[r.ID]
		if end.Outcome != OutcomeSyrup { // held, moved or given up: nothing of it is bottled
			continue
		}
		left, ok, err := runLeft(ctx, src, r, end, ended, out[r.ID], now)
		if err != nil {
			return nil, err
		}
		if ok {
			list = append(list, left)
		}
	}
	return list, nil
}

// runLeft is what a run still holds; false when it is no longer to be offered.
func runLeft(ctx context.Context, src Source, r Run, end BoilEntry, ended bool, taken []Link, now time.Time) (SyrupLeft, bool, error) {
	left := SyrupLeft{ID: r.ID, Kind: KindRun, Name: r.Code, Since: r.FireLitAt, OnFire: !ended}
	if ended {
		left.Since = end.At
	}
	recent := now.Sub(left.Since) < leftRecently
	if !ended {
		return left, recent, nil
	}
	if end.Volume == nil {
		left.Finished = len(taken) > 0
		return left, recent || len(taken) == 0, nil
	}
	whole, share, known := *end.Volume, 1.0, true
	if len(taken) > 0 || recent {
		solids, err := FinishSolids(ctx, src, r.ID)
		if err != nil {
			return left, false, err
		}
		if solids != nil {
			left.Solids = &solids.Percent
		}
		share, known = shareLeft(left.Solids, end, taken)
	}
	if !known {
		return left, recent, nil
	}
	if share <= leftNothing || !recent && share < leftLittle {
		left.Finished = true
		return left, recent, nil
	}
	volume := syrup.Liters(float64(whole) * share)
	left.Volume = &volume
	return left, true, nil
}

// shareLeft is the part of a run that nothing has taken yet; false when a taker's quantity is not known.
func shareLeft(solids *syrup.Brix, end BoilEntry, taken []Link) (float64, bool) {
	if len(taken) == 0 {
		return 1, true
	}
	if solids == nil {
		return 0, false
	}
	m := atOr(solids, end.Temperature, assumedSyrup)
	rho, err := syrup.Density(*solids, m.at)
	if err != nil {
		return 0, false
	}
	made := float64(*end.Volume) / 1000 * float64(rho)
	left := made
	for _, l := range taken {
		if l.Mass == nil {
			return 0, false
		}
		left -= float64(*l.Mass)
	}
	return left / made, true
}

func tanksLeft(ctx context.Context, src Source, now time.Time) ([]SyrupLeft, error) {
	tanks, err := List[Tank](ctx, src, "holds = ? ORDER BY name", HoldsSyrup)
	if err != nil {
		return nil, err
	}
	var list []SyrupLeft
	for _, t := range tanks {
		left, ok, err := tankLeft(ctx, src, t, now)
		if err != nil {
			return nil, err
		}
		if ok {
			list = append(list, left)
		}
	}
	return list, nil
}

// tankLeft is what a holding tank holds now; false when it was never filled since it was last washed, or emptied long ago.
func tankLeft(ctx context.Context, src Source, t Tank, now time.Time) (SyrupLeft, bool, error) {
	left := SyrupLeft{ID: t.ID, Kind: KindTank, Name: t.Name}
	held, fillings, _, err := tankOf(ctx, src, t.ID, "")
	if err != nil || len(fillings) == 0 {
		return left, false, err
	}
	left.Since = fillings[len(fillings)-1].At
	for _, washed := range held.WashOuts {
		if washed.After(left.Since) {
			return left, false, nil
		}
	}
	semi, err := semiSyrupOf(ctx, src, t.ID, now)
	if err != nil || semi.Only { // has to be boiled on first
		return left, false, err
	}
	recent := now.Sub(left.Since) < leftRecently
	solids, mass := held.HeldAt(now)
	switch {
	case mass == nil:
		return left, recent, nil
	case *mass <= 0.5 || !recent && *mass < 2: // kilograms: less than a bottle, or what stuck to the walls
		left.Finished = true
		return left, recent, nil
	}
	left.Mass = mass
	if solids != nil {
		percent := syrup.Brix(*solids / *mass * 100)
		left.Solids = &percent
		if rho, err := syrup.Density(percent, assumedSyrup); err == nil {
			volume := syrup.Liters(float64(*mass) / float64(rho) * 1000)
			left.Volume = &volume
		}
	}
	return left, true, nil
}

// SupplyLeft is a supply lot of bottles or closures and how many are left by the counts of the lots that used it and what broke.
type SupplyLeft struct {
	SupplyLot
	Used int
	Left *float64 // nil: the quantity received is not recorded
}

// SuppliesLeft lists the supply lots of a sort, bottles or closures, newest received first, with what is left of each.
func SuppliesLeft(ctx context.Context, src Source, sort string) ([]SupplyLeft, error) {
	lots, err := List[SupplyLot](ctx, src, "sort = ? ORDER BY received_on DESC, id DESC", sort)
	if err != nil {
		return nil, err
	}
	var rows []struct {
		ID   string
		Used int
	}
	column := map[string]string{SupplyBottles: "bottles_lot_id", SupplyClosures: "closures_lot_id"}[sort]
	if column != "" {
		err = src.conn(ctx).Raw("SELECT l." + column + " AS id, SUM(e.count) AS used FROM lot_now l JOIN fill_end_now e ON e.lot_id = l.id WHERE l." +
			column + " IS NOT NULL GROUP BY l." + column).Scan(&rows).Error
	}
	used := map[string]int{}
	for _, r := range rows {
		used[r.ID] = r.Used
	}
	if err == nil && sort == SupplyBottles {
		err = addBroken(ctx, src, used)
	}
	list := make([]SupplyLeft, len(lots))
	for i, l := range lots {
		list[i] = SupplyLeft{SupplyLot: l, Used: used[l.ID]}
		if l.Quantity != nil {
			left := *l.Quantity - float64(used[l.ID])
			list[i].Left = &left
		}
	}
	return list, err
}

// addBroken counts the bottles that broke at the filler as used; closures are put on whole ones only.
func addBroken(ctx context.Context, src Source, used map[string]int) error {
	var rows []struct {
		ID     string
		Broken int
	}
	err := src.conn(ctx).Raw("SELECT l.bottles_lot_id AS id, SUM(e.count) AS broken FROM lot_now l JOIN fill_event_now e ON e.lot_id = l.id" +
		" WHERE e.what = '" + FillBroken + "' AND l.bottles_lot_id IS NOT NULL GROUP BY l.bottles_lot_id").Scan(&rows).Error
	for _, r := range rows {
		used[r.ID] += r.Broken
	}
	return err
}
