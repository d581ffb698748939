package main

import "canewright/hazards/syrup"

// yieldFound is the answer of calc yield.
type yieldFound struct {
	SyrupGal       float64 `json:"syrup_gal"`
	SyrupL         float64 `json:"syrup_l"`
	SyrupKg        float64 `json:"syrup_kg"`
	SyrupLb        float64 `json:"syrup_lb"`
	WaterOffKg     float64 `json:"water_off_kg"`
	WaterOffLb     float64 `json:"water_off_lb"`
	JuicePerSyrup  float64 `json:"juice_per_syrup"`
	VolumeGal      float64 `json:"volume_gal"`
	VolumeL        float64 `json:"volume_l"`
	JuiceKg        float64 `json:"juice_kg"`
	JuiceBrix      float64 `json:"juice_brix"`
	SolidsPercent  float64 `json:"solids_percent"`
	LossesIncluded bool    `json:"losses_included"`
	LossPercent    float64 `json:"loss_percent"`
	LostKg         float64 `json:"lost_kg"`
	Estimated      bool    `json:"estimated"`
	Model          string  `json:"model"`
}

// calcYield is `calc yield --juice 80gal --juice-brix 18 --solids 74 [--loss 5]`.
func calcYield(in *inputs) (result, error) {
	if err := in.parse("juice", "juice-brix", "solids", "loss"); err != nil {
		return nil, err
	}
	juice := required(in, "juice", "80gal", volumeAboveZero)
	juiceBrix := required(in, "juice-brix", "18", percentSolids)
	solids := required(in, "solids", "74", percentSolids)
	loss := optional(in, "loss", 0, smallPercent)
	if err := in.err(); err != nil {
		return nil, err
	}
	y, err := syrup.SyrupFromJuice(juice, juiceBrix, solids)
	if err != nil {
		return nil, err
	}
	if y, err = y.Less(syrup.Fraction(loss / 100)); err != nil {
		return nil, err
	}
	return yieldFound{
		SyrupGal: figure(y.SyrupVolume.USGallons()), SyrupL: figure(y.SyrupVolume),
		SyrupKg: figure(y.Syrup), SyrupLb: figure(y.Syrup.Pounds()),
		WaterOffKg: figure(y.WaterOff), WaterOffLb: figure(y.WaterOff.Pounds()),
		JuicePerSyrup: figure(y.JuicePerSyrup),
		VolumeGal:     figure(juice.USGallons()), VolumeL: figure(juice),
		JuiceKg: figure(y.Juice), JuiceBrix: figure(juiceBrix), SolidsPercent: figure(solids),
		LossesIncluded: in.given("loss"), LossPercent: figure(loss), LostKg: figure(y.Lost),
		Estimated: true, Model: syrup.ModelYield,
	}, nil
}

func (f yieldFound) lines() []string {
	losses := say("calc.yield.losses")
	if f.LossesIncluded {
		losses = say("calc.yield.less", "Loss", plain(f.LossPercent), "Kilograms", decimals(f.LostKg, 1),
			"Pounds", decimals(syrup.Kilograms(f.LostKg).Pounds(), 1))
	}
	return []string{
		say("calc.yield.result", "Gallons", decimals(f.SyrupGal, 1), "Liters", decimals(f.SyrupL, 1),
			"Pounds", decimals(f.SyrupLb, 1), "Kilograms", decimals(f.SyrupKg, 1)),
		say("calc.yield.water", "Pounds", decimals(f.WaterOffLb, 1), "Kilograms", decimals(f.WaterOffKg, 1)),
		say("calc.yield.ratio", "Ratio", decimals(f.JuicePerSyrup, 2)),
		losses,
	}
}
