package app

import (
	"context"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// works is a house that can press and boil: cane cut the day before, a kettle, tanks and instruments.
type works struct {
	*testHouse
	cut            *records.Cut
	kettle         *records.Kettle
	juice, holding *records.Tank
	probe, spindle *records.Instrument
}

func newWorks(t *testing.T) *works {
	t.Helper()
	return newHouse(t).works()
}

// works equips a house to press and boil.
func (h *testHouse) works() *works {
	h.t.Helper()
	_, planting := h.planted()
	w := &works{testHouse: h,
		cut:     &records.Cut{PlantingID: planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Mass: at(syrup.Kilograms(900)), MassEntered: "900 kg"},
		kettle:  &records.Kettle{SiteID: h.site, Number: 2, Name: "Old kettle"},
		juice:   &records.Tank{SiteID: h.site, Name: "Juice tank", Holds: records.HoldsJuice},
		holding: &records.Tank{SiteID: h.site, Name: "Holding tank", Holds: records.HoldsSyrup},
		probe:   &records.Instrument{Name: "Probe 1", Measures: records.MeasuresTemperature, ReadsIn: "F"},
		spindle: &records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F},
	}
	h.write(w.cut, w.kettle, w.juice, w.holding, w.probe, w.spindle)
	return w
}

// pressed presses all the cane, three hours before the clock of the tests.
func (w *works) pressed() *records.Pressing {
	w.t.Helper()
	p := &records.Pressing{SiteID: w.site, StartedAt: testNow.Add(-5 * time.Hour), Volume: at(syrup.Liters(340)), Brix: at(syrup.Brix(17)), Temperature: at(syrup.Celsius(18))}
	require.NoError(w.t, w.store.RecordPressing(context.Background(), records.Actor{PersonID: w.people["odell"]}, p, []records.Draw{{FromID: w.cut.ID}}))
	return p
}

// lit lights the fire under all the juice, four hours before the clock of the tests.
func (w *works) lit() *records.Run {
	w.t.Helper()
	p := w.pressed()
	run := &records.Run{KettleID: w.kettle.ID, FireLitAt: testNow.Add(-4 * time.Hour)}
	require.NoError(w.t, w.store.StartRun(context.Background(), records.Actor{PersonID: w.people["odell"]}, run, []records.Draw{{FromID: p.ID}}))
	return run
}

// hour is a moment of the tests' day as a browser sends it.
func hour(clock string) string { return "2025-12-07T" + clock }

func count[T any](t *testing.T, w *works) int {
	t.Helper()
	rows, err := records.List[T](context.Background(), w.store, "")
	require.NoError(t, err)
	return len(rows)
}

