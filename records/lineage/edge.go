package lineage

import (
	"math"
	"time"

	"canewright/hazards/syrup"
)

// Edge says that something of From went into To at a moment, and as much of it as was recorded.
type Edge struct {
	From, To  string
	At        time.Time
	Solids    *syrup.Kilograms // dissolved solids carried; nil: not known
	Mass      *syrup.Kilograms // nil: not known
	Units     *int             // bottles; nil: not counted
	Estimated bool             // the amount was judged by eye or worked out from another
	Beside    bool             // bottles, closures, cloths: reached both ways, but no part of the syrup's shares
}

// amount is one basis of an edge as a number that is not negative; false when it is not known.
func (e Edge) amount(b basis) (float64, bool) {
	switch {
	case b == bySolids && e.Solids != nil:
		return known(float64(*e.Solids))
	case b == byMass && e.Mass != nil:
		return known(float64(*e.Mass))
	case b == byUnits && e.Units != nil:
		return known(float64(*e.Units))
	}
	return 0, b == byParts
}

// known takes a number that can be shared out: a negative one counts as nothing, one that is no number as not known.
func known(x float64) (float64, bool) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, false
	}
	return max(x, 0), true
}
