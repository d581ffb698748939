package app

import (
	"context"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// boiledRun is a house with a run just drawn off and everything needed to bottle it.
type boiledRun struct {
	*testHouse
	run               records.Run
	product           records.Product
	container         records.Container
	bottles, closures records.SupplyLot
	probe, scale      records.Instrument
}

// read is the page as a person reads it: one space between words, whatever kind.
func (a answer) read() string { return strings.Join(strings.Fields(a.words()), " ") }

func pointer[T any](v T) *T { return &v }

// morning is a moment of the tests' day by the house's clock.
func morning(hour, minute int) time.Time {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	return time.Date(2025, 12, 7, hour, minute, 0, 0, zone).UTC()
}

// newBoiledRun boils a run to about 75 % solids; baume is its hot finish reading at 224 F.
func newBoiledRun(t testing.TB, baume float64) *boiledRun {
	t.Helper()
	return newBoiledRunAt(t, baume, func() time.Time { return testNow })
}

// newBoiledRunAt is newBoiledRun with a clock that the test moves.
func newBoiledRunAt(t testing.TB, baume float64, now func() time.Time) *boiledRun {
	t.Helper()
	ctx := context.Background()
	h := &boiledRun{testHouse: newHouseAt(t, now)}
	who := records.Actor{PersonID: h.people["odell"]}
	_, planting := h.planted()
	kettle := records.Kettle{SiteID: h.site, Number: 2, Name: "Old kettle"}
	spindle := records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F}
	h.probe = records.Instrument{Name: "Probe 1", Measures: records.MeasuresTemperature, ReadsIn: "F", Uncertainty: pointer(0.5)}
	h.scale = records.Instrument{Name: "Bench scale", Measures: records.MeasuresWeight}
	h.product = records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 18}
	h.container = records.Container{Name: "Pint glass", Contents: 473, ContentsEntered: "473 mL", FillLimit: pointer(syrup.Fahrenheit(180).Celsius()), FillLimitSource: "our cooling test"}
	maker := records.Supplier{Firm: "Tern Glass", Address: "1 Kiln Way, Tern, GA", Telephone: "229 555 0111"}
	h.write(&kettle, &spindle, &h.probe, &h.scale, &h.product, &h.container, &maker)
	h.bottles = records.SupplyLot{Sort: records.SupplyBottles, Description: "Pint round", SupplierID: maker.ID, TheirLot: "G-88", Quantity: pointer(500.0), HowPacked: "cases of 12", ReceivedOn: "2025-10-01"}
	h.closures = records.SupplyLot{Sort: records.SupplyClosures, Description: "Lug cap", SupplierID: maker.ID, TheirLot: "C-12", Quantity: pointer(500.0), HowPacked: "carton", ReceivedOn: "2025-10-01"}
	cut := records.Cut{PlantingID: planting.ID, CutOn: "2025-12-06", Harvester: "Marisol", Mass: pointer(syrup.Kilograms(900)), MassEntered: "900 kg"}
	h.write(&h.bottles, &h.closures, &cut)
	pressing := records.Pressing{SiteID: h.site, StartedAt: morning(5, 0), Volume: pointer(syrup.Liters(340)), Brix: pointer(syrup.Brix(17))}
	require.NoError(t, h.store.RecordPressing(ctx, who, &pressing, []records.Draw{{FromID: cut.ID}}))
	h.run = records.Run{KettleID: kettle.ID, FireLitAt: morning(6, 0)}
	require.NoError(t, h.store.StartRun(ctx, who, &h.run, []records.Draw{{FromID: pressing.ID}}))
	h.write(&records.DensityReading{OfID: h.run.ID, At: morning(9, 25), Stage: records.StageFinish, Reading: baume, Scale: syrup.ScaleBaume, ReadingEntered: "36.1 Be",
		Temperature: pointer(syrup.Fahrenheit(224).Celsius()), TemperatureEntered: "224 F", InstrumentID: &spindle.ID})
	drawn := records.BoilEntry{RunID: h.run.ID, At: morning(9, 30), Volume: pointer(syrup.Liters(58)), VolumeEntered: "58 L", Temperature: pointer(syrup.Celsius(104))}
	require.NoError(t, h.store.DrawOff(ctx, who, &drawn, ""))
	return h
}

// thick is a hot finish reading of about 76 % solids.
const thick = 36.1