// TestMainJob does the work from cane to drawn-off syrup in the browser, typing as little as may be.
func TestMainJob(t *testing.T) {
	w := newWorks(t)
	b := w.as("odell")
	typed := 0
	post := func(path string, pairs ...string) answer {
		for i := 0; i < len(pairs); i += 2 {
			if !strings.Contains("submission take_ stage use tank instrument at fire_lit_at kettle", strings.TrimRight(pairs[i], "0123456789ABCDEFGHJKMNPQRSTVWXYZ")) && !strings.HasSuffix(pairs[i], "_unit") {
				typed++
			}
		}
		return b.post(path, pairs...)
	}

	form := b.get("/mill/pressing")
	assert.Contains(t, form.body, `name="take_`+w.cut.ID+`" value="yes" checked`, "the only cane is ticked")
	pressing := post("/mill/pressing", "take_"+w.cut.ID, "yes", "volume", "90", "volume_unit", "gal", "brix", "17.5", "started_at", hour("06:10"), "submission", "p1").location(t)
	page := b.get(b.get(pressing).location(t))
	for _, said := range []string{"1984.2", "90.0 gal", "cut Sat 6 Dec 2025", "pressing 1", "left: 90.0 gal"} {
		assert.Contains(t, strings.ToLower(strings.ReplaceAll(page.words(), noBreak, " ")), strings.ToLower(said))
	}
	assert.Equal(t, pressing, b.post("/mill/pressing", "take_"+w.cut.ID, "yes", "volume", "90", "volume_unit", "gal", "brix", "17.5", "started_at", hour("06:10"), "submission", "p1").location(t), "a double tap leads to the same pressing")
	assert.Equal(t, 1, count[records.Pressing](t, w))
	id := strings.TrimPrefix(pressing, "/record/")

	start := b.get("/kettle/new")
	assert.Contains(t, start.body, `value="`+w.kettle.ID+`" selected`, "the only kettle is chosen")
	run := post("/kettle/new", "kettle", w.kettle.ID, "take_"+id, "yes", "fire_lit_at", hour("07:00"), "submission", "r1").location(t)
	require.Regexp(t, `^/kettle/run/`, run)
	assert.Contains(t, b.get("/kettle").body, "25341K2")

	assert.Contains(t, post(run+"/temperature", "temperature", "221", "temperature_unit", "F", "at", hour("10:10"), "instrument", w.probe.ID, "submission", "t1").location(t), run)
	post(run+"/skimming", "at", hour("08:00"), "submission", "s1").location(t)
	post(run+"/reading", "reading", "36.1", "reading_unit", "Be", "stage", "finish", "temperature", "224", "temperature_unit", "F", "at", hour("10:15"), "instrument", w.spindle.ID, "submission", "d1").location(t)
	post(run+"/drawn-off", "volume", "15", "volume_unit", "gal", "temperature", "223", "temperature_unit", "F", "tank", w.holding.ID, "at", hour("10:20"), "submission", "o1").location(t)

	said := strings.ReplaceAll(b.get(run).words(), noBreak, " ")
	for _, want := range []string{"200 min", "36.1 °Baumé", "± 0.5 % solids", "estimated", "drawn off", "into Holding tank", "skimmed", "Spindle 1", "Probe 1"} {
		assert.Contains(t, said, want)
	}
	assert.NotContains(t, said, "Skimmed +", "nothing but a reading may follow")
	tank := strings.ReplaceAll(b.get("/mill/tank/"+w.holding.ID).words(), noBreak, " ")
	assert.Contains(t, tank, "15.0 gal")
	assert.Contains(t, tank, "run 25341K2")
	assert.Contains(t, tank, "100.0 %")
	assert.LessOrEqual(t, typed, 10, "values typed from pressing to drawn off; times are blank for now, the rest is picked")
	t.Run("a double tap writes nothing twice", func(t *testing.T) {
		before := count[records.BoilEntry](t, w)
		b.post(run+"/temperature", "temperature", "221", "temperature_unit", "F", "submission", "t1").location(t)
		assert.Equal(t, before, count[records.BoilEntry](t, w))
		again := b.post("/kettle/new", "kettle", w.kettle.ID, "take_"+id, "yes", "submission", "r1").location(t)
		assert.Equal(t, "/record/"+strings.TrimPrefix(run, "/kettle/run/"), again)
		assert.Equal(t, 1, count[records.Run](t, w))
	})
}

