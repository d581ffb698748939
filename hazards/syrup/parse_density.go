package syrup

// densityUnits are the units a density may have. Exact by definition.
var densityUnits = []unit{{"g/mL", 1000}, {"kg/L", 1000}, {"kg/m3", 1}, {"lb/gal", kilogramsPerPound / litersPerUSGallon * 1000}}

// DensityUnits are the units a form may offer for a density. Read only.
var DensityUnits = namesOf(densityUnits)

// The densities juice, syrup and water may have; outside them is a slip.
const (
	ThinnestDensity KilogramsPerCubicMeter = 900
	ThickestDensity KilogramsPerCubicMeter = 1600
)

// DensityFrom makes a density of a number and one of DensityUnits, 900 to 1600 kg/m3.
func DensityFrom(number float64, unit string) (KilogramsPerCubicMeter, error) {
	factor, err := factorOf(unit, densityUnits)
	if err != nil {
		return 0, err
	}
	density := KilogramsPerCubicMeter(number * factor)
	return density, inRange(WhatDensity, number, float64(ThinnestDensity)/factor, float64(ThickestDensity)/factor, unit)
}
