package records

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/oklog/ulid/v2"
	"gorm.io/gorm"
)

// Actor is who writes: the person signed in, the person tapped as doing the work, and the form's submission token, by
// which a double tap finds what the first tap made.
type Actor struct {
	PersonID   string
	DoneBy     string      // empty: the person signed in
	Submission string      // empty: not from a form
	Phone      *PhoneEntry // how it reached the house, where that needs saying; its record is filled in
}

// Tx is one transaction of the one door through which everything is written.
type Tx struct {
	ctx     context.Context
	s       *Store
	db      *gorm.DB
	who     Actor
	at      time.Time
	head    HeadOf
	first   string          // id of the first record written, where a double tap is sent
	fresh   []Fact          // records that are new, in the order written
	touched map[string]bool // records whose writing may change a judgement
	judging bool
}

func (tx *Tx) conn(ctx context.Context) *gorm.DB { return tx.db.WithContext(ctx) }

// chainLock names the advisory lock under which a PostgreSQL house writes.
const chainLock = 0x43616e65 // "Cane"

// change runs fn in one transaction under the house's chain lock, then judges again what it reached. Nothing is kept
// when any of it fails.
func (s *Store) change(ctx context.Context, who Actor, fn func(*Tx) error) error {
	err := s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		tx := &Tx{ctx: ctx, s: s, db: db, who: who, touched: map[string]bool{}}
		if err := tx.begin(); err != nil {
			return err
		}
		if err := fn(tx); err != nil {
			return err
		}
		if err := tx.keepPhone(); err != nil {
			return err
		}
		if err := tx.judgeTouched(); err != nil {
			return err
		}
		return tx.keepSubmission()
	})
	if err == nil {
		s.feed.wake()
	}
	return err
}

func (tx *Tx) begin() error {
	if !tx.s.sqlite() {
		if err := tx.db.Exec("SELECT pg_advisory_xact_lock(?)", chainLock).Error; err != nil {
			return err
		}
	}
	tx.at = tx.s.Now() // not before the lock: what waited longer would be dated before what it waited for
	if tx.who.Submission != "" {
		var made []string
		err := tx.db.Raw("SELECT record_id FROM submission WHERE token = ?", tx.who.Submission).Scan(&made).Error
		if err != nil {
			return err
		}
		if len(made) > 0 {
			return Already{made[0]}
		}
	}
	if err := tx.mayDo(); err != nil {
		return err
	}
	var err error
	tx.head, err = JournalHead(tx.ctx, tx)
	return err
}

// mayDo asks that whoever is tapped as having done the work is one of the people who work.
func (tx *Tx) mayDo() error {
	if tx.who.DoneBy == "" {
		return nil
	}
	person, err := Get[Person](tx.ctx, tx, tx.who.DoneBy)
	if errors.Is(err, ErrNotFound) || err == nil && (person.Struck || person.Role == RoleReader) {
		return Invalid{{"done_by", "invalid.pick", nil}}
	}
	return err
}

func (tx *Tx) keepSubmission() error {
	if tx.who.Submission == "" || tx.first == "" {
		return nil
	}
	return tx.db.Exec("INSERT INTO submission (token, record_id, at) VALUES (?, ?, ?)", tx.who.Submission, tx.first, tx.at).Error
}

// put is the door. A fact without an id is new; one with an id is the next revision of what was read, and a Conflict if
// somebody was faster.
func (tx *Tx) put(fact Fact, why string) error {
	row := fact.row()
	kind := EntryNew
	there, err := tx.shelfBefore(fact)
	if err != nil {
		return err
	}
	if row.ID == "" {
		id, err := tx.s.newID()
		if err != nil {
			return err
		}
		row.ID, row.Revision, why = id, 1, ""
	} else {
		if err := tx.mayAmend(fact, why); err != nil {
			return err
		}
		row.Revision++
		kind = EntryAmend
		if row.Struck {
			kind = EntryStrike
		}
	}
	row.WrittenAt, row.WrittenBy, row.DoneBy, row.Why = tx.at, tx.who.PersonID, tx.who.DoneBy, why
	if row.DoneBy == "" {
		row.DoneBy = row.WrittenBy
	}
	if err := tx.keep(fact, kind); err != nil {
		return err
	}
	return tx.shelfHolds(there)
}

// keep checks a fact whose row is filled, then writes everything that belongs to it.
func (tx *Tx) keep(fact Fact, entryType string) error {
	if err := normalise(fact); err != nil {
		return err
	}
	if !fact.row().Struck {
		if err := tx.inspect(fact); err != nil {
			return err
		}
	}
	row := fact.row()
	if row.Revision == 1 {
		if err := tx.db.Exec("INSERT INTO record (id, kind) VALUES (?, ?)", row.ID, fact.Kind()).Error; err != nil {
			return fmt.Errorf("register %s: %w", fact.Kind(), err)
		}
	}
	if err := tx.keepApart(fact); err != nil {
		return err
	}
	if err := tx.db.Create(fact).Error; err != nil {
		return fmt.Errorf("write %s: %w", fact.Kind(), err)
	}
	if err := tx.enter(fact, entryType); err != nil {
		return err
	}
	if tx.first == "" {
		tx.first = row.ID
	}
	if row.Revision == 1 {
		tx.fresh = append(tx.fresh, fact)
	}
	tx.touched[row.ID] = true
	if err := tx.flow(fact); err != nil {
		return err
	}
	return tx.measureAgain(fact)
}