// TestBoilLogRefuses tries every bad input of the kettle: said at the field, what was typed stays, nothing is kept.
func TestBoilLogRefuses(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	tests := []struct {
		name, form, field string
		typed             []string
		want              string
	}{
		{"comma", "temperature", "temperature", []string{"temperature", "221,5", "temperature_unit", "F"}, "Write decimals after a point"},
		{"no number", "temperature", "temperature", []string{"temperature", "hot", "temperature_unit", "F"}, "Write a number in digits"},
		{"nothing", "temperature", "temperature", []string{"temperature", "", "temperature_unit", "F"}, "Fill this in"},
		{"impossible", "temperature", "temperature", []string{"temperature", "2210", "temperature_unit", "F"}, "Expected"},
		{"Fahrenheit as Celsius", "temperature", "temperature", []string{"temperature", "221", "temperature_unit", "C"}, "Expected"},
		{"unknown unit", "temperature", "temperature", []string{"temperature", "221", "temperature_unit", "K"}, "Choose the unit"},
		{"before the fire", "skimming", "at", []string{"at", hour("05:00")}, "The fire was lit at"},
		{"to come", "skimming", "at", []string{"at", hour("23:00")}, "has not come yet"},
		{"no such moment", "skimming", "at", []string{"at", "soon"}, "Write day and time"},
		{"past the scale", "reading", "reading", []string{"reading", "300", "reading_unit", "Be", "stage", "finish"}, "Expected"},
		{"which reading", "reading", "stage", []string{"reading", "36", "reading_unit", "Be"}, "Fill this in"},
		{"empty note", "note", "note", []string{"note", " "}, "Fill this in"},
		{"addition of nothing", "addition", "substance", []string{"use", "defoamer"}, "Fill this in"},
		{"allergens unnamed", "addition", "allergens", []string{"substance", "Oil", "use", "defoamer", "allergens_answer", "some"}, "Fill this in"},
		{"allergens both ways", "addition", "allergens", []string{"substance", "Oil", "use", "defoamer", "allergens_answer", "none", "allergens", "soy"}, "Not both"},
		{"volume impossible", "drawn-off", "volume", []string{"volume", "90000", "volume_unit", "gal"}, "Expected"},
		{"no such instrument", "temperature", "instrument", []string{"temperature", "221", "temperature_unit", "F", "instrument", "NONE"}, "Choose one from the list"},
		{"no juice ticked", "juice", "", nil, "Tick at least one"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			before := count[records.BoilEntry](t, w) + count[records.DensityReading](t, w) + count[records.Addition](t, w)
			page := b.post(url+"/"+test.form, append(test.typed, "submission", test.name)...)
			require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, test.want)
			if test.field != "" {
				assert.Contains(t, page.body, `href="#`+test.form+"-"+test.field+`"`, "at its field")
			}
			for i := 0; i < len(test.typed); i += 2 {
				if test.typed[i] == test.field && strings.TrimSpace(test.typed[i+1]) != "" && test.field != "instrument" {
					assert.Contains(t, page.body, `value="`+test.typed[i+1]+`"`, "what was typed stays")
				}
			}
			after := count[records.BoilEntry](t, w) + count[records.DensityReading](t, w) + count[records.Addition](t, w)
			assert.Equal(t, before, after, "nothing is kept")
		})
	}
	t.Run("after drawn off", func(t *testing.T) {
		b.post(url+"/drawn-off", "volume", "15", "volume_unit", "gal", "at", hour("10:00")).location(t)
		page := b.post(url+"/temperature", "temperature", "221", "temperature_unit", "F", "at", hour("10:10"))
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.body, `href="#temperature-at"`)
		assert.Contains(t, page.body, "was drawn off at")
		b.post(url+"/reading", "reading", "36.1", "reading_unit", "Be", "stage", "finish", "temperature", "200", "temperature_unit", "F", "at", hour("10:10")).location(t)
		assert.Equal(t, http.StatusConflict, b.post(url+"/drawn-off", "volume", "15", "volume_unit", "gal", "at", hour("10:00")).StatusCode, "drawn off twice")
	})
	t.Run("a reader may not", func(t *testing.T) {
		assert.Equal(t, http.StatusForbidden, w.as("ines").post(url+"/note", "note", "x").StatusCode)
		page := w.as("ines").get(url)
		assert.Equal(t, http.StatusOK, page.StatusCode)
		assert.NotContains(t, page.body, "<textarea")
	})
}

