package main

import "canewright/hazards/syrup"

// impliedFound is the answer of calc implied.
type impliedFound struct {
	JuiceBrix     float64 `json:"juice_brix"`
	Ratio         float64 `json:"ratio"`
	JuiceGal      float64 `json:"juice_gal"`
	JuiceL        float64 `json:"juice_l"`
	SyrupGal      float64 `json:"syrup_gal"`
	SyrupL        float64 `json:"syrup_l"`
	SolidsPercent float64 `json:"solids_percent"`
	Estimated     bool    `json:"estimated"`
	Model         string  `json:"model"`
}

// calcImplied is `calc implied --juice 80gal --syrup 10gal --solids 74`.
func calcImplied(in *inputs) (result, error) {
	if err := in.parse("juice", "syrup", "solids"); err != nil {
		return nil, err
	}
	juice := required(in, "juice", "80gal", volumeAboveZero)
	made := required(in, "syrup", "10gal", volumeAboveZero)
	solids := required(in, "solids", "74", percentSolids)
	if err := in.err(); err != nil {
		return nil, err
	}
	brix, err := syrup.ImpliedJuiceSolids(juice, made, solids)
	if err != nil {
		return nil, err
	}
	return impliedFound{
		JuiceBrix: figure(brix), Ratio: figure(float64(juice / made)),
		JuiceGal: figure(juice.USGallons()), JuiceL: figure(juice), SyrupGal: figure(made.USGallons()), SyrupL: figure(made),
		SolidsPercent: figure(solids), Estimated: true, Model: syrup.ModelYield,
	}, nil
}

func (f impliedFound) lines() []string {
	return []string{
		say("calc.implied.result", "Brix", decimals(f.JuiceBrix, 1)),
		say("calc.implied.ratio", "Ratio", decimals(f.Ratio, 2)),
		say("calc.implied.loss"),
	}
}
