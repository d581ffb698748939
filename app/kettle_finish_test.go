package app

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

// readAs writes a density reading of a syrup of so many percent at 100 C.
func (w *works) readAs(run *records.Run, when time.Time, stage string, solids syrup.Brix) {
	w.t.Helper()
	shows, err := syrup.Hydrometer{}.Reading(syrup.ScaleBaume, solids, 100)
	require.NoError(w.t, err)
	w.write(&records.DensityReading{OfID: run.ID, At: when, Stage: stage, Reading: shows, Scale: syrup.ScaleBaume, Temperature: at(syrup.Celsius(100)), InstrumentID: &w.spindle.ID})
}

// TestKettleFinish: the page and the card of a kettle say nothing, then a time with its interval, then that it may be done.
func TestKettleFinish(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	page := b.get(runURL(run.ID))
	assert.Contains(t, page.body, "No time can be told yet", "juice, and nothing else")
	assert.NotContains(t, page.body, "estimated)</p>\n  <p class=\"panel-small\">From")
	assert.NotContains(t, b.get("/kettle").body, "Done about")

	w.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-195 * time.Minute), What: records.EntryTemperature, Temperature: at(syrup.Celsius(100)), InstrumentID: &w.probe.ID})
	w.readAs(run, testNow.Add(-5*time.Minute), records.StageBoil, 45)
	page = b.get(runURL(run.ID))
	for _, said := range []string{"When it will be done", "At 75.0\u00a0% about", ", estimated", "of water still to boil off", "From 1 reading and 1 temperature of this boil."} {
		assert.Contains(t, page.body, said)
	}
	assert.NotContains(t, page.body, "⟦")
	assert.Contains(t, b.get("/kettle").body, "Done about")
	assert.Contains(t, page.body, `<p class="run-done">Done about`, "above the buttons as well")
	spanish := w.as("marisol").get(runURL(run.ID))
	for _, said := range []string{"Cuándo estará", "estimado", "De 1 lectura y 1 temperatura de esta cocida.", "\u00a0L por hora"} {
		assert.Contains(t, spanish.body, said)
	}
	assert.Contains(t, w.as("marisol").get("/kettle").body, "Estará como a las")

	w.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-3 * time.Minute), What: records.EntryFireOut})
	assert.Contains(t, b.get(runURL(run.ID)).body, "The fire is out.")
	assert.Contains(t, b.get("/kettle").body, "Fire out; about")
	w.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-2 * time.Minute), What: records.EntryRelit})
	w.readAs(run, testNow.Add(-time.Minute), records.StageBoil, 75.4)
	assert.Contains(t, b.get(runURL(run.ID)).body, "It may be at 75.0\u00a0% or past it (estimated).")
	assert.Contains(t, b.get("/kettle").body, "May be at the target")
}

// TestKettleBalance: after the end the page shows what should have come of the juice, and what is not accounted for.
func TestKettleBalance(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	w.readAs(run, testNow.Add(-10*time.Minute), records.StageFinish, 75)
	drawn := &records.BoilEntry{RunID: run.ID, At: testNow.Add(-9 * time.Minute), What: records.EntryDrawnOff, Volume: at(syrup.USGallons(14).Liters()),
		Temperature: at(syrup.Celsius(100))}
	w.write(drawn)
	body := w.as("odell").get(runURL(run.ID)).body
	for _, said := range []string{"What should have come of it", "of solids make", "14.0\u00a0gal were drawn off.", "are not accounted for", "No skimming is recorded"} {
		assert.Contains(t, body, said)
	}
	assert.NotContains(t, body, "When it will be done")
}

