package records

import (
	"context"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// nothingStandsAgainst refuses to end a run otherwise than as syrup where what was already taken from it says that it was
// syrup, and to give up what is in a tank.
func (e *BoilEntry) nothingStandsAgainst(tx *Tx) error {
	out, err := List[Link](tx.ctx, tx, "from_id = ? ORDER BY at, id", e.RunID)
	if err != nil {
		return err
	}
	for _, l := range out {
		into, err := KindOf(tx.ctx, tx, l.ToID)
		if err != nil {
			return err
		}
		args := []any{"Name", Name(tx.ctx, tx, l.ToID)}
		switch {
		case into == KindLot:
			return Conflict{Key: "run.already_bottled", Args: args, ID: l.ToID}
		case l.Heel && gone(e.Outcome):
			return Conflict{Key: "run.heel_was_taken", Args: args, ID: l.ToID}
		case e.Outcome == OutcomeGivenUp && !inMidBoil(l, into, e):
			return Conflict{Key: "run.already_taken", Args: args, ID: l.ToID}
		}
	}
	return nil
}

// gone tells whether a run that ended so left nothing to take.
func gone(outcome string) bool { return outcome == OutcomeMoved || outcome == OutcomeGivenUp }

// inMidBoil tells whether a link took from a run while it boiled, into another kettle: that is no part of what the run
// ended with. What runs into a tank or bottles before the end is the first pouring of the syrup, and part of it.
func inMidBoil(l Link, into Kind, end *BoilEntry) bool {
	return into == KindRun && !l.Heel && (end == nil || l.At.Before(end.At))
}

// midBoil is inMidBoil of a link whose ends have not been read. A link to nowhere asks for what the run ended with.
func (tx *Tx) midBoil(l Link, end *BoilEntry) (bool, error) {
	if l.ToID == "" || l.Heel {
		return false, nil
	}
	into, err := KindOf(tx.ctx, tx, l.ToID)
	return err == nil && inMidBoil(l, into, end), err
}

// ladles is midBoil of a link from a record of a kind.
func (tx *Tx) ladles(l Link, from Kind) (bool, error) {
	if from != KindRun {
		return false, nil
	}
	end, err := drawnOff(tx.ctx, tx, l.FromID)
	if err != nil {
		return false, err
	}
	return tx.midBoil(l, end)
}

// ladledFrom is ladles of one of many links out of the same record, whose end is known.
func (tx *Tx) ladledFrom(l Link, from Kind, end *BoilEntry) (bool, error) {
	if from != KindRun {
		return false, nil
	}
	return tx.midBoil(l, end)
}

// endMeasured tells whether the volume a run ended with was written.
func (tx *Tx) endMeasured(runID string) (bool, error) {
	end, err := drawnOff(tx.ctx, tx, runID)
	return end != nil && end.Volume != nil, err
}

// fromRun refuses to take from a run that was given up, more than was moved from one that was moved, and to bottle
// semi-syrup.
func (l *Link) fromRun(tx *Tx, into Kind) error {
	if into == KindRun {
		if err := l.feedsNoCircle(tx); err != nil {
			return err
		}
	}
	end, err := drawnOff(tx.ctx, tx, l.FromID)
	if err != nil || end == nil || inMidBoil(*l, into, end) {
		return err
	}
	said := []any{"Name", Name(tx.ctx, tx, l.FromID), "At", end.At}
	switch {
	case end.Outcome == OutcomeGivenUp:
		return Invalid{{"from_id", "link.given_up", said}}
	case end.Outcome == OutcomeMoved && (into != KindRun || l.Heel || l.At.After(end.At)):
		return Invalid{{"from_id", "link.moved_away", said}}
	case end.Outcome == OutcomeSemiSyrup && into == KindLot:
		return Invalid{{"from_id", "link.semi_syrup", said}}
	}
	return nil
}

// feedsNoCircle refuses to pour back what a run gave, or what came of it.
func (l *Link) feedsNoCircle(tx *Tx) error {
	edges, err := flowEdges(tx.ctx, tx, l.ToID, down)
	for _, e := range edges {
		if RecordOf(e.To) == l.FromID {
			return Conflict{Key: "link.closes_circle", ID: l.FromID}
		}
	}
	return err
}

// afterPouring is how long a reading in the cup may follow a pouring and still tell what was poured (our choice, no source).
const afterPouring = 10 * time.Minute

// StaleReading is how long before a pouring a reading makes the amount estimated: the kettle boiled on (our choice, no
// source).
const StaleReading = 30 * time.Minute

// inKettle is what was in a kettle at a moment, by the last usable reading of any stage, and the last temperature of the
// boil within the hour before.
func (tx *Tx) inKettle(runID string, at time.Time, grace time.Duration, drawn *syrup.Celsius) (matter, error) {
	solids, read, err := LastSolids(tx.ctx, tx, runID, at.Add(grace))
	if err != nil || solids == nil {
		return matter{}, err
	}
	if drawn == nil {
		hot, err := List[BoilEntry](tx.ctx, tx, "run_id = ? AND temperature IS NOT NULL AND at <= ? AND at >= ? ORDER BY at DESC, id DESC LIMIT 1",
			runID, at, at.Add(-time.Hour))
		if err != nil {
			return matter{}, err
		}
		if len(hot) > 0 {
			drawn = hot[0].Temperature
		}
	}
	m := atOr(&solids.Percent, drawn, assumedSyrup)
	m.assumed = m.assumed || at.Sub(read) > StaleReading
	return m, nil
}

// LastSolids is what the last usable reading of a run says, of any stage and not after a moment, and when it was read.
func LastSolids(ctx context.Context, src Source, runID string, until time.Time) (*syrup.Solids, time.Time, error) {
	readings, err := List[DensityReading](ctx, src, "of_id = ? AND at <= ? ORDER BY at DESC, id DESC", runID, until)
	if err != nil {
		return nil, time.Time{}, err
	}
	for _, r := range readings {
		solids, err := SolidsOf(ctx, src, r)
		if err != nil || solids != nil {
			return solids, r.At, err
		}
	}
	return nil, time.Time{}, nil
}

// EndSolids is what a run ended with: by its finish reading where that was syrup or it boils yet, else by the last reading
// that can be used. Nil when there is none.
func EndSolids(ctx context.Context, src Source, runID string) (*syrup.Solids, error) {
	end, err := drawnOff(ctx, src, runID)
	if err != nil {
		return nil, err
	}
	if end == nil || end.Outcome == OutcomeSyrup {
		return FinishSolids(ctx, src, runID)
	}
	solids, _, err := LastSolids(ctx, src, runID, end.At.Add(afterDrawnOff))
	return solids, err
}

// mayLadle holds what is taken from a boiling kettle to the dissolved solids that ran into it. A blank quantity takes all
// of them, estimated.
func (tx *Tx) mayLadle(l *Link) error {
	in, left, err := tx.solidsIn(l.FromID, l.ID, nil)
	if err != nil || in == nil {
		return err
	}
	if l.Mass == nil && l.Volume == nil {
		m, err := tx.matterOf(l.FromID, KindRun, l)
		if err != nil || m.solids == nil || *m.solids <= 0 {
			return err
		}
		return tx.takeAll(l, KindRun, *left/syrup.Kilograms(*m.solids)*100)
	}
	if l.Solids != nil && *l.Solids-*left > *in*overRefused {
		return Invalid{{"quantity", "link.over_ladled", []any{"Name", Name(tx.ctx, tx, l.FromID), "Have", *left, "Take", *l.Solids}}}
	}
	return nil
}

// solidsIn is the dissolved solids that ran into a run, and what of them other links have not taken in mid-boil. Nil when
// any of it is not known.
func (tx *Tx) solidsIn(runID, except string, end *BoilEntry) (in, left *syrup.Kilograms, err error) {
	into, err := List[Link](tx.ctx, tx, "to_id = ?", runID)
	if err != nil || len(into) == 0 {
		return nil, nil, err
	}
	sum := syrup.Kilograms(0)
	for _, l := range into {
		if l.Solids == nil {
			return nil, nil, nil
		}
		sum += *l.Solids
	}
	rest := sum
	out, err := List[Link](tx.ctx, tx, "from_id = ? AND id <> ?", runID, except)
	if err != nil {
		return nil, nil, err
	}
	for _, l := range out {
		ladled, err := tx.midBoil(l, end)
		if err != nil {
			return nil, nil, err
		}
		if ladled && l.Solids == nil {
			return nil, nil, nil
		}
		if ladled {
			rest -= *l.Solids
		}
	}
	return &sum, &rest, nil
}

// endMass is what a run ended with where its volume was not measured: the solids that ran in, at the density last read.
// Nil for syrup, whose volume has to be written, and where something is not known.
func (tx *Tx) endMass(end *BoilEntry) (*syrup.Kilograms, error) {
	if end.Outcome != OutcomeSemiSyrup && end.Outcome != OutcomeMoved {
		return nil, nil
	}
	in, left, err := tx.solidsIn(end.RunID, "", end)
	if err != nil || in == nil {
		return nil, err
	}
	solids, err := EndSolids(tx.ctx, tx, end.RunID)
	if err != nil || solids == nil || solids.Percent <= 0 {
		return nil, err
	}
	mass := *left / syrup.Kilograms(solids.Percent) * 100
	return &mass, nil
}

// kindsOf gives the kinds of some records.
func kindsOf(ctx context.Context, src Source, ids []string) (map[string]Kind, error) {
	kinds := map[string]Kind{}
	for batch := range slices.Chunk(ids, inBatch) {
		var rows []struct{ ID, Kind string }
		if err := src.conn(ctx).Raw("SELECT id, kind FROM record WHERE id IN ?", batch).Scan(&rows).Error; err != nil {
			return nil, err
		}
		for _, r := range rows {
			kinds[r.ID] = Kind(r.Kind)
		}
	}
	return kinds, nil
}
