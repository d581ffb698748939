package app

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/labels"
	"canewright/records"
)

// letterStock is a sheet of ten.
func letterStock() *records.LabelStock {
	return &records.LabelStock{Name: "Letter 2 by 5", Paper: "letter", Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 4, PitchX: 106.4, PitchY: 50.8,
		LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 600}
}

func caseStock() *records.LabelStock {
	return &records.LabelStock{Name: "Case roll", Paper: "roll", Rows: 1, Columns: 1, LabelWidth: 100, LabelHeight: 150, DotsPerInch: 203}
}

// TestLabelPictures: the page shows label and sheet as they will come out, and says in words why there is none.
func TestLabelPictures(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	stock, roll := letterStock(), caseStock()
	h.write(stock, roll)
	lot := h.filled(t, b)
	at := "/lot/" + lot.ID + "/labels"
	page := b.get(at + "?what=labels&stock=" + roll.ID + "&start=1&count=5")
	require.Equal(t, http.StatusOK, page.StatusCode, page.body)
	sources := regexp.MustCompile(`<img class="(?:label|sheet)-picture"[^>]* src="([^"]+)"`).FindAllStringSubmatch(page.body, -1)
	require.Len(t, sources, 2)
	for i, want := range []image.Rectangle{image.Rect(0, 0, 800, 1199), image.Rect(0, 0, 237, 355)} {
		answer := b.get(strings.ReplaceAll(sources[i][1], "&amp;", "&"))
		require.Equal(t, "image/png", answer.Header.Get("Content-Type"), answer.body)
		picture, err := png.Decode(bytes.NewReader([]byte(answer.body)))
		require.NoError(t, err)
		assert.Equal(t, want, picture.Bounds())
		said, err := url.PathUnescape(answer.Header.Get("X-Label-Words"))
		require.NoError(t, err)
		assert.Equal(t, "Case roll, 100 by 150 mm, 5 pages.", said)
	}
	assert.Contains(t, page.read(), "Case roll, 100 by 150 mm, 5 pages.")
	for query, want := range map[string]string{
		"stock=" + stock.ID + "&start=11&count=4": "this sheet has 10 labels, not 11", "stock=" + stock.ID + "&start=x&count=4": "First label on the sheet:",
		"stock=&start=1&count=1": "Label stock:", "stock=" + stock.ID + "&start=1&count=0": "How many labels:",
	} {
		for _, sort := range []string{"picture", "page"} {
			answer := b.get(at + "/" + sort + "?what=labels&" + query)
			assert.Equal(t, http.StatusUnprocessableEntity, answer.StatusCode, query)
			assert.Equal(t, "text/plain; charset=utf-8", answer.Header.Get("Content-Type"))
			assert.Contains(t, answer.body, want)
		}
	}
	assert.Equal(t, http.StatusNotFound, b.get(at+"/picture?what=posters&stock="+stock.ID+"&start=1&count=1").StatusCode)
	assert.Equal(t, http.StatusOK, h.as("ines").get(at+"/picture?stock="+stock.ID+"&start=1&count=1").StatusCode, "a reader may look")
	prints, err := records.List[records.Print](context.Background(), h.store, "what = 'labels'")
	require.NoError(t, err)
	assert.Empty(t, prints, "looking prints nothing")
}

