package hazards

import (
	"regexp"
	"strings"
)

// What claims say, in English and Spanish. The words are our own list (common practice, no source); what a claim asks for has
// its source where it is judged.
var (
	caneWords = regexp.MustCompile(`(?i)\b(sugar[ -]?cane|cane)[ -](syrup|sirup)\b|\b(miel|jarabe|sirope|melado) de caña\b`)

	unsulphuredWords = regexp.MustCompile(`(?i)\bun-?sul(ph|f)(ur|it)e?d\b|\bnon-?sul(ph|f)(ur|it)ed\b|\bsul(ph|f)(ur|ites?)[ -]free\b` +
		`|\bsul(ph|f)ur dioxide[ -]free\b|\b(no|free of|free from|without) (added )?sul(ph|f)(ur|ites?|iting)\b|\b(sin|libre de|no contiene) (azufre|sulfitos?|di[oó]xido de azufre)\b` +
		`|\b(no|sin) (sulfurad[oa]|sulfitad[oa]|azufrad[oa]|sulfurar|sulfitar|azufrar)\b`)

	noPreservativeWords = regexp.MustCompile(`(?i)\bpreservative[ -]free\b|\b(no|free of|free from|without) (added |artificial )?preservatives\b` +
		`|\b(sin|libre de|no contiene) (conservantes|conservadores|preservantes)\b`)

	pureWords = regexp.MustCompile(`(?i)\b(pure|all[ -]cane|puro|pura)\b|\b100 ?(%|percent\b|por ciento\b)|\bcien por ciento\b|\bnothing (else )?added\b|\bno additives\b|\bsin aditivos\b|\bsin nada añadido\b`)

	rawWords = regexp.MustCompile(`(?i)\b(raw|uncooked|unheated|unpasteuri[sz]ed|crud[oa]|sin cocer|sin hervir)\b`)

	gradeWords = regexp.MustCompile(`(?i)\b(u\.?s\.?(d\.?a\.?)?|grado|fancy|choice) grade\b|\bgrade ?(a|b|c|no\.? ?1|fancy)\b|\bgrado (a|b|c|usda)\b|\busda (approved|inspected|aprobad[oa])\b|\busda\b`)

	evaporatedSpanish = regexp.MustCompile(`(?i)\bjugo de caña (evaporado|deshidratado|seco)\b`)

	organicWords = regexp.MustCompile(`(?i)\b(organic(ally)?|org[aá]nic[oa]s?|ecol[oó]gic[oa]s?)\b`)

	nutritionWords = regexp.MustCompile(`(?i)\b(source of|rich in|high in|packed with|loaded with|fuente de|ric[oa] en|alt[oa] en|baj[oa] en)\b` +
		`|\b(low|reduced|less)[ -](fat|sodium|calories?|cholesterol|sugars?|glycemic)\b|\b(fat|sodium|cholesterol|calorie|sugar|salt)[ -]free\b` +
		`|\bno (fat|sodium|cholesterol|calories|sugar added|added sugars?|added salt)\b|\bsin (grasas?|sodio|colesterol|calor[ií]as|az[uú]car(es)?)\b` +
		`|\b(health(y|ier|ful)?|nutritious|vitamins?|antioxidants?|saludables?|nutritiv[oa]s?|vitaminas?|antioxidantes?)\b` +
		`|\b(prevents?|cures?|treats?|lowers|immune|diabet\w+|ana?emia|previene|cura|inmun\w*|heart|coraz[oó]n)\b`)

	puffingWords = regexp.MustCompile(`(?i)\b(jumbo|giant|gigante|full|generous|colmad[oa]) (quart|pint|gallon|ounces?|oz|cuarto|pinta|gal[oó]n|onzas?)\b`)
)

// allergenWords are how a claim or an answer may name the major allergens.
var allergenWords = []struct{ allergen, words string }{
	{"milk", `dairy|milk|lactose|butter|cream|leche|l[aá]cteos?|lactosa|mantequilla|crema`}, {"egg", `eggs?|huevos?`}, {"soy", `soy(beans?)?|soya|soja`},
	{"wheat", `wheat|gluten|trigo`}, {"peanuts", `peanuts?|cacahuates?|man[ií]`}, {"tree nuts", `(tree ?)?nuts?|almonds?|pecans?|walnuts?|nuez|nueces`},
	{"sesame", `sesame|ajonjol[ií]|s[eé]samo`}, {"fish", `fish|pescado`}, {"crustacean shellfish", `shellfish|shrimp|crab|mariscos?|camar[oó]n`},
}

