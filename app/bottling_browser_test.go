package app

import (
	"context"
	"encoding/base64"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/toolcheck"
	"canewright/labels"
	"canewright/records"
)

// bottling is a house with a holding tank fed by two runs, a clock that the test moves, and a phone at the filler.
type bottling struct {
	*boiledRun
	*phone
	passed *atomic.Int64
	tank   records.Tank
	stock  *records.LabelStock
	lot    records.Lot
}

func newBottling(t *testing.T) *bottling {
	t.Helper()
	passed := &atomic.Int64{}
	h := newBoiledRunAt(t, thick, func() time.Time { return testNow.Add(time.Duration(passed.Load())) })
	h.weighed(t)
	b := &bottling{boiledRun: h, passed: passed, tank: records.Tank{SiteID: h.site, Name: "Holding tank", Holds: records.HoldsSyrup}, stock: letterStock()}
	shop := records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Marsh Hen Market", Address: "3 Levee Street, Bend, GA", Telephone: "229 555 0122"}}
	h.write(&b.tank, b.stock, &shop)
	b.secondRun(t)
	ctx, who := context.Background(), records.Actor{PersonID: h.people["odell"]}
	require.NoError(t, h.store.Fill(ctx, who, records.Draw{FromID: h.run.ID, ToID: b.tank.ID, At: morning(9, 40), Volume: pointer(syrup.Liters(36)), Entered: "36 L"}))
	house, err := h.store.House(ctx)
	require.NoError(t, err)
	house.PublicAddress, house.AddressOnBottle = "https://sawgrass.example", true
	require.NoError(t, h.store.Amend(ctx, who, &house, "address confirmed for the bottles"))
	b.phone = h.phone()
	return b
}

// secondRun boils a small run in another kettle and draws it off into the holding tank.
func (b *bottling) secondRun(t *testing.T) {
	t.Helper()
	ctx, who := context.Background(), records.Actor{PersonID: b.people["odell"]}
	kettle := records.Kettle{SiteID: b.site, Number: 3, Name: "Small kettle"}
	planting, err := records.List[records.Planting](ctx, b.store, "")
	require.NoError(t, err)
	cut := records.Cut{PlantingID: planting[0].ID, CutOn: "2025-12-06", Harvester: "Marisol", Mass: pointer(syrup.Kilograms(260)), MassEntered: "260 kg"}
	b.write(&kettle, &cut)
	pressing := records.Pressing{SiteID: b.site, StartedAt: morning(5, 30), Volume: pointer(syrup.Liters(85)), Brix: pointer(syrup.Brix(17))}
	require.NoError(t, b.store.RecordPressing(ctx, who, &pressing, []records.Draw{{FromID: cut.ID}}))
	run := records.Run{KettleID: kettle.ID, FireLitAt: morning(6, 30)}
	require.NoError(t, b.store.StartRun(ctx, who, &run, []records.Draw{{FromID: pressing.ID}}))
	spindles, err := records.List[records.Instrument](ctx, b.store, "measures = ?", records.MeasuresDensity)
	require.NoError(t, err)
	b.write(&records.DensityReading{OfID: run.ID, At: morning(9, 20), Stage: records.StageFinish, Reading: thick, Scale: syrup.ScaleBaume, ReadingEntered: "36.1 Be",
		Temperature: pointer(syrup.Fahrenheit(224).Celsius()), TemperatureEntered: "224 F", InstrumentID: &spindles[0].ID})
	drawn := records.BoilEntry{RunID: run.ID, At: morning(9, 30), Volume: pointer(syrup.Liters(14)), VolumeEntered: "14 L", Temperature: pointer(syrup.Celsius(104))}
	require.NoError(t, b.store.DrawOff(ctx, who, &drawn, b.tank.ID))
}

func (b *bottling) later(minutes int) { b.passed.Add(int64(time.Duration(minutes) * time.Minute)) }

