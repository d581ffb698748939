package labels

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawn is a face's picture before it becomes a PNG: ink 0 to 255.
func drawn(t *testing.T, stock Stock, cell int, face Face) *picture {
	t.Helper()
	laid, err := face.arrange(NewDocument(stock.Paper, Meta{}), stock)
	require.NoError(t, err)
	p := newPicture(stock.cell(cell-1), pictureDPI(stock))
	laid.draw(p, stock.cell(cell-1), stock.DotsPerInch)
	require.NoError(t, p.err)
	return p
}

// onPage renders a picture's rectangle of a PDF several times as fine and averages it, as ink. At the picture's own dots
// poppler sets letters on whole or quarter dots, which says more about poppler than about the page.
func onPage(t *testing.T, pdf string, p *picture) *image.Alpha {
	t.Helper()
	fine := 4
	if p.dots > 400/25.4 {
		fine = 2
	}
	x, y := int(math.Round(float64(p.left)*p.dots)), int(math.Round(float64(p.top)*p.dots))
	width, height := p.ink.Rect.Dx(), p.ink.Rect.Dy()
	prefix := filepath.Join(t.TempDir(), "part")
	number := func(n int) string { return strconv.Itoa(n * fine) }
	out, err := exec.Command("pdftoppm", "-gray", "-singlefile", "-r", number(int(math.Round(p.dots*25.4))), "-x", number(x), "-y", number(y),
		"-W", number(width), "-H", number(height), pdf, prefix).CombinedOutput()
	require.NoError(t, err, string(out))
	data, err := os.ReadFile(prefix + ".pgm")
	require.NoError(t, err)
	var w, h int // the page may end within the picture's last dot
	_, err = fmt.Sscanf(string(data[:20]), "P5\n%d %d\n", &w, &h)
	require.NoError(t, err)
	pixels := data[len(data)-w*h:]
	cut := image.NewAlpha(p.ink.Rect)
	for i := range cut.Pix {
		sum := 0
		for j := range fine * fine {
			if x, y := i%width*fine+j%fine, i/width*fine+j/fine; x < w && y < h {
				sum += 255 - int(pixels[y*w+x])
			}
		}
		cut.Pix[i] = uint8(sum / (fine * fine))
	}
	return cut
}

// faces of every sort for a stock.
func facesFor(stock Stock) map[string]Face {
	label := fullLabel("25341K2B1-P")
	if stock.LabelHeight < 45 {
		label = smallLabel("25341K2B1-P")
	}
	all := map[string]Face{"label": label, "card": exampleCard(), "case": exampleCase(false)}
	if stock.LabelWidth > 90 && stock.LabelHeight > 45 {
		all["case with bars"] = exampleCase(true)
	}
	return all
}

// The picture a person looks at before printing is the PDF: rendered by another program at the same dots, both have the
// same ink in the same places, and the symbol is read from both.
func TestPictureIsThePDF(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm", "zbarimg")
	for _, stock := range Stocks() {
		for name, face := range facesFor(stock) {
			t.Run(stock.Name+" "+name, func(t *testing.T) {
				cell := stock.Cells() // the far corner, where errors of place add up
				pdf, err := PrintFaces(stock, cell, []Face{face}, testMeta())
				require.NoError(t, err)
				p := drawn(t, stock, cell, face)
				other := onPage(t, savePDF(t, "picture.pdf", pdf), p)
				var both, off, ink float64
				for i, a := range p.ink.Pix {
					b := other.Pix[i]
					both += math.Min(float64(a), float64(b))
					off += math.Abs(float64(a) - float64(b))
					ink += float64(b)
				}
				t.Logf("ink %.0f, differs %.2f %%", ink/255, 100*off/ink)
				require.Positive(t, ink)
				assert.Less(t, off/ink, 0.12, "share of ink that differs: edges of letters are shaded a little otherwise")
				assert.Greater(t, both/ink, 0.93, "nearly all ink of the PDF is in the picture")
				dx, dy := bestShift(p.ink, other)
				assert.Equal(t, [2]int{0, 0}, [2]int{dx, dy}, "no shift of a dot brings them closer")
				if label, ok := face.(Label); ok {
					assert.Equal(t, label.QR, scan(t, paper(p.ink)), "read from the picture")
					assert.Equal(t, label.QR, scan(t, paper(other)), "read from the PDF")
				}
			})
		}
	}
}

