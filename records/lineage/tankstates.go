package lineage

import (
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// tankStates says which state each inflow made and each outflow drew from, in the order of the tank's lists, and the
// edges that carry what was left from state to state.
type tankStates struct {
	inflow, outflow []int
	carry           []Edge
}

// event is one thing that happened to a tank; at the same moment the lower rank comes first.
type event struct {
	at   time.Time
	rank int
	kind eventKind
	n    int // position in the tank's list
}

type eventKind int

const (
	inflow eventKind = iota
	outflow
	washOut
)

// states walks the tank's events in time.
func (t Tank) states() tankStates {
	result := tankStates{inflow: make([]int, len(t.Inflows)), outflow: make([]int, len(t.Outflows))}
	now, last := 0, 0
	held := contents{}
	for _, e := range t.events() {
		switch e.kind {
		case washOut:
			now, held = 0, contents{}
		case outflow:
			result.outflow[e.n] = now
			held = held.less(t.Outflows[e.n])
		case inflow:
			last++
			in := t.Inflows[e.n]
			if now > 0 {
				result.carry = append(result.carry, Edge{From: StateID(t.ID, now), To: StateID(t.ID, last), At: in.At,
					Solids: held.solids, Mass: held.mass, Estimated: held.estimated})
				held = held.plus(in)
			} else {
				held = contents{solids: copied(in.Solids), mass: copied(in.Mass), estimated: in.Estimated}
			}
			now = last
			result.inflow[e.n] = now
		}
	}
	return result
}

// events orders what happened. At one moment juice comes in before it is drawn; with a wash-out at that same moment what
// is drawn is the old contents, then comes the washing, then the new inflow - unless there were no old contents.
func (t Tank) events() []event {
	var events []event
	for i, e := range t.Inflows {
		events = append(events, event{at: e.At, rank: 2, kind: inflow, n: i})
	}
	for i, e := range t.Outflows {
		rank := 3
		if t.washedAt(e.At) && t.heldBefore(e.At) {
			rank = 0
		}
		events = append(events, event{at: e.At, rank: rank, kind: outflow, n: i})
	}
	for i, at := range t.WashOuts {
		events = append(events, event{at: at, rank: 1, kind: washOut, n: i})
	}
	slices.SortStableFunc(events, func(a, b event) int {
		if c := a.at.Compare(b.at); c != 0 {
			return c
		}
		return a.rank - b.rank
	})
	return events
}

func (t Tank) washedAt(at time.Time) bool {
	return slices.ContainsFunc(t.WashOuts, func(w time.Time) bool { return w.Equal(at) })
}

// heldBefore tells whether anything came in before the moment and after the wash-out before it.
func (t Tank) heldBefore(at time.Time) bool {
	washed := time.Time{}
	for _, w := range t.WashOuts {
		if w.Before(at) && w.After(washed) {
			washed = w
		}
	}
	return slices.ContainsFunc(t.Inflows, func(e Edge) bool { return e.At.Before(at) && !e.At.Before(washed) })
}

// plus is the contents after an inflow: not known once any part of it is not known.
func (c contents) plus(in Edge) contents {
	return contents{solids: sum(c.solids, in.Solids), mass: sum(c.mass, in.Mass), estimated: c.estimated || in.Estimated}
}

// less is the contents after an outflow, never less than nothing. Solids that were not written follow from the mass
// drawn, since a tank is mixed, and mass from solids.
func (c contents) less(out Edge) contents {
	solids, mass, estimated := out.Solids, out.Mass, out.Estimated
	if c.solids != nil && c.mass != nil && *c.mass > 0 && *c.solids > 0 {
		if solids == nil && mass != nil {
			solids, estimated = copied(mass), true
			*solids *= *c.solids / *c.mass
		} else if mass == nil && solids != nil {
			mass, estimated = copied(solids), true
			*mass *= *c.mass / *c.solids
		}
	}
	leftSolids, overSolids := left(c.solids, solids)
	leftMass, overMass := left(c.mass, mass)
	return contents{solids: leftSolids, mass: leftMass, estimated: c.estimated || estimated || overSolids || overMass}
}

func sum(a, b *syrup.Kilograms) *syrup.Kilograms {
	if a == nil || b == nil {
		return nil
	}
	total := *a + *b
	return &total
}

// left subtracts, stopping at nothing; over tells that more was drawn than was there.
func left(a, b *syrup.Kilograms) (rest *syrup.Kilograms, over bool) {
	if a == nil || b == nil {
		return nil, false
	}
	r := *a - *b
	if r < 0 {
		r, over = 0, true
	}
	return &r, over
}

func copied(a *syrup.Kilograms) *syrup.Kilograms {
	if a == nil {
		return nil
	}
	b := *a
	return &b
}
