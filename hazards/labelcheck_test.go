package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// soundLabel is a label with nothing to say against it but notes.
func soundLabel(change func(*LabelFacts)) []Finding {
	l := LabelFacts{ID: "l", Name: "25341K2B1-P", Product: "Cane syrup", Names: NamesCane, Solids: &syrup.Solids{Percent: 75, Uncertainty: 0.5},
		Rules: rules, Ingredients: "Ingredients: cane syrup.", NetUS: "12 fl oz", NetMetric: "354 mL", Maker: "Alder Slough Farm",
		Address: "418 Gum Landing Road, Pinder LA 70799", Statement: "Made in a farm kitchen.", StatementSource: "county sheet 4", StatementDay: "2025-10-01",
		Nutrition: NutritionExempt, NutritionNote: "under $50,000 of food a year", PanelMeasured: true}
	change(&l)
	if l.Allowed == nil && l.Solids != nil {
		l.Allowed = AllowedNames(&l.Solids.Percent, l.Additions)
	}
	return JudgeLabel(l)
}

// put in, with every question answered.
func wentIn(name, use, allergens string, sulfites bool) AdditionFacts {
	return AdditionFacts{ID: "a-" + name, Name: name, Use: use, Stays: ptr(true), Allergens: &allergens, Sulfites: &sulfites}
}

// claimed is a sound label that says one thing more, of a syrup with these additions.
func claimed(claim string, additions ...AdditionFacts) []Finding {
	return soundLabel(func(l *LabelFacts) {
		l.Claims, l.Additions = []string{claim}, additions
		l.Allergens = "Contains: milk. Contains sulfites."
	})
}

var (
	butter       = wentIn("butter", UseDefoamer, "milk", false)
	salt         = wentIn("salt", UseSalt, "", false)
	cornSyrup    = wentIn("corn syrup", UseSweetener, "", false)
	sulfite      = wentIn("potassium metabisulfite", UsePreservative, "", true)
	exemptNote   = levels{"label.nutrition_exempt": Note}
	exemptAndOne = func(code string, level Level) levels { return levels{"label.nutrition_exempt": Note, code: level} }
)

