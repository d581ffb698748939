package app

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// netHouse is a house with a filled lot of 112 pints.
type netHouse struct {
	*boiledRun
	lot  records.Lot
	b    *browser
	seed string
	full float64 // net weight of a bottle that holds its label, g
}

func newNetHouse(t *testing.T) *netHouse {
	h := &netHouse{boiledRun: newBoiledRun(t, thick)}
	h.b = h.as("odell")
	h.lot = h.filled(t, h.b)
	to := h.b.get("/lot/" + h.lot.ID + "/net?scheme=hb133").location(t)
	at, err := url.Parse(to)
	require.NoError(t, err)
	h.seed = at.Query().Get("seed")
	require.Len(t, h.seed, 32, "a seed of its own, kept in the address")
	facts, _, err := records.LotFacts(context.Background(), h.store, h.lot.ID)
	require.NoError(t, err)
	full, err := syrup.NetWeight(*facts.Fill.Contents, hazards.LotSolids(facts).Percent)
	require.NoError(t, err)
	h.full = float64(full)
	return h
}

// weighed is a form of syrup weighed alone, each bottle so many g off.
func (h *netHouse) weighed(off float64, change ...string) []string {
	pairs := []string{"scheme", "hb133", "seed", h.seed, "lot_size", "112", "weighed", "net", "unit", "g", "at", "2025-12-07T10:22"}
	for i := range 12 {
		pairs = append(pairs, "weight_"+strconv.Itoa(i+1), fmt.Sprintf("%.1f", h.full+off+0.3*float64(i%3)))
	}
	for k := 0; k+1 < len(change); k += 2 {
		done := false
		for i := 0; i < len(pairs); i += 2 {
			if pairs[i] == change[k] {
				pairs[i+1], done = change[k+1], true
			}
		}
		if !done {
			pairs = append(pairs, change[k], change[k+1])
		}
	}
	return pairs
}

func (h *netHouse) url() string { return "/lot/" + h.lot.ID + "/net" }

func TestNetCheck(t *testing.T) {
	h := newNetHouse(t)
	page := h.b.get(h.url() + "?scheme=hb133&seed=" + h.seed)
	require.Equal(t, http.StatusOK, page.StatusCode)
	picked := hazards.PickPackages(h.seed, 112, 12)
	for _, n := range picked {
		assert.Contains(t, page.body, fmt.Sprintf(">%d</strong>", n))
		assert.Contains(t, page.read(), "Bottle "+strconv.Itoa(n))
	}
	assert.Contains(t, page.read(), "US MAV not entered")
	assert.Contains(t, page.read(), "Bench scale no check recorded")

	gone := h.b.get(h.url() + "?scheme=hb133&seed=" + h.seed + "&gone=" + strconv.Itoa(picked[0]))
	assert.NotContains(t, gone.body, fmt.Sprintf(`<strong class="figure">%d</strong>`, picked[0]))
	assert.Contains(t, gone.body, fmt.Sprintf(`<strong class="figure">%d</strong>`, hazards.PickPackages(h.seed, 112, 13)[12]), "the next one drawn stands in")

	assert.Equal(t, h.url(), h.b.post(h.url(), h.weighed(0.5)...).location(t))
	page = h.b.get(h.url())
	assert.Contains(t, page.read(), "Result: passes.")
	assert.Contains(t, page.read(), "Sampling error limit: 0.635 ×")
	es := h.as("odell")
	es.post("/setting", "language", "es", "to", "/")
	assert.Contains(t, es.get(h.url()).read(), "Resultado: pasa.")
	assert.NotContains(t, es.get(h.url()+"?scheme=hb133&seed="+h.seed).body, "⟦")

	h.b.post(h.url(), h.weighed(-9, "at", "2025-12-07T10:25")...).location(t)
	assert.Contains(t, h.b.get("/lot/"+h.lot.ID).read(), "There is no tolerance on the average of a lot")
	h.b.post(h.url(), h.weighed(0.5, "at", "2025-12-07T10:28")...).location(t)
	assert.NotContains(t, h.b.get("/lot/"+h.lot.ID).read(), "There is no tolerance on the average of a lot", "the later check governs")
	assert.Contains(t, h.b.get(h.url()).read(), "does not pass", "the earlier one stays shown")
}

