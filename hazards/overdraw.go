package hazards

import "math"

// DrawFacts is everything drawn from one source so far, the draw in question included, beside what it had. Both are in
// one unit. Held is nil when what it had was not recorded.
type DrawFacts struct {
	ID    string // of the source
	Name  string
	Juice bool // juice may be 3 % over, syrup and units 2 %
	Held  *Value
	Drawn Value
}

// over is how far past what was there, in percent.
func (d DrawFacts) over() (float64, bool) {
	if d.Held == nil || d.Held.Unit != d.Drawn.Unit || d.Drawn.Number <= d.Held.Number {
		return 0, false
	}
	if d.Held.Number <= 0 {
		return math.MaxFloat64, true
	}
	return (d.Drawn.Number - d.Held.Number) * 100 / d.Held.Number, true
}

// JudgeDraw finds more drawn than was there: a check past the margin, a stop past the point where it is a likely slip and
// the entry is to be refused. Both figures are in the finding.
func JudgeDraw(d DrawFacts, rules Rules) []Finding {
	over, ok := d.over()
	if !ok {
		return nil
	}
	margin, refuse := rules.Limits.Judged(LimitDrawSyrup), rules.Limits.Judged(LimitDrawRefuse)
	if d.Juice {
		margin = rules.Limits.Judged(LimitDrawJuice)
	}
	var f Finding
	switch {
	case over > refuse.Value:
		f = against("overdraw.refused", Stop, d.ID, d.Name, d.Drawn, refuse)
	case over > margin.Value:
		f = against("overdraw.over", Check, d.ID, d.Name, d.Drawn, margin)
	default:
		return nil
	}
	return []Finding{f.with("Held", *d.Held).with("Drawn", d.Drawn)}
}
