package main

import "canewright/hazards/syrup"

// spindle is the hydrometer as asked for, and what had to be assumed about it.
type spindle struct {
	Ref             syrup.Stem `json:"ref"`
	RefAssumed      bool       `json:"ref_assumed"`
	Modulus         float64    `json:"modulus"`
	ModulusAssumed  bool       `json:"modulus_assumed"`
	TemperatureC    float64    `json:"temperature_c"`
	TemperatureF    float64    `json:"temperature_f"`
	Estimated       bool       `json:"estimated"`
	Model           string     `json:"model"`
	temperatureRead syrup.Celsius
}

// spindleFrom reads --ref, --modulus and --at.
func spindleFrom(in *inputs) (spindle, syrup.Hydrometer) {
	h := syrup.Hydrometer{
		Stem:    optional(in, "ref", syrup.Stem60F, stem),
		Modulus: optional(in, "modulus", syrup.DefaultModulus, modulus),
	}
	at := required(in, "at", "220F", syrup.ParseTemperature)
	return spindle{
		Ref: h.Stem, RefAssumed: !in.given("ref"),
		Modulus: h.Modulus, ModulusAssumed: !in.given("modulus"),
		TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()), temperatureRead: at,
		Estimated: true, Model: syrup.ModelHydrometer,
	}, h
}

// assumptions are the lines that say what the stem is and what was assumed.
func (s spindle) assumptions() []string {
	stemKey, modulusKey := "calc.stem.given", "calc.modulus.given"
	if s.RefAssumed {
		stemKey = "calc.stem.assumed"
	}
	if s.ModulusAssumed {
		modulusKey = "calc.modulus.assumed"
	}
	return []string{
		say(stemKey, "Stem", s.Ref),
		say(modulusKey, "Modulus", plain(s.Modulus)),
		say("calc.sucrose"),
	}
}

// solidsFound is the answer of calc solids.
type solidsFound struct {
	SolidsPercent      float64  `json:"solids_percent"`
	UncertaintyPercent float64  `json:"uncertainty_percent"`
	Baume              *float64 `json:"baume,omitempty"`
	BrixReading        *float64 `json:"brix_reading,omitempty"`
	VolumeLostTo74     *float64 `json:"volume_lost_to_74_percent,omitempty"` // below 74 %: what boiling on would cost
	ScaleDoubtful      bool     `json:"scale_doubtful,omitempty"`
	spindle
	solids syrup.Brix
}

// calcSolids is `calc solids --baume 33.5 --at 220F [--ref STEM]`.
func calcSolids(in *inputs) (result, error) {
	if err := in.parse("baume", "brix", "at", "ref", "modulus"); err != nil {
		return nil, err
	}
	if in.given("baume") == in.given("brix") {
		in.problems = append(in.problems, eitherOf("--baume 33.5", "--brix 59"))
	}
	found := solidsFound{}
	scale, reading := syrup.ScaleBaume, optional(in, "baume", 0, syrup.ParseNumber)
	found.Baume = &reading
	if in.given("brix") {
		scale, reading = syrup.ScaleBrix, optional(in, "brix", 0, percent)
		found.Baume, found.BrixReading = nil, &reading
	}
	var h syrup.Hydrometer
	found.spindle, h = spindleFrom(in)
	if err := in.err(); err != nil {
		return nil, err
	}
	solids, err := h.TrueSolids(scale, reading, found.temperatureRead)
	if err != nil {
		return nil, err
	}
	found.solids = solids.Percent
	found.SolidsPercent, found.UncertaintyPercent = figure(solids.Percent), figure(solids.Uncertainty)
	found.VolumeLostTo74 = lostTo74(solids.Percent)
	found.ScaleDoubtful = syrup.DoubtfulScale(scale, reading, found.temperatureRead)
	return found, nil
}

func (f solidsFound) lines() []string {
	reading, scale := f.Baume, say("unit.baume")
	if f.BrixReading != nil {
		reading, scale = f.BrixReading, say("unit.brix")
	}
	lines := []string{
		say("calc.solids.result", "Solids", solidsText(f.solids), "Uncertainty", decimals(f.UncertaintyPercent, 1)),
		say("calc.solids.read", "Reading", plain(*reading), "Scale", scale, "Temperature", temperatureText(f.temperatureRead)),
	}
	if f.VolumeLostTo74 != nil {
		lines = append(lines, say("calc.lost_to_74", "Lost", decimals(*f.VolumeLostTo74, 1)))
	}
	if f.ScaleDoubtful {
		lines = append(lines, say("calc.solids.doubtful", "Scale", scale))
	}
	return append(lines, f.assumptions()...)
}

// readingFound is the answer of calc reading.
type readingFound struct {
	Baume              float64 `json:"baume"`
	BrixReading        float64 `json:"brix_reading"`
	SolidsPercent      float64 `json:"solids_percent"`
	UncertaintyPercent float64 `json:"uncertainty_percent"`
	spindle
	solids syrup.Brix
}

// calcReading is `calc reading --solids 74 --at 220F [--ref STEM]`.
func calcReading(in *inputs) (result, error) {
	if err := in.parse("solids", "at", "ref", "modulus"); err != nil {
		return nil, err
	}
	solids := required(in, "solids", "74", percentSolids)
	s, h := spindleFrom(in)
	if err := in.err(); err != nil {
		return nil, err
	}
	baume, err := h.Reading(syrup.ScaleBaume, solids, s.temperatureRead)
	if err != nil {
		return nil, err
	}
	brix, err := h.Reading(syrup.ScaleBrix, solids, s.temperatureRead)
	if err != nil {
		return nil, err
	}
	uncertainty := syrup.ReadingUncertainty(s.temperatureRead)
	return readingFound{
		Baume: figure(baume), BrixReading: figure(brix),
		SolidsPercent: figure(solids), UncertaintyPercent: figure(uncertainty),
		spindle: s, solids: solids,
	}, nil
}

func (f readingFound) lines() []string {
	lines := []string{
		say("calc.reading.result", "Baume", decimals(f.Baume, 1), "Brix", decimals(f.BrixReading, 1)),
		say("calc.reading.means", "Solids", solidsText(f.solids), "Temperature", temperatureText(f.temperatureRead),
			"Uncertainty", decimals(f.UncertaintyPercent, 1)),
	}
	return append(lines, f.assumptions()...)
}
