package records

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/text"
)

// Release signs a part out of hold. It needs the right, every required record, no open hold or stop, and one written
// reason when there are checks. The findings are stored with it, as judged and as worded now. Errors: Forbidden, Conflict,
// NotReleasable, Already.
func (s *Store) Release(ctx context.Context, who Actor, partID, reason string) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.mayRelease(); err != nil {
			return err
		}
		judged, err := JudgePart(ctx, tx, partID)
		if err != nil {
			return err
		}
		if missing := judged.Missing(true, reason); len(missing) > 0 {
			return NotReleasable{missing}
		}
		if err := tx.mayBecome(partID, ActRelease); err != nil {
			return err
		}
		return tx.dispose(partID, ActRelease, reason, judged.Findings, false)
	})
}

// NotReleasable says exactly what stands between a part and its release. HTTP 422.
type NotReleasable struct{ Missing []hazards.Missing }

func (e NotReleasable) Error() string {
	var said []string
	for _, m := range e.Missing {
		said = append(said, m.Words(text.English, "us"))
	}
	return "not released: " + strings.Join(said, " ")
}

// mayRelease asks that the person who signs has the right.
func (tx *Tx) mayRelease() error {
	signer := tx.who.DoneBy
	if signer == "" {
		signer = tx.who.PersonID
	}
	person, err := Get[Person](tx.ctx, tx, signer)
	if err != nil {
		return err
	}
	if !person.MayRelease || person.Struck {
		return Forbidden{Key: "part.no_right_to_release", Args: []any{"Name", person.Name}}
	}
	return nil
}

// mayBecome holds an act to the life of a part.
func (tx *Tx) mayBecome(partID, act string) error {
	shelf, err := ShelfOf(tx.ctx, tx, partID)
	if err != nil {
		return err
	}
	if !slices.Contains(mayFollow[shelf.State], act) {
		return Conflict{Key: "part.cannot_" + act, Args: []any{"State", shelf.State}, ID: shelf.LotID}
	}
	if act == ActRecall && shelf.Shipped == 0 {
		return Conflict{Key: "part.stock_recovery", ID: shelf.LotID}
	}
	return nil
}

func (tx *Tx) dispose(partID, act, reason string, findings []hazards.Finding, automatic bool) error {
	asJudged, err := json.Marshal(findings)
	if err != nil {
		return err
	}
	at, err := tx.afterTheLast(partID)
	if err != nil {
		return err
	}
	d := &Disposition{PartID: partID, At: at, Act: act, Reason: reason, Findings: string(asJudged),
		Words: wordsOf(findings), Automatic: automatic}
	return tx.put(d, "")
}

// afterTheLast is now, or just after the part's last disposition while the clock was set back behind it: the latest one is
// the part's state, and a hold must not be overlooked. WrittenAt keeps the clock's time.
func (tx *Tx) afterTheLast(partID string) (time.Time, error) {
	shelf, err := ShelfOf(tx.ctx, tx, partID)
	if err != nil || shelf.Last == nil || tx.at.After(shelf.Last.At) {
		return tx.at, err
	}
	return shelf.Last.At.Add(time.Microsecond), nil
}

// wordsOf keeps findings as they read when signed.
func wordsOf(findings []hazards.Finding) string {
	var lines []string
	for _, f := range findings {
		w := f.Words(text.English, "us")
		lines = append(lines, f.Level.String()+": "+w.What+" "+w.Why)
	}
	return strings.Join(lines, "\n")
}

// Hold stops a part from leaving. Anybody who writes may hold. Errors: Invalid, Conflict, Already.
func (s *Store) Hold(ctx context.Context, who Actor, partID, reason string) error {
	return s.act(ctx, who, partID, ActHold, reason)
}

// Dispose signs a recall, rework or destruction, which only somebody with the right to release may. Errors: Forbidden,
// Invalid, Conflict, Already.
func (s *Store) Dispose(ctx context.Context, who Actor, partID, act, reason string) error {
	return s.act(ctx, who, partID, act, reason)
}