// untilTrue waits, within a bound, for something the page does by itself.
func (p *phone) untilTrue(what, script string, args ...any) {
	p.h.t.Helper()
	require.Eventually(p.h.t, func() bool { return evaluate[bool](p, script, args...) }, soon, 50*time.Millisecond, "%s: %s", what, p.text())
}

// The filler's whole day on a phone: a bottling with a cool bottle in its middle, a stop and a broken bottle; the lot
// divides, the good bottles are labelled, released and sold while the doubtful stay, and somebody who bought one writes.
func TestBottlingOnAPhone(t *testing.T) {
	toolcheck.Need(t, "chromium", "pdftoppm", "pdftotext", "zbarimg")
	b := newBottling(t)
	b.signIn("odell")
	b.fillFromTheTank()
	b.stopsAndGoesOn()
	parts := b.endsDivided()
	b.tagAgainstLabel()
	b.looksAtTheLabel()
	b.printsTwice()
	b.countsLabels()
	b.shipsTheReleased(parts)
	b.ownerTurnsPageOn()
	stranger := b.phone.h.phone()
	b.strangerLooks(stranger)
	b.strangerTells(stranger)
	b.complaintArrives()
	b.recallIsSeen(stranger, parts[0])
	assert.NotContains(t, b.boiledRun.log.String(), "level=ERROR")
}

// fillFromTheTank starts the lot, sees whose syrup is in it, and checks two bottles, the second too cool.
func (b *bottling) fillFromTheTank() {
	t := b.boiledRun.t
	t.Helper()
	b.open("/filler/new?from=" + b.tank.ID)
	for _, list := range []string{"product", "container", "bottles_lot", "closures_lot"} {
		b.pickOnly("filling-" + list)
	}
	b.send("filling-started_at")
	b.lot = b.boiledRun.onlyLot()
	b.sees(records.PrintedCode(b.lot.Code))
	b.sees("72.0 %") // 36 L of 50 L of the same syrup
	b.sees("28.0 %")
	b.later(5)
	b.look("188", "12")
	b.sees("Next check at")
	b.later(15)
	b.look("171", "40")
	b.sees("171.0 °F")
	b.sees("on hold")
	assert.True(t, evaluate[bool](b.phone, `(() => { let hold = document.querySelector("article.finding.hold[role=status] .finding-head"); return !!hold && hold.getBoundingClientRect().bottom < innerHeight })()`), "a cool bottle is told on the first screen")
}

// look writes one fill check: bottle temperature, bottles capped so far, full bottle on the scale.
func (b *bottling) look(bottle, number string) {
	b.boiledRun.t.Helper()
	b.enter("fill_check-bottle", bottle)
	b.enter("fill_check-bottle_number", number)
	b.choose("fill_check", "closure_ok", "yes")
	b.enter("fill_check-inverted_seconds", "60")
	b.enter("fill_check-gross", "33.8")
	b.send("fill_check-bottle")
}

// send taps a form's button; the page that answers is no wider than the phone.
func (b *bottling) send(id string) {
	b.boiledRun.t.Helper()
	b.phone.send(id)
	assert.Equal(b.boiledRun.t, 390.0, evaluate[float64](b.phone, "window.innerWidth"), "%s: %s", b.path(), evaluate[string](b.phone, tooWide))
}

// stopsAndGoesOn breaks a bottle, stands still, and checks the first bottle after.
func (b *bottling) stopsAndGoesOn() {
	b.boiledRun.t.Helper()
	b.later(2)
	b.enter("fill_broken-count", "1")
	b.send("fill_broken-count")
	b.sees("1 broken")
	b.later(3)
	b.enter("fill_stop-bottle_number", "58")
	b.enter("fill_stop-note", "nozzle blocked")
	b.send("fill_stop-note")
	b.sees("Stopped at")
	b.sees("No check is asked for until it goes on.")
	b.later(12)
	b.send("fill_restart-at")
	b.sees("Check the first bottle after the stop")
	b.look("189", "60")
	b.sees("Next check at")
	assert.False(b.boiledRun.t, evaluate[bool](b.phone, `!!document.querySelector("article.finding.hold[role=status]")`), "a good check answers it")
	b.later(17)
	b.look("187", "96")
}

