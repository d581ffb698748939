package hazards

import "canewright/hazards/syrup"

// LabFacts is what a laboratory found in syrup of a lot. What it did not look for is nil.
type LabFacts struct {
	ID            string
	Name          string
	WaterActivity *float64
	PH            *float64
	ReducingSugar *float64 // percent of the syrup
	Ash           *float64 // percent of the syrup
	SulfitePPM    *float64 // as SO2, parts per million
	LeadPPB       *float64 // parts per billion
}

// JudgeLab judges a laboratory's figures: water activity against 0.85, sulfite against 10 ppm, the rest against what is
// usual. declares tells whether the label says that the syrup contains sulfites; solids are the lot's, nil when not known.
func JudgeLab(l LabFacts, declares bool, solids *syrup.Solids, rules Rules) []Finding {
	var findings []Finding
	if l.WaterActivity != nil {
		findings = append(findings, l.activity(rules)...)
	}
	if l.SulfitePPM != nil {
		findings = append(findings, JudgeSulfite(*l.SulfitePPM, declares, l.ID, l.Name, rules)...)
	}
	for _, m := range []struct {
		code string
		x    *float64
	}{{BoundSyrupPH, l.PH}, {BoundAsh, l.Ash}, {BoundLead, l.LeadPPB}, {BoundReducing, l.ReducingSugar}} {
		if m.x != nil {
			findings = append(findings, unusual(m.code, *m.x, "", l.ID, l.Name)...)
		}
	}
	return append(findings, l.sugaring(solids, rules)...)
}

// activity is the finding about a measured water activity: a hold over 0.85, a check over what is usual.
func (l LabFacts) activity(rules Rules) []Finding {
	most := rules.Limits.Judged(LimitWaterActivity)
	measured := number(*l.WaterActivity, UnitActivity)
	switch {
	case !bounds[BoundWaterActivity].Hard.holds(*l.WaterActivity):
		return unusual(BoundWaterActivity, *l.WaterActivity, "", l.ID, l.Name)
	case !most.Passed(*l.WaterActivity):
		f := against("shelf.activity_over", Hold, l.ID, l.Name, measured, most)
		return []Finding{f.with("Rule", keys("canned_rule."+string(ruleByAcid(l.PH))))}
	}
	return unusual(BoundWaterActivity, *l.WaterActivity, "", l.ID, l.Name)
}

// sugaring asks about thick syrup with little reducing sugar: it will crystallize (FAO INPhO, Sugarcane Syrup).
func (l LabFacts) sugaring(solids *syrup.Solids, rules Rules) []Finding {
	thick, least := rules.Limits.Judged(LimitSugaringSolids), rules.Limits.Judged(LimitReducingSugar)
	if l.ReducingSugar == nil || solids == nil || thick.Passed(float64(solids.Percent)) || least.Passed(*l.ReducingSugar) {
		return nil
	}
	f := against("shelf.will_sugar", Check, l.ID, l.Name, number(*l.ReducingSugar, UnitPercent), least)
	return []Finding{f.with("Solids", solidsValue(*solids))}
}

// JudgeSulfite judges measured sulfite: from 10 ppm on the label declares it (21 CFR 130.9, 101.100(a)(4)). Below, the
// label need not.
func JudgeSulfite(ppm float64, declares bool, about, name string, rules Rules) []Finding {
	limit := rules.Limits.Judged(LimitSulfite)
	measured := number(ppm, UnitPPM)
	switch {
	case !bounds[BoundSulfite].Hard.holds(ppm):
		return unusual(BoundSulfite, ppm, "", about, name)
	case !SulfiteDeclared(ppm, rules):
		return nil
	case declares:
		return []Finding{against("sulfite.declared", Note, about, name, measured, limit)}
	}
	return []Finding{against("sulfite.not_declared", Hold, about, name, measured, limit)}
}

// SulfiteDeclared tells whether so much sulfite is declared on the label: the limit itself is.
func SulfiteDeclared(ppm float64, rules Rules) bool {
	return ppm >= rules.Limits.Judged(LimitSulfite).Value
}

// JudgeEstimatedActivity judges a water activity worked out by a model. It is never more than a check, and says that it
// is estimated.
func JudgeEstimatedActivity(aw float64, about, name string, rules Rules) []Finding {
	most, usual := rules.Limits.Judged(LimitWaterActivity), rules.Limits.Judged(LimitUsualActivity)
	measured := number(aw, UnitActivity)
	var f Finding
	switch {
	case !most.Passed(aw):
		f = against("shelf.estimated_over", Check, about, name, measured, most)
	case !usual.Passed(aw):
		f = against("shelf.estimated_high", Note, about, name, measured, usual)
	default:
		return nil
	}
	f.Model = syrup.ModelWaterActivity
	return []Finding{f}
}

// laboratory judges what laboratories found in the lot; without a measured water activity the modelled one is looked at.
func (l LotFacts) laboratory(solids *syrup.Solids, rules Rules) []Finding {
	declares := false
	for _, a := range LotAdditions(l) {
		declares = declares || a.Sulfites != nil && *a.Sulfites
	}
	var findings []Finding
	measured := false
	for _, lab := range l.Labs {
		findings = append(findings, JudgeLab(lab, declares, solids, rules)...)
		measured = measured || lab.WaterActivity != nil
	}
	if measured || solids == nil {
		return findings
	}
	// All solids as sucrose, which gives the highest activity; glucose and fructose lower it.
	aw, err := syrup.ActivityOf(syrup.Composition{Solids: solids.Percent}, estimatedAt)
	if err != nil {
		return findings
	}
	return append(findings, JudgeEstimatedActivity(float64(aw), l.ID, l.Name, rules)...)
}
