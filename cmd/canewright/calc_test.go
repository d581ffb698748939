package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// runCalc runs one command line, split at spaces outside of quotes.
func runCalc(line string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = calc(splitLine(line), &out, &errs)
	return code, out.String(), errs.String()
}

// answer runs a command line with --json and gives its values.
func answer(t *testing.T, line string) map[string]any {
	t.Helper()
	code, stdout, stderr := runCalc(line + " --json")
	require.Equal(t, calcDone, code, stderr)
	assert.Empty(t, stderr)
	var values map[string]any
	require.NoError(t, json.Unmarshal([]byte(stdout), &values), stdout)
	return values
}

// The pair that defines the trade's stem: 36 Be at 60 F is 66.9 Brix (maple hydrometer chart note, 2021).
func TestCalcSolidsTradePair(t *testing.T) {
	values := answer(t, "solids --baume 36 --at 60F --ref 60F")
	assert.InDelta(t, 66.9, values["solids_percent"], 0.1)
	assert.Equal(t, 0.3, values["uncertainty_percent"])
	assert.Equal(t, false, values["ref_assumed"])
}

// Regression values of physics.md 3, 5, 8 and 9.
func TestCalcValues(t *testing.T) {
	for _, c := range []struct {
		line  string
		want  map[string]float64
		delta float64
	}{
		{"solids --baume 33.5 --at 220F", map[string]float64{"solids_percent": 70.19, "uncertainty_percent": 0.5, "baume": 33.5, "temperature_f": 220, "temperature_c": 104.444, "modulus": 145}, 0.006},
		{"solids --baume 33.5 --at 220F --ref 68F", map[string]float64{"solids_percent": 69.87}, 0.006},
		{"solids --baume 33.5 --at 220F --ref 60/60", map[string]float64{"solids_percent": 70.01}, 0.006},
		{"solids --brix 59.1 --at 211F", map[string]float64{"solids_percent": 66.9, "brix_reading": 59.1}, 0.35},
		{"reading --solids 74 --at 220F", map[string]float64{"baume": 35.56, "solids_percent": 74}, 0.006},
		{"reading --solids 74 --at 226F --ref 68F", map[string]float64{"baume": 35.57, "brix_reading": 66.00}, 0.006},
		{"reading --solids 74% --at 104.444C", map[string]float64{"baume": 35.56}, 0.006},
		{"boil --solids 74", map[string]float64{"boiling_f": 223.3, "water_boiling_f": 212.0, "rise_f": 11.4, "rise_c": 6.33, "pressure_kpa": 101.325, "uncertainty_f": 1.5}, 0.06},
		{"boil --solids 74 --inverted 30 --ash 1.5", map[string]float64{"boiling_f": 225.9, "inverted_percent_of_sugars": 30, "ash_percent_of_syrup": 1.5}, 0.06},
		{"boil --solids 74 --inverted 30 --ash 1.5 --altitude 3000ft", map[string]float64{"water_boiling_f": 206.5, "rise_f": 13.7, "altitude_m": 914.4}, 0.06},
		{"boil --solids 74 --pressure 28.5inHg", map[string]float64{"water_boiling_f": 209.5}, 0.06},
		{"boil --solids 74 --altitude -50m", map[string]float64{"altitude_m": -50}, 0.001},
		{"boil --solids 74 --invert 30 --ash 1.5", map[string]float64{"boiling_f": 225.9, "inverted_percent_of_sugars": 30, "ash_percent_of_syrup": 1.5}, 0.06},
		{"boil --solids 74 --invert 30% --ash 0.5%", map[string]float64{"ash_percent_of_syrup": 0.5}, 0.0001},
		{"solids --baume 33.5 --at 220F", map[string]float64{"volume_lost_to_74_percent": 6.83}, 0.006},
		{"refractometer --index 1.4419", map[string]float64{"brix": 60, "brix_corrected": 60, "temperature_c": 20, "index": 1.4419}, 0.06},
		{"refractometer --brix 70 --at 10C", map[string]float64{"brix": 70, "brix_corrected": 69.25}, 0.01},
		{"refractometer --brix 70 --at 59F --invert-of-syrup 20", map[string]float64{"brix_corrected": 69.62, "invert_reads_low": 0.44}, 0.01},
		{"compare --baume 35.5 --at 220F --boiled 221F --water 211F", map[string]float64{"solids_by_density_percent": 73.9, "solids_by_boiling_percent": 67.8, "apart_percent": 6.1, "rise_f": 10}, 0.06},
		{"compare --brix 66 --at 226F --ref 68F --boiled 223.3F --invert 0 --ash 0", map[string]float64{"solids_by_boiling_percent": 74, "apart_percent": 0, "solids_by_density_percent": 74}, 0.1},
		{"aw --solids 74", map[string]float64{"water_activity": 0.7835, "uncertainty": 0.01, "temperature_c": 25}, 0.0005},
		{"aw --solids 74 --invert 30 --at 77F", map[string]float64{"water_activity": 0.7574}, 0.0005},
		{"aw --solids 74 --invert 30 --ash 1.5", map[string]float64{"uncertainty": 0.015}, 0.0001},
		{"aw --solids 74 --glucose 11.1 --fructose 11.1", map[string]float64{"water_activity": 0.7574, "inverted_percent_of_sugars": 30}, 0.0005},
		{"aw --glucose 20 --fructose 10 --at 25C", map[string]float64{"solids_percent": 30, "inverted_percent_of_sugars": 100}, 0.0001},
		{"aw --solids 42 --at -4.93C", map[string]float64{"water_activity": 0.9533}, 0.001},
		{"crystal --at 20C", map[string]float64{"solubility_percent": 66.74}, 0.13},
		{"crystal --at 68F --solids 75 --invert-of-syrup 15 --other 2", map[string]float64{"supersaturation": 1.226, "uncertainty": 0.08}, 0.001},
		{"weight --solids 74", map[string]float64{"lb_per_gal": 11.449, "kg_per_l": 1.3729, "baume": 39.57, "sg_20_20": 1.37538, "mass_lb_per_gal": 11.458}, 0.006},
		{"weight --solids 66.9%", map[string]float64{"lb_per_gal": 11.073}, 0.004},
		{"yield --juice 111.8gal --juice-brix 18 --solids 74 --loss 5", map[string]float64{"syrup_gal": 20.2, "loss_percent": 5}, 0.06},
		{"implied --juice 50gal --syrup 5gal --solids 74", map[string]float64{"juice_brix": 9.8, "ratio": 10}, 0.06},
		{"implied --juice 80L --syrup 10L --solids 74", map[string]float64{"juice_brix": 12.1, "juice_l": 80}, 0.06},
		{"thin --volume 20gal --solids 78 --to 75", map[string]float64{"water_gal": 1.12, "water_lb": 9.34, "final_gal": 21.1}, 0.006},
		{"thicken --volume 20gal --solids 70 --to 74", map[string]float64{"left_gal": 18.57, "water_off_gal": 1.46, "water_off_lb": 12.16, "volume_lost_percent": 7.2}, 0.06},
		{"thicken --volume 75.7L --solids 60 --to 70", map[string]float64{"volume_l": 75.7, "volume_lost_to_74_percent": 24}, 0.06},
		{"blend --solids 70 --with 78 --to 74", map[string]float64{"first_percent": 50, "second_percent": 50}, 0.0001},
		{"blend --solids 78 --with 70 --to 75 --use 5gal", map[string]float64{"first_percent": 62.5, "first_gal": 5}, 0.0001},
		{"blend --solids 70 --with 78 --to 74 --make 20gal", map[string]float64{"first_gal": 10.19, "second_gal": 9.81, "made_gal": 20}, 0.006},
		{"headspace --brim 380mL --volume 355mL --solids 74 --at 185F", map[string]float64{"headspace_cold_percent": 6.58, "headspace_hot_percent": 3.87}, 0.02},
		{"lethality --ref 180F --z 23F --csv testdata/cooling.csv", map[string]float64{"f_minutes": 3.4, "readings": 91, "z_c": 12.7778}, 0.1},
		{"viscosity --solids 74 --at 20C", map[string]float64{"viscosity_mpa_s": 1641, "purity_percent": 100}, 1},
		{"yield --juice 80gal --juice-brix 16 --solids 74", map[string]float64{"juice_per_syrup": 5.97, "syrup_gal": 80 / 5.97, "volume_gal": 80}, 0.02},
		{"fill --volume 16floz --solids 74 --at 185F", map[string]float64{"fill_floz": 16.46, "net_mass_g": 649.6, "scale_g": 649.1, "volume_floz": 16, "shrink_percent": 2.8}, 0.06},
	} {
		t.Run(c.line, func(t *testing.T) {
			values := answer(t, c.line)
			for key, want := range c.want {
				assert.InDelta(t, want, values[key], c.delta, key)
			}
			assert.Equal(t, true, values["estimated"])
			assert.NotEmpty(t, values["model"])
		})
	}
}

