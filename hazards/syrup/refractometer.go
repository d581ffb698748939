package syrup

import "math"

// RefractiveIndex is nD, the refractive index in yellow sodium light.
type RefractiveIndex float64

// The indices the polynomial is held to: water to about 85 %.
const (
	MinIndex RefractiveIndex = 1.3330
	MaxIndex RefractiveIndex = 1.5040
)

// The range of the temperature correction: fitted to 60 to 75 Brix, 10 to 17 C; up to 30 C it follows the same line
// (the older international table, from memory, has 0.40 at 25 C and 0.81 at 30 C for 70 %; the line has 0.38 and 0.78).
const (
	MinCorrectedBrix Brix = 60
	MaxCorrectedBrix Brix = 75

	MinRefractometerTemperature Celsius = 10
	MaxRefractometerTemperature Celsius = 30
)

// indexTerms are the coefficients of Brix by nD at 20 C, highest power first: fit to the ICUMSA table, quoted in
// encyclopaedia articles on Brix.
var indexTerms = [6]float64{11758.74, -88885.21, 270177.93, -413145.80, 318417.95, -99127.4536}

// SolidsFromIndex is the Brix of a refractive index read at 20 C, nD 1.3330 to 1.5040 (0 to 85 %). Within 0.07 of the CRC
// table up to 80 %, 0.14 at 84 %; the index must be good to 0.0001. The liquid is taken as sucrose in water.
func SolidsFromIndex(n RefractiveIndex) (Brix, error) {
	if err := inRange(WhatIndex, float64(n), float64(MinIndex), float64(MaxIndex), ""); err != nil {
		return 0, err
	}
	return Brix(math.Max(0, solidsOfIndex(float64(n)))), nil
}

// IndexFromSolids is the inverse of SolidsFromIndex, 0 to 84.9 %.
func IndexFromSolids(w Brix) (RefractiveIndex, error) {
	highest := solidsOfIndex(float64(MaxIndex))
	if err := inRange(WhatSolids, float64(w), float64(MinSolids), highest, "%"); err != nil {
		return 0, err
	}
	excess := func(n float64) float64 { return solidsOfIndex(n) - float64(w) }
	return RefractiveIndex(bisect(excess, float64(MinIndex), float64(MaxIndex))), nil
}

func solidsOfIndex(n float64) float64 {
	sum := 0.0
	for _, term := range indexTerms {
		sum = sum*n + term
	}
	return sum
}

// RefractometerAt20 is the Brix at 20 C of a reading taken at t on an instrument without automatic temperature
// compensation; one that compensates must not be corrected again. Readings 60 to 75 Brix, t 10 to 30 C; at 20 C nothing
// is corrected and any reading up to 85 is taken. Source: OIV, Table I, met within 0.01 from 10 to 17 C; above 20 C
// the fit is an extrapolation (uncertainty 0.1).
func RefractometerAt20(read Brix, t Celsius) (Brix, error) {
	if t == ReferenceTemperature {
		return read, inRange(WhatReading, float64(read), float64(MinSolids), float64(MaxSolids), string(ScaleBrix))
	}
	err := inRange(WhatTemperature, float64(t), float64(MinRefractometerTemperature), float64(MaxRefractometerTemperature), "C")
	if err != nil {
		return 0, err
	}
	err = inRange(WhatReading, float64(read), float64(MinCorrectedBrix), float64(MaxCorrectedBrix), string(ScaleBrix))
	if err != nil {
		return 0, err
	}
	return read + refractometerCorrection(t), nil
}

// refractometerCorrection is what is added to a reading of 60 to 75 Brix taken at t.
func refractometerCorrection(t Celsius) Brix {
	off := float64(t - ReferenceTemperature)
	return Brix(0.0763*off + 0.00012*off*off)
}

// invertReadsLow is how much lower a refractometer reads for each percent of invert in the syrup, at syrup strength:
// from memory (de Whalley, AOAC); the CRC indices of glucose and fructose give 0.013 at 20 % rising to 0.019 at 48 %.
const invertReadsLow = 0.022

// InvertReadsLow is how much lower a refractometer reads than the dissolved solids, for invert in percent of the
// syrup's mass, 0 to 85. It is information beside the reading: a reading is judged as read, since the note to AOAC
// 932.12 makes no such correction for US standards.
func InvertReadsLow(invertOfSyrup Brix) (Brix, error) {
	if err := inRange(WhatInvertOfSyrup, float64(invertOfSyrup), 0, float64(MaxSolids), "%"); err != nil {
		return 0, err
	}
	return invertReadsLow * invertOfSyrup, nil
}
