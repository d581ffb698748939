package app

import (
	"context"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// weighed gives the pint of the tests the weight of the empty bottle.
func (h *boiledRun) weighed(t testing.TB) {
	t.Helper()
	now, err := records.Get[records.Container](context.Background(), h.store, h.container.ID)
	require.NoError(t, err)
	now.Tare, now.TareEntered = pointer(syrup.Grams(300)), "300 g"
	require.NoError(t, h.store.Amend(context.Background(), records.Actor{PersonID: h.people["odell"]}, &now, "weighed"))
}

// check posts one fill check; number 0 is not said.
func (h *boiledRun) check(t testing.TB, b *browser, lot records.Lot, at, bottle string, number int, more ...string) answer {
	t.Helper()
	pairs := append([]string{"bottle", bottle, "bottle_unit", "F", "instrument", h.probe.ID, "closure_ok", "yes", "inverted_seconds", "60", "at", "2025-12-07T" + at}, more...)
	if number > 0 {
		pairs = append(pairs, "bottle_number", strconv.Itoa(number))
	}
	return b.post("/filler/"+lot.ID+"/check", pairs...)
}

func (h *boiledRun) parts(t testing.TB, lot records.Lot) []records.PartShelf {
	t.Helper()
	list, err := records.List[records.Part](context.Background(), h.store, "lot_id = ? ORDER BY number", lot.ID)
	require.NoError(t, err)
	shelves, err := records.Shelves(context.Background(), h.store, list)
	require.NoError(t, err)
	return shelves
}

// A bottling with a cool bottle in the middle: its bottles become a part that is held, the others are released and shipped.
func TestSessionDividesTheLot(t *testing.T) {
	h := newBoiledRun(t, thick)
	h.weighed(t)
	b := h.as("odell")
	lot := h.start(t, b)
	h.check(t, b, lot, "09:45", "190", 12, "gross", "960", "gross_unit", "g", "scale", h.scale.ID).location(t)
	page := b.get("/filler/" + lot.ID)
	assert.Contains(t, page.read(), "Full bottle on the scale 33.9 oz", "what the scale showed, in this person's ounces")
	assert.Contains(t, page.read(), "Net weight 23.3 oz", "less 300 g for the bottle")
	assert.NotRegexp(t, `name="bottle_number"[^>]*value="1`, page.body, "a count is never offered again")
	h.check(t, b, lot, "10:05", "171", 40).location(t)
	h.check(t, b, lot, "10:15", "189", 60).location(t)
	b.post("/filler/"+lot.ID+"/end", "count", "110", "at", "2025-12-07T10:20").location(t)

	page = b.get("/lot/" + lot.ID)
	for _, words := range []string{"bottles 1 to 12", "bottles 13 to 59", "bottles 60 to 110", "divided from part 1", "Bottles from 13 to 59 are on hold."} {
		assert.Contains(t, page.read(), words)
	}
	parts := h.parts(t, lot)
	require.Len(t, parts, 3)
	asks := regexp.MustCompile(`/part/([0-9A-Z]+)/answer`).FindAllStringSubmatch(page.body, -1)
	require.Len(t, asks, 1, "only the part in doubt asks for an answer")
	assert.Equal(t, parts[1].ID, asks[0][1])

	for i, status := range []int{http.StatusSeeOther, http.StatusUnprocessableEntity, http.StatusSeeOther} {
		signed := b.post("/part/"+parts[i].ID+"/release", "reason", "looked at", "signer", h.people["odell"], "secret", testPassword)
		assert.Equal(t, status, signed.StatusCode, i)
	}
	shelf := b.get("/shelf").read()
	assert.Contains(t, shelf, "25341K2B1-P, part 2, bottles 13 to 59")
	ship := b.get("/shelf/shipment/new").body
	assert.Contains(t, ship, "units_"+parts[0].ID)
	assert.NotContains(t, ship, "units_"+parts[1].ID, "what is held is not offered")

	trace := b.get("/trace/" + lot.ID)
	assert.Equal(t, http.StatusOK, trace.StatusCode)
	assert.NotContains(t, trace.read(), "unaccounted")
	es := h.as("marisol").get("/lot/" + lot.ID).read()
	assert.Contains(t, es, "botellas 13 a 59")
	assert.Contains(t, es, "Botellas desde 13 hasta 59: retenidas.")
}

// Where the checks have no numbers the whole lot stays held, and the page asks for the counts.
func TestSessionAsksForCounts(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	h.check(t, b, lot, "09:45", "190", 0, "net_weight", "670", "net_weight_unit", "g", "scale", h.scale.ID).location(t)
	h.check(t, b, lot, "10:05", "171", 0).location(t)
	h.check(t, b, lot, "10:15", "189", 0).location(t)
	b.post("/filler/"+lot.ID+"/end", "count", "110", "at", "2025-12-07T10:20").location(t)
	require.Len(t, h.parts(t, lot), 1)
	page := b.get("/lot/" + lot.ID)
	assert.Contains(t, page.read(), "Set apart the bottles in doubt")
	fields := regexp.MustCompile(`name="(number_[0-9A-Z]+)"`).FindAllStringSubmatch(page.body, -1)
	require.Len(t, fields, 2)
	first, second := fields[0][1], fields[1][1]
	divide := "/filler/" + lot.ID + "/divide"
	for name, test := range map[string]struct {
		pairs []string
		field string
	}{
		"blank":      {[]string{first, "12"}, second},
		"backwards":  {[]string{first, "60", second, "12"}, second},
		"over":       {[]string{first, "12", second, "111"}, second},
		"a fraction": {[]string{first, "1.5", second, "60"}, first},
	} {
		t.Run(name, func(t *testing.T) {
			page := b.post(divide, test.pairs...)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, `id="divide_checks-`+test.field+`-error"`)
			assert.NotContains(t, page.body, "⟦")
		})
	}
	require.Len(t, h.parts(t, lot), 1, "nothing half-done remains")
	assert.Equal(t, "/lot/"+lot.ID, b.post(divide, first, "12", second, "60").location(t))
	require.Len(t, h.parts(t, lot), 3)
	assert.NotContains(t, b.get("/lot/"+lot.ID).read(), "Set apart the bottles in doubt")
	assert.Equal(t, http.StatusConflict, b.post(divide).StatusCode, "there is nothing left to divide")
	assert.Equal(t, http.StatusForbidden, h.as("ines").post(divide).StatusCode)
}

