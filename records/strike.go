package records

import (
	"context"
	"reflect"
	"strings"
	"time"
)

// NeverStruck tells whether records of this sort are only amended.
func NeverStruck(fact Fact) bool {
	switch fact.(type) {
	case *House, *Disposition, *Print, *Restore, *Part, *FillEnd, *PhoneEntry, *LabelAnswer:
		return true
	}
	return false
}

// mayStrike refuses to take back what something else stands on: a lot whose bottles have left, a record others were made
// from. What came of it is struck first.
func (tx *Tx) mayStrike(fact Fact) error {
	row := fact.row()
	if row.Struck {
		return Conflict{Key: "conflict.struck", ID: row.ID}
	}
	if NeverStruck(fact) {
		return Conflict{Key: "strike.never", ID: row.ID}
	}
	if err := tx.nothingCameBack(fact); err != nil {
		return err
	}
	if p, ok := fact.(*Person); ok {
		if err := tx.ownerRemains(p, true); err != nil {
			return err
		}
	}
	if err := tx.nothingRefers(fact); err != nil {
		return err
	}
	var taken []string
	err := tx.db.Raw(`SELECT f.to_node FROM flow f WHERE (f.from_node = ? OR f.from_node LIKE ?) AND f.source_id <> ? LIMIT 1`,
		row.ID, row.ID+"#%", row.ID).Scan(&taken).Error
	if err != nil {
		return err
	}
	if len(taken) > 0 {
		if lot, ok := fact.(*Lot); ok {
			return tx.mayStrikeLot(lot)
		}
		return Conflict{Key: "strike.used", Args: []any{"Name", Name(tx.ctx, tx, taken[0])}, ID: RecordOf(taken[0])}
	}
	return nil
}

// nothingRefers refuses to take back a place, a piece of field, a vessel, an instrument, a partner or a
// file that a record names.
func (tx *Tx) nothingRefers(fact Fact) error {
	switch fact.(type) {
	case *Site, *Block, *Planting, *Kettle, *Tank, *Instrument, *Product, *Container, *Supplier, *Carrier, *Customer, *SupplyLot, *Attachment:
	default:
		return nil
	}
	for _, kind := range Kinds() {
		for _, column := range referring(kind) {
			var found []string
			err := tx.db.Raw("SELECT id FROM "+string(kind)+"_now WHERE "+column+" = ? LIMIT 1", fact.row().ID).Scan(&found).Error
			if err != nil {
				return err
			}
			if len(found) > 0 {
				return Conflict{Key: "strike.used", Args: []any{"Name", Name(tx.ctx, tx, found[0])}, ID: found[0]}
			}
		}
	}
	return nil
}

// referring lists the columns of a kind that hold the id of another record.
func referring(kind Kind) []string {
	var columns []string
	eachField(reflect.ValueOf(newFact[kind]()).Elem(), func(column string, _ reflect.Value) {
		if strings.HasSuffix(column, "_id") {
			columns = append(columns, column)
		}
	})
	return columns
}

// nothingCameBack refuses to take back a shipment, or a line of one, from which bottles came back.
func (tx *Tx) nothingCameBack(fact Fact) error {
	switch f := fact.(type) {
	case *Shipment:
		back, err := List[ShelfEntry](tx.ctx, tx, "shipment_id = ?", f.ID)
		if err == nil && len(back) > 0 {
			err = Conflict{Key: "shipment.came_back", ID: f.ID}
		}
		return err
	case *Link:
		if f.Units == nil {
			return nil
		}
		back, err := tx.backOf(f)
		if err == nil && back > 0 {
			err = Conflict{Key: "shipment.came_back", ID: f.ToID}
		}
		return err
	}
	return nil
}

// mayStrikeLot: a lot may be struck while nothing of it has left the house; it keeps its code.
func (tx *Tx) mayStrikeLot(lot *Lot) error {
	parts, err := List[Part](tx.ctx, tx, "lot_id = ?", lot.ID)
	if err != nil {
		return err
	}
	shelves, err := Shelves(tx.ctx, tx, parts)
	for _, p := range shelves {
		if p.Shipped > 0 || p.Samples > 0 {
			return Conflict{Key: "strike.lot_left", ID: lot.ID}
		}
	}
	return err
}

func zoneOf(ctx context.Context, src Source) *time.Location {
	house, err := theHouse(ctx, src)
	if err != nil {
		return time.UTC
	}
	return house.Location()
}