func TestNetCheckGross(t *testing.T) {
	h := newNetHouse(t)
	gross := func(change ...string) answer {
		pairs := []string{"weighed", "gross", "tares", "250 251"}
		for i := range 12 {
			pairs = append(pairs, "weight_"+strconv.Itoa(i+1), fmt.Sprintf("%.1f", h.full+250.5+1))
		}
		return h.b.post(h.url(), h.weighed(0, append(pairs, change...)...)...)
	}
	gross().location(t)
	kept, err := records.List[records.NetSample](context.Background(), h.store, "")
	require.NoError(t, err)
	require.Len(t, kept, 1)
	assert.Equal(t, syrup.Grams(250.5), *kept[0].Tare, "the mean of the empty ones")
	assert.Equal(t, "250 251 g", kept[0].TareEntered)
	for name, c := range map[string]struct {
		field, said string
		page        answer
	}{
		"one empty bottle":  {"tares", "at least 2 empty bottles; 1", gross("tares", "250")},
		"no empty bottle":   {"tares", "What an empty bottle weighs is not known", gross("tares", "")},
		"tare heavier":      {"weight_3", "is not heavier than", gross("weight_3", "249")},
		"tares of the net":  {"tares", "no empty bottle to take off", gross("weighed", "net")},
		"a comma in a tare": {"tares", "decimal comma", gross("tares", "250,5 251,0")},
	} {
		assert.Equal(t, http.StatusUnprocessableEntity, c.page.StatusCode, name)
		assert.Contains(t, c.page.body, `id="net_sample-`+c.field+`-error"`, name)
		assert.Contains(t, c.page.read(), c.said, name)
	}
}

func TestNetCheckBadInput(t *testing.T) {
	h := newNetHouse(t)
	blank := []string{}
	for i := range 12 {
		blank = append(blank, "weight_"+strconv.Itoa(i+1), "")
	}
	pasted := func(typed string) []string { return slices.Concat(blank, []string{"weights", typed}) }
	ok := strings.Repeat(fmt.Sprintf("%.1f\n", h.full+1), 12)
	for name, c := range map[string]struct {
		field, said, kept string
		change            []string
	}{
		"a negative weight":          {"weight_2", "is not more than nothing", `value="-5"`, []string{"weight_2", "-5"}},
		"a decimal comma":            {"weight_2", "after a point", `value="651,2"`, []string{"weight_2", "651,2"}},
		"a blank":                    {"weight_2", "No weight.", "", []string{"weight_2", ""}},
		"ounces for grams":           {"weight_1", "Another unit, a slip", `value="23.1"`, []string{"weight_1", "23.1"}},
		"nothing at all":             {"weights", "asks for 12 weights; 0", "", blank},
		"fewer pasted than the plan": {"weights", "asks for 12 weights; 11", "", pasted(strings.Repeat("655 ", 11))},
		"pasted with decimal commas": {"weights", "is that a decimal comma", "651,2", pasted(strings.Repeat("651,2 ", 12))},
		"both":                       {"weights", "Leave one of them blank", "", []string{"weights", ok}},
		"no unit":                    {"unit", "", "", []string{"unit", ""}},
		"not said what was weighed":  {"weighed", "", "", []string{"weighed", ""}},
	} {
		t.Run(name, func(t *testing.T) {
			page := h.b.post(h.url(), h.weighed(0.5, c.change...)...)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, `id="net_sample-`+c.field+`-error"`)
			assert.Contains(t, page.read(), c.said)
			assert.Contains(t, page.body, c.kept)
			assert.NotContains(t, page.body, "⟦")
		})
	}
	grown := h.b.post(h.url(), h.weighed(0.5, "lot_size", "100")...)
	assert.Equal(t, http.StatusUnprocessableEntity, grown.StatusCode)
	assert.Contains(t, grown.read(), "counted as 112 bottles now, not 100")
	kept, err := records.List[records.NetSample](context.Background(), h.store, "")
	require.NoError(t, err)
	assert.Empty(t, kept, "nothing half-written remains")
	h.b.post(h.url(), h.weighed(0.5, pasted(ok)...)...).location(t)
}