// What is wrong about a weight or a count is said at its field, and what was typed stays.
func TestSessionBadInput(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	noTare := h.check(t, b, lot, "09:45", "190", 12, "gross", "960", "gross_unit", "g")
	h.weighed(t)
	h.check(t, b, lot, "09:50", "190", 30).location(t)
	at := "/filler/" + lot.ID
	tests := map[string]struct {
		page        answer
		field, said string
		kept        string
	}{
		"no tare":                     {noTare, "fill_check-gross", "not recorded for Pint glass", `value="960"`},
		"a negative weight":           {h.check(t, b, lot, "10:00", "190", 0, "net_weight", "-5", "net_weight_unit", "g"), "fill_check-net_weight", "This cannot be below zero.", `value="-5"`},
		"lighter than the bottle":     {h.check(t, b, lot, "10:00", "190", 0, "gross", "280", "gross_unit", "g"), "fill_check-gross", "weighs 300.0 g, more than this", `value="280"`},
		"grams typed as ounces":       {h.check(t, b, lot, "10:00", "190", 0, "gross", "960", "gross_unit", "oz"), "fill_check-gross", "grams or ounces", `value="960"`},
		"ounces typed as grams":       {h.check(t, b, lot, "10:00", "190", 0, "gross", "33.8", "gross_unit", "g"), "fill_check-gross", "Check the number and its unit", `value="33.8"`},
		"both weights":                {h.check(t, b, lot, "10:00", "190", 0, "gross", "960", "gross_unit", "g", "net_weight", "660", "net_weight_unit", "g"), "fill_check-net_weight", "not both", `value="660"`},
		"fewer bottles than before":   {h.check(t, b, lot, "10:00", "190", 20), "fill_check-bottle_number", "says 30 bottles", `value="20"`},
		"half a bottle":               {h.check(t, b, lot, "10:00", "190", 0, "bottle_number", "20.5"), "fill_check-bottle_number", "", `value="20.5"`},
		"no bottle broken":            {b.post(at+"/broken", "count", "0"), "fill_broken-count", "", `value="0"`},
		"broken, not said how many":   {b.post(at+"/broken", "note", "fell"), "fill_broken-count", "", `value="fell"`},
		"a stop before the start":     {b.post(at+"/stop", "at", "2025-12-07T09:00"), "fill_stop-at", "The filling began", `value="2025-12-07T09:00"`},
		"going on without a stop":     {b.post(at+"/restart", "at", "2025-12-07T10:00"), "fill_restart-at", "does not stand still", `value="2025-12-07T10:00"`},
		"an empty note":               {b.post(at+"/note", "at", "2025-12-07T10:00"), "fill_note-note", "", ""},
		"fewer than were looked at":   {b.post(at+"/end", "count", "29", "at", "2025-12-07T10:20"), "fill_end-count", "30 bottles were capped", `value="29"`},
		"more bottles than the syrup": {b.post(at+"/end", "count", "200", "at", "2025-12-07T10:20"), "fill_end-count", "drawn for them fill about 118. That is more than a fifth too much", `value="200"`},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, http.StatusUnprocessableEntity, test.page.StatusCode)
			assert.Contains(t, test.page.body, `id="`+test.field+`-error"`)
			assert.Contains(t, test.page.read(), test.said)
			assert.Contains(t, test.page.body, test.kept)
			assert.NotContains(t, test.page.body, "⟦")
		})
	}
	checks, err := records.List[records.FillCheck](context.Background(), h.store, "")
	require.NoError(t, err)
	assert.Len(t, checks, 1)
	for _, path := range []string{"/broken", "/stop", "/restart", "/note"} {
		assert.Equal(t, http.StatusForbidden, h.as("ines").post(at+path, "count", "1", "note", "x").StatusCode, path)
	}
}

