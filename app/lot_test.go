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

// partOf is the first part of a lot.
func (h *boiledRun) partOf(t *testing.T, lot records.Lot) records.PartShelf {
	t.Helper()
	parts, err := records.List[records.Part](context.Background(), h.store, "lot_id = ? ORDER BY number", lot.ID)
	require.NoError(t, err)
	shelf, err := records.ShelfOf(context.Background(), h.store, parts[0].ID)
	require.NoError(t, err)
	return shelf
}

func TestReleasePart(t *testing.T) {
	h := newBoiledRun(t, thick)
	require.NoError(t, h.store.SetPIN(context.Background(), h.people["odell"], "4711"))
	b := h.as("odell")
	lot := h.start(t, b)
	part := h.partOf(t, lot)
	release := "/part/" + part.ID + "/release"

	t.Run("refused with exactly what is missing", func(t *testing.T) {
		b.post("/filler/"+lot.ID+"/end", "count", "112", "at", "2025-12-07T10:20").location(t)
		page := b.post(release, "signer", h.people["odell"], "secret", "4711", "reason", "")
		require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.read(), "first fill check not recorded")
		assert.Contains(t, page.read(), "last fill check not recorded")
		assert.Contains(t, page.read(), "one net weight not recorded")
		assert.NotContains(t, page.read(), "supply lot of the bottles not recorded")
		assert.Regexp(t, `<details open><summary>Release this part`, page.body)
		assert.Equal(t, records.StateHeld, h.partOf(t, lot).State)
	})
	for i, check := range [][]string{{"bottle", "192", "at", "2025-12-07T09:45", "net_weight", "670", "net_weight_unit", "g", "scale", h.scale.ID}, {"bottle", "190", "at", "2025-12-07T10:15"}} {
		b.post("/filler/"+lot.ID+"/check", append(check, "bottle_unit", "F", "instrument", h.probe.ID, "closure_ok", "yes", "submission", string(rune('a'+i)))...).location(t)
	}
	t.Run("the signer's own secret", func(t *testing.T) {
		page := b.post(release, "signer", h.people["odell"], "secret", "0000", "reason", "fine")
		require.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.body, `id="part_release-`+part.ID+`-secret-error"`)
		assert.NotContains(t, page.body, `"0000"`)
		assert.Contains(t, page.body, `value="fine"`, "what was typed stays")
	})
	t.Run("nobody without the right signs", func(t *testing.T) {
		page := b.post(release, "signer", h.people["marisol"], "secret", "4711", "reason", "fine")
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Equal(t, records.StateHeld, h.partOf(t, lot).State)
	})
	t.Run("signed", func(t *testing.T) {
		reason := "first kettle of the day, looked at by hand"
		for range 2 {
			assert.Equal(t, "/lot/"+lot.ID+"#part-1", b.post(release, "signer", h.people["odell"], "secret", "4711", "reason", reason, "submission", "r1").location(t))
		}
		page := b.get("/lot/" + lot.ID)
		assert.Equal(t, records.StateReleased, h.partOf(t, lot).State)
		assert.Contains(t, page.read(), reason)
		assert.Contains(t, page.read(), "as they read then")
		list, err := records.List[records.Disposition](context.Background(), h.store, "part_id = ?", part.ID)
		require.NoError(t, err)
		assert.Len(t, list, 1, "a double tap signs once")
	})
	t.Run("held again by anybody of the crew, with a reason", func(t *testing.T) {
		marisol := h.as("marisol")
		assert.Equal(t, http.StatusUnprocessableEntity, marisol.post("/part/"+part.ID+"/hold", "reason", "").StatusCode)
		marisol.post("/part/"+part.ID+"/hold", "reason", "una tapa gotea").location(t)
		assert.Equal(t, records.StateHeld, h.partOf(t, lot).State)
		assert.Contains(t, b.get("/lot/"+lot.ID).read(), "una tapa gotea")
	})
	t.Run("nothing shipped, nothing to recall", func(t *testing.T) {
		page := b.post("/part/"+part.ID+"/dispose", "act", "recall", "reason", "leaks", "signer", h.people["odell"], "secret", "4711")
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.read(), "nothing to recall")
	})
	t.Run("destroyed", func(t *testing.T) {
		for range 2 {
			b.post("/part/"+part.ID+"/dispose", "act", "destroy", "reason", "leaks", "signer", h.people["odell"], "secret", "4711", "submission", "d1").location(t)
		}
		page := b.get("/lot/" + lot.ID)
		assert.Contains(t, page.read(), "0 bottles on hand")
		assert.NotContains(t, page.body, `action="/part/`)
	})
}

