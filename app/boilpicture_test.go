package app

import (
	"html"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
	"canewright/records/boilchart"
)

func plainWordsOf(units string) words {
	return words{lang: "en", units: units, zone: func() *time.Location { return time.UTC }}
}

// curved is a boil that ends 12 F above boiling water, by a thermometer of which a check tells the zero.
func curved() records.BoilCurve {
	zero := &hazards.ZeroFacts{At: testNow, Water: 100, Off: syrup.FahrenheitDelta(1.8).Celsius()}
	low, high := syrup.FahrenheitDelta(12).Celsius(), syrup.FahrenheitDelta(14.6).Celsius()
	c := records.BoilCurve{Water: records.Water{Boils: 100, Zero: zero}, Checked: "Probe 1"}
	c.Boil = boilchart.Boil{RiseLow: &low, RiseHigh: &high, Target: [2]syrup.Brix{75, 76}, Until: 200,
		Curve: boilchart.Curve{Rises: []boilchart.Rise{{Minute: 20, Above: -60}, {Minute: 90, Above: 1}, {Minute: 180, Above: syrup.FahrenheitDelta(12).Celsius()}},
			Solids: []boilchart.Thick{{Minute: 150, Solids: 62}, {Minute: 185, Solids: 74.9}}},
		Estimated: []boilchart.Thick{{Minute: 180, Solids: 73}}}
	return c
}

// Under the picture stands what it rests on.
func TestPictureCaptions(t *testing.T) {
	w := plainWordsOf("us")
	c := curved()
	said := strings.Join(w.captions(c, 6), " ")
	assert.Contains(t, said, "Water boiled at 212.0"+noBreak+"°F that day")
	assert.Contains(t, said, "has its zero of +1.8"+noBreak+"°F taken off")
	assert.Contains(t, said, "the 6 boils before")
	assert.Contains(t, said, "estimated")
	c.Solids = nil
	assert.Contains(t, strings.Join(w.captions(c, 0), " "), "by boiling temperature alone")
	c.Water.Zero, c.Water.Altitude = nil, nil
	assert.Contains(t, strings.Join(w.captions(c, 0), " "), "as at sea level")
	height := syrup.Meters(100)
	c.Water.Altitude = &height
	assert.Contains(t, strings.Join(w.captions(c, 0), " "), "where water boils at 328.1"+noBreak+"ft")
	c.Failed = true
	assert.Contains(t, strings.Join(plainWordsOf("metric").captions(c, 0), " "), "A check of the thermometer failed")
}

// The words of the picture are there in both languages, and the letters are high enough: 15 of 350 on a sheet drawn at least
// 350 pixels wide on a phone of 390.
func TestPictureIsDrawn(t *testing.T) {
	for _, lang := range text.Languages() {
		w := words{lang: lang, units: "metric", zone: func() *time.Location { return time.UTC }}
		c := curved()
		c.Events = []boilchart.Event{{Minute: 30, Word: "skimmed"}}
		p := boilchart.Draw(c.Boil, w.ofPicture(), onScreen)
		require.Len(t, p.Panels, 2)
		for _, m := range []boilchart.Mark{p.Panels[0].Title, p.Panels[1].Title, p.Panels[0].Word, *p.Panels[0].Last} {
			assert.NotContains(t, m.Text, "⟦")
			assert.NotEmpty(t, m.Text)
			assert.LessOrEqual(t, m.X+onScreen.Wide(m.Text)*map[boilchart.End]float64{boilchart.Left: 1}[m.End], onScreen.Width, m.Text)
		}
		assert.Equal(t, "6.7 °C", strings.ReplaceAll(p.Panels[0].Last.Text, noBreak, " "))
		assert.Equal(t, "74.9 %", strings.ReplaceAll(p.Panels[1].Last.Text, noBreak, " "))
	}
}

// readable is what is said on a page, with plain spaces.
func readable(a answer) string {
	return html.UnescapeString(strings.ReplaceAll(a.words(), noBreak, " "))
}

