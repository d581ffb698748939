package app

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// saysPlainly is the text of an answer with plain blanks.
func (a answer) saysPlainly() string { return strings.ReplaceAll(a.plain(), noBreak, " ") }

// read fills in a reading of semi-syrup as a cook types it.
var semiTyped = []string{"reading", "22.5", "reading_unit", "Be", "temperature", "212", "temperature_unit", "F"}

func typing(pairs ...string) []string { return append(append([]string{}, semiTyped...), pairs...) }

// TestEndsOtherwiseRefuses tries what is wrong or missing: said at the field, what was typed stays, the run boils on.
func TestEndsOtherwiseRefuses(t *testing.T) {
	w := newWorks(t)
	second := &records.Kettle{SiteID: w.site, Number: 3, Name: "New kettle"}
	w.write(second)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID + "/end"
	page := b.get(url)
	assert.Equal(t, 3, strings.Count(page.body, "<form class=\"entry big\""))
	assert.Contains(t, page.saysPlainly(), "at 45 % solids or more 21 days")
	assert.Contains(t, page.body, `value="light-`+second.ID+`" selected`, "the only other kettle is chosen")
	into := "light-" + second.ID
	for _, test := range []struct {
		name, form, field, want string
		typed                   []string
	}{
		{"no reading and no word of it", "held", "reading", "tick that it could not be read", []string{"volume", "20", "volume_unit", "gal"}},
		{"a reading and could not be read", "held", "unread", "Take the tick away", typing("unread", "yes")},
		{"off the stem", "held", "reading", "Expected", []string{"reading", "300", "reading_unit", "Be"}},
		{"a comma", "held", "volume", "Write decimals after a point", typing("volume", "20,5", "volume_unit", "gal")},
		{"before the fire", "held", "at", "The fire was lit at", typing("at", hour("03:00"))},
		{"more than ran in", "held", "volume", "is more than that", typing("volume", "400", "volume_unit", "gal")},
		{"all or a part", "moved", "part", "Fill this in", typing("into", into)},
		{"how much of a part", "moved", "volume", "How much of it?", typing("into", into, "part", "part")},
		{"more than is there", "moved", "volume", "more than a fifth too much", typing("into", into, "part", "part", "volume", "80", "volume_unit", "gal")},
		{"no such kettle", "moved", "into", "Choose one from the list", typing("into", "NONE", "part", "all")},
		{"no reason", "given-up", "note", "Fill this in", []string{"volume", "20", "volume_unit", "gal"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			before := count[records.BoilEntry](t, w) + count[records.DensityReading](t, w) + count[records.Link](t, w) + count[records.Run](t, w)
			page := b.post(url+"/"+test.form, append(test.typed, "submission", test.name)...)
			require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, test.want)
			assert.Contains(t, page.body, `href="#`+test.form+"-"+test.field+`"`, "at its field")
			for i := 0; i < len(test.typed); i += 2 {
				if name := test.typed[i]; name == "reading" || name == "volume" {
					assert.Contains(t, page.body, `value="`+test.typed[i+1]+`"`, "what was typed stays")
				}
			}
			assert.Equal(t, before, count[records.BoilEntry](t, w)+count[records.DensityReading](t, w)+count[records.Link](t, w)+count[records.Run](t, w), "nothing is kept")
		})
	}
	assert.Equal(t, http.StatusForbidden, w.as("ines").post(url+"/given-up", "note", "x").StatusCode)
	assert.NotContains(t, w.as("ines").get(url).body, `class="entry big"`)
	spanish := b.get(url + "?lang=es")
	assert.Equal(t, http.StatusOK, spanish.StatusCode)
}

// TestHeldAndBoiledOn: stopped half-way, held in a bucket, named and advised where the next fire is lit, and in its trail.
func TestHeldAndBoiledOn(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	end := b.post(url+"/end/held", typing("volume", "22", "volume_unit", "gal", "tank", w.holding.ID, "at", hour("10:10"), "submission", "h1")...).location(t)
	assert.Equal(t, url+"/end", end)
	said := b.get(end).saysPlainly()
	for _, want := range []string{"Held as semi-syrup, 22.0 gal", "% solids estimated", "21 days in one published trial", "held as semi-syrup", "not accounted for"} {
		assert.Contains(t, said, want)
	}
	assert.Equal(t, url, b.post(url+"/end/held", typing("submission", "h1")...).location(t), "a double tap leads back")
	log := b.get(url).saysPlainly()
	assert.Contains(t, log, "held as semi-syrup 22.0 gal")
	assert.Contains(t, log, "into Holding tank")
	assert.NotContains(t, log, "finish reading not recorded")
	assert.NotContains(t, log, "Drawn off Sun")
	assert.Contains(t, b.get("/kettle").saysPlainly(), "held as semi-syrup after")

	start := b.get("/kettle/new").saysPlainly()
	assert.Contains(t, start, "Holding tank, semi-syrup")
	assert.Contains(t, start, "Held since Sun 7 Dec")
	next := b.post("/kettle/new", "kettle", w.kettle.ID, "take_"+w.holding.ID, "yes", "fire_lit_at", hour("10:20"), "submission", "n1").location(t)
	trail := b.get(next).saysPlainly()
	assert.Contains(t, trail, "run 25341K2, held as semi-syrup")
	balance := b.get(next + "/end").saysPlainly()
	assert.Contains(t, balance, "in: Holding tank")
	assert.Contains(t, balance, "The balance closes when the run has ended.")
	report, err := w.store.Verify(context.Background(), "")
	require.NoError(t, err)
	assert.Empty(t, report.Faults)
}

