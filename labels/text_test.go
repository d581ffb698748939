package labels

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"canewright/hazards/text"
)

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"Caña de azúcar":         "Caña de azúcar",
		"Cafe\u0301":             "Café", // an accent apart is joined
		" a\tb\nc\u00a0d\u2009e": "a b c d e",
		"no\u200bgap\ufeff":      "nogap",
		"¿180 °F? ½ – “ok”":      "¿180 °F? ½ – “ok”",
		"bad\xffbyte":            "bad\uFFFDbyte",
		"non\u2011breaking":      "non-breaking",
		"bell\a":                 "bell",
		"":                       "",
	} {
		got, err := Printable(in)
		assert.NoError(t, err, "%q", in)
		assert.Equal(t, want, got)
	}
	for in, bad := range map[string]rune{"sweet 🍯": '🍯', "⅓ cup": '⅓', "tick ✓": '✓', "糖": '糖'} {
		_, err := Printable(in)
		var unprintable Unprintable
		assert.ErrorAs(t, err, &unprintable)
		assert.Equal(t, bad, unprintable.Character)
		assert.Contains(t, err.Error(), string(bad))
		assert.Contains(t, unprintable.Say(text.Spanish), string(bad))
	}
	assert.Equal(t, "honey [U+1F36F] jar", visible("honey 🍯 jar"))
}

// The constants used for layout are those of the fonts, and every face has the characters the regular one has.
func TestFontFigures(t *testing.T) {
	for style := range styleCount {
		face := faces[style].font
		metrics, err := face.Metrics(nil, fixed.I(1000), font.HintingNone)
		assert.NoError(t, err)
		assert.InDelta(t, xHeight*1000, metrics.XHeight.Round(), 7, style.family())
		assert.InDelta(t, capHeight*1000, metrics.CapHeight.Round(), 2, style.family())
		assert.InDelta(t, descent*1000, metrics.Descent.Round(), 2, style.family())
		for r := rune(0x20); r <= 0xFFFF; r++ {
			index, err := face.GlyphIndex(nil, r)
			if has := err == nil && index != 0; has != hasGlyph(r) {
				t.Fatalf("%s differs from regular in %U", style.family(), r)
			}
		}
	}
}

// A measured width is the width the library draws.
func TestWidthIsTheLibrarys(t *testing.T) {
	doc := NewDocument(Letter(), testMeta())
	doc.AddPage()
	for style := range styleCount {
		for _, s := range []string{"Cane syrup 74.6 % ½ – Ñandú °F", "25341K2B1-P", "→ “x”"} {
			doc.Text(10, 10, style, 12, s)
			assert.InDelta(t, doc.pdf.GetStringWidth(s), float64(doc.Width(style, 12, s)), 0.001, s)
		}
	}
}

func FuzzPrintable(f *testing.F) {
	f.Add("Cane syrup 🍯\xff")
	f.Fuzz(func(t *testing.T, s string) {
		if _, err := Printable(visible(s)); err != nil {
			t.Fatalf("%q: what is made visible is not printable: %v", s, err)
		}
		doc := NewDocument(Roll(60, 40), testMeta())
		doc.Text(5, 20, Regular, 10, s)
		if _, err := doc.Bytes(); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
	})
}

// A line that nobody typed is not asked to be shorter.
func TestNoRoomSays(t *testing.T) {
	assert.Contains(t, NoRoom{"labels.line.name"}.Error(), "“product name” does not fit")
	assert.Contains(t, NoRoom{"labels.line.name"}.Error(), "Shorten it")
	assert.Contains(t, NoRoom{netKey}.Error(), "“net contents” does not fit")
	assert.NotContains(t, NoRoom{netKey}.Error(), "Shorten it")
}
