package hazards

// Stages of a balance.
const (
	BalanceBoil    = "boil"    // dissolved solids into and out of a kettle
	BalanceBottled = "bottled" // syrup into and out of the holding tank or the filler
	BalanceUnits   = "units"   // bottles of a part
)

// BalanceFacts is what went into a stage and what is known to have become of it, all in one unit. In and Out are needed;
// of the others nil is not recorded, which leaves it in what is unaccounted for.
type BalanceFacts struct {
	ID        string
	Name      string
	Stage     string
	Unit      Unit
	In, Out   *float64
	Skimmings *float64
	Samples   *float64
	Loss      *float64
	OnHand    *float64
	Estimated bool
}

// Unaccounted is in less everything known to have come of it; false when in or out is not recorded. It may be negative.
func (b BalanceFacts) Unaccounted() (float64, bool) {
	if b.In == nil || b.Out == nil {
		return 0, false
	}
	rest := *b.In - *b.Out
	for _, x := range []*float64{b.Skimmings, b.Samples, b.Loss, b.OnHand} {
		if x != nil {
			rest -= *x
		}
	}
	return rest, true
}

// JudgeBalance shows what is unaccounted for, and asks where it is past the limit of the stage. Nothing is spread over
// the records to make it fit.
func JudgeBalance(b BalanceFacts, rules Rules) []Finding {
	rest, ok := b.Unaccounted()
	if !ok || rest == 0 {
		return nil
	}
	if f, found := b.past(rest, rules); found {
		return []Finding{b.told(f, rest)}
	}
	f := Finding{Code: "balance.unaccounted", Level: Note, About: b.ID, AboutName: b.Name, Source: ourRule}
	if b.Stage == BalanceUnits {
		f.Code = "balance.count_differs"
	}
	return []Finding{b.told(f, rest)}
}

// past is the finding when the share accounted for is outside what the stage allows.
func (b BalanceFacts) past(rest float64, rules Rules) (Finding, bool) {
	if *b.In <= 0 || b.Stage == BalanceUnits {
		return Finding{}, false
	}
	l := rules.Limits
	percent := (*b.In - rest) * 100 / *b.In
	low, high := l.Judged(LimitBalanceLow), l.Judged(LimitBalanceHigh)
	if b.Stage == BalanceBottled {
		off := l.Judged(LimitBalanceBottled)
		low, high = off, off
		low.Value, low.Least, high.Value = 100-off.Value, true, 100+off.Value
	}
	switch {
	case !low.Passed(percent):
		return against("balance.short", Check, b.ID, b.Name, number(percent, UnitPercent), low), true
	case !high.Passed(percent):
		return against("balance.over", Check, b.ID, b.Name, number(percent, UnitPercent), high), true
	}
	return Finding{}, false
}

// told adds the figures to a finding.
func (b BalanceFacts) told(f Finding, rest float64) Finding {
	f = f.with("In", number(*b.In, b.Unit)).with("Out", number(*b.Out, b.Unit)).with("Rest", number(rest, b.Unit))
	word := "word.measured"
	if b.Estimated {
		word = "word.estimated"
	}
	return f.with("How", keys(word))
}

// UnitsFacts is everything that became of the bottles of a part.
type UnitsFacts struct {
	Filled, Returned                              int
	Shipped, Samples, Broken, Reworked, Destroyed int
}

// OnHand is filled + returned - shipped - samples - broken - reworked - destroyed.
func (u UnitsFacts) OnHand() int {
	return u.Filled + u.Returned - u.Shipped - u.Samples - u.Broken - u.Reworked - u.Destroyed
}