// endsDivided counts the bottles: those in doubt are a part of their own, and only the others can be released.
func (b *bottling) endsDivided() []records.PartShelf {
	t := b.boiledRun.t
	t.Helper()
	b.later(3)
	b.enter("fill_end-count", "100")
	b.send("fill_end-count")
	parts := b.boiledRun.parts(t, b.lot)
	require.Len(t, parts, 3)
	b.open("/lot/" + b.lot.ID)
	for _, words := range []string{"bottles 1 to 12", "bottles 13 to 59", "bottles 60 to 100", "Bottles from 13 to 59 are on hold."} {
		b.sees(words)
	}
	for i, p := range parts {
		b.enter("part_release-"+p.ID+"-reason", "Looked at and in order")
		b.enter("part_release-"+p.ID+"-secret", testPassword)
		field := `document.getElementById("part_release-` + p.ID + `-reason")`
		b.press(field)
		if i == 1 {
			assert.NotEmpty(t, evaluate[string](b.phone, `[...%s.form.querySelectorAll(".error, [role=alert]")].map(e => e.innerText).join(" ")`, field), "the doubtful bottles stay")
			b.open("/lot/" + b.lot.ID)
		}
	}
	parts = b.boiledRun.parts(t, b.lot)
	assert.Equal(t, []string{records.StateReleased, records.StateHeld, records.StateReleased}, []string{parts[0].State, parts[1].State, parts[2].State}, b.text())
	return parts
}

// tagAgainstLabel holds the tray's tag against a label of yesterday, which stops the work, and then against the right one.
func (b *bottling) tagAgainstLabel() {
	t := b.boiledRun.t
	t.Helper()
	yesterday, err := labels.NewLotCode(testNow.AddDate(0, 0, -1), 2, 1)
	require.NoError(t, err)
	hold := func(label string) {
		b.enter("tag_hold-tag", b.lot.Code)
		b.enter("tag_hold-label", label)
		b.press(`document.getElementById("tag_hold-tag")`)
	}
	b.open("/filler/match")
	hold(yesterday.String())
	b.sees("STOP")
	b.open("/filler/match")
	b.sees("STOP")
	assert.False(t, evaluate[bool](b.phone, `!!document.getElementById("tag_hold-tag")`), "nothing goes on until somebody wrote what was done")
	b.enter("mismatch-note", "roll of yesterday, put away")
	b.send("mismatch-note")
	hold(b.lot.Code)
	b.sees("Tag and label are both " + records.PrintedCode(b.lot.Code))
}

// looksAtTheLabel sees the label checker and the picture, decodes the picture's pixels and has another reader read them.
func (b *bottling) looksAtTheLabel() {
	t := b.boiledRun.t
	t.Helper()
	b.open("/lot/" + b.lot.ID + "/labels")
	b.pickOnly("label_print-stock")
	evaluate[bool](b.phone, `document.getElementById("label_print-stock").dispatchEvent(new Event("change", {bubbles: true}))`)
	const shown = `(() => { let i = document.getElementById(%q); return i.complete && i.naturalWidth > 0 && i.getClientRects().length > 0 })()`
	b.untilTrue("the label's picture", shown, "label-picture")
	b.untilTrue("the sheet's picture", shown, "sheet-picture")
	b.sees("Label check")
	pixels := evaluate[string](b.phone, `(() => { let i = document.getElementById("label-picture"), c = document.createElement("canvas");
		c.width = i.naturalWidth; c.height = i.naturalHeight; c.getContext("2d").drawImage(i, 0, 0); return c.toDataURL("image/png").split(",")[1] })()`)
	picture, err := base64.StdEncoding.DecodeString(pixels)
	require.NoError(t, err)
	file := filepath.Join(t.(*testing.T).TempDir(), "preview.png")
	require.NoError(t, os.WriteFile(file, picture, 0o600))
	assert.Equal(t, b.address(), strings.TrimSpace(toolRun(t, "zbarimg", "--nodbus", "-q", "--raw", file)))
}

