package hazards

import "strings"

// missing makes the finding about a required record that was not recorded (design 3).
func missing(what, about, name string) Finding {
	source := ourRule
	if strings.HasSuffix(what, "_person") {
		source = "21 CFR 117.305" // signature or initials of the person
	}
	return Finding{Code: "required." + what, Level: Hold, About: about, AboutName: name, Source: source}
}

// need adds a finding for each pair of a record's name and whether it is there.
type need struct {
	what string
	have bool
}

func missingOf(about, name string, needs ...need) []Finding {
	var findings []Finding
	for _, n := range needs {
		if !n.have {
			findings = append(findings, missing(n.what, about, name))
		}
	}
	return findings
}

// RequiredOfCut lists what a cut lacks: planting, day, person.
func RequiredOfCut(c CutFacts) []Finding {
	return missingOf(c.ID, c.Name, need{"cut_planting", c.Planting != nil}, need{"cut_day", c.CutOn != ""},
		need{"cut_person", c.Person != ""})
}

// RequiredOfPressing lists what a pressing lacks: cuts, volume, Brix, start, person.
func RequiredOfPressing(p PressingFacts) []Finding {
	return missingOf(p.ID, p.Name, need{"pressing_cuts", len(p.Cuts) > 0}, need{"pressing_volume", p.Volume != nil},
		need{"pressing_brix", p.Brix != nil}, need{"pressing_start", p.StartedAt != nil}, need{"pressing_person", p.Person != ""})
}

// RequiredOfRun lists what a run lacks: juice in, fire lit, drawn off, volume out, finish reading with temperature and
// instrument, person. While the run is open, what is yet to come is not missing. What was held half boiled asks for a
// reading that can be used instead of the finish reading; what was moved or given up for neither volume nor reading. The
// temperature of the finish reading is judged with the reading.
func RequiredOfRun(r RunFacts) []Finding {
	needs := []need{{"run_juice", len(r.Sources) > 0}, {"run_fire_lit", r.FireLitAt != nil}, {"run_person", r.Person != ""}}
	switch {
	case r.Outcome == OutcomeSemiSyrup:
		needs = append(needs, need{"run_drawn_off", r.DrawnOffAt != nil}, need{"run_semi_reading", EndReading(r.Outcome, r.Readings) != nil})
	case r.Outcome == OutcomeSyrup:
		needs = append(needs, r.finishNeeds()...)
	}
	return missingOf(r.ID, r.Name, needs...)
}

// finishNeeds are the needs of a run whose syrup was drawn off, or will be.
func (r RunFacts) finishNeeds() []need {
	var needs []need
	finish := atStage(r.Readings, StageFinish)
	if !r.Open {
		needs = append(needs, need{"run_drawn_off", r.DrawnOffAt != nil}, need{"run_volume_out", r.VolumeOut != nil},
			need{"run_finish_reading", len(finish) > 0})
	}
	if len(finish) > 0 {
		judged := finish[len(finish)-1]
		if g := Governing(r.Readings, StageFinish); g != nil {
			judged = *g
		}
		needs = append(needs, need{"run_finish_instrument", judged.Instrument != nil})
	}
	return needs
}

// RequiredOfLot lists what a lot lacks: runs or tanks, count, bottles, closures, first and last fill check with bottle
// temperature, time and instrument, one net weight, person. While it is filling, what is yet to come is not missing. A
// single check is the first and not the last.
func RequiredOfLot(l LotFacts) []Finding {
	needs := []need{{"lot_sources", len(l.Runs) > 0 || l.FromTanks}, {"lot_bottles", l.BottlesLotID != nil},
		{"lot_closures", l.ClosuresLotID != nil}, {"lot_person", l.Person != ""}}
	checks := l.Fill.inTime()
	if len(checks) > 0 {
		needs = append(needs, checks[0].needs("first")...)
	} else if !l.Open {
		needs = append(needs, need{"lot_first_check", false})
	}
	if len(checks) > 1 && !l.Open {
		needs = append(needs, checks[len(checks)-1].needs("last")...)
	} else if !l.Open {
		needs = append(needs, need{"lot_last_check", false})
	}
	if !l.Open {
		needs = append(needs, need{"lot_count", l.Units != nil}, need{"lot_net_weight", l.Fill.weighed()})
	}
	return missingOf(l.ID, l.Name, needs...)
}

// needs of the first or last check of a lot.
func (c FillCheckFacts) needs(which string) []need {
	return []need{{"lot_" + which + "_temperature", c.Bottle != nil}, {"lot_" + which + "_time", !c.At.IsZero()},
		{"lot_" + which + "_instrument", c.Instrument != nil}}
}

func (f FillFacts) weighed() bool {
	for _, c := range f.Checks {
		if c.NetWeight != nil {
			return true
		}
	}
	return false
}
