package hazards

import (
	"math"
	"strconv"

	"canewright/hazards/syrup"
)

// SolidsText writes solids to one decimal, two within 0.1 of a limit of a name (74 and 65 %), so that 73.96 is not shown
// as 74.0.
func SolidsText(w syrup.Brix) string {
	for _, id := range []string{LimitCane, LimitTable} {
		if off := math.Abs(float64(w) - references[id].Value); off < 0.1 && off > 1e-9 {
			return strconv.FormatFloat(float64(w), 'f', 2, 64)
		}
	}
	return strconv.FormatFloat(float64(w), 'f', 1, 64)
}

// LostToCane is the share of its volume that a syrup too thin for the cane names loses on the way to them; false from 74 %
// on and where there is next to nothing in the water.
func LostToCane(now syrup.Brix) (syrup.Fraction, bool) {
	cane := syrup.Brix(references[LimitCane].Value)
	if now >= cane {
		return 0, false
	}
	kept, err := syrup.VolumeKept(now, cane)
	return 1 - kept, err == nil
}
