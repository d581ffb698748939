package main

import (
	"errors"
	"flag"
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
	var step syrup.StepError
	if errors.As(err, &step) {
		return sayStep(step)
	}
	return err.Error()
}

// hints are what the person likely meant, where a refused value looks like a known slip.
func hints(in *inputs, err error) []string {
	var outside syrup.RangeError
	if !errors.As(err, &outside) {
		return nil
	}
	if syrup.MeantBrix(outside) {
		return []string{say("input.meant_brix", "Got", plain(outside.Got))}
	}
	var list []string
	in.set.Visit(func(f *flag.Flag) {
		typed := f.Value.String()
		t, wrong := syrup.ParseTemperature(typed)
		if wrong != nil || math.Abs(float64(t)-outside.Got) > 1e-9 {
			return
		}
		if meant, ok := syrup.MeantTemperature(typed, outside); ok {
			list = append(list, say("input.meant_temperature", "Meant", meant))
		}
	})
	return list
}

// sayStep tells about readings that do not follow each other closely enough.
func sayStep(e syrup.StepError) string {
	if e.At <= e.Before {
		return say("input.order", "Row", e.Row, "At", plain(e.At), "Before", plain(e.Before))
	}
	return say("input.step", "Row", e.Row, "At", plain(e.At), "Before", plain(e.Before), "Most", plain(syrup.LongestStep))
}

// inputArgs are the values the message of a problem takes.
func inputArgs(e syrup.InputError) []any {
	return []any{"Typed", e.Text, "Units", strings.Join(e.Units, ", "), "Meant", e.Meant}
}

func sayRange(e syrup.RangeError) string {
	key := "input.range"
	if math.IsInf(e.Max, 1) {
		key = "input.range_from"
	}
	if (e.What == syrup.WhatTemperature || e.What == syrup.WhatReference) && e.Unit == "C" {
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
