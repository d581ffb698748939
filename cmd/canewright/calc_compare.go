package main

import (
	"errors"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// compareFound is the answer of calc compare.
type compareFound struct {
	ByDensity          float64 `json:"solids_by_density_percent"`
	DensityUncertainty float64 `json:"density_uncertainty_percent"`
	ByBoiling          float64 `json:"solids_by_boiling_percent"`
	BoilingUncertainty float64 `json:"boiling_uncertainty_percent"`
	Apart              float64 `json:"apart_percent"`
	RiseC              float64 `json:"rise_c"`
	RiseF              float64 `json:"rise_f"`
	CheckFirst         string  `json:"check_first,omitempty"` // thermometer or hydrometer, where they disagree
	CompositionAssumed bool    `json:"composition_assumed"`
	PressureAssumed    bool    `json:"pressure_assumed"`
	spindle
	findings []hazards.Finding
}

// calcCompare is `calc compare --baume 35.5 --at 220F --boiled 225F [--water 211F] [--altitude … | --pressure …]`.
func calcCompare(in *inputs) (result, error) {
	err := in.parse("baume", "brix", "at", "ref", "modulus", "boiled", "water", "altitude", "pressure", "invert", "inverted", "ash")
	if err != nil {
		return nil, err
	}
	facts := hazards.CompareFacts{Density: hazards.ReadingFacts{Stage: hazards.StageFinish, Scale: syrup.ScaleBrix}}
	if eitherFlag(in, "baume", "35.5", "brix", "66") {
		facts.Density.Scale = syrup.ScaleBaume
	}
	facts.Density.Reading = optional(in, "baume", optional(in, "brix", 0, percent), syrup.ParseNumber)
	s, h := spindleFrom(in)
	facts.Density.Temperature = &s.temperatureRead
	facts.Density.Instrument = &hazards.InstrumentFacts{Measures: hazards.MeasuresDensity, Stem: h.Stem, Modulus: &h.Modulus}
	facts.Boiling.Syrup = required(in, "boiled", "225F", syrup.ParseTemperature)
	pressureAssumed := boilingWaterFrom(in, &facts.Boiling)
	if mix, assumed := mixFrom(in, 0); !assumed {
		facts.Inverted, facts.Ash = &mix.Inverted, &mix.Ash
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	if _, err := h.TrueSolids(facts.Density.Scale, facts.Density.Reading, s.temperatureRead); err != nil {
		return nil, err
	}
	c, ok := hazards.Compare(facts, hazards.Rules{})
	if !ok {
		return nil, errors.New(say("calc.compare.none", "Syrup", temperatureText(facts.Boiling.Syrup)))
	}
	return compareFound{
		ByDensity: figure(c.Density.Percent), DensityUncertainty: figure(c.Density.Uncertainty),
		ByBoiling: figure(c.Boiling.Percent), BoilingUncertainty: figure(c.Boiling.Uncertainty),
		Apart: figure(c.Apart), RiseC: figure(c.Rise), RiseF: figure(c.Rise.Fahrenheit()), CheckFirst: string(c.First),
		CompositionAssumed: c.Assumed, PressureAssumed: pressureAssumed, spindle: s,
		findings: hazards.JudgeComparison(facts, hazards.Rules{}),
	}, nil
}

// boilingWaterFrom reads --water, --altitude and --pressure; with none of them sea level is assumed.
func boilingWaterFrom(in *inputs, b *hazards.BoilingFacts) (assumed bool) {
	if in.given("water") {
		water := optional(in, "water", 0, syrup.ParseTemperature)
		b.Water = &water
	}
	placed := in.given("altitude") || in.given("pressure")
	if placed || b.Water == nil {
		pressure := pressureFrom(in, optional(in, "altitude", 0, syrup.ParseLength))
		b.Pressure = &pressure
	}
	return !placed && b.Water == nil
}

func (f compareFound) lines() []string {
	lines := []string{
		say("calc.compare.density", "Solids", decimals(f.ByDensity, 1), "Uncertainty", decimals(f.DensityUncertainty, 1)),
		say("calc.compare.boiling", "Solids", decimals(f.ByBoiling, 1), "Uncertainty", decimals(f.BoilingUncertainty, 1),
			"Rise", decimals(f.RiseF, 1)),
	}
	if f.CheckFirst == "" {
		lines = append(lines, say("calc.compare.agree", "Apart", decimals(f.Apart, 1)))
	}
	for _, found := range f.findings {
		lines = append(lines, say("calc.compare.apart", "Apart", decimals(f.Apart, 1)), found.Words(text.English, hazards.US).Next)
	}
	if f.PressureAssumed {
		lines = append(lines, say("calc.compare.pressure"))
	}
	if f.CompositionAssumed {
		lines = append(lines, say("calc.compare.mix", "Inverted", plain(float64(hazards.UsualInverted)*100), "Ash", plain(float64(hazards.UsualAsh)*100)))
	}
	return append(lines, f.assumptions()...)
}
