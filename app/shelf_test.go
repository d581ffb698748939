package app

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"html"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"mime/multipart"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// shelfFixtures are the empty and full views of the pages of shelf, trace and complaints.
func shelfFixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	table := Table{Heads: []string{evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil, Figure: true}}}}}
	facts := []line{{Label: evil, Text: evil, URL: "/record/1"}, {Label: evil, Text: evil, Missing: true}}
	column := bandColumn{Title: evil, Tail: evil, Rest: "/trace/1?all=1", Bands: []band{{Name: evil, URL: "/record/1", Word: evil, Width: 12.5, Estimated: true, Unknown: true}, {Name: evil, Plain: true}}}
	answer := &lotAnswer{ID: "1", Code: evil, What: evil, Facts: facts, Findings: []shownFinding{{Level: "hold", Word: evil, What: evil, Measured: evil, Limit: evil, Why: evil, Next: evil, Source: evil}},
		Checks: table, Where: column, Holders: table, Account: evil, Sisters: []sisterLine{{evil, "/trace/1", evil}}, SisterCount: 3, MoreSisters: evil, Rest: "/trace/1?all=1"}
	photo := photoForm{ID: "p", Action: "/trace", Label: evil, Submit: evil, Error: evil}
	steps := []Step{{Name: evil, URL: "/x"}}

	return map[string][2]view{
		"today/today": {&todayPage{}, &todayPage{Page: fullPage(), Day: evil, Photo: photo, Restores: []restoreQuestion{{evil, fullForm()}}, Questions: lines,
			Groups: []todayGroup{{Title: evil, Rows: lines, More: evil, MoreURL: "/shelf"}, {Title: evil, Empty: evil}}}},
		"shelf/shelf": {&shelfPage{}, &shelfPage{Page: fullPage(), States: []shelfFilter{{evil, "/shelf", true}}, Every: "/shelf",
			Totals: []shelfTotal{{evil, "/shelf", true, 3, 4}}, Ship: "/x", Empty: evil,
			Groups: []shelfGroup{{evil, "held", 3, []shelfRow{{Code: evil, URL: "/x", What: evil, Filled: evil, OnHand: 3, Of: 4, Counted: evil}, {Code: evil, Filling: true}}}}}},
		"shelf/part": {&partPage{}, &partPage{Page: fullPage(), Heading: evil, What: evil, State: "held", StateWord: evil, Reason: evil, Figures: []partFigure{{"=", evil, 3, true}},
			Links: steps, Entries: lines, Holders: table, Entry: fullForm(), Hold: fullForm()}},
		"shelf/ship": {&shipPage{Form: &form{}}, &shipPage{Page: fullPage(), Heading: evil, Form: fullForm(), Head: fullForm().Fields, Tail: fullForm().Fields,
			Groups: []shipGroup{{evil, fullForm().Fields}}, NewCustomer: "/x", Nothing: evil}},
		"shelf/shipment": {&shipmentPage{}, &shipmentPage{Page: fullPage(), Heading: evil, Word: evil, Facts: facts, Market: true, Out: 3, BackSum: 1, Still: 2,
			Rows: []shipmentRow{{Code: evil, URL: "/x", What: evil, Out: 3, Back: 1, Still: 2, Amend: "/x"}}, Entries: lines, Amend: "/x", Strike: "/x", Back: fullForm(), Return: fullForm()}},
		"shelf/customer": {&customerPage{}, &customerPage{Page: fullPage(), Heading: evil, Word: evil, Facts: facts, Ship: "/x", Amend: "/x", Market: true, With: table, Shipments: table}},
		"trace/start":    {&traceStartPage{Code: &Field{}}, &traceStartPage{Page: fullPage(), Code: &Field{ID: "c", Name: "code", Kind: "text", Label: evil, Help: evil, Error: evil, Value: evil}, Photo: photo, Nearest: lines, Recent: lines}},
		"trace/trace": {&tracePage{}, &tracePage{Page: fullPage(), Heading: evil, Sort: evil, Links: steps, Answer: answer, Complaints: lines, Columns: []bandColumn{column}, Back: table, BackMore: evil,
			Went: evil, Forward: column, Lots: table, Holders: table, Sum: evil, Folded: "/trace/1?all=1", Nothing: evil}},
		"complaint/list": {&complaintsPage{}, &complaintsPage{Page: fullPage(), New: "/x", Questions: lines, Open: lines, Closed: lines}},
		"complaint/new":  {&newComplaintPage{Form: &form{}}, &newComplaintPage{Page: fullPage(), Form: fullForm(), Photo: photo}},
		"complaint/complaint": {&complaintPage{}, &complaintPage{Page: fullPage(), Heading: evil, Word: evil, Closed: evil, Decision: evil, Facts: facts, First: evil, Causes: evil, Caution: evil, Question: evil,
			Holds: []holdChoice{{evil, fullForm()}}, Pull: facts, Similar: []similarComplaint{{ledgerLine: lines[0], Why: evil}}, Answer: answer, Close: fullForm(), Lot: fullForm(), Amend: "/x", Trace: "/x", File: "/x"}},
	}
}

