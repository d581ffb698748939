package packet

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/hazards/toolcheck"
	"canewright/labels"
	"canewright/records"
)

// Every blank sheet says the house, what must be written and the cautions, in both languages on both papers; the same house
// gives the same bytes.
func TestBlankSheets(t *testing.T) {
	house := records.House{Name: "Sawgrass Bend", Zone: "America/New_York"}
	house.WrittenAt = time.Date(2025, 12, 1, 12, 0, 0, 0, time.UTC)
	must := map[string][]string{PaperBoil: {"run", "kettle", "fire_lit", "thermometer", "finish", "finish_temperature", "drawn_volume"},
		PaperFill: {"bottles_lot", "closures_lot", "first_bottle", "count"}, PaperCut: {}}
	toolcheck.Need(t, "pdftotext")
	for _, name := range Papers() {
		for _, lang := range text.Languages() {
			for _, paper := range []labels.Paper{labels.Letter(), labels.A4()} {
				t.Run(name+" "+string(lang)+" "+paper.Name, func(t *testing.T) {
					pdf, err := BlankSheet(house, name, paper, lang)
					require.NoError(t, err)
					again, err := BlankSheet(house, name, paper, lang)
					require.NoError(t, err)
					assert.Equal(t, pdf, again)
					said := readText(t, pdf)
					for _, key := range must[name] {
						assert.Contains(t, said, text.Say(lang, "paper.box."+key))
					}
					for _, key := range []string{"paper." + name, "paper.star", "document.line"} {
						assert.Contains(t, said, text.Say(lang, key))
					}
					assert.Contains(t, said, "Sawgrass Bend")
					if name != PaperCut {
						assert.Contains(t, said, text.Say(lang, "caution.syrup"))
						assert.Contains(t, said, text.Say(lang, "paper.box.person")+" *", "a required record is marked")
					}
				})
			}
		}
	}
	_, err := BlankSheet(house, "packing", labels.Letter(), text.English)
	assert.ErrorIs(t, err, records.ErrNotFound)
	house.Name = strings.Repeat("Sawgrass Bend Cane and Syrup Company ", 6)
	_, err = BlankSheet(house, PaperBoil, labels.A4(), text.Spanish)
	assert.NoError(t, err, "a long name wraps")
}