// TestPrintAgain: a second printing is marked, says why if one says it, and has the same code; stock and cell are kept.
func TestPrintAgain(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	stock := letterStock()
	h.write(stock)
	lot := h.filled(t, b)
	at := "/lot/" + lot.ID + "/labels"
	assert.NotContains(t, b.get(at).body, `name="why"`)
	first := b.post(at, "what", "labels", "stock", stock.ID, "start", "2", "count", "10", "submission", "p1")
	require.Equal(t, http.StatusOK, first.StatusCode)
	again := b.get(at)
	assert.Contains(t, again.body, `name="why"`)
	assert.Contains(t, again.read(), "The code on them stays the same")
	second := b.post(at, "what", "labels", "stock", stock.ID, "start", "2", "count", "10", "why", "wet in the cooler", "submission", "p2")
	require.Equal(t, http.StatusOK, second.StatusCode)
	assert.Equal(t, first.body, second.body, "the same labels, to the byte")
	prints, err := records.List[records.Print](context.Background(), h.store, "what = 'labels' ORDER BY at, id")
	require.NoError(t, err)
	require.Len(t, prints, 2)
	assert.Equal(t, []bool{false, true}, []bool{prints[0].Reprint, prints[1].Reprint})
	assert.Equal(t, "Letter 2 by 5, from cell 2; wet in the cooler", prints[1].Note)
	assert.Equal(t, []any{stock.ID, 2}, []any{*prints[1].LabelStockID, *prints[1].StartCell})
	assert.Contains(t, b.get("/lot/"+lot.ID).read(), "labels, 10, Letter 2 by 5, from cell 2; wet in the cooler (printed again)")
	b.post("/setting", "language", "es", "back", "/")
	assert.Contains(t, b.get("/lot/"+lot.ID).read(), "etiquetas, 10, Letter 2 by 5, desde la etiqueta 2; wet in the cooler (otra vez)")
	entries, err := records.List[records.Lot](context.Background(), h.store, "id = ?", lot.ID)
	require.NoError(t, err)
	assert.Equal(t, lot.Code, entries[0].Code)
}

// TestStockOfAProduct: the stock the owner set for a product is offered, whatever was printed last on another.
func TestStockOfAProduct(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	sheet, roll := letterStock(), caseStock()
	h.write(sheet, roll, &records.TradeItem{ProductID: h.product.ID, ContainerID: h.container.ID, LabelStockID: &roll.ID})
	at := "/lot/" + h.filled(t, b).ID + "/labels"
	require.Equal(t, http.StatusOK, b.post(at, "what", "labels", "stock", sheet.ID, "start", "1", "count", "3", "submission", "p1").StatusCode)
	assert.Contains(t, b.get(at).body, `<option value="`+roll.ID+`" selected>`)
	assert.Contains(t, b.get(at+"?what=shelf_cards").body, `<option value="`+sheet.ID+`">`, "the product's stock is for bottles")
}