var secondsLeft = regexp.MustCompile(`id="clock" data-seconds="(-?\d+)"`)

// The clock asks for the next check by the house's interval, and for one at once after a stop.
func TestSessionClock(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	left := func() int {
		t.Helper()
		found := secondsLeft.FindStringSubmatch(b.get("/filler/" + lot.ID).body)
		require.NotNil(t, found)
		n, err := strconv.Atoi(found[1])
		require.NoError(t, err)
		return n
	}
	begun := int(testNow.Sub(morning(9, 40)).Seconds())
	assert.Equal(t, 3600-begun, left(), "an hour after the first bottle")
	h.check(t, b, lot, "09:50", "190", 12).location(t)
	assert.Equal(t, 3600-begun+600, left())
	h.write(&records.HouseLimit{Code: "fill.interval", Value: 15, Unit: "minutes", Source: "our own", SetOn: "2025-10-01"})
	assert.Equal(t, 900-begun+600, left(), "the house's own interval")
	page := b.get("/filler/" + lot.ID).read()
	assert.Contains(t, page, "15 minutes after the check at")
	assert.Contains(t, page, "late by")
	assert.Contains(t, b.get("/filler").read(), "Check a bottle now: late by")

	b.post("/filler/"+lot.ID+"/stop", "note", "the pan ran dry", "bottle_number", "30").location(t)
	stopped := b.get("/filler/" + lot.ID)
	assert.Contains(t, stopped.read(), "Stopped at")
	assert.Contains(t, stopped.read(), "No check is asked for until it goes on.")
	assert.Contains(t, stopped.read(), "the pan ran dry")
	assert.NotContains(t, stopped.body, "data-seconds")
	assert.Contains(t, stopped.body, `action="/filler/`+lot.ID+`/restart"`)
	again := b.post("/filler/"+lot.ID+"/stop", "note", "twice")
	assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode)
	assert.Contains(t, again.body, `id="fill_stop-at-error"`)
	b.post("/filler/" + lot.ID + "/restart").location(t)
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "Check the first bottle after the stop")
	h.check(t, b, lot, "", "190", 40, "at", "").location(t)
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "Next check at")
	b.post("/filler/"+lot.ID+"/end", "count", "100").location(t)
	assert.NotContains(t, b.get("/filler/"+lot.ID).body, `id="clock"`)
	late := b.post("/filler/"+lot.ID+"/stop", "note", "too late", "at", "2025-12-07T10:32")
	assert.Equal(t, http.StatusUnprocessableEntity, late.StatusCode)
	assert.Contains(t, late.body, `id="fill_stop-at-error"`, "what was typed comes back after the end too")
	assert.Contains(t, late.body, `value="too late"`)
}