// start starts a filling through the page and gives the lot.
func (h *boiledRun) start(t testing.TB, b *browser, more ...string) records.Lot {
	t.Helper()
	at := b.post("/filler/new", append([]string{"take_" + h.run.ID, "yes", "product", h.product.ID, "container", h.container.ID, "bottles_lot", h.bottles.ID,
		"closures_lot", h.closures.ID, "started_at", "2025-12-07T09:40", "submission", "start"}, more...)...).location(t)
	lot, err := records.Get[records.Lot](context.Background(), h.store, strings.TrimPrefix(at, "/filler/"))
	require.NoError(t, err)
	return lot
}

// filled fills a lot with two good checks, one of them weighed, and counts it.
func (h *boiledRun) filled(t testing.TB, b *browser) records.Lot {
	t.Helper()
	lot := h.start(t, b)
	for _, check := range [][]string{{"bottle", "192", "bottle_unit", "F", "at", "2025-12-07T09:45", "net_weight", "670", "net_weight_unit", "g", "scale", h.scale.ID, "submission", "k1"},
		{"bottle", "190", "bottle_unit", "F", "at", "2025-12-07T10:15", "submission", "k2"}} {
		b.post("/filler/"+lot.ID+"/check", append(check, "instrument", h.probe.ID, "closure_ok", "yes", "inverted_seconds", "60")...).location(t)
	}
	b.post("/filler/"+lot.ID+"/end", "count", "112", "at", "2025-12-07T10:20", "submission", "end").location(t)
	return lot
}

func TestFillerMainJob(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")

	front := b.get("/filler")
	assert.Contains(t, front.read(), "run 25341K2")
	assert.Contains(t, front.read(), "15.3 gal left")
	form := b.get("/filler/new")
	require.Equal(t, http.StatusOK, form.StatusCode)
	assert.Regexp(t, `name="take_`+h.run.ID+`" value="yes" checked`, form.body, "the only run with syrup is ticked")
	assert.Regexp(t, `<option value="`+h.bottles.ID+`" selected>Pint round, G-88 \(500 left\)`, form.body)
	assert.Regexp(t, `<option value="`+h.closures.ID+`" selected`, form.body)
	assert.Regexp(t, `name="started_at" type="datetime-local" value=""`, form.body, "blank is now: the page may have stood open")

	lot := h.start(t, b)
	assert.Equal(t, "25341K2B1P", lot.Code)
	page := b.get("/filler/" + lot.ID)
	assert.Contains(t, page.body, `<h1 class="lot-code huge">25341K2B1-P</h1>`)
	assert.Contains(t, page.read(), "The code of this lot is 25341K2B1-P")
	assert.Contains(t, page.read(), "Hot syrup sticks and keeps burning.")
	assert.Regexp(t, `65\d\.\d g \(2\d\.\d oz\)|6[56]\d\.\d g`, page.read(), "what a full bottle weighs")
	assert.Contains(t, page.read(), "so that 16.0 fl oz (473 mL) are there at 68 °F (20 °C)")
	assert.Contains(t, page.body, `<strong aria-current="page">lot 25341K2B1-P</strong>`)
	assert.Contains(t, b.get("/filler").read(), "25341K2B1-P")

	t.Run("a double tap leads to the same lot", func(t *testing.T) {
		again := b.post("/filler/new", "take_"+h.run.ID, "yes", "product", h.product.ID, "container", h.container.ID, "started_at", "2025-12-07T09:40", "submission", "start")
		assert.Equal(t, "/filler/"+lot.ID, again.location(t))
	})
	t.Run("checks, with the thermometer of the check before", func(t *testing.T) {
		b.post("/filler/"+lot.ID+"/check", "bottle", "192", "bottle_unit", "F", "instrument", h.probe.ID, "at", "2025-12-07T09:45", "closure_ok", "yes",
			"net_weight", "670", "net_weight_unit", "g", "scale", h.scale.ID).location(t)
		page := b.get("/filler/" + lot.ID)
		assert.Contains(t, page.read(), "192.0 °F")
		assert.Regexp(t, `<option value="`+h.probe.ID+`" selected`, page.body)
		assert.NotContains(t, page.body, `name="bottle" type="text" inputmode="text" autocomplete="off" value="192"`, "a measured value is never offered again")
	})
	t.Run("a cool bottle holds, from the last good check on", func(t *testing.T) {
		b.post("/filler/"+lot.ID+"/check", "bottle", "171", "bottle_unit", "F", "instrument", h.probe.ID, "at", "2025-12-07T10:05", "closure_ok", "yes").location(t)
		page := b.get("/filler/" + lot.ID)
		assert.Contains(t, page.body, `<article class="finding hold">`)
		assert.Contains(t, page.read(), "Set these bottles apart.")
	})
	t.Run("end", func(t *testing.T) {
		b.post("/filler/"+lot.ID+"/end", "count", "110", "at", "2025-12-07T10:25").location(t)
		page := b.get("/filler/" + lot.ID)
		assert.Contains(t, page.read(), "110 bottles")
		assert.NotContains(t, page.body, `action="/filler/`+lot.ID+`/end"`)
		ends, err := records.List[records.FillEnd](context.Background(), h.store, "lot_id = ?", lot.ID)
		require.NoError(t, err)
		assert.Contains(t, page.body, "/record/"+ends[0].ID+"/amend", "a count typed wrong is amended from here")
		assert.Contains(t, b.get("/lot/"+lot.ID).body, "/record/"+ends[0].ID)
		assert.Equal(t, http.StatusConflict, b.post("/filler/"+lot.ID+"/end", "count", "9", "at", "2025-12-07T10:26").StatusCode)
	})
}

