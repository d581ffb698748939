package main

import (
	"errors"

	"canewright/hazards/syrup"
)

// boilFound is the answer of calc boil.
type boilFound struct {
	BoilingC           float64  `json:"boiling_c"`
	BoilingF           float64  `json:"boiling_f"`
	RiseC              float64  `json:"rise_c"`
	RiseF              float64  `json:"rise_f"`
	WaterBoilingC      float64  `json:"water_boiling_c"`
	WaterBoilingF      float64  `json:"water_boiling_f"`
	UncertaintyC       float64  `json:"uncertainty_c"`
	UncertaintyF       float64  `json:"uncertainty_f"`
	Estimated          bool     `json:"estimated"`
	SolidsPercent      float64  `json:"solids_percent"`
	InvertedPercent    float64  `json:"inverted_percent_of_sugars"`
	AshPercent         float64  `json:"ash_percent_of_syrup"`
	CompositionAssumed bool     `json:"composition_assumed"`
	PressureKPa        float64  `json:"pressure_kpa"`
	AltitudeM          *float64 `json:"altitude_m,omitempty"`
	PressureAssumed    bool     `json:"pressure_assumed"`
	Model              string   `json:"model"`
	boiling            syrup.Boiling
	altitude           syrup.Meters
}

// calcBoil is `calc boil --solids 74 [--altitude 1000ft | --pressure 101.3kPa] [--invert 30] [--ash 1.5]`.
func calcBoil(in *inputs) (result, error) {
	if err := in.parse("solids", "altitude", "pressure", "invert", "inverted", "ash"); err != nil {
		return nil, err
	}
	mix, assumed := mixFrom(in, required(in, "solids", "74", percentSolids))
	altitude := optional(in, "altitude", 0, syrup.ParseLength)
	pressure := pressureFrom(in, altitude)
	if err := in.err(); err != nil {
		return nil, err
	}
	b, err := syrup.SyrupBoiling(mix, pressure)
	if err != nil {
		return nil, err
	}
	found := boilFound{
		BoilingC: figure(b.Syrup), BoilingF: figure(b.Syrup.Fahrenheit()),
		RiseC: figure(b.Rise), RiseF: figure(b.Rise.Fahrenheit()),
		WaterBoilingC: figure(b.Water), WaterBoilingF: figure(b.Water.Fahrenheit()),
		UncertaintyC: figure(b.Uncertainty), UncertaintyF: figure(b.Uncertainty.Fahrenheit()), Estimated: true,
		SolidsPercent: figure(mix.Solids), InvertedPercent: figure(mix.Inverted * 100), AshPercent: figure(mix.Ash * 100),
		CompositionAssumed: assumed,
		PressureKPa:        figure(pressure), PressureAssumed: !in.given("altitude") && !in.given("pressure"),
		Model: syrup.ModelBoiling, boiling: b, altitude: altitude,
	}
	if in.given("altitude") {
		meters := figure(altitude)
		found.AltitudeM = &meters
	}
	return found, nil
}

// pressureFrom is the pressure asked for, by --pressure or by height; sea level when neither was given.
func pressureFrom(in *inputs, altitude syrup.Meters) syrup.Kilopascals {
	if in.given("altitude") && in.given("pressure") {
		in.problems = append(in.problems, eitherOf("--altitude 1000ft", "--pressure 101.3kPa"))
		return syrup.StandardPressure
	}
	if in.given("pressure") {
		return optional(in, "pressure", 0, syrup.ParsePressure)
	}
	pressure, err := syrup.PressureAtAltitude(altitude)
	if err != nil {
		in.fail("altitude", err)
	}
	return pressure
}

func eitherOf(one, other string) error {
	return errors.New(say("calc.either", "One", one, "Other", other))
}

func (f boilFound) lines() []string {
	return []string{
		say("calc.boil.result", "Syrup", temperatureText(f.boiling.Syrup), "Uncertainty", decimals(f.UncertaintyF, 1)),
		say("calc.boil.rise", "Rise", decimals(f.RiseF, 1), "Water", temperatureText(f.boiling.Water)),
		f.pressureLine(),
		f.mixLine(),
	}
}

func (f boilFound) pressureLine() string {
	pressure := decimals(f.PressureKPa, 1)
	switch {
	case f.PressureAssumed:
		return say("calc.boil.pressure.assumed", "Pressure", pressure)
	case f.AltitudeM != nil:
		feet := float64(f.altitude) / 0.3048
		return say("calc.boil.pressure.altitude", "Pressure", pressure, "Altitude", decimals(feet, 0))
	default:
		return say("calc.boil.pressure.given", "Pressure", pressure)
	}
}

func (f boilFound) mixLine() string {
	if f.CompositionAssumed {
		return say("calc.boil.mix.assumed")
	}
	return say("calc.boil.mix.given", "Inverted", plain(f.InvertedPercent), "Ash", plain(f.AshPercent))
}