func labelCases() []judgeCase {
	one := exemptAndOne
	solids := func(percent syrup.Brix, do func(*LabelFacts)) []Finding {
		return soundLabel(func(l *LabelFacts) {
			l.Solids = &syrup.Solids{Percent: percent}
			if do != nil {
				do(l)
			}
		})
	}
	set := func(do func(*LabelFacts)) []Finding { return soundLabel(do) }
	lab := func(ppm float64) func(*LabelFacts) {
		return func(l *LabelFacts) { l.Labs = []LabFacts{{SulfitePPM: &ppm}} }
	}
	drawn := func(what DrawnWhat, enough bool) []Finding {
		return set(func(l *LabelFacts) {
			l.Drawn = []LabelDrawn{{Line: "labels.line.net", Stock: "roll", What: what, Have: 3.1, Least: 3.175, Enough: enough}}
		})
	}
	return []judgeCase{
		{"sound label", set(func(*LabelFacts) {}), exemptNote},
		{"cane name at 74", solids(74, nil), exemptNote},
		{"cane name below 74", solids(73.99, nil), one("label.other_name", Hold)},
		{"table name at 65", solids(65, func(l *LabelFacts) { l.Product, l.Names = "Table syrup", NamesTable }), exemptNote},
		{"below 65", solids(64.99, func(l *LabelFacts) { l.Product, l.Names = "Table syrup", NamesTable }), one("label.too_thin", Hold)},
		{"solids not known", set(func(l *LabelFacts) { l.Solids, l.Allowed = nil, []string{} }), one("label.no_solids", Hold)},
		{"another product", solids(60, func(l *LabelFacts) { l.Product, l.Names = "Kettle drip", NamesOther }), exemptNote},
		{"cane syrup in another product's name", solids(70, func(l *LabelFacts) { l.Product, l.Names = "Thin cane syrup", NamesOther }), one("label.cane_words", Hold)},
		{"cane syrup in a claim below 74", solids(70, func(l *LabelFacts) {
			l.Product, l.Names, l.Claims = "Table syrup", NamesTable, []string{"Old-time cane syrup"}
		}), one("label.cane_words", Hold)},
		{"miel de caña below 74", solids(70, func(l *LabelFacts) {
			l.Product, l.Names, l.Claims = "Table syrup", NamesTable, []string{"Miel de caña"}
		}), one("label.cane_words", Hold)},
		{"evaporated cane juice", set(func(l *LabelFacts) { l.Product, l.Names = "Evaporated cane juice", NamesOther }),
			levels{"label.nutrition_exempt": Note, "identity.juice_name": Check, "label.juice_claim": Check}},
		{"unsulphured, none in it", claimed("Unsulphured"), exemptNote},
		{"unsulphured with sulfite", claimed("Unsulphured", sulfite), one("label.unsulphured", Hold)},
		{"sin sulfito with sulfite", claimed("Sin sulfito", sulfite), one("label.unsulphured", Hold)},
		{"no sulfitado with sulfite", claimed("No sulfitado", sulfite), one("label.unsulphured", Hold)},
		{"sin azufrar with sulfite", claimed("Miel sin azufrar", sulfite), one("label.unsulphured", Hold)},
		{"no azufrada, none in it", claimed("No azufrada"), exemptNote},
		{"sulphur dioxide free with sulfite", claimed("Sulphur dioxide free", sulfite), one("label.unsulphured", Hold)},
		{"unsulphured by a laboratory at 10 ppm", set(func(l *LabelFacts) {
			l.Claims, l.Allergens = []string{"no sulfites"}, "Contains sulfites."
			lab(10)(l)
		}), one("label.unsulphured", Hold)},
		{"unsulphured by a laboratory below 10 ppm", set(func(l *LabelFacts) { l.Claims = []string{"no sulfites"}; lab(9.9)(l) }), exemptNote},
		{"sulfites not on the label", set(lab(10)), one("label.sulfites_missing", Hold)},
		{"dairy free with butter", claimed("Dairy-free", butter), one("label.allergen_denied", Hold)},
		{"sin leche with butter", claimed("sin leche", butter), one("label.allergen_denied", Hold)},
		{"vegan with butter", claimed("Vegan", butter), one("label.allergen_denied", Hold)},
		{"allergen free with butter", claimed("free from allergens", butter), one("label.allergen_denied", Hold)},
		{"soy free with butter", claimed("soy free", butter), exemptNote},
		{"dairy free without", claimed("Dairy free"), exemptNote},
		{"allergen not on the label", set(func(l *LabelFacts) { l.Additions = []AdditionFacts{butter} }), one("label.allergen_missing", Hold)},
		{"pure alone", claimed("100% pure"), exemptNote},
		{"pure with salt", claimed("Pure", salt), one("label.pure_with", Check)},
		{"no preservatives, none in it", claimed("No preservatives", salt), exemptNote},
		{"no preservatives with sulfite", claimed("No preservatives", sulfite), one("label.pure_with", Check)},
		{"sin conservadores with a preservative", claimed("Sin conservadores", wentIn("sodium benzoate", UsePreservative, "", false)), one("label.pure_with", Check)},
		{"puro with corn syrup", soundLabel(func(l *LabelFacts) {
			l.Product, l.Names, l.Claims, l.Additions = "Table syrup", NamesTable, []string{"100 % puro"}, []AdditionFacts{cornSyrup}
		}), one("label.not_pure", Hold)},
		{"raw", claimed("Raw and slow"), one("label.raw", Check)},
		{"crudo", claimed("Jugo crudo"), one("label.raw", Check)},
		{"USDA grade", claimed("USDA Grade A"), one("label.grade", Check)},
		{"evaporated juice claimed", claimed("from evaporated cane juice"), one("label.juice_claim", Check)},
		{"jugo de caña evaporado", claimed("jugo de caña evaporado"), one("label.juice_claim", Check)},
		{"organic", claimed("Organic"), one("label.organic", Check)},
		{"orgánico", claimed("Orgánica"), one("label.organic", Check)},
		{"jumbo", claimed("A full pint"), one("label.puffing", Check)},
		{"source of iron, exempt", claimed("A good source of iron"), one("label.nutrition_claim", Check)},
		{"an iron kettle", claimed("Boiled in an iron kettle"), exemptNote},
		{"from fresh cane juice", claimed("Boiled from fresh cane juice"), exemptNote},
		{"rico en hierro, with panel", set(func(l *LabelFacts) { l.Claims, l.Nutrition = []string{"Rico en hierro"}, NutritionPanelDrawn }),
			levels{"label.nutrition_claim_rules": Check, "label.nutrition_database": Note}},
		{"nutrition not decided", set(func(l *LabelFacts) { l.Nutrition = "" }), levels{"label.nutrition_undecided": Check}},
		{"exempt, no note", set(func(l *LabelFacts) { l.NutritionNote = " " }), levels{"label.exempt_no_note": Check}},
		{"one system", set(func(l *LabelFacts) { l.NetMetric = "" }), one("label.net_one_system", Check)},
		{"moulded", set(func(l *LabelFacts) { l.NetMoulded = true }), one("label.net_moulded", Note)},
		{"panel not measured", set(func(l *LabelFacts) { l.PanelMeasured = false }), one("label.panel_not_measured", Check)},
		{"no address", set(func(l *LabelFacts) { l.Address = "" }), one("label.no_address", Check)},
		{"no ZIP", set(func(l *LabelFacts) { l.Address = "Gum Landing Road, Pinder LA" }), one("label.no_zip", Check)},
		{"statement without a day", set(func(l *LabelFacts) { l.StatementDay = "" }), one("label.statement_source", Check)},
		{"no statement", set(func(l *LabelFacts) { l.Statement, l.StatementSource = "", "" }), exemptNote},
		{"letters high enough", drawn(DrawnLetter, true), exemptNote},
		{"letters too small", drawn(DrawnLetter, false), one("label.small_letters", Check)},
		{"too little white", drawn(DrawnSpace, false), one("label.net_space", Check)},
		{"not at the foot", drawn(DrawnPlace, false), one("label.net_place", Check)},
	}
}