func (tx *Tx) mayAmend(fact Fact, why string) error {
	if why == "" {
		return Invalid{{"why", "invalid.required", nil}}
	}
	current, err := loadRevisions(tx.ctx, tx, fact.Kind(), fact.row().ID, "revision DESC", 1)
	if err != nil {
		return err
	}
	switch now := current[0].row(); {
	case now.Revision != fact.row().Revision:
		return Conflict{Key: "conflict.newer", ID: now.ID}
	case now.Struck:
		return Conflict{Key: "conflict.struck", ID: now.ID}
	}
	return nil
}

// inspect checks the fact by itself, then against the records it refers to.
func (tx *Tx) inspect(fact Fact) error {
	var wrong Invalid
	if err := fact.Validate(); err != nil && !errors.As(err, &wrong) {
		return err
	}
	if r, ok := fact.(referrer); ok {
		for _, ref := range r.refs() {
			if ref.field == "" {
				continue
			}
			kind, err := KindOf(tx.ctx, tx, ref.id)
			if errors.Is(err, ErrNotFound) || (err == nil && !slices.Contains(ref.kinds, kind)) {
				wrong = append(wrong, FieldError{ref.field, "invalid.pick", nil})
			} else if err != nil {
				return err
			}
		}
	}
	if len(wrong) > 0 {
		return wrong
	}
	if i, ok := fact.(inspector); ok {
		return i.inspect(tx)
	}
	return nil
}

// enter writes the journal entry of a fact just written.
func (tx *Tx) enter(fact Fact, entryType string) error {
	record, err := canonical(columnsOf(fact))
	if err != nil {
		return err
	}
	e := Entry{Seq: tx.head.Seq + 1, At: tx.at, Author: tx.who.PersonID, Type: entryType, Form: form(fact.Kind()),
		RecordID: fact.row().ID, Revision: fact.row().Revision, Record: string(record), Prev: tx.head.Hash}
	if e.Author == "" { // the first owner writes itself
		e.Author = fact.row().WrittenBy
	}
	body, err := e.body()
	if err != nil {
		return err
	}
	e.Hash = chainHash(e.Prev, body)
	if err := tx.db.Create(&e).Error; err != nil {
		return fmt.Errorf("journal entry %d: %w", e.Seq, err)
	}
	tx.head = HeadOf{e.Seq, e.Hash, e.At}
	return nil
}

func (s *Store) newID() (string, error) {
	s.idMu.Lock()
	defer s.idMu.Unlock()
	id, err := ulid.New(ulid.Timestamp(s.Now()), s.ids)
	if err != nil {
		return "", fmt.Errorf("make an id: %w", err)
	}
	return id.String(), nil
}

func (s *Store) random(n int) ([]byte, error) {
	s.idMu.Lock()
	defer s.idMu.Unlock()
	b := make([]byte, n)
	_, err := io.ReadFull(s.entropy, b)
	return b, err
}

// Write writes new facts, all or none. Errors: Invalid, Conflict, Already.
func (s *Store) Write(ctx context.Context, who Actor, facts ...Fact) error {
	return s.change(ctx, who, func(tx *Tx) error {
		for _, f := range facts {
			if err := tx.put(f, ""); err != nil {
				return err
			}
		}
		return nil
	})
}

// Amend writes the next revision of a record as it should have been, and why. Errors: Invalid, Conflict.
func (s *Store) Amend(ctx context.Context, who Actor, fact Fact, why string) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.put(fact, why); err != nil {
			return err
		}
		switch f := fact.(type) {
		case *FillEnd:
			return tx.recount(f, why)
		case *ShelfEntry:
			return tx.carryReturn(f, f.Units, why)
		}
		return nil
	})
}

// Strike takes a record back as a mistake. It stays readable. Errors: Invalid, Conflict, ErrNotFound.
func (s *Store) Strike(ctx context.Context, who Actor, id, why string) error {
	return s.change(ctx, who, func(tx *Tx) error {
		fact, err := Load(ctx, tx, id)
		if err != nil {
			return err
		}
		if err := tx.mayStrike(fact); err != nil {
			return err
		}
		fact.row().Struck = true
		if err := tx.put(fact, why); err != nil {
			return err
		}
		switch f := fact.(type) {
		case *Shipment:
			return tx.strikeLines(f.ID, why)
		case *ShelfEntry:
			return tx.carryReturn(f, 0, why)
		}
		return nil
	})
}
