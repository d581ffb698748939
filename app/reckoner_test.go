package app

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

// reckonerFixtures are the views of the reckoner's pages, empty and full.
func reckonerFixtures() map[string][2]view {
	full := fullForm()
	return map[string][2]view{
		"reckoner/index": {&reckonerPage{}, &reckonerPage{Page: fullPage(), Groups: []reckonGroup{{Place: "x", Title: evil, Rows: []ledgerLine{{Name: evil, Word: evil, URL: "/reckoner/x"}}}}}},
		"reckoner/form": {&reckonPage{Form: &form{}}, &reckonPage{Page: fullPage(), Heading: evil, About: evil, Form: full, Main: full.Fields[:3], More: full.Fields[3:],
			MoreOpen: true, MoreWord: evil, Again: "/reckoner/x", Near: []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}},
			Answer: &reckoned{Estimated: true, Model: evil, Source: evil, Said: []string{evil}, Figures: []reckonFigure{{evil, evil, evil, evil}, {Label: evil, Value: evil}}, Rows: []reckonFigure{{evil, evil, evil, ""}}}}},
	}
}

// workedExample is a form filled in, with the first figure of its answer.
type workedExample struct {
	form, query string
	want        float64 // the first figure; text where it is a word
	within      float64
	word        string
	source      string // of the value wanted; "own model" is a regression value
}

