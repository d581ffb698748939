package labels

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const scanContent = "HTTPS://ALDERSLOUGH.EXAMPLE/L/25341K2B1P"

func TestWholeDots(t *testing.T) {
	// engineering.md section 2: three dots and 0.375 mm at 203 dpi, 0.33 mm at 300; 0.5 mm is four and six dots.
	for _, test := range []struct {
		module Millimeters
		dpi    int
		dots   float64
	}{{0.5, 203, 4}, {0.375, 203, 3}, {0.1, 203, 3}, {0.5, 300, 6}, {0.33, 300, 4}, {0.1, 300, 4}, {0.5, 600, 12}, {0.42, 203, 4}} {
		module := wholeDots(test.module, test.dpi)
		assert.InDelta(t, test.dots, float64(module)*float64(test.dpi)/25.4, 1e-9, test)
		assert.GreaterOrEqual(t, module, smallestModule(test.dpi)-0.001, test)
	}
}

// Upper case keeps the symbol at 25 modules for an address of 33 characters (style.md section 9).
func TestUpperCaseKeepsTheSymbolSmall(t *testing.T) {
	address := "HTTPS://SYRUP.EXAMPLE/L/25341K2B1"
	upper, err := qrBitmap(address)
	require.NoError(t, err)
	assert.Len(t, upper, 25)
	lower, err := qrBitmap(strings.ToLower(address))
	require.NoError(t, err)
	assert.Len(t, lower, 29)
}

func TestQRPNG(t *testing.T) {
	toolcheck.Need(t, "zbarimg")
	data, err := QRPNG(scanContent, 4)
	require.NoError(t, err)
	picture, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	grey := image.NewGray(picture.Bounds())
	draw.Draw(grey, grey.Rect, picture, image.Point{}, draw.Src)
	assert.Equal(t, scanContent, scan(t, grey))
	bitmap, err := qrBitmap(scanContent)
	require.NoError(t, err)
	assert.Equal(t, image.Rect(0, 0, (len(bitmap)+8)*4, (len(bitmap)+8)*4), picture.Bounds())
	assert.Equal(t, color.Gray{Y: 255}, color.GrayModel.Convert(picture.At(15, 15)), "the quiet zone is white")
	assert.Equal(t, color.Gray{}, color.GrayModel.Convert(picture.At(16, 16)))
	for _, bad := range []int{0, 65} {
		_, err = QRPNG(scanContent, bad)
		assert.ErrorContains(t, err, "1 to 64 pixels")
	}
	_, err = QRPNG(strings.Repeat("long", 2000), 4)
	assert.ErrorContains(t, err, "QR symbol")
}

// The SVG's path, filled by the rules of SVG, is the symbol; no text of the content gets into the page.
func TestQRSVG(t *testing.T) {
	svg, err := QRSVG(`<script>"&`)
	require.NoError(t, err)
	assert.NotContains(t, svg, "script")
	require.NoError(t, xml.Unmarshal([]byte(svg), new(struct{})))

	svg, err = QRSVG(scanContent)
	require.NoError(t, err)
	assert.Contains(t, svg, `shape-rendering="crispEdges"`)
	bitmap, err := qrBitmap(scanContent)
	require.NoError(t, err)
	assert.Equal(t, bitmap, rasterize(t, svg, len(bitmap)))
	_, err = QRSVG(strings.Repeat("long", 2000))
	assert.Error(t, err)
}

// rasterize reads back the runs "Mx yhNv1h-Nz" of the SVG's second path.
func rasterize(t *testing.T, svg string, n int) [][]bool {
	t.Helper()
	_, path, found := strings.Cut(svg, `fill="#000" d="`)
	require.True(t, found)
	path, _, _ = strings.Cut(path, `"`)
	grid := make([][]bool, n)
	for i := range grid {
		grid[i] = make([]bool, n)
	}
	for run := range strings.SplitSeq(strings.TrimSuffix(path, "z"), "z") {
		numbers := strings.FieldsFunc(run, func(r rune) bool { return r < '0' || r > '9' })
		x, _ := strconv.Atoi(numbers[0])
		y, _ := strconv.Atoi(numbers[1])
		wide, _ := strconv.Atoi(numbers[2])
		for i := range wide {
			grid[y-quietZone][x-quietZone+i] = true
		}
	}
	return grid
}

// Another renderer too reads the symbols: rows of rectangles once failed there.
func TestQRInAnotherRenderer(t *testing.T) {
	toolcheck.Need(t, "zbarimg", "gs")
	pdf, err := Print(Stocks()[2], 1, sheetOf(t, 30, smallLabel), testMeta())
	require.NoError(t, err)
	path := savePDF(t, "gs.pdf", pdf)
	out := filepath.Join(t.TempDir(), "gs.png")
	require.NoError(t, exec.Command("gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pnggray", "-r203", "-o", out, path).Run())
	read, err := exec.Command("zbarimg", "--nodbus", "--quiet", "--raw", out).Output()
	require.NoError(t, err)
	assert.Greater(t, strings.Count(string(read), "HTTPS://"), 25, "a whole page is read by luck of the scan lines")
}
