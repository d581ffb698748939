package records

import "time"

// What a fill event says.
const (
	FillBroken  = "broken"
	FillStop    = "stop"
	FillRestart = "restart"
	FillNote    = "note"
)

// FillEvent is what happens at the filler between two checks.
type FillEvent struct {
	Row
	LotID        string
	At           time.Time
	What         string
	Count        *int // bottles broken
	BottleNumber *int // of the last bottle capped before it; nil: not said
	Note         string
}

// Validate checks a fill event.
func (e *FillEvent) Validate() error {
	var c checks
	c.moment("at", e.At)
	c.oneOf("what", e.What, FillBroken, FillStop, FillRestart, FillNote)
	c.text("note", e.Note)
	if e.Count != nil {
		c.whole("count", *e.Count, 1, 100000)
	}
	if e.BottleNumber != nil {
		c.whole("bottle_number", *e.BottleNumber, 0, 1e6)
	}
	switch {
	case e.What == FillBroken && e.Count == nil:
		c.add("count", "invalid.required")
	case e.What == FillNote:
		c.need("note", e.Note)
	}
	return c.err()
}

func (e *FillEvent) refs() []ref { return []ref{to("lot_id", e.LotID, KindLot)} }

func (e *FillEvent) inspect(tx *Tx) error { return tx.notFuture("at", e.At) }
