package text

import (
	"strings"

	"golang.org/x/text/language"
)

// Language is a language of the catalogue, as its two-letter ISO 639-1 code.
type Language string

// The languages of the catalogue. English is complete; a text missing in Spanish is shown in English.
const (
	English Language = "en"
	Spanish Language = "es"
)

// Languages lists the languages of the catalogue, English first.
func Languages() []Language { return []Language{English, Spanish} }

// ParseLanguage reads a language code such as "es" or "es-MX", in any case; anything else is English and false.
func ParseLanguage(code string) (Language, bool) {
	base, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(code)), "-")
	for _, lang := range Languages() {
		if base == string(lang) {
			return lang, true
		}
	}
	return English, false
}

// PreferredLanguage picks from a browser's Accept-Language header; English when it asks for none of ours.
func PreferredLanguage(header string) Language {
	tags, _, err := language.ParseAcceptLanguage(header)
	if err != nil {
		return English
	}
	for _, tag := range tags {
		if lang, ok := ParseLanguage(tag.String()); ok {
			return lang
		}
	}
	return English
}
