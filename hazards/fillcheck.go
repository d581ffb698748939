package hazards

import (
	"time"

	"canewright/hazards/syrup"
)

// closing judges how a bottle was closed and turned.
func (f FillFacts) closing(i int, rules Rules) []Finding {
	c := f.Checks[i]
	var findings []Finding
	if c.ClosureOK != nil && !*c.ClosureOK {
		finding := Finding{Code: "fill.closure", Level: Hold, About: c.ID, AboutName: c.Name, Source: practice}
		limit, _ := f.limit(rules)
		findings = append(findings, f.window(i, limit, finding, rules))
	}
	limit := rules.Limits.Judged(LimitInverted)
	if c.InvertedSeconds != nil && !limit.Passed(float64(*c.InvertedSeconds)) {
		measured := number(float64(*c.InvertedSeconds), UnitSeconds)
		findings = append(findings, against("fill.inverted_short", Check, c.ID, c.Name, measured, limit))
	}
	return findings
}

// weight compares the net weight with what the declared volume weighs in air at the lot's solids.
func (f FillFacts) weight(i int) []Finding {
	c := f.Checks[i]
	if c.NetWeight == nil || f.Contents == nil || f.Solids == nil {
		return nil
	}
	least, err := syrup.NetWeight(*f.Contents, f.Solids.Percent)
	if err != nil || *c.NetWeight >= least {
		return nil
	}
	measured, limit := number(float64(*c.NetWeight), UnitGrams), number(float64(least), UnitGrams)
	return []Finding{{Code: "fill.weight_short", Level: Check, About: c.ID, AboutName: c.Name, Measured: &measured, Limit: &limit,
		Source: ourRule, Model: syrup.ModelDensity}}
}

// intervals finds checks that lie too far apart, the first bottle and the last counted in where known. While the filling
// stood still no bottle was capped, and none is missed.
func (f FillFacts) intervals(rules Rules) []Finding {
	limit := rules.Limits.Judged(LimitInterval)
	var findings []Finding
	last := f.StartedAt
	tell := func(at time.Time, about, name string) {
		if last == nil {
			return
		}
		if minutes := f.running(*last, at).Minutes(); !limit.Passed(minutes) {
			findings = append(findings, against("fill.interval_long", Check, about, name, number(minutes, UnitMinutes), limit).
				with("From", clockOf(*last, rules.zone())).with("To", clockOf(at, rules.zone())))
		}
	}
	for _, c := range f.Checks {
		tell(c.At, c.ID, c.Name)
		at := c.At
		last = &at
	}
	if f.EndedAt != nil && len(f.Checks) > 0 {
		tell(*f.EndedAt, f.ID, f.Name)
	}
	return findings
}
