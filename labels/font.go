package labels

import (
	"bytes"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Style is a face of the printed font, the Go fonts (BSD licence, by Bigelow & Holmes).
type Style int

// The faces. The zero value is Regular.
const (
	Regular Style = iota
	Bold
	Italic
	Mono
	MonoBold
	styleCount
)

// family is the name a face has inside a PDF.
func (s Style) family() string {
	return [styleCount]string{"regular", "bold", "italic", "mono", "monobold"}[s]
}

// ttf gives the face's own copy of its font file: gofpdf writes into the bytes it is given, so two documents drawn at
// once must not share them (engineering.md section 2, found by the race detector).
func (s Style) ttf() []byte {
	return bytes.Clone([styleCount][]byte{goregular.TTF, gobold.TTF, goitalic.TTF, gomono.TTF, gomonobold.TTF}[s])
}

// The heights of letters in ems, the same in all faces within half a percent (read from the fonts in a test).
const (
	xHeight    = 0.530 // the lower-case o
	capHeight  = 0.722
	ascent     = 0.785 // of f, l and brackets
	descent    = 0.210
	lineHeight = 1.18 // from baseline to baseline
)

// face is what is read from a font once: its outlines' index and how wide the common characters are.
type face struct {
	font   *sfnt.Font
	widths [commonRunes]uint16 // in thousandths of the em; 0 for no glyph
}

// commonRunes covers the Latin alphabets; wider characters are looked up each time.
const commonRunes = 0x180

// faces are read at start and never changed.
var faces = mustReadFaces()

func mustReadFaces() (read [styleCount]face) {
	for style := range styleCount {
		font, err := sfnt.Parse(style.ttf())
		if err != nil {
			panic(err)
		}
		read[style].font = font
		for r := rune(' '); r < commonRunes; r++ {
			read[style].widths[r] = advance(font, r)
		}
	}
	return read
}

// advance is the width of a character in thousandths of the em, rounded as gofpdf rounds; 0 when there is no glyph.
func advance(f *sfnt.Font, r rune) uint16 {
	index, err := f.GlyphIndex(nil, r)
	if err != nil || index == 0 {
		return 0
	}
	units := fixed.I(int(f.UnitsPerEm()))
	width, err := f.GlyphAdvance(nil, index, units, font.HintingNone)
	if err != nil {
		return 0
	}
	return uint16(math.Round(1000 * float64(width) / float64(units)))
}

// width is the length of a line in ems. gofpdf knows no kerning, so widths add up.
func (s Style) width(line string) Millimeters {
	thousandths := 0
	for _, r := range line {
		if r < commonRunes {
			thousandths += int(faces[s].widths[r])
		} else {
			thousandths += int(advance(faces[s].font, r))
		}
	}
	return Millimeters(thousandths) / 1000
}

// hasGlyph tells whether the fonts can draw r; all faces have the same characters (tested). gofpdf draws nothing, silently, where a glyph is missing, and refuses
// characters above U+FFFF.
func hasGlyph(r rune) bool {
	if r > 0xFFFF {
		return false
	}
	if r < commonRunes {
		return faces[Regular].widths[r] > 0
	}
	index, err := faces[Regular].font.GlyphIndex(nil, r)
	return err == nil && index != 0
}
