package app

import (
	"errors"
	"math"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// reckonForm is a form of the reckoner: asked in the address, with labels "reckoner.field.<name>", and refused numbers put at
// the field they were typed in.
type reckonForm struct {
	*form
	target   *syrup.Brix // the solids the house aims at
	noted    []notedNumber
	moreWord string             // on the line that unfolds them
	folded   int                // fields from here on are seldom needed and folded away; 0 for none
	code     string             // a lot code whose check character is wrong
	tables   []hazards.MAVTable // tolerances the owner entered
}

// fold puts the fields that follow away under one line to tap, the text of key.
func (f *reckonForm) fold(key string) {
	if f.folded == 0 {
		f.folded, f.moreWord = len(f.Fields), f.words.say(key)
	}
}

// main are the fields always shown.
func (f *reckonForm) main() []*Field {
	if f.folded == 0 {
		return f.Fields
	}
	return f.Fields[:f.folded]
}

// more are the fields folded away, and whether they stand open: something in them was filled in or is wrong.
func (f *reckonForm) more() (fields []*Field, open bool) {
	if f.folded == 0 {
		return nil, false
	}
	for _, field := range f.Fields[f.folded:] {
		typed := (field.Kind == "number" || field.Kind == "quantity") && field.Value != ""
		chosen := field.Kind == "choice" && field.Value != field.Choices[0].Value
		open = open || typed || chosen || field.Error != ""
	}
	return f.Fields[f.folded:], open
}

// notedNumber is a number that was read: what the physics may call it, and how it was typed.
type notedNumber struct {
	field *Field
	value float64
	typed string
	whats []string
}

func (a *App) newReckonForm(c *gin.Context, name string) *reckonForm {
	v := visitorOf(c)
	f := &reckonForm{form: &form{ID: "reckon", Action: "/reckoner/" + name, Submit: v.words().say("reckoner.submit"), kind: "reckoner.field",
		words: v.words(), now: a.store.Now()}}
	if query := c.Request.URL.Query(); len(query) > 0 {
		f.raw = query
	}
	if goal := v.house.TargetSolids; goal > 0 {
		f.target = &goal
	}
	return f
}

// ready tells whether everything was filled in and could be read: time to reckon.
func (f *reckonForm) ready() bool { return f.reading() && f.OK() }

// note keeps a number that was read, for refuse.
func (f *reckonForm) note(field *Field, value float64, typed string, whats []string) {
	f.noted = append(f.noted, notedNumber{field, value, typed, whats})
}

// wrongWords notes what is wrong with a field in words already made; the first fault of a field stays.
func (f *reckonForm) wrongWords(field *Field, message string) {
	if field.Error == "" {
		field.Error = message
		f.Wrong = append(f.Wrong, Wrong{Label: field.Label, Message: message, Target: field.ID})
	}
}

// refuse puts what a model refused at the field it was typed in, with the likely slip where one fits.
func (f *reckonForm) refuse(err error) {
	message := hazards.SayProblem(f.words.lang, err)
	number := f.blamed(err)
	if number == nil {
		f.Wrong = append(f.Wrong, Wrong{Message: message})
		return
	}
	if meant := hazards.SayMeant(f.words.lang, err, number.typed); meant != "" {
		message += " " + meant
	}
	f.wrongWords(number.field, message)
}

// blamed is the number an error is about: among those the physics calls so, the one with that value, else the first.
func (f *reckonForm) blamed(err error) *notedNumber {
	var outside syrup.RangeError
	what := syrup.WhatReadings
	if errors.As(err, &outside) {
		what = outside.What
	} else if !errors.As(err, new(syrup.StepError)) {
		return nil
	}
	var first *notedNumber
	for i := range f.noted {
		n := &f.noted[i]
		switch {
		case !slices.Contains(n.whats, what):
		case math.Abs(n.value-outside.Got) < 1e-6*max(1, math.Abs(n.value)):
			return n
		case first == nil:
			first = n
		}
	}
	return first
}

// otherwise fills in the usual answer where a bookmark leaves it out.
func (f *reckonForm) otherwise(name, usual string) {
	if f.reading() && !f.raw.Has(name) {
		f.raw.Set(name, usual)
	}
}

// unitBehind takes a unit that was typed behind the number, "220F", for the one chosen beside it.
func (f *reckonForm) unitBehind(name string, units []string) {
	if !f.reading() {
		return
	}
	typed := strings.ReplaceAll(strings.TrimSpace(f.raw.Get(name)), "°", "")
	best := ""
	for _, unit := range units {
		digits := len(typed) - len(unit)
		if digits > 0 && len(unit) > len(best) && strings.EqualFold(typed[digits:], unit) {
			if _, err := syrup.ParseNumber(typed[:digits]); err == nil {
				best = unit
			}
		}
	}
	if best != "" {
		f.raw.Set(name, strings.TrimSpace(typed[:len(typed)-len(best)]))
		f.raw.Set(name+"_unit", best)
	}
}

// quantityAsked asks for a quantity with its unit beside it; nil when it was left out.
func quantityAsked[T ~float64](f *reckonForm, name string, m measure[T], usual *T, n need, whats ...string) *T {
	f.unitBehind(name, m.units)
	unit := m.us
	if f.words.units == "metric" {
		unit = m.metric
	}
	if f.reading() && f.raw.Get(name) == "" { // nothing typed: there is nothing a unit could be wrong for
		f.otherwise(name+"_unit", unit)
	}
	to := usual
	field := quantityField(f.form, name, m, &to, nil, n)
	if !f.reading() {
		return nil
	}
	if to != nil {
		f.note(field, float64(*to), field.Value+f.raw.Get(name+"_unit"), whats)
	}
	return to
}

// known is the value of a number, 0 when it was left out or is wrong; then the form is not ready.
func known[T any](p *T) T {
	if p == nil {
		var nothing T
		return nothing
	}
	return *p
}

// temperature asks for a temperature that is needed.
func (f *reckonForm) temperature(name string, usual *syrup.Celsius, whats ...string) syrup.Celsius {
	return known(f.maybeTemperature(name, usual, required, whats...))
}

func (f *reckonForm) maybeTemperature(name string, usual *syrup.Celsius, n need, whats ...string) *syrup.Celsius {
	return quantityAsked(f, name, measure[syrup.Celsius]{[]string{"F", "C"}, "F", "C", syrup.TemperatureFrom, true}, usual, n, append(whats, syrup.WhatTemperature)...)
}

// volume asks for a volume of juice or syrup, more than nothing.
func (f *reckonForm) volume(name string) syrup.Liters { return known(f.maybeVolume(name, required)) }

func (f *reckonForm) maybeVolume(name string, n need) *syrup.Liters {
	m := measure[syrup.Liters]{[]string{"gal", "qt", "pt", "floz", "L", "mL"}, "gal", "L", syrup.VolumeFrom, false}
	v := quantityAsked(f, name, m, nil, n, syrup.WhatVolume)
	if v != nil && *v == 0 {
		f.wrong(f.named(name), "reckoner.above_zero")
	}
	return v
}

// bottle asks for what a bottle holds, more than nothing.
func (f *reckonForm) bottle(name string, n need, whats ...string) *syrup.Milliliters {
	from := func(x float64, unit string) (syrup.Milliliters, error) {
		v, err := syrup.VolumeFrom(x, unit)
		return v.Milliliters(), err
	}
	m := measure[syrup.Milliliters]{[]string{"floz", "pt", "qt", "gal", "mL", "L"}, "floz", "mL", from, false}
	v := quantityAsked(f, name, m, nil, n, append(whats, syrup.WhatVolume)...)
	if v != nil && *v == 0 {
		f.wrong(f.named(name), "reckoner.above_zero")
	}
	return v
}

// grams asks for a mass that may be nothing.
func (f *reckonForm) grams(name string) float64 {
	from := func(x float64, unit string) (syrup.Grams, error) {
		m, err := syrup.MassFrom(x, unit)
		return m.Grams(), err
	}
	return float64(known(quantityAsked(f, name, measure[syrup.Grams]{[]string{"g", "oz", "lb", "kg"}, "oz", "g", from, false}, nil, required)))
}

// numberAsked asks for a number read by parse; nil when it was left out.
func numberAsked[T ~float64](f *reckonForm, name, unit string, usual *T, n need, parse func(string) (T, error), whats ...string) *T {
	field := f.field(name, "number", n)
	field.Unit = unit
	if !f.reading() {
		if usual != nil {
			field.Value = plainNumber(float64(*usual))
		}
		return nil
	}
	if f.blank(field) {
		return nil
	}
	x, err := parse(field.Value)
	if err != nil {
		f.wrongWords(field, hazards.SayProblem(f.words.lang, err))
		return nil
	}
	f.note(field, float64(x), field.Value, whats)
	return &x
}

// solids asks for solids or Brix in percent; 0.74 is refused, likely 74.
func (f *reckonForm) solids(name string, usual *syrup.Brix) syrup.Brix {
	return known(f.maybeSolids(name, usual, required))
}

func (f *reckonForm) maybeSolids(name string, usual *syrup.Brix, n need) *syrup.Brix {
	return numberAsked(f, name, f.words.say("unit.percent"), usual, n, syrup.ParseSolids,
		syrup.WhatSolids, syrup.WhatJuiceSolids, syrup.WhatSyrupSolids, syrup.WhatTarget)
}

// share asks for a percentage that may be left out; small ones may be less than one percent.
func (f *reckonForm) share(name string, small bool, whats ...string) *float64 {
	parse := syrup.ParsePercent
	if small {
		parse = func(typed string) (float64, error) { return syrup.ParseNumber(strings.TrimSuffix(typed, "%")) }
	}
	return numberAsked(f, name, f.words.say("unit.percent"), nil, optional, parse, whats...)
}

// number asks for a plain number.
func (f *reckonForm) number(name string, n need, whats ...string) *float64 {
	return numberAsked(f, name, "", nil, n, syrup.ParseNumber, whats...)
}

// choose asks for one of few words; the usual one is chosen beforehand.
func (f *reckonForm) choose(name, usual string, values ...string) string {
	f.otherwise(name, usual)
	chosen := usual
	choiceOf(f.form, name, &chosen, required, values...)
	return chosen
}

// length asks for a length of a bottle, more than nothing.
func (f *reckonForm) length(name string, n need) *syrup.Meters {
	l := quantityAsked(f, name, measure[syrup.Meters]{[]string{"in", "mm", "cm"}, "in", "mm", syrup.LengthFrom, false}, nil, n, syrup.WhatLength)
	if l != nil && *l <= 0 {
		f.wrong(f.named(name), "reckoner.above_zero")
	}
	return l
}

// flag asks for a tick.
func (f *reckonForm) flag(name string) bool {
	ticked := false
	f.Flag(name, &ticked)
	return ticked
}
