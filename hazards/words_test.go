package hazards

import (
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

var update = flag.Bool("update", false, "write the golden words again")

// examples gives one finding of every code that any judgement under test makes, the gravest, and the finding of the
// draws and balances with their values.
func examples() map[string]Finding {
	found := map[string]Finding{}
	for _, c := range judgeCases() {
		for _, f := range c.got {
			if old, ok := found[f.Code]; !ok || f.Level > old.Level {
				found[f.Code] = f
			}
		}
	}
	for _, f := range slices.Concat(boilExamples(), boundExamples(), compareExamples(), labelExamples()) {
		if _, ok := found[f.Code]; !ok {
			found[f.Code] = f
		}
	}
	return found
}

func sortedCodes[V any](m map[string]V) []string {
	var codes []string
	for code := range m {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	return codes
}

func TestGoldenWords(t *testing.T) {
	var b strings.Builder
	found := examples()
	for _, code := range sortedCodes(found) {
		f := found[code]
		fmt.Fprintf(&b, "%s: %s\n", code, f.Level)
		for _, shown := range []struct {
			lang  text.Language
			units string
		}{{text.English, US}, {text.Spanish, Metric}} {
			w := f.Words(shown.lang, shown.units)
			fmt.Fprintf(&b, "  %s %s\n  %s %s\n  %s %s\n  %s [%s] [%s] [%s]\n", shown.lang, w.What, shown.lang, w.Why,
				shown.lang, w.Next, shown.lang, w.Measured, w.Limit, w.Source)
		}
	}
	const golden = "testdata/words.golden"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String(), "run go test ./hazards -run GoldenWords -update after reading the difference")
}

// Every finding any judgement makes can be said in both languages and both systems of units, with every value in place.
func TestEveryFindingHasItsWords(t *testing.T) {
	for _, c := range judgeCases() {
		for _, f := range c.got {
			for _, lang := range text.Languages() {
				for _, units := range []string{US, Metric} {
					w := f.Words(lang, units)
					for _, said := range []string{w.What, w.Why, w.Next, w.Source} {
						assert.NotEmpty(t, said, "%s in %s", f.Code, lang)
						assert.NotContains(t, said, "⟦", "%s in %s", f.Code, lang)
						assert.NotContains(t, said, "<no value>", "%s in %s", f.Code, lang)
					}
				}
			}
		}
	}
}

// codeShape is how the codes of findings look in the source; a limit's code may look the same.
var codeShape = regexp.MustCompile(`^(reading|identity|fill|harvest|dates|overdraw|balance|instrument|boil|bounds|shelf|sulfite|compare|labels?|net)\.[a-z_]+$`)

// sourceCodes reads every finding code out of this package's source.
func sourceCodes(t *testing.T) map[string]bool {
	codes := map[string]bool{}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			s, _ := strconv.Unquote(lit.Value)
			if _, limit := references[s]; !limit && codeShape.MatchString(s) {
				codes[s] = true
			}
			if name == "required.go" && regexp.MustCompile(`^(cut|pressing|run|lot)_[a-z_]+[a-z]$`).MatchString(s) {
				codes["required."+s] = true
			}
			return true
		})
	}
	for _, which := range []string{"first", "last"} {
		for _, what := range []string{"temperature", "time", "instrument"} {
			codes["required.lot_"+which+"_"+what] = true
		}
	}
	return codes
}

func TestEveryCodeIsTestedAndSaid(t *testing.T) {
	codes, found := sourceCodes(t), examples()
	assert.Equal(t, sortedCodes(codes), sortedCodes(found), "every code in the source is made by a test, and no other")
	for code := range codes {
		for _, part := range []string{"what", "why", "next"} {
			for _, lang := range text.Languages() {
				assert.True(t, text.Has(lang, "finding."+code+"."+part), "finding.%s.%s in %s", code, part, lang)
			}
		}
	}
	for _, key := range text.Keys(text.English) {
		if code, ok := strings.CutPrefix(key, "finding."); ok {
			code = code[:strings.LastIndexByte(code, '.')]
			assert.True(t, codes[code], "%s belongs to no finding", key)
		}
	}
	for code := range references {
		for _, lang := range text.Languages() {
			assert.True(t, text.Has(lang, "limit."+code), "limit.%s in %s", code, lang)
		}
	}
}

