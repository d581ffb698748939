package app

import (
	"context"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// cutTyped is a new cut as typed on a phone.
func cutTyped(planting string, more ...string) []string {
	return append([]string{"planting", planting, "cut_on", "2025-12-06", "harvester", "Marisol", "mass", "1850", "mass_unit", "lb"}, more...)
}

func TestCreateAmendStrike(t *testing.T) {
	h := newHouse(t)
	_, planting := h.planted()
	b := h.as("odell")

	at := b.post("/field/cut", cutTyped(planting.ID, "submission", "s1")...).location(t)
	page := b.get(at)
	require.Equal(t, http.StatusOK, page.StatusCode)
	for _, word := range []string{"1850.0\u00a0lb", "Creek side", "Sat 6 Dec 2025", "Odell Reyes", "Kept."} {
		assert.Contains(t, page.body, word)
	}
	assert.Contains(t, page.body, `<strong aria-current="page">cut Sat 6 Dec 2025</strong>`, "trail line, this record bold")
	assert.NotContains(t, b.get(at).body, "Kept.", "said once")

	t.Run("double tap leads to the record made", func(t *testing.T) {
		assert.Equal(t, at, b.post("/field/cut", cutTyped(planting.ID, "submission", "s1")...).location(t))
	})
	t.Run("amending needs a reason", func(t *testing.T) {
		again := b.post(at+"/amend", cutTyped(planting.ID, "revision", "1", "mass", "1580")...)
		assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode)
		assert.Contains(t, again.body, `value="1580"`, "what was typed stays")
	})
	t.Run("amended, the old value stays readable", func(t *testing.T) {
		b.post(at+"/amend", cutTyped(planting.ID, "revision", "1", "mass", "1580", "why", "tare was not taken off")...).location(t)
		page := b.get(at)
		assert.Contains(t, page.body, "<del>1850.0\u00a0lb</del>")
		assert.Contains(t, page.body, "<ins>1580.0\u00a0lb</ins>")
		assert.Contains(t, page.body, "<q>tare was not taken off</q>")
	})
	t.Run("an older revision is a conflict, nothing is kept", func(t *testing.T) {
		again := b.post(at+"/amend", cutTyped(planting.ID, "revision", "1", "mass", "9", "why", "late")...)
		assert.Equal(t, http.StatusConflict, again.StatusCode)
		cut, err := records.Get[records.Cut](context.Background(), h.store, strings.TrimPrefix(at, "/record/"))
		require.NoError(t, err)
		assert.Equal(t, "1580 lb", cut.MassEntered)
	})
	t.Run("a reader may not", func(t *testing.T) {
		assert.Equal(t, http.StatusForbidden, h.as("ines").post(at+"/strike", "why", "x").StatusCode)
		assert.NotContains(t, h.as("ines").get(at).body, at+"/amend")
	})
	t.Run("struck, it stays readable", func(t *testing.T) {
		b.post(at+"/strike", "why", "entered twice").location(t)
		page := b.get(at)
		assert.Contains(t, page.words(), "struck")
		assert.NotContains(t, page.body, at+"/amend")
		assert.Equal(t, http.StatusConflict, b.get(at+"/amend").StatusCode)
	})
}

// TestWrongFieldsAllAtOnce: every wrong field is named, what was typed stays, nothing is written.
func TestWrongFieldsAllAtOnce(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	page := b.post("/field/cut", "planting", "nobody", "cut_on", "2025-02-30", "mass", "1,850", "mass_unit", "lb", "harvester", "")
	require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	for _, field := range []string{"planting", "cut_on", "mass", "harvester"} {
		assert.Contains(t, page.body, `id="cut-`+field+`-error"`, field)
		assert.Contains(t, page.body, `href="#cut-`+field+`"`, field)
	}
	assert.Contains(t, page.body, `value="1,850"`)
	cuts, err := records.List[records.Cut](context.Background(), h.store, "")
	require.NoError(t, err)
	assert.Empty(t, cuts)
}

// TestStoreRefusalsAtTheirFields: a rule of the store shows at the field it is about.
func TestStoreRefusalsAtTheirFields(t *testing.T) {
	h := newHouse(t)
	_, planting := h.planted()
	page := h.as("odell").post("/field/cut", "planting", planting.ID, "cut_on", "2025-12-06", "harvester", "Marisol")
	require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `id="cut-mass-error"`)
}

