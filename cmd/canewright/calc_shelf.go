package main

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
)

// shelfFound is the answer of calc shelf.
type shelfFound struct {
	Result        string  `json:"result"`
	Table         string  `json:"table"`
	WaterActivity float64 `json:"water_activity"`
	PH            float64 `json:"ph"`
	CannedRule    string  `json:"canned_food_rule"`
}

// calcShelf is `calc shelf --aw 0.78 --ph 5.2 [--heat-treated-packaged]`.
func calcShelf(in *inputs) (result, error) {
	packaged := in.set.Bool("heat-treated-packaged", false, "")
	if err := in.parse("aw", "ph"); err != nil {
		return nil, err
	}
	aw := required(in, "aw", "0.78", waterActivity)
	ph := required(in, "ph", "5.2", acidity)
	if err := in.err(); err != nil {
		return nil, err
	}
	found, err := hazards.ShelfClass(aw, ph, *packaged)
	if err != nil {
		return nil, err
	}
	table := "B"
	if *packaged {
		table = "A"
	}
	return shelfFound{Result: string(found), Table: table, WaterActivity: aw, PH: ph, CannedRule: string(hazards.CannedFood(aw, &ph))}, nil
}

// waterActivity reads 0 to 1; 78 for 0.78 is asked about.
func waterActivity(typed string) (float64, error) {
	x, err := syrup.ParseNumber(typed)
	if err == nil && !(x >= 0 && x <= 1) {
		_, slip := hazards.Plausible(hazards.BoundWaterActivity, x, typed)
		err = outOfRange(say("bound."+hazards.BoundWaterActivity), x, 0, 1, slip)
	}
	return x, err
}

// acidity reads a pH, 0 to 14; 52 for 5.2 is asked about.
func acidity(typed string) (float64, error) {
	x, err := syrup.ParseNumber(typed)
	if err == nil && !(x >= 0 && x <= 14) {
		_, slip := hazards.Plausible(hazards.BoundSyrupPH, x, typed)
		err = outOfRange("pH", x, 0, 14, slip)
	}
	return x, err
}

func (f shelfFound) lines() []string {
	key := "calc.shelf.non_tcs"
	if f.Result == string(hazards.ProductAssessment) {
		key = "calc.shelf.assessment"
	}
	lines := []string{say(key, "Table", f.Table, "Activity", plain(f.WaterActivity), "PH", plain(f.PH))}
	if f.CannedRule != string(hazards.NoCannedFoodRule) {
		lines = append(lines, say("canned_rule."+f.CannedRule))
	}
	return append(lines, say("calc.shelf.measured"))
}
