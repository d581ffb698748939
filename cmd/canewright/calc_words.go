package main

import (
	"math"
	"strconv"

	"canewright/hazards/syrup"
)

// The solids at which the product's name changes: 21 CFR 168.130 (cane sirup, 74 %) and 168.180 (table sirup, 65 %).
// Only used to print a second decimal near them, so that 73.96 is not shown as 74.0.
const (
	caneSyrupSolids  syrup.Brix = 74
	tableSyrupSolids syrup.Brix = 65
)

// decimals writes a number with a fixed count of decimals.
func decimals[T ~float64](x T, places int) string {
	return strconv.FormatFloat(float64(x), 'f', places, 64)
}

// solidsText writes solids to one decimal, two within 0.1 of a limit.
func solidsText(w syrup.Brix) string {
	for _, limit := range []syrup.Brix{caneSyrupSolids, tableSyrupSolids} {
		if off := math.Abs(float64(w - limit)); off < 0.1 && off > 1e-9 {
			return decimals(w, 2)
		}
	}
	return decimals(w, 1)
}

// temperatureText writes both scales: 220.0 °F (104.4 °C).
func temperatureText(t syrup.Celsius) string {
	return decimals(t.Fahrenheit(), 1) + " " + say("unit.fahrenheit") + " (" + decimals(t, 1) + " " + say("unit.celsius") + ")"
}