// TestCaseLabelsAndCards prints what stands on cases and shelves; the bars come with prefix and GTIN alone.
func TestCaseLabelsAndCards(t *testing.T) {
	h := newBoiledRun(t, thick)
	ctx := context.Background()
	b := h.as("odell")
	roll := caseStock()
	h.write(roll)
	h.container.UnitsPerCase = pointer(12)
	require.NoError(t, h.store.Amend(ctx, records.Actor{PersonID: h.people["odell"]}, &h.container, "twelve to a case"))
	lot := h.filled(t, b)
	at := "/lot/" + lot.ID + "/labels"
	page := b.get(at + "?what=case_labels")
	assert.Contains(t, page.body, `value="10"`, "112 bottles are ten cases")
	plain, err := records.CaseLabelOf(ctx, h.store, lot.ID)
	require.NoError(t, err)
	assert.Equal(t, "12 bottles of 15.99 fl oz (473 mL)", plain.Contents)
	assert.Empty(t, plain.Elements)

	itemForm := []string{"product", h.product.ID, "container", h.container.ID, "gtin", "9521234543213", "case_gtin", "19521234543210"}
	refused := b.post("/house/trade-item", itemForm...)
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.read(), "only with the GS1 Company Prefix issued to you")
	house, err := h.store.House(ctx)
	require.NoError(t, err)
	house.CompanyPrefix = "9521234"
	require.NoError(t, h.store.Amend(ctx, records.Actor{PersonID: h.people["odell"]}, &house, "prefix issued"))
	wrong := b.post("/house/trade-item", append(itemForm, "gtin", "9521234543214")...)
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	assert.Contains(t, wrong.read(), "ends in 4; for the digits before it the last should be 3")
	assert.Contains(t, wrong.body, `value="9521234543214"`, "what was typed stays")
	b.post("/house/trade-item", itemForm...).location(t)
	assert.Contains(t, b.get("/house/trade-item").read(), "19521234543210")

	barred, err := records.CaseLabelOf(ctx, h.store, lot.ID)
	require.NoError(t, err)
	require.Len(t, barred.Elements, 3)
	assert.Equal(t, "270607", barred.Elements[1].Value, "eighteen months on")
	assert.Equal(t, "HTTPS://ID.GS1.ORG/01/19521234543210/10/"+lot.Code, barred.QR, "the case as it is sold, not the bottle in it")
	for what, note := range map[string]string{"case_labels": "Case roll, from cell 1", "shelf_cards": "Case roll, from cell 1"} {
		printed := b.post(at, "what", what, "stock", roll.ID, "start", "1", "count", "2", "submission", what)
		require.Equal(t, http.StatusOK, printed.StatusCode)
		assert.Regexp(t, pdfMagic, printed.body)
		prints, err := records.List[records.Print](ctx, h.store, "what = ?", what)
		require.NoError(t, err)
		require.Len(t, prints, 1)
		assert.Equal(t, note, prints[0].Note)
		assert.False(t, prints[0].Reprint)
	}
	assert.NotContains(t, b.get(at+"?what=case_labels&stock="+roll.ID+"&start=1&count=1").read(), "GS1 asks", "half a millimeter is wide enough")
	narrow := &records.LabelStock{Name: "Narrow roll", Paper: "roll", Rows: 1, Columns: 1, LabelWidth: 80, LabelHeight: 100, DotsPerInch: 203}
	h.write(narrow)
	assert.Contains(t, b.get(at+"?what=case_labels&stock="+narrow.ID+"&start=1&count=1").read(), "GS1 asks for 0.495 mm")
}

// TestNothingForBottlesThatAreNoMore: destroyed bottles are not offered labels, and none are printed when all are gone.
func TestNothingForBottlesThatAreNoMore(t *testing.T) {
	h := newBoiledRun(t, thick)
	ctx, who := context.Background(), records.Actor{PersonID: h.people["odell"]}
	b := h.as("odell")
	stock := letterStock()
	h.write(stock)
	lot := h.filled(t, b)
	at := "/lot/" + lot.ID + "/labels"
	part := h.partOf(t, lot)
	require.NoError(t, h.store.Divide(ctx, who, part.ID, []records.Piece{{Count: 100}, {Count: 12}}))
	parts, err := records.List[records.Part](ctx, h.store, "lot_id = ? ORDER BY number", lot.ID)
	require.NoError(t, err)
	require.NoError(t, h.store.Dispose(ctx, who, parts[1].ID, records.ActDestroy, "scorched"))
	assert.Contains(t, b.get(at).body, `value="100"`)
	require.NoError(t, h.store.Dispose(ctx, who, parts[0].ID, records.ActDestroy, "scorched"))
	page := b.get(at)
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.read(), "All bottles of "+records.PrintedCode(lot.Code)+" are destroyed")
	for _, what := range []string{"labels", "case_labels", "shelf_cards"} {
		printed := b.post(at, "what", what, "stock", stock.ID, "start", "1", "count", "4")
		assert.Equal(t, http.StatusUnprocessableEntity, printed.StatusCode, what)
		assert.Contains(t, printed.read(), "Nothing is printed for them")
		assert.Equal(t, http.StatusUnprocessableEntity, b.get(at+"/preview?what="+what+"&stock="+stock.ID+"&start=1&count=4").StatusCode)
		assert.Equal(t, http.StatusUnprocessableEntity, b.get(at+"/picture?what="+what+"&stock="+stock.ID+"&start=1&count=4").StatusCode)
	}
	assert.Equal(t, http.StatusUnprocessableEntity, b.post("/filler/"+lot.ID+"/tray-tag").StatusCode)
}

