package hazards

import (
	"cmp"
	"time"

	"canewright/hazards/syrup"
)

// PressingFacts is a pressing with the cuts that went into it.
type PressingFacts struct {
	ID        string
	Name      string
	Person    string
	StartedAt *time.Time
	EndedAt   *time.Time
	Volume    *syrup.Liters
	Brix      *syrup.Brix
	PH        *float64

	Temperature        *syrup.Celsius
	TemperatureEntered string // as typed: tells a slip of units

	Cuts      []CutFacts
	Additions []AdditionFacts
	Draws     []DrawFacts // what was drawn from it
}

// LinkFacts is a link into a record, with the step it came from.
type LinkFacts struct {
	From StepFacts
	At   *time.Time
}

// RunFacts is a run with everything upstream of it that bears on it. Pressings holds every pressing the run's own juice
// reaches, through tanks too; Heels every earlier run whose heel it reaches, each with its own juice.
type RunFacts struct {
	ID         string
	Node       string // which of the run's contents, where it is more than one; blank is all of it
	Name       string // the run's code
	Person     string
	Names      string // the naming rule it is boiled for; blank is cane
	Open       bool   // still on the fire
	Outcome    string // how it ended; blank is syrup
	FireLitAt  *time.Time
	DrawnOffAt *time.Time
	FireOut    time.Duration // of that time the fire was out
	Boiled     bool          // some of what went in had boiled before: semi-syrup, or out of another kettle
	VolumeOut  *syrup.Liters
	JuiceIn    *syrup.Liters // all that went in; nil when not known, or when other than juice went in
	Sources    []LinkFacts   // juice in, from pressings, tanks and heels, and bought syrup
	Readings   []ReadingFacts
	Additions  []AdditionFacts // to the run, and to tanks on the way
	Pressings  []PressingFacts
	Heels      []RunFacts
	Draws      []DrawFacts
	Balances   []BalanceFacts
	Finish     *CompareFacts // finish density beside boiling point; nil where one of them was not read
}

// step of a run: fire lit to drawn off.
func (r RunFacts) step() StepFacts {
	return StepFacts{ID: r.ID, Name: r.Name, Start: r.FireLitAt, End: r.DrawnOffAt}
}

// step of a pressing; one whose end was not written ended when it started, as far as cane going in is concerned.
func (p PressingFacts) step() StepFacts {
	end := p.EndedAt
	if end == nil {
		end = p.StartedAt
	}
	return StepFacts{ID: p.ID, Name: p.Name, Start: p.StartedAt, End: end}
}

// JudgeRun gathers everything that can be said of a run and what went into it, gravest first.
func JudgeRun(r RunFacts, rules Rules) []Finding {
	findings := r.own(rules)
	findings = append(findings, r.judgeIdentity(rules)...)
	findings = append(findings, r.ingredients(rules, met{})...)
	return ordered(findings)
}

// met remembers by id what was judged already, so that a long heel chain that is reached in many ways is walked once.
type met map[string]bool

// again tells whether the record was met before, and meets it.
func (m met) again(id string) bool {
	before := m[id]
	m[id] = id != ""
	return before
}

// key is what tells the run's contents from others.
func (r RunFacts) key() string { return cmp.Or(r.Node, r.ID) }

// identity is what the run's name is judged on: its finish readings.
func (r RunFacts) identity() IdentityFacts {
	return IdentityFacts{ID: r.ID, Name: r.Name, Names: r.Names, Stage: StageFinish, Readings: r.Readings}
}

// judgeIdentity judges the run's name. What was held half boiled, moved or given up never had one.
func (r RunFacts) judgeIdentity(rules Rules) []Finding {
	if r.Outcome != OutcomeSyrup {
		return nil
	}
	return JudgeIdentity(r.identity(), rules)
}

// own judges the run's own records, without its name and without what went in.
func (r RunFacts) own(rules Rules) []Finding {
	findings := RequiredOfRun(r)
	findings = append(findings, judgeReadings(r.Readings, rules)...)
	findings = append(findings, JudgeStep(r.step(), rules)...)
	findings = append(findings, r.unusual()...)
	for _, link := range r.Sources {
		findings = append(findings, JudgeOrder(link.From, r.step(), link.At, rules)...)
	}
	for _, d := range r.Draws {
		findings = append(findings, JudgeDraw(d, rules)...)
	}
	for _, b := range r.Balances {
		findings = append(findings, JudgeBalance(b, rules)...)
	}
	if r.Finish != nil && r.Outcome == OutcomeSyrup {
		findings = append(findings, JudgeComparison(*r.Finish, rules)...)
	}
	return findings
}

// ingredients judges what went into the run: additions, pressings and cane, and the same of every heel. A heel's own boil
// is judged with the lots of that run, since this run's finish reading covers what was left of it.
func (r RunFacts) ingredients(rules Rules, met met) []Finding {
	if met.again(r.key()) {
		return nil
	}
	names := r.identity().names()
	var findings []Finding
	for _, a := range r.Additions {
		findings = append(findings, JudgeAddition(a, names)...)
	}
	for _, p := range r.Pressings {
		if !met.again(p.ID) {
			findings = append(findings, JudgePressing(p, names, rules)...)
		}
	}
	for _, heel := range r.Heels {
		heel.Names = names
		findings = append(findings, heel.ingredients(rules, met)...)
	}
	return findings
}

// JudgePressing judges a pressing with its cuts, for a product of the given naming rule.
func JudgePressing(p PressingFacts, names string, rules Rules) []Finding {
	findings := append(RequiredOfPressing(p), p.unusual()...)
	findings = append(findings, JudgeStep(StepFacts{ID: p.ID, Name: p.Name, Start: p.StartedAt, End: p.EndedAt}, rules)...)
	for _, a := range p.Additions {
		findings = append(findings, JudgeAddition(a, names)...)
	}
	for _, d := range p.Draws {
		findings = append(findings, JudgeDraw(d, rules)...)
	}
	for _, c := range p.Cuts {
		findings = append(findings, RequiredOfCut(c)...)
		findings = append(findings, c.unusual()...)
		findings = append(findings, JudgeCut(c, rules)...)
		findings = append(findings, JudgeOrder(c.step(rules), p.step(), nil, rules)...)
		if c.Planting != nil {
			findings = append(findings, JudgeOrder(c.Planting.step(rules), c.step(rules), nil, rules)...)
		}
		if p.StartedAt != nil {
			findings = append(findings, JudgeCane(c, *p.StartedAt, rules)...)
		}
	}
	return findings
}

// allAdditions lists every addition the run reaches, heels and pressings included.
func (r RunFacts) allAdditions(met met) []AdditionFacts {
	if met.again(r.key()) {
		return nil
	}
	list := append([]AdditionFacts(nil), r.Additions...)
	for _, p := range r.Pressings {
		list = append(list, p.Additions...)
	}
	for _, h := range r.Heels {
		list = append(list, h.allAdditions(met)...)
	}
	return list
}
