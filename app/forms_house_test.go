package app

import (
	"context"
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
