package main

import "canewright/hazards/syrup"

// headspaceFound is the answer of calc headspace.
type headspaceFound struct {
	HotPercent      float64  `json:"headspace_hot_percent"`
	ColdPercent     float64  `json:"headspace_cold_percent"`
	FillFlOz        float64  `json:"fill_floz"`
	FillML          float64  `json:"fill_ml"`
	VacuumBoundInHg *float64 `json:"vacuum_bound_inhg,omitempty"` // information: real jars are lower
	VacuumBoundKPa  *float64 `json:"vacuum_bound_kpa,omitempty"`
	BrimML          float64  `json:"brim_ml"`
	VolumeML        float64  `json:"volume_ml"`
	SolidsPercent   float64  `json:"solids_percent"`
	TemperatureC    float64  `json:"temperature_c"`
	TemperatureF    float64  `json:"temperature_f"`
	Estimated       bool     `json:"estimated"`
	Model           string   `json:"model"`
	temperature     syrup.Celsius
}

// calcHeadspace is `calc headspace --brim 380mL --volume 355mL --solids 74 --at 185F`.
func calcHeadspace(in *inputs) (result, error) {
	if err := in.parse("brim", "volume", "solids", "at"); err != nil {
		return nil, err
	}
	brim := required(in, "brim", "380mL", volumeAboveZero).Milliliters()
	declared := required(in, "volume", "355mL", volumeAboveZero).Milliliters()
	solids := required(in, "solids", "74", percentSolids)
	at := required(in, "at", "185F", syrup.ParseTemperature)
	if err := in.err(); err != nil {
		return nil, err
	}
	h, err := syrup.HeadspaceOf(brim, declared, solids, at)
	if err != nil {
		return nil, err
	}
	hot, err := syrup.HotVolume(declared, solids, at)
	if err != nil {
		return nil, err
	}
	found := headspaceFound{
		HotPercent: figure(h.Hot * 100), ColdPercent: figure(h.Cold * 100), FillFlOz: figure(hot.USFluidOunces()), FillML: figure(hot),
		BrimML: figure(brim), VolumeML: figure(declared), SolidsPercent: figure(solids),
		TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()),
		Estimated: true, Model: syrup.ModelHeadspace, temperature: at,
	}
	// A bottle filled to within a thousandth of the brim, or half empty, has no bound; the headspace stands all the same.
	if vacuum, err := syrup.VacuumBound(syrup.Composition{Solids: solids}, h.Hot, at); err == nil {
		found.VacuumBoundInHg, found.VacuumBoundKPa = pointer(vacuum.InchesOfMercury()), pointer(vacuum)
	}
	return found, nil
}

func (f headspaceFound) lines() []string {
	lines := []string{
		say("calc.headspace.hot", "Hot", decimals(f.HotPercent, 1), "Ounces", decimals(f.FillFlOz, 2), "Milliliters", decimals(f.FillML, 1),
			"Temperature", temperatureText(f.temperature)),
		say("calc.headspace.cold", "Cold", decimals(f.ColdPercent, 1)),
	}
	if f.VacuumBoundInHg != nil {
		lines = append(lines, say("calc.headspace.vacuum", "Inches", decimals(*f.VacuumBoundInHg, 1), "Kilopascals", decimals(*f.VacuumBoundKPa, 0)))
	}
	return lines
}
