package hazards

import (
	"regexp"
	"slices"
	"strings"

	"canewright/hazards/syrup"
)

// What a product does about the Nutrition Facts panel; blank is not decided.
const (
	NutritionPanelDrawn = "panel"
	NutritionExempt     = "exempt"
)

// LabelFacts is what the label of a lot says and what the records know of the food.
type LabelFacts struct {
	ID        string // of the lot
	Name      string // its code
	Product   string // the name on the label
	Names     string // the product's naming rule
	Allowed   []string
	Solids    *syrup.Solids
	Additions []AdditionFacts
	Labs      []LabFacts
	Rules     Rules

	Ingredients, Allergens    string // the lines as printed
	NetUS, NetMetric          string
	Maker, Address            string
	Statement                 string
	StatementSource           string
	StatementDay              Day
	Claims                    []string
	Caution                   string
	Nutrition                 string
	NutritionNote             string
	PanelMeasured, NetMoulded bool
	Drawn                     []LabelDrawn // how the label came out on the stocks it was drawn on
}

// LabelDrawn is one line of a finished label, measured.
type LabelDrawn struct {
	Line   string // catalogue key of the line's name
	Stock  string
	What   DrawnWhat
	Have   float64 // mm, or part of the panel's height
	Least  float64
	Enough bool
}

// DrawnWhat is what was measured on a finished label.
type DrawnWhat string

// The measures: the height of letters, the clear space around the net contents, and where these stand.
const (
	DrawnLetter DrawnWhat = "letter"
	DrawnSpace  DrawnWhat = "space"
	DrawnPlace  DrawnWhat = "place"
)

// JudgeLabel lists what is missing on a label, too small, or contradicts the records, gravest first.
func JudgeLabel(l LabelFacts) []Finding {
	findings := l.judgeName()
	for _, said := range l.said() {
		findings = append(findings, l.JudgeClaim(said)...)
	}
	findings = append(findings, l.judgeDeclared()...)
	findings = append(findings, l.judgeMaker()...)
	findings = append(findings, l.judgeNutrition()...)
	findings = append(findings, l.judgeDrawn()...)
	return ordered(findings)
}

// LabelBlocks tells whether a finding keeps the label from being printed until the owner signs a reason: the name, an
// allergen or sulfites contradict the records.
func LabelBlocks(f Finding) bool { return f.Level >= Hold && strings.HasPrefix(f.Code, "label.") }

// said are the texts of a label that may claim something.
func (l LabelFacts) said() []string {
	said := append([]string{l.Product}, l.Claims...)
	if l.Caution != "" {
		said = append(said, l.Caution)
	}
	return said
}

func (l LabelFacts) finding(code string, level Level, source string) Finding {
	return Finding{Code: code, Level: level, About: l.ID, AboutName: l.Name, Source: source}
}

// judgeName holds the product name, and cane syrup named elsewhere on the label, against solids and ingredients.
func (l LabelFacts) judgeName() []Finding {
	var findings []Finding
	cane := slices.Contains(l.Allowed, caneNames[0])
	allowed := slices.ContainsFunc(l.Allowed, func(n string) bool { return strings.EqualFold(n, l.Product) })
	product := func(code, source string) Finding {
		return l.finding(code, Hold, source).with("Product", named(l.Product))
	}
	switch {
	case l.Names != NamesOther && l.Solids == nil:
		findings = append(findings, product("label.no_solids", "21 CFR 168.130(a), 168.180(a)"))
	case l.Names != NamesOther && len(l.Allowed) == 0:
		f := product("label.too_thin", "21 CFR 168.180(a)")
		measured := solidsValue(*l.Solids)
		f.Measured = &measured
		findings = append(findings, f)
	case l.Names != NamesOther && !allowed:
		findings = append(findings, product("label.other_name", "21 CFR 168.130, 168.180").with("Names", named(strings.Join(l.Allowed, ", "))))
	case l.Names == NamesOther && !cane && caneWords.MatchString(l.Product):
		findings = append(findings, product("label.cane_words", "21 CFR 168.130, 168.180(c)"))
	}
	findings = append(findings, JudgeProductName(l.Product, l.ID)...)
	for _, claim := range l.Claims {
		if !cane && caneWords.MatchString(claim) {
			findings = append(findings, l.finding("label.cane_words", Hold, "21 CFR 168.130, 168.180(c)").with("Product", named(claim)))
		}
	}
	return findings
}

// sulfiteName finds sulfur by its name among additions.
var sulfiteName = regexp.MustCompile(`(?i)sul(ph|f)(ur|it)|azufre|sulfito`)

// sulfited tells whether sulfites went in, or a laboratory found as much as is declared.
func (l LabelFacts) sulfited() bool { return l.sulfiteFrom() != "" }

// sulfiteFrom says what brought sulfites, or how much a laboratory found.
func (l LabelFacts) sulfiteFrom() string {
	for _, a := range l.Additions {
		if a.Sulfites != nil && *a.Sulfites || sulfiteName.MatchString(a.Name) {
			return a.Name
		}
	}
	for _, lab := range l.Labs {
		if lab.SulfitePPM != nil && SulfiteDeclared(*lab.SulfitePPM, l.Rules) {
			return fixed(*lab.SulfitePPM, 1) + " ppm"
		}
	}
	return ""
}