// TestBoilLogSays looks at what the run's page says after each sort of entry.
func TestBoilLogSays(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	said := func() string { return strings.ReplaceAll(b.get(url).words(), noBreak, " ") }

	assert.Contains(t, said(), "Write a temperature, and the hydrometer reading to watch for stands here.")
	b.post(url+"/temperature", "temperature", "220", "temperature_unit", "F", "at", hour("10:00")).location(t)
	page := said()
	// From our own model: a regression value.
	want, err := syrup.Hydrometer{Stem: syrup.Stem60F}.Reading(syrup.ScaleBaume, 75, syrup.Fahrenheit(220).Celsius())
	require.NoError(t, err)
	assert.Contains(t, page, decimal(want)+" °Baumé", "the reading that means the target, on the only hydrometer")
	assert.Contains(t, page, "Spindle 1")
	assert.Contains(t, page, "the height above the sea is not recorded: taken as sea level")
	// Physics note, section 5 (computed there by the same model: regression): 75 % at sea level boils at 224.1 F pure, 226.7 F with 30 % inverted and 1.5 % ash.
	boils := regexp.MustCompile(`(22\d\.\d) °F to (22\d\.\d) °F`).FindStringSubmatch(page)
	require.NotNil(t, boils)
	for i, published := range []float64{224.1, 226.7} {
		got, err := strconv.ParseFloat(boils[i+1], 64)
		require.NoError(t, err)
		assert.InDelta(t, published, got, 0.1)
	}

	t.Run("a reading without a temperature is kept and says so", func(t *testing.T) {
		b.post(url+"/reading", "reading", "33.5", "reading_unit", "Be", "stage", "boil", "at", hour("10:01")).location(t)
		page := said()
		assert.Contains(t, page, "Kept. It cannot be used.")
		assert.Contains(t, page, "33.5 °Baumé without a temperature")
		assert.Contains(t, page, "Add the syrup temperature")
	})
	t.Run("a reading in the boil says how much water is still to go", func(t *testing.T) {
		b.post(url+"/reading", "reading", "33.5", "reading_unit", "Be", "stage", "boil", "temperature", "220", "temperature_unit", "F", "at", hour("10:02"), "instrument", w.spindle.ID).location(t)
		page := said()
		// Physics note, section 0: 33.5 Baume at 215 to 226 F means 69.6 to 70.2 % (computed there by the same model: regression).
		assert.Regexp(t, `(69\.[6-9]|70\.[0-2]) ± 0\.5 % solids`, page)
		assert.Contains(t, page, "Water still to go")
		assert.Contains(t, page, "the solids of the juice, if nothing was lost")
		assert.NotContains(t, page, "For each gallon")
	})
	t.Run("a volume in the kettle is used when it is written", func(t *testing.T) {
		b.post(url+"/temperature", "temperature", "221", "temperature_unit", "F", "volume", "17", "volume_unit", "gal", "at", hour("10:03")).location(t)
		b.post(url+"/reading", "reading", "34", "reading_unit", "Be", "stage", "boil", "temperature", "220", "temperature_unit", "F", "at", hour("10:04")).location(t)
		assert.Contains(t, said(), "Worked out for 17.0 gal in the kettle")
	})
	t.Run("Celsius typed as Fahrenheit is a note", func(t *testing.T) {
		b.post(url+"/temperature", "temperature", "104", "temperature_unit", "F", "at", hour("10:05")).location(t)
		assert.Contains(t, said(), "104.0 °F at the boil. Was this Celsius?")
	})
	t.Run("a jump of more than 60 F is a note", func(t *testing.T) {
		b.post(url+"/temperature", "temperature", "150", "temperature_unit", "F", "at", hour("10:06")).location(t)
		b.post(url+"/temperature", "temperature", "222", "temperature_unit", "F", "at", hour("10:07")).location(t)
		assert.Contains(t, said(), "150.0 °F, then 222.0 °F")
	})
	t.Run("an addition whose answers wait says so", func(t *testing.T) {
		b.post(url+"/addition", "substance", "Butter", "use", "defoamer", "amount", "0.5", "amount_unit", "oz", "at", hour("08:00")).location(t)
		assert.Contains(t, said(), "not answered: does it stay in the food, allergens, sulfites")
		b.post(url+"/addition", "substance", "Oil", "use", "defoamer", "stays", "no", "allergens_answer", "some", "allergens", "soy", "sulfites", "no", "at", hour("08:01")).location(t)
		assert.Contains(t, said(), "does not stay · allergens: soy · no sulfites")
	})
	t.Run("a thin finish is held", func(t *testing.T) {
		b.post(url+"/reading", "reading", "33.5", "reading_unit", "Be", "stage", "finish", "temperature", "220", "temperature_unit", "F", "at", hour("10:08"), "instrument", w.spindle.ID).location(t)
		assert.Contains(t, said(), "Too thin for cane syrup")
		assert.Contains(t, b.get(url).body, `<span class="level hold">hold</span>`)
	})
	t.Run("too thick asks for water", func(t *testing.T) {
		b.post(url+"/reading", "reading", "39", "reading_unit", "Be", "stage", "boil", "temperature", "224", "temperature_unit", "F", "at", hour("10:09"), "instrument", w.spindle.ID).location(t)
		assert.Contains(t, said(), "of hot drinking water")
	})
	t.Run("late and by another person", func(t *testing.T) {
		b.post(url+"/note", "note", "wind turned", "at", hour("07:10"), "done_by", w.people["marisol"]).location(t)
		page := said()
		assert.Regexp(t, `wind turned\s+Marisol Vega · written Sun 7 Dec 2025`, page)
	})
	t.Run("blank time is now", func(t *testing.T) {
		b.post(url + "/cloth").location(t)
		assert.Regexp(t, `10:30 am\s+240 min\s+cloth changed`, said())
	})
	t.Run("amended in the log", func(t *testing.T) {
		entries, err := records.List[records.BoilEntry](context.Background(), w.store, "what = 'note'")
		require.NoError(t, err)
		form := b.get("/record/" + entries[0].ID + "/amend")
		require.Equal(t, http.StatusOK, form.StatusCode)
		assert.Contains(t, form.body, "wind turned")
		b.post("/record/"+entries[0].ID+"/amend", "note", "wind fell", "at", hour("07:10"), "revision", "1", "why", "misheard").location(t)
		page := said()
		assert.Contains(t, page, "wind fell")
		assert.Contains(t, page, "amended")
	})
	t.Run("the picture obeys the policy", func(t *testing.T) {
		page := b.get(url)
		assert.Contains(t, page.body, "<polyline")
		assert.NotContains(t, page.body, "style=")
		assert.Contains(t, page.body, `class="boil-band"`)
	})
	t.Run("in Spanish", func(t *testing.T) {
		page := w.as("marisol").get(url)
		assert.Equal(t, http.StatusOK, page.StatusCode)
		for _, word := range []string{"Bitácora", "Anotar en la bitácora", "desde que se encendió la lumbre", "Qué hacer", "°C", "manta cambiada"} {
			assert.Contains(t, page.body, word)
		}
		assert.NotContains(t, page.body, "⟦")
		assert.NotContains(t, page.words(), " the ", "no English is left")
	})
}

