package hazards

import (
	"math"

	"canewright/hazards/syrup"
)

// FillTarget is what one bottle of a lot should hold, on the scale and to the eye while it is hot.
type FillTarget struct {
	Contents  syrup.Milliliters // declared, at 20 C
	Solids    syrup.Solids
	Least     syrup.Grams // net weight in air that just makes the declared contents
	Off       syrup.Grams // uncertainty of Least, from the solids and the model
	Target    syrup.Grams // Least with the house's headroom
	Headroom  Limit
	Tolerance *syrup.Grams      // what a single bottle may be short of by OIML R 87; nil: no table for these contents
	At        syrup.Celsius     // of the bottle
	Hot       syrup.Milliliters // volume at At that makes the declared contents at 20 C
	HotOff    syrup.Milliliters
}

// densityOff is the uncertainty of the density model, as a share (physics.md section 1).
const densityOff = 0.001

// TargetOf works out what a bottle of the lot should hold at a temperature; false where contents or solids are not known,
// or outside the models.
func TargetOf(l LotFacts, at syrup.Celsius, rules Rules) (FillTarget, bool) {
	solids := LotSolids(l)
	if solids == nil || l.Fill.Contents == nil {
		return FillTarget{}, false
	}
	t := FillTarget{Contents: *l.Fill.Contents, Solids: *solids, At: at, Headroom: rules.Limits.Judged(LimitHeadroom)}
	least, thin, thick, ok := threeTimes(solids, func(p syrup.Brix) (syrup.Grams, error) { return syrup.NetWeight(t.Contents, p) })
	if !ok {
		return t, false
	}
	t.Least, t.Off = least, (thick-thin)/2+least*densityOff
	t.Target = least * syrup.Grams(1+t.Headroom.Value/100)
	hot, _, _, ok := threeTimes(solids, func(p syrup.Brix) (syrup.Milliliters, error) { return syrup.HotVolume(t.Contents, p, at) })
	if !ok {
		return t, false
	}
	t.Hot, t.HotOff = hot, hot*densityOff
	off := syrup.Celsius(rules.Limits.Judged(LimitThermometer).Value)
	if cooler, err := syrup.HotVolume(t.Contents, solids.Percent, at-off); err == nil {
		t.HotOff += syrup.Milliliters(math.Abs(float64(hot - cooler)))
	}
	if short, err := R87Tolerance(float64(t.Contents)); err == nil {
		weight := least * syrup.Grams(short/float64(t.Contents))
		t.Tolerance = &weight
	}
	return t, true
}

// threeTimes works something out at the solids, and at the thin and the thick end of their uncertainty.
func threeTimes[T any](s *syrup.Solids, of func(syrup.Brix) (T, error)) (middle, thin, thick T, ok bool) {
	var errs [3]error
	middle, errs[0] = of(s.Percent)
	thin, errs[1] = of(s.Percent - s.Uncertainty)
	thick, errs[2] = of(min(s.Percent+s.Uncertainty, syrup.Brix(85)))
	return middle, thin, thick, errs[0] == nil && errs[1] == nil && errs[2] == nil
}
