package syrup

import "strings"

// The accepted units, canonical one marked by its factor 1. Exact by definition: the gallon of 231 cubic inches, the
// pound, the foot of 1959, the short ton of 2000 lb. Pressure factors: NIST SP 811 appendix B (inch of mercury,
// conventional, and psi), from memory.
var (
	volumeUnits = []unit{
		{"gal", litersPerUSGallon}, {"qt", litersPerUSGallon / 4}, {"pt", litersPerUSGallon / 8},
		{"floz", litersPerUSGallon / fluidOuncesPerGal}, {"L", 1}, {"mL", 0.001},
	}
	massUnits = []unit{
		{"lb", kilogramsPerPound}, {"oz", kilogramsPerPound / 16}, {"kg", 1}, {"g", 0.001},
		{"ton", kilogramsPerPound * 2000},
	}
	pressureUnits = []unit{{"kPa", 1}, {"hPa", 0.1}, {"inHg", kilopascalsPerInHg}, {"psi", 6.894757}}
	lengthUnits   = []unit{{"ft", metersPerFoot}, {"m", 1}, {"in", metersPerFoot / 12}, {"cm", 0.01}, {"mm", 0.001}}
)

// The units a form may offer, in that order. Read only.
var (
	TemperatureUnits = []string{"F", "C"}
	VolumeUnits      = namesOf(volumeUnits)
	MassUnits        = namesOf(massUnits)
	PressureUnits    = namesOf(pressureUnits)
	LengthUnits      = namesOf(lengthUnits)
)

// absoluteZero bounds a temperature from below.
const absoluteZero Celsius = -273.15

// hottest bounds a typed temperature from above: more is a slip, not a kettle.
const hottest Celsius = 2000

// widest bounds a typed difference of temperatures, in its own unit.
const widest = 1000.0

// DifferenceFrom makes a difference of temperatures, never negative, of a number and "F" or "C": 23 F apart is 12.8 C apart.
func DifferenceFrom(number float64, unit string) (CelsiusDelta, error) {
	plain := plainUnit(unit)
	switch {
	case plain == "":
		return 0, InputError{Problem: InputNoUnit, Text: unit, Units: TemperatureUnits}
	case strings.EqualFold(plain, "F"):
		return FahrenheitDelta(number).Celsius(), inRange(WhatDifference, number, 0, widest, plain)
	case strings.EqualFold(plain, "C"):
		return CelsiusDelta(number), inRange(WhatDifference, number, 0, widest, plain)
	}
	return 0, InputError{Problem: InputUnknownUnit, Text: unit, Units: TemperatureUnits}
}

// TemperatureFrom makes a temperature of a number and "F" or "C".
func TemperatureFrom(number float64, unit string) (Celsius, error) {
	var t Celsius
	var low, high float64
	switch plain := plainUnit(unit); {
	case plain == "":
		return 0, InputError{Problem: InputNoUnit, Text: unit, Units: TemperatureUnits}
	case strings.EqualFold(plain, "F"):
		t, low, high = Fahrenheit(number).Celsius(), float64(absoluteZero.Fahrenheit()), float64(hottest.Fahrenheit())
	case strings.EqualFold(plain, "C"):
		t, low, high = Celsius(number), float64(absoluteZero), float64(hottest)
	default:
		return 0, InputError{Problem: InputUnknownUnit, Text: unit, Units: TemperatureUnits}
	}
	return t, inRange(WhatTemperature, number, low, high, plainUnit(unit))
}

// VolumeFrom makes a volume of a number and one of VolumeUnits; negative volumes are refused.
func VolumeFrom(number float64, unit string) (Liters, error) {
	v, err := scaled(WhatVolume, number, unit, volumeUnits, 0)
	return Liters(v), err
}

// MassFrom makes a mass of a number and one of MassUnits ("ton" is the short ton); negative masses are refused.
func MassFrom(number float64, unit string) (Kilograms, error) {
	m, err := scaled(WhatMass, number, unit, massUnits, 0)
	return Kilograms(m), err
}

// PressureFrom makes an absolute pressure of a number and one of PressureUnits; negative ones are refused.
func PressureFrom(number float64, unit string) (Kilopascals, error) {
	p, err := scaled(WhatPressure, number, unit, pressureUnits, 0)
	return Kilopascals(p), err
}

// LengthFrom makes a length, or a height above the sea, of a number and one of LengthUnits. It may be negative:
// some farms lie below the sea.
func LengthFrom(number float64, unit string) (Meters, error) {
	l, err := scaled(WhatLength, number, unit, lengthUnits, -largestQuantity)
	return Meters(l), err
}

// ParseTemperature reads "220F", "104.4C" or "220 °F".
func ParseTemperature(text string) (Celsius, error) {
	return parseQuantity(text, TemperatureUnits, TemperatureFrom)
}

// ParseDifference reads a difference of temperatures, "23F" or "12.8C".
func ParseDifference(text string) (CelsiusDelta, error) {
	return parseQuantity(text, TemperatureUnits, DifferenceFrom)
}

// ParseVolume reads "80gal", "16 fl oz", "1qt", "355mL" or "2L".
func ParseVolume(text string) (Liters, error) {
	return parseQuantity(text, VolumeUnits, VolumeFrom)
}

// ParseMass reads "12lb", "6oz", "5kg", "350g" or "1.5ton" (short tons).
func ParseMass(text string) (Kilograms, error) {
	return parseQuantity(text, MassUnits, MassFrom)
}

// ParsePressure reads "101.3kPa", "1013hPa", "29.92inHg" or "14.7psi".
func ParsePressure(text string) (Kilopascals, error) {
	return parseQuantity(text, PressureUnits, PressureFrom)
}

// ParseLength reads "1000ft", "300m", "6in", "7.6cm" or "76mm".
func ParseLength(text string) (Meters, error) {
	return parseQuantity(text, LengthUnits, LengthFrom)
}
