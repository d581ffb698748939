package labels

import (
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
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
				readEveryWay(t, scanContent, path, stock.cell(0), dpi, module)
			})
		}
	}
}

// The same for the label of every example stock, as it is laid out, with each sort of content a symbol may have: the
// house's address, a GS1 Digital Link, and plain text.
func TestEveryStockIsReadByCamera(t *testing.T) {
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
					readEveryWay(t, label.QR, path, stock.cell(last-1), dpi, laid.qr.module)
				})
			}
		}
	}
}

// readEveryWay reads a symbol from a PDF in grays, in black and white, and from photographs of both.
func readEveryWay(t *testing.T, want, path string, at Place, dpi int, module Millimeters) {
	t.Helper()
	for name, page := range map[string]*image.Gray{"grays": render(t, path, 1, dpi), "black and white": renderMono(t, path, dpi)} {
		label := crop(page, at, dpi)
		pictures, wanted := []*image.Gray{label}, []string{want}
		dots := float64(module) / 25.4 * float64(dpi) // pixels a module
		for _, angle := range cameraAngles {
			scale := 6 / dots
			pictures, wanted = append(pictures, blurred(turned(label, angle, scale), cameraBlur*6)), append(wanted, want)
		}
		assert.Equal(t, wanted, scanAll(t, pictures), name)
	}
}

// renderMono draws the first page of a PDF in black and white, as a printer of one ink does.
func renderMono(t *testing.T, path string, dpi int) *image.Gray {
	t.Helper()
	prefix := filepath.Join(t.TempDir(), "mono")
	out, err := exec.Command("pdftoppm", "-mono", "-r", strconv.Itoa(dpi), "-f", "1", "-l", "1", "-singlefile", path, prefix).CombinedOutput()
	require.NoError(t, err, string(out))
	data, err := os.ReadFile(prefix + ".pbm")
	require.NoError(t, err)
	var width, height int
	_, err = fmt.Sscanf(string(data[:20]), "P4\n%d %d\n", &width, &height)
	require.NoError(t, err)
	stride := (width + 7) / 8
	bits := data[len(data)-stride*height:]
	picture := image.NewGray(image.Rect(0, 0, width, height))
	for i := range picture.Pix {
		x, y := i%width, i/width
		if bits[y*stride+x/8]&(0x80>>(x%8)) == 0 {
			picture.Pix[i] = 255
		}
	}
	return picture
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
	pass := func(from *image.Gray, step func(x, y, d int) (int, int)) *image.Gray {
		to := image.NewGray(from.Rect)
		for i := range to.Pix {
			v := 0.0
			for k, weight := range weights {
				x, y := step(i%to.Stride, i/to.Stride, k-reach)
				x, y = min(max(x, 0), to.Rect.Dx()-1), min(max(y, 0), to.Rect.Dy()-1)
				v += weight * float64(from.Pix[y*from.Stride+x])
			}
			to.Pix[i] = uint8(math.Round(v / sum))
		}
		return to
	}
	across := pass(g, func(x, y, d int) (int, int) { return x + d, y })
	return pass(across, func(x, y, d int) (int, int) { return x, y + d })
}
