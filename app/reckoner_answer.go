package app

import (
	"strconv"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// reckoned is an answer: figures, sentences about them, and where they come from.
type reckoned struct {
	Figures   []reckonFigure
	Rows      []reckonFigure // many small ones, as the lines of a panel
	Said      []string
	Source    string
	Model     string
	Estimated bool
}

// reckonFigure is one figure with its label, the same in the other units, and how far it may be off.
type reckonFigure struct{ Label, Value, Also, Off string }

// twofold is a quantity in the person's units and in the others.
type twofold struct{ value, also string }

// modelled is an answer by a model, which is an estimate.
func modelled(model string) *reckoned { return &reckoned{Model: model, Estimated: true} }

// finish names the source, once the figures stand.
func (r *reckoned) finish(f *reckonForm, name string) {
	r.Source = f.words.say("reckoner.source." + name)
	if r.Model != "" {
		r.Model = f.words.say("reckoner.model", "Model", r.Model)
	}
}

// add puts a figure under its label "reckoner.figure.<key>".
func (r *reckoned) add(f *reckonForm, key string, q twofold, off string) {
	figure := reckonFigure{Label: f.words.say("reckoner.figure." + key), Value: q.value, Also: q.also}
	if off != "" {
		figure.Off = f.words.say("reckoner.off", "Off", off)
	}
	r.Figures = append(r.Figures, figure)
}

// say adds a sentence.
func (r *reckoned) say(f *reckonForm, key string, args ...any) {
	r.Said = append(r.Said, f.words.say(key, args...))
}

func fixed[T ~float64](x T, places int) string {
	return strconv.FormatFloat(float64(x)+0, 'f', places, 64)
}

// one writes a figure that has the same unit for everybody.
func (f *reckonForm) one(x string, unit string) twofold {
	if unit == "" {
		return twofold{value: x}
	}
	return twofold{value: x + noBreak + f.words.say(unit)}
}

// two writes a figure in both systems, the person's first.
func (f *reckonForm) two(us float64, usUnit string, metric float64, metricUnit string, places int) twofold {
	a := fixed(us, places) + noBreak + f.words.say(usUnit)
	b := fixed(metric, places) + noBreak + f.words.say(metricUnit)
	if f.words.units == "metric" {
		return twofold{b, a}
	}
	return twofold{a, b}
}

// both writes the two in a sentence: 15.2 gal (57.5 L).
func (q twofold) both() string {
	if q.also == "" {
		return q.value
	}
	return q.value + " (" + q.also + ")"
}

func (f *reckonForm) degrees(t syrup.Celsius) twofold {
	return f.two(float64(t.Fahrenheit()), "unit.fahrenheit", float64(t), "unit.celsius", 1)
}

// degreesApart is a difference of temperatures.
func (f *reckonForm) degreesApart(d syrup.CelsiusDelta) twofold {
	return f.two(float64(d.Fahrenheit()), "unit.fahrenheit", float64(d), "unit.celsius", 1)
}

func (f *reckonForm) liters(v syrup.Liters) twofold {
	return f.two(float64(v.USGallons()), "unit.gallon", float64(v), "unit.liter", 2)
}

func (f *reckonForm) milliliters(v syrup.Milliliters) twofold {
	q := f.two(float64(v.USFluidOunces()), "unit.fluid_ounce", float64(v), "unit.milliliter", 2)
	return q
}

func (f *reckonForm) kilograms(m syrup.Kilograms) twofold {
	return f.two(float64(m.Pounds()), "unit.pound", float64(m), "unit.kilogram", 2)
}

func (f *reckonForm) gramsOf(m syrup.Grams) twofold {
	return f.two(float64(m)/gramsPerOunce, "unit.ounce", float64(m), "unit.gram", 1)
}

func (f *reckonForm) percentOf(x float64, places int) twofold {
	return f.one(fixed(x, places), "unit.percent")
}

// solidsOf writes solids, with a second decimal near the limit of a name.
func (f *reckonForm) solidsOf(w syrup.Brix) twofold {
	return f.one(hazards.SolidsText(w), "unit.percent")
}

// percentOff writes how far a percentage may be off.
func (f *reckonForm) percentOff(w syrup.Brix) string { return f.percentOf(float64(w), 1).value }