func TestPersonIsSeenByOwnersAndOneself(t *testing.T) {
	h := newHouse(t)
	path := "/record/" + h.people["marisol"]
	assert.Equal(t, http.StatusOK, h.as("odell").get(path).StatusCode)
	assert.Equal(t, http.StatusOK, h.as("marisol").get(path).StatusCode)
	assert.Equal(t, http.StatusForbidden, h.as("ines").get(path).StatusCode)
}

// TestSharedPhone: an entry carries the person tapped beside the one signed in.
func TestSharedPhone(t *testing.T) {
	h := newHouse(t)
	_, planting := h.planted()
	b := h.as("odell")
	at := b.post("/field/cut", cutTyped(planting.ID, "done_by", h.people["marisol"])...).location(t)
	assert.Contains(t, b.get(at).words(), "Marisol Vega, on the phone of Odell Reyes")
	at = b.post("/field/cut", cutTyped(planting.ID, "done_by", planting.ID)...).location(t)
	assert.NotContains(t, b.get(at).words(), "on the phone of", "a block is nobody")
}

func TestFind(t *testing.T) {
	h := newHouse(t)
	h.planted()
	b := h.as("odell")
	assert.Contains(t, b.get("/find?q=CREEK").body, "Creek side")
	assert.Contains(t, b.get("/find?q=%25").words(), "Nothing found", "a wildcard is only a character")
	assert.Contains(t, b.get("/find?q=").words(), "Type a lot code")
	assert.Contains(t, b.get("/find?q=25341K2B1-P").words(), "Nothing found", "no lot at all yet")
	assert.Equal(t, http.StatusUnprocessableEntity, b.get("/find?q="+strings.Repeat("a", 201)).StatusCode)
}

func TestPlainListPages(t *testing.T) {
	h := newHouse(t)
	h.planted()
	facts := make([]records.Fact, rowsPerPage+1)
	for i := range facts {
		facts[i] = &records.Block{SiteID: h.site, Name: "Row " + strings.Repeat("x", i%7+1)}
	}
	h.write(facts...)
	b := h.as("odell")
	first := b.get("/field/block")
	assert.Len(t, regexp.MustCompile(`<tr><td`).FindAllString(first.body, -1), rowsPerPage)
	assert.Contains(t, first.body, `rel="next" href="/field/block?from=100"`)
	assert.Contains(t, b.get("/field/block?from=100").body, `rel="prev"`)
}

// A refused strike shows why: the fold it was written in stays open.
func TestRefusedStrikeStaysOpen(t *testing.T) {
	h := newHouse(t)
	block, _ := h.planted()
	at := "/record/" + block.ID
	b := h.as("odell")
	assert.Contains(t, b.get(at).body, `<details class="strike">`)
	page := b.post(at+"/strike", "why", "")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.body, `<details class="strike" open>`)
}

// What is never struck does not offer it.
func TestHouseIsNotOfferedForStriking(t *testing.T) {
	h := newHouse(t)
	house, err := h.store.House(context.Background())
	require.NoError(t, err)
	page := h.as("odell").get("/record/" + house.ID)
	assert.Contains(t, page.body, "/record/"+house.ID+"/amend")
	assert.NotContains(t, page.body, `class="strike"`)
}

// A cut inside the spray's interval says so on its own page, before anything is pressed.
func TestCutPageTellsOfTheSpray(t *testing.T) {
	h := newHouse(t)
	block, planting := h.planted()
	yes := true
	h.write(&records.Application{BlockID: block.ID, AppliedOn: "2025-11-25", Product: "Borer spray", Amount: "1 pt", Applicator: "T. Reed", PreHarvestDays: 21, ForSugarcane: &yes})
	mass := syrup.Kilograms(500)
	cut := &records.Cut{PlantingID: planting.ID, CutOn: "2025-12-06", Harvester: "T. Reed", Mass: &mass}
	h.write(cut)
	page := h.as("odell").get("/record/" + cut.ID).words()
	assert.Contains(t, page, "Borer spray")
	assert.Contains(t, page, "hold")
}
