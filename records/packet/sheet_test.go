package packet

import (
	"errors"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

func sheetOf(t *testing.T, h *season, id string, opt Options) []byte {
	t.Helper()
	pdf, err := BatchSheet(h.ctx, h, id, opt)
	require.NoError(t, err)
	return pdf
}

func TestBatchSheetOfRun(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	read := readText(t, sheetOf(t, h, h.first.ID, Options{}))
	assert.NotContains(t, read, "⟦", "every text is in the catalogue")
	for what, want := range map[string][]string{
		"who and where":    {"Egret Fork Farm", "Home place", "Old kettle, no. 2", "run 25341K2", "7 Dec 2025 07:00", "7 Dec 2025 11:00", "4 h 0 min"},
		"juice":            {"all (90.0 gal)", "90 gal", "17.0", "58 F", "06:00", "06:45"},
		"cane":             {"Creek field", "6 Dec 2025", "15:10", "Striped, ratoon 1", "Cal Reed", "mill shed", "2000 lb"},
		"no heel":          {"none, washed out 7 Dec 2025 05:30"},
		"log":              {"fire lit", "90 F · Probe 1", "skimming", "green scum", "08:40", "100", "late entry, written 7 Dec 2025 10:25"},
		"reading":          {"36.1 Be at 224 F · Spindle 1 · 75.2 ± 0.5 % (estimated)"},
		"unusable reading": {"22 Be · temperature not recorded · instrument not recorded · true solids cannot be worked out"},
		"additions":        {"Sunflower oil", "defoamer", "2 tsp (10.0", "S-3", "Allergens"},
		"drawn off":        {"volume 14 gal · 223 F · Probe 1", "6.4 to 1"},
		"lot":              {"Lot 25341K2B1-P", "Cane syrup", "Pint glass, 16 fl oz", "Pint round, lot G-88, Tern Glass Works", "Lug cap, lot C-12, Tern Glass Works", "70 bottles"},
		"fill checks":      {"186 F", "190 F", "651 g, Bench scale", "184 F", "90 s"},
		"part":             {"released", "release 9 Dec 2025 12:00", "Ada Quill", "Read twice; checks looked at."},
		"findings":         {"within", "note", "The limit is 74.0 %"},
		"amendment":        {"207 F · Probe 1 · Temperature was 205.0 °F", "205.0 °F", "207.0 °F", "misread the dial", "9 Dec 2025 13:00"},
		"struck":           {"struck by Ada Quill: that was the other kettle", "taken back"},
		"missing":          {"not recorded"},
		"standing line":    {"Records and estimates to support your own decisions. Local codes, your inspector and a process authority decide."},
		"foot":             {"Page 1 of", "Journal head "},
	} {
		for _, text := range want {
			assert.Contains(t, strings.ReplaceAll(read, "−", "-"), text, what)
		}
	}
	for _, never := range []string{"safe", "certified", "legal", "ada-signs-in", "Sandpiper"} {
		assert.NotContains(t, strings.ToLower(read), strings.ToLower(never))
	}
}

func TestBatchSheetOfBlend(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	read := readText(t, sheetOf(t, h, h.blend.ID, Options{}))
	for _, want := range []string{"Run 25341K2", "Run 25342K2", "of run 25341K2, 1 qt", "Holding tank", "Runs whose syrup met in the tank", "hold", "171 F", "Cane syrup starts at 74.0 %", "[21 CFR 168.130(a)]",
		"Salt: not answered", "none signed yet", "filling"} {
		assert.Contains(t, read, want)
	}
	assert.NotContains(t, read, "80 gal (estimated)", "a measured volume is not called estimated because a share is")
}

// A run nobody has drawn off yet, of which hardly anything is written: every blank says so.
func TestBatchSheetHidesNoBlank(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	kettle := records.Kettle{SiteID: h.site.ID, Number: 3, Name: "Small kettle"}
	h.put(h.ada, &kettle)
	run := records.Run{KettleID: kettle.ID, FireLitAt: h.at(61, 30)}
	h.ok(h.StartRun(h.ctx, h.ben, &run, nil))
	read := readText(t, sheetOf(t, h, run.ID, Options{}))
	assert.GreaterOrEqual(t, strings.Count(read, "not recorded"), 10)
	assert.Contains(t, read, "No lot was filled from this run.")
}

func TestBatchSheetUnitsAndZone(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	read := readText(t, sheetOf(t, h, h.first.ID, Options{Units: "metric", Zone: h.clock.Location()}))
	assert.Contains(t, read, "14 gal (53.0 L)", "as entered, and in the units asked for")
	assert.Contains(t, read, "36.1 Be at 224 F (106.7 °C)")
	assert.Contains(t, read, "7 Dec 2025 13:00", "fire lit, in UTC")
}

// The foot has the head of the last entry touching what is shown, so whatever else is written leaves the bytes alone, and
// what is shown changes them.
func TestBatchSheetIsDetermined(t *testing.T) {
	h := newSeason(t)
	first := sheetOf(t, h, h.first.ID, Options{})
	assert.Equal(t, first, sheetOf(t, h, h.first.ID, Options{}))
	h.now(h.at(63, 0))
	h.put(h.ada, &records.Block{SiteID: h.site.ID, Name: "Far field"})
	assert.Equal(t, first, sheetOf(t, h, h.first.ID, Options{}), "another record was written")
	h.put(h.ada, &records.BoilEntry{RunID: h.first.ID, At: h.at(8, 0), What: records.EntryNote, Note: "wind turned"})
	assert.NotEqual(t, first, sheetOf(t, h, h.first.ID, Options{}))
	again := newSeason(t)
	assert.Equal(t, first, sheetOf(t, again, again.first.ID, Options{}), "the same season in another database")
}

func TestBatchSheetRefusesOtherRecords(t *testing.T) {
	h := newSeason(t)
	for _, id := range []string{h.cut.ID, "nothing"} {
		_, err := BatchSheet(h.ctx, h, id, Options{})
		assert.True(t, errors.Is(err, records.ErrNotFound), "%v", err)
	}
}

// A column that refers to a record is called as its form calls it.
func TestFieldWordOfAReference(t *testing.T) {
	assert.Equal(t, "Thermometer", fieldWord(records.KindFillCheck, "instrument_id"))
}
