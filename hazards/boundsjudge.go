package hazards

import "canewright/hazards/syrup"

// unusual is the finding about a number that lies outside its bound: a check with the end it lies past, a hold where it is
// past the hard one. Entry refuses such a number; it can still come out of two records together, as hours out of two
// times, so that the figure wants an amendment of one of them.
func unusual(code string, x float64, entered, about, name string) []Finding {
	level, slip := Plausible(code, x, entered)
	return outside(bounds[code], level, slip, x, about, name)
}

// unusualHours is unusual for hours between two clock times: nobody typed them, so no slip of units explains them.
func unusualHours(code string, hours float64, about, name string) []Finding {
	return outside(bounds[code], bounds[code].level(hours), "", hours, about, name)
}

func outside(b Bound, level Level, slip Slip, x float64, about, name string) []Finding {
	if level == Within {
		return nil
	}
	finding, span := Finding{Code: "bounds.unusual", Level: Check}, b.Warn
	switch {
	case level == Stop && slip != "":
		finding, span = Finding{Code: "bounds.impossible_slip", Level: Hold}, b.Hard
	case level == Stop:
		finding, span = Finding{Code: "bounds.impossible", Level: Hold}, b.Hard
	case slip != "":
		finding.Code = "bounds.unusual_slip"
	}
	if slip != "" {
		finding = finding.with("Slip", keys("slip."+string(slip)))
	}
	measured := number(x, b.Unit)
	finding.About, finding.AboutName, finding.Measured = about, name, &measured
	finding.Source, finding.LimitVersion = b.Source, BoundsVersion
	if level == Stop {
		finding.Source = practice
	}
	side := "bound_side.most"
	if end, least, ok := span.passed(x); ok {
		limit := number(end, b.Unit)
		finding.Limit = &limit
		if least {
			side = "bound_side.least"
		}
	}
	finding = finding.with("What", keys("bound."+b.Code)).with("Side", keys(side))
	return []Finding{finding.with("Means", keys("bound_means."+b.Code))}
}

// unusual asks about the juice of a pressing: Brix, pH, temperature.
func (p PressingFacts) unusual() []Finding {
	var findings []Finding
	if p.Brix != nil {
		findings = append(findings, unusual(BoundJuiceBrix, float64(*p.Brix), "", p.ID, p.Name)...)
	}
	if p.PH != nil {
		findings = append(findings, unusual(BoundJuicePH, *p.PH, "", p.ID, p.Name)...)
	}
	if p.Temperature != nil {
		findings = append(findings, unusual(BoundJuiceTemp, float64(*p.Temperature), p.TemperatureEntered, p.ID, p.Name)...)
	}
	return findings
}

// unusual asks about the figures of a boil: how long the juice stood, how long it cooked, what went in and came out. The
// finish reading is judged with the readings and the name.
func (r RunFacts) unusual() []Finding {
	var findings []Finding
	ask := func(code string, x float64) { findings = append(findings, unusual(code, x, "", r.ID, r.Name)...) }
	if hours, ok := r.stood(); ok {
		findings = append(findings, unusualHours(BoundJuiceHold, hours, r.ID, r.Name)...)
	}
	cook, cooked := r.cooked()
	if cooked && r.Outcome == OutcomeSyrup && !r.Boiled { // a boil broken off or taken up half-way is no usual one
		findings = append(findings, unusualHours(BoundCook, cook, r.ID, r.Name)...)
	}
	if r.JuiceIn == nil {
		return findings
	}
	ask(BoundCharge, float64(*r.JuiceIn))
	if r.VolumeOut == nil || *r.VolumeOut <= 0 || r.Outcome != OutcomeSyrup {
		return findings
	}
	ask(BoundJuicePerSyrup, float64(*r.JuiceIn / *r.VolumeOut))
	if off := (*r.JuiceIn - *r.VolumeOut).USGallons(); cooked && cook > 0 && off > 0 {
		ask(BoundEvaporation, float64(off)/cook)
	}
	return findings
}

// cooked is the hours on the fire: from fire lit to drawn off, less the time it was out.
func (r RunFacts) cooked() (hours float64, ok bool) {
	if r.FireLitAt == nil || r.DrawnOffAt == nil || r.DrawnOffAt.Before(*r.FireLitAt) {
		return 0, false
	}
	return (r.DrawnOffAt.Sub(*r.FireLitAt) - r.FireOut).Hours(), true
}

// stood is the longest that juice of the run waited from the end of its pressing to the fire.
func (r RunFacts) stood() (hours float64, ok bool) {
	if r.FireLitAt == nil {
		return 0, false
	}
	for _, p := range r.Pressings {
		end := p.EndedAt
		if end == nil {
			end = p.StartedAt
		}
		if end == nil || end.After(*r.FireLitAt) {
			continue
		}
		hours, ok = max(hours, r.FireLitAt.Sub(*end).Hours()), true
	}
	return hours, ok
}

// unusual asks about what stands on the field and what was sprayed on it.
func (c CutFacts) unusual() []Finding {
	var findings []Finding
	if p := c.Planting; p != nil && p.Ratoon != nil {
		findings = append(findings, unusual(BoundRatoon, float64(*p.Ratoon), "", p.ID, p.Name)...)
	}
	for _, a := range c.Applications {
		if days, ok := c.CutOn.daysAfter(a.AppliedOn); ok && days >= 0 && days <= applicationDays {
			findings = append(findings, unusual(BoundInterval, float64(a.PreHarvestDays), "", a.ID, a.Name)...)
		}
	}
	return findings
}

// estimatedAt is the temperature modelled water activities are given for; laboratories measure at 25 C.
const estimatedAt syrup.Celsius = 25
