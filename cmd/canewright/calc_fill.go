package main

import "canewright/hazards/syrup"

// fillFound is the answer of calc fill.
type fillFound struct {
	FillFlOz      float64 `json:"fill_floz"`
	FillML        float64 `json:"fill_ml"`
	ShrinkPercent float64 `json:"shrink_percent"`
	NetMassG      float64 `json:"net_mass_g"`
	ScaleG        float64 `json:"scale_g"`
	VolumeFlOz    float64 `json:"volume_floz"`
	VolumeML      float64 `json:"volume_ml"`
	SolidsPercent float64 `json:"solids_percent"`
	TemperatureC  float64 `json:"temperature_c"`
	TemperatureF  float64 `json:"temperature_f"`
	Estimated     bool    `json:"estimated"`
	Model         string  `json:"model"`
	temperature   syrup.Celsius
}

// calcFill is `calc fill --volume 16floz --solids 74 --at 185F`.
func calcFill(in *inputs) (result, error) {
	if err := in.parse("volume", "solids", "at"); err != nil {
		return nil, err
	}
	declared := required(in, "volume", "16floz", volumeAboveZero).Milliliters()
	solids := required(in, "solids", "74", percentSolids)
	at := required(in, "at", "185F", syrup.ParseTemperature)
	if err := in.err(); err != nil {
		return nil, err
	}
	hot, err := syrup.HotVolume(declared, solids, at)
	if err != nil {
		return nil, err
	}
	mass, err := syrup.NetMass(declared, solids)
	if err != nil {
		return nil, err
	}
	weight, err := syrup.NetWeight(declared, solids)
	if err != nil {
		return nil, err
	}
	return fillFound{
		FillFlOz: figure(hot.USFluidOunces()), FillML: figure(hot), ShrinkPercent: figure(100 * (1 - declared/hot)),
		NetMassG: figure(mass), ScaleG: figure(weight),
		VolumeFlOz: figure(declared.USFluidOunces()), VolumeML: figure(declared), SolidsPercent: figure(solids),
		TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()),
		Estimated: true, Model: syrup.ModelFill, temperature: at,
	}, nil
}

func (f fillFound) lines() []string {
	return []string{
		say("calc.fill.result", "Ounces", decimals(f.FillFlOz, 2), "Milliliters", decimals(f.FillML, 1),
			"Temperature", temperatureText(f.temperature)),
		say("calc.fill.declared", "Shrink", decimals(f.ShrinkPercent, 1), "Ounces", decimals(f.VolumeFlOz, 2),
			"Milliliters", decimals(f.VolumeML, 1)),
		say("calc.fill.mass", "Mass", decimals(f.NetMassG, 1), "Scale", decimals(f.ScaleG, 1)),
	}
}