// Every form has an example here. The published ones name their source; the tables behind them are in testdata.
var workedExamples = []workedExample{
	{"solids", "scale=Bx&reading=10&at=86&at_unit=F&stem=68F", 10.66, 0.06, "", "published: wine-laboratory spindle temperature correction polynomial"},
	{"solids", "scale=Be&reading=32.1&at=211&at_unit=F", 66.9, 0.35, "", "published: Vermont hydrometer test-line table, 66.9 Brix at 211 F"},
	{"reading", "to=66.9&at=211&at_unit=F", 32.1, 0.13, "", "published: Vermont hydrometer test-line table, 36 Be syrup at 211 F"},
	{"boil", "solids=74&invert=30&ash=1.5", 227, 1.5, "", "published: growers' note on cane syrup, 226-228 F at 35-36 Be"},
	{"boil", "solids=0&pressure=101.325&pressure_unit=kPa", 211.95, 0.06, "", "published: steam tables, 99.974 C at 101.325 kPa"},
	{"compare", "reading=35.5&scale=Be&at=220&at_unit=F&boiled=221&boiled_unit=F&water=211&water_unit=F", 73.9, 0.06, "", "own model: calc compare's example"},
	{"refractometer", "shows=Bx&shown=70&cup_at=10&cup_at_unit=C", 69.25, 0.011, "", "published: OIV, Table I, -0.75 at 10 C"},
	{"refractometer", "shows=index&shown=1.4654", 70, 0.06, "", "published: CRC Handbook, nD 1.4654 at 20 C"},
	{"thicken", "volume=20&volume_unit=gal&solids=70&to=74", 1.46, 0.006, "", "own model"},
	{"thin", "volume=20&volume_unit=gal&solids=78&to=75", 1.12, 0.006, "", "own model"},
	{"blend", "first=70&second=76&to=74", 33.3, 0.05, "", "arithmetic: (76 - 74) / (76 - 70)"},
	{"yield", "juice=87.1&juice_unit=gal&juice_brix=1&solids=66", 1.00, 0.006, "", "published: farm-press article on maple sap volumes, 87.1 gal at 1 Brix"},
	{"implied", "juice=87.1&juice_unit=gal&made=1&made_unit=gal&solids=66", 1.0, 0.06, "", "published: farm-press article on maple sap volumes, turned round"},
	{"viscosity", "solids=70&at=20&at_unit=C", 481.6, 15, "", "published: CRC Handbook, 102nd ed., sucrose solutions"},
	{"fill", "declared=16&declared_unit=floz&fill_at=185&fill_at_unit=F&solids=74", 16.46, 0.006, "", "own model"},
	{"headspace", "brim=380&brim_unit=mL&declared=355&declared_unit=mL&fill_at=185&fill_at_unit=F&solids=74", 3.9, 0.06, "", "own model"},
	{"weight", "solids=66.9", 11.073, 0.005, "", "published: maple calculators, 11.073 lb per gallon at 66.9 %"},
	{"weight", "solids=5", 8.486, 0.005, "", "published: NBS Circular 440"},
	{"weigh", "label=12&label_unit=floz&density=11.45&density_unit=lb/gal&tare=250&tare_unit=g&gross=250&gross_unit=g", -12, 0.006, "", "arithmetic: an empty bottle lacks its label"},
	{"net", "scheme=hb133&label=355&label_unit=mL&lot_size=240&errors=-1.2+0.4+-0.8+1.1+-2.0+0.3+-0.5+0.9+-1.6+0.2+-0.7+-0.4", 0, 0, "passes", "own model: calc net's example; plan and factor from memory"},
	{"net", "scheme=hb133&label=355&label_unit=mL&lot_size=2&errors=-1%0A-1", 0, 0, "does not pass", "arithmetic: both lack 1 mL, so no allowance for spread"},
	{"tolerance", "scheme=r87&label=500&label_unit=mL", 15, 0.001, "", "published: OIML R 87 in the Saint Lucia Metrology Act, Schedule 5"},
	{"lethality", "record=0,121.11C%0A1,121.11C&ref=121.11&ref_unit=C&z=10&z_unit=C", 1, 0.006, "", "definition: a minute at the reference temperature is a minute"},
	{"lethality", "record=0,110C%0A5,110C&ref=121.11&ref_unit=C&z=10&z_unit=C", 0.39, 0.006, "", "published: lethal rate 0.0774 at 110 C (121.11, z 10), five minutes"},
	{"lotcode", "code=25341k2b1-p", 0, 0, "25341K2B1-P", "worked by hand: ISO 7064 pure system mod 31, r = 3 (standards.md)"},
	{"name", "solids=74&ingredients=cane+juice,+salt", 0, 0, "Cane syrup", "published: 21 CFR 168.130, 74 %"},
	{"name", "solids=73.9&ingredients=cane+juice", 0, 0, "Table syrup", "published: 21 CFR 168.180"},
	{"panel", "height=3&height_unit=in&shape=round&across=2&across_unit=in", 0, 0, "1/8 in", "published: 21 CFR 101.7(i), over 5 and up to 25 square inches"},
	{"panel", "height=2.5&height_unit=in&shape=flat&across=2&across_unit=in", 0, 0, "1/16 in", "published: 21 CFR 101.7(i), 5 square inches or less"},
	{"nutrition", "serving=41&serving_unit=g&solids=74", 41, 0.001, "", "published: USDA SR28 NDB 90480; its lines in TestReckonerNutrition"},
	{"activity", "solids=65", 0.87, 0.006, "", "published: Beuchat's table, 65 % sucrose"},
	{"crystal", "kept_at=20&kept_at_unit=C&solids=", 66.74, 0.13, "", "published: modern sucrose solubility table, 20 C"},
	{"shelf", "aw=0.92&ph=5.6&treated=yes", 0, 0, "non-TCS", "published: Food Code 1-201.10, table A"},
	{"shelf", "aw=0.93&ph=5.7&treated=yes", 0, 0, "product assessment required", "published: Food Code 1-201.10, table A"},
}

// firstFigure is the first figure of an answer, its spaces plain.
func firstFigure(t *testing.T, body string) string {
	t.Helper()
	found := regexp.MustCompile(`<span class="reckoned-figure">([^<]*)</span>`).FindStringSubmatch(body)
	require.NotNil(t, found, "no answer in %s", body)
	return strings.ReplaceAll(html.UnescapeString(found[1]), noBreak, " ")
}