// stock is a house with one lot released and one held, of two runs of the same cane.
type stock struct {
	*testHouse
	cut               *records.Cut
	run, run2         *records.Run
	closures          *records.SupplyLot
	thermometer       *records.Instrument
	lot, heldLot      *records.Lot
	part, heldPart    string
	shop, market, ann *records.Customer
}

func ptrTo[T any](v T) *T { return &v }

// actor is the owner, who may release.
func (s *stock) actor() records.Actor { return records.Actor{PersonID: s.people["odell"]} }

// newStock builds the chain through the store's own commands.
func newStock(t *testing.T) *stock {
	t.Helper()
	h := newHouse(t)
	s := &stock{testHouse: h}
	ctx := context.Background()
	_, planting := h.planted()
	kettle := &records.Kettle{SiteID: h.site, Number: 2, Name: "Big kettle"}
	spindle := &records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F}
	s.thermometer = &records.Instrument{Name: "Probe 1", Measures: records.MeasuresTemperature, ReadsIn: "F", Uncertainty: ptrTo(0.5)}
	scale := &records.Instrument{Name: "Shop scale", Measures: records.MeasuresWeight}
	product := &records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 18}
	container := &records.Container{Name: "Pint", Contents: 473, ContentsEntered: "473 mL", FillLimit: ptrTo(syrup.Fahrenheit(180).Celsius()), FillLimitSource: "our cooling test"}
	maker := &records.Supplier{Firm: "Tern Glass", Address: "1 Kiln Way", Telephone: "229 555 0111"}
	s.shop = &records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Ferry Store", Address: "1 Quay", Telephone: "229 555 0120"}}
	s.market = &records.Customer{Sort: records.CustomerMarket, Contact: records.Contact{Name: "Saturday market, Bend"}}
	s.ann = &records.Customer{Sort: records.CustomerPerson, Contact: records.Contact{Name: "Ann by mail"}}
	h.write(kettle, spindle, s.thermometer, scale, product, container, maker, s.shop, s.market, s.ann)
	bottles := &records.SupplyLot{Sort: records.SupplyBottles, Description: "Pint round", SupplierID: maker.ID, TheirLot: "G-88", Quantity: ptrTo(1000.0), HowPacked: "cases of 12", ReceivedOn: "2025-10-01"}
	s.closures = &records.SupplyLot{Sort: records.SupplyClosures, Description: "Lug cap", SupplierID: maker.ID, TheirLot: "C-12", Quantity: ptrTo(1000.0), HowPacked: "carton", ReceivedOn: "2025-10-01"}
	s.cut = &records.Cut{PlantingID: planting.ID, CutOn: "2025-12-05", Harvester: "Marisol Vega", Mass: ptrTo(syrup.Kilograms(900))}
	h.write(bottles, s.closures, s.cut)
	boil := func(start time.Time) *records.Run {
		pressing := &records.Pressing{SiteID: h.site, StartedAt: start, Volume: ptrTo(syrup.Liters(300)), Brix: ptrTo(syrup.Brix(17))}
		require.NoError(t, h.store.RecordPressing(ctx, s.actor(), pressing, []records.Draw{{FromID: s.cut.ID, Mass: ptrTo(syrup.Kilograms(440))}}))
		run := &records.Run{KettleID: kettle.ID, FireLitAt: start.Add(time.Hour)}
		require.NoError(t, h.store.StartRun(ctx, s.actor(), run, []records.Draw{{FromID: pressing.ID}}))
		h.write(&records.DensityReading{OfID: run.ID, At: start.Add(4 * time.Hour), Stage: records.StageFinish, Reading: 36.1, Scale: syrup.ScaleBaume, ReadingEntered: "36.1",
			Temperature: ptrTo(syrup.Fahrenheit(224).Celsius()), TemperatureEntered: "224 F", InstrumentID: &spindle.ID})
		require.NoError(t, h.store.DrawOff(ctx, s.actor(), &records.BoilEntry{RunID: run.ID, At: start.Add(4*time.Hour + 5*time.Minute), Volume: ptrTo(syrup.Liters(48)), Temperature: ptrTo(syrup.Celsius(104))}, ""))
		return run
	}
	fill := func(run *records.Run, start time.Time) (*records.Lot, string) {
		lot := &records.Lot{SiteID: h.site, ProductID: product.ID, ContainerID: container.ID, BottlesLotID: &bottles.ID, ClosuresLotID: &s.closures.ID, StartedAt: start}
		require.NoError(t, h.store.StartFilling(ctx, s.actor(), lot, []records.Draw{{FromID: run.ID}}))
		for _, minute := range []int{2, 28} {
			h.write(&records.FillCheck{LotID: lot.ID, At: start.Add(time.Duration(minute) * time.Minute), Bottle: ptrTo(syrup.Fahrenheit(187).Celsius()), BottleEntered: "187 F", InstrumentID: &s.thermometer.ID,
				InvertedSeconds: ptrTo(60), ClosureOK: ptrTo(true), NetWeight: ptrTo(syrup.Grams(660)), ScaleID: &scale.ID})
		}
		require.NoError(t, h.store.EndFilling(ctx, s.actor(), &records.FillEnd{LotID: lot.ID, At: start.Add(30 * time.Minute), Count: 96}))
		parts, err := records.List[records.Part](ctx, h.store, "lot_id = ?", lot.ID)
		require.NoError(t, err)
		return lot, parts[0].ID
	}
	first := testNow.Add(-28 * time.Hour)
	s.run = boil(first)
	s.lot, s.part = fill(s.run, first.Add(5*time.Hour))
	s.run2 = boil(first.Add(8 * time.Hour))
	s.heldLot, s.heldPart = fill(s.run2, first.Add(13*time.Hour))
	require.NoError(t, h.store.Release(ctx, s.actor(), s.part, "looked at every check"))
	return s
}