func TestNetTables(t *testing.T) {
	h := newNetHouse(t)
	assert.Contains(t, h.b.get("/house/net-table").read(), "US MAV not entered")
	assert.Contains(t, h.b.get("/house/net-table").read(), "from memory, not looked up")
	table := func(lines string) answer {
		return h.b.post("/house/net-table", "name", "mav_volume", "edition", "Handbook of the test, table 1", "source", "made up for the test", "as_of", "2025-12-01", "lines", lines)
	}
	for lines, said := range map[string]string{"0 400 10\n300 1000 15": "overlaps the line before, which goes up to 400", "0 400 10\n410 1000 15": "leaves a gap", "0 400": "write three numbers",
		"0 400 400": "less than the label", "400 0 5": "must be more than the first", "0 400 5,5": "without commas"} {
		page := table(lines)
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode, lines)
		assert.Contains(t, page.read(), said, lines)
	}
	table("0 400 10\n400 1000 15\n").location(t)
	assert.Contains(t, h.b.get("/house/net-table").read(), "In force: Handbook of the test, table 1")
	assert.Contains(t, h.b.get("/reckoner/tolerance?scheme=hb133&label=473&label_unit=mL").read(), "s table, Handbook of the test, table 1", "the reckoner uses it too")
	assert.Contains(t, h.b.get("/reckoner/tolerance?scheme=hb133&label=473&label_unit=mL&mav=12").read(), "Variation as you entered it", "what is typed goes first")
	page := h.b.get(h.url() + "?scheme=hb133&seed=" + h.seed)
	assert.Contains(t, page.read(), "s table, Handbook of the test, table 1")
}

func TestCoolingPages(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	assert.Contains(t, b.get("/house/cooling-test/new?container="+h.container.ID).body, `value="`+h.container.ID+`" selected`)
	post := func(unit, series string) answer {
		return b.post("/house/cooling-test", "container", h.container.ID, "at", "2025-12-07T09:00", "instrument", h.probe.ID, "unit", unit, "series", series,
			"air", "75", "air_unit", "F", "position", "inverted", "note", "probe in the neck")
	}
	for series, said := range map[string]string{"0 185\n5 180\n4 175": "is not later than the line before", "0 185\n5 180": "Fewer than three", "0 185\n1 120\n5 170": "changes so fast",
		"0 85\n5 82\n10 80": "is it the other unit?", "0 185,5\n5 180\n9 175": "decimal comma", "8:58 185\n9:05 180\n9:10 175": "before the capping"} {
		page := post("F", series)
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode, series)
		assert.Contains(t, page.read(), said, series)
		assert.Contains(t, page.body, strings.Split(series, "\n")[0], "what was typed stays")
	}
	to := post("F", "9:00 185\n9:05 180\n9:12:30 170\n9:20 160").location(t)
	id := strings.TrimPrefix(to, "/record/")
	test, err := records.Get[records.CoolingTest](context.Background(), h.store, id)
	require.NoError(t, err)
	assert.Equal(t, "0 185\n5 180\n12.5 170\n20 160\n", test.Series)
	page := b.get(b.get(to).location(t))
	assert.Contains(t, page.read(), "At or above 170.0 °F 12.5 min")
	assert.Contains(t, page.read(), "more than 5 minutes apart: the sum is coarse")
	assert.Contains(t, page.read(), "Information only.")
	assert.Contains(t, page.read(), "Not chosen as the test behind a house limit")
	assert.Contains(t, page.body, `<polyline class="cooling-line"`)

	amend := b.get("/record/" + h.container.ID + "/amend")
	assert.Contains(t, amend.body, `<option value="`+id+`"`)
	b.post("/record/"+h.container.ID+"/amend", "revision", "1", "name", "Pint glass", "contents", "473", "contents_unit", "mL", "fill_limit", "180", "fill_limit_unit", "F",
		"cooling_test", id, "why", "measured").location(t)
	assert.Contains(t, b.get("/cooling/"+id).read(), "Behind the house limit of Pint glass: 180.0 °F")
	lot := h.start(t, b)
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "behind it a cooling test of Sun 7 Dec 2025")
	assert.Contains(t, b.get("/record/"+h.container.ID).read(), "Cooling test behind the limit")
}
