package main

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"canewright/hazards/syrup"
)

// sayProblem writes an error for a person: what the physics found in the catalogue's words, anything else as it stands.
func sayProblem(err error) string {
	var flags flagProblem
	if errors.As(err, &flags) {
		return err.Error() // already in the catalogue's words, one line for each flag
	}
	var input syrup.InputError
	if errors.As(err, &input) {
		return say("input."+string(input.Problem), inputArgs(input)...)
	}
	var outside syrup.RangeError
	if errors.As(err, &outside) {
		return sayRange(outside)
	}
	return err.Error()
}

// inputArgs are the values the message of a problem takes.
func inputArgs(e syrup.InputError) []any {
	return []any{"Typed", e.Text, "Units", strings.Join(e.Units, ", ")}
}

func sayRange(e syrup.RangeError) string {
	key := "input.range"
	if math.IsInf(e.Max, 1) {
		key = "input.range_from"
	}
	if e.What == syrup.WhatTemperature && e.Unit == "C" {
		return say("input.range_temperature", "Got", bothScales(e.Got), "Min", bothScales(e.Min), "Max", bothScales(e.Max))
	}
	what := say("input.what." + strings.ReplaceAll(strings.ToLower(e.What), " ", "_"))
	line := say(key, "What", what, "Got", plain(e.Got), "Min", plain(e.Min), "Max", plain(e.Max), "Unit", e.Unit)
	return strings.ReplaceAll(strings.ReplaceAll(line, " :", ":"), " .", ".")
}

// plain writes a number with at most three decimals and no trailing zeros.
func plain(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}

// bothScales writes a temperature of a RangeError, in C, for whoever typed it in F.
func bothScales(celsius float64) string {
	return plain(float64(syrup.Celsius(celsius).Fahrenheit())) + "F (" + plain(celsius) + "C)"
}
