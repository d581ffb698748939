package season

import (
	"math"
	"strconv"

	"canewright/hazards/syrup"
)

// round rounds to a whole number of steps, as somebody reads a scale.
func round(x, step float64) float64 { return math.Round(x/step) * step }

// tenth rounds to one decimal as it would be typed.
func tenth(x float64) float64 { return math.Round(x*10) / 10 }

func number(x float64, decimals int) string { return strconv.FormatFloat(x, 'f', decimals, 64) }

// degrees is a temperature as typed, in whole degrees F, and its canonical value.
func degrees(f syrup.Fahrenheit) (*syrup.Celsius, string) {
	whole := math.Round(float64(f))
	return ptr(syrup.Fahrenheit(whole).Celsius()), number(whole, 0) + " F"
}

// fineDegrees is the same in tenths.
func fineDegrees(f syrup.Fahrenheit) (*syrup.Celsius, string) {
	return ptr(syrup.Fahrenheit(tenth(float64(f))).Celsius()), number(tenth(float64(f)), 1) + " F"
}

// weigh is the mass of a volume of syrup or juice.
func weigh(v syrup.Liters, solids syrup.Brix, t syrup.Celsius) (syrup.Kilograms, error) {
	rho, err := syrup.Density(solids, t)
	return syrup.Kilograms(float64(v) / 1000 * float64(rho)), err
}

// gallonsOf is the volume of a mass, in tenths of a gallon.
func gallonsOf(m syrup.Kilograms, solids syrup.Brix, t syrup.Celsius) (syrup.USGallons, error) {
	rho, err := syrup.Density(solids, t)
	if err != nil {
		return 0, err
	}
	return syrup.USGallons(tenth(float64(syrup.Liters(float64(m) / float64(rho) * 1000).USGallons()))), nil
}

// boilingAt is where a kettle of so many percent solids boils at the house.
func boilingAt(solids float64) (syrup.Fahrenheit, error) {
	pressure, err := syrup.PressureAtAltitude(altitude)
	if err != nil {
		return 0, err
	}
	boiling, err := syrup.SyrupBoiling(syrup.Composition{Solids: syrup.Brix(solids), Inverted: 0.15, Ash: 0.012}, pressure)
	return boiling.Syrup.Fahrenheit(), err
}

// spindleShows is what a 60 F Baume stem shows in syrup of the given solids, read by eye to a tenth, and what that means.
func spindleShows(solids float64, t syrup.Celsius) (float64, syrup.Solids, error) {
	stem := syrup.Hydrometer{Stem: syrup.Stem60F}
	shows, err := stem.Reading(syrup.ScaleBaume, syrup.Brix(solids), t)
	if err != nil {
		return 0, syrup.Solids{}, err
	}
	read := tenth(shows)
	means, err := stem.TrueSolids(syrup.ScaleBaume, read, t)
	return read, means, err
}
