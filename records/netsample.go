package records

import (
	"time"

	"canewright/hazards/syrup"
)

// Schemes of a net-contents check.
const (
	SchemeHB133 = "hb133" // NIST Handbook 133, Category A
	SchemeR87   = "r87"   // OIML R 87
)

// NetSample is a net-contents check of a lot: which packages were picked and what they weighed, judged by one scheme with
// the tables of one edition. The result is kept in words as it was worked out then.
type NetSample struct {
	Row
	LotID       string
	At          time.Time
	Scheme      string
	Edition     string // of the scheme and of its tolerance table
	LotSize     int
	Seed        string // of the random pick, so that it can be repeated
	Picked      string // bottle numbers picked, apart by commas
	ScaleID     *string
	Gross       bool // the weights are of full bottles; Tare is taken off
	Tare        *syrup.Grams
	TareEntered string
	Unit        string            // g or oz, of the weights as written
	Weights     string            // as written, apart by blanks
	Contents    syrup.Milliliters // the declared contents tested against
	Solids      syrup.Brix        // from which the density at 20 C is taken
	Passed      bool
	Result      string // every step in words
	Note        string
}

// NetTable is a table of tolerances the owner enters where it is not published in full with the program.
type NetTable struct {
	Row
	Name    string // mav_volume or mav_weight
	Edition string
	Source  string
	AsOf    Day
	Lines   string // one row a line: over, up to, tolerance, all in mL or g
}

// Names of owner's tables.
const (
	TableMAVVolume = "mav_volume"
	TableMAVWeight = "mav_weight"
)

// Validate checks a net-contents check by itself.
func (n *NetSample) Validate() error {
	var c checks
	c.moment("at", n.At)
	c.oneOf("scheme", n.Scheme, SchemeHB133, SchemeR87)
	c.need("edition", n.Edition)
	c.whole("lot_size", n.LotSize, 1, 1e6)
	c.need("picked", n.Picked)
	c.need("weights", n.Weights)
	c.oneOf("unit", n.Unit, "g", "oz")
	within(&c, "tare", n.Tare, 1, 20000, "g")
	within(&c, "contents", &n.Contents, 10, 20000, "mL")
	within(&c, "solids", &n.Solids, 30, 90, "%")
	c.text("note", n.Note)
	if n.Gross && n.Tare == nil {
		c.add("tare", "invalid.required")
	}
	return c.err()
}

func (n *NetSample) refs() []ref {
	return []ref{to("lot_id", n.LotID, KindLot), toOptional("scale_id", n.ScaleID, KindInstrument)}
}

func (n *NetSample) inspect(tx *Tx) error { return tx.notFuture("at", n.At) }

// Validate checks a table: a number never stands without its source, edition and day.
func (n *NetTable) Validate() error {
	var c checks
	c.oneOf("name", n.Name, TableMAVVolume, TableMAVWeight)
	c.need("edition", n.Edition)
	c.need("source", n.Source)
	c.day("as_of", n.AsOf)
	c.need("lines", n.Lines)
	return c.err()
}
