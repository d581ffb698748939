package main

import "canewright/hazards/syrup"

// weightFound is the answer of calc weight.
type weightFound struct {
	LbPerGal      float64 `json:"lb_per_gal"` // as a scale shows it, in air
	MassLbPerGal  float64 `json:"mass_lb_per_gal"`
	KgPerL        float64 `json:"kg_per_l"`
	Baume         float64 `json:"baume"`
	SG2020        float64 `json:"sg_20_20"`
	SolidsPercent float64 `json:"solids_percent"`
	Estimated     bool    `json:"estimated"`
	Model         string  `json:"model"`
	solids        syrup.Brix
}

// calcWeight is `calc weight --solids 74`.
func calcWeight(in *inputs) (result, error) {
	if err := in.parse("solids"); err != nil {
		return nil, err
	}
	solids := required(in, "solids", "74", percentSolids)
	if err := in.err(); err != nil {
		return nil, err
	}
	pounds, err := syrup.WeightPerGallon(solids)
	if err != nil {
		return nil, err
	}
	density, err := syrup.Density(solids, syrup.ReferenceTemperature)
	if err != nil {
		return nil, err
	}
	mass, err := syrup.NetMass(syrup.USGallons(1).Liters().Milliliters(), solids)
	if err != nil {
		return nil, err
	}
	baume, err := syrup.BaumeFromSolids(solids, syrup.DefaultModulus)
	if err != nil {
		return nil, err
	}
	sg, err := syrup.TrueGravity(solids)
	if err != nil {
		return nil, err
	}
	return weightFound{
		LbPerGal: figure(pounds), MassLbPerGal: figure(mass.Kilograms().Pounds()), KgPerL: figure(density / 1000),
		Baume: figure(baume), SG2020: figure(sg), SolidsPercent: figure(solids),
		Estimated: true, Model: syrup.ModelDensity, solids: solids,
	}, nil
}

func (f weightFound) lines() []string {
	return []string{
		say("calc.weight.result", "Pounds", decimals(f.LbPerGal, 3), "Kilograms", decimals(f.KgPerL, 4), "Solids", solidsText(f.solids)),
		say("calc.weight.gravity", "Gravity", decimals(f.SG2020, 4), "Baume", decimals(f.Baume, 2)),
		say("calc.weight.mass", "Pounds", decimals(f.MassLbPerGal, 3)),
	}
}