func (s *stock) shelf(part string) records.PartShelf {
	s.t.Helper()
	shelf, err := records.ShelfOf(context.Background(), s.store, part)
	require.NoError(s.t, err)
	return shelf
}

// shipped sends bottles of the released part to a customer and gives the shipment's page.
func (s *stock) shipped(b *browser, customer *records.Customer, units int, more ...string) string {
	s.t.Helper()
	return b.post("/shelf/shipment", append([]string{"customer", customer.ID, "at", "2025-12-07T10:00", "how_packed", "case of 12", "units_" + s.part, fmt.Sprint(units)}, more...)...).location(s.t)
}

func TestShelfPagesEmptyAndFull(t *testing.T) {
	empty := newHouse(t)
	for _, path := range []string{"/shelf", "/shelf/shipment", "/shelf/shipment/new", "/shelf/customer", "/trace", "/complaints", "/complaints/new"} {
		page := empty.as("odell").get(path)
		assert.Equal(t, http.StatusOK, page.StatusCode, path)
		assert.NotContains(t, page.body, "⟦", path)
	}
	s := newStock(t)
	for _, login := range []string{"odell", "marisol"} {
		b := s.as(login)
		for _, path := range []string{"/", "/shelf", "/shelf?state=all", "/shelf?state=gone", "/shelf/part/" + s.part, "/shelf/part/" + s.heldPart, "/shelf/shipment/new?part=" + s.part,
			"/shelf/customer", "/shelf/customer/" + s.shop.ID, "/trace/" + s.lot.ID, "/trace/" + s.lot.ID + "?all=1", "/trace/" + s.cut.ID, "/trace/" + s.run.ID, "/trace/" + s.closures.ID,
			"/trace/" + s.thermometer.ID, "/trace/" + s.shop.ID, "/complaints/new?lot=" + s.lot.ID} {
			page := b.get(path)
			assert.Equal(t, http.StatusOK, page.StatusCode, path)
			assert.NotContains(t, page.body, "⟦", path)
			assert.NotContains(t, page.body, "style=", path)
		}
	}
	page := s.as("odell").get("/shelf")
	assert.Contains(t, page.plain(), "25340K2B1")
	assert.Contains(t, page.plain(), "96 of 96")
	assert.Contains(t, s.as("odell").get("/shelf?state=held").plain(), records.PrintedCode(s.heldLot.Code))
	assert.NotContains(t, s.as("odell").get("/shelf?state=held").plain(), records.PrintedCode(s.lot.Code))
}

