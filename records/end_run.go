package records

import (
	"context"
	"time"

	"canewright/hazards/syrup"
)

// HoldSemiSyrup ends a run whose boiling stops half-way: what was read as it was taken out, nil when nothing was, and the
// tank or bucket it is held in, empty for one without a name. Errors: Invalid, Conflict when somebody else has ended it,
// Already.
func (s *Store) HoldSemiSyrup(ctx context.Context, who Actor, end *BoilEntry, reading *DensityReading, tankID string) error {
	end.What, end.Outcome = EntryDrawnOff, OutcomeSemiSyrup
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.putReading(end.RunID, end.At, reading); err != nil {
			return err
		}
		return tx.drawOff(end, tankID)
	})
}

// putReading writes what was read as something was taken from a boiling kettle.
func (tx *Tx) putReading(runID string, at time.Time, reading *DensityReading) error {
	if reading == nil {
		return nil
	}
	reading.OfID, reading.At, reading.Stage = runID, at, StageBoil
	return tx.put(reading, "")
}

func (tx *Tx) drawOff(e *BoilEntry, tankID string) error {
	if err := tx.put(e, ""); err != nil || tankID == "" {
		return err
	}
	into := Draw{FromID: e.RunID, Volume: e.Volume, Entered: e.VolumeEntered, Estimated: e.Estimated}
	return tx.put(into.link(tankID, e.At), "")
}

// GiveUp ends a run that is poured away; its entry says why, and how much it was where that is known. Errors: Invalid,
// Conflict when somebody else has ended it or something was taken from it, Already.
func (s *Store) GiveUp(ctx context.Context, who Actor, end *BoilEntry) error {
	end.What, end.Outcome = EntryDrawnOff, OutcomeGivenUp
	return s.Write(ctx, who, end)
}

// Move is what goes from a kettle into another: all of it, which ends the run, or so much. It goes into a run that boils,
// or into a kettle whose fire is lit with it.
type Move struct {
	FromID    string
	At        time.Time
	All       bool
	Volume    *syrup.Liters // nil: all of it, not measured
	Entered   string
	Estimated bool
	IntoID    string // a run
	Light     *Run   // instead of IntoID: the run to start
	Reading   *DensityReading
	Note      string
}

// MoveToKettle moves all or a part of what boils in a kettle into another kettle. Errors: Invalid, Conflict when somebody
// else has ended the run or the other kettle boils already, Already.
func (s *Store) MoveToKettle(ctx context.Context, who Actor, m Move) error {
	return s.change(ctx, who, func(tx *Tx) error {
		if m.Volume == nil && !m.All {
			return Invalid{{"volume", "invalid.required", nil}}
		}
		if err := tx.putReading(m.FromID, m.At, m.Reading); err != nil {
			return err
		}
		if m.All {
			end := &BoilEntry{RunID: m.FromID, At: m.At, What: EntryDrawnOff, Outcome: OutcomeMoved, Volume: m.Volume, VolumeEntered: m.Entered,
				Estimated: m.Estimated, Note: m.Note}
			if err := tx.put(end, ""); err != nil {
				return err
			}
		} else if err := tx.stillBoils(m.FromID); err != nil {
			return err
		}
		return tx.pourInto(m)
	})
}

// stillBoils refuses to take from a run in mid-boil that somebody has ended meanwhile.
func (tx *Tx) stillBoils(runID string) error {
	end, err := drawnOff(tx.ctx, tx, runID)
	if err == nil && end != nil {
		err = Conflict{Key: "run.already_drawn_off", ID: runID}
	}
	return err
}

// pourInto links what was moved to the run that takes it, lighting its fire first where that is asked.
func (tx *Tx) pourInto(m Move) error {
	if m.Light != nil {
		if err := tx.nameRun(m.Light); err != nil {
			return err
		}
		if err := tx.put(m.Light, ""); err != nil {
			return err
		}
		m.IntoID = m.Light.ID
	}
	into := Draw{FromID: m.FromID, Volume: m.Volume, Entered: m.Entered, Estimated: m.Estimated}
	return tx.put(into.link(m.IntoID, m.At), "")
}
