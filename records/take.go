package records

import (
	"slices"

	"canewright/hazards/syrup"
)

// contents gives what a tank holds, and of it the solids, just as a link takes from it; nil is not known.
func (tx *Tx) contents(tank string, l *Link) (mass, solids *syrup.Kilograms, err error) {
	t, _, _, err := tankOf(tx.ctx, tx, tank, l.ID)
	if err != nil {
		return nil, nil, err
	}
	solids, mass = t.HeldAt(l.At)
	return mass, solids, nil
}

// mayTake refuses to take more than a fifth over what there is: a likely slip (design 3). A blank quantity takes all
// that is left, where that is known.
func (tx *Tx) mayTake(l *Link, from Kind) error {
	if from == KindPart {
		return tx.mayTakeUnits(l)
	}
	if l.Heel {
		return tx.heelFits(l, from)
	}
	if ladled, err := tx.ladles(*l, from); err != nil {
		return err
	} else if ladled {
		return tx.mayLadle(l)
	}
	have, err := tx.left(l, from)
	if err != nil || have == nil {
		return err
	}
	if l.Mass == nil && l.Volume == nil {
		return tx.takeAll(l, from, *have)
	}
	if l.Mass == nil {
		return nil
	}
	produced, err := tx.produced(l, from)
	if err != nil || produced == nil {
		return err
	}
	if *l.Mass-*have > *produced*overRefused {
		return Invalid{{"quantity", "link.over_drawn", []any{"Name", Name(tx.ctx, tx, l.FromID), "Have", *have, "Take", *l.Mass}}}
	}
	return nil
}

// heelFits: a heel stayed in the kettle and is no part of what was drawn off, but more than that is a slip.
func (tx *Tx) heelFits(l *Link, from Kind) error {
	made, err := tx.madeMass(l.FromID, from)
	if err == nil && made != nil && l.Mass != nil && *l.Mass > *made {
		err = Invalid{{"quantity", "link.heel_too_large", []any{"Name", Name(tx.ctx, tx, l.FromID), "Made", *made, "Take", *l.Mass}}}
	}
	return err
}

const overRefused = 0.20

func (tx *Tx) takeAll(l *Link, from Kind, have syrup.Kilograms) error {
	if have <= 0 {
		return Invalid{{"quantity", "link.nothing_left", []any{"Name", Name(tx.ctx, tx, l.FromID)}}}
	}
	l.Mass = &have
	if l.Entered == "" {
		l.Entered = "all"
	}
	if from == KindRun {
		measured, err := tx.endMeasured(l.FromID)
		if err != nil {
			return err
		}
		l.Estimated = l.Estimated || !measured
	}
	return tx.measure(l, from)
}

// produced is the whole mass a source ever held, nil when not known.
func (tx *Tx) produced(l *Link, from Kind) (*syrup.Kilograms, error) {
	switch from {
	case KindCut:
		k, err := Get[Cut](tx.ctx, tx, l.FromID)
		return k.Mass, err
	case KindPressing, KindRun:
		return tx.madeMass(l.FromID, from)
	case KindTank:
		mass, _, err := tx.contents(l.FromID, l)
		return mass, err
	case KindSupplyLot:
		s, err := Get[SupplyLot](tx.ctx, tx, l.FromID)
		return s.Mass, err
	}
	return nil, nil
}

// madeMass is the mass of a pressing's juice or a run's syrup; nil when volume or solids are not recorded.
func (tx *Tx) madeMass(id string, kind Kind) (*syrup.Kilograms, error) {
	whole := Link{FromID: id}
	if kind == KindPressing {
		p, err := Get[Pressing](tx.ctx, tx, id)
		if err != nil {
			return nil, err
		}
		whole.Volume = p.Volume
	} else {
		drawn, err := drawnOff(tx.ctx, tx, id)
		if err != nil || drawn == nil {
			return nil, err
		}
		if drawn.Volume == nil {
			return tx.endMass(drawn)
		}
		whole.Volume = drawn.Volume
	}
	err := tx.measure(&whole, kind)
	return whole.Mass, err
}

// left is what a source still holds before this link takes from it; nil when not known. Of a run that was given up nothing
// is left, and what was taken from it in mid-boil is no part of what it ended with.
func (tx *Tx) left(l *Link, from Kind) (*syrup.Kilograms, error) {
	produced, err := tx.produced(l, from)
	if err != nil || from == KindTank {
		return produced, err
	}
	var end *BoilEntry
	if from == KindRun {
		if end, err = drawnOff(tx.ctx, tx, l.FromID); err != nil {
			return nil, err
		}
		if end != nil && end.Outcome == OutcomeGivenUp {
			return new(syrup.Kilograms), nil
		}
	}
	if produced == nil {
		return nil, nil
	}
	others, err := List[Link](tx.ctx, tx, "from_id = ? AND id <> ? AND NOT heel", l.FromID, l.ID)
	if err != nil {
		return nil, err
	}
	have := *produced
	for _, o := range others {
		ladled, err := tx.ladledFrom(o, from, end)
		if err != nil || o.Mass == nil && !ladled {
			return nil, err
		}
		if !ladled {
			have -= *o.Mass
		}
	}
	return &have, nil
}

// mayTakeUnits holds a shipment to the units on hand of a part, and to a state that may leave the house.
func (tx *Tx) mayTakeUnits(l *Link) error {
	if l.Units == nil {
		return Invalid{{"units", "invalid.required", nil}}
	}
	shelf, err := ShelfOf(tx.ctx, tx, l.FromID)
	if err != nil {
		return err
	}
	if !slices.Contains([]string{StateReleased}, shelf.State) {
		return Conflict{Key: "part.not_released", Args: []any{"State", shelf.State}, ID: l.FromID}
	}
	before := 0
	if l.Revision > 1 { // amending: what the link took before is back on the shelf
		old, err := Get[Link](tx.ctx, tx, l.ID)
		if err != nil {
			return err
		}
		before = *old.Units
		if err := tx.coversBack(l); err != nil {
			return err
		}
	}
	if *l.Units > shelf.OnHand+before {
		return Invalid{{"units", "part.not_enough", []any{"OnHand", shelf.OnHand + before}}}
	}
	return nil
}
