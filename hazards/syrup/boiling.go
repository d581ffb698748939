package syrup

import "math"

// The station pressures the boiling model is held to (physics.md 12), about -500 to 3600 m.
const (
	MinPressure Kilopascals = 65
	MaxPressure Kilopascals = 108
)

// Saturation pressure of water: Wagner & Pruss 2002 (IAPWS).
const (
	criticalKelvin      = 647.096
	criticalKilopascals = 22064.0
)

var saturationTerms = [6]struct{ factor, power float64 }{
	{-7.85951783, 1}, {1.84408259, 1.5}, {-11.7866497, 3}, {22.6807411, 3.5}, {-15.9618719, 4}, {1.80122502, 7.5},
}

const kelvinAtZeroCelsius = 273.15

// Boiling is a syrup's boiling point beside that of water at the same pressure.
type Boiling struct {
	Water       Celsius
	Syrup       Celsius
	Rise        CelsiusDelta
	Uncertainty CelsiusDelta // of Syrup and Rise
}

// boilingUncertainty is 1.5 F (physics.md 12): invert and ash shift the point by more than the model errs.
var boilingUncertainty = FahrenheitDelta(1.5).Celsius()

// WaterBoiling is the boiling point of water at a station pressure (not corrected to sea level), 65 to 108 kPa,
// to 0.05 C. Source: Wagner & Pruss.
func WaterBoiling(p Kilopascals) (Celsius, error) {
	if err := pressureRange(p); err != nil {
		return 0, err
	}
	return waterBoiling(p), nil
}

// SyrupBoiling is the boiling point of a syrup at a station pressure: solve aw(T) p(T) = pressure. Solids 0 to 85 %,
// 65 to 108 kPa, uncertainty 1.5 F. Sources: Starzak & Peacock for the activity, Wagner & Pruss for the pressure;
// 66 % pure sucrose meets the published 7.1 F rise within 0.2 F.
func SyrupBoiling(c Composition, p Kilopascals) (Boiling, error) {
	if err := c.Validate(); err != nil {
		return Boiling{}, err
	}
	if err := pressureRange(p); err != nil {
		return Boiling{}, err
	}
	moles := c.moles()
	wanted := math.Log(float64(p))
	excess := func(t float64) float64 {
		kelvin := t + kelvinAtZeroCelsius
		return moles.logActivity(kelvin) + math.Log(saturationPressure(kelvin)) - wanted
	}
	water := waterBoiling(p)
	syrup := Celsius(bisect(excess, float64(water), float64(water)+60))
	return Boiling{Water: water, Syrup: syrup, Rise: syrup.Sub(water), Uncertainty: boilingUncertainty}, nil
}

// SaturationPressure is the vapour pressure of water, 0 to 200 C. Source: Wagner & Pruss.
func SaturationPressure(t Celsius) (Kilopascals, error) {
	if err := inRange(WhatTemperature, float64(t), 0, 200, "C"); err != nil {
		return 0, err
	}
	return Kilopascals(saturationPressure(float64(t) + kelvinAtZeroCelsius)), nil
}

// logPressureRatio is ln(p/p_sat): the log activity at which a liquid boils at this temperature and pressure.
func logPressureRatio(p Kilopascals, kelvin float64) float64 {
	return math.Log(float64(p)) - math.Log(saturationPressure(kelvin))
}

func pressureRange(p Kilopascals) error {
	return inRange(WhatPressure, float64(p), float64(MinPressure), float64(MaxPressure), "kPa")
}

func waterBoiling(p Kilopascals) Celsius {
	excess := func(t float64) float64 { return saturationPressure(t+kelvinAtZeroCelsius) - float64(p) }
	return Celsius(bisect(excess, 0, 200))
}

// saturationPressure is in kPa, from kelvin.
func saturationPressure(kelvin float64) float64 {
	v := 1 - kelvin/criticalKelvin
	sum := 0.0
	for _, term := range saturationTerms {
		sum += term.factor * math.Pow(v, term.power)
	}
	return criticalKilopascals * math.Exp(criticalKelvin/kelvin*sum)
}
