package records

import (
	"context"
	"slices"

	"canewright/hazards"
)

// LabelBalance is what was printed for a lot, what became of it, and how many bottles there are to label.
type LabelBalance struct {
	hazards.LabelCountFacts
	Reprinted int // of the printed, in printings after the first
	ToLabel   int // bottles of parts that are not destroyed or reworked; 0 while filling
	Parts     int
	Ended     int // parts destroyed or reworked
	Counts    []LabelCount
}

// LabelBalanceOf adds up the printings and counts of a lot's labels. Errors: ErrNotFound.
func LabelBalanceOf(ctx context.Context, src Source, lotID string) (LabelBalance, error) {
	lot, err := Get[Lot](ctx, src, lotID)
	if err != nil {
		return LabelBalance{}, err
	}
	b := LabelBalance{LabelCountFacts: hazards.LabelCountFacts{ID: lotID, Name: PrintedCode(lot.Code)}}
	prints, err := List[Print](ctx, src, "of_id = ? AND what = ? ORDER BY at, id", lotID, PrintLabels)
	if err != nil {
		return b, err
	}
	for i, p := range prints {
		b.Printed += p.Copies
		if i > 0 {
			b.Reprinted += p.Copies
		}
	}
	if b.Counts, err = List[LabelCount](ctx, src, "lot_id = ? ORDER BY at, id", lotID); err != nil {
		return b, err
	}
	for _, k := range b.Counts {
		if b.Used == nil {
			b.Used, b.Spoiled = new(int), new(int)
		}
		*b.Used += k.Used
		*b.Spoiled += k.Spoiled
	}
	return b, b.bottles(ctx, src)
}

// bottles counts what there is to label.
func (b *LabelBalance) bottles(ctx context.Context, src Source) error {
	parts, err := List[Part](ctx, src, "lot_id = ?", b.ID)
	if err != nil {
		return err
	}
	shelves, err := Shelves(ctx, src, parts)
	if err != nil {
		return err
	}
	filled := 0
	b.Parts = len(shelves)
	for _, p := range shelves {
		if ended(p.State) {
			b.Ended++
		}
		switch {
		case p.CameBack: // labelled before they left, and counted in the part they left from
		case ended(p.State):
			filled += p.Filled
			b.Gone += p.Filled
		default:
			filled += p.Filled
			b.ToLabel += p.Filled
			b.Gone += p.Samples + p.Broken
		}
	}
	if filled > 0 {
		b.Bottles = &filled
	}
	return nil
}

// ended tells whether the bottles of a part are no more.
func ended(state string) bool { return state == StateDestroyed || state == StateReworked }

// labelCounts are the facts a lot's labels are judged on; nil until somebody counted them.
func labelCounts(ctx context.Context, src Source, lotID string) (*hazards.LabelCountFacts, error) {
	counts, err := List[LabelCount](ctx, src, "lot_id = ? LIMIT 1", lotID)
	if err != nil || len(counts) == 0 {
		return nil, err
	}
	b, err := LabelBalanceOf(ctx, src, lotID)
	return &b.LabelCountFacts, err
}

// What may be printed.
const (
	PrintLabels     = "labels"
	PrintCaseLabels = "case_labels"
	PrintShelfCards = "shelf_cards"
	PrintTestPage   = "test_page"
	PrintTrayTag    = "tray_tag"
)

// MayLabel refuses to print for a lot that is struck or all of whose bottles are destroyed or reworked. Errors: Invalid,
// ErrNotFound.
func MayLabel(ctx context.Context, src Source, lotID string) error {
	fact, err := Load(ctx, src, lotID)
	if err != nil {
		return err
	}
	lot, ok := fact.(*Lot)
	if !ok {
		return nil
	}
	if lot.Struck {
		return Invalid{{"", "print.lot_struck", []any{"Code", PrintedCode(lot.Code)}}}
	}
	b, err := LabelBalanceOf(ctx, src, lotID)
	if err != nil {
		return err
	}
	if b.Parts > 0 && b.Ended == b.Parts {
		return Invalid{{"", "print.lot_ended", []any{"Code", PrintedCode(lot.Code)}}}
	}
	return nil
}

// Printings gives how often something was printed for a record before.
func Printings(ctx context.Context, src Source, ofID, what string) (int, error) {
	prints, err := List[Print](ctx, src, "of_id = ? AND what = ?", ofID, what)
	return len(prints), err
}

// inspect refuses what may not be printed, and marks what is printed again. The code on it never changes.
func (p *Print) inspect(tx *Tx) error {
	if !slices.Contains([]string{PrintLabels, PrintCaseLabels, PrintShelfCards, PrintTrayTag}, p.What) || p.Revision > 1 {
		return nil
	}
	if err := MayLabel(tx.ctx, tx, p.OfID); err != nil {
		return err
	}
	before, err := Printings(tx.ctx, tx, p.OfID, p.What)
	p.Reprint = before > 0
	return err
}
