package labels

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// answered makes an ingredient with every answer given.
func answered(name string, grams syrup.Grams, stays bool, allergens ...string) Ingredient {
	if allergens == nil {
		allergens = []string{}
	}
	return Ingredient{Name: name, Weight: new(grams), Stays: new(stays), Allergens: &allergens, Sulfites: &Sulfites{}}
}

func TestIngredients(t *testing.T) {
	line, err := Ingredients([]Ingredient{
		answered("salt", 30, true), answered("cane juice", 90_000, true), answered("butter", 15, false, "milk"),
		answered("corn syrup", 500, true), answered("salt", 480, true)})
	require.NoError(t, err)
	assert.Equal(t, "Ingredients: cane juice, salt, corn syrup.", line, "by descending weight (21 CFR 101.4), the same name together")

	single, err := Ingredients([]Ingredient{answered("cane juice", 1, true)})
	require.NoError(t, err)
	assert.Equal(t, "Ingredients: cane juice.", single)
	none, err := Ingredients(nil)
	require.NoError(t, err)
	assert.Empty(t, none)

	unweighed, unsaid := answered("lime", 1, true), answered("enzyme", 1, true)
	unweighed.Weight, unsaid.Stays = nil, nil
	_, err = Ingredients([]Ingredient{answered("cane juice", 9, true), unweighed, unsaid})
	var missing Unanswered
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, []string{"lime", "enzyme"}, missing.Names)
	assert.Contains(t, err.Error(), "lime, enzyme")
	assert.Contains(t, missing.Say(text.Spanish), "lime, enzyme")

	aid := answered("defoamer", 1, false)
	aid.Weight = nil
	_, err = Ingredients([]Ingredient{aid})
	assert.NoError(t, err, "how much of an aid that does not stay is not asked")
}

func TestAllergenLine(t *testing.T) {
	sulfited := func(declared bool, ppm ...float64) Ingredient {
		item := answered("molasses", 100, true)
		item.Sulfites = &Sulfites{Declared: declared}
		if len(ppm) > 0 {
			item.Sulfites.PPM = &ppm[0]
		}
		return item
	}
	tests := []struct {
		name  string
		items []Ingredient
		want  string
	}{
		{"nothing", []Ingredient{answered("cane juice", 1, true)}, ""},
		{"no items", nil, ""},
		{"butter that does not stay", []Ingredient{answered("butter", 1, false, "milk")}, "Contains: milk."},
		{"twice and in any case", []Ingredient{answered("a", 1, true, "Soy", " milk"), answered("b", 1, true, "soy", "")}, "Contains: milk, soy."},
		{"sulfite below 10 ppm", []Ingredient{sulfited(false, 9.99)}, ""},
		{"sulfite at 10 ppm", []Ingredient{sulfited(false, 10)}, "Contains sulfites."},
		{"sulfite together at 10 ppm", []Ingredient{sulfited(false, 6), sulfited(false, 4)}, "Contains sulfites."},
		{"sulfite declared", []Ingredient{sulfited(true), answered("butter", 1, true, "milk")}, "Contains: milk. Contains sulfites."},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			line, err := AllergenLine(test.items)
			require.NoError(t, err)
			assert.Equal(t, test.want, line)
		})
	}
	noAllergens, noSulfites := answered("butter", 1, true), answered("lime", 1, true)
	noAllergens.Allergens, noSulfites.Sulfites = nil, nil
	_, err := AllergenLine([]Ingredient{noAllergens, answered("salt", 1, true), noSulfites, noAllergens})
	var missing Unanswered
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, []string{"butter", "lime"}, missing.Names)
	assert.Contains(t, err.Error(), "butter, lime")
	assert.Len(t, MajorAllergens(), 9)
}
