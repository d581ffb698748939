package main

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
)

// refractometerFound is the answer of calc refractometer.
type refractometerFound struct {
	Brix               float64  `json:"brix"`
	BrixCorrected      float64  `json:"brix_corrected"`
	Index              *float64 `json:"index,omitempty"`
	UncertaintyPercent float64  `json:"uncertainty_percent"`
	TemperatureC       float64  `json:"temperature_c"`
	TemperatureF       float64  `json:"temperature_f"`
	TemperatureAssumed bool     `json:"temperature_assumed"`
	Extrapolated       bool     `json:"extrapolated"`
	InvertReadsLow     *float64 `json:"invert_reads_low,omitempty"` // information: not taken into brix_corrected
	Estimated          bool     `json:"estimated"`
	Model              string   `json:"model"`
	temperature        syrup.Celsius
}

// calcRefractometer is `calc refractometer --index 1.4748` or `calc refractometer --brix 74 --at 15C`.
func calcRefractometer(in *inputs) (result, error) {
	if err := in.parse("index", "brix", "at", "invert-of-syrup"); err != nil {
		return nil, err
	}
	byIndex := eitherFlag(in, "index", "1.4748", "brix", "74")
	index := optional(in, "index", 0, syrup.ParseNumber)
	read := optional(in, "brix", 0, percentSolids)
	at := optional(in, "at", syrup.ReferenceTemperature, syrup.ParseTemperature)
	if in.given("brix") {
		at = required(in, "at", "15C", syrup.ParseTemperature)
	}
	invert := optional(in, "invert-of-syrup", 0, percentOfSyrup)
	if err := in.err(); err != nil {
		return nil, err
	}
	found := refractometerFound{temperature: at, TemperatureAssumed: !in.given("at"), Estimated: true, Model: syrup.ModelRefractometer}
	var err error
	if byIndex {
		if read, err = syrup.SolidsFromIndex(syrup.RefractiveIndex(index)); err != nil {
			return nil, err
		}
		found.Index = &index
	}
	corrected, err := syrup.RefractometerAt20(read, at)
	if err != nil {
		return nil, err
	}
	if in.given("invert-of-syrup") {
		low, err := syrup.InvertReadsLow(invert)
		if err != nil {
			return nil, err
		}
		rounded := figure(low)
		found.InvertReadsLow = &rounded
	}
	found.Brix, found.BrixCorrected = figure(read), figure(corrected)
	found.UncertaintyPercent = figure(hazards.RefractometerUncertainty)
	found.TemperatureC, found.TemperatureF = figure(at), figure(at.Fahrenheit())
	found.Extrapolated = at > syrup.ReferenceTemperature
	return found, nil
}

func (f refractometerFound) lines() []string {
	lines := []string{
		say("calc.refractometer.result", "Corrected", decimals(f.BrixCorrected, 2), "Read", decimals(f.Brix, 2),
			"Temperature", temperatureText(f.temperature), "Uncertainty", decimals(f.UncertaintyPercent, 1)),
	}
	if f.TemperatureAssumed {
		lines = append(lines, say("calc.refractometer.assumed"))
	}
	if f.Extrapolated {
		lines = append(lines, say("calc.refractometer.extrapolated"))
	}
	if f.InvertReadsLow != nil {
		lines = append(lines, say("calc.refractometer.invert", "Low", decimals(*f.InvertReadsLow, 2)))
	}
	return append(lines, say("calc.refractometer.compensated"))
}
