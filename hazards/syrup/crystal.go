package syrup

import "math"

// The temperatures solubility and supersaturation are held to (physics.md 12).
const (
	MinCrystalTemperature Celsius = 0
	MaxCrystalTemperature Celsius = 60
)

// SupersaturationUncertainty is 0.08: the non-sucrose constants come from one set of cane data of the 1920s.
const SupersaturationUncertainty = 0.08

// solubilityTerms are percent of sucrose by powers of t in C: Bubnik & Kadlec 1995.
var solubilityTerms = [5]float64{64.447, 0.08222, 0.0016169, -1.558e-6, -4.63e-8}

// Rozsa's constants for cane, after Thieme (International Sugar Journal, 2000), as quoted in an instrument manual.
const (
	caneSlope   = -0.06265
	caneBase    = 0.982
	caneFalloff = -2.1
)

// Solubility is the percent of sucrose in a saturated solution in water, 0 to 60 C. Bubnik & Kadlec's fit; within 0.12 of
// the modern table; Herzfeld's values of 1892 lie up to 0.42 higher.
func Solubility(t Celsius) (Brix, error) {
	if err := crystalTemperature(t); err != nil {
		return 0, err
	}
	return Brix(solubility(float64(t))), nil
}

func crystalTemperature(t Celsius) error {
	return inRange(WhatTemperature, float64(t), float64(MinCrystalTemperature), float64(MaxCrystalTemperature), "C")
}

func solubility(t float64) float64 {
	sum := 0.0
	for i := len(solubilityTerms) - 1; i >= 0; i-- {
		sum = sum*t + solubilityTerms[i]
	}
	return sum
}

// CrystalMix says what the solids of a syrup are when crystals are asked about. Every share is in percent of the whole
// syrup's mass, not of its sugars; at 74 Brix with 2 % other solids, x % of the sugars is 0.72 x % of the syrup.
type CrystalMix struct {
	Solids Brix
	Invert Brix // glucose and fructose
	Other  Brix // ash, acids and other non-sugars
}

// Validate checks solids 0 to 85 %, and that invert and other together are not more than the solids.
func (c CrystalMix) Validate() error {
	if err := solidsRange(WhatSolids, c.Solids); err != nil {
		return err
	}
	if err := inRange(WhatInvertOfSyrup, float64(c.Invert), 0, float64(c.Solids), "%"); err != nil {
		return err
	}
	return inRange(WhatOtherSolids, float64(c.Other), 0, float64(c.Solids-c.Invert), "%")
}

// Supersaturation is the sucrose per water in a syrup over what its water can hold at t beside the non-sucrose: 1 is
// saturated. 0 to 60 C, uncertainty 0.08. Sources: Bubnik & Kadlec; Rozsa for cane. The strength of non-sucrose the
// constants were made for is not known. Dextrose crystals of heavily inverted syrup are not modelled.
func Supersaturation(c CrystalMix, t Celsius) (float64, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	if err := crystalTemperature(t); err != nil {
		return 0, err
	}
	water := 100 - float64(c.Solids)
	sucrose := max(0, float64(c.Solids-c.Invert-c.Other))
	q := float64(c.Invert+c.Other) / water
	pure := solubility(float64(t))
	return sucrose / water / (caneCoefficient(q) * pure / (100 - pure)), nil
}

// caneCoefficient is how much of the pure solubility is left with q parts of non-sucrose per water.
func caneCoefficient(q float64) float64 {
	return caneSlope*q + caneBase + (1-caneBase)*math.Exp(caneFalloff*q)
}

// CrystalRisk is a supersaturation in a word.
type CrystalRisk string

// The words, by supersaturation: up to 1.00, up to 1.10, up to 1.25, above (physics.md 7; the metastable zone that ends
// near 1.2 to 1.25 is from memory).
const (
	CrystalNone   CrystalRisk = "none"
	CrystalLow    CrystalRisk = "low"
	CrystalMedium CrystalRisk = "medium"
	CrystalHigh   CrystalRisk = "high"
)

// RiskOfCrystals is the word of a supersaturation.
func RiskOfCrystals(supersaturation float64) CrystalRisk {
	switch {
	case supersaturation <= 1.00:
		return CrystalNone
	case supersaturation <= 1.10:
		return CrystalLow
	case supersaturation <= 1.25:
		return CrystalMedium
	default:
		return CrystalHigh
	}
}
