package app

import (
	"context"
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"canewright/hazards/toolcheck"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// mostTyped is how many values the main job may ask for, from the cut to the release.
const mostTyped = 30

// The whole job in a real browser of a phone's size: cut, pressing, run with readings, lot, checks, release, label, shipment,
// complaint by lot code, and the kettle run on screen.
func TestMainJobOnAPhone(t *testing.T) {
	toolcheck.Need(t, "chromium", "pdftoppm", "pdftotext", "zbarimg")
	var passed atomic.Int64
	begin := time.Date(2025, 12, 7, 11, 0, 0, 0, time.UTC) // 6 in the morning of the house
	h := newHouseAt(t, func() time.Time { return begin.Add(time.Duration(passed.Load())) })
	later := func(d time.Duration) { passed.Add(int64(d)) }
	h.equip()
	p := h.phone()
	p.signIn("odell")

	p.open("/field/cut/new")
	p.pickOnly("cut-planting")
	p.enter("cut-harvester", "Tomas Reed")
	p.enter("cut-mass", "1980")
	p.send("cut-mass")

	later(time.Hour)
	p.open("/mill/pressing")
	p.enter("pressing-volume", "90")
	p.enter("pressing-brix", "17.2")
	p.send("pressing-brix")

	later(30 * time.Minute)
	p.open("/kettle/new")
	p.send("run-fire_lit_at")
	run := p.path()
	require.Contains(t, run, "/kettle/run/")

	later(time.Hour)
	p.enter("temperature-temperature", "212.5")
	p.send("temperature-temperature")
	later(150 * time.Minute)
	p.unfold("reading-reading")
	p.choose("reading", "stage", "finish")
	p.enter("reading-reading", "36.1")
	p.enter("reading-temperature", "224")
	p.send("reading-reading")
	p.sees("% solids")
	p.enter("drawn-off-volume", "14.8")
	p.enter("drawn-off-temperature", "221")
	p.send("drawn-off-volume")

	later(10 * time.Minute)
	p.open("/filler/new")
	for _, list := range []string{"product", "container", "bottles_lot", "closures_lot"} {
		p.pickOnly("filling-" + list)
	}
	p.send("filling-started_at")
	p.sees("K1B1")
	for _, bottle := range []string{"188", "186"} {
		later(5 * time.Minute)
		p.enter("fill_check-bottle", bottle)
		p.choose("fill_check", "closure_ok", "yes")
		p.enter("fill_check-inverted_seconds", "300")
		p.enter("fill_check-net_weight", "23")
		p.send("fill_check-bottle")
	}
	later(20 * time.Minute)
	p.enter("fill_end-count", "112")
	p.send("fill_end-count")

	lot := h.onlyLot()
	p.open("/lot/" + lot.ID)
	part := h.onlyPart(lot)
	p.enter("part_release-"+part.ID+"-reason", "Checked and in order")
	p.enter("part_release-"+part.ID+"-secret", testPassword)
	p.send("part_release-" + part.ID + "-reason")
	shelf, err := records.ShelfOf(context.Background(), h.store, part.ID)
	require.NoError(t, err)
	require.Equal(t, records.StateReleased, shelf.State, p.text())
	t.Logf("values typed or picked from cut to release: %d (aim: at most %d)", p.typed, mostTyped)
	assert.LessOrEqual(t, p.typed, mostTyped)

	p.labelLeadsToLot(lot)
	p.sheetReadsBack(lot)

	later(time.Hour)
	p.open("/shelf/shipment/new")
	p.enter("shipment-units_"+part.ID, "24")
	p.pickOnly("shipment-customer")
	p.enter("shipment-how_packed", "cases of 12")
	p.send("shipment-how_packed")
	p.sees("24")

	later(24 * time.Hour)
	p.open("/complaints/new")
	p.enter("complaint-code", " "+strings.ToLower(lot.Code[:7])+" "+lot.Code[7:]+" ") // typed with slips
	p.pick("complaint-about", "crystals")
	p.enter("complaint-story", "Sugar at the bottom of the bottle")
	p.send("complaint-story")
	p.sees(records.PrintedCode(lot.Code))
	p.sees("Marsh Hen Market")
	p.open(strings.SplitN(run, "#", 2)[0])
	p.sees("36.1")
}

// equip gives the house what the main job needs before the season: field, kettle, instruments, product, bottles, customer.
func (h *testHouse) equip() {
	h.t.Helper()
	h.planted()
	house, err := h.store.House(context.Background())
	require.NoError(h.t, err)
	house.PublicAddress, house.AddressOnBottle = "https://sawgrass.example", true
	require.NoError(h.t, h.store.Amend(context.Background(), records.Actor{PersonID: h.people["odell"]}, &house, "address confirmed for the bottles"))
	limit := syrup.Fahrenheit(180).Celsius()
	glass := &records.Supplier{Firm: "Tern Glass", Address: "1 Kiln Way, Tern, GA", Telephone: "229 555 0111"}
	h.write(&records.Kettle{SiteID: h.site, Number: 1, Name: "Big kettle"}, glass,
		&records.Instrument{Name: "Probe 1", Measures: records.MeasuresTemperature, ReadsIn: "F"},
		&records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F},
		&records.Instrument{Name: "Bench scale", Measures: records.MeasuresWeight},
		&records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 18},
		&records.Container{Name: "Pint, glass", Contents: syrup.USFluidOunces(16).Milliliters(), ContentsEntered: "16 floz", FillLimit: &limit, FillLimitEntered: "180 F", FillLimitSource: "our cooling test"},
		&records.LabelStock{Name: "Letter 2x5", Paper: records.PaperLetter, Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 4.7, PitchX: 104.8,
			PitchY: 50.8, LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 300},
		&records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Marsh Hen Market", Address: "3 Levee Street, Bend, GA", Telephone: "229 555 0122"}})
	thousand := 1000.0
	h.write(&records.SupplyLot{Sort: records.SupplyBottles, Description: "Pint round", SupplierID: glass.ID, TheirLot: "G-88", Quantity: &thousand, HowPacked: "cases of 12", ReceivedOn: "2025-10-01"},
		&records.SupplyLot{Sort: records.SupplyClosures, Description: "Lug cap", SupplierID: glass.ID, TheirLot: "C-12", Quantity: &thousand, HowPacked: "carton", ReceivedOn: "2025-10-01"})
}