func TestCountLabels(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	stock := letterStock()
	h.write(stock)
	lot := h.filled(t, b) // 112 bottles
	at := "/lot/" + lot.ID + "/labels"
	require.Equal(t, http.StatusOK, b.post(at, "what", "labels", "stock", stock.ID, "start", "1", "count", "120", "submission", "p1").StatusCode)
	assert.Contains(t, b.get(at).read(), "Printed 120 Used not recorded Spoiled not recorded Bottles filled 112")
	b.post(at+"/count", "used", "112", "spoiled", "3", "submission", "c1").location(t)
	b.post(at+"/count", "used", "112", "spoiled", "3", "submission", "c1").location(t)
	assert.Contains(t, b.get(at).read(), "Used 112 Spoiled 3 Not accounted for 5")
	assert.NotContains(t, b.get("/lot/"+lot.ID).read(), "labels used for")
	b.post(at+"/count", "used", "9", "spoiled", "0", "submission", "c2").location(t)
	told := b.get("/lot/" + lot.ID).read()
	assert.Contains(t, told, "121 labels used for 112 bottles filled")
	assert.Contains(t, told, "124 labels counted as used or spoiled, 120 printed")
	wrong := b.post(at+"/count", "used", "-1", "spoiled", "x")
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	assert.Contains(t, wrong.body, `id="label_count-used-error"`)
	assert.Contains(t, wrong.body, `id="label_count-spoiled-error"`)
	assert.Contains(t, wrong.body, `value="-1"`, "what was typed stays")
	assert.Equal(t, http.StatusForbidden, h.as("ines").post(at+"/count", "used", "1", "spoiled", "1").StatusCode)
}

func TestTestPageOfStock(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	stock := letterStock()
	h.write(stock)
	at := "/stock/" + stock.ID + "/test-page"
	assert.Contains(t, b.get("/record/"+stock.ID).body, at)
	page := b.get(at)
	require.Equal(t, http.StatusOK, page.StatusCode)
	look := b.get(at + "/look")
	assert.Regexp(t, pdfMagic, look.body)
	printed := b.post(at, "submission", "t1")
	assert.Equal(t, look.body, printed.body)
	prints, err := records.List[records.Print](context.Background(), h.store, "what = 'test_page'")
	require.NoError(t, err)
	require.Len(t, prints, 1)
	assert.Equal(t, stock.ID, prints[0].OfID)
	assert.Equal(t, http.StatusNotFound, b.get("/stock/none/test-page").StatusCode)

	form := []string{"name", "Letter 2 by 5", "paper", "letter", "rows", "5", "columns", "2", "margin_top", "12.7", "margin_left", "4", "pitch_x", "106.4", "pitch_y", "50.8",
		"label_width", "101.6", "label_height", "50.8", "dots_per_inch", "600", "revision", "1", "why", "measured"}
	wrong := b.post("/record/"+stock.ID+"/amend", append(form, "offset_x", "9", "offset_y", "-1")...)
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	assert.Regexp(t, `id="label_stock-offset_x-error">[^<]*the offset moves print 3.5 mm over the paper`, wrong.body)
	assert.Contains(t, wrong.body, `value="9"`)
	b.post("/record/"+stock.ID+"/amend", append(form, "offset_x", "1.5", "offset_y", "-1")...).location(t)
	assert.Contains(t, b.get(at).read(), "Move print to the right by 1.5 mm Move print down by -1 mm")
}

