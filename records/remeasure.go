package records

import (
	"slices"
	"strings"

	"canewright/hazards/syrup"
)

// measureAgain works out anew what was taken from a run when a reading of it, its end, or what ran into it is written or
// amended: all are often written after the syrup has run into the tank.
func (tx *Tx) measureAgain(fact Fact) error {
	switch f := fact.(type) {
	case *DensityReading:
		return tx.remeasureRun(f.OfID)
	case *BoilEntry:
		if f.What == EntryDrawnOff {
			return tx.remeasure(f.RunID)
		}
	case *Link:
		return tx.remeasureTakers(f) // all of what ran in may have been taken on
	}
	return nil
}

// remeasureTakers is remeasureRun of what a link goes into, and went into before it was amended.
func (tx *Tx) remeasureTakers(l *Link) error {
	into := []string{l.ToID}
	if l.Revision > 1 {
		before, err := Revisions[Link](tx.ctx, tx, l.ID)
		if err != nil {
			return err
		}
		for _, b := range before {
			into = append(into, b.ToID)
		}
	}
	slices.Sort(into)
	for _, id := range slices.Compact(into) {
		if err := tx.remeasureRun(id); err != nil {
			return err
		}
	}
	return nil
}

// remeasureRun is remeasure of a run; a reading of a tank or lot measures nothing.
func (tx *Tx) remeasureRun(id string) error {
	kind, err := KindOf(tx.ctx, tx, id)
	if err != nil || kind != KindRun {
		return err
	}
	return tx.remeasure(id)
}

// whyMeasured is the reason such an amendment carries.
const whyMeasured = "mass and solids worked out anew from the finish reading and the volume drawn off"

// remeasure amends the links out of a run or tank whose mass or solids now come out otherwise, and goes on through tanks.
// What was typed stays as typed.
func (tx *Tx) remeasure(source string) error {
	kind, err := KindOf(tx.ctx, tx, source)
	if err != nil || kind != KindRun && kind != KindTank {
		return err
	}
	links, err := List[Link](tx.ctx, tx, "from_id = ? ORDER BY at, id", source)
	if err != nil {
		return err
	}
	for _, l := range links {
		fresh := asTyped(l)
		if err := tx.measure(&fresh, kind); err != nil {
			return err
		}
		if fresh.Mass == nil && fresh.Volume == nil {
			if err := tx.mayTake(&fresh, kind); err != nil {
				return err
			}
		}
		if same(l.Mass, fresh.Mass) && same(l.Volume, fresh.Volume) && same(l.Solids, fresh.Solids) {
			continue
		}
		if err := tx.put(&fresh, whyMeasured); err != nil {
			return err
		}
		if err := tx.remeasure(l.ToID); err != nil {
			return err
		}
	}
	return nil
}

// asTyped is a link with only the quantity that was typed: a mass, a volume, or neither for all that was left.
func asTyped(l Link) Link {
	l.Solids = nil
	_, unit, _ := strings.Cut(l.Entered, " ")
	_, err := syrup.MassFrom(1, unit)
	switch {
	case l.Entered == "all":
		l.Mass, l.Volume = nil, nil
	case err == nil:
		l.Volume = nil
	case l.Volume != nil:
		l.Mass = nil
	}
	return l
}

func same[T ~float64](a, b *T) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a-*b < 1e-9 && *b-*a < 1e-9
}