// TestReckonerExamples reckons every form once and more, as a reader who may write nothing.
func TestReckonerExamples(t *testing.T) {
	h := newHouse(t)
	b := h.as("ines")
	tried := map[string]bool{}
	for _, x := range workedExamples {
		tried[x.form] = true
		t.Run(x.form+" "+x.source, func(t *testing.T) {
			page := b.get("/reckoner/" + x.form + "?" + x.query)
			require.Equal(t, http.StatusOK, page.StatusCode, page.body)
			assert.NotContains(t, page.body, "⟦")
			figure := firstFigure(t, page.body)
			if x.word != "" {
				assert.Contains(t, figure, x.word)
				return
			}
			number, err := strconv.ParseFloat(strings.Fields(figure)[0], 64)
			require.NoError(t, err, figure)
			assert.InDelta(t, x.want, number, x.within)
		})
	}
	for _, g := range reckonings {
		for _, r := range g.forms {
			assert.True(t, tried[r.name], "%s has no worked example", r.name)
		}
	}
}

// A model's answer says that it is estimated, how far it may be off, and by which model.
func TestReckonerSaysItIsEstimated(t *testing.T) {
	page := newHouse(t).as("ines").get("/reckoner/solids?reading=33.5&scale=Be&at=220&at_unit=F")
	for _, want := range []string{"estimated", "± 0.5", "hydrometer/1", "ICUMSA", "would cost"} {
		assert.Contains(t, page.body, want)
	}
}

// The amounts of USDA SR28 NDB 90480 for 41 g, as rounded for a label (testdata/nutrition_panel.csv).
func TestReckonerNutrition(t *testing.T) {
	page := newHouse(t).as("ines").get("/reckoner/nutrition?serving=41&serving_unit=g&solids=74&container=12&container_unit=floz")
	body := strings.ReplaceAll(page.body, noBreak, " ")
	for label, amount := range map[string]string{"Calories": "110", "Total carbohydrate": "30 g", "Total sugars": "30 g", "Sodium": "25 mg", "Iron": "1.5 mg"} {
		assert.Contains(t, body, `<dt>`+label+`</dt><dd><span>`+amount+`</span>`)
	}
	assert.Contains(t, body, `<dt>Added sugars</dt><dd><span></span> <span class="reckoned-also">60 %†</span>`)
	assert.Contains(t, body, "not analysed")
}

