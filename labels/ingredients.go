package labels

import (
	"cmp"
	"slices"
	"strings"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// Ingredient is one thing that went into the lot, with the answers given for it. What was not answered is nil.
type Ingredient struct {
	Name      string       // as the label names it
	Weight    *syrup.Grams // how much went into the lot
	Stays     *bool        // false for a processing aid that does not stay in the syrup
	Allergens *[]string    // in the label's words, such as "milk"; empty when it brings none
	Sulfites  *Sulfites
}

// Sulfites is the answer about sulfite in an addition.
type Sulfites struct {
	Declared bool     // its own package declares sulfites
	PPM      *float64 // parts per million it brings to the finished syrup; nil when not measured
}

// sulfiteLimit in parts per million of finished food is from where sulfites are declared: 21 CFR 101.100(a)(4) (from
// memory, high confidence).
const sulfiteLimit = 10

// MajorAllergens lists the allergens of the Food Allergen Labeling and Consumer Protection Act with sesame (FASTER Act)
// in the words of a label (from memory, high confidence). Fish, shellfish and tree nuts are to be named by their kind.
func MajorAllergens() []string {
	return []string{"milk", "egg", "fish", "crustacean shellfish", "tree nuts", "wheat", "peanuts", "soy", "sesame"}
}

// Unanswered says that answers are missing without which nothing can be printed.
type Unanswered struct {
	Names []string // the additions
	key   string
}

// Say explains it to a person.
func (e Unanswered) Say(lang text.Language) string {
	return text.Say(lang, e.key, "Names", strings.Join(e.Names, ", "))
}

// Error is Say in English.
func (e Unanswered) Error() string { return e.Say(text.English) }

// unanswered names the items for which answered is false.
func unanswered(items []Ingredient, key string, answered func(Ingredient) bool) error {
	var names []string
	for _, item := range items {
		if !answered(item) && !slices.Contains(names, item.Name) {
			names = append(names, item.Name)
		}
	}
	if names == nil {
		return nil
	}
	return Unanswered{Names: names, key: key}
}

// Ingredients is the ingredient line by descending weight (21 CFR 101.4). What does not stay in the syrup is left out,
// as a processing aid is (101.100(a)(3)); the same name given twice counts together. The error is Unanswered.
func Ingredients(items []Ingredient) (string, error) {
	err := unanswered(items, "labels.unanswered_ingredients", func(item Ingredient) bool {
		return item.Stays != nil && (!*item.Stays || item.Weight != nil)
	})
	if err != nil {
		return "", err
	}
	weights := map[string]syrup.Grams{}
	var names []string
	for _, item := range items {
		if !*item.Stays {
			continue
		}
		if _, listed := weights[item.Name]; !listed {
			names = append(names, item.Name)
		}
		weights[item.Name] += *item.Weight
	}
	if len(names) == 0 {
		return "", nil
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(weights[b], weights[a]) })
	return text.Say(text.English, "labels.ingredients", "List", strings.Join(names, ", ")), nil
}

// AllergenLine is the allergen statement, empty when there is nothing to declare. It counts every addition, also one
// that does not stay: butter against foam is milk on the label. Sulfites are declared when a package declares them or
// when together they reach 10 parts per million. The error is Unanswered.
func AllergenLine(items []Ingredient) (string, error) {
	err := unanswered(items, "labels.unanswered_allergens", func(item Ingredient) bool {
		return item.Allergens != nil && item.Sulfites != nil
	})
	if err != nil {
		return "", err
	}
	var allergens, lines []string
	sulfite, declared := 0.0, false
	for _, item := range items {
		for _, allergen := range *item.Allergens {
			if allergen = strings.ToLower(strings.TrimSpace(allergen)); allergen != "" && !slices.Contains(allergens, allergen) {
				allergens = append(allergens, allergen)
			}
		}
		declared = declared || item.Sulfites.Declared
		if item.Sulfites.PPM != nil {
			sulfite += *item.Sulfites.PPM
		}
	}
	if len(allergens) > 0 {
		slices.Sort(allergens)
		lines = append(lines, text.Say(text.English, "labels.contains", "List", strings.Join(allergens, ", ")))
	}
	if declared || sulfite >= sulfiteLimit {
		lines = append(lines, text.Say(text.English, "labels.contains_sulfites"))
	}
	return strings.Join(lines, " "), nil
}
