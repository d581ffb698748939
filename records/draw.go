package records

import (
	"context"
	"fmt"
	"time"

	"canewright/hazards/syrup"
)

// Draw is a quantity taken from one record into another. With neither mass nor volume it takes all that is left, where
// that is known. With no time it happens when its taker begins.
type Draw struct {
	FromID    string
	ToID      string
	At        time.Time
	Mass      *syrup.Kilograms
	Volume    *syrup.Liters
	Entered   string
	Estimated bool
	Heel      bool
}

func (d Draw) link(to string, at time.Time) *Link {
	if d.At.IsZero() {
		d.At = at
	}
	return &Link{FromID: d.FromID, ToID: to, At: d.At, Mass: d.Mass, Volume: d.Volume, Entered: d.Entered,
		Estimated: d.Estimated, Heel: d.Heel}
}

// RecordPressing writes a pressing and the cuts it pressed. Errors: Invalid, Already.
func (s *Store) RecordPressing(ctx context.Context, who Actor, p *Pressing, draws []Draw) error {
	if len(draws) == 0 {
		return Invalid{{"cuts", "pressing.no_cuts", nil}}
	}
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.numberPressing(p); err != nil {
			return err
		}
		return tx.putWithDraws(p, draws, p.StartedAt)
	})
}

// numberPressing gives a pressing the next number of its house day.
func (tx *Tx) numberPressing(p *Pressing) error {
	day := DayOf(p.StartedAt, tx.zone()).Start(tx.zone())
	same, err := List[Pressing](tx.ctx, tx, "started_at >= ? AND started_at < ?", day.UTC(), day.AddDate(0, 0, 1).UTC())
	for _, o := range same {
		p.Number = max(p.Number, o.Number)
	}
	p.Number++
	return err
}

func (tx *Tx) putWithDraws(fact Fact, draws []Draw, at time.Time) error {
	if err := tx.put(fact, ""); err != nil {
		return err
	}
	for _, d := range draws {
		if err := tx.put(d.link(fact.row().ID, at), ""); err != nil {
			return err
		}
	}
	return nil
}

// StartRun lights the fire: it names the run by day and kettle and links the juice that is in it. Errors: Invalid, Conflict
// while the kettle still boils another run, Already.
func (s *Store) StartRun(ctx context.Context, who Actor, r *Run, draws []Draw) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.nameRun(r); err != nil {
			return err
		}
		return tx.putWithDraws(r, draws, r.FireLitAt)
	})
}

func (tx *Tx) nameRun(r *Run) error {
	kettle, err := Get[Kettle](tx.ctx, tx, r.KettleID)
	if err != nil {
		return Invalid{{"kettle_id", "invalid.pick", nil}}
	}
	r.SiteID = kettle.SiteID
	boiling, err := List[Run](tx.ctx, tx, `kettle_id = ? AND NOT EXISTS (SELECT 1 FROM boil_entry_now e WHERE e.run_id = run_now.id AND e.what = ?)`,
		r.KettleID, EntryDrawnOff)
	if err != nil {
		return err
	}
	if len(boiling) > 0 {
		return Conflict{Key: "run.kettle_in_use", Args: []any{"Code", boiling[0].Code}, ID: boiling[0].ID}
	}
	day := r.FireLitAt.In(tx.zone())
	base := fmt.Sprintf("%s%03dK%d", day.Format("06"), day.YearDay(), kettle.Number)
	var used []string
	err = tx.db.Raw("SELECT DISTINCT code FROM run WHERE code = ? OR code LIKE ?", base, base+"-%").Scan(&used).Error
	r.Code = base
	if len(used) > 0 {
		r.Code = fmt.Sprintf("%s-%d", base, len(used)+1)
	}
	return err
}

// Fill records juice or syrup running into a tank, or into a run already lit. Errors: Invalid, Already.
func (s *Store) Fill(ctx context.Context, who Actor, d Draw) error {
	return s.change(ctx, who, func(tx *Tx) error { return tx.put(d.link(d.ToID, tx.at), "") })
}

// DrawOff ends a run with its volume, and links what went to a holding tank if one is named. Errors: Invalid, Conflict
// when somebody else has ended it, Already.
func (s *Store) DrawOff(ctx context.Context, who Actor, e *BoilEntry, tankID string) error {
	e.What = EntryDrawnOff
	return s.change(ctx, who, func(tx *Tx) error { return tx.drawOff(e, tankID) })
}
