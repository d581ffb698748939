package app

import (
	"maps"
	"math"
	"slices"

	"canewright/hazards/syrup"
)

// boundUnits are the units that the store names in a bound, with the texts that say them.
var boundUnits = map[string]string{"°C": "unit.celsius", "L": "unit.liter", "mL": "unit.milliliter", "kg": "unit.kilogram", "g": "unit.gram",
	"Be": "unit.baume", "Bx": "unit.brix"}

// asTyped says the bounds of a refusal in the unit that was typed beside the number, as the person reads the instrument.
func (f *form) asTyped(field *Field, args []any) []any {
	args = f.massesTyped(field, args)
	named := map[string]any{}
	for i := 0; i+1 < len(args); i += 2 {
		if name, ok := args[i].(string); ok {
			named[name] = args[i+1]
		}
	}
	unit, _ := named["Unit"].(string)
	key, ok := boundUnits[unit]
	if !ok {
		return args
	}
	said := maps.Clone(named)
	said["Unit"] = f.words.say(key)
	typed := f.raw.Get(field.Name + "_unit")
	for _, end := range []string{"Min", "Max"} {
		low, isNumber := named[end].(float64)
		if !isNumber {
			continue
		}
		if bound, ok := inUnit(low, unit, typed); ok {
			said[end], said["Unit"] = plainNumber(math.Round(bound*10)/10), f.words.say(unitKeys[typed])
		}
	}
	var out []any
	for name, value := range said {
		out = append(out, name, value)
	}
	return out
}

// massesTyped says small masses of a refusal in the unit that was typed: a person compares them with the same scale.
func (f *form) massesTyped(field *Field, args []any) []any {
	typed := f.raw.Get(field.Name + "_unit")
	said := slices.Clone(args)
	for i, arg := range args {
		if g, ok := arg.(syrup.Grams); ok {
			if mass, ok := inUnit(float64(g), "g", typed); ok {
				said[i] = decimal(mass) + noBreak + f.words.say(unitKeys[typed])
			}
		}
	}
	return said
}

// inUnit brings a bound from the store's unit to another one; false where the two do not measure the same.
func inUnit(bound float64, unit, typed string) (float64, bool) {
	switch unit {
	case "°C":
		if typed == "F" {
			return float64(syrup.Celsius(bound).Fahrenheit()), true
		}
	case "L", "mL":
		if one, err := syrup.VolumeFrom(1, typed); err == nil {
			if unit == "mL" {
				return bound / float64(one.Milliliters()), true
			}
			return bound / float64(one), true
		}
	case "kg", "g":
		if one, err := syrup.MassFrom(1, typed); err == nil {
			if unit == "g" {
				return bound / float64(one.Grams()), true
			}
			return bound / float64(one), true
		}
	}
	return 0, false
}