func (h *testHouse) onlyLot() records.Lot {
	h.t.Helper()
	lots, err := records.List[records.Lot](context.Background(), h.store, "")
	require.NoError(h.t, err)
	require.Len(h.t, lots, 1)
	return lots[0]
}

func (h *testHouse) onlyPart(lot records.Lot) records.Part {
	h.t.Helper()
	parts, err := records.List[records.Part](context.Background(), h.store, "lot_id = ?", lot.ID)
	require.NoError(h.t, err)
	require.Len(h.t, parts, 1)
	return parts[0]
}

// phone is a Chromium of a phone's size that counts what is typed and picked.
type phone struct {
	h     *testHouse
	ctx   context.Context
	typed int
}

func (h *testHouse) phone() *phone {
	h.t.Helper()
	ctx, cancel := chromedp.NewContext(context.Background())
	h.t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 3*time.Minute)
	h.t.Cleanup(stop)
	p := &phone{h: h, ctx: ctx}
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
	return p
}

func (p *phone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.h.t.Helper()
	require.NoError(p.h.t, chromedp.Do(p.ctx, steps...))
}

// evaluate runs a script and gives its value.
func evaluate[T any](p *phone, format string, args ...any) T {
	p.h.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](fmt.Sprintf(format, args...), chromedp.EvalAwaitPromise))
	require.NoError(p.h.t, err)
	return v
}

func (p *phone) open(path string) {
	p.h.t.Helper()
	p.do(chromedp.Navigate(p.h.server.URL + path))
	assert.Equal(p.h.t, 390.0, evaluate[float64](p, "window.innerWidth"), "%s is wider than the phone", path)
}

func (p *phone) path() string {
	p.h.t.Helper()
	return evaluate[string](p, "location.pathname")
}

func (p *phone) text() string {
	p.h.t.Helper()
	return strings.Join(strings.Fields(evaluate[string](p, "document.body.innerText")), " ")
}

func (p *phone) sees(text string) {
	p.h.t.Helper()
	assert.Contains(p.h.t, p.text(), text, p.path())
}

func (p *phone) signIn(login string) {
	p.h.t.Helper()
	p.open("/login")
	p.do(chromedp.SendKeys(chromedp.CSS("[name=login]"), login), chromedp.SendKeys(chromedp.CSS("[name=password]"), testPassword))
	p.press(`document.querySelector("[name=login]")`)
	p.typed = 0
}

// unfold opens the fold a field is in, as a tap on its word does.
func (p *phone) unfold(id string) {
	p.h.t.Helper()
	evaluate[bool](p, `(() => { let fold = document.getElementById(%q).closest("details"); if (fold && !fold.open) fold.querySelector("summary").click(); return true })()`, id)
}

func (p *phone) enter(id, value string) {
	p.h.t.Helper()
	require.True(p.h.t, evaluate[bool](p, "!!document.getElementById(%q)", id), "no field %s on %s: %s", id, p.path(), p.text())
	p.unfold(id)
	p.do(chromedp.SendKeys(chromedp.ID(id), value))
	p.typed++
}

func (p *phone) pick(id, value string) {
	p.h.t.Helper()
	p.do(chromedp.SetValue(chromedp.ID(id), value))
	p.typed++
}

// pickOnly picks the one real choice of a list, unless it stands there already.
func (p *phone) pickOnly(id string) {
	p.h.t.Helper()
	picked := evaluate[bool](p, `(() => { let list = document.getElementById(%q); if (list.value) return false;
		list.value = [...list.options].find(o => o.value).value; return true })()`, id)
	if picked {
		p.typed++
	}
}

func (p *phone) choose(form, name, value string) {
	p.h.t.Helper()
	evaluate[bool](p, `(() => { let box = document.querySelector('input[id^="%s-"][name="%s"][value="%s"], form input[name="%s"][value="%s"]'); box.click(); return true })()`,
		form, name, value, name, value)
	p.typed++
}

