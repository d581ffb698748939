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

// gramsPerMilliliter reads "1.372g/mL", "1372kg/m3" or "11.45lb/gal". A number alone is taken as g/mL where it can be one.
func gramsPerMilliliter(typed string) (float64, error) {
	trimmed := strings.TrimSpace(typed)
	digits, unit := trimmed, "g/mL"
	for _, name := range syrup.DensityUnits {
		if rest, ok := cutSuffixFold(trimmed, name); ok {
			digits, unit = rest, name
		}
	}
	number, err := syrup.ParseNumber(digits)
	if err != nil {
		return 0, err
	}
	density, err := syrup.DensityFrom(number, unit)
	if err != nil {
		return 0, errors.New(say("calc.net.density", "Typed", trimmed))
	}
	return float64(density) / 1000, nil
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
	length, err := syrup.ParseLength(typed)
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
	return length, err
}

// outOfRange is the error about a number outside its range, with the likely slip where one fits.
func outOfRange(what string, x, low, high float64, slip hazards.Slip) error {
	line := fmt.Sprintf("%s %s", what, say("calc.expected", "Got", plain(x), "Min", plain(low), "Max", plain(high)))
	if slip != "" {
		line += " " + say("slip."+string(slip))
	}
	return errors.New(line)
}
