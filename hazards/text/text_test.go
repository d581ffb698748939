package text

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bookOf loads a catalogue from file names and contents.
func bookOf(t *testing.T, contents ...string) (*book, error) {
	t.Helper()
	fsys := fstest.MapFS{}
	for i := 0; i < len(contents); i += 2 {
		fsys[contents[i]] = &fstest.MapFile{Data: []byte(contents[i+1])}
	}
	return load(fsys)
}

func TestSay(t *testing.T) {
	b, err := bookOf(t,
		"a.en.toml", "\"k.title\" = \"Kettle\"\n\"k.only\" = \"English only\"\n\"k.since\" = \"{{.Minutes}} min\"\n"+
			"[\"k.bottles\"]\none = \"{{.Count}} bottle\"\nother = \"{{.Count}} bottles\"\n",
		"b.es.toml", "\"k.title\" = \"Paila\"\n[\"k.bottles\"]\none = \"{{.Count}} botella\"\nother = \"{{.Count}} botellas\"\n")
	require.NoError(t, err)
	tests := []struct {
		name string
		lang Language
		key  string
		args []any
		want string
	}{
		{"plain", English, "k.title", nil, "Kettle"},
		{"Spanish", Spanish, "k.title", nil, "Paila"},
		{"missing in Spanish", Spanish, "k.only", nil, "English only"},
		{"template missing in Spanish", Spanish, "k.since", []any{"Minutes", 4}, "4 min"},
		{"missing everywhere", Spanish, "k.none", nil, "⟦k.none⟧"},
		{"unknown language", Language("fr"), "k.title", nil, "Kettle"},
		{"variable", English, "k.since", []any{"Minutes", 42}, "42 min"},
		{"one", English, "k.bottles", []any{Count(1)}, "1 bottle"},
		{"many", English, "k.bottles", []any{"Count", 12}, "12 bottles"},
		{"none", English, "k.bottles", []any{"Count", Count(0)}, "0 bottles"},
		{"Spanish one", Spanish, "k.bottles", []any{Count(1)}, "1 botella"},
		{"Spanish million", Spanish, "k.bottles", []any{Count(1000000)}, "1000000 botellas"},
		{"name without value", English, "k.since", []any{"Minutes"}, "⟦k.since: give a name and a value in turn, not Minutes alone⟧"},
		{"count not whole", English, "k.bottles", []any{"Count", 1.5}, "⟦k.bottles: Count needs a whole number, not 1.5⟧"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { assert.Equal(t, test.want, b.say(test.lang, test.key, test.args)) })
	}
	t.Run("missing value is seen", func(t *testing.T) {
		said := b.say(English, "k.since", nil)
		assert.True(t, strings.HasPrefix(said, "⟦k.since:"), said)
		assert.Contains(t, said, "Minutes")
	})
	t.Run("missing count is seen", func(t *testing.T) {
		assert.True(t, strings.HasPrefix(b.say(English, "k.bottles", nil), "⟦k.bottles:"))
	})
}

func TestLoadRefuses(t *testing.T) {
	tests := []struct {
		name, want string
		files      []string
	}{
		{"key twice in a language", `b.en.toml: key "k.a" is already in a.en.toml`,
			[]string{"a.en.toml", `"k.a" = "x"`, "b.en.toml", `"k.a" = "y"`}},
		{"key twice in a file", "a.en.toml", []string{"a.en.toml", "\"k.a\" = \"x\"\n\"k.a\" = \"y\""}},
		{"logic", "words and {{.Name}} only", []string{"a.en.toml", `"k.a" = "{{if .X}}x{{end}}"`}},
		{"unclosed", "words and {{.Name}} only", []string{"a.en.toml", `"k.a" = "{{.X"`}},
		{"key shape", "write keys as small words", []string{"a.en.toml", `"Title" = "x"`}},
		{"empty text", "has no text", []string{"a.es.toml", `"k.a" = ""`}},
		{"not TOML", "a.es.toml", []string{"a.es.toml", `k = `}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := bookOf(t, test.files...)
			assert.ErrorContains(t, err, test.want)
		})
	}
}