// TestReckonerRefuses: bad input is 422, at its field, with what was typed kept and the likely slip named.
func TestReckonerRefuses(t *testing.T) {
	b := newHouse(t).as("ines")
	for name, x := range map[string]struct {
		path  string
		field string
		wants []string
	}{
		"not a number":               {"solids?reading=NaN&at=220&at_unit=F", "reading", []string{"“NaN”", "expected a number"}},
		"infinite":                   {"solids?reading=33.5&at=Inf&at_unit=F", "at", []string{"Write a number"}},
		"a decimal comma":            {"boil?solids=74,5", "solids", []string{"after a point"}},
		"a comma in a quantity":      {"yield?juice=80,5&juice_unit=gal&juice_brix=18&solids=74", "juice", []string{"after a point"}},
		"a share for percent":        {"weight?solids=0.74", "solids", []string{"did you mean 74 %?"}},
		"a share on a Brix spindle":  {"solids?reading=0.74&scale=Bx&at=220&at_unit=F", "reading", []string{"did you mean 74 %?"}},
		"a share on a refractometer": {"refractometer?shows=Bx&shown=0.74&cup_at=68&cup_at_unit=F", "shown", []string{"did you mean 74 %?"}},
		"a share of the sugars":      {"boil?solids=74&invert=0.3", "invert", []string{"did you mean 30 %?"}},
		"C for F":                    {"solids?reading=33.5&at=220&at_unit=C", "at", []string{"428F (220C)", "Did you mean 220F?"}},
		"C for F, the unit typed":    {"solids?reading=33.5&at=220C&at_unit=F", "at", []string{"Did you mean 220F?"}},
		"C for F in a bottle":        {"fill?declared=16&declared_unit=floz&fill_at=185&fill_at_unit=C&solids=74", "fill_at", []string{"Did you mean 185F?"}},
		"Brix over 90":               {"solids?reading=95&scale=Bx&at=68&at_unit=F", "reading", []string{"expected 0 to 85 Bx"}},
		"solids over 90":             {"weight?solids=95", "solids", []string{"expected 0 to 85 %"}},
		"Brix on the Baumé scale":    {"solids?reading=66&scale=Be&at=220&at_unit=F", "reading", []string{"Did you mean 66 Brix?"}},
		"blank":                      {"solids?reading=&at=220&at_unit=F", "reading", []string{"Fill this in."}},
		"negative":                   {"weight?solids=-3", "solids", []string{"expected 0 to 85 %"}},
		"negative volume":            {"thin?volume=-20&volume_unit=gal&solids=78&to=75", "volume", []string{"below zero"}},
		"nothing at all":             {"thin?volume=0&volume_unit=gal&solids=78&to=75", "volume", []string{"more than 0"}},
		"thinner than asked":         {"thin?volume=20&volume_unit=gal&solids=75&to=78", "to", []string{"expected 0.1 to 75 %"}},
		"thicker than asked":         {"thicken?volume=20&volume_unit=gal&solids=78&to=75", "solids", []string{"expected 0.1 to 75 %"}},
		"target outside the lots":    {"blend?first=70&second=78&to=80", "to", []string{"expected 70 to 78 %"}},
		"more syrup than juice":      {"implied?juice=5&juice_unit=gal&made=80&made_unit=gal&solids=74", "", []string{"Juice per syrup"}},
		"height and pressure":        {"boil?solids=74&altitude=1000&altitude_unit=ft&pressure=100&pressure_unit=kPa", "pressure", []string{"only one"}},
		"modulus":                    {"solids?reading=33.5&at=220&at_unit=F&modulus=0", "modulus", []string{"expected 140 to 150"}},
		"no unit":                    {"solids?reading=33.5&at=220&at_unit=K", "at", []string{"Choose the unit"}},
		"no such scale":              {"solids?reading=33.5&at=220&at_unit=F&scale=Plato", "scale", []string{"Choose one"}},
		"no cup temperature":         {"refractometer?shows=Bx&shown=70", "cup_at", []string{"needs the temperature"}},
		"an index without its point": {"refractometer?shows=index&shown=14419", "shown", []string{"expected 1.333 to 1.504"}},
		"too little to compare":      {"compare?reading=35.5&at=220&at_unit=F&boiled=150&boiled_unit=F", "boiled", []string{"cannot be compared"}},
		"activity in percent":        {"shelf?aw=78&ph=5.2", "aw", []string{"Expected 0 to 1", "?"}},
		"pH without its point":       {"shelf?aw=0.78&ph=52", "ph", []string{"Expected 0 to 14", "?"}},
		"a bottle under its fill":    {"headspace?brim=350&brim_unit=mL&declared=355&declared_unit=mL&fill_at=185&fill_at_unit=F&solids=74", "brim", []string{"at least 365"}},
		"empty and full swapped":     {"weigh?label=355&label_unit=mL&density=1.372&density_unit=g/mL&tare=737&tare_unit=g&gross=250&gross_unit=g", "gross", []string{"swapped"}},
		"a density of steel":         {"weigh?label=355&label_unit=mL&density=7.8&density_unit=g/mL&tare=250&tare_unit=g&gross=737&gross_unit=g", "density", []string{"Expected 0.9 to 1.6"}},
		"too few packages":           {"net?label=355&label_unit=mL&lot_size=240&errors=-1+1", "errors", []string{"12 packages", "2 are given"}},
		"half a package":             {"net?label=355&label_unit=mL&lot_size=2.5&errors=-1+1", "lot_size", []string{"whole number"}},
		"a small lot":                {"net?scheme=r87&label=355&label_unit=mL&lot_size=50&errors=-1", "lot_size", []string{"from 100"}},
		"an impossible error":        {"net?label=355&label_unit=mL&lot_size=1&errors=-400", "errors", []string{"minus the label"}},
		"a variation of all":         {"tolerance?label=355&label_unit=mL&mav=400", "mav", []string{"less than the label"}},
		"mixed units in a record":    {"lethality?record=0,185F%0A1,84C&ref=180&ref_unit=F&z=23&z_unit=F", "record", []string{"line 2", "one unit"}},
		"a record without units":     {"lethality?record=0,185&ref=180&ref_unit=F&z=23&z_unit=F", "record", []string{"line 1", "write the unit"}},
		"one reading":                {"lethality?record=0,185F&ref=180&ref_unit=F&z=23&z_unit=F", "record", []string{"at least 2"}},
		"a gap in a record":          {"lethality?record=0,185F%0A9,180F&ref=180&ref_unit=F&z=23&z_unit=F", "record", []string{"at most 5 min"}},
		"a steep z":                  {"lethality?record=0,185F%0A1,180F&ref=180&ref_unit=F&z=0.1&z_unit=F", "z", []string{"z value"}},
		"a wrong lot code":           {"lotcode?code=25341K2B1-Q", "code", []string{"25341K2B1-Q"}},
		"no lot code":                {"lotcode?code=hello", "code", []string{"hello"}},
		"no ingredients":             {"name?solids=76&ingredients=,", "ingredients", []string{"Fill this in."}},
		"no serving":                 {"nutrition?serving=0&serving_unit=g&solids=74", "serving", []string{"more than 0"}},
		"flat as a line":             {"panel?height=3&height_unit=in&across=-2&across_unit=in", "across", []string{"more than 0"}},
		"invert past the sugars":     {"crystal?kept_at=20&kept_at_unit=C&solids=20&invert_of_syrup=30", "invert_of_syrup", []string{"expected 0 to 20 %"}},
		"invert of nothing":          {"crystal?kept_at=20&kept_at_unit=C&solids=&other=2", "solids", []string{"Fill this in."}},
	} {
		t.Run(name, func(t *testing.T) {
			page := b.get("/reckoner/" + x.path)
			require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			body := strings.ReplaceAll(html.UnescapeString(page.body), noBreak, " ")
			assert.NotContains(t, body, `class="reckoned"`, "nothing half-answered")
			assert.NotContains(t, body, "⟦")
			said := body
			if x.field != "" {
				found := regexp.MustCompile(`(?s)id="reckon-` + x.field + `-error">(.*?)</p>`).FindStringSubmatch(body)
				require.NotNil(t, found, "nothing at the field")
				said = found[1]
				_, query, _ := strings.Cut(x.path, "?")
				values, err := url.ParseQuery(query)
				require.NoError(t, err)
				if typed := values.Get(x.field); typed != "" && typed != "220C" && x.field != "scale" {
					assert.Contains(t, body, typed, "what was typed stays")
				}
			}
			for _, want := range x.wants {
				assert.Contains(t, said, want)
			}
		})
	}
}

