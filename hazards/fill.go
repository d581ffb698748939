package hazards

import (
	"math"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// FillCheckFacts is one look at a bottle as it is capped.
type FillCheckFacts struct {
	ID              string
	Name            string
	At              time.Time
	Bottle          *syrup.Celsius // at capping
	BottleEntered   string
	Tank            *syrup.Celsius // a reading of its own, never judged as the bottle's
	Instrument      *InstrumentFacts
	InvertedSeconds *int
	ClosureOK       *bool
	NetWeight       *syrup.Grams
	Person          string
	BottleNumber    *int // bottles capped so far, this one included; nil: not said
}

// FillFacts is the filling of one lot into one container.
type FillFacts struct {
	ID          string // of the lot
	Name        string
	ContainerID string
	Container   string
	Contents    *syrup.Milliliters // declared, at 20 C
	HouseLimit  *syrup.Celsius     // of this container; nil: none
	LimitSource string             // of the house limit
	Solids      *syrup.Solids      // of the lot; nil: not known
	StartedAt   *time.Time
	EndedAt     *time.Time
	Count       *int // bottles filled; nil while filling
	Checks      []FillCheckFacts
	Stops       []FillStop
}

// judged is the bottle's temperature with the thermometer's zero of the day, or the error of a failed check, taken off; false
// when it was not recorded.
func (c FillCheckFacts) judged() (float64, bool) {
	if c.Bottle == nil {
		return 0, false
	}
	return float64(c.Instrument.Temperature(*c.Bottle)), true
}

// uncertainty is the thermometer's own, or what is assumed where it is not known, in C.
func (c FillCheckFacts) uncertainty(rules Rules) float64 {
	if c.Instrument != nil && c.Instrument.Uncertainty != nil {
		return *c.Instrument.Uncertainty
	}
	return rules.Limits.Judged(LimitThermometer).Value
}

// inTime lists the checks in order of time.
func (f FillFacts) inTime() []FillCheckFacts {
	checks := slices.Clone(f.Checks)
	slices.SortStableFunc(checks, func(a, b FillCheckFacts) int { return a.At.Compare(b.At) })
	return checks
}

// JudgeFill judges every check of a filling in order of time.
func JudgeFill(f FillFacts, rules Rules) []Finding {
	f.Checks = f.inTime()
	limit, code := f.limit(rules)
	findings := f.aboutLimit(limit, code)
	for i := range f.Checks {
		findings = append(findings, f.temperature(i, limit, rules)...)
		findings = append(findings, f.closing(i, rules)...)
		findings = append(findings, f.weight(i)...)
	}
	findings = append(findings, f.intervals(rules)...)
	findings = append(findings, f.afterStops(rules)...)
	if coolest, lowest, ok := f.lowest(); ok && limit.Passed(lowest) {
		met := against("fill.met", Within, f.ID, f.Name, degrees(syrup.Celsius(lowest)), limit)
		findings = append(findings, met.correctedAt(coolest.Instrument, *coolest.Bottle))
	}
	return findings
}

// limit is the limit bottles of this container are judged by. A house limit below the reference needs a source and
// solids of at least 74 %; without them the reference judges, and the code says why.
func (f FillFacts) limit(rules Rules) (Limit, string) {
	base := rules.Limits.Judged(LimitCapping)
	if f.HouseLimit == nil {
		return base, ""
	}
	house := Limit{Code: LimitCapping, Value: float64(*f.HouseLimit), Unit: UnitCelsius, Least: true, House: true,
		Source: f.LimitSource}
	reference := references[LimitCapping]
	switch {
	case house.Value >= reference.Value:
		return house, ""
	case f.LimitSource == "":
		return base, "fill.low_limit_source"
	case f.Solids == nil || !references[LimitCane].Passed(float64(f.Solids.Percent)):
		return base, "fill.low_limit_solids"
	}
	return house, ""
}

// aboutLimit tells why a low house limit did not judge. It keeps nothing back by itself: every bottle was judged by the
// reference instead, and each check below that holds its own bottles.
func (f FillFacts) aboutLimit(limit Limit, code string) []Finding {
	if code == "" {
		return nil
	}
	finding := against(code, Note, f.ContainerID, f.Container, degrees(*f.HouseLimit), limit)
	if code == "fill.low_limit_solids" {
		solids := Value{Unit: UnitKeys, Text: "word.not_recorded"}
		if f.Solids != nil {
			solids = solidsValue(*f.Solids)
		}
		finding = finding.with("Solids", solids)
	}
	return []Finding{finding}
}

// temperature judges the bottle of one check.
func (f FillFacts) temperature(i int, limit Limit, rules Rules) []Finding {
	c := f.Checks[i]
	findings := c.Instrument.failed(UnitCelsiusDelta)
	if c.Tank != nil {
		findings = append(findings, c.tank(rules)...)
	}
	t, ok := c.judged()
	if !ok && c.NetWeight != nil {
		return findings // only weighed
	}
	if !ok {
		return append(findings, Finding{Code: "fill.bottle_not_recorded", Level: Check, About: c.ID, AboutName: c.Name, Source: ourRule})
	}
	if typedCelsiusAsFahrenheit(c.BottleEntered, *c.Bottle, 60, 100) {
		findings = append(findings, Finding{Code: "fill.slip_celsius_as_fahrenheit", Level: Note, About: c.ID, AboutName: c.Name,
			Source: ourRule}.with("At", degrees(*c.Bottle)))
	}
	switch {
	case !limit.Passed(t):
		below := against(f.below(limit), Hold, c.ID, c.Name, degrees(syrup.Celsius(t)), limit)
		below = below.correctedAt(c.Instrument, *c.Bottle)
		findings = append(findings, f.window(i, limit, below, rules))
	case t-limit.Value < c.uncertainty(rules) && !f.confirmed(i, limit, rules):
		value := degrees(syrup.Celsius(t))
		u := c.uncertainty(rules)
		value.Uncertainty = &u
		near := against("fill.near_limit", Check, c.ID, c.Name, value, limit)
		findings = append(findings, near.correctedAt(c.Instrument, *c.Bottle))
	}
	return findings
}

// below is the code of a bottle past the limit: the house's own, none set for this bottle, or one that cannot be used.
func (f FillFacts) below(limit Limit) string {
	switch {
	case limit.House:
		return "fill.below_limit"
	case f.HouseLimit == nil:
		return "fill.below_no_house_limit"
	}
	return "fill.below_reference"
}

// tank tells a tank temperature outside the usual; it is never judged as the bottle's.
func (c FillCheckFacts) tank(rules Rules) []Finding {
	for _, code := range []string{LimitTankLow, LimitTankHigh} {
		if limit := rules.Limits.Judged(code); !limit.Passed(float64(*c.Tank)) {
			return []Finding{against("fill.tank_unusual", Note, c.ID, c.Name, degrees(*c.Tank), limit)}
		}
	}
	return nil
}

// confirmed tells whether another thermometer found a bottle within the limit close by in time.
func (f FillFacts) confirmed(i int, limit Limit, rules Rules) bool {
	c := f.Checks[i]
	together := rules.Limits.Judged(LimitTogether)
	return slices.ContainsFunc(f.Checks, func(d FillCheckFacts) bool {
		if d.ID == c.ID || c.Instrument == nil || d.Instrument == nil || c.Instrument.ID == d.Instrument.ID {
			return false
		}
		t, ok := d.judged()
		return ok && limit.Passed(t) && together.Passed(math.Abs(d.At.Sub(c.At).Minutes()))
	})
}

// lowest is the check with the coolest bottle of the filling as judged, and that temperature.
func (f FillFacts) lowest() (check FillCheckFacts, lowest float64, found bool) {
	lowest = math.Inf(1)
	for _, c := range f.Checks {
		if t, ok := c.judged(); ok && t < lowest {
			check, lowest, found = c, t, true
		}
	}
	return check, lowest, found
}
