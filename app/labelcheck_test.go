package app

import (
	"context"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// contradicted is a filled lot whose product denies the sulfite that went in, with stock to print on.
func contradicted(t *testing.T) (*boiledRun, *browser, records.Lot, records.LabelStock) {
	t.Helper()
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	stock := records.LabelStock{Name: "Letter 2 by 5", Paper: "letter", Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 4, PitchX: 106.4, PitchY: 50.8, LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 600}
	tiny := records.LabelStock{Name: "Tiny", Paper: "roll", Rows: 1, Columns: 1, LabelWidth: 20, LabelHeight: 10, DotsPerInch: 203}
	h.product.Claims = "Unsulphured\nBoiled in an open kettle"
	require.NoError(t, h.store.Amend(context.Background(), records.Actor{PersonID: h.people["odell"]}, &h.product, "new label"))
	h.write(&stock, &tiny, &records.Addition{ToID: h.run.ID, At: morning(7, 0), Substance: "potassium metabisulfite", Use: "preservative",
		Amount: pointer(syrup.Grams(4)), Stays: pointer(true), Allergens: pointer(""), Sulfites: pointer(true)})
	return h, b, h.filled(t, b), stock
}

var labelAnswerLink = regexp.MustCompile(`/label-answer\?code=label\.unsulphured[^"]*`)

// A contradiction is shown with its source and keeps labels from being printed; an owner's signed reason lifts it and stands
// ever after on the label page, the lot and its record.
func TestLabelCheckIsSigned(t *testing.T) {
	h, b, lot, stock := contradicted(t)
	labels := "/lot/" + lot.ID + "/labels"
	page := b.get(labels)
	require.Equal(t, http.StatusOK, page.StatusCode)
	for _, said := range []string{"The label says “Unsulphured”; the records say sulfites: potassium metabisulfite.", "21 CFR 130.9", "It is not printed until",
		"display panel is not measured", "Nutrition panel or not", "As drawn on your stock", "Tiny", "does not fit"} {
		assert.Contains(t, page.read(), said)
	}
	assert.NotContains(t, page.read(), "Look at it before you print", "a label that is refused says so itself")
	printing := []string{"stock", stock.ID, "start", "1", "count", "4"}
	refused := b.post(labels, printing...)
	require.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.read(), "Unsulphured")

	link := html.UnescapeString(labelAnswerLink.FindString(page.body))
	require.NotEmpty(t, link)
	form := b.get("/lot/" + lot.ID + link)
	require.Equal(t, http.StatusOK, form.StatusCode)
	asked, err := url.ParseQuery(strings.SplitN(link, "?", 2)[1])
	require.NoError(t, err)
	post := func(pairs ...string) answer {
		return b.post("/lot/"+lot.ID+"/label-answer", append([]string{"code", asked.Get("code"), "words", asked.Get("words")}, pairs...)...)
	}
	wrong := post("reason", "a sticker goes over the word", "signer", h.people["odell"], "secret", "not it", "submission", "s0")
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	assert.Contains(t, wrong.body, "a sticker goes over the word", "what was typed stays")
	assert.Contains(t, wrong.body, `id="label_answer-secret-error"`)
	assert.Equal(t, http.StatusUnprocessableEntity, post("reason", "", "signer", h.people["odell"], "secret", testPassword).StatusCode)
	assert.Equal(t, http.StatusUnprocessableEntity, post("reason", "x", "signer", h.people["marisol"], "secret", testPassword).StatusCode, "only owners are offered")
	other := b.post("/lot/"+lot.ID+"/label-answer", "code", "label.unsulphured", "words", "other words", "reason", "x", "signer", h.people["odell"], "secret", testPassword)
	assert.Equal(t, http.StatusUnprocessableEntity, other.StatusCode)
	for range 2 {
		signed := post("reason", "a sticker goes over the word", "signer", h.people["odell"], "secret", testPassword, "submission", "s1")
		assert.Equal(t, labels+"#check", signed.location(t))
	}
	assert.Contains(t, b.get(labels).read(), "Look at it before you print", "the panel is not measured")
	answers, err := records.LabelAnswers(context.Background(), h.store, lot.ID)
	require.NoError(t, err)
	require.Len(t, answers, 1, "a double tap signs once")
	assert.Equal(t, h.people["odell"], answers[0].DoneBy)

	assert.Equal(t, http.StatusOK, b.post(labels, append(printing, "submission", "p1")...).StatusCode)
	for _, path := range []string{labels, "/lot/" + lot.ID, "/record/" + answers[0].ID} {
		read := b.get(path).read()
		assert.Contains(t, read, "a sticker goes over the word", path)
		assert.Contains(t, read, "The label says “Unsulphured”", path)
	}
	assert.NotContains(t, b.get("/record/"+answers[0].ID).body, "/strike")
}

// A reader sees the check and signs nothing; the crew's Spanish is whole.
func TestLabelCheckForOthers(t *testing.T) {
	h, _, lot, _ := contradicted(t)
	path := "/lot/" + lot.ID
	reader := h.as("ines")
	page := reader.get(path + "/labels")
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.NotContains(t, page.body, "label-answer")
	assert.Equal(t, http.StatusForbidden, reader.get(path+"/label-answer").StatusCode)
	spanish := h.as("marisol").get(path + "/labels")
	assert.Contains(t, spanish.read(), "La etiqueta dice «Unsulphured»")
	assert.NotContains(t, spanish.body, "⟦")
}

// What a product, container and house may not hold is said at the field, and what was typed stays.
func TestLabelFieldsBadInput(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	product := []string{"name", "Cane syrup", "names", "cane", "best_by_months", "18"}
	container := []string{"name", "Jar", "contents", "12", "contents_unit", "floz"}
	for _, test := range []struct {
		path, field, want string
		pairs             []string
	}{
		{"/house/product", "claims", "🍯", append(product, "claims", "Slow boiled\nsweet 🍯")},
		{"/house/product", "caution", "⅓", append(product, "caution", "⅓ cup")},
		{"/house/product", "nutrition_note", "", append(product, "nutrition", "exempt")},
		{"/house/container", "shape", "", append(container, "panel_height", "100")},
		{"/house/container", "diameter", "", append(container, "shape", "round", "panel_height", "100")},
		{"/house/container", "panel_height", "4.5", append(container, "shape", "round", "panel_height", "4.5", "diameter", "60")},
	} {
		again := b.post(test.path, test.pairs...)
		require.Equal(t, http.StatusUnprocessableEntity, again.StatusCode, test.field)
		kind := strings.TrimPrefix(test.path, "/house/")
		assert.Contains(t, again.body, `id="`+kind+"-"+test.field+`-error"`, test.field)
		assert.Contains(t, again.body, test.want, test.field)
	}
	made := b.post("/house/product", append(product, "claims", "Slow boiled", "nutrition", "exempt", "nutrition_note", "under $50,000 of food in 2025", "submission", "ok")...)
	require.Equal(t, http.StatusSeeOther, made.StatusCode, made.read())
	made = b.post("/house/container", append(container, "shape", "flat", "panel_height", "80", "panel_width", "60", "submission", "ok2")...)
	require.Equal(t, http.StatusSeeOther, made.StatusCode, made.read())
}
