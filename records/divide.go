package records

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"canewright/hazards"
)

// Piece is some of the bottles of a part that have a fate of their own from now on.
type Piece struct {
	First, Last int    // bottle numbers, both ends included; 0: not known, and Count counts
	Count       int    // of bottles; with numbers it may stay 0
	Keeps       bool   // bottles that already left were of this piece: it stays the part it was. None marked: the first
	Hold        string // why it is held from now on; blank: in the state of the part it comes from
	Note        string

	found []hazards.Finding // what the rules hold it for
}

// numbered tells whether a piece is given by bottle numbers.
func (p Piece) numbered() bool { return p.First != 0 || p.Last != 0 }

func (p Piece) units() int {
	if p.numbered() {
		return p.Last - p.First + 1
	}
	return p.Count
}

// Divide parts the bottles of a part into pieces that hold all of them, all under the lot's one code. Pieces are given by
// bottle numbers, or by counts where the numbers are not known. Bottles that left stay with the piece that keeps the
// part's record. Errors: Invalid, Conflict, ErrNotFound, Already.
func (s *Store) Divide(ctx context.Context, who Actor, partID string, pieces []Piece) error {
	return s.change(ctx, who, func(tx *Tx) error { return tx.divide(partID, pieces) })
}

func (tx *Tx) divide(partID string, pieces []Piece) error {
	shelf, err := ShelfOf(tx.ctx, tx, partID)
	if err != nil {
		return err
	}
	if shelf.State != StateHeld && shelf.State != StateReleased {
		return Conflict{Key: "divide.state", Args: []any{"State", shelf.State}, ID: shelf.LotID}
	}
	if err := shelf.divides(pieces); err != nil {
		return err
	}
	keeper := max(0, slices.IndexFunc(pieces, func(p Piece) bool { return p.Keeps }))
	if gone := shelf.Gone(); pieces[keeper].units() < gone {
		return Invalid{{"pieces", "divide.gone", []any{"Gone", gone, "Count", pieces[keeper].units()}}}
	}
	number, err := tx.nextPart(shelf.LotID)
	if err != nil {
		return err
	}
	kept := shelf.Part
	if err := tx.keepPiece(shelf, &kept, pieces[keeper], "divided"); err != nil {
		return err
	}
	for i, piece := range pieces {
		if i == keeper {
			continue
		}
		part := &Part{LotID: shelf.LotID, Number: number, OfPartID: &partID}
		number++
		if err := tx.keepPiece(shelf, part, piece, ""); err != nil {
			return err
		}
	}
	return nil
}

// divides refuses pieces that are not exactly the part's bottles.
func (p PartShelf) divides(pieces []Piece) error {
	if len(pieces) < 2 {
		return Invalid{{"pieces", "divide.one_piece", nil}}
	}
	sum, numbered := 0, 0
	for _, piece := range pieces {
		if piece.units() < 1 || piece.numbered() && piece.First < 1 {
			return Invalid{{"pieces", "divide.empty_piece", nil}}
		}
		sum += piece.units()
		if piece.numbered() {
			numbered++
		}
	}
	if numbered != 0 && numbered != len(pieces) {
		return Invalid{{"pieces", "divide.mixed", nil}}
	}
	if numbered > 0 {
		if err := p.dividesByNumber(pieces); err != nil {
			return err
		}
	}
	if sum != p.Filled {
		return Invalid{{"pieces", "divide.not_all", []any{"Sum", sum, "Units", p.Filled}}}
	}
	return nil
}

// dividesByNumber asks that the pieces follow each other from the part's first bottle to its last.
func (p PartShelf) dividesByNumber(pieces []Piece) error {
	first, last, ok := p.Numbers()
	if !ok {
		return Conflict{Key: "divide.no_numbers", ID: p.LotID}
	}
	inOrder := slices.Clone(pieces)
	slices.SortStableFunc(inOrder, func(a, b Piece) int { return cmp.Compare(a.First, b.First) })
	next := first
	for _, piece := range inOrder {
		if piece.First != next {
			return Invalid{{"pieces", "divide.not_in_a_row", []any{"First", first, "Last", last}}}
		}
		next = piece.Last + 1
	}
	if next != last+1 {
		return Invalid{{"pieces", "divide.not_in_a_row", []any{"First", first, "Last", last}}}
	}
	return nil
}

// keepPiece writes the part a piece becomes, and its state. By count its bottles are some of the numbers of the whole.
func (tx *Tx) keepPiece(whole PartShelf, part *Part, piece Piece, why string) error {
	units := piece.units()
	part.Units, part.Note = &units, cmp.Or(piece.Note, part.Note)
	part.FirstBottle, part.LastBottle = whole.FirstBottle, whole.LastBottle
	if first, last, ok := whole.Numbers(); ok {
		part.FirstBottle, part.LastBottle = &first, &last
	}
	if piece.numbered() {
		part.FirstBottle, part.LastBottle = &piece.First, &piece.Last
	}
	fresh := part.ID == ""
	if err := tx.put(part, why); err != nil {
		return err
	}
	switch {
	case len(piece.found) > 0:
		return tx.dispose(part.ID, ActHold, wordsOf(piece.found), piece.found, true)
	case strings.TrimSpace(piece.Hold) != "":
		judged, err := JudgePart(tx.ctx, tx, part.ID)
		if err != nil {
			return err
		}
		return tx.dispose(part.ID, ActHold, piece.Hold, judged.Findings, false)
	case fresh && whole.Last != nil:
		return tx.carryState(*whole.Last, part.ID)
	}
	return nil
}

// carryState gives a new part the latest act signed on the part it was divided from, with the findings as known then.
func (tx *Tx) carryState(last Disposition, partID string) error {
	at, err := tx.afterTheLast(partID)
	if err != nil {
		return err
	}
	return tx.put(&Disposition{PartID: partID, At: at, Act: last.Act, Reason: last.Reason, Findings: last.Findings, Words: last.Words,
		Automatic: true}, "")
}

// nextPart is the number of the next part of a lot.
func (tx *Tx) nextPart(lotID string) (int, error) {
	parts, err := List[Part](tx.ctx, tx, "lot_id = ?", lotID)
	number := 1
	for _, p := range parts {
		number = max(number, p.Number+1)
	}
	return number, err
}

// Gone is how many of a part's bottles are no more on the shelf.
func (p PartShelf) Gone() int {
	if p.State == StateFilling || p.State == StateReworked || p.State == StateDestroyed {
		return 0
	}
	return max(0, p.Filled-p.OnHand)
}

// Numbers are the first and last bottle of a part; false where its bottles are not known one by one: some of those
// numbers are in another part, or they came back from a customer.
func (p PartShelf) Numbers() (first, last int, ok bool) {
	switch {
	case p.State == StateFilling || p.CameBack:
		return 0, 0, false
	case p.FirstBottle != nil && p.LastBottle != nil:
		return *p.FirstBottle, *p.LastBottle, *p.LastBottle-*p.FirstBottle+1 == p.Filled
	}
	return 1, p.Filled, p.OfPartID == nil && p.Filled > 0
}
