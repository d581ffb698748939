package lineage

import (
	"time"

	"canewright/hazards/syrup"
)

// HeldAt gives what a tank computes to hold at a moment, all that happened at that moment included; nil is not known.
func (t Tank) HeldAt(at time.Time) (solids, mass *syrup.Kilograms) {
	nothing := syrup.Kilograms(0)
	held, filled := contents{solids: &nothing, mass: &nothing}, false
	for _, e := range t.events() {
		if e.at.After(at) {
			break
		}
		switch e.kind {
		case washOut:
			held, filled = contents{solids: &nothing, mass: &nothing}, false
		case outflow:
			held = held.less(t.Outflows[e.n])
		case inflow:
			in := t.Inflows[e.n]
			if !filled {
				held = contents{solids: &nothing, mass: &nothing}
			}
			held, filled = held.plus(in), true
		}
	}
	return held.solids, held.mass
}
