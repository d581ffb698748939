package records

import (
	"context"
	"strings"
)

// OpenMismatch is the first mismatch of tray tag and label that nobody has written a note on; nil when there is none.
func OpenMismatch(ctx context.Context, src Source) (*TagMatch, error) {
	open, err := List[TagMatch](ctx, src, "NOT matched AND note = '' ORDER BY at, id LIMIT 1")
	if err != nil || len(open) == 0 {
		return nil, err
	}
	return &open[0], nil
}

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

// inspect holds to it that the two codes say what the match says, and that nothing goes on while a mismatch stands
// without a note.
func (m *TagMatch) inspect(tx *Tx) error {
	if err := tx.notFuture("at", m.At); err != nil {
		return err
	}
	lot, err := Get[Lot](tx.ctx, tx, m.LotID)
	if err != nil {
		return err
	}
	if !strings.EqualFold(m.TagTyped, lot.Code) {
		return Invalid{{"tag_typed", "tag_match.other_tag", nil}}
	}
	if m.Matched != strings.EqualFold(m.LabelTyped, lot.Code) {
		return Invalid{{"label_typed", "tag_match.other_label", nil}}
	}
	if m.Revision > 1 {
		return nil
	}
	open, err := OpenMismatch(tx.ctx, tx)
	if err != nil || open == nil {
		return err
	}
	return Conflict{Key: "tag_match.stopped", Args: []any{"Tag", PrintedCode(open.TagTyped), "Label", PrintedCode(open.LabelTyped)}, ID: open.ID}
}