// A unit typed behind the number counts, as on the command line, and a bookmark may leave out what is chosen beforehand.
func TestReckonerTakesAUnitBehindTheNumber(t *testing.T) {
	b := newHouse(t).as("ines")
	beside := b.get("/reckoner/solids?reading=33.5&scale=Be&at=220&at_unit=F")
	behind := b.get("/reckoner/solids?reading=33.5&at=220+%C2%B0F")
	metric := b.get("/reckoner/solids?reading=33.5&at=104.44C&at_unit=F")
	for _, page := range []answer{behind, metric} {
		require.Equal(t, http.StatusOK, page.StatusCode)
		assert.Equal(t, firstFigure(t, beside.body), firstFigure(t, page.body))
	}
}

// Fields start in the person's units and at the solids the house aims at.
func TestReckonerStartsFromThePerson(t *testing.T) {
	h := newHouse(t)
	us, metric := h.as("ines").get("/reckoner/thicken"), h.as("marisol").get("/reckoner/thicken")
	assert.Contains(t, us.body, `<option value="gal" selected>`)
	assert.Contains(t, metric.body, `<option value="L" selected>`)
	assert.Regexp(t, `name="to"[^>]*value="75"`, us.body)
	assert.NotContains(t, us.body, `class="error"`)
	assert.Contains(t, h.as("ines").get("/reckoner/boil?solids=74").body, `<option value="inHg" selected>`, "a blank that the bookmark left out too")
}

