package hazards

import "canewright/hazards/syrup"

// Uses of an addition.
const (
	UseDefoamer     = "defoamer"
	UseSalt         = "salt"
	UsePreservative = "preservative"
	UseLime         = "lime"
	UseAcid         = "acid"
	UseEnzyme       = "enzyme"
	UseSyrup        = "syrup"
	UseSweetener    = "sweetener"
	UseWater        = "water"
	UseOther        = "other"
)

// identity rule citation for ingredients.
const ingredientRule = "21 CFR 168.130(b)"

// AdditionFacts is anything put into juice or syrup.
type AdditionFacts struct {
	ID          string
	Name        string // the substance
	Use         string
	SupplyLotID *string
	Amount      *syrup.Grams
	Stays       *bool   // nil: not answered
	Allergens   *string // blank: none; nil: not answered
	Sulfites    *bool   // nil: not answered
}

// permitted tells whether 168.130 allows the use in cane syrup: salt, preservatives and defoaming agents by (b), and water
// to adjust the concentration by (a).
func (a AdditionFacts) permitted() bool {
	return a.Use == UseSalt || a.Use == UsePreservative || a.Use == UseDefoamer || a.Use == UseWater
}

// aid tells whether it only helped the work and was said to leave again, as lime that is skimmed off. Acids, enzymes,
// syrups and sweeteners change the syrup whatever leaves, so they are never aids here.
func (a AdditionFacts) aid() bool {
	return (a.Use == UseLime || a.Use == UseOther) && a.Stays != nil && !*a.Stays
}

// barsCane tells whether the addition bars the cane names.
func (a AdditionFacts) barsCane() bool { return !a.permitted() && !a.aid() }

// questions are the catalogue keys of the answers that are still missing.
func (a AdditionFacts) questions() []string {
	var open []string
	if a.Stays == nil {
		open = append(open, "addition_question.stays")
	}
	if a.Allergens == nil {
		open = append(open, "addition_question.allergens")
	}
	if a.Sulfites == nil {
		open = append(open, "addition_question.sulfites")
	}
	return open
}

// JudgeAddition says what an addition means for the names and which of its questions are open.
func JudgeAddition(a AdditionFacts, names string) []Finding {
	var findings []Finding
	finding := Finding{About: a.ID, AboutName: a.Name, Source: ingredientRule}
	if open := a.questions(); len(open) > 0 {
		f := finding
		f.Code, f.Level, f.Source = "identity.not_answered", Hold, ourRule
		findings = append(findings, f.with("Questions", keys(open...)))
	}
	if names == NamesCane && a.barsCane() {
		finding.Code, finding.Level = "identity.addition_bars", Hold
		findings = append(findings, finding)
	}
	if names == NamesCane && !a.permitted() && a.aid() {
		finding.Code, finding.Level = "identity.processing_aid", Check
		findings = append(findings, finding)
	}
	return findings
}
