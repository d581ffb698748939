package syrup

// RiseUncertainty is what solids implied by a boiling rise may be off, in percent solids: composition shifts the point by
// as much as 1.5 % either way (physics.md 5), beside the thermometer's own error.
const RiseUncertainty Brix = 1.5

// SolidsFromRise is the strength at which a syrup boils this much above water at a station pressure, its sugars inverted
// and its ash as given (nothing else of the composition is read): the inverse of SyrupBoiling. A rise outside what 0 (or
// the ash alone) to 85 % gives is refused with that range. 65 to 108 kPa; uncertainty 1.5 %.
func SolidsFromRise(rise CelsiusDelta, inverted, ash Fraction, p Kilopascals) (Solids, error) {
	mix := Composition{Solids: MaxSolids, Inverted: inverted, Ash: ash}
	if err := mix.Validate(); err != nil {
		return Solids{}, err
	}
	if err := pressureRange(p); err != nil {
		return Solids{}, err
	}
	water := waterBoiling(p)
	boils := water + Celsius(rise)
	least := Composition{Solids: Brix(ash * 100), Inverted: inverted, Ash: ash}
	lowest, err := SyrupBoiling(least, p)
	if err != nil {
		return Solids{}, err
	}
	highest, err := SyrupBoiling(mix, p)
	if err != nil {
		return Solids{}, err
	}
	if err := inRange(WhatRise, float64(rise), float64(lowest.Rise), float64(highest.Rise), "C"); err != nil {
		return Solids{}, err
	}
	kelvin := float64(boils) + kelvinAtZeroCelsius
	wanted := logPressureRatio(p, kelvin)
	excess := func(w float64) float64 {
		mix.Solids = Brix(w)
		return wanted - mix.moles().logActivity(kelvin)
	}
	w := bisect(excess, float64(least.Solids), float64(MaxSolids))
	return Solids{Percent: Brix(w), Uncertainty: RiseUncertainty}, nil
}
