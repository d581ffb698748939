package main

import (
	"errors"
	"math"
	"slices"

	"canewright/hazards"
)

// calcNet is `calc net`: a sample judged by a scheme, the tolerance of a label, or the error of one package weighed.
func calcNet(in *inputs) (result, error) {
	if err := in.parse("scheme", "label", "lot", "errors", "mav", "density", "tare", "gross"); err != nil {
		return nil, err
	}
	label := required(in, "label", "355mL", labelContents)
	weighing := in.given("density") || in.given("tare") || in.given("gross")
	switch {
	case weighing && (in.given("scheme") || in.given("lot") || in.given("errors")):
		return nil, eitherOf("--scheme hb133 --lot 240 --errors \"…\"", "--density 1.372g/mL --tare 250g --gross 737g")
	case weighing:
		return weighedPackage(in, label)
	}
	scheme := required(in, "scheme", "hb133", netScheme)
	if in.given("lot") || in.given("errors") {
		return netSample(in, scheme, label)
	}
	return netTolerance(in, scheme, label)
}

func netScheme(typed string) (hazards.NetScheme, error) {
	schemes := []hazards.NetScheme{hazards.SchemeHB133, hazards.SchemeR87}
	if s := hazards.NetScheme(typed); slices.Contains(schemes, s) {
		return s, nil
	}
	return "", errors.New(say("calc.net.scheme", "Typed", typed))
}

// netFound is the answer about a sample.
type netFound struct {
	Pass          bool     `json:"pass"`
	Average       float64  `json:"average"`
	SD            *float64 `json:"sd"`
	Limit         *float64 `json:"limit"`
	AveragePasses bool     `json:"average_passes"`
	Scheme        string   `json:"scheme"`
	Lot           int      `json:"lot"`
	Packages      int      `json:"packages"`
	Factor        float64  `json:"factor"`
	Tolerance     float64  `json:"tolerance"`
	ToleranceFrom string   `json:"tolerance_from"`
	Unit          string   `json:"unit"`
	Short         int      `json:"short"`
	Allowed       int      `json:"allowed"`
	Worst         float64  `json:"worst"`
	Label         float64  `json:"label"`
}