// labelExamples is one finding of every code of a label, for the golden words.
func labelExamples() []Finding {
	var all []Finding
	for _, c := range labelCases() {
		all = append(all, c.got...)
	}
	return all
}

func TestJudgeLabel(t *testing.T) {
	for _, c := range labelCases() {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, levelsOf(c.got)) })
	}
}

// Every finding is said in both languages with its source and every value in place.
func TestLabelFindingsHaveTheirWords(t *testing.T) {
	for _, f := range labelExamples() {
		for _, lang := range text.Languages() {
			w := f.Words(lang, US)
			for _, said := range []string{w.What, w.Why, w.Next, w.Source} {
				assert.NotEmpty(t, said, "%s in %s", f.Code, lang)
				assert.NotContains(t, said, "⟦", "%s in %s", f.Code, lang)
			}
		}
	}
}

// What blocks printing is the name, allergens and sulfites; nothing else does.
func TestLabelBlocks(t *testing.T) {
	blocks := map[string]bool{}
	for _, c := range labelCases() {
		for _, f := range c.got {
			if LabelBlocks(f) {
				blocks[f.Code] = true
			}
		}
	}
	assert.Equal(t, map[string]bool{"label.no_solids": true, "label.too_thin": true, "label.other_name": true, "label.cane_words": true, "label.unsulphured": true,
		"label.sulfites_missing": true, "label.allergen_denied": true, "label.allergen_missing": true, "label.not_pure": true}, blocks)
	assert.False(t, LabelBlocks(Finding{Code: "fill.below_limit", Level: Stop}), "what is no finding of a label stands elsewhere")
}

func TestClaimLines(t *testing.T) {
	assert.Equal(t, []string{"Boiled slow", "Puro"}, ClaimLines("Boiled slow\r\n\n  Puro \n"))
	assert.Empty(t, ClaimLines(" \n"))
}
