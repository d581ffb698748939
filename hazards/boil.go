package hazards

import (
	"time"

	"canewright/hazards/syrup"
)

// BoilFacts is one temperature of a boil log.
type BoilFacts struct {
	ID                 string
	Name               string // what the entry is called: the run's code
	At                 time.Time
	Temperature        syrup.Celsius
	TemperatureEntered string // as typed, "220 F": tells a slip of units
}

// boilJump is how far two entries of a boil, one after the other, may lie apart without a question: 60 F. Common practice,
// no source.
const boilJump = syrup.FahrenheitDelta(60)

// boilHot is where a kettle is hot enough that a much lower number is more likely a slip than a cooling.
const boilHot = syrup.Fahrenheit(150)

// JudgeBoil asks about the temperatures of a boil that look like slips; entries come in order of time. Nothing here is
// more than a note: what is in the kettle is judged on the finish reading.
func JudgeBoil(entries []BoilFacts, rules Rules) []Finding {
	var findings []Finding
	hot := rules.Limits.Judged(LimitReadingHot)
	for i, e := range entries {
		at := degrees(e.Temperature)
		wasHot := i > 0 && entries[i-1].Temperature.Fahrenheit() >= boilHot
		switch {
		case wasHot && typedCelsiusAsFahrenheit(e.TemperatureEntered, e.Temperature, 95, 115):
			findings = append(findings, Finding{Code: "boil.slip_celsius_as_fahrenheit", Level: Note, About: e.ID, AboutName: e.Name,
				Measured: &at, Source: ourRule})
		case !hot.Passed(float64(e.Temperature)):
			findings = append(findings, against("reading.temperature_high", Note, e.ID, e.Name, at, hot))
		case i > 0:
			findings = append(findings, e.jumped(entries[i-1])...)
		}
	}
	return findings
}

// jumped notes a temperature far from the one before it.
func (e BoilFacts) jumped(before BoilFacts) []Finding {
	apart := e.Temperature.Sub(before.Temperature)
	if max(apart, -apart) <= boilJump.Celsius() {
		return nil
	}
	measured := number(float64(max(apart, -apart)), UnitCelsiusDelta)
	limit := number(float64(boilJump.Celsius()), UnitCelsiusDelta)
	f := Finding{Code: "boil.jump", Level: Note, About: e.ID, AboutName: e.Name, Measured: &measured, Limit: &limit, Source: practice}
	return []Finding{f.with("Before", degrees(before.Temperature)).with("Now", degrees(e.Temperature))}
}
