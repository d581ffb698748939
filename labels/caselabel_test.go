package labels

import (
	"fmt"
	"image"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/toolcheck"
)

// exampleCase is a case of an invented farm; the GTIN is made from the prefix 952, which GS1 keeps for examples.
func exampleCase(bars bool) CaseLabel {
	l := CaseLabel{ProductName: "Cane syrup", Contents: "12 bottles of 12 fl oz (354 mL)", LotCode: "25341K2B1-P", BestBy: "Dec 7, 2027",
		Storage: "Keep cool and dry.", Maker: "Alder Slough Farm", Address: "418 Gum Landing Road, Pinder LA 70799", QR: scanContent}
	if bars {
		l.Elements = []Element{{AIGTIN, "19521234543210"}, {AIBestBefore, "271207"}, {AILot, "25341K2B1P"}}
	}
	return l
}

func exampleCard() ShelfCard {
	return ShelfCard{ProductName: "Cane syrup", Net: "12 fl oz (354 mL)", Storage: "Keep cool and dry. Crystals melt in warm water.",
		Maker: "Alder Slough Farm", Address: "418 Gum Landing Road, Pinder LA 70799"}
}

// Case labels are read back on every stock they fit: text by pdftotext, symbols by zbarimg and by gozxing, which shows
// the Function 1 that makes the bars GS1-128.
func TestCaseLabelIsReadBack(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm", "pdftotext", "zbarimg")
	wide := 0
	for _, stock := range append(Stocks(), RollStock("roll-150x100", 150, 100, 300), RollStock("roll-100x75", 100, 75, 203)) {
		t.Run(stock.Name, func(t *testing.T) {
			face := exampleCase(true)
			pdf, err := PrintFaces(stock, 1, []Face{face}, testMeta())
			if err != nil {
				assert.Equal(t, NoRoom{"labels.line.bars"}, err, "only the bars may have no room")
				assert.Less(t, stock.LabelWidth*stock.LabelHeight, Millimeters(100*50), "on small stock only")
				face = exampleCase(false)
				pdf, err = PrintFaces(stock, 1, []Face{face}, testMeta())
				require.NoError(t, err)
			}
			path := savePDF(t, "case-"+stock.Name+".pdf", pdf)
			read := readText(t, path)
			for _, want := range []string{"Cane syrup", "12 bottles of 12 fl oz (354 mL)", "LOT 25341K2B1-P", "Best by Dec 7, 2027", "Alder Slough Farm", "Keep cool and dry."} {
				assert.Contains(t, read, want)
			}
			for _, dpi := range []int{203, 300} {
				if stock.DotsPerInch < dpi {
					continue
				}
				label := renderCell(t, path, stock.cell(0), dpi)
				seen := scanKinds(t, label)
				assert.Contains(t, seen, "QR-Code:"+scanContent, "at %d", dpi)
				if face.Elements == nil {
					continue
				}
				wide++
				joined := strings.ReplaceAll(strings.Join(seen, " "), "CODE-128:", "")
				rows, _, err := barRows(face.Elements, stock)
				require.NoError(t, err)
				photo := scanKinds(t, blurred(turned(label, 3, 2), 1))
				for _, row := range rows {
					said, err := ElementString(row.elements)
					require.NoError(t, err)
					assert.Contains(t, seen, "CODE-128:"+said, "at %d: %s", dpi, joined)
					assert.Contains(t, read, Bracketed(row.elements))
					assert.Contains(t, photo, "CODE-128:"+said, "photographed at %d", dpi)
				}
			}
		})
	}
	assert.Greater(t, wide, 3, "bars were read")
}

// scanKinds reads every symbol of a picture with zbarimg, each with its kind.
func scanKinds(t *testing.T, picture *image.Gray) []string {
	t.Helper()
	return strings.Split(strings.TrimSpace(zbar(t, []*image.Gray{picture}, "--quiet")), "\n")
}

// The bars begin with Function 1: gozxing, asked to, writes it as ]C1.
func TestBarsAreGS1(t *testing.T) {
	for _, elements := range [][]Element{exampleCase(true).Elements, {{AILot, "25341K2B1P"}, {AIGTIN, "19521234543210"}}} {
		bits, err := gs1Bars(elements)
		require.NoError(t, err)
		const height, module = 40, 3
		picture := image.NewGray(image.Rect(0, 0, (len(bits)+2*barQuiet)*module, height))
		for i := range picture.Pix {
			picture.Pix[i] = 255
			if x := i%picture.Stride/module - barQuiet; x >= 0 && x < len(bits) && bits[x] {
				picture.Pix[i] = 0
			}
		}
		bitmap, err := gozxing.NewBinaryBitmap(gozxing.NewHybridBinarizer(gozxing.NewLuminanceSourceFromImage(picture)))
		require.NoError(t, err)
		read, err := oned.NewCode128Reader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_ASSUME_GS1: true})
		require.NoError(t, err)
		want, err := ElementString(elements)
		require.NoError(t, err)
		assert.Equal(t, "]C1"+want, read.GetText())
		back, err := ReadElements(read.GetText())
		require.NoError(t, err)
		assert.Equal(t, elements, back)
	}
}