// What to fill to, with and without the weight of the empty bottle; the bottles add up.
func TestSessionTargetsAndBottles(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	page := b.get("/filler/" + lot.ID)
	assert.Contains(t, page.read(), "Set the scale to zero with an empty bottle on it")
	assert.Contains(t, page.body, "/record/"+h.container.ID+"/amend")
	assert.NotContains(t, page.read(), "Full bottle on the scale, aim at")
	assert.Contains(t, page.read(), "100.0 %", "what is in it")
	assert.Contains(t, page.read(), "Lug cap C-12")
	h.weighed(t)
	page = b.get("/filler/" + lot.ID)
	aim := regexp.MustCompile(`Full bottle on the scale, aim at (\d+\.\d) g .*? least (\d+\.\d) g`).FindStringSubmatch(page.read())
	require.NotNil(t, aim, page.read())
	target, _ := strconv.ParseFloat(aim[1], 64)
	least, _ := strconv.ParseFloat(aim[2], 64)
	assert.InDelta(t, (least-300)*1.005, target-300, 0.11, "half a percent over the least, by the reference headroom")
	assert.Contains(t, page.read(), "OIML R 87")

	b.post("/filler/"+lot.ID+"/broken", "count", "2", "note", "dropped").location(t)
	h.check(t, b, lot, "09:50", "190", 30).location(t)
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "Capped so far, by the last check 30 Broken at the filler 2 Taken of Pint round G-88 32")
	b.post("/filler/"+lot.ID+"/end", "count", "100", "at", "2025-12-07T10:20").location(t)
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "Filled 100 Broken at the filler 2 Taken of Pint round G-88 102 Left of Pint round G-88 398")
}

// An amended check keeps the weight of the empty bottle it was weighed with.
func TestSessionAmendsAWeight(t *testing.T) {
	h := newBoiledRun(t, thick)
	h.weighed(t)
	b := h.as("odell")
	lot := h.start(t, b)
	h.check(t, b, lot, "09:45", "190", 12, "gross", "960", "gross_unit", "g").location(t)
	checks, err := records.List[records.FillCheck](context.Background(), h.store, "")
	require.NoError(t, err)
	path := "/record/" + checks[0].ID + "/amend"
	form := b.get(path)
	assert.Regexp(t, `name="gross"[^>]*value="960"`, form.body)
	assert.Regexp(t, `name="net_weight"[^>]*value=""`, form.body, "the net weight was worked out, not typed")
	b.post(path, "bottle", "190", "bottle_unit", "F", "gross", "966", "gross_unit", "g", "tare", "300", "tare_unit", "g", "at", "2025-12-07T09:45", "revision", "1", "why", "misread").location(t)
	now, err := records.Get[records.FillCheck](context.Background(), h.store, checks[0].ID)
	require.NoError(t, err)
	assert.Equal(t, syrup.Grams(666), *now.NetWeight)
}

