package app

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// target is a figure the filler works to.
type target struct{ Label, Figure, Note string }

// fillTargets is what the filler fills to, for the solids the lot is judged by and the temperature last measured.
type fillTargets struct {
	Rows    []target
	Missing string // why there are none
	NoTare  string // why the full bottle says nothing
	SetTare string // address where the empty bottle's weight is entered; empty for who may not
	Single  string // what one bottle may be short of
	Aim     string // net weight to aim at; blank: not known
	Gross   string // full bottle to aim at; blank: not known
	Behind  *Step  // the cooling test behind the house's fill limit; nil: none
}

// usualFill is the bottle temperature the hot volume is given for before any was measured (185 F: common practice).
var usualFill = syrup.Fahrenheit(185).Celsius()

// lastBottle is the temperature of the bottle last measured, where the model reaches; else the usual one.
func lastBottle(facts hazards.LotFacts) syrup.Celsius {
	at := usualFill
	for _, k := range facts.Fill.Checks {
		if k.Bottle != nil && *k.Bottle >= syrup.MinFillTemperature && *k.Bottle <= syrup.MaxFillTemperature {
			at = *k.Bottle
		}
	}
	return at
}

// fillTargetsOf words the targets: on the scale without and with the bottle, and the volume while it is hot.
func fillTargetsOf(w words, facts hazards.LotFacts, rules hazards.Rules, container records.Container) (fillTargets, error) {
	t, ok := hazards.TargetOf(facts, lastBottle(facts), rules)
	if !ok {
		return fillTargets{Missing: w.say("filler_target.solids_missing")}, nil
	}
	temperature, err := w.temperature(t.At)
	if err != nil {
		return fillTargets{}, err
	}
	shown := fillTargets{Aim: gramsWords(w, t.Target)}
	shown.Rows = []target{{w.say("filler_target.aim"), shown.Aim, w.say("filler_target.aim_note", "Headroom", decimalOrWhole(t.Headroom.Value))},
		{w.say("filler_target.least"), gramsWords(w, t.Least), w.say("filler_target.least_note", "Off", decimal(float64(t.Off)), "Declared", bothVolumes(t.Contents),
			"Solids", decimal(float64(t.Solids.Percent)), "Uncertainty", decimal(float64(t.Solids.Uncertainty)))}}
	if container.Tare != nil {
		shown.Gross = gramsWords(w, t.Target+*container.Tare)
		shown.Rows = append(shown.Rows, target{w.say("filler_target.gross"), shown.Gross,
			w.say("filler_target.gross_note", "Least", gramsWords(w, t.Least+*container.Tare), "Tare", gramsWords(w, *container.Tare))})
	} else {
		shown.NoTare = w.say("filler_target.no_tare", "Name", container.Name)
	}
	shown.Rows = append(shown.Rows, target{w.say("filler_target.hot"), bothVolumes(t.Hot),
		w.say("filler_target.hot_note", "Off", bothVolumesFine(t.HotOff), "Temperature", temperature, "Declared", bothVolumes(t.Contents))})
	if t.Tolerance != nil {
		shown.Single = w.say("filler_target.single", "Grams", decimal(float64(*t.Tolerance)))
	}
	return shown, nil
}

// gramsWords writes a small weight as scales of both kinds show it.
func gramsWords(w words, g syrup.Grams) string {
	return w.say("filler_target.grams", "Grams", decimal(float64(g)), "Ounces", decimal(float64(g)/gramsPerOunce))
}

// bothVolumes writes a small volume in both systems, as labels do.
func bothVolumes(v syrup.Milliliters) string {
	return decimal(float64(v.USFluidOunces())) + " fl oz (" + plainNumber(float64(int(float64(v)+0.5))) + " mL)"
}

// bothVolumesFine is bothVolumes for what is smaller than a milliliter or two.
func bothVolumesFine(v syrup.Milliliters) string {
	return plainNumber(float64(int(float64(v.USFluidOunces())*100+0.5))/100) + " fl oz (" + decimal(float64(v)) + " mL)"
}