// address is what the symbol of the lot's labels says.
func (b *bottling) address() string { return "HTTPS://SAWGRASS.EXAMPLE/L/" + b.lot.Code }

// printsTwice prints the labels and prints them again: the journal knows the reprint, and the code stays as it is.
func (b *bottling) printsTwice() {
	t := b.boiledRun.t
	t.Helper()
	code := records.PrintedCode(b.lot.Code)
	for i := range 2 {
		b.open("/lot/" + b.lot.ID + "/labels")
		b.pickOnly("label_print-stock")
		evaluate[bool](b.phone, `(() => { document.getElementById("label_print-count").value = "2"; document.getElementById("label_print-start").value = "1"; return true })()`)
		if i == 1 {
			b.enter("label_print-why", "one sheet jammed")
		}
		words, symbols := b.sheetRead(b.posted("label_print-count"))
		assert.Equal(t, []string{b.address(), b.address()}, symbols)
		assert.Equal(t, 2, strings.Count(words, code), words)
	}
	prints, err := records.List[records.Print](context.Background(), b.store, "what = ? ORDER BY at, id", records.PrintLabels)
	require.NoError(t, err)
	require.Len(t, prints, 2)
	assert.Equal(t, []bool{false, true}, []bool{prints[0].Reprint, prints[1].Reprint})
	assert.Equal(t, b.lot.Code, b.boiledRun.onlyLot().Code)
	b.open("/lot/" + b.lot.ID)
	b.sees("printed again")
}