func TestDecimals(t *testing.T) {
	limit := number(74, UnitSolids)
	said := func(x float64) string {
		m := number(x, UnitSolids)
		w := Finding{Code: "identity.below_cane", Measured: &m, Limit: &limit}.Words(text.English, US)
		return w.Measured + ", " + w.Limit
	}
	for x, want := range map[float64]string{
		72.34: "72.3 %, 74.0 %", 73.85: "73.8 %, 74.0 %", 73.95: "73.95 %, 74.00 %", 74: "74.00 %, 74.00 %",
		74.05: "74.05 %, 74.00 %", 73.997: "73.997 %, 74.000 %", 73.9999999: "74.0000 %, 74.0000 %",
	} {
		assert.Equal(t, want, said(x), x)
	}
	other := number(74, UnitBrix)
	assert.Equal(t, 1, decimals(&other, &limit, US), "other units are not near")
	assert.Equal(t, 1, decimals(nil, &limit, US))
	tenth, zero := number(0.1, UnitSolids), number(0, UnitSolids)
	assert.Equal(t, 2, decimals(&tenth, &zero, US), "within 0.1, the tenth itself included")
	at, near := degrees(syrup.Fahrenheit(180).Celsius()), degrees(syrup.Fahrenheit(179.92).Celsius())
	assert.Equal(t, 2, decimals(&near, &at, US))
}

func TestValueWords(t *testing.T) {
	u := 0.5
	tests := []struct {
		value   Value
		us, met string
	}{
		{degrees(100), "212.0 °F", "100.0 °C"},
		{Value{Number: 80, Unit: UnitCelsius, Uncertainty: &u}, "176.0 ± 0.9 °F", "80.0 ± 0.5 °C"},
		{number(10, UnitCelsiusDelta), "18.0 °F", "10.0 °C"},
		{number(3.785411784, UnitLiters), "1.0 gal", "3.8 L"},
		{number(0.45359237, UnitKilograms), "1.0 lb", "0.5 kg"},
		{Value{Number: 74.24, Unit: UnitSolids, Uncertainty: &u}, "74.2 ± 0.5 %", "74.2 ± 0.5 %"},
		{number(75, UnitMinutes), "75 min", "75 min"},
		{number(75.5, UnitMinutes), "75.5 min", "75.5 min"},
		{number(29, UnitSeconds), "29 s", "29 s"},
		{number(48.25, UnitHours), "48.2 h", "48.2 h"},
		{number(1, UnitDays), "1 day", "1 day"},
		{number(148, UnitBottles), "148 bottles", "148 bottles"},
		{day("2026-12-07"), "7 Dec 2026", "7 Dec 2026"},
		{day("soon"), "not recorded", "not recorded"},
		{moment(clock(14, 5), house), "7 Dec 2026 14:05", "7 Dec 2026 14:05"},
		{moment(clock(14, 5).UTC(), house), "7 Dec 2026 14:05", "7 Dec 2026 14:05"},
		{clockOf(clock(14, 5).UTC(), house), "14:05", "14:05"},
		{Value{Unit: UnitMoment}, "not recorded", "not recorded"},
		{keys("word.yes", "word.no"), "yes, no", "yes, no"},
		{named("Ana"), "Ana", "Ana"},
	}
	for _, test := range tests {
		assert.Equal(t, test.us, test.value.Words(text.English, US))
		assert.Equal(t, test.met, test.value.Words(text.English, Metric))
	}
	var none *Value
	assert.Equal(t, "not recorded", none.Words(text.English, US))
}

func TestFindingRoundTrip(t *testing.T) {
	var all []Finding
	for _, f := range examples() {
		all = append(all, f)
	}
	body, err := json.Marshal(all)
	require.NoError(t, err)
	assert.NotContains(t, string(body), "Boil more", "a finding keeps no words")
	var back []Finding
	require.NoError(t, json.Unmarshal(body, &back))
	assert.Equal(t, all, back)
	for i := range all {
		assert.Equal(t, all[i].Words(text.Spanish, US), back[i].Words(text.Spanish, US))
	}
	assert.Error(t, json.Unmarshal([]byte(`[{"level":"grave"}]`), &back))
	_, err = json.Marshal(Level(9))
	assert.Error(t, err)
}

func TestLevels(t *testing.T) {
	assert.True(t, Within < Note && Note < Check && Check < Hold && Hold < Stop)
	for _, l := range []Level{Within, Note, Check, Hold, Stop} {
		assert.True(t, text.Has(text.Spanish, "level."+l.String()))
		var back Level
		require.NoError(t, back.UnmarshalText([]byte(l.String())))
		assert.Equal(t, l, back)
	}
	assert.Equal(t, "level(7)", Level(7).String())
	findings := []Finding{{Level: Note}, {Level: Hold}, {Level: Check}}
	assert.Equal(t, Hold, Worst(findings))
	assert.Equal(t, Within, Worst(nil))
	assert.Len(t, At(findings, Check), 2)
}

func TestOrdered(t *testing.T) {
	a := Finding{Code: "a", About: "1", Level: Note}
	held := Finding{Code: "a", About: "1", Level: Hold}
	b := Finding{Code: "b", About: "1", Level: Check}
	other := b.with("From", named("x"))
	assert.Equal(t, []Finding{held, b, other}, ordered([]Finding{a, b, held, b, other}))
}