func TestCalcYieldBalances(t *testing.T) {
	values := answer(t, "yield --juice 80gal --juice-brix 18 --solids 74")
	assert.InDelta(t, values["juice_kg"].(float64), values["syrup_kg"].(float64)+values["water_off_kg"].(float64), 0.001)
	assert.InDelta(t, values["syrup_gal"].(float64)*3.785411784, values["syrup_l"], 0.001)
	assert.Equal(t, false, values["losses_included"])
}

// What was not given is printed as assumed; what was given is not.
func TestCalcSaysWhatItAssumed(t *testing.T) {
	_, assumed, _ := runCalc("solids --baume 33.5 --at 220F")
	assert.Contains(t, assumed, "True solids 70.2 %, plus or minus 0.5 (estimated)")
	assert.Contains(t, assumed, "Read as 33.5 °Baumé at 220.0 °F (104.4 °C)")
	assert.Contains(t, assumed, "Stem 60F, assumed")
	_, told, _ := runCalc("solids --baume 33.5 --at 220F --ref 60F --modulus 145")
	assert.Contains(t, told, "Stem 60F\n")
	assert.NotContains(t, told, "assumed")
	_, sea, _ := runCalc("boil --solids 74")
	assert.Contains(t, sea, "sea level, assumed")
	assert.Contains(t, sea, "Pure sugar assumed")
	_, high, _ := runCalc("boil --solids 74 --altitude 1000ft --inverted 20")
	assert.Contains(t, high, "usual for 1000 ft")
	assert.NotContains(t, high, "assumed")
}

