package syrup

import "math"

// glassShrinks is the cubic expansion of bottle glass per C, from memory.
const glassShrinks = 27e-6

// Headspace is the empty part of a closed bottle, as a share of its volume to the brim.
type Headspace struct {
	Hot  Fraction // when filled
	Cold Fraction // at 20 C
}

// HeadspaceOf is the headspace of a bottle that holds brim to the very top and is filled at t so that the declared
// volume is there at 20 C. Ranges as FillRatio; uncertainty 0.1 % of the volume. The glass's own shrinking is left out.
// A bottle that cannot hold the hot volume is refused, with the least that would do.
func HeadspaceOf(brim, declared Milliliters, solids Brix, t Celsius) (Headspace, error) {
	hot, err := HotVolume(declared, solids, t)
	if err != nil {
		return Headspace{}, err
	}
	least := max(hot, declared)
	if !(brim >= least && brim <= most) {
		return Headspace{}, RangeError{What: WhatBrim, Got: float64(brim), Min: float64(least), Max: math.Inf(1), Unit: "mL"}
	}
	if brim == 0 {
		return Headspace{}, nil
	}
	return Headspace{Hot: Fraction(1 - hot/brim), Cold: Fraction(1 - declared/brim)}, nil
}

// VacuumBound is the most vacuum a jar of glass can show at 20 C when it was closed at t with this share of headspace
// (0.001 to 0.5): the air in it is taken as hot as the syrup and full of its vapour, so real jars are lower. t 60 to
// 212 F. Information only: record whether the lid is concave.
func VacuumBound(c Composition, headspace Fraction, t Celsius) (Kilopascals, error) {
	if err := inRange(WhatHeadspace, float64(headspace)*100, 0.1, 50, "%"); err != nil {
		return 0, err
	}
	ratio, err := FillRatio(c.Solids, t)
	if err != nil {
		return 0, err
	}
	hotVapour, err := vapourOver(c, t)
	if err != nil {
		return 0, err
	}
	coldVapour, err := vapourOver(c, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	gap := float64(headspace)
	glass := glassShrinks * float64(t-ReferenceTemperature)
	grown := gap + (1-gap)*(1-float64(ratio)) - glass
	kelvins := (float64(ReferenceTemperature) + kelvinAtZeroCelsius) / (float64(t) + kelvinAtZeroCelsius)
	air := (StandardPressure - hotVapour) * Kilopascals(gap/grown*kelvins)
	return max(0, StandardPressure-air-coldVapour), nil
}

// vapourOver is the water vapour over a syrup.
func vapourOver(c Composition, t Celsius) (Kilopascals, error) {
	aw, err := ActivityOf(c, t)
	if err != nil {
		return 0, err
	}
	p, err := SaturationPressure(t)
	return p * Kilopascals(aw), err
}

// InchesOfMercury converts a pressure to conventional inches of mercury.
func (p Kilopascals) InchesOfMercury() float64 { return float64(p) / kilopascalsPerInHg }
