package records

import (
	"context"
	"slices"
	"time"
)

// Change is one field an amendment changed, with the value it had before. Both stay readable.
type Change struct {
	Revision int
	Field    string // column
	Old, New string
	By       string // person id
	At       time.Time
	Why      string
}

// rowColumns say who and when, not what: they differ between any two revisions.
var rowColumns = []string{"id", "revision", "written_at", "written_by", "done_by", "why", "contact_hash"}

// Changes lists what amendments changed in a record, oldest first; a struck record ends with the field struck.
func Changes(ctx context.Context, src Source, id string) ([]Change, error) {
	kind, err := KindOf(ctx, src, id)
	if err != nil {
		return nil, err
	}
	revisions, err := loadRevisions(ctx, src, kind, id, "revision", 10000)
	if err != nil {
		return nil, err
	}
	var changes []Change
	for i := 1; i < len(revisions); i++ {
		changes = append(changes, changed(revisions[i-1], revisions[i])...)
	}
	return changes, nil
}

func changed(before, after Fact) []Change {
	old, now := columnsOf(before), columnsOf(after)
	var fields []string
	for field := range now {
		if !slices.Contains(rowColumns, field) && old[field] != now[field] {
			fields = append(fields, field)
		}
	}
	slices.Sort(fields)
	row := after.row()
	changes := make([]Change, 0, len(fields))
	for _, f := range fields {
		changes = append(changes, Change{row.Revision, f, answered(old[f], now[f]), answered(now[f], old[f]), row.WrittenBy, row.WrittenAt, row.Why})
	}
	if len(changes) == 0 { // only personal fields, or nothing: the reason still shows
		changes = append(changes, Change{Revision: row.Revision, By: row.WrittenBy, At: row.WrittenAt, Why: row.Why})
	}
	return changes
}

// AnsweredNone stands in a Change for an answer that there is none, where the other side was not answered.
const AnsweredNone = "none"

// answered is shown, but tells an empty answer from no answer where the two stand beside each other.
func answered(v, other any) string {
	if v == "" && other == nil {
		return AnsweredNone
	}
	return shown(v)
}

func shown(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		if v {
			return "true"
		}
		return "false"
	}
	return v.(string)
}

// Columns gives a fact's fields as decimal text, RFC 3339 times and words, by column, as the journal has them; nil is not
// recorded. Personal fields are not among them.
func Columns(fact Fact) map[string]any { return columnsOf(fact) }
