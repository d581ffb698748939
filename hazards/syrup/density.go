package syrup

import "math"

// The range the density model is held to (physics.md 12): solids 0 to 85 %, 0 to 110 C.
const (
	MinSolids Brix = 0
	MaxSolids Brix = 85

	MinDensityTemperature Celsius = 0
	MaxDensityTemperature Celsius = 110
)

// ReferenceTemperature is the temperature that declared volumes, yields and tables are meant at: 20 C = 68 F.
const ReferenceTemperature Celsius = 20

// highestMassFraction bounds the search for solids. It lies past MaxSolids because a spindle in cold syrup of 85 %
// floats higher than its own 85 mark.
const highestMassFraction = 0.90

// sucroseDensity[j][i] multiplies th^j w^(i+1), th = (t - 20)/100, w the mass fraction of sucrose.
// ICUMSA SPS-4 / PTB form, Bubnik, Kadlec, Urban & Bruhns 1995, Sugar Technologists Manual, p. 164, as quoted in
// public source files; the same set in Llano 2005. Row 0, w^4 is -3.9643 in Llano and -3.9646 in Bubnik: below
// 0.001 kg/m3 in effect.
var sucroseDensity = [5][6]float64{
	{385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890},
	{-46.2720, -7.1720, 1.1597, 5.1126, 17.5254},
	{59.7712, 7.2491, 12.3630, -35.4791},
	{-47.2207, -21.6977, 27.6301},
	{18.3184, 12.3081},
}

// Kell's water density, numerator in powers of t from 0, and the one term of its denominator (Bubnik, Llano).
var kellNumerator = [6]float64{999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12}

const kellDenominator = 16.887236e-3

// WaterDensity is the density of water at atmospheric pressure, 0 to 110 C. Within 0.05 kg/m3 of the CRC table
// up to 100 C, and within 0.03 kg/m3 of IAPWS-IF97 over the whole range.
func WaterDensity(t Celsius) (KilogramsPerCubicMeter, error) {
	if err := densityTemperature(t); err != nil {
		return 0, err
	}
	return KilogramsPerCubicMeter(waterDensity(float64(t))), nil
}

// Density is the density of a sucrose solution, w 0 to 85 % and t 0 to 110 C. At 20 C within 0.3 kg/m3 of the CRC
// table up to 70 % and 0.55 up to 80 % (0.1 Brix); hot about 0.3 Brix. Source: see sucroseDensity.
func Density(w Brix, t Celsius) (KilogramsPerCubicMeter, error) {
	if err := solidsRange(WhatSolids, w); err != nil {
		return 0, err
	}
	if err := densityTemperature(t); err != nil {
		return 0, err
	}
	return KilogramsPerCubicMeter(densityAt(float64(t)).of(float64(w) / 100)), nil
}

// SolidsFromDensity is the inverse of Density: the sucrose solution that has this density at t. Densities outside
// 0 to 85 % at that temperature are refused, with the range in kg/m3.
func SolidsFromDensity(rho KilogramsPerCubicMeter, t Celsius) (Brix, error) {
	if err := densityTemperature(t); err != nil {
		return 0, err
	}
	curve := densityAt(float64(t))
	lowest, highest := curve.of(0), curve.of(float64(MaxSolids)/100)
	if err := inRange(WhatDensity, float64(rho), lowest, highest, "kg/m3"); err != nil {
		return 0, err
	}
	w, _ := curve.massFraction(float64(rho))
	return Brix(math.Min(w*100, float64(MaxSolids))), nil
}

func solidsRange(what string, w Brix) error {
	return inRange(what, float64(w), float64(MinSolids), float64(MaxSolids), "%")
}

func densityTemperature(t Celsius) error {
	return inRange(WhatTemperature, float64(t), float64(MinDensityTemperature), float64(MaxDensityTemperature), "C")
}

func waterDensity(t float64) float64 {
	sum := 0.0
	for i := len(kellNumerator) - 1; i >= 0; i-- {
		sum = sum*t + kellNumerator[i]
	}
	return sum / (1 + kellDenominator*t)
}

// densityCurve is the density at one temperature as a polynomial in the mass fraction, coefficient 0 being water.
type densityCurve [7]float64

// densityAt collapses the model at one temperature, so that a search over solids costs only the polynomial.
func densityAt(t float64) densityCurve {
	curve := densityCurve{waterDensity(t)}
	th := (t - 20) / 100
	for i := range 6 {
		sum := 0.0
		for j := len(sucroseDensity) - 1; j >= 0; j-- {
			sum = sum*th + sucroseDensity[j][i]
		}
		curve[i+1] = sum
	}
	return curve
}

func (c densityCurve) of(w float64) float64 {
	rho, _ := c.ofWithSlope(w)
	return rho
}

// ofWithSlope is the density and its derivative by the mass fraction (Horner's scheme for both).
func (c densityCurve) ofWithSlope(w float64) (rho, slope float64) {
	for i := len(c) - 1; i >= 0; i-- {
		slope = slope*w + rho
		rho = rho*w + c[i]
	}
	return rho, slope
}

// densityRounding lets a reading made from water itself come back as water, not as a hair less (kg/m3).
const densityRounding = 1e-9

// massFraction finds w in [0, 0.90] with the density rho; false when rho is outside that. Density rises with w, so
// Newton's step is taken while it stays inside the bracket and the bracket is halved when it does not.
func (c densityCurve) massFraction(rho float64) (float64, bool) {
	low, high := 0.0, highestMassFraction
	atLow, atHigh := c.of(low), c.of(high)
	if !(rho >= atLow-densityRounding && rho <= atHigh+densityRounding) {
		return 0, false
	}
	rho = min(max(rho, atLow), atHigh)
	w := high * (rho - atLow) / (atHigh - atLow)
	for range 60 {
		got, slope := c.ofWithSlope(w)
		if got > rho {
			high = w
		} else {
			low = w
		}
		next := w + (rho-got)/slope
		if next < low || next > high {
			next = (low + high) / 2
		}
		if math.Abs(next-w) < 1e-13 {
			return next, true
		}
		w = next
	}
	return w, true
}
