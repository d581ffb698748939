package hazards

// LabelCountFacts is what became of a lot's labels beside its bottles. Used and spoiled are nil until somebody counted.
type LabelCountFacts struct {
	ID, Name      string // of the lot
	Printed       int
	Used, Spoiled *int
	Bottles       *int // filled
	Gone          int  // of these, bottles that may never have had a label: broken, sampled, destroyed, reworked
}

// Unaccounted is how many printed labels are neither counted as used nor as spoiled; false until they are counted. It is
// below zero where more are counted than were printed.
func (l LabelCountFacts) Unaccounted() (int, bool) {
	if l.Used == nil || l.Spoiled == nil {
		return 0, false
	}
	return l.Printed - *l.Used - *l.Spoiled, true
}

// JudgeLabelCount holds the labels used against those printed and against the bottles. Labels of one lot on the bottles of
// another are the mix-up it looks for.
func JudgeLabelCount(l LabelCountFacts, rules Rules) []Finding {
	rest, counted := l.Unaccounted()
	if !counted {
		return nil
	}
	var findings []Finding
	if rest < 0 {
		f := Finding{Code: "labels.over_printed", Level: Check, About: l.ID, AboutName: l.Name, Source: ourRule}
		findings = append(findings, f.with("Counted", number(float64(*l.Used+*l.Spoiled), UnitCount)).with("Printed", number(float64(l.Printed), UnitCount)))
	}
	if l.Bottles == nil || *l.Bottles <= 0 {
		return findings
	}
	return append(findings, l.besideBottles(rules)...)
}

// besideBottles compares the labels used with the bottles: more than were filled, or fewer than must have had one.
func (l LabelCountFacts) besideBottles(rules Rules) []Finding {
	off := rules.Limits.Judged(LimitBalanceLabels)
	bottles, labelled := float64(*l.Bottles), float64(max(0, *l.Bottles-l.Gone))
	percent := float64(*l.Used) * 100
	over, under := off, off
	over.Value = 100 + off.Value
	under.Value, under.Least = 100-off.Value, true
	tell := func(f Finding, of float64) Finding {
		return f.with("Used", number(float64(*l.Used), UnitCount)).with("Bottles", number(of, UnitBottles))
	}
	switch {
	case !over.Passed(percent / bottles):
		return []Finding{tell(against("labels.more_than_bottles", Check, l.ID, l.Name, number(percent/bottles, UnitPercent), over), bottles)}
	case labelled > 0 && !under.Passed(percent/labelled):
		return []Finding{tell(against("labels.fewer_than_bottles", Check, l.ID, l.Name, number(percent/labelled, UnitPercent), under), labelled)}
	}
	return nil
}