func TestHasAndKeys(t *testing.T) {
	assert.True(t, Has(English, "level.hold"))
	assert.False(t, Has(English, "level.none_such"))
	assert.True(t, slices.IsSorted(Keys(Spanish)))
	assert.Contains(t, Keys(Spanish), "document.line")
	Keys(English)[0] = "changed"
	assert.NotEqual(t, "changed", Keys(English)[0], "a caller cannot change the catalogue")
}

func TestParseLanguage(t *testing.T) {
	for code, want := range map[string]Language{"es": Spanish, "ES-mx": Spanish, " en ": English} {
		lang, ok := ParseLanguage(code)
		assert.True(t, ok, code)
		assert.Equal(t, want, lang, code)
	}
	lang, ok := ParseLanguage("fr")
	assert.False(t, ok)
	assert.Equal(t, English, lang)
	assert.Equal(t, Spanish, PreferredLanguage("fr-CA, es-MX;q=0.9, en;q=0.8"))
	assert.Equal(t, English, PreferredLanguage("en-US,es;q=0.5"))
	assert.Equal(t, English, PreferredLanguage(";;;"))
}

// Every Spanish text has an English one with the same variables; a Spanish text may be missing, an English one not.
func TestLanguagesAgree(t *testing.T) {
	for key, spanish := range catalogue.messages[Spanish] {
		english, ok := catalogue.messages[English][key]
		if assert.True(t, ok, "key %s is in Spanish only: write it in English too", key) {
			assert.Equal(t, variables(english), variables(spanish), "key %s: other variables in Spanish", key)
		}
	}
}

// variables lists the names a message uses in any of its forms.
func variables(m *i18n.Message) []string {
	var names []string
	for _, match := range variable.FindAllStringSubmatch(strings.Join(forms(m), " "), -1) {
		names = append(names, match[1])
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// judgement is what the product never says of the syrup (design section 11).
var judgement = regexp.MustCompile(`(?i)(^|[^\pL])(safe|certified|legal|seguro|segura|seguros|seguras|certificado|certificada|certificados|certificadas|legales)($|[^\pL])`)

// regulationNames are names a regulation itself uses; they may hold such a word.
var regulationNames = regexp.MustCompile(`Safe Drinking Water Act|Ley de Agua Potable Segura`)

func TestNoJudgementWords(t *testing.T) {
	for _, bad := range []string{"This syrup is safe.", "SAFE", "Certified lot", "es seguro", "¿legal?"} {
		assert.Regexp(t, judgement, bad)
	}
	for _, fine := range []string{"food safety plan", "safely", "asegurar", "certificate", "Spanish moss"} {
		assert.NotRegexp(t, judgement, fine)
	}
	for _, lang := range Languages() {
		for key, message := range catalogue.messages[lang] {
			for _, form := range forms(message) {
				assert.NotRegexp(t, judgement, regulationNames.ReplaceAllString(form, ""), "%s key %s", lang, key)
			}
		}
	}
}

func TestSayFromManyGoroutines(t *testing.T) {
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for i := range 50 {
				assert.Equal(t, "not recorded", Say(English, "word.not_recorded"))
				assert.Equal(t, "Página 1 de 2", Say(Spanish, "document.page", "Page", 1, "Pages", 2))
				_ = Say(Spanish, "count.bottles", Count(i))
			}
		})
	}
	wait.Wait()
}

func BenchmarkSay(b *testing.B) {
	b.Run("plain", func(b *testing.B) {
		for b.Loop() {
			Say(Spanish, "level.hold")
		}
	})
	b.Run("variables", func(b *testing.B) {
		for b.Loop() {
			Say(Spanish, "document.page", "Page", 1, "Pages", 2)
		}
	})
	b.Run("plural", func(b *testing.B) {
		for b.Loop() {
			Say(Spanish, "count.bottles", Count(12))
		}
	})
}
