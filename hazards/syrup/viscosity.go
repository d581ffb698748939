package syrup

import "math"

// MillipascalSeconds is a viscosity (1 mPa s = 1 centipoise).
type MillipascalSeconds float64

// The range of the viscosity model. It is checked up to 74 % at 20 C and at 60 % from 0 to 100 C; from 74 to 80 %
// nothing published stands beside it.
const (
	MaxViscositySolids      Brix    = 80
	MinViscosityTemperature Celsius = 0
	MaxViscosityTemperature Celsius = 100
)

// Viscosity is how thick a syrup is, 0 to 80 % and 0 to 100 C; purity is the sucrose share of the solids, 0 to 1.
// Genotelle's form (Mathlouthi & Reiser 1995), the impure terms of Llano 2005. The uncertainty comes with it, for
// pure sucrose: 14 % up to 15 C, 9 % in solutions below 60 %, else 6 %; what invert and gums of real cane syrup do is
// not known.
func Viscosity(w Brix, t Celsius, purity Fraction) (v, uncertainty MillipascalSeconds, err error) {
	if err := inRange(WhatSolids, float64(w), 0, float64(MaxViscositySolids), "%"); err != nil {
		return 0, 0, err
	}
	err = inRange(WhatTemperature, float64(t), float64(MinViscosityTemperature), float64(MaxViscosityTemperature), "C")
	if err != nil {
		return 0, 0, err
	}
	if err := inRange(WhatPurity, float64(purity)*100, 0, 100, "%"); err != nil {
		return 0, 0, err
	}
	v = viscosity(float64(w), float64(t), float64(purity))
	switch {
	case t <= 15:
		return v, v * 0.14, nil
	case w < 60:
		return v, v * 0.09, nil
	}
	return v, v * 0.06, nil
}

// viscosity takes percent, as the formula was made; one public program feeds it kg/kg by mistake.
func viscosity(percent, t, purity float64) MillipascalSeconds {
	b := percent * (0.962 + 0.038*purity)
	x := b / (1900 - 18*b)
	y := (30 - t) / (91 + t)
	slope := 43.1 * (0.85 + 0.15*purity)
	return MillipascalSeconds(math.Pow(10, 22.46*x-0.114+y*(1.1+slope*math.Pow(x, 1.25))))
}