// Every form stands empty and answered in Spanish, with metric figures first, and every text is Spanish.
func TestReckonerInSpanish(t *testing.T) {
	h := newHouse(t)
	b := h.as("marisol")
	assert.Contains(t, b.get("/reckoner").body, "En la paila")
	for _, x := range workedExamples {
		empty, full := b.get("/reckoner/"+x.form), b.get("/reckoner/"+x.form+"?"+x.query)
		for _, page := range []answer{empty, full} {
			require.Equal(t, http.StatusOK, page.StatusCode, x.form)
			assert.Contains(t, page.body, text.Say(text.Spanish, "reckoner.title."+x.form))
			assert.NotContains(t, page.body, "⟦")
		}
		assert.Contains(t, full.body, "Respuesta")
	}
	fill := b.get("/reckoner/fill?declared=473.176&declared_unit=mL&fill_at=85&fill_at_unit=C&solids=74")
	assert.Contains(t, firstFigure(t, fill.body), "mL")
	refused := b.get("/reckoner/solids?reading=0,5&at=220&at_unit=C")
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.body, "después de un punto")
	for _, key := range text.Keys(text.English) {
		if strings.HasPrefix(key, "reckoner.") || strings.HasPrefix(key, "input.") || strings.HasPrefix(key, "nutrient.") {
			assert.True(t, text.Has(text.Spanish, key), key)
		}
	}
}

// A wrong code offers those of the house that are like it.
func TestReckonerOffersCodesLikeIt(t *testing.T) {
	stock := newStock(t)
	b := stock.as("ines")
	wrong := []byte(stock.lot.Code)
	wrong[4] = '0' + (wrong[4]-'0'+1)%10
	page := b.get("/reckoner/lotcode?code=" + string(wrong))
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `href="/trace/`+stock.lot.ID+`"`)
	assert.NotContains(t, b.get("/reckoner/lotcode?code="+stock.lot.Code).body, "Codes like it")
}

// The reckoner writes nothing, and takes nothing but GET.
func TestReckonerRecordsNothing(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	before := b.get("/journal").body
	b.get("/reckoner/solids?reading=33.5&scale=Be&at=220&at_unit=F")
	assert.Equal(t, before, b.get("/journal").body)
	assert.Equal(t, http.StatusMethodNotAllowed, b.post("/reckoner/solids", "reading", "33.5").StatusCode)
	assert.Equal(t, http.StatusNotFound, b.get("/reckoner/horoscope").StatusCode)
}

// FuzzReckoner types anything into any field: never a fault of ours, never a missing text, never NaN.
func FuzzReckoner(f *testing.F) {
	for _, seed := range []string{"74", "0.74", "220C", "NaN", "22,5", "-1", "", "1e9", "٧٤", "0.5%", "16 floz", "\"", "99999999999999999999", "1e-9"} {
		f.Add(seed)
	}
	h := newHouse(f)
	b := h.as("ines")
	names := regexp.MustCompile(`[?&]?([a-z_]+)=`)
	f.Fuzz(func(t *testing.T, typed string) {
		h.t = t
		for _, x := range workedExamples {
			for _, match := range names.FindAllStringSubmatch(x.query, -1) {
				values, err := url.ParseQuery(x.query)
				require.NoError(t, err)
				values.Set(match[1], typed)
				page := b.get("/reckoner/" + x.form + "?" + values.Encode())
				require.Contains(t, []int{http.StatusOK, http.StatusUnprocessableEntity}, page.StatusCode, "%s %v: %s", x.form, values, h.log)
				require.NotContains(t, strings.ReplaceAll(page.body, html.EscapeString(typed), ""), "⟦")
			}
		}
	})
}
