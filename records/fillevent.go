package records

import (
	"context"
	"time"

	"canewright/hazards"
)

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

// inspect keeps an event inside its filling. A filling stops and goes on by turns.
func (e *FillEvent) inspect(tx *Tx) error {
	lot, err := Get[Lot](tx.ctx, tx, e.LotID)
	if err != nil {
		return err
	}
	if e.At.Before(lot.StartedAt) {
		return Invalid{{"at", "fill_event.before_start", []any{"At", lot.StartedAt}}}
	}
	ends, err := List[FillEnd](tx.ctx, tx, "lot_id = ?", e.LotID)
	if err != nil {
		return err
	}
	if len(ends) > 0 && e.At.After(ends[0].At) && e.What != FillNote && e.What != FillBroken {
		return Invalid{{"at", "fill_event.after_end", []any{"At", ends[0].At}}}
	}
	if err := e.byTurns(tx); err != nil {
		return err
	}
	return tx.notFuture("at", e.At)
}

// byTurns refuses a second stop without going on between, and going on without a stop, among the events up to now.
func (e *FillEvent) byTurns(tx *Tx) error {
	if e.What != FillStop && e.What != FillRestart {
		return nil
	}
	before, err := List[FillEvent](tx.ctx, tx, "lot_id = ? AND id <> ? AND what IN ('stop', 'restart') AND at <= ? ORDER BY at DESC, id DESC LIMIT 1",
		e.LotID, e.ID, e.At)
	if err != nil {
		return err
	}
	stands := len(before) > 0 && before[0].What == FillStop
	switch {
	case e.What == FillStop && stands:
		return Invalid{{"at", "fill_event.stands", []any{"At", before[0].At}}}
	case e.What == FillRestart && !stands:
		return Invalid{{"at", "fill_event.runs", nil}}
	}
	return nil
}

// fillStops lists the times a filling stood still, in order.
func fillStops(ctx context.Context, src Source, lotID string) ([]hazards.FillStop, error) {
	events, err := List[FillEvent](ctx, src, "lot_id = ? AND what IN ('stop', 'restart') ORDER BY at, id", lotID)
	var stops []hazards.FillStop
	for _, e := range events {
		open := len(stops) > 0 && stops[len(stops)-1].To == nil
		switch {
		case e.What == FillStop && !open:
			stops = append(stops, hazards.FillStop{From: e.At})
		case e.What == FillRestart && open:
			at := e.At
			stops[len(stops)-1].ID, stops[len(stops)-1].To = e.ID, &at
		}
	}
	return stops, err
}
