package records

import (
	"context"
	"fmt"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// BoilLog is a run with everything written about it, in order of time.
type BoilLog struct {
	Run       Run
	Kettle    Kettle
	Entries   []BoilEntry
	Readings  []DensityReading
	Additions []Addition
	Into      []Link
	Out       []Link
	DrawnOff  *BoilEntry    // nil while it boils
	Logged    []LoggedPoint // of the logger files read into the run
}

// BoilLogOf gives the log of a run. Errors: ErrNotFound.
func BoilLogOf(ctx context.Context, src Source, runID string) (BoilLog, error) {
	var log BoilLog
	var err error
	if log.Run, err = Get[Run](ctx, src, runID); err != nil {
		return log, err
	}
	if log.Kettle, err = Get[Kettle](ctx, src, log.Run.KettleID); err != nil {
		return log, err
	}
	if log.Entries, err = List[BoilEntry](ctx, src, "run_id = ? ORDER BY at, id", runID); err != nil {
		return log, err
	}
	if log.Readings, err = List[DensityReading](ctx, src, "of_id = ? ORDER BY at, id", runID); err != nil {
		return log, err
	}
	if log.Additions, err = List[Addition](ctx, src, "to_id = ? ORDER BY at, id", runID); err != nil {
		return log, err
	}
	if log.Into, err = List[Link](ctx, src, "to_id = ? ORDER BY at, id", runID); err != nil {
		return log, err
	}
	if log.Out, err = List[Link](ctx, src, "from_id = ? ORDER BY at, id", runID); err != nil {
		return log, err
	}
	for i, e := range log.Entries {
		if e.What == EntryDrawnOff {
			log.DrawnOff = &log.Entries[i]
		}
	}
	log.Logged, err = log.loggedIn(ctx, src)
	return log, err
}

// SolidsIn is the dissolved solids that went into the kettle; nil when any of it is not known.
func (l BoilLog) SolidsIn() *syrup.Kilograms {
	if len(l.Into) == 0 {
		return nil
	}
	total := syrup.Kilograms(0)
	for _, in := range l.Into {
		if in.Solids == nil {
			return nil
		}
		total += *in.Solids
	}
	return &total
}

// ReadingFactsOf gives a density reading as a judgement needs it, with the instrument as it stood then.
func ReadingFactsOf(ctx context.Context, src Source, r DensityReading) (hazards.ReadingFacts, error) {
	g := newGathered(ctx, src)
	err := g.readInstruments([]*string{r.InstrumentID, r.ThermometerID})
	return g.reading(r), err
}

// InstrumentFactsOf gives an instrument as it stands at a moment; nil for no instrument.
func InstrumentFactsOf(ctx context.Context, src Source, id *string, at time.Time) (*hazards.InstrumentFacts, error) {
	g := newGathered(ctx, src)
	err := g.readInstruments([]*string{id})
	return g.instrument(id, at), err
}

// JudgePressing judges a pressing and the cane that went into it, for a product with the cane names; gravest first.
// Errors: ErrNotFound.
func JudgePressing(ctx context.Context, src Source, id string) ([]hazards.Finding, error) {
	g, err := gather(ctx, src, id)
	if err != nil {
		return nil, err
	}
	if _, ok := g.names.facts[id].(*Pressing); !ok {
		return nil, fmt.Errorf("pressing %s: %w", id, ErrNotFound)
	}
	return hazards.JudgePressing(g.pressing(id), hazards.NamesCane, g.rules), nil
}

// HeelsOf lists the runs of a kettle, newest first, whose syrup may still be in it: drawn off, not moved or given up, and no
// wash-out since.
func HeelsOf(ctx context.Context, src Source, kettleID string) ([]Run, error) {
	return List[Run](ctx, src, `kettle_id = ? AND id IN (SELECT run_id FROM boil_entry_now WHERE what = ? AND outcome NOT IN ?)
		AND NOT EXISTS (SELECT 1 FROM wash_out_now w WHERE w.vessel_id = run_now.kettle_id AND w.at >= run_now.fire_lit_at)
		ORDER BY fire_lit_at DESC LIMIT 3`, kettleID, EntryDrawnOff, []string{OutcomeMoved, OutcomeGivenUp})
}

// LastInstrument is the instrument last used in records of a kind (density readings, boil entries or pressings) for what it
// measures; where none was used yet, the only one there is. nil when that is not known.
func LastInstrument(ctx context.Context, src Source, used Kind, measures ...string) (*Instrument, error) {
	at := map[Kind]string{KindDensityReading: "at", KindBoilEntry: "at", KindPressing: "started_at"}[used]
	if at == "" {
		return nil, fmt.Errorf("last instrument: records of kind %q name none", used)
	}
	found, err := List[Instrument](ctx, src, `measures IN ? AND id IN (SELECT instrument_id FROM `+string(used)+`_now)
		ORDER BY (SELECT MAX(`+at+`) FROM `+string(used)+`_now used WHERE used.instrument_id = instrument_now.id) DESC LIMIT 1`, measures)
	if err != nil || len(found) > 0 {
		return first(found), err
	}
	if found, err = List[Instrument](ctx, src, "measures IN ? LIMIT 2", measures); len(found) != 1 {
		return nil, err
	}
	return &found[0], err
}

func first[T any](rows []T) *T {
	if len(rows) == 0 {
		return nil
	}
	return &rows[0]
}