// bestShift is by how many dots one picture has to be moved to be most like the other.
func bestShift(a, b *image.Alpha) (int, int) {
	least, bx, by := math.Inf(1), 0, 0
	width, height := a.Rect.Dx(), a.Rect.Dy()
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			off := 0.0
			for y := 2; y < height-2; y++ {
				for x := 2; x < width-2; x++ {
					off += math.Abs(float64(a.Pix[y*a.Stride+x]) - float64(b.Pix[(y+dy)*b.Stride+x+dx]))
				}
			}
			if off < least {
				least, bx, by = off, dx, dy
			}
		}
	}
	return bx, by
}

// paper shows ink as black on white, with a white border as paper around it has.
func paper(ink *image.Alpha) *image.Gray {
	const border = 20
	g := image.NewGray(image.Rect(0, 0, ink.Rect.Dx()+2*border, ink.Rect.Dy()+2*border))
	draw.Draw(g, g.Rect, image.White, image.Point{}, draw.Src)
	for y := range ink.Rect.Dy() {
		for x := range ink.Rect.Dx() {
			g.Pix[(y+border)*g.Stride+x+border] = 255 - ink.Pix[y*ink.Stride+x]
		}
	}
	return g
}

// Modules are squares of whole dots, on any cell, also where the cell begins between two dots.
func TestPictureHasWholeDots(t *testing.T) {
	for _, stock := range Stocks() {
		label := Label{QR: scanContent}
		for cell := range stock.Cells() {
			p := drawn(t, stock, cell+1, label)
			laid, err := label.arrange(NewDocument(stock.Paper, Meta{}), stock)
			require.NoError(t, err)
			dots := float64(laid.qr.module) * float64(stock.DotsPerInch) / 25.4
			require.InDelta(t, math.Round(dots), dots, 1e-6)
			assert.Equal(t, onesOf(laid.qr.bitmap)*int(math.Round(dots))*int(math.Round(dots)), inked(p.ink), "%s cell %d", stock.Name, cell+1)
		}
	}
}

func onesOf(bitmap [][]bool) int {
	n := 0
	for _, row := range bitmap {
		for _, dark := range row {
			if dark {
				n++
			}
		}
	}
	return n
}

func inked(ink *image.Alpha) int {
	n := 0
	for _, a := range ink.Pix {
		if a == 255 {
			n++
		}
	}
	return n
}

func TestPicturePNG(t *testing.T) {
	thermal := RollStock("roll", 100, 50, 203)
	data, err := Picture(thermal, 1, fullLabel("25341K2B1-P"))
	require.NoError(t, err)
	shown, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Len(t, shown.(*image.Paletted).Palette, 2, "a printer of 203 dots has no grays")
	assert.Equal(t, image.Rect(0, 0, 800, 400), shown.Bounds(), "100 by 50 mm at 203 dots an inch")
	again, err := Picture(thermal, 1, fullLabel("25341K2B1-P"))
	require.NoError(t, err)
	assert.Equal(t, data, again)

	data, err = SheetPicture(Stocks()[2], 8, 300, smallLabel("25341K2B1-P"))
	require.NoError(t, err)
	shown, err = png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, image.Rect(0, 0, 510, 660), shown.Bounds(), "letter at 60 dots an inch")

	_, err = Picture(Stocks()[2], 31, smallLabel("25341K2B1-P"))
	assert.Equal(t, StartBeyond{31, 30}, err)
	_, err = SheetPicture(Stocks()[2], 0, 1, smallLabel("25341K2B1-P"))
	assert.Equal(t, StartBeyond{0, 30}, err)
	_, err = Picture(thermal, 1, Label{ProductName: "🍯"})
	assert.Equal(t, Unprintable{"🍯", '🍯'}, err)
}

// A picture stays within its bounds whatever the stock.
func TestPictureBounds(t *testing.T) {
	for _, stock := range []Stock{RollStock("fine", 100, 50, 1200), RollStock("finest", 100, 50, 4800), RollStock("huge", 1000, 1000, 203)} {
		p := newPicture(stock.cell(0), pictureDPI(stock))
		assert.LessOrEqual(t, len(p.ink.Pix), mostPicturePixels+10_000, stock.Name)
	}
	assert.Equal(t, 600, pictureDPI(RollStock("fine", 100, 50, 1200)))
	assert.Equal(t, 203, pictureDPI(RollStock("usual", 100, 50, 203)))
}

func BenchmarkPicture(b *testing.B) {
	for b.Loop() {
		if _, err := Picture(Stocks()[0], 1, fullLabel("25341K2B1-P")); err != nil {
			b.Fatal(err)
		}
	}
}
