package records

import (
	"time"
)

// notFuture refuses a moment more than a few minutes ahead of the store's clock: a phone's clock may be a little fast.
func (tx *Tx) notFuture(field string, t time.Time) error {
	if t.After(tx.at.Add(5 * time.Minute)) {
		return Invalid{{field, "invalid.future", []any{"Now", tx.at}}}
	}
	return nil
}

// zone is the house's zone; UTC before there is a house.
func (tx *Tx) zone() *time.Location {
	house, err := theHouse(tx.ctx, tx)
	if err != nil {
		return time.UTC
	}
	return house.Location()
}

// duringRun refuses an entry before the fire was lit, or later than grace after the syrup was drawn off. The entry with the
// id except is the one being amended.
func (tx *Tx) duringRun(field, runID string, at time.Time, except string, grace time.Duration) error {
	run, err := Get[Run](tx.ctx, tx, runID)
	if err != nil {
		return err
	}
	if at.Before(run.FireLitAt) {
		return Invalid{{field, "run.before_fire", []any{"At", run.FireLitAt}}}
	}
	drawn, err := List[BoilEntry](tx.ctx, tx, "run_id = ? AND what = ? AND id <> ?", runID, EntryDrawnOff, except)
	if err != nil {
		return err
	}
	if len(drawn) > 0 && at.After(drawn[0].At.Add(grace)) {
		return Invalid{{field, "run.after_drawn_off", []any{"At", drawn[0].At}}}
	}
	return tx.notFuture(field, at)
}

// afterDrawnOff is how long after drawing off a reading of that run may still be taken: the finish reading is often read
// in the cup when the kettle is empty (our choice, no source).
const afterDrawnOff = 2 * time.Hour

// began is when a record's matter first existed; the zero time when it was always there.
func (tx *Tx) began(id string) (time.Time, error) {
	fact, err := Load(tx.ctx, tx, id)
	if err != nil {
		return time.Time{}, err
	}
	switch f := fact.(type) {
	case *Cut:
		return f.CutOn.Start(tx.zone()), nil
	case *Pressing:
		return f.StartedAt, nil
	case *Run:
		return f.FireLitAt, nil
	case *Lot:
		return f.StartedAt, nil
	case *Part:
		return tx.began(f.LotID)
	case *SupplyLot:
		return f.ReceivedOn.Start(tx.zone()), nil
	}
	return time.Time{}, nil
}

// ended is when a record took its last; the zero time while it goes on.
func (tx *Tx) ended(id string) (time.Time, error) {
	fact, err := Load(tx.ctx, tx, id)
	if err != nil {
		return time.Time{}, err
	}
	switch f := fact.(type) {
	case *Pressing:
		if f.EndedAt != nil {
			return *f.EndedAt, nil
		}
	case *Run:
		drawn, err := drawnOff(tx.ctx, tx, f.ID)
		if err != nil || drawn == nil {
			return time.Time{}, err
		}
		return drawn.At, nil
	case *Lot:
		ends, err := List[FillEnd](tx.ctx, tx, "lot_id = ?", f.ID)
		if err != nil || len(ends) == 0 {
			return time.Time{}, err
		}
		return ends[0].At, nil
	}
	return time.Time{}, nil
}