func TestAnswerInFourParts(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.filled(t, b)
	part := h.partOf(t, lot)
	b.post("/filler/"+lot.ID+"/check", "bottle", "170", "bottle_unit", "F", "instrument", h.probe.ID, "at", "2025-12-07T10:00", "closure_ok", "yes").location(t)
	page := b.get("/lot/" + lot.ID)
	links := answerLink.FindStringSubmatch(page.body)
	require.NotNil(t, links, "a hold offers its answer")
	link := strings.ReplaceAll(links[1], "&amp;", "&")
	form := b.get(link)
	require.Equal(t, http.StatusOK, form.StatusCode)
	assert.Contains(t, form.read(), "170.0 °F")
	finding, about := hiddenValue(form.body, "finding"), hiddenValue(form.body, "about")
	require.NotEmpty(t, finding)

	four := []string{"finding", finding, "about", about, "problem", "heated again", "recurrence", "lid on the tank", "evaluation", "twelve bottles opened", "commerce", "the tray stands in the cold room"}
	for i, missing := range []string{"problem", "recurrence", "evaluation", "commerce"} {
		some := append([]string{}, four...)
		some[5+2*i] = " "
		again := b.post("/part/"+part.ID+"/answer", some...)
		assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode, missing)
		assert.Contains(t, again.body, `id="corrective_action-`+missing+`-error"`)
	}
	assert.Equal(t, http.StatusForbidden, h.as("marisol").post("/part/"+part.ID+"/answer", four...).StatusCode)
	other := append([]string{}, four...)
	other[1] = "fill.closure"
	assert.Equal(t, http.StatusUnprocessableEntity, b.post("/part/"+part.ID+"/answer", other...).StatusCode, "only a finding that stands is answered")
	b.post("/part/"+part.ID+"/answer", four...).location(t)
	page = b.get("/lot/" + lot.ID)
	assert.Contains(t, page.read(), "Answered in four parts for part 1")
	assert.NotRegexp(t, answerLink, page.body)
	page = b.get("/part/" + part.ID + "/answer?finding=fill.below_limit&about=nothing")
	assert.Contains(t, page.words(), "no longer stands")
	assert.NotContains(t, page.body, `name="problem"`, "nothing to sign where nothing asks")
}

func TestLotPageByCode(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.filled(t, b)
	for _, path := range []string{"/lot/" + lot.ID, "/lot/25341k2b1-p", "/lot/25341K2BIP"} {
		page := b.get(path)
		require.Equal(t, http.StatusOK, page.StatusCode, path)
		for _, word := range []string{"25341K2B1-P", "Creek side", "held", "112 bottles on hand", "run 25341K2", "Pint round G-88", "100.0 %"} {
			assert.Contains(t, page.read(), word, path)
		}
		assert.NotContains(t, page.body, "⟦")
	}
	assert.Equal(t, http.StatusNotFound, b.get("/lot/25341K2B9-Q").StatusCode)
	assert.Equal(t, "/lot/"+lot.ID, b.get("/record/"+lot.ID).location(t))
	assert.Equal(t, "/lot/"+lot.ID+"#part-1", b.get("/record/"+h.partOf(t, lot).ID).location(t))
	t.Run("amended like any record", func(t *testing.T) {
		again := b.get("/record/" + lot.ID + "/amend")
		require.Equal(t, http.StatusOK, again.StatusCode)
		b.post("/record/"+lot.ID+"/amend", "product", h.product.ID, "container", h.container.ID, "bottles_lot", h.bottles.ID, "closures_lot", h.closures.ID,
			"started_at", "2025-12-07T09:40", "note", "second shelf", "revision", "1", "why", "note forgotten").location(t)
		assert.Contains(t, b.get("/lot/"+lot.ID).read(), "second shelf")
	})
}

func TestScannedCode(t *testing.T) {
	h := newBoiledRun(t, thick)
	lot := h.filled(t, h.as("odell"))
	for _, path := range []string{"/L/25341K2B1P", "/l/25341k2b1p", "/L/25341K2B1-P"} {
		assert.Equal(t, "/lot/"+lot.ID, h.as("odell").get(path).location(t), path)
		page := h.browser().get(path)
		require.Equal(t, http.StatusOK, page.StatusCode)
		assert.Contains(t, page.read(), "Made by Sawgrass Bend")
		assert.Contains(t, page.read(), "229 555 0100")
		assert.NotContains(t, page.read(), "Pint glass", "a stranger sees the maker alone")
		assert.Contains(t, page.body, `href="/login?next=%2FL%2F2534`, "and the crew their way in")
	}
	stranger := h.browser()
	in := stranger.post("/login", "login", "odell", "password", testPassword, "next", "/L/25341K2B1P")
	assert.Equal(t, "/L/25341K2B1P", in.location(t), "back to the bottle after signing in")
	assert.Equal(t, "/lot/"+lot.ID, stranger.get("/L/25341K2B1P").location(t))
	assert.Contains(t, h.as("odell").get("/L/25341K2B1Q").location(t), "/find?q=25341K2B1Q", "a wrong character: offered what is like it")
	assert.Equal(t, http.StatusOK, h.browser().get("/L/%3Cscript%3E").StatusCode)
}