func TestShipment(t *testing.T) {
	s := newStock(t)
	b := s.as("marisol")
	t.Run("only released parts are offered", func(t *testing.T) {
		page := b.get("/shelf/shipment/new")
		assert.Contains(t, page.body, `name="units_`+s.part+`"`)
		assert.NotContains(t, page.body, "units_"+s.heldPart)
	})
	for _, test := range []struct {
		name   string
		typed  []string
		says   string
		keeps  string
		status int
	}{
		{"nothing", nil, "Enter how many bottles", "case of 12", 422},
		{"more than on hand", []string{"units_" + s.part, "97"}, "There are 96 bottles on hand", `value="97"`, 422},
		{"a comma", []string{"units_" + s.part, "1,5"}, "decimals after a point", `value="1,5"`, 422},
		{"half a bottle", []string{"units_" + s.part, "1.5"}, "whole number", `value="1.5"`, 422},
		{"a held part", []string{"units_" + s.heldPart, "3"}, "Only a released part may leave", `value="3"`, 409},
		{"no customer", []string{"customer", "", "units_" + s.part, "3"}, "Fill this in", `value="3"`, 422},
		{"tomorrow", []string{"at", "2025-12-09T10:00", "units_" + s.part, "3"}, "has not come yet", `value="3"`, 422},
		{"before it was filled", []string{"at", "2025-12-01T10:00", "units_" + s.part, "3"}, "Nothing can be taken from it before that", `value="3"`, 422},
	} {
		t.Run(test.name, func(t *testing.T) {
			page := s.as("odell").post("/shelf/shipment", append([]string{"customer", s.shop.ID, "at", "2025-12-07T10:00", "how_packed", "case of 12"}, test.typed...)...)
			assert.Equal(t, test.status, page.StatusCode)
			assert.Contains(t, page.plain(), test.says)
			assert.Contains(t, page.body, test.keeps)
			assert.Equal(t, 96, s.shelf(s.part).OnHand)
		})
	}
	at := s.shipped(b, s.shop, 24, "submission", "tap", "reference", "INV 7")
	t.Run("double tap leads to the shipment made", func(t *testing.T) {
		assert.Equal(t, at, s.shipped(b, s.shop, 24, "submission", "tap"))
		assert.Equal(t, 72, s.shelf(s.part).OnHand)
	})
	t.Run("its page and the customer's", func(t *testing.T) {
		page := s.as("odell").get(at)
		for _, word := range []string{"Ferry Store", "INV 7", "case of 12", records.PrintedCode(s.lot.Code)} {
			assert.Contains(t, page.plain(), word)
		}
		assert.Contains(t, s.as("odell").get("/shelf/customer/"+s.shop.ID).plain(), "24")
		assert.Equal(t, at, s.as("odell").get("/record/"+strings.TrimPrefix(at, "/shelf/shipment/")).location(t))
	})
	t.Run("a reader looks only", func(t *testing.T) {
		assert.Equal(t, http.StatusOK, s.as("ines").get(at).StatusCode)
		assert.Equal(t, http.StatusForbidden, s.as("ines").post("/shelf/shipment", "customer", s.shop.ID).StatusCode)
		assert.NotContains(t, s.as("ines").get(at).body, "/amend")
	})
	t.Run("a wrong count is amended with a reason", func(t *testing.T) {
		line := regexp.MustCompile(`/shelf/line/([0-9A-Z]+)`).FindString(s.as("odell").get(at).body)
		o := s.as("odell")
		assert.Equal(t, http.StatusUnprocessableEntity, o.post(line, "revision", "1", "units", "12").StatusCode)
		assert.Equal(t, at, o.post(line, "revision", "1", "units", "12", "why", "one case only").location(t))
		assert.Equal(t, 84, s.shelf(s.part).OnHand)
		assert.Equal(t, http.StatusConflict, o.post(line, "revision", "1", "units", "13", "why", "stale").StatusCode)
	})
	t.Run("struck, its bottles stand on the shelf again", func(t *testing.T) {
		o := s.as("odell")
		assert.Equal(t, http.StatusUnprocessableEntity, o.post(at+"/strike").StatusCode)
		o.post(at+"/strike", "why", "never left").location(t)
		assert.Equal(t, 96, s.shelf(s.part).OnHand)
		assert.Equal(t, http.StatusOK, o.get(at).StatusCode)
	})
}

func TestMarketDayAndReturns(t *testing.T) {
	s := newStock(t)
	b := s.as("odell")
	at := s.shipped(b, s.market, 30)
	assert.Contains(t, b.get(at).plain(), "Back from the market")
	assert.Contains(t, b.get(at).plain(), "Sold or not back yet")
	assert.Contains(t, b.get("/shelf/part/"+s.part).plain(), "30 sold or not back yet", "nobody said yet that they were sold")
	page := b.post(at+"/back", "at", "2025-12-07T10:20", "units_"+s.part, "31")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.plain(), "No more than 30 bottles")
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(at+"/back", "at", "2025-12-07T10:20").StatusCode, "nothing typed")
	for range 2 { // a double tap
		assert.Equal(t, at, b.post(at+"/back", "at", "2025-12-07T10:20", "units_"+s.part, "8", "submission", "m1").location(t))
	}
	assert.Equal(t, 74, s.shelf(s.part).OnHand)
	assert.Contains(t, b.get(at).plain(), "30 out, 8 back, 22 sold.")

	toAnn := s.shipped(b, s.ann, 6)
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(toAnn+"/back", "at", "2025-12-07T10:20", "units_"+s.part, "1").StatusCode, "no market day")
	page = b.post(toAnn+"/return", "part", s.part, "units", "7", "at", "2025-12-07T10:25")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.plain(), "No more than 6 bottles")
	for range 2 {
		assert.Equal(t, toAnn, b.post(toAnn+"/return", "part", s.part, "units", "2", "at", "2025-12-07T10:25", "note", "leaked", "submission", "r1").location(t))
	}
	parts, err := records.List[records.Part](context.Background(), s.store, "lot_id = ? ORDER BY number", s.lot.ID)
	require.NoError(t, err)
	require.Len(t, parts, 2)
	assert.Equal(t, records.StateHeld, s.shelf(parts[1].ID).State)
	assert.Equal(t, 2, s.shelf(parts[1].ID).OnHand)
	assert.Contains(t, b.get("/trace/"+s.lot.ID).plain(), "96 filled = 70 on hand + 26 with customers or sold + 0 as samples + 0 broken.")
	assert.Equal(t, http.StatusConflict, b.post(toAnn+"/strike", "why", "x").StatusCode, "something came back from it")
}

