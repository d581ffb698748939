package labels

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"canewright/hazards/text"
)

// Unprintable says that a text holds a character the printed font does not have.
type Unprintable struct {
	Text      string
	Character rune
}

// Say explains it to a person.
func (e Unprintable) Say(lang text.Language) string {
	return text.Say(lang, "labels.unprintable",
		"Text", e.Text, "Character", string(e.Character), "Code", fmt.Sprintf("U+%04X", e.Character))
}

// Error is Say in English.
func (e Unprintable) Error() string { return e.Say(text.English) }

// Printable gives a text as it will be printed on one line, or an Unprintable that names the first character the font
// lacks. Accents are joined to their letters, every kind of space becomes a plain one, invisible characters go, and
// bytes that are no text become the replacement sign.
func Printable(s string) (string, error) {
	cleaned := clean(s)
	for _, r := range cleaned {
		if !hasGlyph(r) {
			return "", Unprintable{Text: cleaned, Character: r}
		}
	}
	return cleaned, nil
}

// printableLines is Printable for a text of several lines; blank ones go.
func printableLines(s string) (string, error) {
	var lines []string
	for line := range strings.Lines(s) {
		cleaned, err := Printable(line)
		if err != nil {
			return "", err
		}
		if cleaned != "" {
			lines = append(lines, cleaned)
		}
	}
	return strings.Join(lines, "\n"), nil
}

// visible is Printable for documents, which must show a record whatever it holds: a character the font lacks is
// written as its number, such as [U+1F36F].
func visible(s string) string {
	if plain(s) {
		return s
	}
	cleaned := clean(s)
	var shown strings.Builder
	for _, r := range cleaned {
		if hasGlyph(r) {
			shown.WriteRune(r)
		} else {
			fmt.Fprintf(&shown, "[U+%04X]", r)
		}
	}
	return shown.String()
}

// clean brings a text to one line of composed characters.
func clean(s string) string {
	if plain(s) {
		return s
	}
	s = norm.NFC.String(strings.ToValidUTF8(s, "\uFFFD"))
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == '\u2010' || r == '\u2011':
			return '-'
		case r == '\u00ad' || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Cc, r) || unicode.Is(unicode.Variation_Selector, r):
			return -1
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

// plain tells that a text is printable ASCII with no space at its ends, as most are.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return s == "" || s[0] != ' ' && s[len(s)-1] != ' '
}