func TestPrintLabels(t *testing.T) {
	h := newBoiledRun(t, thick)
	ctx := context.Background()
	b := h.as("odell")
	stock := records.LabelStock{Name: "Letter 2 by 5", Paper: "letter", Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 4, PitchX: 106.4, PitchY: 50.8, LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 600}
	tiny := records.LabelStock{Name: "Tiny", Paper: "roll", Rows: 1, Columns: 1, LabelWidth: 20, LabelHeight: 10, DotsPerInch: 203}
	h.write(&stock, &tiny)
	lot := h.filled(t, b)
	labels := "/lot/" + lot.ID + "/labels"
	page := b.get(labels)
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.read(), "Cane syrup")
	assert.Contains(t, page.body, `value="112"`, "a label for each bottle")

	preview := b.get(labels + "/preview?stock=" + stock.ID + "&start=3&count=4")
	require.Equal(t, http.StatusOK, preview.StatusCode, preview.body)
	assert.Regexp(t, pdfMagic, preview.body)
	for range 2 {
		printed := b.post(labels, "stock", stock.ID, "start", "3", "count", "4", "submission", "p1")
		require.Equal(t, http.StatusOK, printed.StatusCode)
		assert.Equal(t, preview.body, printed.body)
	}
	prints, err := records.List[records.Print](ctx, h.store, "what = 'labels'")
	require.NoError(t, err)
	require.Len(t, prints, 1)
	assert.Equal(t, 4, prints[0].Copies)
	assert.Contains(t, b.get(labels).body, `value="7"`, "the next sheet goes on where this one ended")

	for field, pairs := range map[string][]string{
		"start": {"stock", stock.ID, "start", "11", "count", "4"}, "stock": {"stock", tiny.ID, "start", "1", "count", "4"},
		"count": {"stock", stock.ID, "start", "1", "count", "0"},
	} {
		again := b.post(labels, pairs...)
		assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode, field)
		assert.Contains(t, again.body, `id="label_print-`+field+`-error"`)
	}
	assert.Equal(t, http.StatusUnprocessableEntity, b.get(labels+"/preview?stock=&start=x").StatusCode)

	t.Run("refused while an addition's answers are blank", func(t *testing.T) {
		h.write(&records.Addition{ToID: h.run.ID, At: morning(7, 0), Substance: "Butter", Use: "defoamer"})
		again := b.post(labels, "stock", stock.ID, "start", "1", "count", "4")
		assert.Equal(t, http.StatusUnprocessableEntity, again.StatusCode)
		assert.Contains(t, again.read(), "Answer for Butter")
		assert.Contains(t, b.get(labels).read(), "Answer for Butter")
	})
}

func TestLabelNameRefused(t *testing.T) {
	h := newBoiledRun(t, 32.5)
	b := h.as("odell")
	lot := h.filled(t, b)
	page := b.get("/lot/" + lot.ID + "/labels")
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.read(), "do not allow the name “Cane syrup”")
}

func TestBatchSheet(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.filled(t, b)
	for _, id := range []string{lot.ID, h.run.ID} {
		preview := b.get("/sheet/" + id)
		require.Equal(t, http.StatusOK, preview.StatusCode)
		assert.Regexp(t, pdfMagic, preview.body)
		require.Equal(t, http.StatusOK, b.post("/sheet/"+id).StatusCode)
	}
	prints, err := records.List[records.Print](context.Background(), h.store, "what = 'batch_sheet'")
	require.NoError(t, err)
	assert.Len(t, prints, 2)
	assert.Equal(t, http.StatusNotFound, b.get("/sheet/"+h.product.ID).StatusCode)
}

// BenchmarkLotPage is the page of a lot through the whole engine: session, judgement, trace, template.
func BenchmarkLotPage(b *testing.B) {
	h := newBoiledRun(b, thick)
	owner := h.as("odell")
	lot := h.filled(b, owner)
	for b.Loop() {
		if page := owner.get("/lot/" + lot.ID); page.StatusCode != http.StatusOK {
			b.Fatal(page.Status)
		}
	}
}