// allergens lists those answered for the additions, once each.
func (l LabelFacts) allergens() []string {
	var list []string
	for _, a := range l.Additions {
		if a.Allergens == nil {
			continue
		}
		for word := range strings.SplitSeq(*a.Allergens, ",") {
			if word = strings.ToLower(strings.TrimSpace(word)); word != "" && !slices.Contains(list, word) {
				list = append(list, word)
			}
		}
	}
	return list
}

// besideCane names what went in beside the cane: what makes it another food, and what only seasons or helps.
func (l LabelFacts) besideCane() (mixed, plain []string) {
	for _, a := range l.Additions {
		switch {
		case a.Use == UseWater || a.aid():
		case a.Use == UseSyrup || a.Use == UseSweetener || a.Use == UseOther:
			mixed = append(mixed, a.Name)
		case a.Stays == nil || *a.Stays:
			plain = append(plain, a.Name)
		}
	}
	return mixed, plain
}

// preservatives names the additions that keep the food.
func (l LabelFacts) preservatives() []string {
	var list []string
	for _, a := range l.Additions {
		if a.Use == UsePreservative || a.Sulfites != nil && *a.Sulfites {
			list = append(list, a.Name)
		}
	}
	return list
}

// judgeDeclared judges the lines of allergens, sulfites and net contents.
func (l LabelFacts) judgeDeclared() []Finding {
	var findings []Finding
	printed := strings.ToLower(l.Allergens)
	for _, allergen := range l.allergens() {
		if !strings.Contains(printed, allergen) {
			findings = append(findings, l.finding("label.allergen_missing", Hold, allergenRule).with("Allergen", named(allergen)))
		}
	}
	if from := l.sulfiteFrom(); from != "" && !strings.Contains(printed, "sulfite") {
		findings = append(findings, l.finding("label.sulfites_missing", Hold, "21 CFR 130.9, 101.100(a)(4)").with("From", named(from)))
	}
	if l.NetUS == "" || l.NetMetric == "" {
		findings = append(findings, l.finding("label.net_one_system", Check, "21 CFR 101.7; 15 U.S.C. 1453(a)"))
	}
	if l.NetMoulded {
		findings = append(findings, l.finding("label.net_moulded", Note, "21 CFR 101.7(i)"))
	}
	if !l.PanelMeasured {
		findings = append(findings, l.finding("label.panel_not_measured", Check, "21 CFR 101.1, 101.7(i)"))
	}
	return findings
}

// zip finds a ZIP code at the end of an address.
var zip = regexp.MustCompile(`\b\d{5}(-\d{4})?\b`)

// judgeMaker judges name, address and the jurisdiction's statement.
func (l LabelFacts) judgeMaker() []Finding {
	var findings []Finding
	switch {
	case l.Maker == "" || l.Address == "":
		findings = append(findings, l.finding("label.no_address", Check, "21 CFR 101.5"))
	case !zip.MatchString(l.Address):
		findings = append(findings, l.finding("label.no_zip", Check, "21 CFR 101.5(d)").with("Address", named(l.Address)))
	}
	if l.Statement != "" && (l.StatementSource == "" || l.StatementDay == "") {
		findings = append(findings, l.finding("label.statement_source", Check, ourRule))
	}
	return findings
}

// judgeNutrition says what the product does about the panel.
func (l LabelFacts) judgeNutrition() []Finding {
	switch l.Nutrition {
	case NutritionPanelDrawn:
		return []Finding{l.finding("label.nutrition_database", Note, NutritionSource)}
	case NutritionExempt:
		if strings.TrimSpace(l.NutritionNote) == "" {
			return []Finding{l.finding("label.exempt_no_note", Check, exemptionSource)}
		}
		return []Finding{l.finding("label.nutrition_exempt", Note, exemptionSource).with("Note", named(l.NutritionNote))}
	}
	return []Finding{l.finding("label.nutrition_undecided", Check, exemptionSource)}
}

const exemptionSource = "21 CFR 101.9(j)(1), 101.9(j)(18); FDA, Small Business Nutrition Labeling Exemption Guide"

// judgeDrawn judges the finished drawing.
func (l LabelFacts) judgeDrawn() []Finding {
	var findings []Finding
	for _, d := range l.Drawn {
		if d.Enough {
			continue
		}
		f := l.finding("label.small_letters", Check, "21 CFR 101.7(i), 101.2(c)")
		switch d.What {
		case DrawnSpace:
			f = l.finding("label.net_space", Check, "21 CFR 101.7(f)")
		case DrawnPlace:
			f = l.finding("label.net_place", Check, "21 CFR 101.7(f)")
		}
		if d.What != DrawnPlace {
			have, least := number(d.Have, UnitMillimeters), number(d.Least, UnitMillimeters)
			f.Measured, f.Limit = &have, &least
		}
		findings = append(findings, f.with("Line", keys(d.Line)).with("Stock", named(d.Stock)))
	}
	return findings
}
