package app

import (
	"context"
	"html"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// A house describes its label stock on the page, every figure of it.
func TestLabelStockIsEnteredOnThePage(t *testing.T) {
	h := newHouse(t)
	typed := []string{"name", "Letter 2x5", "paper", records.PaperLetter, "rows", "5", "columns", "2", "margin_top", "12.7", "margin_left", "4.7",
		"pitch_x", "104.8", "pitch_y", "50.8", "label_width", "101.6", "label_height", "50.8", "dots_per_inch", "600"}
	h.as("odell").post("/house/label-stock", typed...).location(t)
	stocks, err := records.List[records.LabelStock](context.Background(), h.store, "")
	require.NoError(t, err)
	require.Len(t, stocks, 1)
	assert.Equal(t, 600, stocks[0].DotsPerInch)
}

// A bound without a unit is said without a gap where the unit would stand.
func TestBoundWithoutUnit(t *testing.T) {
	h := newHouse(t)
	page := h.as("odell").post("/house/kettle", "name", "Big", "number", "100", "site", h.site)
	assert.Contains(t, page.body, "Expected 1 to 99. Check the number.")
}

// A refused number says its bounds in the unit that was typed.
func TestBoundsInTheTypedUnit(t *testing.T) {
	h := newHouse(t)
	_, planting := h.planted()
	cut := func(unit string) string {
		return h.as("odell").post("/field/cut", cutTyped(planting.ID, "day_high", "400", "day_high_unit", unit)...).words()
	}
	assert.Contains(t, cut("F"), "Expected -20.2 to 131 °F")
	assert.Contains(t, cut("C"), "Expected -29 to 55 °C")
	w := newWorks(t)
	assert.Contains(t, w.as("odell").post("/kettle/run/"+w.lit().ID+"/reading", "stage", "boil", "reading", "361", "reading_unit", "Be", "temperature", "222", "temperature_unit", "F").words(), "°Baumé. Check")
}

// The reason of an amendment is asked for by its own name.
func TestReasonIsAskedForByName(t *testing.T) {
	h := newHouse(t)
	block, _ := h.planted()
	page := h.as("odell").post("/record/"+block.ID+"/amend", "revision", "1", "name", "Creek", "site", h.site)
	assert.Contains(t, page.words(), "Why it is amended")
	assert.NotContains(t, page.body, "⟦")
}

// An addition without allergens is answered, and its record and its amendment say so.
func TestNoAllergensIsAnAnswer(t *testing.T) {
	none := ""
	said := map[string]string{}
	for _, l := range linesOf(words{lang: "en", units: "us"}, &records.Addition{Allergens: &none}) {
		said[l.column] = l.Text
	}
	assert.Equal(t, "none", said["allergens"])
	assert.Equal(t, "not recorded", said["sulfites"])
}

// Labels that do not fit their page are refused at the figure that is wrong, in the person's language.
func TestStockThatDoesNotFit(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	fits := []string{"name", "Letter 2 by 5", "paper", "letter", "rows", "5", "columns", "2", "margin_top", "12.7", "margin_left", "4.7", "pitch_x", "104.8",
		"pitch_y", "50.8", "label_width", "101.6", "label_height", "50.8", "dots_per_inch", "300"}
	for name, test := range map[string]struct{ field, typed, said string }{
		"a row too many":    {"rows", "6", "These labels do not fit: 6 rows end 38.1 mm beyond the paper's height of 279.4 mm."},
		"a column too many": {"columns", "3", "3 columns end 100.0 mm beyond"},
		"overlapping":       {"pitch_x", "100", "pitch across is 100 mm, less than the label's width of 101.6 mm"},
		"no height":         {"label_height", "0", "label height must be 8 to 1000, not 0"},
	} {
		t.Run(name, func(t *testing.T) {
			page := b.post("/house/label-stock", append(append([]string{}, fits...), test.field, test.typed)...)
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, `id="label_stock-`+test.field+`-error"`)
			assert.Contains(t, html.UnescapeString(page.read()), test.said)
		})
	}
	me, err := records.Get[records.Person](context.Background(), h.store, h.people["odell"])
	require.NoError(t, err)
	me.Language = "es"
	require.NoError(t, h.store.Amend(context.Background(), records.Actor{PersonID: me.ID}, &me, "español"))
	page := h.as("odell").post("/house/label-stock", append(fits, "rows", "6")...)
	assert.Contains(t, page.read(), "Estas etiquetas no caben: 6 renglones terminan 38.1 mm fuera del papel")
}