// send taps the button of the form a field is in and waits for the answer.
func (p *phone) send(id string) {
	p.h.t.Helper()
	p.press(fmt.Sprintf("document.getElementById(%q)", id))
	assert.Empty(p.h.t, evaluate[string](p, `[...document.querySelectorAll(".error, [role=alert]")].map(e => e.innerText).join(" / ")`), p.path())
}

// press opens what the button is folded in, as a tap does. The page of a run keeps an entry without being loaded anew: there
// the answer is a line more in its log.
func (p *phone) press(field string) {
	p.h.t.Helper()
	evaluate[bool](p, `(() => { window.before = true; window.lines = document.querySelectorAll("[data-part=log] .log-line").length;
		let button = %s.form.querySelector('button[type=submit]:not([formaction]):not(:disabled)');
		for (let fold = button.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
		button.click(); return true })()`, field)
	require.Eventually(p.h.t, func() bool {
		arrived, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`document.readyState === "complete" && (!window.before ||
			document.documentElement.dataset.notKept > 0 || document.querySelectorAll("[data-part=log] .log-line").length > window.lines)`))
		return err == nil && arrived
	}, 20*time.Second, 20*time.Millisecond, "no answer")
}

// posted sends the form a field is in as the page would, and gives the bytes of the answer: a PDF opens in a viewer that
// scripts cannot read.
func (p *phone) posted(id string) []byte {
	p.h.t.Helper()
	encoded := evaluate[string](p, `(async () => { let form = document.getElementById(%q).form;
		let answer = await fetch(form.action, {method: "POST", body: new URLSearchParams(new FormData(form))});
		let bytes = new Uint8Array(await answer.arrayBuffer()), text = "";
		for (let b of bytes) text += String.fromCharCode(b);
		return btoa(text) })()`, id)
	decoded, err := base64.StdEncoding.DecodeString(encoded)
	require.NoError(p.h.t, err)
	require.True(p.h.t, strings.HasPrefix(string(decoded), "%PDF"), "no PDF: %.300s", decoded)
	return decoded
}

// labelLeadsToLot prints a label, draws the PDF as a picture, has an independent reader decode the symbol, and follows it.
func (p *phone) labelLeadsToLot(lot records.Lot) {
	p.h.t.Helper()
	p.open("/lot/" + lot.ID + "/labels")
	evaluate[bool](p, `(() => { document.getElementById("label_print-count").value = "1"; return true })()`)
	folder := p.h.t.TempDir()
	file := filepath.Join(folder, "label.pdf")
	require.NoError(p.h.t, os.WriteFile(file, p.posted("label_print-count"), 0o600))
	toolRun(p.h.t, "pdftoppm", "-r", "300", "-png", file, filepath.Join(folder, "label"))
	pictures, err := filepath.Glob(filepath.Join(folder, "label*.png"))
	require.NoError(p.h.t, err)
	require.Len(p.h.t, pictures, 1)
	decoded := strings.TrimSpace(toolRun(p.h.t, "zbarimg", "--nodbus", "-q", "--raw", pictures[0]))
	assert.Equal(p.h.t, "HTTPS://SAWGRASS.EXAMPLE/L/"+lot.Code, decoded)
	p.open(strings.TrimPrefix(decoded, "HTTPS://SAWGRASS.EXAMPLE"))
	p.sees(records.PrintedCode(lot.Code))
	words := toolRun(p.h.t, "pdftotext", "-layout", file, "-")
	for _, line := range []string{"Cane syrup", "16 fl oz", "473 mL", "Sawgrass Bend", records.PrintedCode(lot.Code), "Ingredients: cane syrup."} {
		assert.Contains(p.h.t, strings.Join(strings.Fields(words), " "), line)
	}
}

// sheetReadsBack prints the batch sheet and reads its words with an independent reader.
func (p *phone) sheetReadsBack(lot records.Lot) {
	p.h.t.Helper()
	p.open("/lot/" + lot.ID)
	encoded := evaluate[string](p, `(async () => { let answer = await fetch("/sheet/%s"), bytes = new Uint8Array(await answer.arrayBuffer()), text = "";
		for (let b of bytes) text += String.fromCharCode(b); return btoa(text) })()`, lot.ID)
	sheet, err := base64.StdEncoding.DecodeString(encoded)
	require.NoError(p.h.t, err)
	file := filepath.Join(p.h.t.TempDir(), "sheet.pdf")
	require.NoError(p.h.t, os.WriteFile(file, sheet, 0o600))
	words := strings.Join(strings.Fields(toolRun(p.h.t, "pdftotext", "-layout", file, "-")), " ")
	for _, line := range []string{records.PrintedCode(lot.Code), "25341K1", "36.1 Be", "Creek side", "Tomas Reed", "C-12", "not recorded"} {
		assert.Contains(p.h.t, words, line)
	}
}

func toolRun(t testing.TB, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	require.NoError(t, err, "%s %v", name, args)
	return string(out)
}
