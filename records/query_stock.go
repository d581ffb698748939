package records

import (
	"context"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// Stock is what is left of a cut, a pressing, a run or a tank; nil is not known.
type Stock struct {
	ID     string
	Kind   Kind
	Name   string
	At     time.Time        // when it was made; for a tank when it was last filled
	Made   *syrup.Kilograms // the whole of it; for a tank what it holds
	Left   *syrup.Kilograms
	Volume *syrup.Liters // of what is left
	Solids *syrup.Brix
	Taken  bool // something has been taken from it
	// Counted is what a cut was counted as when it was not weighed: loads, rows or bundles.
	Counted string
}

// barely is the share of what was made below which nothing counts as left: less than any scale or stick tells.
const barely = 0.005

// Empty tells whether a stock is known to be used up.
func (s Stock) Empty() bool {
	return s.Left != nil && (*s.Left <= 0 || s.Made != nil && s.Kind != KindTank && *s.Left < *s.Made*barely)
}

// StockOf gives what is left of a cut, a pressing, a run or a tank at a moment, as a link written then would find it.
// Errors: ErrNotFound.
func (s *Store) StockOf(ctx context.Context, id string, at time.Time) (Stock, error) {
	fact, err := Load(ctx, s, id)
	if err != nil {
		return Stock{}, err
	}
	stock := Stock{ID: id, Kind: fact.Kind(), Name: NameOf(ctx, s, fact)}
	if k, ok := fact.(*Cut); ok && k.Mass == nil {
		stock.Counted = k.Counted
	}
	tx := &Tx{ctx: ctx, s: s, db: s.read, at: s.Now()} // reads as a writing would; writes nothing
	probe := &Link{FromID: id, At: at}
	if stock.Made, err = tx.produced(probe, stock.Kind); err != nil {
		return stock, err
	}
	if stock.Left, err = tx.left(probe, stock.Kind); err != nil {
		return stock, err
	}
	if err := stock.worked(tx, probe); err != nil {
		return stock, err
	}
	stock.At, stock.Taken, err = tx.madeAt(fact)
	return stock, err
}

// worked adds volume and solids of what is left.
func (s *Stock) worked(tx *Tx, probe *Link) error {
	if s.Kind == KindCut {
		return nil
	}
	m, err := tx.matterOf(s.ID, s.Kind, probe)
	if err != nil {
		return err
	}
	s.Solids = m.solids
	if s.Left == nil || *s.Left <= 0 {
		return nil
	}
	probe.Mass = s.Left
	err = tx.measure(probe, s.Kind)
	s.Volume = probe.Volume
	return err
}

// madeAt is when a stock was made or last filled, and whether anything was taken from it.
func (tx *Tx) madeAt(fact Fact) (time.Time, bool, error) {
	id := fact.row().ID
	taken, err := List[Link](tx.ctx, tx, "from_id = ?", id)
	if err != nil {
		return time.Time{}, false, err
	}
	if fact.Kind() == KindTank {
		fillings, err := List[Link](tx.ctx, tx, "to_id = ? ORDER BY at DESC LIMIT 1", id)
		if err != nil || len(fillings) == 0 {
			return time.Time{}, len(taken) > 0, err
		}
		return fillings[0].At, len(taken) > 0, nil
	}
	at, err := tx.began(id)
	return at, len(taken) > 0, err
}

// caneDays and juiceDays are how far back cane and juice are offered for use: past them they are spoiled (trade.md 1.7
// and 1.9: cane at most two weeks in cool weather, juice days when cold).
const (
	caneDays  = 14
	juiceDays = 4
)

// CaneLeft lists the cuts of the last days that are not used up, newest first. A cut that was counted, not weighed,
// counts as used up once it was pressed.
func (s *Store) CaneLeft(ctx context.Context) ([]Stock, error) {
	since := DayOf(s.Now().AddDate(0, 0, -caneDays), zoneOf(ctx, s))
	cuts, err := List[Cut](ctx, s, "cut_on >= ? ORDER BY cut_on DESC, id DESC", since)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(cuts))
	for i, k := range cuts {
		ids[i] = k.ID
	}
	return s.stocksLeft(ctx, ids)
}