func TestSamplesBreakageCountsAndHold(t *testing.T) {
	s := newStock(t)
	b := s.as("odell")
	held := "/shelf/part/" + s.heldPart
	typed := func(what, units string, more ...string) []string {
		return append([]string{"what", what, "units", units, "at", "2025-12-07T10:10"}, more...)
	}
	assert.Contains(t, b.post(held, typed("sample", "2")...).plain(), "Write where the sample went")
	assert.Contains(t, b.post(held, typed("sample", "200", "place", "State laboratory")...).plain(), "There are 96 bottles on hand")
	assert.Contains(t, b.post(held, typed("breakage", "0")...).plain(), "at least 1")
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(held, typed("return", "1")...).StatusCode, "a return belongs to a shipment")
	for range 2 {
		assert.Equal(t, held, b.post(held, typed("sample", "2", "place", "State laboratory", "submission", "s")...).location(t))
	}
	b.post(held, typed("breakage", "1")...).location(t)
	b.post(held, typed("count", "90")...).location(t)
	shelf := s.shelf(s.heldPart)
	assert.Equal(t, 93, shelf.OnHand)
	assert.Equal(t, -3, shelf.CountOff)
	page := b.get(held)
	assert.Contains(t, page.plain(), "2 bottles as a sample")
	assert.Contains(t, page.plain(), "Counted Sun 7 Dec 2025 90", "a count stands with its day")
	assert.Contains(t, page.plain(), "Unaccounted -3")
	assert.Contains(t, b.get("/shelf").plain(), "the count found 3 fewer")

	part := "/shelf/part/" + s.part
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(part+"/hold", "back", "/").StatusCode, "a reason is needed")
	assert.Equal(t, "/complaints", b.post(part+"/hold", "reason", "asked the shop", "back", "/complaints").location(t))
	assert.Equal(t, records.StateHeld, s.shelf(s.part).State)
	assert.Equal(t, "/", b.post(part+"/hold", "reason", "again", "back", "//elsewhere.example").location(t), "only to a page of this app")
	assert.Contains(t, b.get(part).plain(), "again")
}

func TestTraceByCode(t *testing.T) {
	s := newStock(t)
	b := s.as("ines")
	s.shipped(s.as("odell"), s.shop, 12)
	at := "/trace/" + s.lot.ID
	assert.Equal(t, at, b.get("/trace?code="+strings.ToLower(s.lot.Code[:7]+"+-+"+s.lot.Code[7:])).location(t), "slips are forgiven")
	assert.Equal(t, at, b.get("/trace/"+s.lot.Code).location(t), "a code in place of an id")
	wrong := []byte(s.lot.Code)
	wrong[4] = '0' + (wrong[4]-'0'+1)%10
	page := b.get("/trace?code=" + string(wrong))
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.plain(), "wrong character")
	assert.Contains(t, page.body, `href="`+at+`"`, "the nearest code is offered")
	assert.Contains(t, page.body, `value="`+string(wrong)+`"`, "what was typed stays")
	assert.Contains(t, b.get("/trace?code=syrup").plain(), "is not a lot code")
	assert.Contains(t, b.get("/trace?code=").plain(), "Fill this in")
	none, err := labels.NewLotCode(testNow.AddDate(0, 0, -200), 7, 3)
	require.NoError(t, err)
	assert.Contains(t, b.get("/trace?code="+none.String()).plain(), "No lot has the code")
	assert.Equal(t, http.StatusNotFound, b.get("/trace/NOBODY").StatusCode)
	assert.Equal(t, at, b.get("/trace/"+s.part).location(t), "a part is its lot")

	page = b.get(at)
	for _, word := range []string{"Creek side", "Fri 5 Dec 2025", "Marisol Vega", s.run.Code, "Pint round G-88", "Lug cap C-12", "187.0", "Probe 1", "Ferry Store", "84", "100.0",
		records.PrintedCode(s.heldLot.Code), "96 filled = 84 on hand + 12 with customers or sold"} {
		assert.Contains(t, page.plain(), word)
	}
	t.Run("any record forward", func(t *testing.T) {
		for _, id := range []string{s.cut.ID, s.closures.ID, s.thermometer.ID, s.cut.PlantingID} {
			page := b.get("/trace/" + id)
			assert.Contains(t, page.plain(), records.PrintedCode(s.lot.Code), id)
			assert.Contains(t, page.plain(), records.PrintedCode(s.heldLot.Code), id)
			assert.Contains(t, page.plain(), "Ferry Store", id)
		}
		page := b.get("/trace/" + s.run.ID)
		assert.Contains(t, page.plain(), records.PrintedCode(s.lot.Code))
		assert.NotContains(t, page.body, s.heldLot.ID)
	})
}