// The run's page asks for the check in boiling water while there is none, the form takes one number, and the page says what it
// takes off. What was written stays.
func TestWaterCheck(t *testing.T) {
	w := newWorks(t)
	run, b := w.lit(), w.as("odell")
	w.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-time.Hour), What: records.EntryTemperature, Temperature: at(syrup.Fahrenheit(221).Celsius()),
		TemperatureEntered: "221 F", InstrumentID: &w.probe.ID})
	page := readable(b.get(runURL(run.ID)))
	assert.Contains(t, page, "Check the thermometer in boiling water first")
	assert.Contains(t, readable(b.get("/kettle")), "Check the thermometer in boiling water first")
	address := "/kettle/water?run=" + run.ID
	form := b.get(address + "&thermometer=" + w.probe.ID)
	assert.Contains(t, readable(form), "It reads")
	assert.Contains(t, form.body, `value="`+w.probe.ID+`" selected`)

	for typed, wrong := range map[string]string{"": "", "150": "Look at the number", "99": "Look at the number", "215.9": "read once more", "boils": ""} {
		answer := b.post(address, "thermometer", w.probe.ID, "read", typed, "read_unit", "F", "pressure", "29.92", "pressure_unit", "inHg")
		assert.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode, typed)
		assert.Contains(t, answer.body, wrong)
		assert.Contains(t, answer.body, `value="`+typed+`"`, "what was typed stays")
	}
	answer := b.post(address, "thermometer", w.probe.ID, "read", "213.6", "read_unit", "F", "pressure", "29.92", "pressure_unit", "inHg", "submission", "w1")
	assert.Equal(t, runURL(run.ID), answer.location(t))
	assert.Equal(t, runURL(run.ID), b.post(address, "thermometer", w.probe.ID, "read", "213.6", "read_unit", "F", "pressure", "29.92", "pressure_unit", "inHg",
		"submission", "w1").location(t), "a double tap keeps one")
	checks, err := records.List[records.InstrumentCheck](t.Context(), w.store, "")
	require.NoError(t, err)
	require.Len(t, checks, 1)
	assert.True(t, checks[0].Passed)
	assert.Equal(t, 213.6, checks[0].Read)
	assert.Equal(t, "F", checks[0].Unit)
	assert.InDelta(t, 212.0, checks[0].Expected, 0.06, "physics.md 5: water boils at 212.0 F at 29.92 inHg")
	assert.Contains(t, checks[0].Note, "29.92")

	page = readable(b.get(runURL(run.ID)))
	assert.NotContains(t, page, "Check the thermometer in boiling water first")
	assert.Contains(t, page, "read 221.0 °F; corrected by -1.6 °F for its zero of that day")
	assert.Contains(t, page, "has its zero of +1.6 °F taken off")
	assert.Contains(t, page, "7.4 °F above boiling water", "221.0 less 1.6 less 212.0")
	kept, err := records.List[records.BoilEntry](t.Context(), w.store, "run_id = ?", run.ID)
	require.NoError(t, err)
	assert.Equal(t, "221 F", kept[0].TemperatureEntered)
	assert.NotContains(t, readable(b.get("/kettle")), "Check the thermometer in boiling water first")
}

// A thermometer far off is read twice before it fails.
func TestWaterCheckFails(t *testing.T) {
	w := newWorks(t)
	b := w.as("odell")
	answer := b.post("/kettle/water", "thermometer", w.probe.ID, "read", "215", "read_unit", "F", "pressure", "29.92", "pressure_unit", "inHg")
	require.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode)
	assert.Contains(t, answer.body, "keep it as a failed check")
	assert.Equal(t, 0, count[records.InstrumentCheck](t, w))
	answer = b.post("/kettle/water", "thermometer", w.probe.ID, "read", "215", "read_unit", "F", "pressure", "29.92", "pressure_unit", "inHg", "failed", "yes")
	assert.Equal(t, "/kettle", answer.location(t))
	checks, err := records.List[records.InstrumentCheck](t.Context(), w.store, "")
	require.NoError(t, err)
	require.Len(t, checks, 1)
	assert.False(t, checks[0].Passed)
	assert.Contains(t, readable(b.get("/kettle")), "Check the thermometer in boiling water first", "a failed one gives no zero")
}

// Without height and barometer nothing is made up.
func TestWaterCheckNeedsAPlace(t *testing.T) {
	w := newWorks(t)
	b := w.as("odell")
	answer := b.post("/kettle/water", "thermometer", w.probe.ID, "read", "212", "read_unit", "F")
	require.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode)
	assert.Contains(t, answer.body, "Type the barometer")
	answer = b.post("/kettle/water", "thermometer", w.probe.ID, "read", "212", "read_unit", "F", "pressure", "3", "pressure_unit", "inHg")
	require.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode)
	assert.Contains(t, answer.body, `value="3"`)
}
