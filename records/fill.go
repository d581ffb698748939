package records

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"canewright/labels"
)

// StartFilling gives a lot its code, its first part and its sources, in one transaction: counts follow. Errors: Invalid,
// Conflict while the clock is wrong, Already.
func (s *Store) StartFilling(ctx context.Context, who Actor, lot *Lot, draws []Draw) error {
	if len(draws) == 0 {
		return Invalid{{"sources", "lot.no_sources", nil}}
	}
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.clockGoesForward(); err != nil {
			return err
		}
		if err := tx.codeLot(lot, draws); err != nil {
			return err
		}
		if err := tx.putWithDraws(lot, draws, lot.StartedAt); err != nil {
			return err
		}
		err := tx.db.Exec("INSERT INTO lot_code (code, lot_id, day, kettle_number, ordinal) VALUES (?, ?, ?, ?, ?)",
			lot.Code, lot.ID, lot.Day, lot.KettleNumber, lot.Ordinal).Error
		if err != nil {
			return fmt.Errorf("lot code %s: %w", lot.Code, err)
		}
		return tx.put(&Part{LotID: lot.ID, Number: 1}, "")
	})
}

// clockGoesForward refuses a lot while the clock stands before the newest journal entry or before this program was built:
// a wrong date would be on every bottle.
func (tx *Tx) clockGoesForward() error {
	if tx.at.Before(tx.head.At) {
		return Conflict{Key: "lot.clock_behind_journal", Args: []any{"Now", tx.at, "Newest", tx.head.At}}
	}
	if tx.at.Before(tx.s.notBefore) {
		return Conflict{Key: "lot.clock_behind_build", Args: []any{"Now", tx.at}}
	}
	return nil
}

// codeLot gives the next ordinal of the house day and kettle, and the code made of them (design 6).
func (tx *Tx) codeLot(lot *Lot, draws []Draw) error {
	kettle, err := tx.kettleOf(draws, lot.StartedAt)
	if err != nil {
		return err
	}
	zone := tx.zone()
	lot.Day, lot.KettleNumber = DayOf(lot.StartedAt, zone), kettle
	var last int
	err = tx.db.Raw("SELECT COALESCE(MAX(ordinal), 0) FROM lot_code WHERE day = ? AND kettle_number = ?", lot.Day, kettle).Scan(&last).Error
	if err != nil {
		return err
	}
	floor, err := tx.ordinalFloor(lot.Day)
	if err != nil {
		return err
	}
	lot.Ordinal = max(last, floor) + 1
	code, err := labels.NewLotCode(lot.StartedAt.In(zone), kettle, lot.Ordinal)
	lot.Code = code.String()
	return err
}

// kettleOf is the number of the one kettle all sources come from, 0 when several mix.
func (tx *Tx) kettleOf(draws []Draw, at time.Time) (int, error) {
	kettles := map[string]bool{}
	for _, d := range draws {
		node, err := tx.nodeAt(d.FromID, at)
		if errors.Is(err, ErrNotFound) {
			return 0, Invalid{{"sources", "invalid.pick", nil}}
		}
		if err != nil {
			return 0, err
		}
		if err := tx.kettlesBehind(node, kettles); err != nil {
			return 0, err
		}
	}
	if len(kettles) != 1 {
		return 0, nil
	}
	for id := range kettles {
		kettle, err := Get[Kettle](tx.ctx, tx, id)
		return kettle.Number, err
	}
	return 0, nil
}

// kettlesBehind finds the kettles of the runs nearest upstream of a node: through tanks, not through runs.
func (tx *Tx) kettlesBehind(node string, found map[string]bool) error {
	runs, err := nearestRuns(tx.ctx, tx, node)
	if err != nil {
		return err
	}
	boiled, err := ListIDs[Run](tx.ctx, tx, "id", runs)
	for _, r := range boiled {
		found[r.KettleID] = true
	}
	return err
}

