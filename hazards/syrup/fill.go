package syrup

// The range of filling temperatures the model is held to (physics.md 12): 60 to 212 F.
var (
	MinFillTemperature = Fahrenheit(60).Celsius()
	MaxFillTemperature = Fahrenheit(212).Celsius()
)

// FillRatio is the volume at 20 C of a syrup filled at t, divided by its volume at t: always at most 1 above 20 C.
// Solids 0 to 85 %, t 60 to 212 F; uncertainty 0.1 %. The glass itself gives back about 0.15 %, which is left out.
func FillRatio(solids Brix, t Celsius) (Fraction, error) {
	err := inRange(WhatTemperature, float64(t), float64(MinFillTemperature), float64(MaxFillTemperature), "C")
	if err != nil {
		return 0, err
	}
	hot, err := Density(solids, t)
	if err != nil {
		return 0, err
	}
	cold, err := Density(solids, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	return Fraction(hot / cold), nil
}

// HotVolume is the volume to fill at t so that the declared volume is there at 20 C. Ranges as FillRatio.
func HotVolume(declared Milliliters, solids Brix, t Celsius) (Milliliters, error) {
	if err := positive(WhatVolume, float64(declared), "mL"); err != nil {
		return 0, err
	}
	ratio, err := FillRatio(solids, t)
	if err != nil {
		return 0, err
	}
	return declared / Milliliters(ratio), nil
}

// NetMass is the mass of a declared volume at 20 C; 0 to 85 %, uncertainty 0.1 %.
func NetMass(declared Milliliters, solids Brix) (Grams, error) {
	if err := positive(WhatVolume, float64(declared), "mL"); err != nil {
		return 0, err
	}
	rho, err := Density(solids, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	return Grams(float64(declared) * float64(rho) / 1000), nil
}

// NetWeight is what a scale shows in air for a declared volume at 20 C: about 0.1 % less than NetMass.
func NetWeight(declared Milliliters, solids Brix) (Grams, error) {
	mass, err := NetMass(declared, solids)
	if err != nil {
		return 0, err
	}
	rho, err := Density(solids, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	return inAir(mass.Kilograms(), rho).Grams(), nil
}
