package records

import (
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// Link says that something went from one record into another: from, to, its own time, and as much as its stage needs.
type Link struct {
	Row
	FromID    string
	ToID      string
	At        time.Time
	Mass      *syrup.Kilograms
	Volume    *syrup.Liters
	Solids    *syrup.Kilograms // dissolved solids carried, worked out when written
	Units     *int
	Entered   string // quantity as typed
	Estimated bool
	Heel      bool // what an earlier run left in the kettle
}

// Validate checks a link.
func (l *Link) Validate() error {
	var c checks
	c.moment("at", l.At)
	within(&c, "mass", l.Mass, 0, 2e6, "kg")
	within(&c, "volume", l.Volume, 0, 19000, "L")
	within(&c, "solids", l.Solids, 0, 2e6, "kg")
	if l.Units != nil {
		c.whole("units", *l.Units, 1, 1e6)
	}
	if l.FromID == l.ToID {
		c.add("from_id", "link.to_itself")
	}
	return c.err()
}

// linkEnds says which kinds may feed which: the chain of the trade.
var linkEnds = map[Kind][]Kind{
	KindPressing: {KindCut, KindSupplyLot},
	KindTank:     {KindPressing, KindRun, KindTank, KindSupplyLot, KindPart},
	KindRun:      {KindPressing, KindTank, KindRun, KindSupplyLot, KindPart},
	KindLot:      {KindRun, KindTank},
	KindShipment: {KindPart},
}

func (l *Link) refs() []ref {
	return []ref{to("from_id", l.FromID, KindCut, KindPressing, KindTank, KindRun, KindSupplyLot, KindPart),
		to("to_id", l.ToID, KindPressing, KindTank, KindRun, KindLot, KindShipment)}
}

func (l *Link) inspect(tx *Tx) error {
	from, err := KindOf(tx.ctx, tx, l.FromID)
	if err != nil {
		return err
	}
	into, err := KindOf(tx.ctx, tx, l.ToID)
	if err != nil {
		return err
	}
	if !slices.Contains(linkEnds[into], from) {
		return Invalid{{"from_id", "link.not_in_the_chain", []any{"From", from, "To", into}}}
	}
	if err := l.inTime(tx); err != nil {
		return err
	}
	if from == KindRun {
		if err := l.fromRun(tx, into); err != nil {
			return err
		}
	}
	if l.Heel {
		if err := l.heelAllowed(tx, from); err != nil {
			return err
		}
	}
	if err := tx.measure(l, from); err != nil {
		return err
	}
	return tx.mayTake(l, from)
}

// inTime: a link happens not before its source began and not after its taker ended. Pressing may go on while the kettle
// is lit; bottling may start while drawing off.
func (l *Link) inTime(tx *Tx) error {
	began, err := tx.began(l.FromID)
	if err != nil {
		return err
	}
	if l.At.Before(began) {
		return Invalid{{"at", "link.before_source", []any{"Name", Name(tx.ctx, tx, l.FromID), "At", began}}}
	}
	ended, err := tx.ended(l.ToID)
	if err != nil {
		return err
	}
	if !ended.IsZero() && l.At.After(ended) {
		return Invalid{{"at", "link.after_taker", []any{"Name", Name(tx.ctx, tx, l.ToID), "At", ended}}}
	}
	return tx.notFuture("at", l.At)
}

// heelAllowed: a heel stays in its own kettle, and a wash-out between the two runs ends the chain.
func (l *Link) heelAllowed(tx *Tx, from Kind) error {
	if from != KindRun {
		return Invalid{{"from_id", "link.heel_of_a_run", nil}}
	}
	left, err := Get[Run](tx.ctx, tx, l.FromID)
	if err != nil {
		return err
	}
	next, err := Get[Run](tx.ctx, tx, l.ToID)
	if err != nil {
		return err
	}
	if left.KettleID != next.KettleID {
		return Invalid{{"from_id", "link.heel_other_kettle", nil}}
	}
	washed, err := List[WashOut](tx.ctx, tx, "vessel_id = ? AND at >= ? AND at <= ?", left.KettleID, left.FireLitAt, next.FireLitAt)
	if err == nil && len(washed) > 0 {
		err = Invalid{{"from_id", "link.heel_washed_out", []any{"At", washed[0].At}}}
	}
	return err
}
