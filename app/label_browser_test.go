package app

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/toolcheck"
	"canewright/labels"
)

// In a browser of a phone's size the pictures follow the form while it is filled in, what does not fit is said in words,
// and a tag that meets another lot's label stops the work on a page as wide as the phone.
func TestLabelPicturesInABrowser(t *testing.T) {
	toolcheck.Need(t, "chromium")
	h := newBoiledRun(t, thick)
	stock, roll := letterStock(), caseStock()
	h.write(stock, roll)
	lot := h.filled(t, h.as("odell"))
	p := h.phone()
	p.signIn("odell")
	p.open("/lot/" + lot.ID + "/labels")
	until := func(what, script string, args ...any) {
		t.Helper()
		require.Eventually(t, func() bool { return evaluate[bool](p, script, args...) }, 10*time.Second, 50*time.Millisecond, what+": "+p.text())
	}
	const shown = `document.getElementById(%q).offsetParent !== null && document.getElementById(%q).naturalWidth === %d`
	assert.False(t, evaluate[bool](p, `document.getElementById("label-show").offsetParent !== null`), "with the script there is nothing to press")
	set := func(id, value string) {
		evaluate[bool](p, `(() => { let box = document.getElementById(%q); box.value = %q; box.dispatchEvent(new Event("input", {bubbles: true})); return true })()`, id, value)
	}
	set("label_print-stock", stock.ID)
	until("the label at its printer's dots", shown, "label-picture", "label-picture", 2401)
	until("the sheet", shown, "sheet-picture", "sheet-picture", 510)
	p.sees("Letter 2 by 5, 101.6 by 50.8 mm, 12 pages.")
	set("label_print-stock", roll.ID)
	until("the other stock", shown, "label-picture", "label-picture", 800)
	p.sees("Case roll, 100 by 150 mm, 112 pages.")
	set("label_print-start", "2")
	until("refused in words", `document.getElementById("label-refused").innerText.includes("this sheet has 1 labels, not 2") && document.getElementById("label-picture").offsetParent === null`)
	set("label_print-start", "1")
	until("and back", shown, "label-picture", "label-picture", 800)
	assert.NotContains(t, p.h.log.String(), "level=ERROR")

	yesterday, err := labels.NewLotCode(testNow.AddDate(0, 0, -1), 2, 1)
	require.NoError(t, err)
	p.open("/filler/match")
	p.enter("tag_hold-tag", lot.Code)
	p.enter("tag_hold-label", yesterday.String())
	p.press(`document.getElementById("tag_hold-tag")`)
	p.sees("STOP The label does not belong to this tray.")
	assert.Equal(t, 390.0, evaluate[float64](p, `document.querySelector(".mismatch").getBoundingClientRect().width`), "as wide as the phone")
	p.open("/filler/match")
	p.sees("STOP")
	p.enter("mismatch-note", "roll of yesterday, put away")
	p.press(`document.getElementById("mismatch-note")`)
	p.enter("tag_hold-tag", lot.Code)
	p.enter("tag_hold-label", lot.Code)
	p.send("tag_hold-tag")
	p.sees("Tag and label are both 25341K2B1-P. Go on.")
}
