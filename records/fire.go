package records

import (
	"cmp"
	"slices"
	"time"
)

// Fire is how a run's fire stands at a moment: whether it is out, since when it is as it is, and how long the kettle was on
// it, which is lit less out.
type Fire struct {
	Out    bool
	Since  time.Time
	OnFire time.Duration
}

// FireAt tells how the fire stands at a moment; after the run has ended, how it stood then.
func (l BoilLog) FireAt(at time.Time) Fire {
	if l.DrawnOff != nil && l.DrawnOff.At.Before(at) {
		at = l.DrawnOff.At
	}
	fire := Fire{Since: l.Run.FireLitAt}
	for _, e := range fireTurns(l.Entries) {
		if e.At.After(at) {
			break
		}
		fire.turn(e)
	}
	if !fire.Out && at.After(fire.Since) {
		fire.OnFire += at.Sub(fire.Since)
	}
	return fire
}

// turn takes the next entry of a fire out or relit. One that repeats what is so already, as a struck entry leaves behind,
// changes nothing.
func (f *Fire) turn(e BoilEntry) {
	out := e.What == EntryFireOut
	if out == f.Out {
		return
	}
	if out {
		f.OnFire += e.At.Sub(f.Since)
	}
	f.Out, f.Since = out, e.At
}

// fireTurns are the entries of a fire out and relit, in order of time.
func fireTurns(entries []BoilEntry) []BoilEntry {
	var turns []BoilEntry
	for _, e := range entries {
		if e.What == EntryFireOut || e.What == EntryRelit {
			turns = append(turns, e)
		}
	}
	slices.SortStableFunc(turns, func(a, b BoilEntry) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	return turns
}

// fireFits refuses a fire that goes out twice, or is relit while it burns.
func (e *BoilEntry) fireFits(tx *Tx) error {
	others, err := List[BoilEntry](tx.ctx, tx, "run_id = ? AND what IN ? AND id <> ?", e.RunID, []string{EntryFireOut, EntryRelit}, e.ID)
	if err != nil {
		return err
	}
	var before, after *BoilEntry
	for _, o := range fireTurns(others) {
		if o.At.After(e.At) {
			after = &o
			break
		}
		before = &o
	}
	was := EntryRelit // as if lit
	if before != nil {
		was = before.What
	}
	switch {
	case was == e.What && e.What == EntryFireOut:
		return Invalid{{"at", "run.fire_is_out", []any{"At", before.At}}}
	case was == e.What && before != nil:
		return Invalid{{"at", "run.fire_burns", []any{"At", before.At}}}
	case was == e.What:
		return Invalid{{"at", "run.fire_burns_since_lit", nil}}
	case after != nil && after.What == e.What:
		return Invalid{{"at", "run.fire_turn_follows", []any{"At", after.At}}}
	}
	return nil
}