func TestFillerBadInput(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	ctx := context.Background()
	start := func(pairs ...string) answer {
		return b.post("/filler/new", append([]string{"product", h.product.ID, "container", h.container.ID, "started_at", "2025-12-07T09:40"}, pairs...)...)
	}
	tests := []struct {
		name  string
		page  answer
		field string
		said  string
		kept  string
	}{
		{"no source", start(), "filling-take_" + h.run.ID, "Pick the runs or tanks", ""},
		{"far more than there is", start("take_"+h.run.ID, "yes", "volume_"+h.run.ID, "40", "volume_"+h.run.ID+"_unit", "gal"), "filling-volume_" + h.run.ID, "", `value="40"`},
		{"a comma", start("take_"+h.run.ID, "yes", "volume_"+h.run.ID, "1,5", "volume_"+h.run.ID+"_unit", "gal"), "filling-volume_" + h.run.ID, "after a point", `value="1,5"`},
		{"before the fire was lit", start("take_"+h.run.ID, "yes", "started_at", "2025-12-07T05:10"), "filling-volume_" + h.run.ID, "", `value="2025-12-07T05:10"`},
		{"a run that does not exist", start("take_NOBODY", "yes"), "", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, http.StatusUnprocessableEntity, test.page.StatusCode)
			if test.field != "" {
				assert.Contains(t, test.page.body, `id="`+test.field+`-error"`)
			}
			assert.Contains(t, test.page.read(), test.said)
			assert.Contains(t, test.page.body, test.kept)
			assert.NotContains(t, test.page.body, "⟦")
		})
	}
	lots, err := records.List[records.Lot](ctx, h.store, "")
	require.NoError(t, err)
	assert.Empty(t, lots, "nothing half-written remains")

	lot := h.start(t, b)
	check := "/filler/" + lot.ID + "/check"
	for name, page := range map[string]answer{
		"nothing measured":   b.post(check, "at", "2025-12-07T10:00"),
		"an impossible one":  b.post(check, "at", "2025-12-07T10:00", "bottle", "900", "bottle_unit", "F"),
		"no unit":            b.post(check, "at", "2025-12-07T10:00", "bottle", "185", "bottle_unit", "gal"),
		"a word":             b.post(check, "at", "2025-12-07T10:00", "bottle", "hot", "bottle_unit", "F"),
		"before the filling": b.post(check, "at", "2025-12-07T09:00", "bottle", "185", "bottle_unit", "F"),
		"not yet":            b.post(check, "at", "2025-12-07T18:00", "bottle", "185", "bottle_unit", "F"),
		"no count":           b.post("/filler/"+lot.ID+"/end", "at", "2025-12-07T10:00"),
		"half a bottle":      b.post("/filler/"+lot.ID+"/end", "at", "2025-12-07T10:00", "count", "10.5"),
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Regexp(t, `class="error" id="fill_(check|end)-(bottle|at|count)-error"`, page.body)
			assert.NotContains(t, page.body, "⟦")
		})
	}
	checks, err := records.List[records.FillCheck](ctx, h.store, "")
	require.NoError(t, err)
	assert.Empty(t, checks)
	t.Run("a reader looks only", func(t *testing.T) {
		ines := h.as("ines")
		assert.Equal(t, http.StatusForbidden, ines.post(check, "bottle", "185", "bottle_unit", "F", "at", "2025-12-07T10:00").StatusCode)
		assert.NotContains(t, ines.get("/filler/"+lot.ID).body, `method="post" action="/filler/`)
	})
}

