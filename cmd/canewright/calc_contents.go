package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// contents is what a label declares: a volume in mL or a mass in g.
type contents struct {
	number float64
	unit   hazards.Unit
}

// labelContents reads "355mL", "12floz" or "340g": fluid measure or weight, more than nothing.
func labelContents(typed string) (contents, error) {
	v, err := syrup.ParseVolume(typed)
	c := contents{float64(v.Milliliters()), hazards.UnitMilliliters}
	var input syrup.InputError
	if errors.As(err, &input) && (input.Problem == syrup.InputUnknownUnit || input.Problem == syrup.InputNoUnit) {
		var m syrup.Kilograms
		m, err = syrup.ParseMass(typed)
		c = contents{float64(m.Grams()), hazards.UnitGrams}
		if errors.As(err, &input) && input.Units != nil {
			input.Units = append(slices.Clone(syrup.VolumeUnits), syrup.MassUnits...)
			return c, input
		}
	}
	if err == nil && c.number == 0 {
		err = errors.New(say("calc.above_zero", "Typed", typed))
	}
	return c, err
}

func (c contents) suffix() string {
	if c.unit == hazards.UnitGrams {
		return "g"
	}
	return "mL"
}

// grams reads a mass, which may be nothing.
func grams(typed string) (float64, error) {
	m, err := syrup.ParseMass(typed)
	return float64(m.Grams()), err
}

// densityUnits are the units a density may have, with their factor to g/mL. Exact by definition.
var densityUnits = []struct {
	name   string
	factor float64
}{{"g/mL", 1}, {"kg/L", 1}, {"kg/m3", 0.001}, {"lb/gal", 453.59237 / 3785.411784}}

// The densities a syrup, a juice or water may have, in g/mL; outside it is a slip.
const thinnest, thickest = 0.9, 1.6

// gramsPerMilliliter reads "1.372g/mL", "1372kg/m3" or "11.45lb/gal". A number alone is taken as g/mL where it can be one.
func gramsPerMilliliter(typed string) (density float64, err error) {
	trimmed := strings.TrimSpace(typed)
	factor, digits := 1.0, trimmed
	for _, u := range densityUnits {
		if rest, ok := cutSuffixFold(trimmed, u.name); ok {
			factor, digits = u.factor, rest
		}
	}
	number, err := syrup.ParseNumber(digits)
	if err != nil {
		return 0, err
	}
	if density = number * factor; !(density >= thinnest && density <= thickest) {
		return 0, errors.New(say("calc.net.density", "Typed", trimmed))
	}
	return density, nil
}

func cutSuffixFold(s, suffix string) (string, bool) {
	if len(s) < len(suffix) || !strings.EqualFold(s[len(s)-len(suffix):], suffix) {
		return s, false
	}
	return strings.TrimSpace(s[:len(s)-len(suffix)]), true
}

// numberList reads numbers apart by spaces.
func numberList(typed string) ([]float64, error) {
	var list []float64
	for field := range strings.FieldsSeq(typed) {
		x, err := syrup.ParseNumber(field)
		if err != nil {
			return nil, err
		}
		list = append(list, x)
	}
	if list == nil {
		return nil, syrup.InputError{Problem: syrup.InputEmpty}
	}
	return list, nil
}

// shortLength reads a length of a bottle, "3in", "76mm" or "7.6cm", more than nothing.
func shortLength(typed string) (syrup.Meters, error) {
	per, metric := syrup.Meters(1), typed
	for suffix, parts := range map[string]syrup.Meters{"mm": 1000, "cm": 100} {
		if rest, ok := cutSuffixFold(strings.TrimSpace(typed), suffix); ok {
			per, metric = parts, rest+"m"
		}
	}
	length, err := syrup.ParseLength(metric)
	var input syrup.InputError
	if errors.As(err, &input) {
		if input.Units != nil {
			input.Units = append([]string{"in", "mm", "cm"}, "ft", "m")
		}
		input.Text = strings.TrimSpace(typed)
		return 0, input
	}
	if err == nil && length <= 0 {
		err = errors.New(say("calc.above_zero", "Typed", typed))
	}
	return length / per, err
}

// outOfRange is the error about a number outside its range, with the likely slip where one fits.
func outOfRange(what string, x, low, high float64, slip hazards.Slip) error {
	line := fmt.Sprintf("%s %s", what, say("calc.expected", "Got", plain(x), "Min", plain(low), "Max", plain(high)))
	if slip != "" {
		line += " " + say("slip."+string(slip))
	}
	return errors.New(line)
}
