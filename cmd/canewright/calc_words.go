package main

import (
	"strconv"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// caneSyrupSolids is where the cane names begin: 21 CFR 168.130.
const caneSyrupSolids syrup.Brix = 74

// decimals writes a number with a fixed count of decimals.
func decimals[T ~float64](x T, places int) string {
	return strconv.FormatFloat(float64(x), 'f', places, 64)
}

// solidsText writes solids to one decimal, two within 0.1 of a limit.
func solidsText(w syrup.Brix) string { return hazards.SolidsText(w) }

// temperatureText writes both scales: 220.0 °F (104.4 °C).
func temperatureText(t syrup.Celsius) string {
	return decimals(t.Fahrenheit(), 1) + " " + say("unit.fahrenheit") + " (" + decimals(t, 1) + " " + say("unit.celsius") + ")"
}
