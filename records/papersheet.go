package records

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"
)

// SheetRow is one row of a paper sheet being typed in: what it says, and its number on the sheet.
type SheetRow struct {
	Number int
	Fact   Fact
	TankID string // where what was drawn off went; empty: no tank
}

// TypeSheet writes the rows of a paper sheet, and the photo of it where there is one: all, or nothing. What is wrong with a
// row comes back with the row's number behind the name of the field, as "at_3". Errors: Invalid, Conflict, Already.
func (s *Store) TypeSheet(ctx context.Context, who Actor, rows []SheetRow, photo *Attachment, bytes []byte) error {
	rows = slices.Clone(rows)
	slices.SortStableFunc(rows, func(a, b SheetRow) int { return sheetTurn(a.Fact) - sheetTurn(b.Fact) })
	return s.change(ctx, who, func(tx *Tx) error {
		var wrong Invalid
		for _, row := range rows {
			var faults Invalid
			switch err := tx.putRow(row); {
			case errors.As(err, &faults):
				wrong = append(wrong, faults.inRow(row.Number)...)
			case err != nil:
				return err
			}
		}
		if len(wrong) > 0 {
			return wrong
		}
		if photo == nil {
			return nil
		}
		photo.Sort, photo.At = AttachedSheet, tx.at
		return tx.attach(photo, bytes)
	})
}

// sheetTurn puts the end of a run first: what stands after it on the sheet is then refused, as it would be on the page.
func sheetTurn(fact Fact) int {
	if e, ok := fact.(*BoilEntry); ok && e.What == EntryDrawnOff {
		return 0
	}
	return 1
}

func (tx *Tx) putRow(row SheetRow) error {
	if e, ok := row.Fact.(*BoilEntry); ok && e.What == EntryDrawnOff {
		return tx.drawOff(e, row.TankID)
	}
	return tx.put(row.Fact, "")
}

// inRow names the fields of one row.
func (e Invalid) inRow(number int) Invalid {
	named := make(Invalid, len(e))
	for i, fault := range e {
		named[i] = fault
		named[i].Field = strings.TrimSuffix(fault.Field, "_id") + "_" + strconv.Itoa(number)
	}
	return named
}

// SheetsOf lists the photos of paper sheets kept with a record.
func SheetsOf(ctx context.Context, src Source, id string) ([]Attachment, error) {
	return List[Attachment](ctx, src, "of_id = ? AND sort = ? ORDER BY at, id", id, AttachedSheet)
}
