package labels

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/hazards/toolcheck"
)

// The outlines on the test page lie where labels are drawn, offset and all: measured on the rendered page.
func TestTestPage(t *testing.T) {
	toolcheck.Need(t, "pdftoppm", "pdftotext")
	for _, stock := range Stocks() {
		t.Run(stock.Name, func(t *testing.T) {
			stock.OffsetX, stock.OffsetY = 1.2, -0.8
			pdf, err := PrintTestPage(stock, testMeta())
			require.NoError(t, err)
			path := savePDF(t, "test-"+stock.Name+".pdf", pdf)
			read := readText(t, path)
			assert.Contains(t, read, stock.Name)
			assert.Contains(t, read, "offset 1.2 mm")
			assert.Contains(t, read, "-0.8 mm down")
			const dpi = 300
			page := render(t, path, 1, dpi)
			for _, i := range []int{0, stock.Cells() - 1} {
				at := stock.cell(i)
				if at.X+at.Width <= stock.Paper.Width && at.Y > 0 && at.Y+at.Height <= stock.Paper.Height {
					row := pixel(at.Y+at.Height, dpi)
					assert.Greater(t, darkInRow(page, row, pixel(at.X+1, dpi), pixel(at.X+at.Width-1, dpi)), 0.9, "lower edge of %d", i+1)
					column := pixel(at.X+at.Width, dpi)
					assert.Greater(t, darkInColumn(page, column, pixel(at.Y+1, dpi), pixel(at.Y+at.Height-1, dpi)), 0.9, "right edge of %d", i+1)
				}
			}
		})
	}
	meta := testMeta()
	meta.Language = text.Spanish
	pdf, err := PrintTestPage(Stocks()[0], meta)
	require.NoError(t, err)
	assert.Contains(t, readText(t, savePDF(t, "test-es.pdf", pdf)), "Arriba de la hoja")
	_, err = PrintTestPage(Stock{Name: "none"}, testMeta())
	assert.Error(t, err)
}

func pixel(m Millimeters, dpi int) int { return int(math.Round(float64(m) / 25.4 * float64(dpi))) }

// darkInRow is the share of a row's pixels, between two columns, that are dark there or one pixel above or below.
func darkInRow(g *image.Gray, row, from, to int) float64 {
	dark := 0
	for x := from; x < to; x++ {
		if min(g.GrayAt(x, row-1).Y, g.GrayAt(x, row).Y, g.GrayAt(x, row+1).Y) < 200 {
			dark++
		}
	}
	return float64(dark) / float64(to-from)
}

func darkInColumn(g *image.Gray, column, from, to int) float64 {
	dark := 0
	for y := from; y < to; y++ {
		if min(g.GrayAt(column-1, y).Y, g.GrayAt(column, y).Y, g.GrayAt(column+1, y).Y) < 200 {
			dark++
		}
	}
	return float64(dark) / float64(to-from)
}

// A ruler's 100 mm are 100 mm on the rendered page, and its inches inches.
func TestTestPageRuler(t *testing.T) {
	toolcheck.Need(t, "pdftoppm")
	stock := RollStock("roll-150x100", 150, 100, 300)
	pdf, err := PrintTestPage(stock, testMeta())
	require.NoError(t, err)
	const dpi = 600
	page := render(t, savePDF(t, "ruler.pdf", pdf), 1, dpi)
	middle := stock.Paper.Height * rulerAcross
	marks := func(y Millimeters) []float64 { // where upright marks cross this height, in millimeters
		var at []float64
		row := pixel(y, dpi)
		for x := 1; x < page.Rect.Dx(); x++ {
			if page.GrayAt(x, row).Y < 128 && page.GrayAt(x-1, row).Y >= 128 {
				at = append(at, float64(x)/dpi*25.4)
			}
		}
		return at
	}
	centimeters := marks(middle - 2.7) // only the marks of ten reach so high
	assert.True(t, apart(centimeters, 100), "%v", centimeters)
	inches := marks(middle + 2.8)
	assert.True(t, apart(inches, 101.6), "%v", inches)
}

// apart tells whether two marks lie so far from each other.
func apart(at []float64, want float64) bool {
	for _, a := range at {
		for _, b := range at {
			if math.Abs(b-a-want) < 0.06 {
				return true
			}
		}
	}
	return false
}

// An offset moves everything printed on a stock, and one that moves print over the paper's edge is refused.
func TestOffset(t *testing.T) {
	toolcheck.Need(t, "pdftoppm", "zbarimg")
	stock := Stocks()[0]
	moved := stock
	moved.OffsetX, moved.OffsetY = 2.5, -1.5
	for _, face := range []Face{fullLabel("25341K2B1-P"), exampleCase(true), exampleCard()} {
		const dpi = 300
		inkAt := func(s Stock) image.Rectangle {
			pdf, err := PrintFaces(s, 1, []Face{face}, testMeta())
			require.NoError(t, err)
			return inkBounds(render(t, savePDF(t, "offset.pdf", pdf), 1, dpi))
		}
		here, there := inkAt(stock), inkAt(moved)
		assert.InDelta(t, 2.5, float64(there.Min.X-here.Min.X)/dpi*25.4, 0.2)
		assert.InDelta(t, -1.5, float64(there.Min.Y-here.Min.Y)/dpi*25.4, 0.2)
		assert.InDelta(t, 2.5, float64(there.Max.X-here.Max.X)/dpi*25.4, 0.2)
	}
	for _, test := range []struct {
		x, y  Millimeters
		wrong string
	}{{5, 0, ""}, {6, 0, "right edge"}, {-6, 0, "left edge"}, {0, 0, ""}, {11, 0, "offset to the right must be -10 to 10"}, {0, -11, "offset down"}} {
		stock.OffsetX, stock.OffsetY = test.x, test.y
		err := stock.Validate()
		if test.wrong == "" {
			assert.NoError(t, err, test)
		} else {
			assert.ErrorContains(t, err, test.wrong)
		}
	}
	roll := RollStock("roll", 100, 50, 203)
	roll.OffsetY = 1.5
	assert.NoError(t, roll.Validate())
	roll.OffsetY = 1.8
	assert.ErrorContains(t, roll.Validate(), "over the paper's lower edge")
}

// inkBounds is the smallest rectangle that holds all ink.
func inkBounds(g *image.Gray) image.Rectangle {
	bounds := image.Rectangle{}
	for i, v := range g.Pix {
		if v < 128 {
			bounds = bounds.Union(image.Rect(i%g.Stride, i/g.Stride, i%g.Stride+1, i/g.Stride+1))
		}
	}
	return bounds
}
