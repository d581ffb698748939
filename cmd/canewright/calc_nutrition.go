package main

import (
	"strconv"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// nutritionFound is the answer of calc nutrition.
type nutritionFound struct {
	ServingG  float64         `json:"serving_g"`
	ServingML *float64        `json:"serving_ml,omitempty"`
	Lines     []nutritionLine `json:"lines"`
	Servings  *float64        `json:"servings_per_container,omitempty"`
	About     bool            `json:"about,omitempty"`
	Single    bool            `json:"single_ingredient"`
	Basis     string          `json:"basis"`
	Source    string          `json:"source"`
	Solids    float64         `json:"solids_percent"`
}

// nutritionLine is one line of the panel; amount and percent_dv are as on the label.
type nutritionLine struct {
	Nutrient string   `json:"nutrient"`
	Amount   *float64 `json:"amount"`
	Unit     string   `json:"unit"`
	LessThan bool     `json:"less_than,omitempty"`
	Percent  *int     `json:"percent_dv"`
	Footnote bool     `json:"footnote,omitempty"`
	Raw      float64  `json:"raw"`
}

// calcNutrition is `calc nutrition --serving 30mL --solids 74 [--container 355mL] [--other-ingredients]`.
func calcNutrition(in *inputs) (result, error) {
	others := in.set.Bool("other-ingredients", false, "")
	if err := in.parse("serving", "solids", "container"); err != nil {
		return nil, err
	}
	serving := required(in, "serving", "30mL", labelContents)
	solids := required(in, "solids", "74", syrup.ParseSolids)
	container := optional(in, "container", 0, volumeAboveZero)
	if err := in.err(); err != nil {
		return nil, err
	}
	found := nutritionFound{Single: !*others, Basis: hazards.NutritionBasis, Source: hazards.NutritionSource, Solids: figure(solids)}
	volume, err := found.serve(serving, solids)
	if err != nil {
		return nil, err
	}
	if !in.given("container") {
		return found, nil
	}
	count, about, err := hazards.Servings(container.Milliliters(), volume)
	found.Servings, found.About = &count, about
	return found, err
}

// serve fills the panel in and gives the volume of the serving.
func (f *nutritionFound) serve(serving contents, solids syrup.Brix) (syrup.Milliliters, error) {
	mass, volume := syrup.Grams(serving.number), syrup.Milliliters(serving.number)
	perML, err := syrup.NetMass(1, solids)
	if err != nil {
		return 0, err
	}
	if serving.unit == hazards.UnitGrams {
		volume = syrup.Milliliters(mass / perML)
	} else {
		mass = perML * syrup.Grams(serving.number)
		milliliters := figure(serving.number)
		f.ServingML = &milliliters
	}
	panel, err := hazards.PanelOf(mass, solids, f.Single)
	if err != nil {
		return 0, err
	}
	f.ServingG = figure(mass)
	for _, l := range panel.Lines {
		f.Lines = append(f.Lines, nutritionLine{Nutrient: l.Nutrient, Amount: figureOf(l.Amount), Unit: l.Unit, LessThan: l.LessThan,
			Percent: l.Percent, Footnote: l.Footnote, Raw: figure(l.Raw)})
	}
	return volume, nil
}

func (f nutritionFound) lines() []string {
	lines := []string{say("calc.nutrition.serving", "Grams", decimals(f.ServingG, 1), "Solids", plain(f.Solids))}
	if f.Servings != nil {
		key := "calc.nutrition.servings"
		if f.About {
			key = "calc.nutrition.about"
		}
		lines = append(lines, say(key, "Servings", plain(*f.Servings)))
	}
	for _, l := range f.Lines {
		lines = append(lines, "  "+l.said())
	}
	if f.Single {
		lines = append(lines, say("calc.nutrition.footnote"))
	}
	return append(lines, say("calc.nutrition.basis", "Source", f.Source))
}

// said is the line as on a label: "Total carbohydrate 30 g, 11 %".
func (l nutritionLine) said() string {
	line := say("nutrient." + l.Nutrient)
	if l.Amount != nil {
		line += " "
		if l.LessThan {
			line += say("calc.nutrition.less") + " "
		}
		line += plain(*l.Amount)
		if l.Unit != "" {
			line += " " + l.Unit
		}
	}
	if l.Percent != nil {
		line += ", " + strconv.Itoa(*l.Percent) + " %"
	}
	if l.Footnote {
		line += " †"
	}
	return line
}
