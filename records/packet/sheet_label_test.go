package packet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/toolcheck"
	"canewright/records"
)

// What an owner signed about a label stands on the batch sheet in the words it was signed on, with the reason.
func TestBatchSheetShowsWhatWasSignedForALabel(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	lots, err := records.List[records.Lot](h.ctx, h, "ORDER BY code")
	require.NoError(t, err)
	lot := lots[0]
	product, err := records.Get[records.Product](h.ctx, h, lot.ProductID)
	require.NoError(t, err)
	product.Claims = "Dairy free"
	require.NoError(t, h.Amend(h.ctx, h.ada, &product, "new label"))
	h.put(h.ben, &records.Addition{ToID: h.first.ID, At: h.at(9, 0), Substance: "Butter", Use: "defoamer", Amount: ptr(syrup.Grams(20)), AmountEntered: "20 g",
		Stays: ptr(true), Allergens: ptr("milk"), Sulfites: ptr(false)})
	assert.NotContains(t, readText(t, sheetOf(t, h, lot.ID, Options{})), "Signed for the label")
	checked, err := records.CheckLabel(h.ctx, h, lot.ID)
	require.NoError(t, err)
	require.NotEmpty(t, checked.Open())
	words := checked.Open()[0].Words("en", "us").What
	h.ok(h.AnswerLabel(h.ctx, h.ada, &records.LabelAnswer{LotID: lot.ID, At: h.clock, Code: checked.Open()[0].Code, Words: words, Reason: "A sticker goes over it."}))
	read := readText(t, sheetOf(t, h, lot.ID, Options{}))
	for _, said := range []string{"Signed for the label", "Ada Quill", "The label says “Dairy free”; the records say milk.", "Reason: A sticker goes over it."} {
		assert.Contains(t, read, said)
	}
}
