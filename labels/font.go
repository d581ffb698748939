package labels

import (
	"bytes"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
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
	descent    = 0.210
	lineHeight = 1.18 // from baseline to baseline
)

// glyphs answers which characters the font has; all faces have the same (tested).
var glyphs = mustParseFont(goregular.TTF)

func mustParseFont(ttf []byte) *sfnt.Font {
	font, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err)
	}
	return font
}

// hasGlyph tells whether the font can draw r. gofpdf draws nothing, silently, where a glyph is missing, and refuses
// characters above U+FFFF.
func hasGlyph(r rune) bool {
	if r > 0xFFFF {
		return false
	}
	index, err := glyphs.GlyphIndex(nil, r)
	return err == nil && index != 0
}