func (s *Store) act(ctx context.Context, who Actor, partID, act, reason string) error {
	if act == ActRelease {
		return s.Release(ctx, who, partID, reason)
	}
	return s.change(ctx, who, func(tx *Tx) error {
		if act != ActHold {
			if err := tx.mayRelease(); err != nil {
				return err
			}
		}
		if err := tx.mayBecome(partID, act); err != nil {
			return err
		}
		judged, err := JudgePart(ctx, tx, partID)
		if err != nil {
			return err
		}
		return tx.dispose(partID, act, reason, judged.Findings, false)
	})
}

// Units is a number of bottles of one part.
type Units struct {
	PartID string
	Count  int
}

// Ship writes a shipment and the units of each part that leave with it. Errors: Invalid, Conflict when a part is not
// released, Already.
func (s *Store) Ship(ctx context.Context, who Actor, shipment *Shipment, units []Units) error {
	if len(units) == 0 {
		return Invalid{{"units", "shipment.nothing", nil}}
	}
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.put(shipment, ""); err != nil {
			return err
		}
		for _, u := range units {
			l := &Link{FromID: u.PartID, ToID: shipment.ID, At: shipment.At, Units: &u.Count}
			if err := tx.put(l, ""); err != nil {
				return err
			}
		}
		return nil
	})
}

// Return takes units back from a shipment into a new held part of their lot. entry.PartID names the part they left from,
// of whose numbers they are.
// Errors: Invalid when more come back than went out, Already.
func (s *Store) Return(ctx context.Context, who Actor, entry *ShelfEntry) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.returnable(entry); err != nil {
			return err
		}
		from, err := Get[Part](ctx, tx, entry.PartID)
		if err != nil {
			return err
		}
		number, err := tx.nextPart(from.LotID)
		if err != nil {
			return err
		}
		units := entry.Units
		back := &Part{LotID: from.LotID, Number: number, Units: &units, FirstBottle: from.FirstBottle, LastBottle: from.LastBottle}
		if err := tx.put(back, ""); err != nil {
			return err
		}
		entry.What, entry.PartID = ShelfReturn, back.ID
		return tx.put(entry, "")
	})
}

// returnable: no more comes back than left with that shipment, of the whole lot and, unsold, of the part itself.
func (tx *Tx) returnable(e *ShelfEntry) error {
	if e.ShipmentID == nil {
		return Invalid{{"shipment_id", "invalid.required", nil}}
	}
	ofLot := "SELECT p.id FROM part_now p JOIN part_now q ON q.lot_id = p.lot_id WHERE q.id = ?"
	out, err := List[Link](tx.ctx, tx, "to_id = ? AND from_id IN ("+ofLot+")", *e.ShipmentID, e.PartID)
	if err != nil {
		return err
	}
	back, err := List[ShelfEntry](tx.ctx, tx, "shipment_id = ? AND id <> ? AND part_id IN ("+ofLot+")", *e.ShipmentID, e.ID, e.PartID)
	if err != nil {
		return err
	}
	lot, part := 0, 0
	for _, l := range out {
		lot += *l.Units
		if l.FromID == e.PartID {
			part += *l.Units
		}
	}
	for _, b := range back {
		lot -= b.Units
		if b.PartID == e.PartID {
			part -= b.Units
		}
	}
	if e.What == ShelfBack {
		lot = min(lot, part)
	}
	if e.Units > lot {
		return Invalid{{"units", "shelf.more_than_out", []any{"Out", lot}}}
	}
	return nil
}

// inspect keeps shelf entries to the units there are, and market units to what went out.
func (e *ShelfEntry) inspect(tx *Tx) error {
	switch e.What {
	case ShelfBack, ShelfReturn:
		if err := tx.returnable(e); err != nil {
			return err
		}
	case ShelfSample, ShelfBreakage:
		shelf, err := ShelfOf(tx.ctx, tx, e.PartID)
		if err != nil {
			return err
		}
		if shelf.State == StateFilling {
			return Conflict{Key: "part.still_filling", ID: shelf.LotID}
		}
		if e.Revision == 1 && e.Units > shelf.OnHand {
			return Invalid{{"units", "part.not_enough", []any{"OnHand", shelf.OnHand}}}
		}
	}
	return tx.notFuture("at", e.At)
}
