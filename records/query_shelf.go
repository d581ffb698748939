package records

import (
	"cmp"
	"context"
	"slices"
	"strings"
)

// OnShelf is a part as the shelf shows it: with its lot and what is in the bottles.
type OnShelf struct {
	PartShelf
	Lot       Lot
	Product   Product
	Container Container
}

// What names product and container.
func (p OnShelf) What() string { return p.Product.Name + ", " + p.Container.Name }

// ShelfList gives the parts that fulfil a condition on part_now with everything the shelf shows of them, oldest lot first.
func ShelfList(ctx context.Context, src Source, where string, args ...any) ([]OnShelf, error) {
	parts, err := List[Part](ctx, src, where, args...)
	if err != nil {
		return nil, err
	}
	return shelfOfParts(ctx, src, parts)
}

func shelfOfParts(ctx context.Context, src Source, parts []Part) ([]OnShelf, error) {
	shelves, err := Shelves(ctx, src, parts)
	if err != nil {
		return nil, err
	}
	var lotIDs, productIDs, containerIDs []string
	for _, p := range parts {
		lotIDs = append(lotIDs, p.LotID)
	}
	lots, err := mapIDs[Lot](ctx, src, lotIDs)
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		productIDs, containerIDs = append(productIDs, l.ProductID), append(containerIDs, l.ContainerID)
	}
	products, err := mapIDs[Product](ctx, src, productIDs)
	if err != nil {
		return nil, err
	}
	containers, err := mapIDs[Container](ctx, src, containerIDs)
	if err != nil {
		return nil, err
	}
	list := make([]OnShelf, 0, len(shelves))
	for _, p := range shelves {
		lot, ok := lots[p.LotID]
		if !ok { // its lot was struck
			continue
		}
		list = append(list, OnShelf{p, lot, products[lot.ProductID], containers[lot.ContainerID]})
	}
	slices.SortStableFunc(list, func(a, b OnShelf) int {
		return cmp.Or(a.Lot.StartedAt.Compare(b.Lot.StartedAt), cmp.Compare(a.Lot.ID, b.Lot.ID), cmp.Compare(a.Number, b.Number))
	})
	return list, nil
}

// ShipmentLine is the units of one part that left with a shipment, and what of them came back.
type ShipmentLine struct {
	Link Link
	Part OnShelf
	Out  int
	Back int // unsold from a market day, or returned
}

// Still is what is with the customer; after a market day, what was sold there.
func (l ShipmentLine) Still() int { return l.Out - l.Back }

// ShipmentSheet is a shipment with its customer, its carrier and its lines.
type ShipmentSheet struct {
	Shipment Shipment
	Customer Customer
	Carrier  *Carrier
	Lines    []ShipmentLine
	Entries  []CameBack // in order of time
}

// CameBack is what came back of a shipment, and to which part.
type CameBack struct {
	ShelfEntry
	Part OnShelf
}

// Out is how many bottles left.
func (s ShipmentSheet) Out() int {
	n := 0
	for _, l := range s.Lines {
		n += l.Out
	}
	return n
}

// Back is how many came back.
func (s ShipmentSheet) Back() int {
	n := 0
	for _, l := range s.Lines {
		n += l.Back
	}
	return n
}

// Market tells whether the bottles went to a market or stand.
func (s ShipmentSheet) Market() bool { return s.Customer.Sort == CustomerMarket }

// ShipmentOf gives one shipment. Errors: ErrNotFound.
func ShipmentOf(ctx context.Context, src Source, id string) (ShipmentSheet, error) {
	shipment, err := Get[Shipment](ctx, src, id)
	if err != nil {
		return ShipmentSheet{}, err
	}
	sheets, err := ShipmentSheets(ctx, src, []Shipment{shipment})
	if err != nil {
		return ShipmentSheet{}, err
	}
	return sheets[0], nil
}

// ShipmentSheets gives shipments with everything about them, in the order given, in a fixed number of queries.
func ShipmentSheets(ctx context.Context, src Source, shipments []Shipment) ([]ShipmentSheet, error) {
	var ids, customerIDs, carrierIDs []string
	for _, s := range shipments {
		ids, customerIDs = append(ids, s.ID), append(customerIDs, s.CustomerID)
		if s.CarrierID != nil {
			carrierIDs = append(carrierIDs, *s.CarrierID)
		}
	}
	customers, err := mapIDs[Customer](ctx, src, customerIDs)
	if err != nil {
		return nil, err
	}
	carriers, err := mapIDs[Carrier](ctx, src, carrierIDs)
	if err != nil {
		return nil, err
	}
	links, err := ListIDs[Link](ctx, src, "to_id", ids)
	if err != nil {
		return nil, err
	}
	entries, err := ListIDs[ShelfEntry](ctx, src, "shipment_id", ids)
	if err != nil {
		return nil, err
	}
	parts, err := partsOfLines(ctx, src, links, entries)
	if err != nil {
		return nil, err
	}
	sheets := make([]ShipmentSheet, len(shipments))
	at := map[string]*ShipmentSheet{}
	for i, s := range shipments {
		sheets[i] = ShipmentSheet{Shipment: s, Customer: customers[s.CustomerID]}
		if s.CarrierID != nil {
			if carrier, ok := carriers[*s.CarrierID]; ok {
				sheets[i].Carrier = &carrier
			}
		}
		at[s.ID] = &sheets[i]
	}
	for _, l := range links {
		if l.Units != nil {
			at[l.ToID].Lines = append(at[l.ToID].Lines, ShipmentLine{Link: l, Part: parts[l.FromID], Out: *l.Units})
		}
	}
	for _, e := range entries {
		at[*e.ShipmentID].Entries = append(at[*e.ShipmentID].Entries, CameBack{e, parts[e.PartID]})
	}
	for i := range sheets {
		sheets[i].settle()
	}
	return sheets, nil
}