// A value a hair below the limit is not printed as the limit.
func TestSolidsTextNearALimit(t *testing.T) {
	for w, want := range map[syrup.Brix]string{73.96: "73.96", 74: "74.0", 74.04: "74.04", 74.11: "74.1", 64.97: "64.97", 70.19: "70.2"} {
		assert.Equal(t, want, solidsText(w))
	}
}

func TestCalcLotCode(t *testing.T) {
	values := answer(t, "lotcode --date 2025-12-07 --kettle 2 --bottling 1")
	assert.Equal(t, map[string]any{
		"code": "25341K2B1P", "printed": "25341K2B1-P", "date": "2025-12-07", "kettle": 2.0, "bottling": 1.0, "valid": true,
	}, values)
	assert.Equal(t, values, answer(t, "lotcode --check 2534ik2b1-p"))
	_, mixed, _ := runCalc("lotcode --date 2025-12-07 --kettle 0 --bottling 1")
	assert.Contains(t, mixed, "runs of several kettles")
}

func TestCalcLotCodeWrong(t *testing.T) {
	for _, typed := range []string{"25341K2B1Q", "25341K2B2P", "nonsense", "Z"} {
		code, stdout, stderr := runCalc("lotcode --check " + typed + " --json")
		assert.Equal(t, calcWrong, code, typed)
		assert.Empty(t, stderr)
		var values map[string]any
		require.NoError(t, json.Unmarshal([]byte(stdout), &values))
		assert.Equal(t, false, values["valid"])
		assert.NotEmpty(t, values["problem"])
		code, stdout, _ = runCalc("lotcode --check " + typed)
		assert.Equal(t, calcWrong, code)
		assert.Contains(t, stdout, typed)
	}
}