// Bars have whole dots, their quiet zones, and the width GS1 asks wherever the stock allows it.
func TestBarModules(t *testing.T) {
	for _, test := range []struct {
		stock  Stock
		rows   int
		module Millimeters
	}{
		{RollStock("shipping", 100, 150, 203), 2, 4 * 25.4 / 203}, {RollStock("wide", 160, 100, 203), 1, 4 * 25.4 / 203},
		{RollStock("small", 100, 50, 203), 2, 4 * 25.4 / 203}, {RollStock("medium", 78, 60, 203), 2, 3 * 25.4 / 203},
		{RollStock("narrow", 60, 60, 203), 2, 2 * 25.4 / 203},
	} {
		rows, module, err := barRows(exampleCase(true).Elements, test.stock)
		require.NoError(t, err, test.stock.Name)
		assert.Len(t, rows, test.rows, test.stock.Name)
		assert.InDelta(t, float64(test.module), float64(module), 1e-9, test.stock.Name)
		laid, err := exampleCase(true).arrange(NewDocument(test.stock.Paper, testMeta()), test.stock)
		if err != nil {
			continue
		}
		for _, b := range laid.bars {
			assert.GreaterOrEqual(t, b.x, barQuiet*b.module-1e-9, test.stock.Name)
			assert.LessOrEqual(t, b.x+b.module*Millimeters(len(b.bits)+barQuiet), test.stock.LabelWidth+1e-9, test.stock.Name)
			assert.GreaterOrEqual(t, b.height, leastBarHeight)
		}
	}
	_, _, err := barRows(exampleCase(true).Elements, RollStock("tiny", 40, 60, 203))
	assert.Equal(t, NoRoom{"labels.line.bars"}, err)
	assert.Zero(t, exampleCase(true).NarrowBars(RollStock("wide", 160, 100, 203)))
	assert.InDelta(t, 0.375, float64(exampleCase(true).NarrowBars(RollStock("medium", 78, 60, 203))), 0.001)
	assert.Zero(t, exampleCase(false).NarrowBars(RollStock("medium", 78, 60, 203)))
}

// Nothing of a case label or card leaves its stock or stands on something else.
func TestFacesStayInside(t *testing.T) {
	for _, stock := range append(Stocks(), RollStock("square", 50, 50, 203), RollStock("narrow", 40, 80, 300), RollStock("flat", 150, 30, 203)) {
		for i, face := range []Face{exampleCase(true), exampleCase(false), exampleCard()} {
			d := NewDocument(stock.Paper, testMeta())
			laid, err := face.arrange(d, stock)
			if err != nil {
				require.ErrorAs(t, err, new(NoRoom), stock.Name)
				continue
			}
			where := fmt.Sprint(stock.Name, " ", i)
			for _, line := range laid.lines {
				right, top := line.x+d.Width(line.style, line.size, line.text), line.y-line.size.em()*capHeight
				assert.GreaterOrEqual(t, line.x, labelPadding-0.01, where)
				assert.LessOrEqual(t, right, stock.LabelWidth-labelPadding+0.01, where+line.text)
				assert.GreaterOrEqual(t, top, labelPadding-0.01, where+line.text)
				assert.LessOrEqual(t, line.y+line.size.em()*descent, stock.LabelHeight-labelPadding+0.01, where+line.text)
				if laid.qr != nil {
					assert.False(t, overlaps(d, line, *laid.qr), where+line.text)
				}
				for _, b := range laid.bars {
					assert.False(t, line.y > b.y && top < b.y+b.height && right > b.x, where+": on the bars: "+line.text)
				}
			}
		}
	}
}

func TestFacesRefuse(t *testing.T) {
	stock := Stocks()[0]
	for _, test := range []struct {
		face Face
		want error
	}{
		{CaseLabel{ProductName: "Syrup 🍯"}, Unprintable{"Syrup 🍯", '🍯'}},
		{ShelfCard{Maker: "☑"}, Unprintable{"☑", '☑'}},
		{CaseLabel{ProductName: strings.Repeat("Syrup ", 80)}, NoRoom{"labels.line.name"}},
		{ShelfCard{Storage: strings.Repeat("It is so. ", 900)}, NoRoom{"labels.line.storage"}},
	} {
		_, err := PrintFaces(stock, 1, []Face{test.face}, testMeta())
		assert.Equal(t, test.want, err)
	}
	wrong := exampleCase(true)
	wrong.Elements = []Element{{AIGTIN, "19521234543211"}}
	_, err := PrintFaces(stock, 1, []Face{wrong}, testMeta())
	assert.ErrorContains(t, err, "check digit")
}

func TestShelfCard(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	for _, stock := range Stocks() {
		pdf, err := PrintFaces(stock, 1, []Face{exampleCard()}, testMeta())
		require.NoError(t, err, stock.Name)
		read := readText(t, savePDF(t, "card-"+stock.Name+".pdf", pdf))
		for _, want := range []string{"Cane syrup", "12 fl oz (354 mL)", "Made by Alder Slough Farm", "Pinder LA 70799", "Keep cool and dry.", "Price"} {
			assert.Contains(t, read, want, stock.Name)
		}
	}
}
