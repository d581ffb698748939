package hazards

import (
	"regexp"
	"strings"
)

// juiceName finds the names FDA says are not the name of a sweetener: "evaporated cane juice" and its like (Ingredients
// Declared as Evaporated Cane Juice, May 2016).
var juiceName = regexp.MustCompile(`(?i)\b(evaporated|dried|dehydrated|crystalli[sz]ed)\s+(sugar\s*)?cane\s+juice\b`)

// caneJuice finds cane juice used as the name of a product.
var caneJuice = regexp.MustCompile(`(?i)\b(sugar\s*)?cane\s+juice\b`)

// NamesEvaporatedJuice tells whether a name or an ingredient calls a sweetener evaporated cane juice.
func NamesEvaporatedJuice(name string) bool { return juiceName.MatchString(name) }

// JudgeProductName warns of "cane juice" as the name of a syrup: it is not the common or usual name of any sweetener.
func JudgeProductName(name, about string) []Finding {
	if !caneJuice.MatchString(name) {
		return nil
	}
	return []Finding{{Code: "identity.juice_name", Level: Check, About: about, AboutName: name,
		Source: "FDA, Ingredients Declared as Evaporated Cane Juice (May 2016)"}}
}

// ingredientUses are words of an ingredient list with the use they are for, the telling word first: "corn syrup" is a
// sweetener before it is a syrup, "sulfur dioxide" a preservative. Common practice, no source.
var ingredientUses = []struct {
	word, use string
}{
	{"sorghum", UseOther}, {"maple", UseSweetener}, {"corn syrup", UseSweetener}, {"glucose", UseSweetener}, {"dextrose", UseSweetener},
	{"honey", UseSweetener}, {"molasses", UseSweetener}, {"cane syrup", ""}, {"cane sirup", ""}, {"cane juice", ""}, {"sugarcane juice", ""},
	{"fructose", UseSweetener}, {"sugar", UseSweetener}, {"invertase", UseEnzyme}, {"enzyme", UseEnzyme}, {"amylase", UseEnzyme},
	{"sorbic", UsePreservative}, {"benzoic", UsePreservative}, {"acid", UseAcid}, {"lemon", UseAcid}, {"vinegar", UseAcid}, {"cream of tartar", UseAcid}, {"lime", UseLime},
	{"preservative", UsePreservative}, {"sorbate", UsePreservative}, {"benzoate", UsePreservative}, {"sulfur dioxide", UsePreservative},
	{"sulphur dioxide", UsePreservative}, {"sulfite", UsePreservative}, {"metabisulfite", UsePreservative},
	{"defoam", UseDefoamer}, {"butter", UseDefoamer}, {"salt", UseSalt}, {"water", UseWater},
}

// IngredientUse says what an ingredient of a list is for. The cane's own juice or syrup has no use: it is the food.
// Something not known is "other", which bars the cane names until somebody has looked.
func IngredientUse(ingredient string) string {
	plain := strings.ToLower(strings.Join(strings.Fields(ingredient), " "))
	for _, known := range ingredientUses {
		if strings.Contains(plain, known.word) {
			return known.use
		}
	}
	return UseOther
}

// IngredientAdditions makes the additions of a written ingredient list, all of them staying in the food; the cane's own
// juice is left out.
func IngredientAdditions(ingredients []string) []AdditionFacts {
	stays := true
	var list []AdditionFacts
	for _, name := range ingredients {
		if use := IngredientUse(name); use != "" {
			list = append(list, AdditionFacts{Name: name, Use: use, Stays: &stays})
		}
	}
	return list
}

// BarCane lists the additions that bar the cane names, by name.
func BarCane(additions []AdditionFacts) []string {
	var names []string
	for _, a := range additions {
		if a.barsCane() {
			names = append(names, a.Name)
		}
	}
	return names
}