// TestTagAgainstLabel: a match goes on, a mismatch stops everybody until somebody wrote what was done.
func TestTagAgainstLabel(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("marisol") // the crew, in Spanish
	lot := h.filled(t, h.as("odell"))
	yesterday, err := labels.NewLotCode(testNow.AddDate(0, 0, -1), 2, 1)
	require.NoError(t, err)
	other := yesterday.String()
	front := b.get("/filler")
	assert.Contains(t, front.body, "/filler/match")
	require.Equal(t, http.StatusOK, b.get("/filler/match").StatusCode)
	for field, pairs := range map[string][]string{"tag": {"tag", "nonsense", "label", lot.Code}, "label": {"tag", lot.Code, "label", "25341K2B1A"}} {
		again := b.post("/filler/match", pairs...)
		assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode, field)
		assert.Contains(t, again.body, `id="tag_hold-`+field+`-error"`)
		assert.Contains(t, again.body, `value="`+map[string]string{"tag": "nonsense", "label": "25341K2B1A"}[field]+`"`)
	}
	assert.Contains(t, b.post("/filler/match", "tag", other, "label", lot.Code).read(), "No hay lote "+yesterday.Printed())

	// A scanner types the whole symbol.
	assert.Equal(t, "/filler/match", b.post("/filler/match", "tag", strings.ToLower(lot.Code), "label", "HTTPS://SAWGRASS.EXAMPLE/L/"+lot.Code, "submission", "m1").location(t))
	assert.Contains(t, b.get("/filler/match").read(), "Tarjeta y etiqueta son "+records.PrintedCode(lot.Code))

	stop := b.post("/filler/match", "tag", lot.Code, "label", other, "submission", "m2").location(t)
	page := b.get(stop)
	assert.Contains(t, page.read(), "ALTO La etiqueta no es de esta charola.")
	assert.Contains(t, page.read(), "La tarjeta dice "+records.PrintedCode(lot.Code)+" Cane syrup")
	assert.Contains(t, page.read(), "La etiqueta dice "+yesterday.Printed()+" ningún lote de esta casa")
	boss := h.as("odell")
	assert.Equal(t, stop, boss.get("/filler/match").location(t), "nobody goes on")
	assert.Equal(t, stop, boss.post("/filler/match", "tag", lot.Code, "label", lot.Code, "submission", "m3").location(t))
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(stop, "note", " ").StatusCode)
	assert.Equal(t, "/filler/match", b.post(stop, "note", "rollo de ayer", "submission", "m4").location(t))
	assert.Equal(t, http.StatusOK, b.get("/filler/match").StatusCode)
	written := boss.get(stop)
	assert.Contains(t, written.read(), "Written: rollo de ayer")
	assert.NotContains(t, written.body, `name="note"`)
	assert.Equal(t, "/filler/match", boss.post("/filler/match", "tag", lot.Code, "label", lot.Code, "submission", "m5").location(t))
	matches, err := records.List[records.TagMatch](context.Background(), h.store, "ORDER BY id")
	require.NoError(t, err)
	require.Len(t, matches, 3)
	assert.Equal(t, []bool{true, false, true}, []bool{matches[0].Matched, matches[1].Matched, matches[2].Matched})
	assert.Equal(t, http.StatusForbidden, h.as("ines").get("/filler/match").StatusCode)
	assert.Equal(t, http.StatusNotFound, b.get("/filler/match/"+matches[0].ID).StatusCode, "a match is no stop")
}

func TestTagAgainstLabelByPhoto(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.filled(t, b)
	photo := symbolPhoto(t, "HTTPS://SAWGRASS.EXAMPLE/L/"+lot.Code, asJPEG)
	to := b.send("/filler/match/photo/tag", "photo", photo).location(t)
	page := b.get(to)
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.body, `value="`+records.PrintedCode(lot.Code)+`"`)
	action := regexp.MustCompile(`action="(/filler/match/photo/label[^"]*)"`).FindStringSubmatch(page.body)
	require.NotNil(t, action)
	to = b.send(strings.ReplaceAll(action[1], "&amp;", "&"), "photo", photo).location(t)
	assert.Equal(t, 2, strings.Count(b.get(to).body, `value="`+records.PrintedCode(lot.Code)+`"`), "both codes stand in the form")
	bad := b.send("/filler/match/photo/label", "photo", []byte("no picture"))
	assert.Equal(t, http.StatusUnprocessableEntity, bad.StatusCode)
	assert.Contains(t, bad.body, `id="photo-label-error"`)
	assert.Equal(t, http.StatusNotFound, b.send("/filler/match/photo/sideways", "photo", photo).StatusCode)
}
