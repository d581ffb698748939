package hazards

import "canewright/hazards/syrup"

// The two ends between which a kettle's syrup boils: pure sucrose, and an inverted, salty one (physics.md 5: 30 % of the
// sugars inverted, 1.5 % ash).
var (
	LeastBoiling = syrup.Composition{}
	MostBoiling  = syrup.Composition{Inverted: UsualInverted, Ash: UsualAsh}
)

// TargetRise is how far above boiling water syrup of the target boils at a pressure, from pure sucrose to an inverted, salty
// one. False when the model cannot say.
func TargetRise(target syrup.Brix, p syrup.Kilopascals) (low, high syrup.CelsiusDelta, ok bool) {
	pure, real := LeastBoiling, MostBoiling
	pure.Solids, real.Solids = target, target
	least, err := syrup.SyrupBoiling(pure, p)
	if err != nil {
		return 0, 0, false
	}
	most, err := syrup.SyrupBoiling(real, p)
	return least.Rise, most.Rise, err == nil
}

// SuggestedSolids is what a boiling rise suggests of the solids: from an inverted, salty syrup, which boils hotter and so is
// the thinner one at a rise, to pure sucrose. False when the model cannot say.
func SuggestedSolids(rise syrup.CelsiusDelta, p syrup.Kilopascals) (low, high syrup.Brix, ok bool) {
	real, err := syrup.SolidsFromRise(rise, MostBoiling.Inverted, MostBoiling.Ash, p)
	if err != nil {
		return 0, 0, false
	}
	pure, err := syrup.SolidsFromRise(rise, LeastBoiling.Inverted, LeastBoiling.Ash, p)
	return real.Percent, pure.Percent, err == nil
}

// ZeroPasses tells whether a thermometer this far off in boiling water passes: 2 F is not too far yet.
func ZeroPasses(off syrup.CelsiusDelta) bool { return !tooFarOff(settledDelta(off)) }
