package records

import "time"

// Shipment is units leaving to a customer; the parts are linked.
type Shipment struct {
	Row
	CustomerID string
	CarrierID  *string
	At         time.Time
	HowPacked  string
	Reference  string
	Note       string
}

// What a shelf entry says.
const (
	ShelfReturn   = "return"   // coming back from a customer; PartID is the new held part
	ShelfBack     = "back"     // unsold, back from a market day the same part went out to
	ShelfSample   = "sample"   // to a laboratory or kept
	ShelfBreakage = "breakage" // broken
	ShelfCount    = "count"    // counted on the shelf
)

// ShelfEntry is one movement or count of the units of a part.
type ShelfEntry struct {
	Row
	What       string
	PartID     string
	At         time.Time
	Units      int
	ShipmentID *string // for return and back
	Place      string  // laboratory, shelf
	Note       string
}

// Complaint is what a customer told us about a bottle.
type Complaint struct {
	Row
	ReceivedAt  time.Time
	LotID       *string // nil: the code could not be read
	CodeTyped   string
	About       string // crystals, fizzy, mould, taste, thin, dark, piece, leak, short, illness, other
	BoughtAt    string
	OpenedOn    Day
	Stored      string
	Story       string
	Units       *int
	Decision    string
	ClosedAt    *time.Time
	ContactHash string
	Contact     Contact `gorm:"-"`
	Source      string  // public: sent from the bottle's page; blank: written by the house
}

// Print is one printing of labels, a tray tag, a batch sheet or a packet.
type Print struct {
	Row
	OfID         string // lot, run or house
	What         string // labels, tray_tag, batch_sheet, packet
	At           time.Time
	Copies       int
	Note         string // stock and cell, or the packet's range
	Reprint      bool   // the same was printed before
	LabelStockID *string
	StartCell    *int
}

// Validate checks a shipment.
func (s *Shipment) Validate() error {
	var c checks
	c.moment("at", s.At)
	c.need("how_packed", s.HowPacked)
	c.text("reference", s.Reference)
	c.text("note", s.Note)
	return c.err()
}

func (s *Shipment) refs() []ref {
	return []ref{to("customer_id", s.CustomerID, KindCustomer), toOptional("carrier_id", s.CarrierID, KindCarrier)}
}

func (s *Shipment) inspect(tx *Tx) error { return tx.notFuture("at", s.At) }

// Validate checks a shelf entry.
func (e *ShelfEntry) Validate() error {
	var c checks
	c.moment("at", e.At)
	c.oneOf("what", e.What, ShelfReturn, ShelfBack, ShelfSample, ShelfBreakage, ShelfCount)
	low := 1
	if e.What == ShelfCount {
		low = 0
	}
	c.whole("units", e.Units, low, 1e6)
	c.text("place", e.Place)
	c.text("note", e.Note)
	if (e.What == ShelfReturn || e.What == ShelfBack) && e.ShipmentID == nil {
		c.add("shipment_id", "invalid.required")
	}
	return c.err()
}

func (e *ShelfEntry) refs() []ref {
	return []ref{to("part_id", e.PartID, KindPart), toOptional("shipment_id", e.ShipmentID, KindShipment)}
}

func (e *ShelfEntry) flows(*Tx) ([]flow, error) {
	if e.What != ShelfReturn || e.ShipmentID == nil {
		return nil, nil
	}
	return []flow{{FromNode: *e.ShipmentID, ToNode: e.PartID, Units: &e.Units}}, nil
}

// What complaints are about.
var complaintAbout = []string{"crystals", "fizzy", "mould", "taste", "thin", "dark", "piece", "leak", "short", "illness", "other"}

// ComplaintAbout lists what a complaint may be about.
func ComplaintAbout() []string { return complaintAbout }

// Validate checks a complaint.
func (k *Complaint) Validate() error {
	var c checks
	c.moment("received_at", k.ReceivedAt)
	c.oneOf("about", k.About, complaintAbout...)
	c.need("story", k.Story)
	c.text("code_typed", k.CodeTyped)
	c.text("bought_at", k.BoughtAt)
	c.text("stored", k.Stored)
	c.text("decision", k.Decision)
	c.optionalDay("opened_on", k.OpenedOn)
	if k.Units != nil {
		c.whole("units", *k.Units, 1, 1e6)
	}
	if k.ClosedAt != nil {
		c.need("decision", k.Decision)
	}
	k.Contact.check(&c)
	return c.err()
}

func (k *Complaint) refs() []ref { return []ref{toOptional("lot_id", k.LotID, KindLot)} }

func (k *Complaint) contact() (*Contact, *string) { return &k.Contact, &k.ContactHash }

func (k *Complaint) inspect(tx *Tx) error { return tx.notFuture("received_at", k.ReceivedAt) }

// Validate checks a print.
func (p *Print) Validate() error {
	var c checks
	c.moment("at", p.At)
	c.oneOf("what", p.What, "labels", "case_labels", "shelf_cards", "test_page", "paper", "tray_tag", "batch_sheet", "packet")
	c.whole("copies", p.Copies, 1, 100000)
	c.text("note", p.Note)
	return c.err()
}

func (p *Print) refs() []ref {
	return []ref{to("of_id", p.OfID, KindLot, KindRun, KindHouse, KindLabelStock), toOptional("label_stock_id", p.LabelStockID, KindLabelStock)}
}
