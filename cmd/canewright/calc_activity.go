package main

import (
	"canewright/hazards/syrup"
)

// activityTemperature is the temperature laboratories measure water activity at, assumed when none is given.
const activityTemperature syrup.Celsius = 25

// activityFound is the answer of calc aw.
type activityFound struct {
	WaterActivity      float64 `json:"water_activity"`
	Uncertainty        float64 `json:"uncertainty"`
	SolidsPercent      float64 `json:"solids_percent"`
	InvertedPercent    float64 `json:"inverted_percent_of_sugars"`
	AshPercent         float64 `json:"ash_percent_of_syrup"`
	CompositionAssumed bool    `json:"composition_assumed"`
	TemperatureC       float64 `json:"temperature_c"`
	TemperatureF       float64 `json:"temperature_f"`
	TemperatureAssumed bool    `json:"temperature_assumed"`
	Estimated          bool    `json:"estimated"`
	Model              string  `json:"model"`
	temperature        syrup.Celsius
}

// calcActivity is `calc aw --solids 74 [--invert 30] [--ash 1.5] [--at 25C]`, or with --glucose and --fructose.
func calcActivity(in *inputs) (result, error) {
	if err := in.parse("solids", "invert", "inverted", "ash", "glucose", "fructose", "at"); err != nil {
		return nil, err
	}
	mix, assumed, err := activityMix(in)
	at := optional(in, "at", activityTemperature, syrup.ParseTemperature)
	if problem := in.err(); problem != nil {
		return nil, problem
	}
	if err != nil {
		return nil, err
	}
	aw, err := syrup.ActivityOf(mix, at)
	if err != nil {
		return nil, err
	}
	uncertainty := syrup.ActivityUncertaintyOf(mix)
	return activityFound{
		WaterActivity: figure(aw), Uncertainty: figure(uncertainty), SolidsPercent: figure(mix.Solids),
		InvertedPercent: figure(mix.Inverted * 100), AshPercent: figure(mix.Ash * 100), CompositionAssumed: assumed,
		TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()), TemperatureAssumed: !in.given("at"),
		Estimated: true, Model: syrup.ModelWaterActivity, temperature: at,
	}, nil
}

// activityMix is the composition asked for: by shares of the sugars, or by a laboratory's percentages of the syrup.
func activityMix(in *inputs) (syrup.Composition, bool, error) {
	if !in.given("glucose") && !in.given("fructose") {
		mix, assumed := mixFrom(in, required(in, "solids", "74", percentSolids))
		return mix, assumed, nil
	}
	if in.given("invert") || in.given("inverted") {
		in.problems = append(in.problems, eitherOf("--invert 30", "--glucose 11 --fructose 11"))
	}
	sugars := syrup.Sugars{
		Glucose:  optional(in, "glucose", 0, percentOfSyrup),
		Fructose: optional(in, "fructose", 0, percentOfSyrup),
		Ash:      optional(in, "ash", 0, percentOfSyrup),
	}
	sugars.Solids = optional(in, "solids", sugars.Glucose+sugars.Fructose+sugars.Ash, percentSolids)
	if in.err() != nil {
		return syrup.Composition{}, false, nil
	}
	mix, err := sugars.Composition()
	return mix, false, err
}

func (f activityFound) lines() []string {
	lines := []string{
		say("calc.aw.result", "Activity", decimals(f.WaterActivity, 3), "Uncertainty", plain(f.Uncertainty),
			"Temperature", temperatureText(f.temperature)),
		f.mixLine(),
	}
	if f.TemperatureAssumed {
		lines = append(lines, say("calc.aw.temperature"))
	}
	return append(lines, say("calc.aw.laboratory"))
}

func (f activityFound) mixLine() string {
	if f.CompositionAssumed {
		return say("calc.aw.mix.assumed", "Solids", plain(f.SolidsPercent))
	}
	return say("calc.aw.mix.given", "Solids", plain(f.SolidsPercent), "Inverted", plain(f.InvertedPercent), "Ash", plain(f.AshPercent))
}