// plain is the page's words with single spaces.
func (a answer) plain() string {
	return strings.Join(strings.Fields(html.UnescapeString(a.words())), " ")
}

// symbolPhoto draws a QR symbol on a desk, as JPEG or PNG.
func symbolPhoto(t *testing.T, content string, encode func(*bytes.Buffer, image.Image) error) []byte {
	t.Helper()
	body, err := labels.QRPNG(content, 8)
	require.NoError(t, err)
	symbol, err := png.Decode(bytes.NewReader(body))
	require.NoError(t, err)
	desk := image.NewRGBA(image.Rect(0, 0, 900, 700))
	draw.Draw(desk, desk.Rect, image.NewUniform(color.RGBA{170, 150, 120, 255}), image.Point{}, draw.Src)
	draw.Draw(desk, image.Rect(220, 150, 220+symbol.Bounds().Dx()+64, 150+symbol.Bounds().Dy()+64), image.White, image.Point{}, draw.Src)
	draw.Draw(desk, symbol.Bounds().Add(image.Pt(252, 182)), symbol, image.Point{}, draw.Src)
	var out bytes.Buffer
	require.NoError(t, encode(&out, desk))
	return out.Bytes()
}

func asJPEG(out *bytes.Buffer, m image.Image) error {
	return jpeg.Encode(out, m, &jpeg.Options{Quality: 80})
}
func asPNG(out *bytes.Buffer, m image.Image) error { return png.Encode(out, m) }

// send posts a file as a browser does.
func (b *browser) send(path, field string, content []byte) answer {
	b.h.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part, err := w.CreateFormFile(field, "label.jpg")
	require.NoError(b.h.t, err)
	_, err = part.Write(content)
	require.NoError(b.h.t, err)
	require.NoError(b.h.t, w.Close())
	r, err := http.NewRequest(http.MethodPost, b.h.server.URL+path, &body)
	require.NoError(b.h.t, err)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return b.do(r)
}

// hugePNG says in its first bytes how many pixels it has on each side, in colors of so many bits; there is hardly anything
// behind.
func hugePNG(side uint32, bits byte) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32([]byte("IHDR"), side), side)
	head = append(head, bits, 2, 0, 0, 0)
	body := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\r"), head...)
	return binary.BigEndian.AppendUint32(body, crc32.ChecksumIEEE(head))
}

func TestTraceByPhoto(t *testing.T) {
	s := newStock(t)
	b := s.as("ines")
	at := "/trace/" + s.lot.ID
	code, err := labels.ParseLotCode(s.lot.Code)
	require.NoError(t, err)
	address, err := labels.AddressContent("https://bend.example", code)
	require.NoError(t, err)
	assert.Equal(t, at, b.send("/trace", "photo", symbolPhoto(t, address, asJPEG)).location(t))
	assert.Equal(t, at, b.send("/trace", "photo", symbolPhoto(t, labels.PlainContent(code, "Sawgrass Bend", "229 555 0100"), asPNG)).location(t))
	assert.Equal(t, "/complaints/new?lot="+s.lot.ID, s.as("odell").send("/complaints/photo", "photo", symbolPhoto(t, address, asJPEG)).location(t))
	none, err := labels.NewLotCode(testNow.AddDate(0, 0, -200), 7, 3)
	require.NoError(t, err)
	blank := image.NewGray(image.Rect(0, 0, 400, 300))
	var empty bytes.Buffer
	require.NoError(t, asPNG(&empty, blank))
	for _, test := range []struct {
		name    string
		content []byte
		says    string
	}{
		{"no file", nil, "Choose a photo first"},
		{"not a picture", []byte("cane, juice, syrup"), "not a JPEG or PNG"},
		{"a GIF", []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), "not a JPEG or PNG"},
		{"HEIC", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "Send it as JPEG"},
		{"no symbol", empty.Bytes(), "No QR symbol could be read"},
		{"cut short", symbolPhoto(t, address, asPNG)[:900], "did not arrive whole"},
		{"too many pixels", hugePNG(60_000, 8), "52 million pixels"},
		{"deep colors take twice the memory", hugePNG(7000, 16), "26 million pixels"},
		{"as many pixels of plain colors are tried", hugePNG(7000, 8), "did not arrive whole"},
		{"another symbol", symbolPhoto(t, "https://elsewhere.example/menu", asPNG), "no lot code of ours"},
		{"a code unknown here", symbolPhoto(t, none.String(), asPNG), "this house has no such lot"},
	} {
		t.Run(test.name, func(t *testing.T) {
			page := b.send("/trace", "photo", test.content)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.plain(), test.says)
			assert.Contains(t, page.body, `id="trace-photo-error"`, "at the field")
			page = s.as("odell").send("/complaints/photo", "photo", test.content)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.plain(), test.says)
		})
	}
	assert.Equal(t, http.StatusUnprocessableEntity, b.post("/trace").StatusCode, "not even a file field")
	assert.Equal(t, http.StatusUnprocessableEntity, b.send("/trace", "other", []byte("x")).StatusCode)
}

