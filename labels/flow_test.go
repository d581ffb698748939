package labels

import (
	"fmt"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

// batchSheet draws a sheet as the packet does, of an invented run.
func batchSheet(rows int) *Document {
	meta := testMeta()
	meta.Title, meta.Head = "Batch sheet, run 25341K2", strings.Repeat("4f2e0a0d49575d16", 4)
	doc := NewDocument(Letter(), meta)
	doc.Title("Run 25341K2", "Alder Slough Farm · kettle 2 · Sunday 7 December 2025", "HTTPS://ALDERSLOUGH.EXAMPLE/L/25341K2B1P")
	doc.Fields(4, []Field{{"Fire lit", "06:40"}, {"Drawn off", "11:55"}, {"Juice in", "80.0 gal (302.8 L)"}, {"Juice Brix", "18.2 °Brix"},
		{"Volume out", ""}, {"Finish reading", "33.5 °Baumé at 220 °F, hydrometer H2"}, {"True solids", "74.6 % (estimated ± 0.5)"}, {"Written by", "R. Tuller"}})
	doc.Heading("The boil")
	x, y := doc.Room(20)
	doc.Shade([]Spot{{x, y + 5}, {x + 100, y + 5}, {x + 100, y + 15}, {x, y + 15}})
	doc.Path([]Spot{{x, y + 18}, {x + 50, y + 8}, {x + 100, y + 6}}, 0.35, false)
	doc.Path([]Spot{{x, y + 19}, {x + 50, y + 9}, {x + 100, y + 7}}, 0.2, true)
	doc.Fine(x, y+20, x+doc.ContentWidth(), y+20)
	doc.Heading("Log")
	columns := []Column{{"Time", 1, AlignLeft}, {"Minutes", 0.9, AlignRight}, {"What", 2, AlignLeft}, {"Value", 2, AlignRight}, {"Remark", 4, AlignLeft}}
	var table [][]Cell
	for i := range rows {
		row := Row(fmt.Sprintf("%02d:%02d", 6+i/6, i%6*10), fmt.Sprint(i*10), "temperature", fmt.Sprintf("%d °F", 180+i%40), "")
		if i == 3 {
			row[3], row[4] = Cell{Text: "228 °F", Struck: true}, Cell{Text: "amended 12:10 by R. Tuller: read the wrong thermometer, value is 208 °F"}
		}
		if i == 5 {
			row[3].Text = "not recorded"
		}
		table = append(table, row)
	}
	doc.Table(columns, table)
	doc.Heading("Findings")
	doc.Flag(WeightWithin, "within", "Finish solids 74.6 %, at least 74.0 % (21 CFR 168.130).")
	doc.Flag(WeightNote, "note", "Cane stood one day before pressing.")
	doc.Flag(WeightCheck, "check", "Bottle at capping 181.0 °F, inside the limit of 180 °F by less than the thermometer's 2 °F.")
	doc.Flag(WeightHold, "hold", "Bottle at capping 174.2 °F, limit 180 °F. Bottles since 12:05 are held. "+strings.Repeat("More is written here. ", 8))
	doc.Flag(WeightStop, "stop", "Cut 3 days before the spray interval ended.")
	doc.Heading("Cautions")
	doc.Notes(text.Say(text.English, "caution.syrup"), "", text.Say(text.English, "caution.taste"))
	doc.Paragraph("A paragraph of running text. A word that no line holds is broken: " + strings.Repeat("W", 150) + ".\nA second line 🍯.")
	doc.Small("Method: hydrometer, corrected to 20 °C.")
	return doc
}

func TestFlowingDocument(t *testing.T) {
	toolcheck.Need(t, "pdftotext", "pdftoppm", "zbarimg")
	doc := batchSheet(70)
	pdf, err := doc.Bytes()
	require.NoError(t, err)
	path := savePDF(t, "batch.pdf", pdf)
	read := readText(t, path)
	pages := doc.PageCount()
	assert.Greater(t, pages, 2)
	for page := 1; page <= pages; page++ {
		one := readText(t, path, "-f", fmt.Sprint(page), "-l", fmt.Sprint(page))
		assert.Contains(t, one, fmt.Sprintf("Page %d of %d", page, pages))
		assert.Contains(t, one, "Records and estimates to support your own decisions.", "the standing line is on every page")
		assert.Contains(t, one, "Journal head 4f2e0a0d49575d16")
		if page > 1 {
			assert.Contains(t, one, "Batch sheet, run 25341K2", "the running head")
		}
	}
	assert.Contains(t, readText(t, path, "-f", "2", "-l", "2"), "Time Minutes What Value Remark", "a table's head is repeated")
	for _, want := range []string{"Volume out", "not recorded", "228 °F", "stop", "A second line [U+1F36F]."} {
		assert.Contains(t, read, want)
	}
	assert.Equal(t, "HTTPS://ALDERSLOUGH.EXAMPLE/L/25341K2B1P", scan(t, renderCell(t, path, Place{X: 150, Y: 0, Width: 60, Height: 60}, 203)))
	again, err := batchSheet(70).Bytes()
	require.NoError(t, err)
	assert.Equal(t, pdf, again, "the same record draws the same bytes")
}

func TestFlowInSpanish(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	meta := testMeta()
	meta.Language = text.Spanish
	doc := NewDocument(A4(), meta)
	doc.Fields(2, []Field{{"Encendido", ""}, {"Sacado", "11:55"}})
	pdf, err := doc.Bytes()
	require.NoError(t, err)
	read := readText(t, savePDF(t, "spanish.pdf", pdf))
	assert.Contains(t, read, "sin anotar")
	assert.Contains(t, read, "Página 1 de 1")
}

func TestTableBounds(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	columns := []Column{{"A", 1, AlignLeft}, {"B", 1, AlignCenter}}
	tests := []struct {
		name string
		rows [][]Cell
		want string
	}{
		{"no rows", nil, "none"},
		{"short row", [][]Cell{Row("one")}, "one"},
		{"row too long for its columns", [][]Cell{Row("one", "two", "three")}, "two"},
		{"row higher than a page", [][]Cell{Row(strings.Repeat("word ", 3000)+"last", "b")}, "last"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			doc := NewDocument(Letter(), testMeta())
			doc.Table(columns, test.rows)
			pdf, err := doc.Bytes()
			require.NoError(t, err)
			read := readText(t, savePDF(t, "table.pdf", pdf))
			assert.Contains(t, read, test.want)
			assert.NotContains(t, read, "three")
		})
	}
	t.Run("all words of the high row are there", func(t *testing.T) {
		doc := NewDocument(Letter(), testMeta())
		doc.Table(columns, tests[3].rows)
		pdf, err := doc.Bytes()
		require.NoError(t, err)
		assert.Equal(t, 3000, strings.Count(readText(t, savePDF(t, "high.pdf", pdf)), "word"))
	})
}

