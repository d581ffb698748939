package labels

import (
	"errors"
	"fmt"
	"image"
	"image/draw"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// testMeta is the same at every run.
func testMeta() Meta {
	return Meta{Title: "Labels 25341K2B1-P", Author: "Alder Slough Farm", At: time.Date(2025, 12, 8, 14, 30, 0, 0, time.UTC)}
}

// savePDF writes a PDF into a folder of the test, or into CANEWRIGHT_LOOK when someone wants to look at it.
func savePDF(t *testing.T, name string, pdf []byte) string {
	t.Helper()
	folder := t.TempDir()
	if look := os.Getenv("CANEWRIGHT_LOOK"); look != "" {
		folder = look
	}
	path := filepath.Join(folder, name)
	require.NoError(t, os.WriteFile(path, pdf, 0o600))
	return path
}

// readText is the PDF's text as pdftotext reads it, spaces made single.
func readText(t *testing.T, path string, args ...string) string {
	t.Helper()
	out, err := exec.Command("pdftotext", append(append([]string{"-layout"}, args...), path, "-")...).CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.Join(strings.Fields(string(out)), " ")
}

// render draws one page (from 1) of a PDF in grey.
func render(t *testing.T, path string, page, dpi int) *image.Gray {
	t.Helper()
	return drawnBy(t, path, page, dpi, "-gray")
}

// renderCell draws one label's rectangle of a PDF in grey: what crop cuts out of the whole page, in a fraction of the time.
func renderCell(t *testing.T, path string, at Place, dpi int) *image.Gray {
	t.Helper()
	return drawnBy(t, path, at.Page+1, dpi, append([]string{"-gray"}, cellArgs(at, dpi)...)...)
}

// renderCellMono is the same in black and white, as a printer of one ink draws it.
func renderCellMono(t *testing.T, path string, at Place, dpi int) *image.Gray {
	t.Helper()
	return drawnBy(t, path, at.Page+1, dpi, append([]string{"-mono"}, cellArgs(at, dpi)...)...)
}

// cellArgs tell pdftoppm which pixels of the page to draw.
func cellArgs(at Place, dpi int) []string {
	r := pixels(at, dpi)
	return []string{"-x", strconv.Itoa(r.Min.X), "-y", strconv.Itoa(r.Min.Y), "-W", strconv.Itoa(r.Dx()), "-H", strconv.Itoa(r.Dy())}
}

// drawnBy is a page as pdftoppm draws it.
func drawnBy(t *testing.T, path string, page, dpi int, args ...string) *image.Gray {
	t.Helper()
	n := strconv.Itoa(page)
	args = append(args, "-r", strconv.Itoa(dpi), "-f", n, "-l", n, "-singlefile", path)
	data, err := exec.Command("pdftoppm", args...).Output()
	require.NoError(t, err)
	var kind, width, height int
	_, err = fmt.Sscanf(string(data[:20]), "P%d\n%d %d\n", &kind, &width, &height)
	require.NoError(t, err)
	picture := image.NewGray(image.Rect(0, 0, width, height))
	if kind == 4 { // one bit a pixel, black is 1
		unpack(picture, data[len(data)-(width+7)/8*height:])
		return picture
	}
	copy(picture.Pix, data[len(data)-width*height:])
	return picture
}

// unpack turns a picture of one bit a pixel into grays; a row begins with a byte.
func unpack(picture *image.Gray, bits []byte) {
	width, stride := picture.Rect.Dx(), (picture.Rect.Dx()+7)/8
	for i := range picture.Pix {
		if x, y := i%width, i/width; bits[y*stride+x/8]&(0x80>>(x%8)) == 0 {
			picture.Pix[i] = 255
		}
	}
}

// crop cuts a label's rectangle out of a rendered page.
func crop(picture *image.Gray, at Place, dpi int) *image.Gray {
	return cut(picture, pixels(at, dpi))
}

// pixels are those of a page that a place covers, whole or in part.
func pixels(at Place, dpi int) image.Rectangle {
	pixel := func(m Millimeters) int { return int(float64(m) / 25.4 * float64(dpi)) }
	return image.Rect(pixel(at.X), pixel(at.Y), pixel(at.X+at.Width)+1, pixel(at.Y+at.Height)+1)
}

// cut is a part of a picture.
func cut(picture *image.Gray, r image.Rectangle) *image.Gray {
	r = r.Intersect(picture.Rect)
	part := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	draw.Draw(part, part.Rect, picture, r.Min, draw.Src)
	return part
}

// scan reads the one symbol of a picture with zbarimg, an independent reader.
func scan(t *testing.T, picture *image.Gray) string {
	t.Helper()
	read := scanAll(t, []*image.Gray{picture})
	if len(read) == 0 {
		return "unreadable"
	}
	return read[0]
}

// scanAll reads the symbols of several pictures in order; a picture that cannot be read gives no line.
func scanAll(t *testing.T, pictures []*image.Gray) []string {
	t.Helper()
	return strings.FieldsFunc(zbar(t, pictures, "--quiet", "--raw"), func(r rune) bool { return r == '\n' })
}

// zbar gives what zbarimg says of pictures.
func zbar(t *testing.T, pictures []*image.Gray, args ...string) string {
	t.Helper()
	args = append([]string{"--nodbus"}, args...)
	folder := t.TempDir()
	for i, picture := range pictures {
		path := filepath.Join(folder, strconv.Itoa(i)+".pgm")
		head := fmt.Sprintf("P5\n%d %d\n255\n", picture.Rect.Dx(), picture.Rect.Dy())
		require.NoError(t, os.WriteFile(path, append([]byte(head), picture.Pix...), 0o600))
		args = append(args, path)
	}
	out, err := exec.Command("zbarimg", args...).Output()
	if exit := new(exec.ExitError); err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 4) {
		t.Fatalf("zbarimg: %v", err) // 4 is "no symbol found"
	}
	return string(out)
}