// TestFillerSpanish reads the filler's pages as the crew does: nothing in English but names.
func TestFillerSpanish(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("marisol")
	lot := h.filled(t, b)
	for path, words := range map[string]string{"/filler": "Envasado hace poco", "/filler/new": "Empezar a envasar", "/filler/" + lot.ID: "Revisiones de llenado", "/lot/" + lot.ID: "De qué se envasó"} {
		page := b.get(path)
		require.Equal(t, http.StatusOK, page.StatusCode, path)
		assert.Contains(t, page.read(), words, path)
		assert.NotContains(t, page.body, "⟦", path)
		for _, english := range []string{" bottle ", "bottles ", " Kept", "not recorded", " lot ", "Closure", " held "} {
			assert.NotContains(t, page.read(), english, path)
		}
	}
	assert.Contains(t, b.get("/filler/"+lot.ID).read(), "88.9 °C", "in her units")
}

func TestLotReading(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	page := b.post("/filler/"+lot.ID+"/reading", "reading", "", "scale", "Be", "at", "2025-12-07T10:00")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Regexp(t, `<details class="own-reading" open>`, page.body, "the form that is wrong stays open")
	b.post("/filler/"+lot.ID+"/reading", "reading", "33", "scale", "Be", "temperature", "200", "temperature_unit", "F", "at", "2025-12-07T10:00").location(t)
	assert.Contains(t, b.get("/lot/"+lot.ID).read(), "Cane syrup starts at", "a thin lot is told on its own reading")
}

// TestAmendedCountReachesThePart: what a count was amended to is what may be shipped.
func TestAmendedCountReachesThePart(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.filled(t, b)
	ends, err := records.List[records.FillEnd](context.Background(), h.store, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	b.post("/record/"+ends[0].ID+"/amend", "count", "108", "at", "2025-12-07T10:20", "revision", "1", "why", "one tray was counted twice").location(t)
	assert.Contains(t, b.get("/lot/"+lot.ID).read(), "108 bottles on hand")
}

// TestTwoContainersFromOneRun: the first filling took all of it; amended to what it took, the rest fills another container.
func TestTwoContainersFromOneRun(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	h.filled(t, b)
	page := b.get("/filler/new")
	assert.Contains(t, page.read(), "nothing left by the records")
	amend := regexp.MustCompile(`href="(/record/[^"]+/amend)"`).FindStringSubmatch(page.body)
	require.NotNil(t, amend)
	again := []string{"take_" + h.run.ID, "yes", "product", h.product.ID, "container", h.container.ID, "started_at", "2025-12-07T10:25"}
	refused := b.post("/filler/new", again...)
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.body, `id="filling-volume_`+h.run.ID+`-error"`)
	b.post(amend[1], "volume", "8", "volume_unit", "gal", "at", "2025-12-07T09:40", "revision", "1", "why", "the rest is for half pints").location(t)
	assert.Contains(t, b.get("/filler").read(), "7.3 gal left")
	b.post("/filler/new", again...).location(t)
}

var pdfMagic = regexp.MustCompile(`^%PDF-1\.`)

func TestTrayTag(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	preview := b.get("/filler/" + lot.ID + "/tray-tag")
	require.Equal(t, http.StatusOK, preview.StatusCode, preview.body)
	assert.Equal(t, "application/pdf", preview.Header.Get("Content-Type"))
	assert.Regexp(t, pdfMagic, preview.body)
	prints := func() int {
		list, err := records.List[records.Print](context.Background(), h.store, "of_id = ? AND what = 'tray_tag'", lot.ID)
		require.NoError(t, err)
		return len(list)
	}
	assert.Zero(t, prints(), "a look is not a print")
	for range 2 {
		printed := b.post("/filler/"+lot.ID+"/tray-tag", "submission", "t1")
		require.Equal(t, http.StatusOK, printed.StatusCode)
		assert.Equal(t, preview.body, printed.body, "the same record draws the same bytes")
	}
	assert.Equal(t, 1, prints(), "a double tap is one print")
	assert.Equal(t, http.StatusForbidden, h.as("ines").post("/filler/"+lot.ID+"/tray-tag").StatusCode)
}

// TestBlankTimeIsNow: nobody types the time of what they do now.
func TestBlankTimeIsNow(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b, "started_at", "")
	assert.Equal(t, testNow, lot.StartedAt.UTC())
	b.post("/filler/"+lot.ID+"/check", "bottle", "190", "bottle_unit", "F", "instrument", h.probe.ID, "at", "").location(t)
	b.post("/filler/"+lot.ID+"/end", "count", "100", "at", "").location(t)
	checks, err := records.List[records.FillCheck](context.Background(), h.store, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	assert.Equal(t, testNow, checks[0].At.UTC())
}