// EndFilling counts the bottles. The first part takes them all and is held from this moment; where a check held some of
// them, and the checks beside it have bottle numbers, those become a part of their own. Errors: Invalid, Conflict, Already.
func (s *Store) EndFilling(ctx context.Context, who Actor, end *FillEnd) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.put(end, ""); err != nil {
			return err
		}
		parts, err := List[Part](ctx, tx, "lot_id = ? ORDER BY number", end.LotID)
		if err != nil || len(parts) == 0 {
			return errors.Join(err, fmt.Errorf("lot %s has no part", end.LotID))
		}
		parts[0].Units = &end.Count
		if err := tx.put(&parts[0], "count at the end of filling"); err != nil {
			return err
		}
		_, err = tx.divideByChecks(end.LotID)
		return err
	})
}

// recount carries an amended count over to the part that ends with the last bottle of the filling; where numbers are not
// known, to the one the others were divided from. Whose numbers went up to the last bottle still do.
func (tx *Tx) recount(end *FillEnd, why string) error {
	parts, err := List[Part](tx.ctx, tx, "lot_id = ? ORDER BY number", end.LotID)
	if err != nil {
		return err
	}
	shelves, err := Shelves(tx.ctx, tx, parts)
	if err != nil || len(shelves) == 0 {
		return err
	}
	filled, last := endOfNumbers(shelves)
	if filled == end.Count {
		return nil
	}
	for i, p := range shelves {
		part := p.Part
		if i == last {
			if part.Units, err = p.recounted(end.Count-filled, p.Filled < filled); err != nil {
				return err
			}
		}
		_, _, exact := p.Numbers()
		ends := part.LastBottle != nil && *part.LastBottle == filled && (i == last || !exact)
		if ends {
			part.LastBottle = &end.Count
		}
		if i != last && !ends {
			continue
		}
		if err := tx.put(&part, why); err != nil {
			return err
		}
	}
	return nil
}

// endOfNumbers gives the bottles of all parts as filled, and which part ends with the last of them: the first of those
// whose numbers reach so far, or are not known.
func endOfNumbers(parts []PartShelf) (filled, last int) {
	for _, p := range parts {
		if !p.CameBack {
			filled += p.Filled
		}
	}
	last = slices.IndexFunc(parts, func(p PartShelf) bool {
		return !p.CameBack && (p.LastBottle == nil || *p.LastBottle == filled)
	})
	return filled, max(0, last)
}

// recounted is the part's count with some bottles more, or fewer: not fewer than have left, and of a divided lot one at
// least.
func (p PartShelf) recounted(more int, divided bool) (*int, error) {
	units := p.Filled + more
	if divided && units < max(1, p.Gone()) {
		return nil, Invalid{{"count", "fill_end.divided_fewer", []any{"Number", p.Number, "Units", p.Filled, "Gone", p.Gone()}}}
	}
	if gone := p.Filled - p.OnHand; units < gone && p.OnHand >= 0 {
		return nil, Invalid{{"count", "fill_end.fewer_than_gone", []any{"Gone", gone}}}
	}
	return &units, nil
}

// LotByCode finds a lot by its code, however it was typed. Errors: labels' own for a wrong code, ErrNotFound.
func LotByCode(ctx context.Context, src Source, typed string) (Lot, error) {
	code, err := labels.ParseLotCode(typed)
	if err != nil {
		return Lot{}, err
	}
	lots, err := List[Lot](ctx, src, "code = ?", code.String())
	if err == nil && len(lots) == 0 {
		err = fmt.Errorf("lot %s: %w", code, ErrNotFound)
	}
	if err != nil {
		return Lot{}, err
	}
	return lots[0], nil
}

// LotCodes lists every code ever given out.
func LotCodes(ctx context.Context, src Source) ([]string, error) {
	var codes []string
	return codes, src.conn(ctx).Raw("SELECT code FROM lot_code ORDER BY code").Scan(&codes).Error
}
