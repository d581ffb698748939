package hazards

import (
	"slices"

	"canewright/hazards/syrup"
)

// SupplyFacts is a supply lot that went into a lot.
type SupplyFacts struct {
	ID         string
	Name       string
	Sort       string
	ReceivedOn Day
}

// LotFacts is a lot with everything upstream of it that bears on it.
type LotFacts struct {
	ID            string
	Name          string // the lot code
	Person        string
	Product       string // its name as on the label
	Names         string // the product's naming rule; blank is cane
	Open          bool   // still filling
	FromTanks     bool   // drawn from a tank whose runs are not known
	BottlesLotID  *string
	ClosuresLotID *string
	Units         *int
	Sources       []LinkFacts
	Runs          []RunFacts // every run whose syrup it holds, through tanks too
	Additions     []AdditionFacts
	Readings      []ReadingFacts // the lot's own
	Supplies      []SupplyFacts
	Labs          []LabFacts
	Fill          FillFacts // its id, name, start, end and solids are filled in from the lot where blank
	Draws         []DrawFacts
	Balances      []BalanceFacts
	Labels        *LabelCountFacts // nil: none printed
	Nets          []NetFacts
}

// JudgeLot gathers everything that can be said of a lot and what went into it, gravest first.
func JudgeLot(l LotFacts, rules Rules) []Finding {
	findings := RequiredOfLot(l)
	findings = append(findings, judgeReadings(l.Readings, rules)...)
	findings = append(findings, JudgeIdentity(l.identity(), rules)...)
	met := met{}
	for _, r := range l.Runs {
		r.Names = l.Names
		findings = append(findings, l.ofRun(r, rules, met)...)
	}
	for _, a := range l.Additions {
		findings = append(findings, JudgeAddition(a, l.identity().names())...)
	}
	findings = append(findings, l.unfinished()...)
	findings = append(findings, JudgeProductName(l.Product, l.ID)...)
	fill := l.fill()
	findings = append(findings, l.laboratory(fill.Solids, rules)...)
	findings = append(findings, JudgeFill(fill, rules)...)
	findings = append(findings, l.order(rules)...)
	for _, d := range l.Draws {
		findings = append(findings, JudgeDraw(d, rules)...)
	}
	for _, b := range l.Balances {
		findings = append(findings, JudgeBalance(b, rules)...)
	}
	if l.Labels != nil {
		findings = append(findings, JudgeLabelCount(*l.Labels, rules)...)
	}
	findings = append(findings, l.judgeNets()...)
	return ordered(findings)
}

// ofRun judges one run for this lot. Where the lot has a reading of its own the name is judged on that; what the run's
// finish reading said is then told and holds nothing, as a thin run may have been blended.
func (l LotFacts) ofRun(r RunFacts, rules Rules, met met) []Finding {
	r.Open = false
	identity := r.judgeIdentity(rules)
	if Governing(l.Readings, StageLot) != nil {
		identity = slices.DeleteFunc(told(identity), func(f Finding) bool { return f.Code == "identity.near_limit" })
	}
	findings := append(r.own(rules), identity...)
	return append(findings, r.ingredients(rules, met)...)
}

// identity is what the lot's name is judged on: its own readings, with the finish readings of its runs to confirm them
// when it comes from a single run.
func (l LotFacts) identity() IdentityFacts {
	f := IdentityFacts{ID: l.ID, Name: l.Name, Names: l.Names, Stage: StageLot, Readings: slices.Clone(l.Readings)}
	if len(l.Runs) == 1 {
		f.Readings = append(f.Readings, atStage(l.Runs[0].Readings, StageFinish)...)
	}
	return f
}

// fill completes the filling's facts from the lot.
func (l LotFacts) fill() FillFacts {
	f := l.Fill
	f.ID, f.Name = l.ID, l.Name
	if f.Count == nil {
		f.Count = l.Units
	}
	if f.Solids == nil {
		f.Solids = LotSolids(l)
	}
	return f
}

// order judges the dates of the lot against its runs and supplies.
func (l LotFacts) order(rules Rules) []Finding {
	step := StepFacts{ID: l.ID, Name: l.Name, Start: l.Fill.StartedAt, End: l.Fill.EndedAt}
	findings := JudgeStep(step, rules)
	for _, link := range l.Sources {
		findings = append(findings, JudgeOrder(link.From, step, link.At, rules)...)
	}
	for _, s := range l.Supplies {
		received := StepFacts{ID: s.ID, Name: s.Name, Start: s.ReceivedOn.Start(rules.zone())}
		findings = append(findings, JudgeOrder(received, step, nil, rules)...)
	}
	return findings
}

// LotSolids is what a lot's name and label go by: its own reading, else the thinnest of its runs. Nil when a run has no
// reading that can be used.
func LotSolids(l LotFacts) *syrup.Solids {
	if r := Governing(l.Readings, StageLot); r != nil {
		solids, _ := r.Solids()
		return &solids
	}
	var thinnest *syrup.Solids
	for _, run := range l.Runs {
		r := Governing(run.Readings, StageFinish)
		if r == nil {
			return nil
		}
		if solids, _ := r.Solids(); thinnest == nil || solids.Percent < thinnest.Percent {
			thinnest = &solids
		}
	}
	return thinnest
}

// LotAdditions lists every addition the lot reaches, once each.
func LotAdditions(l LotFacts) []AdditionFacts {
	list := append([]AdditionFacts(nil), l.Additions...)
	met := met{}
	for _, r := range l.Runs {
		list = append(list, r.allAdditions(met)...)
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(list, func(a AdditionFacts) bool {
		twice := seen[a.ID]
		seen[a.ID] = true
		return twice
	})
}

// LotNames lists the names the label of a lot may carry.
func LotNames(l LotFacts) []string {
	solids := LotSolids(l)
	if solids == nil {
		return nil
	}
	return AllowedNames(&solids.Percent, LotAdditions(l))
}