// animal are the allergens a vegan food does not hold.
var animal = []string{"milk", "egg", "fish", "crustacean shellfish"}

var (
	anyAllergenFree = regexp.MustCompile(`(?i)\b(allergens?[ -]free|free (of|from) allergens?|no allergens?|sin al[eé]rgenos?|libre de al[eé]rgenos?)\b`)
	veganWords      = regexp.MustCompile(`(?i)\b(vegan[oa]?|plant[ -]based|de origen vegetal)\b`)
	namesAllergen   = allergenPatterns(func(words string) string { return `\b(` + words + `)\b` })
	freeOf          = allergenPatterns(func(words string) string {
		return `\b(` + words + `)[ -]free\b|\b(free of|free from|no|non|without|contains no|sin|libre de|no contiene)[ -](` + words + `)\b`
	})
)

func allergenPatterns(pattern func(words string) string) map[string]*regexp.Regexp {
	patterns := map[string]*regexp.Regexp{}
	for _, a := range allergenWords {
		patterns[a.allergen] = regexp.MustCompile(`(?i)` + pattern(a.words))
	}
	return patterns
}

// deniesAllergen tells whether a text says that an allergen, as an answer names it, is not in the food.
func deniesAllergen(claim, allergen string) bool {
	if anyAllergenFree.MatchString(claim) {
		return true
	}
	for _, known := range allergenWords {
		if !namesAllergen[known.allergen].MatchString(allergen) {
			continue
		}
		if freeOf[known.allergen].MatchString(claim) {
			return true
		}
		for _, a := range animal {
			if a == known.allergen && veganWords.MatchString(claim) {
				return true
			}
		}
	}
	return false
}

// ClaimLines splits claims as entered, one a line.
func ClaimLines(claims string) []string {
	var lines []string
	for line := range strings.Lines(claims) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// JudgeClaim judges one thing a label says against the records.
func (l LabelFacts) JudgeClaim(claim string) []Finding {
	var findings []Finding
	say := func(code string, level Level, source string) *Finding {
		findings = append(findings, Finding{Code: code, Level: level, About: l.ID, AboutName: l.Name, Source: source}.with("Claim", named(claim)))
		return &findings[len(findings)-1]
	}
	if unsulphuredWords.MatchString(claim) && l.sulfited() {
		f := say("label.unsulphured", Hold, "21 CFR 130.9, 101.100(a)(4)")
		*f = f.with("From", named(l.sulfiteFrom()))
	}
	for _, allergen := range l.allergens() {
		if deniesAllergen(claim, allergen) {
			f := say("label.allergen_denied", Hold, allergenRule)
			*f = f.with("Allergen", named(allergen))
		}
	}
	if pureWords.MatchString(claim) {
		if mixed, plain := l.besideCane(); len(mixed) > 0 {
			f := say("label.not_pure", Hold, ingredientRule)
			*f = f.with("With", named(strings.Join(mixed, ", ")))
		} else if len(plain) > 0 {
			f := say("label.pure_with", Check, ingredientRule)
			*f = f.with("With", named(strings.Join(plain, ", ")))
		}
	}
	if kept := l.preservatives(); noPreservativeWords.MatchString(claim) && len(kept) > 0 {
		f := say("label.pure_with", Check, ingredientRule)
		*f = f.with("With", named(strings.Join(kept, ", ")))
	}
	for _, plain := range []struct {
		words  *regexp.Regexp
		code   string
		source string
	}{
		{rawWords, "label.raw", "source.common_practice"},
		{gradeWords, "label.grade", "source.no_grade"},
		{juiceName, "label.juice_claim", juiceGuidance}, {evaporatedSpanish, "label.juice_claim", juiceGuidance},
		{organicWords, "label.organic", "source.organic"},
		{puffingWords, "label.puffing", "21 CFR 101.7(f)"},
	} {
		if plain.words.MatchString(claim) {
			say(plain.code, Check, plain.source)
		}
	}
	if nutritionWords.MatchString(claim) {
		if l.Nutrition == NutritionPanelDrawn {
			say("label.nutrition_claim_rules", Check, "source.nutrient_claims")
		} else {
			say("label.nutrition_claim", Check, "21 CFR 101.9(j)(1), 101.9(j)(18)")
		}
	}
	return findings
}

const (
	juiceGuidance = "FDA, Ingredients Declared as Evaporated Cane Juice (May 2016)"
	allergenRule  = "source.allergen_act"
)
