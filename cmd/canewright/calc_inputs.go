package main

import (
	"errors"
	"flag"
	"io"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// inputs reads the flags of one calculation. Flags are taken as text first and read with the same parsers as the
// forms; a problem is kept and reading goes on, so that all of them are told at once.
type inputs struct {
	set      *flag.FlagSet
	args     []string
	json     bool
	problems []error
}

func newInputs(name string, args []string) *inputs {
	in := &inputs{set: flag.NewFlagSet("calc "+name, flag.ContinueOnError), args: args}
	in.set.SetOutput(io.Discard)
	in.set.BoolVar(&in.json, "json", false, "")
	return in
}

// flagProblem is what is wrong with one flag.
type flagProblem struct {
	flag string
	err  error
}

func (p flagProblem) Error() string {
	return say("calc.flag", "Flag", p.flag, "Problem", sayProblem(p.err))
}

func (p flagProblem) Unwrap() error { return p.err }

// parse takes the flags; the named ones become known to the getters.
func (in *inputs) parse(names ...string) error {
	for _, name := range names {
		in.set.String(name, "", "")
	}
	if err := in.set.Parse(in.args); err != nil {
		return err
	}
	if in.set.NArg() > 0 {
		return errors.New(say("calc.extra", "Text", in.set.Arg(0)))
	}
	return nil
}

// err joins everything that was wrong.
func (in *inputs) err() error { return errors.Join(in.problems...) }

// given tells whether a flag was written.
func (in *inputs) given(name string) bool {
	found := false
	in.set.Visit(func(f *flag.Flag) { found = found || f.Name == name })
	return found
}

func (in *inputs) text(name string) string { return in.set.Lookup(name).Value.String() }

func (in *inputs) fail(name string, err error) {
	in.problems = append(in.problems, flagProblem{flag: "--" + name, err: err})
}

// required reads a flag that must be there; example shows how it is written.
func required[T any](in *inputs, name, example string, parse func(string) (T, error)) T {
	if !in.given(name) {
		in.problems = append(in.problems, errors.New(say("calc.missing", "Flag", "--"+name, "Example", "--"+name+" "+example)))
		var nothing T
		return nothing
	}
	return optional(in, name, *new(T), parse)
}

// optional reads a flag that may be left out.
func optional[T any](in *inputs, name string, otherwise T, parse func(string) (T, error)) T {
	if !in.given(name) {
		return otherwise
	}
	value, err := parse(in.text(name))
	if err != nil {
		in.fail(name, err)
	}
	return value
}

// percent reads a share in percent; 0.74 is refused, likely 74, and 0.5% is half a percent.
func percent(typed string) (float64, error) { return syrup.ParsePercent(typed) }

// smallPercent reads a share that is often less than one percent, the sign forgiven.
func smallPercent(typed string) (float64, error) {
	return syrup.ParseNumber(strings.TrimSuffix(strings.TrimSpace(typed), "%"))
}

// percentSolids reads solids or Brix in percent, 0 to 85.
func percentSolids(typed string) (syrup.Brix, error) { return syrup.ParseSolids(typed) }

// percentOfSyrup reads a part of the syrup in percent, which may be less than one.
func percentOfSyrup(typed string) (syrup.Brix, error) {
	n, err := smallPercent(typed)
	return syrup.Brix(n), err
}

// eitherFlag tells that just one of two flags must be given, and whether the first was.
func eitherFlag(in *inputs, one, example, other, otherExample string) bool {
	if in.given(one) == in.given(other) {
		in.problems = append(in.problems, eitherOf("--"+one+" "+example, "--"+other+" "+otherExample))
	}
	return in.given(one)
}

// mixFrom reads --invert, percent of the sugars, and --ash, percent of the syrup; --inverted is the older name of the first.
func mixFrom(in *inputs, solids syrup.Brix) (mix syrup.Composition, assumed bool) {
	if in.given("invert") && in.given("inverted") {
		in.problems = append(in.problems, eitherOf("--invert 30", "--inverted 30"))
	}
	inverted := optional(in, "inverted", 0, percent)
	mix = syrup.Composition{
		Solids:   solids,
		Inverted: syrup.Fraction(optional(in, "invert", inverted, percent) / 100),
		Ash:      syrup.Fraction(optional(in, "ash", 0, smallPercent) / 100),
	}
	return mix, !in.given("invert") && !in.given("inverted") && !in.given("ash")
}

// volumeAboveZero reads a volume that is more than nothing.
func volumeAboveZero(typed string) (syrup.Liters, error) {
	v, err := syrup.ParseVolume(typed)
	if err == nil && v == 0 {
		return 0, errors.New(say("calc.above_zero", "Typed", typed))
	}
	return v, err
}

func wholeNumber(typed string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(typed))
	if err != nil {
		return 0, errors.New(say("calc.whole", "Typed", typed))
	}
	return n, nil
}

func calendarDay(typed string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(typed))
	if err != nil {
		return time.Time{}, errors.New(say("calc.date", "Typed", typed))
	}
	return day, nil
}

func stem(typed string) (syrup.Stem, error) {
	s, err := syrup.ParseStem(typed)
	if err != nil {
		return "", errors.New(say("calc.stem", "Typed", typed))
	}
	return s, nil
}

// modulus reads a modulus; 0 would mean "not given" to a Hydrometer, so it is refused here.
func modulus(typed string) (float64, error) {
	n, err := syrup.ParseNumber(typed)
	if err == nil && (n < syrup.MinModulus || n > syrup.MaxModulus) {
		err = syrup.RangeError{What: syrup.WhatModulus, Got: n, Min: syrup.MinModulus, Max: syrup.MaxModulus}
	}
	return n, err
}
