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

// LeastSuggesting is the boiling rise from which on solids are estimated of it: below 2 C a degree of the thermometer is 15 %
// solids and more (physics.md 5: pure sucrose rises 1.15 C at 40 %, 1.82 C at 50 %, 2.94 C at 60 %).
const LeastSuggesting syrup.CelsiusDelta = 2

// SuggestedSolids is what a boiling rise suggests of the solids: from an inverted, salty syrup, which boils hotter and so is
// the thinner one at a rise, to pure sucrose, each with the thermometer's own uncertainty, or what is assumed where that is not
// known. False below LeastSuggesting, or when the model cannot say.
func SuggestedSolids(rise syrup.CelsiusDelta, thermometer *InstrumentFacts, p syrup.Kilopascals) (low, high syrup.Brix, ok bool) {
	u := syrup.CelsiusDelta(references[LimitThermometer].Value)
	if thermometer != nil && thermometer.Uncertainty != nil {
		u = syrup.CelsiusDelta(*thermometer.Uncertainty)
	}
	if rise < LeastSuggesting {
		return 0, 0, false
	}
	real, err := syrup.SolidsFromRise(rise-u, MostBoiling.Inverted, MostBoiling.Ash, p)
	if err != nil {
		return 0, 0, false
	}
	pure, err := syrup.SolidsFromRise(rise+u, LeastBoiling.Inverted, LeastBoiling.Ash, p)
	return real.Percent, pure.Percent, err == nil
}

// ZeroPasses tells whether a thermometer this far off in boiling water passes: 2 F is not too far yet.
func ZeroPasses(off syrup.CelsiusDelta) bool { return !tooFarOff(settledDelta(off)) }
