package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var piece = regexp.MustCompile(`"([^"]*)"|\S+`)

// splitLine splits a command line as a shell does, with double quotes and nothing else.
func splitLine(line string) []string {
	var args []string
	for _, m := range piece.FindAllStringSubmatch(line, -1) {
		if strings.HasPrefix(m[0], `"`) {
			args = append(args, m[1])
			continue
		}
		args = append(args, m[0])
	}
	return args
}

const sample = `--errors "-1.2 0.4 -0.8 1.1 -2.0 0.3 -0.5 0.9 -1.6 0.2 -0.7 -0.4"`

// Vector 23 of standards.md 14, computed there.
func TestCalcNetSample(t *testing.T) {
	values := answer(t, "net --scheme hb133 --label 355mL --lot 240 "+sample)
	assert.Equal(t, true, values["pass"])
	assert.InDelta(t, -0.3583, values["average"], 0.00005)
	assert.InDelta(t, 0.9681, values["sd"], 0.00005)
	assert.InDelta(t, 0.6147, values["limit"], 0.00005)
	assert.Equal(t, 10.7, values["tolerance"])
	assert.Contains(t, values["tolerance_from"], "US variation not entered")
	entered := answer(t, "net --scheme hb133 --label 355mL --mav 10mL --lot 240 "+sample)
	assert.Equal(t, 10.0, entered["tolerance"])
	assert.Contains(t, entered["tolerance_from"], "as you entered it")
	weighed := answer(t, "net --scheme hb133 --label 340g --lot 240 "+sample)
	assert.Equal(t, 16.3, weighed["tolerance"])
	assert.Contains(t, weighed["tolerance_from"], "from memory")
	assert.Equal(t, "g", weighed["unit"])
	single := answer(t, "net --scheme hb133 --label 12floz --lot 1 --errors -3")
	assert.Nil(t, single["sd"])
	assert.InDelta(t, 354.8824, single["label"], 0.0001)
}

// A sample that does not pass is an answer, and ends with 1.
func TestCalcNetFails(t *testing.T) {
	code, stdout, stderr := runCalc(`net --scheme hb133 --label 355mL --lot 2 --errors "-3 -3" --json`)
	assert.Equal(t, calcWrong, code)
	assert.Empty(t, stderr)
	var values map[string]any
	require.NoError(t, json.Unmarshal([]byte(stdout), &values))
	assert.Equal(t, false, values["pass"])
	_, lines, _ := runCalc(`net --scheme hb133 --label 355mL --lot 1 --errors -11`)
	assert.Contains(t, lines, "Does not pass")
	assert.Contains(t, lines, "no average")
}

// Vector 24: R 87; the rest by the formula of Handbook 133 (from memory).
func TestCalcNetOneForm(t *testing.T) {
	for label, want := range map[string]float64{"118mL": 5.4, "177mL": 8, "250mL": 9, "355mL": 10.7, "500mL": 15} {
		assert.Equal(t, want, answer(t, "net --scheme r87 --label "+label)["tolerance_ml"], label)
	}
	assert.Equal(t, 10.2, answer(t, "net --scheme r87 --label 340g")["tolerance_g"])
	assert.Contains(t, answer(t, "net --scheme hb133 --label 355mL")["tolerance_from"], "US variation not entered")
	for _, line := range []string{"net --label 355mL --density 1.3724g/mL --tare 250g --gross 740g", "net --label 355mL --density 1.3724 --tare 250g --gross 740g",
		"net --label 355mL --density 1372.4kg/m3 --tare 0.25kg --gross 740g"} {
		assert.InDelta(t, (740-(355*1.3724+250))/1.3724, answer(t, line)["error_ml"], 0.0001, line)
	}
	_, lines, _ := runCalc("net --label 355mL --density 1.3724 --tare 250g --gross 737.2g")
	assert.Contains(t, lines, "Error 0.0 mL")
}

// Vectors 18 and 19: 21 CFR 101.1 and 101.7(i).
func TestCalcPanel(t *testing.T) {
	for line, want := range map[string][2]float64{
		"--height 4.5in --diameter 2.5in": {14.137, 0.125}, "--height 2in --diameter 1in": {2.513, 0.0625}, "--height 5in --circumference 10in": {20, 0.125},
		"--height 1.25in --circumference 10in": {5, 0.0625}, "--height 1.26in --circumference 10in": {5.04, 0.125}, "--height 5in --width 5in": {25, 0.125},
		"--height 5in --width 5.001in": {25.005, 0.1875}, "--height 10in --width 10in": {100, 0.1875}, "--height 10in --width 10.01in": {100.1, 0.25},
		"--height 20in --width 20in": {400, 0.25}, "--height 400.1in --width 1in": {400.1, 0.5}, "--height 1.25in --circumference 10in --moulded": {5, 0.125},
		"--height 127mm --circumference 25.4cm": {20, 0.125}, "--height 3in --diameter 2in": {7.5398, 0.125},
	} {
		values := answer(t, "panel "+line)
		assert.InDelta(t, want[0], values["area_sq_in"], 0.0006, line)
		assert.Equal(t, want[1], values["type_height_in"], line)
	}
	_, lines, _ := runCalc("panel --height 10in --width 10in --moulded")
	assert.Contains(t, lines, "at least 1/4 inch (6.35 mm), moulded")
	_, lines, _ = runCalc("panel --height 10in --width 10in")
	assert.Contains(t, lines, "at least 3/16 inch (4.76 mm)")
}

