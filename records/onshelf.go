package records

// partShelf is what stood of a part before an amendment.
type partShelf struct {
	partID string // empty: the amendment moves no bottles
	onHand int
}

// shelfBefore gives what stands of the part whose bottles an amendment counts otherwise.
func (tx *Tx) shelfBefore(fact Fact) (partShelf, error) {
	if fact.row().ID == "" {
		return partShelf{}, nil
	}
	var id string
	switch f := fact.(type) {
	case *ShelfEntry:
		id = f.PartID
	case *Part:
		id = f.ID
	case *Link:
		if f.Units != nil {
			id = f.FromID
		}
	}
	if id == "" {
		return partShelf{}, nil
	}
	shelf, err := ShelfOf(tx.ctx, tx, id)
	return partShelf{id, shelf.OnHand}, err
}

// shelfHolds refuses an amendment after which more bottles would have left a part than it had.
func (tx *Tx) shelfHolds(before partShelf) error {
	if before.partID == "" {
		return nil
	}
	shelf, err := ShelfOf(tx.ctx, tx, before.partID)
	if err != nil || shelf.OnHand >= 0 || shelf.OnHand >= before.onHand {
		return err
	}
	return Invalid{{"units", "part.more_than_there_was", []any{"Short", -shelf.OnHand}}}
}

// carryReturn carries the amended or struck count of returned bottles over to the part they became, less what was divided
// from it since. Pieces of bottles that never came back are refused.
func (tx *Tx) carryReturn(e *ShelfEntry, units int, why string) error {
	if e.What != ShelfReturn {
		return nil
	}
	part, err := Get[Part](tx.ctx, tx, e.PartID)
	if err != nil {
		return err
	}
	pieces, err := List[Part](tx.ctx, tx, `id IN (WITH RECURSIVE piece(id) AS (SELECT p.id FROM part_now p WHERE p.of_part_id = ?
		UNION SELECT p.id FROM part_now p JOIN piece ON p.of_part_id = piece.id) SELECT id FROM piece) ORDER BY number`, e.PartID)
	if err != nil {
		return err
	}
	for _, piece := range pieces {
		if units -= *piece.Units; units < 1 {
			return Conflict{Key: "strike.used", Args: []any{"Name", Name(tx.ctx, tx, piece.ID)}, ID: piece.ID}
		}
	}
	if part.Units != nil && *part.Units == units {
		return nil
	}
	part.Units = &units
	return tx.put(&part, why)
}
