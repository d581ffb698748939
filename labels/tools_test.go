package labels

import (
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// requireTools skips a test whose outside tools are missing, with the reason, or fails it where the tools are required.
func requireTools(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := exec.LookPath(name); err != nil {
			if os.Getenv("CANEWRIGHT_REQUIRE_TOOLS") == "1" {
				t.Fatalf("%s is required and not installed (poppler-utils, zbar-tools)", name)
			}
			t.Skipf("%s is not installed (poppler-utils, zbar-tools)", name)
		}
	}
}

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

// render draws one page (from 1) of a PDF as a picture.
func render(t *testing.T, path string, page, dpi int) image.Image {
	t.Helper()
	prefix := filepath.Join(t.TempDir(), "page")
	n := strconv.Itoa(page)
	out, err := exec.Command("pdftoppm", "-png", "-r", strconv.Itoa(dpi), "-f", n, "-l", n, "-singlefile", path, prefix).CombinedOutput()
	require.NoError(t, err, string(out))
	file, err := os.Open(prefix + ".png")
	require.NoError(t, err)
	defer file.Close()
	picture, err := png.Decode(file)
	require.NoError(t, err)
	return picture
}

// crop cuts a label's rectangle out of a rendered page.
func crop(picture image.Image, at Place, dpi int) image.Image {
	pixel := func(m Millimeters) int { return int(float64(m) / 25.4 * float64(dpi)) }
	return picture.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(pixel(at.X), pixel(at.Y), pixel(at.X+at.Width)+1, pixel(at.Y+at.Height)+1))
}

// scan reads the one symbol of a picture with zbarimg, an independent reader.
func scan(t *testing.T, picture image.Image) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "crop.png")
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, png.Encode(file, picture))
	require.NoError(t, file.Close())
	out, err := exec.Command("zbarimg", "--nodbus", "--quiet", "--raw", path).Output()
	if err != nil {
		return "unreadable: " + err.Error()
	}
	return strings.TrimSpace(string(out))
}