func TestCalcWrongUse(t *testing.T) {
	for line, wants := range map[string][]string{
		"":                                                     {"calc solids"},
		"sugar":                                                {"“sugar”", "canewright calc --help"},
		"solids":                                               {"--baume 33.5", "--at is missing", "--at 220F"},
		"solids --baume 33.5":                                  {"--at is missing"},
		"solids --baume 33.5 --at 220":                         {"--at: “220”", "F, C"},
		"solids --baume 33,5 --at 220F":                        {"--baume: “33,5”", "22.5"},
		"solids --baume NaN --at 1e2F":                         {"--baume: “NaN”", "--at: “e2F”"},
		"solids --baume Inf --at 220F":                         {"--baume: “Inf”"},
		"solids --baume 0x10 --at 220F":                        {"--baume: “0x10”"},
		"solids --baume 36 --brix 60 --at 60F":                 {"only one of them"},
		"solids --baume 60 --at 220F":                          {"Reading 60 Be: expected 0 to 50 Be."},
		"solids --baume 49 --at 220F":                          {"Reading 49 Be: expected 0 to"},
		"solids --baume 33.5 --at 300F":                        {"300F (148.889C)", "230F (110C)"},
		"solids --baume 33.5 --at 220F --ref 15C":              {"--ref: “15C”", "60F, 68F or 60/60"},
		"solids --baume 33.5 --at 220F --modulus 0":            {"--modulus: Modulus 0: expected 140 to 150."},
		"solids --baume 33.5 220F":                             {"“220F” stands alone"},
		"solids --plato 3":                                     {"-plato"},
		"reading --solids 90 --at 220F":                        {"Solids 90 %: expected 0 to 85 %."},
		"reading --solids 0 --at 200F":                         {"Solids 0 %: expected"},
		"boil --solids 74 --altitude 1000ft --pressure 100kPa": {"only one of them"},
		"boil --solids 74 --altitude 20000ft":                  {"--altitude: Altitude 6096 m: expected -500 to 3500 m."},
		"boil --solids 74 --pressure 30kPa":                    {"Pressure 30 kPa: expected 65 to 108 kPa."},
		"boil --solids 74 --inverted 120":                      {"Inverted share of the sugars 120 %: expected 0 to 100 %."},
		"yield --juice 80 --juice-brix 18 --solids 74":         {"--juice: “80”", "gal, qt, pt, floz, L, mL"},
		"yield --juice 0gal --juice-brix 18 --solids 74":       {"more than 0"},
		"yield --juice 80gal --juice-brix 80 --solids 74":      {"Juice solids 80 %: expected 0.1 to 74 %."},
		"fill --volume -16floz --solids 74 --at 185F":          {"Volume -16 floz: expected 0 to"},
		"fill --volume 16floz --solids 74 --at 40F":            {"Temperature 40F"},
		"solids --baume 66 --at 220F":                          {"Reading 66 Be: expected 0 to 50 Be.", "Did you mean 66 Brix?"},
		"solids --baume 33.5 --at 220C":                        {"428F (220C)", "Did you mean 220F?"},
		"solids --brix 95 --at 20C":                            {"Reading 95 Bx: expected 0 to 85 Bx."},
		"solids --brix 0.74 --at 220F":                         {"--brix: “0.74”", "did you mean 74 %?"},
		"compare --brix 0.66 --at 220F --boiled 221F":          {"--brix: “0.66”", "did you mean 66 %?"},
		"reading --solids 0.74 --at 220F":                      {"--solids: “0.74”", "did you mean 74 %?"},
		"reading --solids -3 --at 220F":                        {"--solids: Solids -3 %: expected 0 to 85 %."},
		"boil --solids 74 --invert 0.3":                        {"--invert: “0.3”", "did you mean 30 %?"},
		"boil --solids 74 --invert 30 --inverted 20":           {"only one of them"},
		"boil --solids 74 --altitude 1000":                     {"--altitude: “1000”", "ft, m, in"},
		"fill --volume 16floz --solids 74 --at 185C":           {"Did you mean 185F?"},
		"fill --volume 16floz5mL --solids 74 --at 185F":        {"--volume:", "“floz5mL”"},
		"refractometer --brix 70":                              {"--at is missing"},
		"refractometer --brix 16 --at 15C":                     {"Reading 16 Bx: expected 60 to 75 Bx."},
		"refractometer --brix 70 --at 35C":                     {"expected 50F (10C) to 86F (30C)"},
		"refractometer --index 14419":                          {"Refractive index 14419: expected 1.333 to 1.504."},
		"refractometer --index 1.44 --brix 60":                 {"only one of them"},
		"compare --baume 35.5 --at 220F --boiled 200F":         {"cannot be compared", "65 to 108 kPa"},
		"compare --baume 35.5 --at 220F":                       {"--boiled is missing"},
		"compare --baume 66 --at 220F --boiled 222F":           {"Did you mean 66 Brix?"},
		"aw": {"--solids is missing"},
		"aw --solids 74 --glucose 40 --fructose 40":                   {"Fructose 40 %: expected 0 to 34 %."},
		"aw --solids 74 --invert 30 --glucose 10":                     {"only one of them"},
		"aw --solids 74 --at 220C":                                    {"Did you mean 220F?"},
		"crystal --at 70C":                                            {"158F (70C)", "140F (60C)"},
		"crystal --at 20C --other 2":                                  {"--solids is missing"},
		"crystal --at 20C --solids 20 --invert-of-syrup 30":           {"Invert in the syrup 30 %: expected 0 to 20 %."},
		"weight --solids 90":                                          {"--solids: Solids 90 %: expected 0 to 85 %."},
		"weight --solids 0.74":                                        {"did you mean 74 %?"},
		"weight --solids ,5":                                          {"“,5”"},
		"yield --juice 80gal --juice-brix 0.18 --solids 74":           {"--juice-brix: “0.18”", "did you mean 18 %?"},
		"yield --juice 80gal --juice-brix 18 --solids 74 --loss 95":   {"Loss 95 %: expected 0 to 90 %."},
		"implied --juice 5gal --syrup 80gal --solids 74":              {"Juice per syrup"},
		"thin --volume 20gal --solids 75 --to 78":                     {"Solids 78 %: expected 0.1 to 75 %."},
		"thicken --volume 20gal --solids 78 --to 75":                  {"Solids 78 %: expected 0.1 to 75 %."},
		"thicken --volume 20gal --solids 70 --to 74 --at 220C":        {"Did you mean 220F?"},
		"blend --solids 70 --with 78 --to 80":                         {"Target solids 80 %: expected 70 to 78 %."},
		"blend --solids 70 --with 78 --to 74 --make 1gal --use 1gal":  {"only one of them"},
		"headspace --brim 350mL --volume 355mL --solids 74 --at 185F": {"Volume to the brim 350 mL: expected at least 365"},
		"lethality --ref 180F --z 23F --csv none.csv":                 {"“none.csv” cannot be read"},
		"lethality --ref 180F --z 23 --csv testdata/cooling.csv":      {"--z: “23”", "F, C"},
		"lethality --ref 180F --z 0.1F --csv testdata/cooling.csv":    {"z value"},
		"viscosity --solids 82 --at 20C":                              {"Solids 82 %: expected 0 to 80 %."},
		"lotcode --date 07/12/2025 --kettle two --bottling 1":         {"--date: “07/12/2025”", "--kettle: “two”"},
		"lotcode --date 2025-02-30 --kettle 2 --bottling 1":           {"2025-12-07"},
		"lotcode --date 2025-12-07 --kettle 2 --bottling 0":           {"bottling"},
		"lotcode --date 2025-12-07 --check 25341K2B1P":                {"only one of them"},
	} {
		t.Run(line, func(t *testing.T) {
			code, stdout, stderr := runCalc(line)
			assert.Equal(t, calcUsage, code)
			assert.Empty(t, stdout, "nothing half-answered")
			for _, want := range wants {
				assert.Contains(t, stderr, want)
			}
			assert.NotContains(t, stderr, "⟦")
		})
	}
}