// Vectors 5 and 6: Food Code 1-201.10, 21 CFR 113 and 114.
func TestCalcShelf(t *testing.T) {
	for line, want := range map[string][3]string{
		"--aw 0.92 --ph 6.0 --heat-treated-packaged": {"non-TCS", "A", "low_acid"},
		"--aw 0.93 --ph 5.7 --heat-treated-packaged": {"product assessment", "A", "low_acid"},
		"--aw 0.96 --ph 4.6 --heat-treated-packaged": {"non-TCS", "A", "acidified"},
		"--aw 0.96 --ph 4.7 --heat-treated-packaged": {"product assessment", "A", "low_acid"},
		"--aw 0.85 --ph 5.0":                         {"non-TCS", "B", "none"},
		"--aw 0.851 --ph 5.0":                        {"non-TCS", "B", "low_acid"},
		"--aw 0.89 --ph 5.1":                         {"product assessment", "B", "low_acid"},
	} {
		values := answer(t, "shelf "+line)
		assert.Equal(t, want, [3]string{values["result"].(string), values["table"].(string), values["canned_food_rule"].(string)}, line)
	}
	_, lines, _ := runCalc("shelf --aw 0.78 --ph 5.2")
	assert.Contains(t, lines, "Non-TCS")
	assert.NotContains(t, lines, "may apply")
}

// Vectors 1 to 4: 21 CFR 168.130 and 168.180, FDA's guidance of May 2016.
func TestCalcName(t *testing.T) {
	names := func(line string) []any { return answer(t, "name "+line)["names"].([]any) }
	assert.Equal(t, []any{"Cane syrup", "Cane sirup", "Sugar cane syrup", "Sugar cane sirup"},
		names(`--solids 74 --ingredients "cane juice"`))
	table := []any{"Table syrup", "Table sirup", "Syrup", "Sirup"}
	assert.Equal(t, table, names(`--solids 73.99 --ingredients "cane juice"`))
	assert.Equal(t, table, names(`--solids 76 --ingredients "cane juice, invertase"`))
	assert.Len(t, names(`--solids 76 --ingredients "cane juice, salt"`), 4)
	assert.Len(t, names(`--solids 76 --ingredients "cane juice, defoamer"`), 4)
	assert.Equal(t, table, names(`--solids 65 --ingredients "cane juice"`))
	assert.Equal(t, table, answer(t, `name --solids 74 --ingredients "cane juice"`)["also_names"])
	thin := answer(t, `name --solids 64.99 --ingredients "cane juice"`)
	assert.Equal(t, []any{}, thin["names"])
	assert.Equal(t, "hold", thin["level"])
	warned := answer(t, `name --solids 76 --ingredients "evaporated cane juice"`)
	assert.Len(t, warned["warnings"], 1)
	_, lines, _ := runCalc(`name --solids 76 --ingredients "cane juice, corn syrup"`)
	assert.Contains(t, lines, "barred by: corn syrup")
	_, lines, _ = runCalc(`name --solids 73.95 --ingredients "cane juice"`)
	assert.Contains(t, lines, "At 73.95 % solids")
	assert.Contains(t, lines, "start at 74 %")
}

// Vectors 25, 27 and 29: USDA SR28 NDB 90480, FDA's guidance on added sugars, FDA NLEA guide.
func TestCalcNutrition(t *testing.T) {
	values := answer(t, "nutrition --serving 41g --solids 74")
	assert.Equal(t, "from database, not analysed", values["basis"])
	lines := map[string]map[string]any{}
	for _, l := range values["lines"].([]any) {
		line := l.(map[string]any)
		lines[line["nutrient"].(string)] = line
	}
	assert.Equal(t, 110.0, lines["calories"]["amount"])
	assert.Equal(t, 30.0, lines["carbohydrate"]["amount"])
	assert.Equal(t, 11.0, lines["carbohydrate"]["percent_dv"])
	assert.Equal(t, 1.5, lines["iron"]["amount"])
	assert.Nil(t, lines["added_sugars"]["amount"])
	assert.Equal(t, 60.0, lines["added_sugars"]["percent_dv"])
	assert.Equal(t, true, lines["added_sugars"]["footnote"])

	_, pure, _ := runCalc("nutrition --serving 30mL --solids 74 --container 355mL")
	for _, want := range []string{"Total carbohydrate 30 g, 11 %", "Added sugars, 60 % †", "About 12 servings", "From database, not analysed"} {
		assert.Contains(t, pure, want)
	}
	_, salted, _ := runCalc("nutrition --serving 1g --solids 74 --container 219mL --other-ingredients")
	assert.Contains(t, salted, "Added sugars less than 1 g, 1 %")
	assert.NotContains(t, salted, "†")
	_, even, _ := runCalc("nutrition --serving 30mL --solids 74 --container 300mL")
	assert.Contains(t, even, "\n10 servings")
}