// JuiceLeft lists the pressings of the last days with juice left, newest first, then the juice tanks that hold some.
func (s *Store) JuiceLeft(ctx context.Context) ([]Stock, error) {
	pressings, err := List[Pressing](ctx, s, "started_at >= ? ORDER BY started_at DESC", s.Now().AddDate(0, 0, -juiceDays))
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(pressings))
	for i, p := range pressings {
		ids[i] = p.ID
	}
	tanks, err := s.tanksHolding(ctx, HoldsJuice)
	if err != nil {
		return nil, err
	}
	return s.stocksLeft(ctx, append(ids, tanks...))
}

// SyrupLeft lists the runs drawn off or held half boiled within so many days that are not used up, newest first, then the
// syrup tanks that hold some.
func (s *Store) SyrupLeft(ctx context.Context, days int) ([]Stock, error) {
	runs, err := List[Run](ctx, s, `fire_lit_at >= ? AND id IN (SELECT run_id FROM boil_entry_now WHERE what = ? AND outcome NOT IN ?) ORDER BY fire_lit_at DESC`,
		s.Now().AddDate(0, 0, -days), EntryDrawnOff, []string{OutcomeMoved, OutcomeGivenUp})
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(runs))
	for i, r := range runs {
		ids[i] = r.ID
	}
	tanks, err := s.tanksHolding(ctx, HoldsSyrup)
	if err != nil {
		return nil, err
	}
	return s.stocksLeft(ctx, append(ids, tanks...))
}

// tanksHolding lists the tanks for juice or syrup that were ever filled.
func (s *Store) tanksHolding(ctx context.Context, holds string) ([]string, error) {
	tanks, err := List[Tank](ctx, s, "holds = ? AND id IN (SELECT to_id FROM link_now) ORDER BY name", holds)
	ids := make([]string, len(tanks))
	for i, t := range tanks {
		ids[i] = t.ID
	}
	return ids, err
}

// stocksLeft keeps those of which something is, or may be, left.
func (s *Store) stocksLeft(ctx context.Context, ids []string) ([]Stock, error) {
	var stocks []Stock
	for _, id := range ids {
		stock, err := s.StockOf(ctx, id, s.Now())
		if err != nil {
			return nil, err
		}
		if stock.Empty() || stock.Left == nil && stock.Taken && stock.Kind != KindTank {
			continue
		}
		stocks = append(stocks, stock)
	}
	return stocks, nil
}

// TankSheet is a tank as it stands: what it holds, of what that is made, and what happened to it.
type TankSheet struct {
	Tank      Tank
	Stock     Stock
	Unknown   bool   // drawn from, or washed, before any filling: nothing is known of it
	Origin    []Step // cuts, pressings and runs behind the present contents, with their shares
	Fillings  []Link // newest first
	Taken     []Link
	WashOuts  []WashOut
	Additions []Addition
}

// TankSheetOf gives a tank as it stands at a moment. Errors: ErrNotFound.
func (s *Store) TankSheetOf(ctx context.Context, id string, at time.Time) (TankSheet, error) {
	var sheet TankSheet
	var err error
	if sheet.Tank, err = Get[Tank](ctx, s, id); err != nil {
		return sheet, err
	}
	if sheet.Stock, err = s.StockOf(ctx, id, at); err != nil {
		return sheet, err
	}
	vessel, fillings, taken, err := tankOf(ctx, s, id, "")
	if err != nil {
		return sheet, err
	}
	sheet.Fillings, sheet.Taken = fillings, taken
	slices.Reverse(sheet.Fillings)
	slices.Reverse(sheet.Taken)
	if sheet.WashOuts, err = List[WashOut](ctx, s, "vessel_id = ? ORDER BY at DESC", id); err != nil {
		return sheet, err
	}
	if sheet.Additions, err = List[Addition](ctx, s, "to_id = ? ORDER BY at DESC", id); err != nil {
		return sheet, err
	}
	state := vessel.StateAt(at)
	sheet.Unknown = state == id+"#0"
	if sheet.Unknown || sheet.Stock.Empty() {
		return sheet, nil
	}
	back, err := TraceBack(ctx, s, state)
	for _, step := range back.OfKind(KindRun, KindPressing, KindCut, KindSupplyLot) {
		if step.Share != nil {
			sheet.Origin = append(sheet.Origin, step)
		}
	}
	return sheet, err
}