// A drawing stands on one page and leaves the flow below it; shapes of fewer than three corners are none.
func TestRoom(t *testing.T) {
	doc := NewDocument(Letter(), testMeta())
	_, first := doc.Room(200)
	_, second := doc.Room(200)
	assert.Equal(t, 2, doc.PageCount())
	assert.InDelta(t, float64(first), float64(second), 3)
	doc.Shade([]Spot{{1, 1}, {2, 2}})
	doc.Path(nil, 0.3, true)
	_, err := doc.Bytes()
	require.NoError(t, err)
}

func TestDocumentKeepsItsFirstError(t *testing.T) {
	doc := NewDocument(Letter(), testMeta())
	doc.Paragraph("fine")
	doc.draw(func() { panic("what gofpdf does") })
	doc.Paragraph("not drawn any more")
	doc.Fail(fmt.Errorf("second"))
	_, err := doc.Bytes()
	assert.EqualError(t, err, `document "Labels 25341K2B1-P": drawing failed: what gofpdf does`)
	assert.Equal(t, err, doc.Err())
	long := NewDocument(Letter(), testMeta())
	long.Title("T", "", strings.Repeat("long", 2000))
	_, err = long.Bytes()
	assert.ErrorContains(t, err, "QR symbol")
}

// Pages have the size asked for, wide ones too.
func TestPageSizes(t *testing.T) {
	toolcheck.Need(t, "pdfinfo", "pdftoppm")
	for _, paper := range []Paper{Letter(), A4(), Roll(100, 50), Roll(50, 100)} {
		doc := NewDocument(paper, testMeta())
		doc.AddPage()
		doc.AddPage()
		pdf, err := doc.Bytes()
		require.NoError(t, err)
		picture := render(t, savePDF(t, "size.pdf", pdf), 2, 254)
		assert.InDelta(t, float64(paper.Width)*10, picture.Bounds().Dx(), 1.5)
		assert.InDelta(t, float64(paper.Height)*10, picture.Bounds().Dy(), 1.5)
	}
}
