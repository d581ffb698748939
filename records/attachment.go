package records

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"time"

	"gorm.io/gorm"
)

// Sorts of attachment.
const (
	AttachedPhoto  = "photo"
	AttachedSheet  = "sheet"  // a photo of the paper a record was typed in from
	AttachedLogger = "logger" // a temperature logger's file, as it came
)

// Attachment is a file kept with a record. Its bytes stand apart, under their SHA-256, and never change.
type Attachment struct {
	Row
	OfID      string
	At        time.Time
	Sort      string
	Name      string // of the file, as the phone gave it
	MediaType string // found in the bytes, never the phone's word
	Size      int
	SHA256    string // of the bytes, lower-case hex
	Note      string
}

// content is the bytes of attachments. Two attachments of the same bytes share them.
type content struct {
	SHA256 string
	Bytes  []byte
}

// Validate checks an attachment.
func (a *Attachment) Validate() error {
	var c checks
	c.moment("at", a.At)
	c.oneOf("sort", a.Sort, AttachedPhoto, AttachedSheet, AttachedLogger)
	c.text("name", a.Name)
	c.need("media_type", a.MediaType)
	c.whole("size", a.Size, 1, 64<<20)
	c.text("note", a.Note)
	if len(a.SHA256) != 2*sha256.Size {
		c.add("sha256", "invalid.required")
	}
	return c.err()
}

func (a *Attachment) refs() []ref { return []ref{to("of_id", a.OfID, Kinds()...)} }

func (a *Attachment) inspect(tx *Tx) error { return tx.notFuture("at", a.At) }

// Attach keeps a file with a record. It fills in size and hash; sort, media type and the rest are the caller's. Errors:
// Invalid, Already.
func (s *Store) Attach(ctx context.Context, who Actor, a *Attachment, bytes []byte) error {
	return s.change(ctx, who, func(tx *Tx) error { return tx.attach(a, bytes) })
}

// WritePhoto writes a photo as a line of the boil log: the entry and the file kept with it, both or none. Errors: Invalid,
// Already.
func (s *Store) WritePhoto(ctx context.Context, who Actor, e *BoilEntry, a *Attachment, bytes []byte) error {
	e.What = EntryPhoto
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.put(e, ""); err != nil {
			return err
		}
		a.OfID, a.At, a.Sort = e.ID, e.At, AttachedPhoto
		return tx.attach(a, bytes)
	})
}

// attach keeps the bytes of a file and the record of it.
func (tx *Tx) attach(a *Attachment, bytes []byte) error {
	sum := sha256.Sum256(bytes)
	a.SHA256, a.Size = hex.EncodeToString(sum[:]), len(bytes)
	err := tx.db.Exec("INSERT INTO content (sha256, bytes) SELECT ?, ? WHERE NOT EXISTS (SELECT 1 FROM content WHERE sha256 = ?)",
		a.SHA256, bytes, a.SHA256).Error
	if err != nil {
		return fmt.Errorf("keep the file %s: %w", a.Name, err)
	}
	return tx.put(a, "")
}

// ContentOf gives the bytes of an attachment, and fails when they are no longer those that were kept. Errors: ErrNotFound.
func ContentOf(ctx context.Context, src Source, a Attachment) ([]byte, error) {
	var kept content
	err := src.conn(ctx).Table("content").Where("sha256 = ?", a.SHA256).Take(&kept).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return nil, fmt.Errorf("file of attachment %s: %w", a.ID, ErrNotFound)
	}
	if err != nil {
		return nil, fmt.Errorf("file of attachment %s: %w", a.ID, err)
	}
	if sum := sha256.Sum256(kept.Bytes); hex.EncodeToString(sum[:]) != a.SHA256 {
		return nil, fmt.Errorf("file of attachment %s was changed since it was kept: run canewright verify", a.ID)
	}
	return kept.Bytes, nil
}

// AttachmentsOf lists what is kept with some records, in order of time.
func AttachmentsOf(ctx context.Context, src Source, ids ...string) ([]Attachment, error) {
	return List[Attachment](ctx, src, "of_id IN ? ORDER BY at, id", ids)
}
