package records

import "time"

// LabelAnswer is the owner's signed reason for a label that contradicts the records.
type LabelAnswer struct {
	Row
	LotID  string
	At     time.Time
	Code   string // of what the label checker found
	Words  string // the same in words, as signed
	Reason string
}

// LabelCount is what became of printed labels.
type LabelCount struct {
	Row
	LotID   string
	At      time.Time
	Used    int
	Spoiled int
	Note    string
}

// TagMatch is a tray tag held against a label before labelling.
type TagMatch struct {
	Row
	LotID      string // of the tag
	At         time.Time
	TagTyped   string
	LabelTyped string
	Matched    bool
	Note       string
}

// Validate checks a label answer.
func (a *LabelAnswer) Validate() error {
	var c checks
	c.moment("at", a.At)
	c.need("code", a.Code)
	c.need("reason", a.Reason)
	return c.err()
}

func (a *LabelAnswer) refs() []ref { return []ref{to("lot_id", a.LotID, KindLot)} }

// Validate checks a label count.
func (l *LabelCount) Validate() error {
	var c checks
	c.moment("at", l.At)
	c.whole("used", l.Used, 0, 1e6)
	c.whole("spoiled", l.Spoiled, 0, 1e6)
	c.text("note", l.Note)
	return c.err()
}

func (l *LabelCount) refs() []ref { return []ref{to("lot_id", l.LotID, KindLot)} }

func (l *LabelCount) inspect(tx *Tx) error { return tx.notFuture("at", l.At) }

// Validate checks a match of tag and label.
func (m *TagMatch) Validate() error {
	var c checks
	c.moment("at", m.At)
	c.need("tag_typed", m.TagTyped)
	c.need("label_typed", m.LabelTyped)
	c.text("note", m.Note)
	return c.err()
}

func (m *TagMatch) refs() []ref { return []ref{to("lot_id", m.LotID, KindLot)} }

func (m *TagMatch) inspect(tx *Tx) error { return tx.notFuture("at", m.At) }
