package main

import "canewright/hazards/syrup"

// viscosityFound is the answer of calc viscosity.
type viscosityFound struct {
	ViscosityMPaS float64 `json:"viscosity_mpa_s"`
	Uncertainty   float64 `json:"uncertainty_mpa_s"`
	SolidsPercent float64 `json:"solids_percent"`
	PurityPercent float64 `json:"purity_percent"`
	PurityAssumed bool    `json:"purity_assumed"`
	TemperatureC  float64 `json:"temperature_c"`
	TemperatureF  float64 `json:"temperature_f"`
	Estimated     bool    `json:"estimated"`
	Model         string  `json:"model"`
	temperature   syrup.Celsius
}

// calcViscosity is `calc viscosity --solids 74 --at 68F [--purity 70]`.
func calcViscosity(in *inputs) (result, error) {
	if err := in.parse("solids", "at", "purity"); err != nil {
		return nil, err
	}
	solids := required(in, "solids", "74", percentSolids)
	at := required(in, "at", "68F", syrup.ParseTemperature)
	purity := optional(in, "purity", 100, percent)
	if err := in.err(); err != nil {
		return nil, err
	}
	v, uncertainty, err := syrup.Viscosity(solids, at, syrup.Fraction(purity/100))
	if err != nil {
		return nil, err
	}
	return viscosityFound{
		ViscosityMPaS: figure(v), Uncertainty: figure(uncertainty), SolidsPercent: figure(solids), PurityPercent: figure(purity),
		PurityAssumed: !in.given("purity"), TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()),
		Estimated: true, Model: syrup.ModelViscosity, temperature: at,
	}, nil
}

func (f viscosityFound) lines() []string {
	lines := []string{say("calc.viscosity.result", "Viscosity", decimals(f.ViscosityMPaS, 0), "Uncertainty", decimals(f.Uncertainty, 0),
		"Temperature", temperatureText(f.temperature))}
	if f.PurityAssumed {
		lines = append(lines, say("calc.viscosity.assumed"))
	}
	return lines
}