// TestMovedInTheBrowser: a part into another kettle, then all the rest; the second to end the run is told, with what was
// typed still there.
func TestMovedInTheBrowser(t *testing.T) {
	w := newWorks(t)
	second := &records.Kettle{SiteID: w.site, Number: 3, Name: "New kettle"}
	w.write(second)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	back := b.post(url+"/end/moved", typing("into", "light-"+second.ID, "part", "part", "volume", "10", "volume_unit", "gal", "at", hour("10:00"), "submission", "m1")...).location(t)
	assert.Equal(t, url, back)
	assert.Contains(t, b.get(url).saysPlainly(), "moved to run 25341K3 10.0 gal")
	runs, err := records.List[records.Run](context.Background(), w.store, "kettle_id = ?", second.ID)
	require.NoError(t, err)
	require.Len(t, runs, 1)
	other := "/kettle/run/" + runs[0].ID
	assert.Contains(t, b.get(other).saysPlainly(), "run 25341K2 in 10.0 gal")

	page := b.get(url + "/end")
	assert.Contains(t, page.saysPlainly(), "run 25341K3, boiling in New kettle")
	b.post(url+"/end/moved", "into", runs[0].ID, "part", "all", "at", hour("10:20"), "submission", "m2").location(t)
	ended := b.get(url + "/end").saysPlainly()
	assert.Contains(t, ended, "Moved to another kettle, amount not measured")
	assert.Contains(t, ended, "moved to run 25341K3")
	assert.NotContains(t, b.get(url).saysPlainly(), "finish reading not recorded", "what does not apply is not asked")

	b.post(other+"/end/given-up", "note", "scorched", "at", hour("10:30"), "submission", "m4").location(t)
	assert.Contains(t, b.get(url).saysPlainly(), "moved to run 25341K3 10.0 gal", "the log says where it went, not what became of it there")

	late := b.post(url+"/end/given-up", "note", "boiled over, all of it", "submission", "m3")
	assert.Equal(t, http.StatusUnprocessableEntity, late.StatusCode)
	assert.Contains(t, late.saysPlainly(), "has already written that this run")
	assert.Contains(t, late.body, "boiled over, all of it", "what was typed stays to be read")
}

// TestGivenUpInTheBrowser: nothing of it is offered to anybody, and what ran in counts as poured away.
func TestGivenUpInTheBrowser(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	b.post(url+"/end/given-up", "note", "Scorched while the pump was down", "at", hour("10:10"), "submission", "g1").location(t)
	said := b.get(url + "/end").saysPlainly()
	assert.Contains(t, said, "Given up, poured away, amount not measured")
	assert.Contains(t, said, "Scorched while the pump was down")
	assert.Contains(t, said, "poured away 1")
	assert.NotContains(t, b.get("/filler/new").body, run.ID)
	assert.NotContains(t, b.get("/mill/tank/"+w.holding.ID).body, run.ID)
	assert.NotContains(t, b.get("/kettle/new").body, `value="`+run.ID+`"`, "no heel of it")
}

// TestHeelSaidAndOffered: the drawing off asks whether a heel stays, and the next start has it filled in.
func TestHeelSaidAndOffered(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	b.post(url+"/reading", "reading", "36.1", "reading_unit", "Be", "stage", "finish", "temperature", "224", "temperature_unit", "F", "at", hour("10:15"), "instrument", w.spindle.ID, "submission", "d1").location(t)
	b.post(url+"/drawn-off", "volume", "14", "volume_unit", "gal", "heel", "0.5", "heel_unit", "gal", "at", hour("10:20"), "submission", "o1").location(t)
	assert.Contains(t, b.get(url).saysPlainly(), "heel left: 0.5 gal")
	assert.Contains(t, b.get(url+"/end").saysPlainly(), "heel left in the kettle")
	start := b.get("/kettle/new")
	assert.Contains(t, start.body, `value="`+run.ID+`" selected`)
	assert.Contains(t, start.body, `value="0.5"`)
	assert.Contains(t, start.saysPlainly(), "run 25341K2 in Old kettle, heel left: 0.5 gal")
	next := b.post("/kettle/new", "kettle", w.kettle.ID, "heel_from", run.ID, "heel_volume", "0.5", "heel_volume_unit", "gal", "fire_lit_at", hour("10:25"), "submission", "n1").location(t)
	assert.Contains(t, b.get(next).saysPlainly(), "heel of 25341K2")
	assert.Contains(t, b.get(url).saysPlainly(), "heel for run 25341K2-2")
}