// TestReadBlurredSymbol: a blurred and noisy photo is read, which the first plain try does not.
func TestReadBlurredSymbol(t *testing.T) {
	picture, err := decodePhoto(symbolPhoto(t, "HTTPS://BEND.EXAMPLE/L/25341K2B1P", asPNG))
	require.NoError(t, err)
	gray := grayOf(picture)
	for range 6 {
		gray = blurred(gray)
	}
	content, ok := readSymbol(context.Background(), gray)
	require.True(t, ok)
	assert.Equal(t, "HTTPS://BEND.EXAMPLE/L/25341K2B1P", content)
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	_, ok = readSymbol(stopped, gray)
	assert.False(t, ok, "nobody waits")
}

// blurred averages each pixel with the eight around it.
func blurred(g *image.Gray) *image.Gray {
	soft := image.NewGray(g.Rect)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	for y := range h {
		for x := range w {
			sum, n := 0, 0
			for dy := max(0, y-1); dy <= min(h-1, y+1); dy++ {
				for dx := max(0, x-1); dx <= min(w-1, x+1); dx++ {
					sum, n = sum+int(g.Pix[dy*g.Stride+dx]), n+1
				}
			}
			soft.Pix[y*soft.Stride+x] = uint8(sum / n)
		}
	}
	return soft
}

func complaintTyped(code, about string, more ...string) []string {
	return append([]string{"code", code, "about", about, "story", "it hissed when opened", "received_at", "2025-12-07T10:00"}, more...)
}

func TestComplaint(t *testing.T) {
	s := newStock(t)
	b := s.as("marisol")
	o := s.as("odell")
	code := records.PrintedCode(s.lot.Code)
	wrong := []byte(s.lot.Code)
	wrong[4] = '0' + (wrong[4]-'0'+1)%10
	page := o.post("/complaints", complaintTyped(string(wrong), "fizzy")...)
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.plain(), "wrong character")
	assert.Contains(t, page.body, `value="`+code+`"`, "the nearest code can be chosen")
	assert.Contains(t, page.body, "it hissed when opened", "what was typed stays")
	page = o.post("/complaints", "code", "", "about", "", "story", "", "received_at", "2025-12-07T10:00")
	for _, field := range []string{"code", "about", "story"} {
		assert.Contains(t, page.body, `href="#complaint-`+field+`"`)
	}

	at := b.post("/complaints", complaintTyped(string(wrong), "fizzy", "instead", code, "contact_name", "Bea Moss", "submission", "c1")...).location(t)
	assert.Equal(t, at, b.post("/complaints", complaintTyped(code, "fizzy", "submission", "c1")...).location(t), "double tap")
	page = o.get(at)
	for _, word := range []string{"Never taste a suspect bottle.", "Hold the lot", "Lug cap C-12", "Finish reading", s.run.Code, "Bea Moss", code, "Sister lots", "No other complaint", "Hold " + code} {
		assert.Contains(t, page.plain(), word)
	}
	assert.NotContains(t, page.plain(), "are alike. Hold this lot?")
	assert.NotContains(t, s.as("ines").get(at).plain(), "Bea Moss", "an inspector does not see who complained")

	s.shipped(o, s.shop, 12)
	second := b.post("/complaints", complaintTyped(code, "leak")...).location(t)
	page = o.get(second)
	assert.Contains(t, page.plain(), "2 complaints on lot "+code+" are alike. Hold this lot?")
	assert.Contains(t, page.plain(), "same lot · like matter")
	for _, path := range []string{"/", "/complaints"} {
		assert.Contains(t, o.get(path).plain(), "Hold lot "+code+"?", path)
	}
	other := b.post("/complaints", complaintTyped(s.heldLot.Code, "crystals")...).location(t)
	assert.Contains(t, o.get(other).plain(), "supply lot Pint round G-88, Lug cap C-12", "shares the closures")

	o.post("/shelf/part/"+s.part+"/hold", "reason", "complaint", "back", second).location(t)
	assert.NotContains(t, o.get("/").plain(), "Hold lot "+code+"?", "held: no longer asked")

	t.Run("code not readable, read later", func(t *testing.T) {
		at := o.post("/complaints", complaintTyped("2534?", "dark", "unreadable", "yes")...).location(t)
		assert.Contains(t, o.get(at).plain(), "Code as told")
		page := o.post(at+"/lot", "revision", "1", "code", "nonsense")
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Equal(t, at, o.post(at+"/lot", "revision", "1", "code", code).location(t))
		assert.Contains(t, o.get(at).plain(), s.run.Code)
	})
	t.Run("closed with a decision", func(t *testing.T) {
		assert.Equal(t, http.StatusUnprocessableEntity, o.post(at+"/close", "revision", "1").StatusCode)
		assert.Equal(t, http.StatusForbidden, s.as("ines").post(at+"/close", "revision", "1", "decision", "x").StatusCode)
		assert.Equal(t, at, o.post(at+"/close", "revision", "1", "decision", "bought back, told to bring the rest").location(t))
		assert.Equal(t, http.StatusConflict, o.post(at+"/close", "revision", "1", "decision", "again").StatusCode)
		page := o.get(at)
		assert.Contains(t, page.plain(), "bought back, told to bring the rest")
		assert.NotContains(t, page.body, at+"/close")
		kept, err := records.Get[records.Complaint](context.Background(), s.store, strings.TrimPrefix(at, "/complaints/"))
		require.NoError(t, err)
		assert.Equal(t, "Bea Moss", kept.Contact.Name, "closing keeps who complained")
	})
	t.Run("amended through its form", func(t *testing.T) {
		id := strings.TrimPrefix(other, "/complaints/")
		page := o.get("/record/" + id + "/amend")
		assert.Equal(t, http.StatusOK, page.StatusCode)
		o.post("/record/"+id+"/amend", complaintTyped("", "thin", "revision", "1", "why", "they meant thin")...).location(t)
		assert.Contains(t, o.get(other).plain(), "Thin or watery")
	})
}

