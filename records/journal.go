package records

import (
	"context"
	"time"
)

// Journal entry types.
const (
	EntryNew    = "new"
	EntryAmend  = "amend"
	EntryStrike = "strike"
)

// Entry is one line of the journal: the append-only, hash-chained list of everything ever written.
type Entry struct {
	Seq      int64
	At       time.Time
	Author   string
	Type     string
	Form     string
	RecordID string
	Revision int
	Record   string // RFC 8785 JSON of the record's columns
	Prev     string
	Hash     string
}

// TableName is the journal's table.
func (Entry) TableName() string { return "journal" }

// body is what the hash covers besides the previous hash: nothing of the entry stands outside it.
func (e Entry) body() ([]byte, error) {
	return canonical(map[string]any{
		"seq": e.Seq, "time": e.At.UTC().Format(time.RFC3339Nano), "author": e.Author,
		"type": e.Type, "form": e.Form, "record": rawJSON(e.Record),
	})
}

type rawJSON string

func (r rawJSON) MarshalJSON() ([]byte, error) { return []byte(r), nil }

// HeadOf is where the journal stood: the number and hash of its newest entry.
type HeadOf struct {
	Seq  int64
	Hash string
	At   time.Time
}

// Short is the head as printed on documents: the entry's number and the first 16 characters of its hash.
func (h HeadOf) Short() string {
	if h.Seq == 0 {
		return "0"
	}
	return itoa(h.Seq) + " " + h.Hash[:16]
}

// JournalHead is the newest entry of the journal; Seq 0 when nothing was written yet.
func JournalHead(ctx context.Context, src Source) (HeadOf, error) {
	var heads []HeadOf
	err := src.conn(ctx).Raw("SELECT seq, hash, at FROM journal ORDER BY seq DESC LIMIT 1").Scan(&heads).Error
	if err != nil || len(heads) == 0 {
		return HeadOf{Hash: firstPrev}, err
	}
	return heads[0], nil
}

// HeadTouching is the journal's head as of the last entry that touches any of the records: it is printed on documents, so
// that the same records draw the same bytes whatever else was written since.
func HeadTouching(ctx context.Context, src Source, ids []string) (HeadOf, error) {
	var newest HeadOf
	for start := 0; start < len(ids); start += inBatch {
		var heads []HeadOf
		batch := ids[start:min(start+inBatch, len(ids))]
		err := src.conn(ctx).Raw("SELECT seq, hash, at FROM journal WHERE record_id IN ? ORDER BY seq DESC LIMIT 1", batch).Scan(&heads).Error
		if err != nil {
			return HeadOf{}, err
		}
		if len(heads) > 0 && heads[0].Seq > newest.Seq {
			newest = heads[0]
		}
	}
	return newest, nil
}

// Journal lists entries newest first, from before the given number (0: from the newest).
func Journal(ctx context.Context, src Source, before int64, limit int) ([]Entry, error) {
	db := src.conn(ctx).Order("seq DESC").Limit(limit)
	if before > 0 {
		db = db.Where("seq < ?", before)
	}
	var entries []Entry
	return entries, db.Find(&entries).Error
}