// examples are the command lines of the help texts.
var examples = regexp.MustCompile(`(?m)^Example: canewright calc (.*)\n  gives (.*)$`)

// Every help text has an example; it runs, gives a figure the help says, and every JSON key is in the help.
func TestCalcHelpIsTrue(t *testing.T) {
	code, all, _ := runCalc("--help")
	assert.Equal(t, calcDone, code)
	t.Chdir("testdata")
	for _, name := range slices.Sorted(maps.Keys(calculations())) {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, all, "calc "+name)
			code, help, stderr := runCalc(name + " --help")
			assert.Equal(t, calcDone, code)
			assert.Empty(t, stderr)
			example := examples.FindStringSubmatch(help)
			require.NotNil(t, example, help)
			_, lines, _ := runCalc(example[1])
			for _, figure := range regexp.MustCompile(`[0-9]+\.[0-9]+|[0-9K]+B[0-9]-[A-Z]`).FindAllString(example[2], -1) {
				assert.Contains(t, lines, figure)
			}
			for key := range answer(t, example[1]) {
				assert.Regexp(t, `\b`+key+`\b`, help)
			}
		})
	}
}

// Every problem and every quantity of the physics has its words in both languages.
func TestProblemsHaveWords(t *testing.T) {
	problems := []syrup.InputProblem{
		syrup.InputEmpty, syrup.InputComma, syrup.InputNotNumber, syrup.InputTooLarge, syrup.InputNoUnit, syrup.InputUnknownUnit,
		syrup.InputFraction,
	}
	for _, lang := range text.Languages() {
		for _, problem := range problems {
			said := hazards.SayProblem(lang, syrup.InputError{Problem: problem})
			assert.NotContains(t, said, "⟦")
		}
		for _, what := range []string{
			syrup.WhatSolids, syrup.WhatJuiceSolids, syrup.WhatSyrupSolids, syrup.WhatTemperature, syrup.WhatDensity,
			syrup.WhatGravity, syrup.WhatReading, syrup.WhatBaume, syrup.WhatModulus, syrup.WhatPressure, syrup.WhatAltitude,
			syrup.WhatInverted, syrup.WhatAsh, syrup.WhatVolume, syrup.WhatMass, syrup.WhatLength, syrup.WhatRatio,
			syrup.WhatIndex, syrup.WhatInvertOfSyrup, syrup.WhatOtherSolids, syrup.WhatGlucose, syrup.WhatFructose, syrup.WhatBrim,
			syrup.WhatHeadspace, syrup.WhatReference, syrup.WhatSlope, syrup.WhatReadings, syrup.WhatMinutes, syrup.WhatDecimal,
			syrup.WhatPurity, syrup.WhatTarget, syrup.WhatFirstShare, syrup.WhatRise, syrup.WhatLoss, syrup.WhatDifference,
		} {
			key := "input.what." + strings.ReplaceAll(strings.ToLower(what), " ", "_")
			assert.True(t, text.Has(lang, key), "%s %s", lang, key)
		}
	}
}
