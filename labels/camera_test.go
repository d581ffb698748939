package labels

import (
	"fmt"
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/toolcheck"
)

// cameraAngles are the degrees by which labels are turned before they are read, and cameraBlur how much they are blurred,
// in modules: within what engineering.md section 2 found to be read of every trial print of these sizes.
var cameraAngles = []float64{3, 10, 27}

const cameraBlur = 0.2

// Every module offered, down to the smallest, is read from the print of a label printer of 203 or 300 dots an inch: in
// grays, in black and white, and turned and blurred as in a photograph.
func TestEveryModuleIsRead(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm", "zbarimg")
	for _, dpi := range []int{203, 300} {
		offered := map[Millimeters]bool{}
		for _, wished := range []Millimeters{1.5, 1.25, 1, 0.75, defaultModule, 0.42, 0} {
			offered[wholeDots(wished, dpi)] = true
		}
		for module := range offered {
			t.Run(fmt.Sprintf("%d dpi %.3f mm", dpi, module), func(t *testing.T) {
				side, err := QRSide(scanContent, module)
				require.NoError(t, err)
				stock := RollStock("symbol", side+10, side+10, dpi)
				d := NewDocument(stock.Paper, testMeta())
				d.AddPage()
				art := artwork{layout: layout{qr: &placedQR{x: 5.1, y: 4.9, module: module}}}
				art.qr.bitmap, err = qrBitmap(scanContent)
				require.NoError(t, err)
				art.draw(d, stock.cell(0), dpi)
				pdf, err := d.Bytes()
				require.NoError(t, err)
				path := savePDF(t, "module.pdf", pdf)
				readEveryWay(t, scanContent, path, stock.cell(0), dpi, *art.qr)
			})
		}
	}
}

// The same for the label of every example stock, as it is laid out, with each sort of content a symbol may have: the
// house's address, a GS1 Digital Link, and plain text.
func TestEveryStockIsReadByCamera(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm", "zbarimg")
	code := mustCode(t, "25341K2B1P")
	link, err := DigitalLinkContent("https://alderslough.example", "9521234543213", code)
	require.NoError(t, err)
	for _, stock := range Stocks() {
		for sort, content := range map[string]string{"address": scanContent, "link": link, "plain": PlainContent(code, "Alder Slough Farm", "555-0142")} {
			label := fullLabel("25341K2B1-P")
			if stock.LabelHeight < 45 {
				label = smallLabel("25341K2B1-P")
			}
			label.QR = content
			last := stock.Cells()
			pdf, err := Print(stock, last, []Label{label}, testMeta())
			require.NoError(t, err, "%s %s", stock.Name, sort)
			laid, err := label.arrange(NewDocument(stock.Paper, testMeta()), stock)
			require.NoError(t, err)
			path := savePDF(t, "camera.pdf", pdf)
			resolutions := []int{203, 300}
			if sort != "address" {
				resolutions = resolutions[:1] // the coarser one; the modules of both are in the test above
			}
			for _, dpi := range resolutions {
				t.Run(fmt.Sprintf("%s %s %d dpi", stock.Name, sort, dpi), func(t *testing.T) {
					readEveryWay(t, label.QR, path, stock.cell(last-1), dpi, *laid.qr)
				})
			}
		}
	}
}

// readEveryWay reads a symbol from a PDF in grays and in black and white, both as printed and from photographs.
func readEveryWay(t *testing.T, want, path string, at Place, dpi int, symbol placedQR) {
	t.Helper()
	dots := float64(symbol.module) / 25.4 * float64(dpi) // pixels a module
	for name, label := range map[string]*image.Gray{"grays": renderCell(t, path, at, dpi), "black and white": renderCellMono(t, path, at, dpi)} {
		pictures, wanted := []*image.Gray{label}, []string{want}
		near := aimedAt(label, symbol, dpi)
		for _, angle := range cameraAngles {
			pictures, wanted = append(pictures, blurred(turned(near, angle, 6/dots), cameraBlur*6)), append(wanted, want)
		}
		assert.Equal(t, wanted, scanAll(t, pictures), name)
	}
}

// aimedAt is what a camera held over a symbol sees of its label: the symbol and 8 mm of what stands around it.
func aimedAt(label *image.Gray, symbol placedQR, dpi int) *image.Gray {
	const around Millimeters = 8
	side := symbol.side() + 2*around
	return cut(label, pixels(Place{X: symbol.x - around, Y: symbol.y - around, Width: side, Height: side}, dpi))
}

// turned is a picture turned by degrees and scaled, on white paper, its pixels interpolated.
func turned(g *image.Gray, degrees, scale float64) *image.Gray {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	w, h := float64(g.Rect.Dx())*scale, float64(g.Rect.Dy())*scale
	out := image.NewGray(image.Rect(0, 0, int(w*cos+h*sin)+40, int(h*cos+w*sin)+40))
	for i := range out.Pix {
		x, y := float64(i%out.Stride)-float64(out.Rect.Dx())/2, float64(i/out.Stride)-float64(out.Rect.Dy())/2
		out.Pix[i] = between(g, (x*cos+y*sin+w/2)/scale-0.5, (y*cos-x*sin+h/2)/scale-0.5)
	}
	return out
}

// between is a picture's shade at a place between its pixels; white outside.
func between(g *image.Gray, x, y float64) uint8 {
	left, top := int(math.Floor(x)), int(math.Floor(y))
	shade := 0.0
	for i := range 4 {
		px, py := left+i%2, top+i/2
		v := 255.0
		if (image.Point{px, py}).In(g.Rect) {
			v = float64(g.Pix[py*g.Stride+px])
		}
		shade += v * (1 - math.Abs(x-float64(px))) * (1 - math.Abs(y-float64(py)))
	}
	return uint8(math.Round(shade))
}

// blurred is a picture out of focus: a Gaussian of sigma pixels, across and then down.
func blurred(g *image.Gray, sigma float64) *image.Gray {
	reach := int(3*sigma) + 1
	weights, sum := make([]float64, 2*reach+1), 0.0
	for i := range weights {
		d := float64(i - reach)
		weights[i] = math.Exp(-d * d / (2 * sigma * sigma))
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return convolved(convolved(g, weights, 1), weights, g.Stride)
}

// convolved is a picture whose every pixel is the weighted mean of those before and after it, a step apart: 1 is across, a
// row is down. What turned draws has white around it, so that the ends of rows do no harm.
func convolved(from *image.Gray, weights []float64, step int) *image.Gray {
	to := image.NewGray(from.Rect)
	reach := len(weights) / 2 * step
	for i := range to.Pix {
		v := 0.0
		for k, weight := range weights {
			if at := i - reach + k*step; at >= 0 && at < len(from.Pix) {
				v += weight * float64(from.Pix[at])
			} else {
				v += weight * 255
			}
		}
		to.Pix[i] = uint8(v + 0.5)
	}
	return to
}