// sheetRead gives the words of a PDF of one page and what another reader makes of its symbols.
func (b *bottling) sheetRead(pdf []byte) (words string, symbols []string) {
	t := b.boiledRun.t
	t.Helper()
	folder := t.(*testing.T).TempDir()
	file := filepath.Join(folder, "labels.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o600))
	toolRun(t, "pdftoppm", "-r", "300", "-png", file, filepath.Join(folder, "page"))
	pages, err := filepath.Glob(filepath.Join(folder, "page*.png"))
	require.NoError(t, err)
	require.Len(t, pages, 1)
	words = strings.Join(strings.Fields(toolRun(t, "pdftotext", "-layout", file, "-")), " ")
	return words, strings.Fields(toolRun(t, "zbarimg", "--nodbus", "-q", "--raw", pages[0]))
}

// countsLabels counts used and spoiled; what was printed adds up.
func (b *bottling) countsLabels() {
	b.boiledRun.t.Helper()
	b.open("/lot/" + b.lot.ID + "/labels")
	b.enter("label_count-used", "3")
	b.enter("label_count-spoiled", "1")
	b.send("label_count-used")
	b.sees("The count is kept.")
	balance, err := records.LabelBalanceOf(context.Background(), b.store, b.lot.ID)
	require.NoError(b.boiledRun.t, err)
	rest, ok := balance.Unaccounted()
	assert.True(b.boiledRun.t, ok && rest == 0, "%+v", balance)
}

// shipsTheReleased sells of the first part. What is held is not offered, and is refused when it is asked for all the same.
func (b *bottling) shipsTheReleased(parts []records.PartShelf) {
	t := b.boiledRun.t
	t.Helper()
	b.later(30)
	b.open("/shelf/shipment/new")
	assert.False(t, evaluate[bool](b.phone, `!!document.querySelector('[name="units_%s"]')`, parts[1].ID))
	b.pickOnly("shipment-customer")
	b.enter("shipment-how_packed", "case of 12")
	refused := evaluate[float64](b.phone, `(async () => { let form = document.getElementById("shipment-how_packed").form, body = new URLSearchParams(new FormData(form));
		body.set("units_%s", "1"); body.set("submission", "by hand"); return (await fetch(form.action, {method: "POST", body})).status })()`, parts[1].ID)
	assert.GreaterOrEqual(t, refused, 400.0, "bottles on hold leave by no door")
	b.enter("shipment-units_"+parts[0].ID, "12")
	b.send("shipment-how_packed")
	now := b.boiledRun.parts(t, b.lot)
	assert.Equal(t, []int{12, 0, 0}, []int{now[0].Shipped, now[1].Shipped, now[2].Shipped})
}

// ownerTurnsPageOn opens the bottle's page to strangers.
func (b *bottling) ownerTurnsPageOn() {
	b.boiledRun.t.Helper()
	house, err := b.store.House(context.Background())
	require.NoError(b.boiledRun.t, err)
	b.open("/record/" + house.ID + "/amend")
	evaluate[bool](b.phone, `(document.getElementById("house-public_page").click(), true)`)
	b.enter("house-why", "customers ask")
	b.send("house-why")
}

// strangerLooks opens what the symbol says, in a browser of its own without sign-in.
func (b *bottling) strangerLooks(p *phone) {
	p.h.t.Helper()
	p.open("/L/" + b.lot.Code)
	for _, words := range []string{"Cane syrup", records.PrintedCode(b.lot.Code), "Creek side", "Sawgrass Bend"} {
		p.sees(words)
	}
	assert.NotContains(p.h.t, p.text(), "Recall notice")
	assert.NotContains(p.h.t, p.text(), "Marsh Hen")
}

// strangerTells writes about the bottle, with a photo.
func (b *bottling) strangerTells(p *phone) {
	p.h.t.Helper()
	p.open("/L/" + b.lot.Code + "/tell")
	p.pick("public_tell-about", "crystals")
	p.enter("public_tell-story", "Sugar at the bottom of the bottle")
	p.enter("public_tell-contact_telephone", "229 555 0144")
	p.do(chromedp.SetUploadFiles(chromedp.ID("public_tell-photo"), []string{bigPicture(p.h.t.(*testing.T))}))
	p.send("public_tell-story")
	assert.True(p.h.t, strings.HasSuffix(p.path(), "/told"), p.path())
	assert.Equal(p.h.t, 390.0, evaluate[float64](p, "window.innerWidth"))
}

// complaintArrives finds it in the list, with its lot, its words and its photo.
func (b *bottling) complaintArrives() {
	b.boiledRun.t.Helper()
	b.open("/complaints")
	b.sees(records.PrintedCode(b.lot.Code))
	complaints, err := records.List[records.Complaint](context.Background(), b.store, "")
	require.NoError(b.boiledRun.t, err)
	require.Len(b.boiledRun.t, complaints, 1)
	b.open("/complaints/" + complaints[0].ID)
	b.sees("Sugar at the bottom of the bottle")
	b.sees("Marsh Hen Market")
	b.untilTrue("the photo", `[...document.querySelectorAll(".photos img")].some(i => (i.scrollIntoView(), true) && i.complete && i.naturalWidth > 0)`)
}

// recallIsSeen calls the sold bottles back, and the stranger's page says so.
func (b *bottling) recallIsSeen(stranger *phone, part records.PartShelf) {
	b.boiledRun.t.Helper()
	b.open("/lot/" + b.lot.ID)
	form := "part_dispose-" + part.ID
	b.choose(form, "act", "recall")
	b.enter(form+"-reason", "lids leak")
	b.enter(form+"-secret", testPassword)
	b.send(form + "-reason")
	stranger.open("/L/" + b.lot.Code)
	stranger.sees("Recall notice")
	stranger.sees("Do not eat")
	assert.NotContains(stranger.h.t, stranger.text(), "lids leak")
}
