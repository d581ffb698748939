package hazards

import (
	"errors"
	"slices"
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// Stages of a density reading.
const (
	StageBoil   = "boil"   // guides, never opens anything
	StageFinish = "finish" // the run is judged on it
	StageLot    = "lot"    // the lot's own
)

// RefractometerUncertainty is what a refractometer's Brix may be off as dissolved solids, by composition (physics 12).
const RefractometerUncertainty syrup.Brix = 0.5

// ReadingFacts is a hydrometer or refractometer reading as read.
type ReadingFacts struct {
	ID                 string
	Name               string
	At                 time.Time
	Stage              string
	Reading            float64
	Scale              syrup.Scale
	Temperature        *syrup.Celsius
	TemperatureEntered string // as typed, "220 F": tells a slip of units
	Instrument         *InstrumentFacts
	Thermometer        *InstrumentFacts // took the temperature; nil is not known
	Person             string
}

// ErrNoTemperature says that a reading was kept without its temperature and cannot be used.
var ErrNoTemperature = errors.New("reading without a temperature: add the syrup temperature, the reading cannot be used without it")

// ErrHotRefractometer says that a drop was too hot for a refractometer: water flashes off it and the reading climbs.
var ErrHotRefractometer = errors.New("refractometer read above 30 C (86 F): let the drop cool on the closed prism and read again")

// Solids turns the reading into true solids with their uncertainty: the hydrometer's model, or the instrument's own
// uncertainty where that is larger. A refractometer's Brix is kept as read (no correction: it may have its own). The
// error of a failed check is taken off first, and the thermometer's zero of the day off the temperature. Errors: ErrNoTemperature, ErrHotRefractometer, or a syrup.RangeError for
// a reading outside the model.
func (r ReadingFacts) Solids() (syrup.Solids, error) {
	if r.Temperature == nil {
		return syrup.Solids{}, ErrNoTemperature
	}
	reading := r.Instrument.unfavourable(r.Reading)
	if r.Instrument.refractometer() {
		return r.refracted(reading)
	}
	h, at := r.Instrument.hydrometer(), r.at()
	solids, err := h.TrueSolids(r.Scale, reading, at)
	if err != nil {
		return syrup.Solids{}, err
	}
	if r.Instrument != nil && r.Instrument.Uncertainty != nil {
		if more, err := h.TrueSolids(r.Scale, reading+*r.Instrument.Uncertainty, at); err == nil {
			solids.Uncertainty = max(solids.Uncertainty, more.Percent-solids.Percent)
		}
	}
	return solids, nil
}

func (r ReadingFacts) refracted(reading float64) (syrup.Solids, error) {
	limit := references[LimitRefractometer]
	if !limit.Passed(float64(*r.Temperature)) {
		return syrup.Solids{}, ErrHotRefractometer
	}
	if reading < float64(syrup.MinSolids) || reading > float64(syrup.MaxSolids) {
		return syrup.Solids{}, syrup.RangeError{What: syrup.WhatReading, Got: reading, Min: float64(syrup.MinSolids),
			Max: float64(syrup.MaxSolids), Unit: string(syrup.ScaleBrix)}
	}
	u := RefractometerUncertainty
	if r.Instrument.Uncertainty != nil {
		u = max(u, syrup.Brix(*r.Instrument.Uncertainty))
	}
	return syrup.Solids{Percent: syrup.Brix(reading), Uncertainty: u}, nil
}

// model names what turned the reading into solids.
func (r ReadingFacts) model() string {
	if r.Instrument.refractometer() {
		return "refractometer/1"
	}
	return syrup.ModelHydrometer
}

// measured is the reading as read.
func (r ReadingFacts) measured() Value { return number(r.Reading, scaleUnit(r.Scale)) }

// JudgeReading says whether a reading can be used and whether it looks like a slip. In the boil a reading only guides,
// so nothing there is more than a note.
func JudgeReading(r ReadingFacts, rules Rules) []Finding {
	return r.judged(r.usable(), rules)
}

// judged adds to what usable found what else is to be said of the reading.
func (r *ReadingFacts) judged(findings []Finding, rules Rules) []Finding {
	findings = append(findings, r.slips(rules)...)
	if r.Instrument != nil && r.Instrument.Measures != MeasuresRefraction && r.Instrument.Stem == "" {
		findings = append(findings, r.finding("reading.stem_assumed", Note))
	}
	findings = append(findings, r.Instrument.failed(scaleUnit(r.Scale))...)
	if r.Stage == StageBoil {
		findings = told(findings)
	}
	return findings
}

// told lowers findings to notes.
func told(findings []Finding) []Finding {
	for i := range findings {
		findings[i].Level = min(findings[i].Level, Note)
	}
	return findings
}

// usable is the finding about a reading that cannot be used: kept, and held.
func (r *ReadingFacts) usable() []Finding {
	if r.surelyUsable() {
		return nil
	}
	_, err := r.Solids()
	var outside syrup.RangeError
	switch {
	case errors.Is(err, ErrNoTemperature):
		return []Finding{r.finding("reading.no_temperature", Hold)}
	case errors.Is(err, ErrHotRefractometer):
		f := against("reading.refractometer_hot", Hold, r.ID, r.Name, degrees(*r.Temperature), references[LimitRefractometer])
		return []Finding{f}
	case errors.As(err, &outside) && outside.What == syrup.WhatTemperature:
		f := r.finding("reading.outside_model", Hold).with("At", degrees(*r.Temperature))
		return []Finding{f}
	case err != nil:
		f := r.finding("reading.outside_model", Hold).with("At", degrees(*r.Temperature))
		return []Finding{f}
	}
	return nil
}

// slips are questions about a finish or lot reading that looks typed in another unit.
func (r *ReadingFacts) slips(rules Rules) []Finding {
	var findings []Finding
	if r.Stage == StageBoil {
		return nil
	}
	baume, brix := rules.Limits.Judged(LimitBaumeSlip), rules.Limits.Judged(LimitBrixSlip)
	if r.Scale == syrup.ScaleBaume && !baume.Passed(r.Reading) {
		findings = append(findings, against("reading.slip_brix_as_baume", Check, r.ID, r.Name, r.measured(), baume))
	}
	if r.Scale == syrup.ScaleBrix && !brix.Passed(r.Reading) {
		findings = append(findings, against("reading.slip_baume_as_brix", Check, r.ID, r.Name, r.measured(), brix))
	}
	if r.Temperature == nil {
		return findings
	}
	if r.Stage == StageFinish && typedCelsiusAsFahrenheit(r.TemperatureEntered, *r.Temperature, 95, 115) {
		findings = append(findings, r.finding("reading.slip_celsius_as_fahrenheit", Check).with("At", degrees(*r.Temperature)))
	}
	if hot := rules.Limits.Judged(LimitReadingHot); !hot.Passed(float64(*r.Temperature)) {
		findings = append(findings, against("reading.temperature_high", Check, r.ID, r.Name, degrees(*r.Temperature), hot))
	}
	return findings
}

// typedCelsiusAsFahrenheit tells whether a temperature typed in F has a number that would be usual in C.
func typedCelsiusAsFahrenheit(entered string, t syrup.Celsius, low, high syrup.Fahrenheit) bool {
	f := t.Fahrenheit()
	inF := strings.HasSuffix(strings.ToUpper(strings.TrimSpace(entered)), "F")
	return inF && f >= low && f <= high
}

func (r *ReadingFacts) finding(code string, level Level) Finding {
	m := r.measured()
	return Finding{Code: code, Level: level, About: r.ID, AboutName: r.Name, Measured: &m, Source: ourRule, Model: r.model()}
}

// Governing is the reading a run or lot is judged on: the latest of the stage that can be used. Nil when there is none.
func Governing(readings []ReadingFacts, stage string) *ReadingFacts {
	var latest *ReadingFacts
	for i := range readings {
		r := &readings[i]
		if r.Stage != stage || latest != nil && r.At.Before(latest.At) {
			continue
		}
		if r.surelyUsable() {
			latest = r
		} else if _, err := r.Solids(); err == nil {
			latest = r
		}
	}
	if latest == nil {
		return nil
	}
	found := *latest
	return &found
}

// Between these, at any temperature of the model and on any stem, a hydrometer's reading can be worked out: far from the
// ends of both scales (a test holds it to that). It spares the long boil log a solution of the model for each entry.
const (
	sureLowBaume, sureHighBaume = 1.0, 38.0
	sureLowBrix, sureHighBrix   = 2.0, 70.0
)

// surelyUsable tells, without working it out, that a hydrometer reading can be. False says nothing.
func (r *ReadingFacts) surelyUsable() bool {
	if r.Temperature == nil || !r.Instrument.plainHydrometer() {
		return false
	}
	if at := r.at(); at < syrup.MinDensityTemperature || at > syrup.MaxDensityTemperature {
		return false
	}
	switch r.Scale {
	case syrup.ScaleBaume:
		return r.Reading >= sureLowBaume && r.Reading <= sureHighBaume
	case syrup.ScaleBrix:
		return r.Reading >= sureLowBrix && r.Reading <= sureHighBrix
	}
	return false
}

// atStage lists the readings of a stage in order of time.
func atStage(readings []ReadingFacts, stage string) []ReadingFacts {
	var list []ReadingFacts
	for i := range readings {
		if readings[i].Stage == stage {
			list = append(list, readings[i])
		}
	}
	slices.SortStableFunc(list, func(a, b ReadingFacts) int { return a.At.Compare(b.At) })
	return list
}

// judgeReadings judges all readings of a run or lot. One that cannot be used holds only while no other of its stage can.
func judgeReadings(readings []ReadingFacts, rules Rules) []Finding {
	var findings []Finding
	governed := map[string]bool{}
	for _, stage := range []string{StageBoil, StageFinish, StageLot} {
		governed[stage] = Governing(readings, stage) != nil
	}
	for i := range readings {
		r := &readings[i]
		unusable := r.usable()
		kept := len(unusable) > 0
		about := r.judged(unusable, rules)
		if kept && governed[r.Stage] {
			about = told(about)
		}
		findings = append(findings, about...)
	}
	return findings
}
