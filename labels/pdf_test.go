package labels

import (
	"fmt"
	"image"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

// fullLabel is a label with everything on it. The farm is invented.
func fullLabel(code string) Label {
	return Label{
		ProductName: "Cane syrup",
		Ingredients: "Ingredients: cane juice, salt.",
		Allergens:   "Contains: milk.",
		NetUS:       "12 fl oz", NetMetric: "354 mL",
		Maker: "Alder Slough Farm", Address: "418 Gum Landing Road, Pinder LA 70799", Telephone: "555-0142",
		LotCode: code, BestBy: "Dec 2027",
		Storage:   "Keep cool and dry. Crystals melt in warm water.",
		Statement: "Made in a farm kitchen that is not inspected by the state.",
		Extra:     "Boiled in an open kettle.",
		QR:        "HTTPS://ALDERSLOUGH.EXAMPLE/L/" + FoldCode(code),
	}
}

// smallLabel is what a label of one inch has room for.
func smallLabel(code string) Label {
	label := fullLabel(code)
	label.Allergens, label.Statement, label.Extra, label.Storage, label.Telephone = "", "", "", "", ""
	return label
}

// sheetOf makes n labels of different lots.
func sheetOf(t testing.TB, n int, make func(string) Label) []Label {
	t.Helper()
	labels := []Label{}
	for i := range n {
		code, err := NewLotCode(day(2025, 12, 7), i%9+1, i/9+1)
		require.NoError(t, err)
		labels = append(labels, make(code.Printed()))
	}
	return labels
}

// Every example stock: drawn, rendered, each label's crop read by an independent reader, its text read back.
func TestPrintIsReadBack(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm", "pdftotext", "zbarimg")
	for _, stock := range Stocks() {
		t.Run(stock.Name, func(t *testing.T) {
			make := fullLabel
			if stock.LabelHeight < 45 {
				make = smallLabel
			}
			labels := sheetOf(t, stock.Cells()+1, make)
			pdf, err := Print(stock, 1, labels, testMeta())
			require.NoError(t, err)
			path := savePDF(t, stock.Name+".pdf", pdf)
			read := readText(t, path)
			assert.Equal(t, stock.Cells()+1, strings.Count(read, "NET 12 fl oz (354 mL)"))
			for _, dpi := range []int{203, 300} {
				picture := render(t, path, 1, dpi)
				var crops []*image.Gray
				var want []string
				for i := range stock.Cells() {
					crops, want = append(crops, crop(picture, stock.cell(i), dpi)), append(want, labels[i].QR)
				}
				assert.Equal(t, want, scanAll(t, crops), "at %d dpi", dpi)
			}
			for _, label := range labels {
				assert.Contains(t, read, label.LotCode)
			}
			assert.Equal(t, labels[stock.Cells()].QR, scan(t, renderCell(t, path, stock.cell(stock.Cells()), 300)))
		})
	}
}

func TestPrintStart(t *testing.T) {
	toolcheck.Need(t, "pdftoppm", "zbarimg")
	stock := Stocks()[0]
	label := fullLabel("25341K2B1-P")
	pdf, err := Print(stock, 10, []Label{label, label}, testMeta())
	require.NoError(t, err)
	path := savePDF(t, "start.pdf", pdf)
	assert.Equal(t, label.QR, scan(t, renderCell(t, path, stock.cell(9), 203)))
	assert.Equal(t, label.QR, scan(t, renderCell(t, path, stock.cell(stock.Cells()), 203)))
	assert.Contains(t, scan(t, renderCell(t, path, stock.cell(0), 203)), "unreadable", "cell 1 stays empty")
}

func TestPrintRefuses(t *testing.T) {
	stock := Stocks()[0]
	label := fullLabel("25341K2B1-P")
	tests := []struct {
		name  string
		stock Stock
		start int
		label func(Label) Label
		want  error
	}{
		{"start beyond the sheet", stock, 11, func(l Label) Label { return l }, StartBeyond{11, 10}},
		{"start before the sheet", stock, 0, func(l Label) Label { return l }, StartBeyond{0, 10}},
		{"emoji", stock, 1, func(l Label) Label { l.Maker = "Farm 🍯"; return l }, Unprintable{"Farm 🍯", '🍯'}},
		{"long name", stock, 1, func(l Label) Label { l.ProductName = strings.Repeat("Syrup ", 20); return l }, NoRoom{"labels.line.name"}},
		{"long statement", stock, 1, func(l Label) Label { l.Statement = strings.Repeat("It is so. ", 80); return l }, NoRoom{"labels.line.statement"}},
		{"long code", stock, 1, func(l Label) Label { l.QR, l.LotCode = "", strings.Repeat("25341K2B1-P ", 9); return l }, NoRoom{"labels.line.lot"}},
		{"long net", stock, 1, func(l Label) Label { l.NetUS = strings.Repeat("12 fl oz ", 9); return l }, NoRoom{"labels.line.net"}},
		{"everything on one inch", Stocks()[2], 1, func(l Label) Label { return l }, NoRoom{"labels.line.statement"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := Print(test.stock, test.start, []Label{test.label(label)}, testMeta())
			assert.Equal(t, test.want, err)
		})
	}
	t.Run("QR too large", func(t *testing.T) {
		_, err := Print(RollStock("tiny", 25, 12, 203), 1, []Label{{QR: label.QR}}, testMeta())
		var noRoom NoRoomQR
		require.ErrorAs(t, err, &noRoom)
		assert.Greater(t, noRoom.Need, noRoom.Have)
	})
	t.Run("no labels", func(t *testing.T) {
		_, err := Print(stock, 1, nil, testMeta())
		assert.ErrorContains(t, err, "no labels")
	})
	t.Run("in Spanish", func(t *testing.T) {
		assert.Contains(t, NoRoom{"labels.line.net"}.Say(text.Spanish), "contenido neto")
		assert.Contains(t, StartBeyond{11, 10}.Say(text.Spanish), "1 a 10")
		assert.Equal(t, "Start at label 1 to 10: this sheet has 10 labels, not 11.", StartBeyond{11, 10}.Error())
	})
}

// Nothing of a layout leaves its label, and no letter is below its least height, on any stock with any mix of lines.
func TestLayoutStaysInside(t *testing.T) {
	for _, stock := range append(Stocks(), RollStock("square", 50, 50, 203), RollStock("narrow", 40, 80, 300)) {
		for mix := range 64 {
			label := mixed(mix)
			checked, err := label.printable()
			require.NoError(t, err)
			d := NewDocument(stock.Paper, testMeta())
			laid, err := arrange(d, checked, stock)
			if err != nil {
				var noRoom NoRoom
				require.ErrorAs(t, err, &noRoom, "%s %d", stock.Name, mix)
				continue
			}
			where := fmt.Sprint(stock.Name, " mix ", mix)
			for _, line := range laid.lines {
				assert.GreaterOrEqual(t, line.x, Millimeters(0), where)
				assert.LessOrEqual(t, line.x+d.Width(line.style, line.size, line.text), stock.LabelWidth-labelPadding/2, where+line.text)
				assert.GreaterOrEqual(t, line.y-line.size.em()*capHeight, labelPadding-0.01, where+line.text)
				assert.LessOrEqual(t, line.y+line.size.em()*descent, stock.LabelHeight-labelPadding+0.65, where+line.text)
				assert.GreaterOrEqual(t, line.size, leastOther, where+line.text)
				if strings.HasPrefix(line.text, "NET") {
					assert.GreaterOrEqual(t, line.size.em()*xHeight, checked.NetHeight-1e-9, where)
				}
				if laid.qr != nil {
					assert.False(t, overlaps(d, line, *laid.qr), where+": text on the QR symbol: "+line.text)
				}
			}
		}
	}
}

// mixed leaves out those lines whose bit is set.
func mixed(mix int) Label {
	label := fullLabel("25341K2B1-P")
	for bit, field := range []*string{&label.QR, &label.Statement, &label.Storage, &label.LotCode, &label.Allergens, &label.BestBy} {
		if mix>>bit&1 == 1 {
			*field = ""
		}
	}
	label.SmallestLetter = 1
	return label
}

// overlaps tells whether a line runs into the dark part of a symbol.
func overlaps(d *Document, line placed, qr placedQR) bool {
	side := qr.side()
	quiet := 3 * qr.module // most of the quiet zone too
	left, top, right, bottom := qr.x+4*qr.module-quiet, qr.y+4*qr.module-quiet, qr.x+side-qr.module, qr.y+side-qr.module
	return line.x < right && line.x+d.Width(line.style, line.size, line.text) > left &&
		line.y-line.size.em()*capHeight < bottom && line.y > top
}

func TestTrayTag(t *testing.T) {
	toolcheck.Need(t, "pdftoppm", "pdftotext", "zbarimg")
	tag := TrayTag{Product: "Cane syrup", LotCode: "25341K2B1-P", Count: "48 bottles of 12 fl oz", Time: "Sun 7 Dec 2025, 14:05",
		Extra: "Kettle 2, run 25341K2", QR: "HTTPS://ALDERSLOUGH.EXAMPLE/L/25341K2B1P"}
	for _, paper := range []Paper{Roll(60, 40), Roll(100, 50), Roll(100, 150), Letter(), A4()} {
		pdf, err := PrintTrayTag(tag, paper, testMeta())
		require.NoError(t, err, paper)
		path := savePDF(t, fmt.Sprintf("tag-%s-%v.pdf", paper.Name, paper.Height), pdf)
		read := readText(t, path)
		for _, want := range []string{"25341K2B1-P", "HELD – not released", "48 bottles", "Cane syrup", "14:05"} {
			assert.Contains(t, read, want, paper)
		}
		assert.Equal(t, tag.QR, scan(t, render(t, path, 1, 203)), paper)
	}
	t.Run("another state", func(t *testing.T) {
		tag.State = "RELEASED"
		pdf, err := PrintTrayTag(tag, Roll(60, 40), testMeta())
		require.NoError(t, err)
		assert.NotContains(t, readText(t, savePDF(t, "released.pdf", pdf)), "HELD")
	})
	t.Run("too long", func(t *testing.T) {
		tag.Count = strings.Repeat("forty-eight bottles ", 30)
		_, err := PrintTrayTag(tag, Roll(60, 40), testMeta())
		assert.Equal(t, NoRoom{"labels.line.count"}, err)
	})
}

// The same input gives the same bytes, also when two goroutines draw at once (the race detector watches the font).
func TestPrintIsDeterministic(t *testing.T) {
	stock := Stocks()[0]
	labels := sheetOf(t, 10, fullLabel)
	first, err := Print(stock, 1, labels, testMeta())
	require.NoError(t, err)
	results := make(chan []byte, 8)
	for range 2 {
		go func() {
			for range 4 {
				pdf, _ := Print(stock, 1, labels, testMeta())
				results <- pdf
			}
		}()
	}
	for range 8 {
		assert.Equal(t, first, <-results)
	}
	other := testMeta()
	other.At = other.At.AddDate(0, 0, 1)
	later, err := Print(stock, 1, labels, other)
	require.NoError(t, err)
	assert.NotEqual(t, first, later, "the given time is in the document")
}
