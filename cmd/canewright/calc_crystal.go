package main

import "canewright/hazards/syrup"

// crystalFound is the answer of calc crystal; without solids it is the solubility alone.
type crystalFound struct {
	SolubilityPercent  float64  `json:"solubility_percent"`
	Supersaturation    *float64 `json:"supersaturation,omitempty"`
	Uncertainty        *float64 `json:"uncertainty,omitempty"` // of the supersaturation
	Risk               string   `json:"risk,omitempty"`        // none, low, medium, high
	SolidsPercent      *float64 `json:"solids_percent,omitempty"`
	InvertPercent      *float64 `json:"invert_percent_of_syrup,omitempty"`
	OtherPercent       *float64 `json:"other_percent_of_syrup,omitempty"`
	CompositionAssumed bool     `json:"composition_assumed"`
	TemperatureC       float64  `json:"temperature_c"`
	TemperatureF       float64  `json:"temperature_f"`
	Estimated          bool     `json:"estimated"`
	Model              string   `json:"model"`
	temperature        syrup.Celsius
}

// calcCrystal is `calc crystal --at 68F [--solids 75 --invert-of-syrup 15 --other 2]`.
func calcCrystal(in *inputs) (result, error) {
	if err := in.parse("at", "solids", "invert-of-syrup", "other"); err != nil {
		return nil, err
	}
	at := required(in, "at", "68F", syrup.ParseTemperature)
	mix := syrup.CrystalMix{
		Solids: optional(in, "solids", 0, percentSolids),
		Invert: optional(in, "invert-of-syrup", 0, percentOfSyrup),
		Other:  optional(in, "other", 0, percentOfSyrup),
	}
	if !in.given("solids") && (in.given("invert-of-syrup") || in.given("other")) {
		required(in, "solids", "75", percentSolids)
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	pure, err := syrup.Solubility(at)
	if err != nil {
		return nil, err
	}
	found := crystalFound{SolubilityPercent: figure(pure), TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()),
		Estimated: true, Model: syrup.ModelCrystal, temperature: at}
	if !in.given("solids") {
		return found, nil
	}
	ss, err := syrup.Supersaturation(mix, at)
	if err != nil {
		return nil, err
	}
	found.Risk = string(syrup.RiskOfCrystals(ss))
	found.Supersaturation, found.Uncertainty = pointer(ss), pointer(syrup.SupersaturationUncertainty)
	found.SolidsPercent, found.InvertPercent, found.OtherPercent = pointer(mix.Solids), pointer(mix.Invert), pointer(mix.Other)
	found.CompositionAssumed = !in.given("invert-of-syrup") && !in.given("other")
	return found, nil
}

// pointer is a rounded figure that may be left out.
func pointer[T ~float64](x T) *float64 {
	rounded := figure(x)
	return &rounded
}

func (f crystalFound) lines() []string {
	lines := []string{say("calc.crystal.solubility", "Solubility", decimals(f.SolubilityPercent, 1), "Temperature", temperatureText(f.temperature))}
	if f.Supersaturation == nil {
		return lines
	}
	lines = append(lines, say("calc.crystal.result", "Ratio", decimals(*f.Supersaturation, 2), "Uncertainty", plain(*f.Uncertainty),
		"Risk", say("calc.crystal.risk."+f.Risk)))
	if f.CompositionAssumed {
		lines = append(lines, say("calc.crystal.assumed"))
	} else {
		lines = append(lines, say("calc.crystal.mix", "Invert", plain(*f.InvertPercent), "Other", plain(*f.OtherPercent)))
	}
	return append(lines, say("calc.crystal.dextrose"))
}
