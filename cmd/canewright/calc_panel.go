package main

import (
	"math"
	"strconv"

	"canewright/hazards/syrup"
	"canewright/labels"
)

// panelFound is the answer of calc panel.
type panelFound struct {
	AreaSqIn     float64 `json:"area_sq_in"`
	TypeHeightIn float64 `json:"type_height_in"`
	AreaSqCm     float64 `json:"area_sq_cm"`
	TypeHeightMM float64 `json:"type_height_mm"`
	Shape        string  `json:"shape"`
	Moulded      bool    `json:"moulded"`
}

// calcPanel is `calc panel --height 3in --diameter 2in`.
func calcPanel(in *inputs) (result, error) {
	moulded := in.set.Bool("moulded", false, "")
	if err := in.parse("height", "diameter", "circumference", "width"); err != nil {
		return nil, err
	}
	height := required(in, "height", "3in", shortLength)
	around, shape, err := in.around()
	if err != nil {
		return nil, err
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	area := labels.FlatPanel(labels.Millimeters(height*1000), labels.Millimeters(around*1000))
	letters := float64(labels.ContentsHeight(area, *moulded)) / 25.4
	return panelFound{AreaSqIn: figure(area), TypeHeightIn: figure(letters), AreaSqCm: figure(area * 2.54 * 2.54), TypeHeightMM: figure(letters * 25.4),
		Shape: shape, Moulded: *moulded}, nil
}

// around is what the height is multiplied with: 40 % of the way round a cylinder, or the width of a flat side (21 CFR
// 101.1).
func (in *inputs) around() (syrup.Meters, string, error) {
	given := 0
	for _, name := range []string{"diameter", "circumference", "width"} {
		if in.given(name) {
			given++
		}
	}
	switch {
	case given > 1:
		return 0, "", eitherOf("--diameter 2in", "--circumference 6.3in, --width 2in")
	case in.given("circumference"):
		return 0.4 * optional(in, "circumference", 0, shortLength), "cylinder", nil
	case in.given("width"):
		return optional(in, "width", 0, shortLength), "rectangle", nil
	}
	return 0.4 * math.Pi * required(in, "diameter", "2in", shortLength), "cylinder", nil
}

func (f panelFound) lines() []string {
	key := "calc.panel.letters"
	if f.Moulded {
		key = "calc.panel.moulded"
	}
	return []string{
		say("calc.panel.area", "Area", decimals(f.AreaSqIn, 2), "Metric", decimals(f.AreaSqCm, 1)),
		say(key, "Height", sixteenths(f.TypeHeightIn), "Metric", decimals(f.TypeHeightMM, 2)),
	}
}

// sixteenths writes a height as a ruler has it: 3/16, 1/4.
func sixteenths(x float64) string {
	parts, whole := int(math.Round(x*16)), 16
	for parts%2 == 0 && whole > 1 {
		parts, whole = parts/2, whole/2
	}
	return strconv.Itoa(parts) + "/" + strconv.Itoa(whole)
}