// TestFinishWords: every state and reason has its words in both languages, and none judges.
func TestFinishWords(t *testing.T) {
	now := testNow
	base := hazards.Finish{Solids: 50, Water: 40, Rate: 50, At: now.Add(time.Hour), Early: now.Add(50 * time.Minute), Late: now.Add(75 * time.Minute),
		Left: time.Hour, LeftEarly: 50 * time.Minute, LeftLate: 100 * time.Minute, Readings: 3, Temperatures: 1, Past: 12, Odd: []string{"x"}, Uncounted: []string{"Honey"}}
	for _, lang := range text.Languages() {
		for _, units := range []string{hazards.US, hazards.Metric} {
			w := words{lang: lang, units: units, zone: func() *time.Location { return time.UTC }}
			for _, state := range []string{hazards.FinishBoiling, hazards.FinishFireOut, hazards.FinishReached} {
				for _, boils := range []bool{false, true} {
					f := base
					f.State, f.Boils = state, boils
					p := w.finishPanel(f, 74, now)
					all := p.Title + p.Lead + p.Figure + p.Within + strings.Join(p.Words, " ")
					assert.NotContains(t, all, "⟦")
					assert.Contains(t, all, "Honey")
					assert.Contains(t, all, map[text.Language]string{text.English: "estimated", text.Spanish: "estimado"}[lang], state)
				}
			}
			for _, reason := range []string{hazards.FinishNoSolids, hazards.FinishNoRate, hazards.FinishTooSlow, hazards.FinishNoTarget} {
				p := w.finishPanel(hazards.Finish{State: hazards.FinishUnknown, Reason: reason}, 74, now)
				assert.NotContains(t, p.Lead, "⟦")
				assert.True(t, text.Has(lang, reason), "%s in %s", reason, lang)
				assert.Empty(t, p.Figure)
				assert.Empty(t, p.Words, "no number without a basis")
			}
		}
	}
	us := words{lang: text.English, units: hazards.US, zone: func() *time.Location { return time.UTC }}
	f := base
	f.State, f.Boils = hazards.FinishBoiling, true
	p := us.finishPanel(f, 74, time.Date(2025, 12, 7, 20, 0, 0, 0, time.UTC))
	assert.Equal(t, "10.6\u00a0gal of water still to boil off, at about 13.2\u00a0gal an hour (estimated).", p.Words[0], "40 and 50 kg of water at 3.779 kg a gallon")
	assert.Equal(t, "From 3 readings and 1 temperature of this boil and 12 earlier boils of this kettle. For a fire kept as it is: four boils of five end within the interval.", p.Words[1])
}

// TestFinishKept: the estimate is made once for a minute and a journal's head, and anew after an entry.
func TestFinishKept(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	ctx := context.Background()
	log, err := records.BoilLogOf(ctx, w.store, run.ID)
	require.NoError(t, err)
	first, err := w.app.finishOf(ctx, log, 75)
	require.NoError(t, err)
	assert.Equal(t, hazards.FinishNoRate, first.Reason)
	w.readAs(run, testNow.Add(-5*time.Minute), records.StageBoil, 45)
	log, err = records.BoilLogOf(ctx, w.store, run.ID)
	require.NoError(t, err)
	next, err := w.app.finishOf(ctx, log, 75)
	require.NoError(t, err)
	assert.Equal(t, hazards.FinishBoiling, next.State)
	kept := w.app.finishes.of[run.ID]
	kept.finish.Reason = "as kept"
	w.app.finishes.of[run.ID] = kept
	again, err := w.app.finishOf(ctx, log, 75)
	require.NoError(t, err)
	assert.Equal(t, "as kept", again.Reason, "not made again")
}

// TestKettleHead: the large figures are the kettle's own temperature, and the density reading with that of its cup.
func TestKettleHead(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	w.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-6 * time.Minute), What: records.EntryTemperature, Temperature: at(syrup.Celsius(106)), InstrumentID: &w.probe.ID})
	w.readAs(run, testNow.Add(-5*time.Minute), records.StageBoil, 60)
	body := w.as("odell").get(runURL(run.ID)).body
	assert.Contains(t, body, `<span class="last-figure">222.8`+"\u00a0°F")
	assert.Contains(t, body, "· 212.0\u00a0°F · 60", "the cup's temperature stands beside the density")
}