func TestCalcRulesWrongUse(t *testing.T) {
	for line, wants := range map[string][]string{
		"net":                       {"--label is missing", "--scheme is missing"},
		"net --label 355mL":         {"--scheme is missing"},
		"net --label 355":           {"--label: “355”", "gal, qt, pt, floz, L, mL, lb, oz, kg, g, ton"},
		"net --label 12cups":        {"--label: “", "floz"},
		"net --label 0mL":           {"more than 0"},
		"net --label 355,5mL":       {"--label:", "22.5"},
		"net --label NaNmL":         {"--label:"},
		"net --label -355mL":        {"Volume -355"},
		"net --scheme e --label 1L": {"--scheme: “e”", "hb133 or r87"},
		"net --scheme r87 --label 355mL --lot 99 --errors 1":                   {"--lot: 99 packages", "from 100 on"},
		"net --scheme hb133 --label 355mL --lot 0 --errors 1":                  {"--lot: 0 packages"},
		"net --scheme hb133 --label 355mL --lot 240 --errors 1":                {"--errors: a lot of 240 needs 12", "1 are given"},
		"net --scheme hb133 --label 355mL --lot many --errors 1":               {"--lot: “many”"},
		`net --scheme hb133 --label 355mL --lot 2 --errors "1,5 2"`:            {"--errors: “1,5”", "22.5"},
		`net --scheme hb133 --label 355mL --lot 2 --errors "NaN 2"`:            {"--errors: “NaN”"},
		`net --scheme hb133 --label 355mL --lot 2 --errors " "`:                {"--errors: Nothing typed"},
		"net --scheme hb133 --label 355mL --lot 1":                             {"--errors is missing"},
		"net --scheme hb133 --label 355mL --lot 1 --errors 1 --mav 9g":         {"--mav: expected mL"},
		"net --scheme hb133 --label 355mL --lot 1 --errors 1 --mav 400mL":      {"less than the label"},
		"net --scheme hb133 --label 355mL --density 1.37 --tare 1g --gross 2g": {"only one of them"},
		"net --label 355mL --density 1372 --tare 250g --gross 740g":            {"--density: “1372”", "1372kg/m3"},
		"net --label 355mL --density NaN --tare 250g --gross 740g":             {"--density: “NaN”"},
		"net --label 355mL --density 1.37 --tare 740g --gross 250g":            {"--gross: 250 g", "swapped"},
		"net --label 340g --density 1.37 --tare 250g --gross 740g":             {"--label:", "355mL"},
		"net --label 355mL --density 1.37 --tare 250":                          {"--tare: “250”", "--gross is missing"},
		"panel":                                                {"--height is missing", "--diameter is missing"},
		"panel --height 3 --diameter 2in":                      {"--height: “3”", "in, mm, cm, ft, m"},
		"panel --height 3in --diameter -2in":                   {"--diameter:", "more than 0"},
		"panel --height 0in --diameter 2in":                    {"more than 0"},
		"panel --height 3in --diameter 2in --width 2in":        {"only one of them"},
		"panel --height 3,5in --diameter 2in":                  {"--height:", "22.5"},
		"shelf":                                                {"--aw is missing", "--ph is missing"},
		"shelf --aw 78 --ph 5.2":                               {"--aw: water activity 78: expected 0 to 1.", "in percent?"},
		"shelf --aw 0.78 --ph 52":                              {"--ph: pH 52: expected 0 to 14.", "decimal point"},
		"shelf --aw -0.1 --ph 15":                              {"--aw: water activity -0.1", "--ph: pH 15"},
		"shelf --aw 0,78 --ph 5.2":                             {"--aw: “0,78”"},
		"shelf --aw NaN --ph Inf":                              {"--aw: “NaN”", "--ph: “Inf”"},
		"name":                                                 {"--solids is missing", "--ingredients is missing"},
		`name --solids 0.76 --ingredients salt`:                {"--solids: “0.76”", "76 %"},
		`name --solids 93 --ingredients salt`:                  {"Solids 93 %: expected 0 to 85 %."},
		`name --solids -5 --ingredients salt`:                  {"Solids -5 %"},
		`name --solids 76 --ingredients " , "`:                 {"--ingredients: nothing typed"},
		"nutrition":                                            {"--serving is missing", "--solids is missing"},
		"nutrition --serving 30 --solids 74":                   {"--serving: “30”"},
		"nutrition --serving 30mL --solids 0.74":               {"--solids: “0.74”", "74 %"},
		"nutrition --serving 30mL --solids 90":                 {"Solids 90 %: expected 0 to 85 %."},
		"nutrition --serving 30mL --solids 74 --container 0mL": {"more than 0"},
		"nutrition --serving 30mL --solids NaN":                {"--solids: “NaN”"},
	} {
		t.Run(line, func(t *testing.T) {
			code, stdout, stderr := runCalc(line)
			assert.Equal(t, calcUsage, code)
			assert.Empty(t, stdout)
			for _, want := range wants {
				assert.Contains(t, stderr, want)
			}
			assert.NotContains(t, stderr, "⟦")
		})
	}
}