func TestTodayTellsWhatIsMissing(t *testing.T) {
	s := newStock(t)
	o := s.as("odell")
	assert.Contains(t, o.get("/").plain(), records.PrintedCode(s.heldLot.Code))
	assert.Regexp(t, `held since [^·]*· (lacks|one written reason)`, o.get("/").plain())
	s.write(&records.InstrumentCheck{InstrumentID: s.thermometer.ID, At: testNow.Add(-time.Minute), Method: "ice", Expected: 32, Read: 48, Unit: "F", Passed: false})
	page := o.get("/")
	assert.Contains(t, page.plain(), "failed its check")
	assert.Equal(t, records.StateHeld, s.shelf(s.part).State, "the failed check holds it again")
	s.write(&records.InstrumentCheck{InstrumentID: s.thermometer.ID, At: testNow, Method: "ice", Expected: 32, Read: 32, Unit: "F", Passed: true})
	assert.NotContains(t, o.get("/").plain(), "failed its check")
	run := &records.Run{SiteID: s.site, KettleID: s.run.KettleID, Code: "25341K2", FireLitAt: testNow.Add(-time.Hour)}
	s.write(run)
	s.write(&records.BoilEntry{RunID: run.ID, At: testNow.Add(-time.Minute), What: records.EntryDrawnOff})
	assert.Contains(t, o.get("/").plain(), "drawn off without a finish reading")
}

func TestFindNamesAndBeginnings(t *testing.T) {
	s := newStock(t)
	b := s.as("odell")
	page := b.get("/find?q=ferry")
	assert.Contains(t, page.body, "/shelf/customer/"+s.shop.ID)
	page = b.get("/find?q=" + s.lot.Code[:5])
	assert.Contains(t, page.plain(), records.PrintedCode(s.lot.Code))
	assert.Contains(t, page.plain(), s.run.Code)
	assert.Equal(t, "/record/"+s.run.ID, b.get("/find?q="+strings.ToLower(s.run.Code)).location(t))
}

func TestRestoreIsAsked(t *testing.T) {
	s := newStock(t)
	require.NoError(t, s.store.RecordRestore(context.Background(), testNow.Add(-48*time.Hour)))
	o := s.as("odell")
	page := o.get("/")
	assert.Contains(t, page.plain(), "came back from a backup")
	assert.NotContains(t, s.as("marisol").get("/").body, "/today/restore/", "the owner is asked")
	at := regexp.MustCompile(`/today/restore/[0-9A-Z]+`).FindString(page.body)
	for _, typed := range [][]string{{"last_code", "cane"}, {}, {"last_code", s.lot.Code, "none", "yes"}} {
		page := o.post(at, append(typed, "revision", "1")...)
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.body, "-last_code-error")
	}
	assert.Equal(t, "/", o.post(at, "revision", "1", "last_code", strings.ToLower(s.lot.Code)).location(t))
	assert.NotContains(t, o.get("/").body, "/today/restore/")
	restores, err := records.List[records.Restore](context.Background(), s.store, "")
	require.NoError(t, err)
	assert.Equal(t, s.lot.Code, restores[0].LastCode)
}
