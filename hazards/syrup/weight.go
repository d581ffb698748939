package syrup

// airDensity is the conventional density of air for weighing, 1.2 kg/m3, and weightDensity that of the brass
// weights the published tables were made with, 8400 kg/m3 (physics.md 9).
const (
	airDensity    = 1.2
	weightDensity = 8400.0
)

// WeightPerGallon is what one US gallon of syrup weighs on a scale, in air at 68 F; 0 to 85 %. Within 0.004 lb of
// the published values (NBS C440 up to 5 %; maple calculators at 66.5 and 66.9 %).
func WeightPerGallon(w Brix) (Pounds, error) {
	rho, err := Density(w, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	liter := Kilograms(float64(rho) / 1000)
	return inAir(liter*litersPerUSGallon, rho).Pounds(), nil
}

// inAir is what a scale shows for a mass of the given density: buoyancy of the load less that of the weights.
func inAir(m Kilograms, rho KilogramsPerCubicMeter) Kilograms {
	return m * Kilograms((1-airDensity/float64(rho))/(1-airDensity/weightDensity))
}
