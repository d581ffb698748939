package main

import "canewright/hazards/syrup"

// blendFound is the answer of calc blend; the amounts are there when a volume was given.
type blendFound struct {
	FirstPercent  float64  `json:"first_percent"` // of the mass
	SecondPercent float64  `json:"second_percent"`
	SolidsPercent float64  `json:"solids_percent"`
	WithPercent   float64  `json:"with_percent"`
	ToPercent     float64  `json:"to_percent"`
	FirstGal      *float64 `json:"first_gal,omitempty"`
	FirstL        *float64 `json:"first_l,omitempty"`
	FirstLb       *float64 `json:"first_lb,omitempty"`
	FirstKg       *float64 `json:"first_kg,omitempty"`
	SecondGal     *float64 `json:"second_gal,omitempty"`
	SecondL       *float64 `json:"second_l,omitempty"`
	SecondLb      *float64 `json:"second_lb,omitempty"`
	SecondKg      *float64 `json:"second_kg,omitempty"`
	MadeGal       *float64 `json:"made_gal,omitempty"`
	MadeL         *float64 `json:"made_l,omitempty"`
	Estimated     bool     `json:"estimated"`
	Model         string   `json:"model"`
}

// calcBlend is `calc blend --solids 70 --with 78 --to 74 [--make 20gal | --use 5gal]`.
func calcBlend(in *inputs) (result, error) {
	if err := in.parse("solids", "with", "to", "make", "use"); err != nil {
		return nil, err
	}
	first := required(in, "solids", "70", percentSolids)
	second := required(in, "with", "78", percentSolids)
	target := required(in, "to", "74", percentSolids)
	if in.given("make") && in.given("use") {
		in.problems = append(in.problems, eitherOf("--make 20gal", "--use 5gal"))
	}
	wanted := optional(in, "make", 0, volumeAboveZero)
	used := optional(in, "use", 0, volumeAboveZero)
	if err := in.err(); err != nil {
		return nil, err
	}
	share, err := syrup.BlendShares(first, second, target)
	if err != nil {
		return nil, err
	}
	found := blendFound{FirstPercent: figure(share * 100), SecondPercent: figure(100 - share*100), SolidsPercent: figure(first),
		WithPercent: figure(second), ToPercent: figure(target), Estimated: true, Model: syrup.ModelBlend}
	if !in.given("make") && !in.given("use") {
		return found, nil
	}
	b, err := syrup.BlendTo(wanted, first, second, target)
	if in.given("use") {
		b, err = syrup.BlendAll(used, first, second, target)
	}
	if err != nil {
		return nil, err
	}
	found.pour(b)
	return found, nil
}

// pour writes the amounts.
func (f *blendFound) pour(b syrup.Blend) {
	f.FirstGal, f.FirstL = pointer(b.FirstVolume.USGallons()), pointer(b.FirstVolume)
	f.FirstLb, f.FirstKg = pointer(b.First.Pounds()), pointer(b.First)
	f.SecondGal, f.SecondL = pointer(b.SecondVolume.USGallons()), pointer(b.SecondVolume)
	f.SecondLb, f.SecondKg = pointer(b.Second.Pounds()), pointer(b.Second)
	f.MadeGal, f.MadeL = pointer(b.Volume.USGallons()), pointer(b.Volume)
}

func (f blendFound) lines() []string {
	lines := []string{say("calc.blend.result", "First", decimals(f.FirstPercent, 1), "FirstSolids", plain(f.SolidsPercent),
		"Second", decimals(f.SecondPercent, 1), "SecondSolids", plain(f.WithPercent))}
	if f.FirstGal == nil {
		return append(lines, say("calc.blend.amounts"), say("calc.blend.parents"))
	}
	return append(lines,
		say("calc.blend.pour", "Solids", plain(f.SolidsPercent), "Gallons", decimals(*f.FirstGal, 2), "Liters", decimals(*f.FirstL, 2),
			"Pounds", decimals(*f.FirstLb, 1), "Kilograms", decimals(*f.FirstKg, 1)),
		say("calc.blend.pour", "Solids", plain(f.WithPercent), "Gallons", decimals(*f.SecondGal, 2), "Liters", decimals(*f.SecondL, 2),
			"Pounds", decimals(*f.SecondLb, 1), "Kilograms", decimals(*f.SecondKg, 1)),
		say("calc.blend.made", "Gallons", decimals(*f.MadeGal, 2), "Liters", decimals(*f.MadeL, 2), "Solids", solidsText(syrup.Brix(f.ToPercent))),
		say("calc.blend.parents"))
}
