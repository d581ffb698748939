package records

import (
	"slices"
	"time"

	"canewright/hazards"
)

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
	TagTyped   string // lot code of the tag, as stored
	LabelTyped string // lot code of the label
	Matched    bool
	Note       string
}

// Validate checks a label answer.
func (a *LabelAnswer) Validate() error {
	var c checks
	c.moment("at", a.At)
	c.need("code", a.Code)
	c.need("words", a.Words)
	c.need("reason", a.Reason)
	return c.err()
}

func (a *LabelAnswer) refs() []ref { return []ref{to("lot_id", a.LotID, KindLot)} }

// inspect lets only an owner sign, and only what the label checker finds now and in these words. An amendment of the reason
// is held to the same.
func (a *LabelAnswer) inspect(tx *Tx) error {
	if err := tx.notFuture("at", a.At); err != nil {
		return err
	}
	signer, err := Get[Person](tx.ctx, tx, a.DoneBy)
	if err != nil {
		return err
	}
	if signer.Role != RoleOwner || signer.Struck {
		return Forbidden{Key: "label_check.owner_signs", Args: []any{"Name", signer.Name}}
	}
	checked, err := checkLabel(tx.ctx, tx, a.LotID)
	if err != nil {
		return err
	}
	for _, f := range checked.Findings {
		if f.Code == a.Code && hazards.LabelBlocks(f) && slices.Contains(labelWords(f), a.Words) {
			return nil
		}
	}
	return Conflict{Key: "label_check.not_found_now", ID: a.LotID}
}

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