func partsOfLines(ctx context.Context, src Source, links []Link, entries []ShelfEntry) (map[string]OnShelf, error) {
	var ids []string
	for _, l := range links {
		ids = append(ids, l.FromID)
	}
	for _, e := range entries {
		ids = append(ids, e.PartID)
	}
	slices.Sort(ids)
	parts, err := ListIDs[Part](ctx, src, "id", slices.Compact(ids))
	if err != nil {
		return nil, err
	}
	list, err := shelfOfParts(ctx, src, parts)
	byID := make(map[string]OnShelf, len(list))
	for _, p := range list {
		byID[p.ID] = p
	}
	return byID, err
}

// settle puts the lines in order and books what came back: unsold bottles to their own part, returned ones, which have a
// part of their own, to a line of the same lot.
func (s *ShipmentSheet) settle() {
	slices.SortStableFunc(s.Lines, func(a, b ShipmentLine) int {
		return cmp.Or(cmp.Compare(a.Part.What(), b.Part.What()), cmp.Compare(a.Part.LotCode, b.Part.LotCode), cmp.Compare(a.Part.Number, b.Part.Number))
	})
	slices.SortStableFunc(s.Entries, func(a, b CameBack) int { return a.At.Compare(b.At) })
	for _, e := range s.Entries {
		left := e.Units
		for _, same := range []func(ShipmentLine) bool{
			func(l ShipmentLine) bool { return l.Link.FromID == e.PartID },
			func(l ShipmentLine) bool { return l.Part.LotID == e.Part.LotID },
		} {
			for i := range s.Lines {
				if l := &s.Lines[i]; same(*l) {
					n := min(left, l.Still())
					l.Back, left = l.Back+n, left-n
				}
			}
		}
	}
}

// AmendLine changes how many units of a part left with a shipment. Errors: Invalid, Conflict, ErrNotFound.
func (s *Store) AmendLine(ctx context.Context, who Actor, link *Link, why string) error {
	return s.Amend(ctx, who, link, why)
}

// coversBack refuses to amend a shipment's line to fewer bottles than came back from it.
func (tx *Tx) coversBack(link *Link) error {
	back, err := tx.backOf(link)
	if err == nil && *link.Units < back {
		err = Invalid{{"units", "shelf.fewer_than_back", []any{"Back", back}}}
	}
	return err
}

// backOf is how many bottles of a shipment's line came back.
func (tx *Tx) backOf(link *Link) (int, error) {
	sheet, err := ShipmentOf(tx.ctx, tx, link.ToID)
	if err != nil {
		return 0, err
	}
	for _, l := range sheet.Lines {
		if l.Link.ID == link.ID {
			return l.Back, nil
		}
	}
	return 0, nil
}

// StrikeShipment takes a shipment back as a mistake together with its lines, so that its bottles stand on the shelf
// again. Errors: Invalid, Conflict once something came back from it, ErrNotFound.
func (s *Store) StrikeShipment(ctx context.Context, who Actor, id, why string) error {
	return s.Strike(ctx, who, id, why)
}

// strikeLines takes back the lines of a shipment that is taken back.
func (tx *Tx) strikeLines(shipmentID, why string) error {
	links, err := List[Link](tx.ctx, tx, "to_id = ?", shipmentID)
	if err != nil {
		return err
	}
	for i := range links {
		links[i].Struck = true
		if err := tx.put(&links[i], why); err != nil {
			return err
		}
	}
	return nil
}

// CustomersNamed finds customers by a part of their name or of whom to ask for, in any case.
func CustomersNamed(ctx context.Context, src Source, part string, limit int) ([]Customer, error) {
	like := "%" + strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`).Replace(strings.ToLower(part)) + "%"
	return List[Customer](ctx, src, `id IN (SELECT p.record_id FROM personal p WHERE p.revision = customer_now.revision
		AND (LOWER(p.name) LIKE ? ESCAPE '\' OR LOWER(p.person) LIKE ? ESCAPE '\')) ORDER BY id LIMIT ?`, like, like, limit)
}

// FailedInstruments lists the instruments whose newest check failed, with that check.
func FailedInstruments(ctx context.Context, src Source) ([]InstrumentCheck, error) {
	checks, err := List[InstrumentCheck](ctx, src, "ORDER BY at, id")
	if err != nil {
		return nil, err
	}
	newest := map[string]InstrumentCheck{}
	for _, k := range checks {
		newest[k.InstrumentID] = k
	}
	var failed []InstrumentCheck
	for _, k := range newest {
		if !k.Passed {
			failed = append(failed, k)
		}
	}
	slices.SortFunc(failed, func(a, b InstrumentCheck) int {
		return cmp.Or(b.At.Compare(a.At), cmp.Compare(a.ID, b.ID))
	})
	return failed, nil
}

// RunsWithoutFinish lists the runs drawn off without a finish reading, newest first.
func RunsWithoutFinish(ctx context.Context, src Source) ([]Run, error) {
	return List[Run](ctx, src, `id IN (SELECT run_id FROM boil_entry_now WHERE what = ?)
		AND id NOT IN (SELECT of_id FROM density_reading_now WHERE stage = ?) ORDER BY fire_lit_at DESC`, EntryDrawnOff, StageFinish)
}
