package labels

import (
	"slices"
	"strconv"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// Nutrition is a Nutrition Facts panel in the words of a label.
type Nutrition struct {
	Servings     string // "About 16 servings per container"
	Serving      string // "2 tbsp (30 mL)"
	Calories     string
	Lines        []NutritionLine
	Notes        []string // inside the box, beneath the lines
	DailyValue   string   // what the percentages mean, last in the box
	SmallPackage bool     // the package may carry the panel as running text
}

// NutritionLine is one nutrient of a panel.
type NutritionLine struct {
	Name, Amount, Percent string
	Vitamin               bool // stands below the second bar
	Indent                int
}

// servingVolume is the amount customarily eaten of any syrup, 2 tablespoons: 21 CFR 101.12(b), 2016 (from memory, high
// confidence).
const servingVolume syrup.Milliliters = 30

// leastInsignificant is of how many nutrients a serving must hold next to nothing for the short panel: 21 CFR 101.9(f)
// (from memory, medium confidence).
const leastInsignificant = 8

// alwaysShown are the nutrients the short panel names whatever they are: 21 CFR 101.9(f)(2)(i) (from memory, medium
// confidence).
var alwaysShown = map[string]bool{"calories": true, "fat": true, "carbohydrate": true, "protein": true, "sodium": true}

// indents of the nutrients that stand under another: 21 CFR 101.9(d) (from memory).
var nutrientIndents = map[string]int{"saturated_fat": 1, "trans_fat": 1, "fiber": 1, "sugars": 1, "added_sugars": 2}

var vitamins = map[string]bool{"vitamin_d": true, "calcium": true, "iron": true, "potassium": true}

// NutritionOf is the panel of a container of syrup of the solids given, from the figures of a database. single tells whether
// it is cane juice alone (hazards.NutritionPanel).
func NutritionOf(contents syrup.Milliliters, solids syrup.Brix, single bool) (*Nutrition, error) {
	panel, err := hazards.NutritionPanel(servingVolume, solids, single)
	if err != nil {
		return nil, err
	}
	count, about, err := hazards.Servings(contents, servingVolume)
	if err != nil {
		return nil, err
	}
	n := &Nutrition{Servings: servingsText(count, about), Serving: say("labels.nutrition.serving"), DailyValue: say("labels.nutrition.daily_value")}
	short, absent := shortPanel(panel)
	for _, line := range panel.Lines {
		switch {
		case line.Nutrient == "calories":
			n.Calories = decimal(*line.Amount)
		case !short || alwaysShown[line.Nutrient] || !insignificant(line):
			n.Lines = append(n.Lines, nutritionLine(line))
		}
	}
	n.Notes = nutritionNotes(panel, short, absent)
	return n, nil
}

func say(key string, args ...any) string { return text.Say(text.English, key, args...) }

func servingsText(count float64, about bool) string {
	key := "labels.nutrition.servings"
	switch {
	case count == 1 && !about:
		key = "labels.nutrition.one_serving"
	case about:
		key = "labels.nutrition.about_servings"
	}
	return say(key, "Servings", decimal(count))
}

// shortPanel tells whether the panel may be the short one, and which nutrients it leaves off.
func shortPanel(panel hazards.Panel) (short bool, absent []string) {
	next := 0
	for _, line := range panel.Lines {
		if !insignificant(line) {
			continue
		}
		next++
		if !alwaysShown[line.Nutrient] {
			absent = append(absent, inSentence(say("nutrient."+line.Nutrient)))
		}
	}
	return next >= leastInsignificant, absent
}

// inSentence is a nutrient's name within a sentence.
func inSentence(name string) string { return strings.ToLower(name[:1]) + name[1:] }

// insignificant is an amount that may be declared as zero, for a vitamin or mineral a percentage of zero.
func insignificant(line hazards.PanelLine) bool {
	if vitamins[line.Nutrient] {
		return line.Percent != nil && *line.Percent == 0
	}
	if line.Amount == nil {
		return line.Percent == nil || *line.Percent == 0
	}
	return *line.Amount == 0
}

func nutritionLine(line hazards.PanelLine) NutritionLine {
	n := NutritionLine{Name: say("nutrient." + line.Nutrient), Indent: nutrientIndents[line.Nutrient], Vitamin: vitamins[line.Nutrient]}
	if line.Amount != nil {
		n.Amount = decimal(*line.Amount) + " " + line.Unit
		if line.LessThan {
			n.Amount = say("labels.nutrition.less_than", "Amount", n.Amount)
		}
	}
	if line.Nutrient == "added_sugars" && line.Amount != nil {
		n.Name, n.Amount = say("labels.nutrition.includes", "Amount", n.Amount), ""
	}
	if line.Percent != nil {
		n.Percent = strconv.Itoa(*line.Percent) + "%"
		if line.Footnote {
			n.Percent += "†"
		}
	}
	return n
}

// nutritionNotes are what stands beneath the lines: what is left off, the note of syrup of cane alone (FDA guidance, June
// 2019: grams a serving adds to the diet and their part of the Daily Value).
func nutritionNotes(panel hazards.Panel, short bool, absent []string) []string {
	var notes []string
	if short && len(absent) > 0 {
		notes = append(notes, say("labels.nutrition.absent", "List", strings.Join(absent, ", ")))
	}
	added, _ := panel.Line("added_sugars")
	if sugars, ok := panel.Line("sugars"); ok && added.Footnote && added.Percent != nil {
		notes = append(notes, say("labels.nutrition.adds", "Grams", decimal(*sugars.Amount), "Percent", *added.Percent))
	}
	return notes
}

// String is the panel on one line, for a person to read.
func (n *Nutrition) String() string {
	return say("labels.nutrition.calories") + " " + n.Calories + ", " + n.running()
}

// running is the panel without its title and calories as running text.
func (n *Nutrition) running() string {
	parts := []string{n.Servings, say("labels.nutrition.serving_size", "Serving", n.Serving)}
	for _, line := range n.Lines {
		part := strings.TrimSpace(line.Name + " " + line.Amount)
		if line.Percent != "" {
			part += " (" + say("labels.nutrition.percent_dv", "Percent", line.Percent) + ")"
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ") + ". " + strings.Join(append(slices.Clone(n.Notes), say("labels.nutrition.daily_value_short")), " ")
}