// TestHeel: what an earlier run left in the kettle goes into the next one, and a wash-out ends that.
func TestHeel(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	page := b.post("/kettle/new", "kettle", w.kettle.ID)
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, "still boils run 25341K2", "at the kettle")
	b.post(url+"/reading", "reading", "36.1", "reading_unit", "Be", "stage", "finish", "temperature", "224", "temperature_unit", "F", "at", hour("09:50"), "instrument", w.spindle.ID).location(t)
	b.post(url+"/drawn-off", "volume", "15", "volume_unit", "gal", "at", hour("10:00")).location(t)
	assert.Contains(t, b.get("/kettle").body, "not washed out since run 25341K2")
	assert.Contains(t, b.get("/kettle/new").body, "heel_from")

	page = b.post("/kettle/new", "kettle", w.kettle.ID, "heel_from", run.ID)
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `href="#run-heel_volume"`)
	page = b.post("/kettle/new", "kettle", w.kettle.ID, "heel_from", run.ID, "heel_volume", "200", "heel_volume_unit", "gal")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `href="#run-heel_volume"`, "more than there was")
	next := b.post("/kettle/new", "kettle", w.kettle.ID, "heel_from", run.ID, "heel_volume", "1", "heel_volume_unit", "gal").location(t)
	assert.Contains(t, b.get(next).body, "heel of 25341K2")
	assert.Contains(t, b.get(next).body, "25341K2-2")

	b.post(next+"/drawn-off", "volume", "1", "volume_unit", "gal").location(t)
	assert.Equal(t, "/kettle", b.post("/kettle/wash-out/"+w.kettle.ID, "submission", "w1").location(t))
	b.post("/kettle/wash-out/"+w.kettle.ID, "submission", "w1").location(t)
	assert.Equal(t, 1, count[records.WashOut](t, w))
	assert.NotContains(t, b.get("/kettle/new").body, "heel_from", "after a wash-out there is no heel")
	page = b.post("/kettle/wash-out/"+w.kettle.ID, "at", "never")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, "Write day and time")
}

// TestEmptyAndForeign: pages without anything, and addresses of other things.
func TestEmptyAndForeign(t *testing.T) {
	h := newHouse(t)
	for _, login := range []string{"odell", "marisol", "ines"} {
		for _, path := range []string{"/kettle", "/mill"} {
			page := h.as(login).get(path)
			assert.Equal(t, http.StatusOK, page.StatusCode, path)
			assert.NotContains(t, page.body, "⟦", path)
		}
	}
	for _, path := range []string{"/kettle/new", "/mill/pressing"} {
		assert.Equal(t, http.StatusOK, h.as("marisol").get(path).StatusCode)
	}
	for _, path := range []string{"/kettle/run/", "/mill/pressing/", "/mill/tank/"} {
		assert.Equal(t, http.StatusNotFound, h.as("odell").get(path+h.site).StatusCode, path)
	}
	page := h.as("odell").post("/kettle/new", "kettle", "NONE", "take_NONE", "yes")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
}
