package labels

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"

	"github.com/skip2/go-qrcode"
)

// quietZone is the white border of a QR symbol in modules (ISO/IEC 18004; go-qrcode draws the same).
const quietZone = 4

// defaultModule is the side of one square of a QR symbol. At 0.5 mm nearly all photographs of all trial prints were
// read; below 0.375 mm at 203 dots per inch and 0.33 mm at 300 they were not (engineering.md section 2).
const defaultModule Millimeters = 0.5

// qrBitmap gives the modules of a symbol, true where dark, without the quiet zone. Medium correction restores 15 %.
func qrBitmap(content string) ([][]bool, error) {
	code, err := qrcode.New(content, qrcode.Medium)
	if err != nil {
		return nil, fmt.Errorf("QR symbol for %q: %w", content, err)
	}
	code.DisableBorder = true
	return code.Bitmap(), nil
}

// QRSide is the side of a symbol with its quiet zone.
func QRSide(content string, module Millimeters) (Millimeters, error) {
	bitmap, err := qrBitmap(content)
	if err != nil {
		return 0, err
	}
	return symbolSide(bitmap, module), nil
}

// symbolSide is the side of a bitmap with its quiet zone.
func symbolSide(bitmap [][]bool, module Millimeters) Millimeters {
	return Millimeters(len(bitmap)+2*quietZone) * module
}

// fittingModule is the first of the wished modules, made whole dots, whose symbol fits the side given, or the smallest
// the printer allows. The error is a NoRoomQR.
func fittingModule(bitmap [][]bool, most Millimeters, dotsPerInch int, wished ...Millimeters) (Millimeters, error) {
	for _, module := range append(wished, smallestModule(dotsPerInch)) {
		module = wholeDots(module, dotsPerInch)
		if symbolSide(bitmap, module) <= most {
			return module, nil
		}
	}
	return 0, NoRoomQR{Need: symbolSide(bitmap, wholeDots(0, dotsPerInch)), Have: most}
}

// smallestModule is the least side of a module a phone still reads from a print of that resolution.
func smallestModule(dotsPerInch int) Millimeters {
	if dotsPerInch < 300 {
		return 0.375
	}
	return 0.33
}

// wholeDots makes a module a whole number of printer dots, at least as large as asked and as the printer needs: broken
// dots read worse than a smaller whole size.
func wholeDots(module Millimeters, dotsPerInch int) Millimeters {
	dot := 25.4 / float64(dotsPerInch)
	const nearly = 0.01 // 0.5 mm is 3.996 dots of 203 dpi: take 4
	dots := math.Ceil(float64(max(module, smallestModule(dotsPerInch)))/dot - nearly)
	return Millimeters(math.Max(dots, 3) * dot)
}

// QR draws a symbol whose quiet zone has its top left corner at x, y. QRSide tells how much it takes.
func (d *Document) QR(x, y Millimeters, content string, module Millimeters) {
	d.draw(func() {
		bitmap, err := qrBitmap(content)
		if err != nil {
			d.Fail(err)
			return
		}
		d.symbol(x, y, module, bitmap)
	})
}

// symbol draws a bitmap whose quiet zone has its top left corner at x, y.
func (d *Document) symbol(x, y, module Millimeters, bitmap [][]bool) {
	side := module * Millimeters(len(bitmap))
	d.mask(x+quietZone*module, y+quietZone*module, side, side, bitmap)
}

// mask draws a bitmap as one inline image mask of one bit a module. Rows of rectangles would leave hairline seams in
// some renderers that no reader gets over, and an image object would cost ten times the bytes (engineering.md section 2).
func (d *Document) mask(x, y, width, height Millimeters, bitmap [][]bool) {
	points := func(m Millimeters) float64 { return float64(m) * pointsPerMillimeter }
	d.draw(func() {
		d.pdf.RawWriteStr(fmt.Sprintf("q 0 g %.4f 0 0 %.4f %.4f %.4f cm\nBI /W %d /H %d /IM true /BPC 1 /D [1 0] /F /AHx ID\n%s>\nEI Q",
			points(width), points(height), points(x), points(d.paper.Height-y-height), len(bitmap[0]), len(bitmap), maskBits(bitmap)))
	})
}

// maskBits writes a bitmap as hexadecimal, each row from a byte of its own.
func maskBits(bitmap [][]bool) string {
	var bits strings.Builder
	for _, row := range bitmap {
		for from := 0; from < len(row); from += 8 {
			var b byte
			for i := from; i < min(from+8, len(row)); i++ {
				if row[i] {
					b |= 0x80 >> (i - from)
				}
			}
			fmt.Fprintf(&bits, "%02X", b)
		}
	}
	return bits.String()
}

// QRPNG is a symbol with its quiet zone as a black and white PNG, each module a square of modulePixels.
func QRPNG(content string, modulePixels int) ([]byte, error) {
	if modulePixels < 1 || modulePixels > 64 {
		return nil, fmt.Errorf("QR symbol: a module must be 1 to 64 pixels, not %d", modulePixels)
	}
	bitmap, err := qrBitmap(content)
	if err != nil {
		return nil, err
	}
	side := (len(bitmap) + 2*quietZone) * modulePixels
	picture := image.NewPaletted(image.Rect(0, 0, side, side), color.Palette{color.White, color.Black})
	for y := range side {
		for x := range side {
			row, column := y/modulePixels-quietZone, x/modulePixels-quietZone
			if row >= 0 && row < len(bitmap) && column >= 0 && column < len(bitmap) && bitmap[row][column] {
				picture.SetColorIndex(x, y, 1)
			}
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, picture); err != nil {
		return nil, fmt.Errorf("QR symbol: %w", err)
	}
	return out.Bytes(), nil
}

// QRSVG is a symbol with its quiet zone as an SVG element of one path, for web pages. It has no width and height of its
// own; the content is not written into it.
func QRSVG(content string) (string, error) {
	bitmap, err := qrBitmap(content)
	if err != nil {
		return "", err
	}
	var path strings.Builder
	for y, row := range bitmap {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quietZone, y+quietZone, x-from, x-from)
			}
		}
	}
	side := len(bitmap) + 2*quietZone
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges" role="img">`+
		`<path fill="#fff" d="M0 0h%dv%dH0z"/><path fill="#000" d="%s"/></svg>`, side, side, side, side, path.String()), nil
}