// Three cases are held out of a released part on the shelf; what left stays with the rest.
func TestShelfDivides(t *testing.T) {
	h := newBoiledRun(t, thick)
	h.weighed(t)
	b := h.as("odell")
	container, err := records.Get[records.Container](context.Background(), h.store, h.container.ID)
	require.NoError(t, err)
	container.UnitsPerCase = pointer(12)
	require.NoError(t, h.store.Amend(context.Background(), records.Actor{PersonID: h.people["odell"]}, &container, "cases of 12"))
	lot := h.filled(t, b)
	part := h.parts(t, lot)[0]
	b.post("/part/"+part.ID+"/release", "reason", "looked at", "signer", h.people["odell"], "secret", testPassword).location(t)
	shop := &records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Marsh Hen Market", Address: "3 Levee Street", Telephone: "229 555 0122"}}
	h.write(shop)
	who := records.Actor{PersonID: h.people["odell"]}
	require.NoError(t, h.store.Ship(context.Background(), who, &records.Shipment{CustomerID: shop.ID, At: morning(10, 25), HowPacked: "cases"}, []records.Units{{PartID: part.ID, Count: 24}}))

	path := "/shelf/part/" + part.ID + "/divide"
	page := b.get("/shelf/part/" + part.ID)
	assert.Contains(t, page.read(), "Set some bottles apart")
	assert.Contains(t, page.body, `name="of" value="112"`)
	for name, test := range map[string]struct {
		pairs []string
		field string
	}{
		"nothing":               {[]string{"then", "keep"}, "part_divide-bottles"},
		"no reason":             {[]string{"cases", "3", "then", "hold"}, "part_divide-reason"},
		"not said what then":    {[]string{"cases", "3"}, "part_divide-then"},
		"more than there are":   {[]string{"bottles", "89", "then", "keep"}, "part_divide-bottles"},
		"more cases than there": {[]string{"cases", "8", "then", "keep"}, "part_divide-cases"},
		"count and numbers":     {[]string{"bottles", "3", "first", "1", "last", "3", "then", "keep"}, "part_divide-first"},
		"one number":            {[]string{"first", "1", "then", "keep"}, "part_divide-last"},
		"numbers beyond":        {[]string{"first", "100", "last", "113", "gone", "below", "then", "keep"}, "part_divide-last"},
		"numbers backwards":     {[]string{"first", "100", "last", "90", "gone", "below", "then", "keep"}, "part_divide-last"},
		"which ones left":       {[]string{"first", "1", "last", "36", "then", "keep"}, "part_divide-gone"},
		"none below":            {[]string{"first", "1", "last", "36", "gone", "below", "then", "keep"}, "part_divide-gone"},
	} {
		t.Run(name, func(t *testing.T) {
			page := b.post(path, append(test.pairs, "of", "112")...)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, `id="`+test.field+`-error"`)
			assert.Regexp(t, `id="divide" open`, page.body, "the form that is wrong stays open")
			assert.NotContains(t, page.body, "⟦")
		})
	}
	t.Run("too few for what left", func(t *testing.T) {
		page := b.post(path, "of", "112", "first", "21", "last", "112", "gone", "below", "then", "keep")
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.read(), "24 bottles of this part have left the shelf")
	})
	require.Len(t, h.parts(t, lot), 1)

	assert.Equal(t, "/lot/"+lot.ID, b.post(path, "of", "112", "cases", "3", "then", "hold", "reason", "lids to look at").location(t))
	parts := h.parts(t, lot)
	require.Len(t, parts, 2)
	assert.Equal(t, []any{76, 52, records.StateReleased}, []any{parts[0].Filled, parts[0].OnHand, parts[0].State})
	assert.Equal(t, []any{36, 36, records.StateHeld}, []any{parts[1].Filled, parts[1].OnHand, parts[1].State})
	stale := b.post(path, "of", "112", "cases", "1", "then", "hold", "reason", "as well")
	assert.Equal(t, http.StatusUnprocessableEntity, stale.StatusCode)
	assert.Contains(t, stale.read(), "Somebody may have divided it meanwhile")
	assert.NotContains(t, stale.body, `name="first"`, "the bottles are not known by number any more")
	assert.Contains(t, b.get("/shelf/part/"+parts[1].ID).read(), "some of bottles 1 to 112")
	assert.True(t, strings.Contains(b.get("/trace/"+lot.ID).read(), "112"), "filled is counted once")
}