func netSample(in *inputs, scheme hazards.NetScheme, label contents) (result, error) {
	s := hazards.NetSample{Scheme: scheme, Label: label.number, Unit: label.unit,
		Lot:    required(in, "lot", "240", wholeNumber),
		Errors: required(in, "errors", "\"-1.2 0.4 …\"", numberList),
	}
	if in.given("mav") {
		s.MAV = variation(in, label)
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	r, err := hazards.CheckNet(s)
	if err != nil {
		return nil, sayNet(err)
	}
	found := netFound{Pass: r.Pass, Average: figure(r.Average), SD: figureOf(r.SD), Limit: figureOf(r.Limit), AveragePasses: r.AverageOK,
		Scheme: string(scheme), Lot: s.Lot, Packages: r.Plan.Packages, Factor: r.Plan.Factor, Tolerance: figure(r.Tolerance),
		ToleranceFrom: toleranceFrom(r, s), Unit: label.suffix(), Short: r.Short, Allowed: r.Plan.Allowed, Worst: figure(r.Worst),
		Label: figure(label.number)}
	if !r.Pass {
		return found, wrongCode{errors.New(found.lines()[0])} // an answer, and it ends with 1
	}
	return found, nil
}

// variation is the maximum allowable variation the owner entered, in the unit of the label.
func variation(in *inputs, label contents) *float64 {
	mav := optional(in, "mav", contents{}, labelContents)
	if mav.unit != "" && mav.unit != label.unit {
		in.fail("mav", errors.New(say("calc.net.other_unit", "Unit", label.suffix())))
	}
	return &mav.number
}

func figureOf(x *float64) *float64 {
	if x == nil {
		return nil
	}
	rounded := figure(*x)
	return &rounded
}

// toleranceFrom names where the tolerance of a package is taken from.
func toleranceFrom(r hazards.NetResult, s hazards.NetSample) string {
	switch {
	case s.Scheme == hazards.SchemeR87:
		return say("calc.net.from.r87")
	case r.Action:
		return say("calc.net.from.action")
	case s.MAV != nil:
		return say("calc.net.from.entered")
	}
	return say("calc.net.from.table", "Edition", hazards.WeightMAV().Edition)
}

// sayNet words the errors of a plan.
func sayNet(err error) error {
	var sample hazards.WrongSample
	var small hazards.LotTooSmall
	switch {
	case errors.As(err, &sample):
		return flagProblem{"--errors", errors.New(say("calc.net.sample", "Lot", sample.Lot, "Want", sample.Want, "Got", sample.Got))}
	case errors.As(err, &small):
		return flagProblem{"--lot", errors.New(say("calc.net.lot", "Lot", small.Lot, "Least", small.Least))}
	}
	return err
}

func (f netFound) lines() []string {
	verdict := "calc.net.fail"
	if f.Pass {
		verdict = "calc.net.pass"
	}
	lines := []string{say(verdict, "Packages", f.Packages, "Lot", f.Lot)}
	if f.Limit == nil {
		lines = append(lines, say("calc.net.single", "Error", decimals(f.Average, 2), "Unit", f.Unit))
	} else {
		lines = append(lines, say("calc.net.average", "Average", decimals(f.Average, 2), "SD", decimals(*f.SD, 2),
			"Limit", decimals(*f.Limit, 2), "Sum", decimals(f.Average+*f.Limit, 2), "Unit", f.Unit))
	}
	return append(lines,
		say("calc.net.short", "Short", f.Short, "Tolerance", decimals(f.Tolerance, 1), "Allowed", f.Allowed, "Worst", decimals(f.Worst, 2), "Unit", f.Unit),
		f.ToleranceFrom)
}

// toleranceFound is the answer about a label alone. The variation of Handbook 133 is null where it is not known here.
type toleranceFound struct {
	ToleranceML *float64 `json:"tolerance_ml,omitempty"`
	ToleranceG  *float64 `json:"tolerance_g,omitempty"`
	TwiceML     *float64 `json:"twice_ml,omitempty"`
	TwiceG      *float64 `json:"twice_g,omitempty"`
	Scheme      string   `json:"scheme"`
	From        string   `json:"tolerance_from"`
	tolerance   float64
	unit        string
}

func netTolerance(in *inputs, scheme hazards.NetScheme, label contents) (result, error) {
	s := hazards.NetSample{Scheme: scheme, Label: label.number, Unit: label.unit}
	if in.given("mav") {
		s.MAV = variation(in, label)
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	t, err := hazards.PackageTolerance(s)
	if err != nil {
		return nil, err
	}
	found := toleranceFound{Scheme: string(scheme), From: toleranceFrom(t, s), tolerance: t.Tolerance, unit: label.suffix()}
	once, twice := figure(t.Tolerance), figure(2*t.Tolerance)
	if label.unit == hazards.UnitGrams {
		found.ToleranceG, found.TwiceG = &once, &twice
	} else {
		found.ToleranceML, found.TwiceML = &once, &twice
	}
	return found, nil
}

func (f toleranceFound) lines() []string {
	return []string{say("calc.net.tolerance", "Tolerance", decimals(f.tolerance, 1), "Twice", decimals(2*f.tolerance, 1), "Unit", f.unit), f.From}
}

// weighedFound is the answer about one package weighed.
type weighedFound struct {
	ErrorML    float64 `json:"error_ml"`
	ContentML  float64 `json:"content_ml"`
	LabelML    float64 `json:"label_ml"`
	NominalG   float64 `json:"nominal_gross_g"`
	GrossG     float64 `json:"gross_g"`
	DensityGML float64 `json:"density_g_per_ml"`
}

func weighedPackage(in *inputs, label contents) (result, error) {
	density := required(in, "density", "1.372g/mL", gramsPerMilliliter)
	tare := required(in, "tare", "250g", grams)
	gross := required(in, "gross", "737g", grams)
	if label.unit == hazards.UnitGrams {
		in.fail("label", errors.New(say("calc.net.volume")))
	}
	if err := in.err(); err != nil {
		return nil, err
	}
	if gross < tare {
		return nil, flagProblem{"--gross", errors.New(say("calc.net.gross", "Gross", plain(gross), "Tare", plain(tare)))}
	}
	off, err := hazards.GravimetricError(label.number, density, tare, gross)
	if err != nil {
		return nil, err
	}
	return weighedFound{ErrorML: figure(off), ContentML: figure(label.number + off), LabelML: figure(label.number),
		NominalG: figure(label.number*density + tare), GrossG: figure(gross), DensityGML: figure(density)}, nil
}

func (f weighedFound) lines() []string {
	return []string{
		say("calc.net.weighed", "Error", decimals(math.Round(f.ErrorML*10)/10+0, 1), "Content", decimals(f.ContentML, 1), "Label", decimals(f.LabelML, 1)),
		say("calc.net.nominal", "Nominal", decimals(f.NominalG, 1), "Gross", decimals(f.GrossG, 1)),
		say("calc.net.cold"),
	}
}
