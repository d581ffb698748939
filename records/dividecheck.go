package records

import (
	"context"
	"slices"
	"strings"

	"canewright/hazards"
)

// DivideByChecks divides the parts of a lot as its fill checks say: the bottles that a check holds apart from the others.
// numbers gives checks that lack one the number of bottles capped then; why is kept with that amendment. Errors: Invalid
// at "number_" and the check's id, Conflict when the checks divide nothing, Already.
func (s *Store) DivideByChecks(ctx context.Context, who Actor, lotID string, numbers map[string]int, why string) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.numberChecks(lotID, numbers, why); err != nil {
			return err
		}
		divided, err := tx.divideByChecks(lotID)
		if err == nil && !divided {
			err = Conflict{Key: "divide.nothing", ID: lotID}
		}
		return err
	})
}

// numberChecks writes the bottle numbers that checks of the lot lacked, in order of time.
func (tx *Tx) numberChecks(lotID string, numbers map[string]int, why string) error {
	checks, err := List[FillCheck](tx.ctx, tx, "lot_id = ? ORDER BY at, id", lotID)
	if err != nil {
		return err
	}
	for i := range checks {
		k := &checks[i]
		number, ok := numbers[k.ID]
		if !ok || k.BottleNumber != nil {
			continue
		}
		k.BottleNumber = &number
		if err := tx.put(k, why); err != nil {
			return renamed(err, "bottle_number", "number_"+k.ID)
		}
	}
	return nil
}

// renamed puts the faults of one field at another.
func renamed(err error, from, to string) error {
	wrong, ok := err.(Invalid)
	if !ok {
		return err
	}
	for i := range wrong {
		if wrong[i].Field == from {
			wrong[i].Field = to
		}
	}
	return wrong
}

// divideByChecks divides every part of which a check holds some bottles and not all, and tells whether there was one.
func (tx *Tx) divideByChecks(lotID string) (bool, error) {
	parts, err := DividedByChecks(tx.ctx, tx, lotID)
	if err != nil {
		return false, err
	}
	divided := false
	for _, d := range parts {
		if len(d.Pieces) < 2 {
			continue
		}
		if err := tx.divide(d.Shelf.ID, d.Pieces); err != nil {
			return false, err
		}
		divided = true
	}
	return divided, nil
}

// ByChecks is a part that the fill checks of its lot divide: into which pieces, or what must be counted first.
type ByChecks struct {
	Shelf  PartShelf
	Pieces []Piece     // none while a number is missing
	Ask    []FillCheck // good checks beside the doubtful bottles that do not say how many were capped then
	Left   bool        // some of its bottles have left, and which ones is not known: divided by hand only
}

// Doubtful tells whether a piece is one that the checks hold.
func (p Piece) Doubtful() bool { return len(p.found) > 0 }

// DividedByChecks lists the parts of a lot that its fill checks divide, those some of whose bottles have left among them.
func DividedByChecks(ctx context.Context, src Source, lotID string) ([]ByChecks, error) {
	facts, rules, err := LotFacts(ctx, src, lotID)
	if err != nil {
		return nil, err
	}
	doubted := hazards.DoubtedBottles(hazards.JudgeLot(facts, rules), facts, rules)
	if len(doubted) == 0 || facts.Open {
		return nil, nil
	}
	parts, err := List[Part](ctx, src, "lot_id = ? ORDER BY number, id", lotID)
	if err != nil {
		return nil, err
	}
	shelves, err := Shelves(ctx, src, parts)
	if err != nil {
		return nil, err
	}
	var list []ByChecks
	for _, p := range shelves {
		first, last, ok := p.Numbers()
		if !ok || p.State != StateHeld && p.State != StateReleased {
			continue
		}
		d := ByChecks{Shelf: p, Pieces: piecesOf(doubted, first, last)}
		if len(d.Pieces) < 2 {
			d.Pieces = nil
			if d.Ask, err = unnumbered(ctx, src, doubted, first, last); err != nil {
				return nil, err
			}
		}
		if len(d.Pieces) == 0 && len(d.Ask) == 0 {
			continue
		}
		if p.Gone() > 0 {
			d = ByChecks{Shelf: p, Left: true}
		}
		list = append(list, d)
	}
	return list, nil
}

// piecesOf cuts the bottles first to last at the ends of the windows whose numbers are known.
func piecesOf(doubted []hazards.Doubted, first, last int) []Piece {
	var pieces []Piece
	next := first
	for _, d := range doubted {
		from, to := max(d.First, next), min(d.Last, last)
		if !d.Known() || from > to {
			continue
		}
		if from > next {
			pieces = append(pieces, Piece{First: next, Last: from - 1})
		}
		pieces = append(pieces, Piece{First: from, Last: to, found: d.Findings})
		next = to + 1
	}
	if next <= last {
		pieces = append(pieces, Piece{First: next, Last: last})
	}
	return pieces
}

// unnumbered lists the good checks that end a window and do not say how many bottles were capped then.
func unnumbered(ctx context.Context, src Source, doubted []hazards.Doubted, first, last int) ([]FillCheck, error) {
	var ids []string
	for _, d := range doubted {
		if !d.Covers(&first, &last) {
			continue
		}
		for _, c := range []*hazards.FillCheckFacts{d.After, d.Before} {
			if c != nil && c.BottleNumber == nil {
				ids = append(ids, c.ID)
			}
		}
	}
	slices.Sort(ids)
	checks, err := ListIDs[FillCheck](ctx, src, "id", slices.Compact(ids))
	slices.SortFunc(checks, func(a, b FillCheck) int {
		if by := a.At.Compare(b.At); by != 0 {
			return by
		}
		return strings.Compare(a.ID, b.ID)
	})
	return checks, err
}
