package hazards

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// SayProblem writes what the physics found wrong with a number in the words of the catalogue: an InputError, RangeError,
// StepError or RecordError. Anything else is written as it stands.
func SayProblem(lang text.Language, err error) string {
	var record syrup.RecordError
	if errors.As(err, &record) {
		return text.Say(lang, "input.record.line", "Line", record.Line, "Problem", sayRecord(lang, record))
	}
	var input syrup.InputError
	if errors.As(err, &input) {
		return text.Say(lang, "input."+string(input.Problem), "Typed", input.Text, "Units", strings.Join(input.Units, ", "), "Meant", input.Meant)
	}
	var outside syrup.RangeError
	if errors.As(err, &outside) {
		return sayRange(lang, outside)
	}
	var step syrup.StepError
	if errors.As(err, &step) {
		return sayStep(lang, step)
	}
	return err.Error()
}

// SayMeant is the likely slip behind a refused number, as a question: the same number in the other unit of temperature, or
// Brix read as Baume. typed is the number with its unit, "220C". Blank when nothing is likely.
func SayMeant(lang text.Language, err error, typed string) string {
	var outside syrup.RangeError
	if !errors.As(err, &outside) {
		return ""
	}
	if syrup.MeantBrix(outside) {
		return text.Say(lang, "input.meant_brix", "Got", shortNumber(outside.Got))
	}
	t, wrong := syrup.ParseTemperature(typed)
	if wrong != nil || math.Abs(float64(t)-outside.Got) > 1e-9 {
		return ""
	}
	if meant, ok := syrup.MeantTemperature(typed, outside); ok {
		return text.Say(lang, "input.meant_temperature", "Meant", meant)
	}
	return ""
}

// sayRecord tells what is wrong with a line of a record.
func sayRecord(lang text.Language, e syrup.RecordError) string {
	if e.Err != nil {
		return SayProblem(lang, e.Err)
	}
	return text.Say(lang, "input.record."+string(e.Problem), "Count", e.Columns, "First", e.First, "Then", e.Then, "Most", syrup.LongestRecord)
}

// sayStep tells about readings that do not follow each other closely enough.
func sayStep(lang text.Language, e syrup.StepError) string {
	if e.At <= e.Before {
		return text.Say(lang, "input.order", "Row", e.Row, "At", shortNumber(e.At), "Before", shortNumber(e.Before))
	}
	return text.Say(lang, "input.step", "Row", e.Row, "At", shortNumber(e.At), "Before", shortNumber(e.Before), "Most", shortNumber(syrup.LongestStep))
}

func sayRange(lang text.Language, e syrup.RangeError) string {
	if (e.What == syrup.WhatTemperature || e.What == syrup.WhatReference) && e.Unit == "C" {
		return text.Say(lang, "input.range_temperature", "Got", bothScales(e.Got), "Min", bothScales(e.Min), "Max", bothScales(e.Max))
	}
	key := "input.range"
	if math.IsInf(e.Max, 1) {
		key = "input.range_from"
	}
	what := text.Say(lang, "input.what."+strings.ReplaceAll(strings.ToLower(e.What), " ", "_"))
	line := text.Say(lang, key, "What", what, "Got", shortNumber(e.Got), "Min", shortNumber(e.Min), "Max", shortNumber(e.Max), "Unit", e.Unit)
	return strings.ReplaceAll(strings.ReplaceAll(line, " :", ":"), " .", ".")
}

// bothScales writes a temperature of a RangeError, in C, for whoever typed it in F.
func bothScales(celsius float64) string {
	return shortNumber(float64(syrup.Celsius(celsius).Fahrenheit())) + "F (" + shortNumber(celsius) + "C)"
}

// shortNumber writes a number with at most three decimals and no trailing zeros.
func shortNumber(x float64) string { return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64) }
