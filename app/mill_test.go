package app

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

func TestPressingRefuses(t *testing.T) {
	w := newWorks(t)
	b := w.as("odell")
	good := map[string]string{"take_" + w.cut.ID: "yes", "volume": "90", "volume_unit": "gal", "brix": "17", "started_at": hour("06:10")}
	tests := []struct{ name, field, typed, want string }{
		{"nothing pressed", "take_" + w.cut.ID, "", "Pick the cuts that were pressed"},
		{"more than was cut", "much_" + w.cut.ID, "3000", "more than a fifth too much"},
		{"juice before the cut", "started_at", "2025-12-05T10:00", "Nothing can be taken from it before that"},
		{"ended before it began", "ended_at", hour("05:00"), "before the start"},
		{"Brix as a comma", "brix", "17,5", "Write decimals after a point"},
		{"Brix of syrup", "brix", "75", "Expected 2 to 30"},
		{"pH of nothing", "ph", "15", "Expected 3 to 9"},
		{"impossible volume", "volume", "90000", "Expected"},
		{"no start", "started_at", "", "Fill this in"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			pairs := []string{"submission", test.name, test.field, test.typed, "much_" + w.cut.ID + "_unit", "kg"}
			for name, value := range good {
				if name != test.field {
					pairs = append(pairs, name, value)
				}
			}
			page := b.post("/mill/pressing", pairs...)
			require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, test.want)
			assert.Zero(t, count[records.Pressing](t, w))
			assert.Zero(t, count[records.Link](t, w))
			if test.typed != "" {
				assert.Contains(t, page.body, `value="`+test.typed+`"`, "what was typed stays")
			}
		})
	}
	assert.Equal(t, http.StatusForbidden, w.as("ines").post("/mill/pressing").StatusCode)
}

// TestTank fills a tank from two pressings, looks at the shares, draws from it into a kettle and washes it out.
func TestTank(t *testing.T) {
	w := newWorks(t)
	first := w.pressed()
	second := &records.Pressing{SiteID: w.site, StartedAt: testNow.Add(-4 * time.Hour), Volume: at(syrup.Liters(340)), Brix: at(syrup.Brix(17)), Temperature: at(syrup.Celsius(18))}
	require.NoError(t, w.store.RecordPressing(context.Background(), records.Actor{PersonID: w.people["odell"]}, second, []records.Draw{{FromID: w.cut.ID, Mass: at(syrup.Kilograms(1))}}))
	assert.Equal(t, 2, second.Number)
	b := w.as("odell")
	url := "/mill/tank/" + w.juice.ID
	plain := func(path string) string { return strings.ReplaceAll(b.get(path).words(), noBreak, " ") }
	assert.Contains(t, plain(url), "empty")

	page := b.post(url + "/fill")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, "Tick at least one")
	page = b.post(url+"/fill", "take_"+first.ID, "yes", "much_"+first.ID, "200", "much_"+first.ID+"_unit", "gal")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `href="#link-much_`+first.ID+`"`, "at the pressing it is about")

	filled := []string{"take_" + first.ID, "yes", "take_" + second.ID, "yes", "much_" + second.ID, "85", "much_" + second.ID + "_unit", "L", "at", hour("09:00"), "submission", "f1"}
	b.post(url+"/fill", filled...).location(t)
	b.post(url+"/fill", filled...).location(t)
	assert.Equal(t, 4, count[records.Link](t, w), "two cuts pressed, two fillings, however often the button was tapped")
	said := plain(url)
	for _, want := range []string{"80.0 %", "20.0 %", "at 17.0 %", "Made of", "in: pressing"} {
		assert.Contains(t, said, want)
	}
	assert.Contains(t, plain("/mill"), "80.0 %")
	assert.Contains(t, plain("/mill/pressing/"+second.ID), "22.5 gal")

	run := b.post("/kettle/new", "kettle", w.kettle.ID, "take_"+w.juice.ID, "yes", "fire_lit_at", hour("09:30"), "submission", "r1").location(t)
	assert.Contains(t, plain(run), "Juice tank in")
	assert.Contains(t, plain(url), "empty")
	page = b.post("/kettle/run/"+strings.TrimPrefix(run, "/kettle/run/")+"/juice", "take_"+w.juice.ID, "yes")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, "Nothing is left of Juice tank", "a form that stood open")
	b.post(run+"/juice", "take_"+second.ID, "yes", "at", hour("09:40"), "submission", "j1").location(t)
	assert.Contains(t, plain(run), "pressing 2 in")

	b.post(url+"/wash-out", "at", hour("10:00"), "note", "hot rinse", "submission", "w1").location(t)
	assert.Contains(t, plain(url), "hot rinse")
	links, err := records.List[records.Link](context.Background(), w.store, "to_id = ? AND from_id = ?", w.juice.ID, second.ID)
	require.NoError(t, err)
	require.Len(t, links, 1)
	t.Run("an amount is amended, and what follows is worked out anew", func(t *testing.T) {
		form := b.get("/record/" + links[0].ID + "/amend")
		require.Equal(t, http.StatusOK, form.StatusCode)
		assert.Contains(t, form.body, `value="85"`)
		b.post("/record/"+links[0].ID+"/amend", "volume", "42.5", "volume_unit", "L", "at", hour("09:00"), "revision", "1", "why", "stick read wrong").location(t)
		now, err := records.Get[records.Link](context.Background(), w.store, links[0].ID)
		require.NoError(t, err)
		assert.InDelta(t, float64(*links[0].Mass)/2, float64(*now.Mass), 0.01)
	})
	t.Run("a time is amended, the amount stays as it was", func(t *testing.T) {
		before, err := records.Get[records.Link](context.Background(), w.store, links[0].ID)
		require.NoError(t, err)
		b.post("/record/"+links[0].ID+"/amend", "volume", "42.5", "volume_unit", "L", "at", hour("09:05"), "revision", "2", "why", "clock").location(t)
		now, err := records.Get[records.Link](context.Background(), w.store, links[0].ID)
		require.NoError(t, err)
		assert.Equal(t, before.Mass, now.Mass)
		assert.Equal(t, before.Entered, now.Entered)
	})
}
