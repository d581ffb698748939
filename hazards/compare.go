package hazards

import (
	"math"

	"canewright/hazards/syrup"
)

// What the solids of cane syrup are taken to be where nobody measured: 30 % of the sugars inverted and 1.5 % ash, the
// middle of what is reported (physics.md 5). It shifts the solids implied by a boiling rise by up to 1.5 % either way.
const (
	UsualInverted syrup.Fraction = 0.30
	UsualAsh      syrup.Fraction = 0.015
)

// waterOff is how far the day's boiling water may lie from what the pressure says before the thermometer is doubted: 2 F.
// trade.md 2.3, common practice without a source.
const waterOff = syrup.FahrenheitDelta(2)

// BoilingFacts is how hot the finished syrup boiled, as read. Water is what the same thermometer read in boiling water that
// day.
type BoilingFacts struct {
	Syrup       syrup.Celsius
	Water       *syrup.Celsius
	Pressure    *syrup.Kilopascals // of the day, or of the height where the day's is not known
	Thermometer *InstrumentFacts
}

// CompareFacts are two independent measurements of how thick one finished syrup is.
type CompareFacts struct {
	ID       string
	Name     string
	Density  ReadingFacts
	Boiling  BoilingFacts
	Inverted *syrup.Fraction // share of the sugars; nil is not measured
	Ash      *syrup.Fraction // share of the syrup; nil is not measured
}

// First is the instrument to check first when two estimates disagree.
type First string

// The instruments; FirstNone when the estimates agree.
const (
	FirstNone        First = ""
	FirstThermometer First = "thermometer"
	FirstHydrometer  First = "hydrometer"
)

// Comparison is two estimates of finished solids side by side.
type Comparison struct {
	Density syrup.Solids // by hydrometer or refractometer
	Boiling syrup.Solids // by boiling rise
	Apart   syrup.Brix   // how far apart, never negative
	Rise    syrup.CelsiusDelta
	First   First
	Assumed bool // the composition was not measured
}

// Compare estimates the solids by density and by boiling rise. The rise counts from the day's boiling water by the same
// thermometer, so that its own error falls out; without that from the pressure. The error of a check that failed later
// replaces the day's zero: it is taken off, and the rise counts from the pressure. False when one of the two cannot be
// estimated: a reading without its temperature or outside the model, or neither water nor pressure known.
func Compare(f CompareFacts, rules Rules) (Comparison, bool) {
	density, err := f.Density.Solids()
	if err != nil {
		return Comparison{}, false
	}
	water, pressure, ok := f.Boiling.water()
	if !ok {
		return Comparison{}, false
	}
	inverted, ash := UsualInverted, UsualAsh
	if f.Inverted != nil {
		inverted = *f.Inverted
	}
	if f.Ash != nil {
		ash = *f.Ash
	}
	rise := f.Boiling.syrup().Sub(water)
	boiling, err := syrup.SolidsFromRise(rise, inverted, ash, pressure)
	if err != nil {
		return Comparison{}, false
	}
	c := Comparison{Density: density, Boiling: boiling, Rise: rise, Assumed: f.Inverted == nil || f.Ash == nil}
	c.Apart = syrup.Brix(math.Abs(float64(density.Percent - boiling.Percent)))
	if !rules.Limits.Judged(LimitCompare).Passed(float64(c.Apart)) {
		c.First = f.first()
	}
	return c, true
}

// zeroed tells whether the rise counts from what the thermometer itself read in boiling water.
func (b BoilingFacts) zeroed() bool {
	failed := b.Thermometer != nil && b.Thermometer.Error != nil
	return b.Water != nil && !(failed && b.Pressure != nil)
}

// syrup is the syrup's temperature on the scale that water is on.
func (b BoilingFacts) syrup() syrup.Celsius {
	if b.zeroed() {
		return b.Syrup // as read, like the water: the zero falls out of the difference
	}
	return b.Thermometer.Temperature(b.Syrup)
}

// water is the boiling point of water to count the rise from, and the pressure that goes with it.
func (b BoilingFacts) water() (syrup.Celsius, syrup.Kilopascals, bool) {
	switch {
	case b.zeroed() && b.Pressure == nil:
		p, err := syrup.SaturationPressure(*b.Water)
		return *b.Water, p, err == nil
	case b.zeroed():
		return *b.Water, *b.Pressure, true
	case b.Pressure == nil:
		return 0, 0, false
	}
	water, err := syrup.WaterBoiling(*b.Pressure)
	return water, *b.Pressure, err == nil
}

// first is the instrument that is likelier wrong: one whose check failed; the thermometer when nobody put it into boiling
// water that day, which takes five minutes, or when that water did not read what the pressure says; else the hydrometer
// or refractometer.
func (f CompareFacts) first() First {
	thermometer, density := f.Boiling.Thermometer, f.Density.Instrument
	switch {
	case thermometer != nil && thermometer.Error != nil:
		return FirstThermometer
	case density != nil && density.Error != nil:
		return FirstHydrometer
	case f.Boiling.Water == nil || f.Boiling.waterIsOff():
		return FirstThermometer
	default:
		return FirstHydrometer
	}
}

// waterIsOff tells whether the day's boiling water lies more than 2 F from what the pressure says, where both are known.
func (b BoilingFacts) waterIsOff() bool {
	if b.Water == nil || b.Pressure == nil {
		return false
	}
	expected, err := syrup.WaterBoiling(*b.Pressure)
	if err != nil {
		return false
	}
	return tooFarOff(b.Water.Sub(expected))
}

// tooFarOff tells whether a thermometer is doubted for this error in boiling water; just 2 F is not yet.
func tooFarOff(off syrup.CelsiusDelta) bool { return max(off, -off) > waterOff.Celsius() }

// JudgeComparison asks about two estimates that disagree, and says which instrument to check first. Both are modelled, so
// it is a check at most; estimates that agree, or of which one is not there, say nothing.
func JudgeComparison(f CompareFacts, rules Rules) []Finding {
	c, ok := Compare(f, rules)
	if !ok || c.First == FirstNone {
		return nil
	}
	code := "compare.hydrometer_first"
	if c.First == FirstThermometer {
		code = "compare.thermometer_first"
	}
	found := against(code, Check, f.ID, f.Name, number(float64(c.Apart), UnitSolids), rules.Limits.Judged(LimitCompare))
	found.Model = syrup.ModelBoiling
	found = found.with("Density", solidsValue(c.Density)).with("Boiling", solidsValue(c.Boiling)).
		with("Rise", number(float64(c.Rise), UnitCelsiusDelta))
	if at := f.Density.Correction(); at != nil {
		found = found.corrected(*at)
	}
	return []Finding{found.correctedAt(f.Boiling.Thermometer, f.Boiling.Syrup)}
}
