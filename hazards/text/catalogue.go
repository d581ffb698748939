package text

import (
	"embed"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/nicksnyder/go-i18n/v2/i18n/template"
	"golang.org/x/text/language"
)

//go:embed *.toml
var files embed.FS

// catalogue is read once at start and never changed after.
var catalogue = mustLoad(files)

// keyShape is the form of every key: two or more dotted words of small letters, digits and underscores.
var keyShape = regexp.MustCompile(`^[a-z0-9_]+(\.[a-z0-9_]+)+$`)

// variable is the only thing a text may hold beside words.
var variable = regexp.MustCompile(`\{\{\.([A-Z][A-Za-z0-9]*)\}\}`)

// book is the whole catalogue: what is plain is looked up, what has variables or plurals goes through the localizer.
type book struct {
	plain      map[Language]map[string]string
	keys       map[Language][]string
	messages   map[Language]map[string]*i18n.Message
	localizers map[Language]*i18n.Localizer
	parser     *template.TextParser
}

// mustLoad is load for the embedded files: a broken catalogue stops the program at start.
func mustLoad(fsys fs.FS) *book {
	b, err := load(fsys)
	if err != nil {
		panic(err)
	}
	return b
}

// load reads every *.<language>.toml of fsys and refuses a broken file, a key written twice and a text with logic.
func load(fsys fs.FS) (*book, error) {
	b := &book{
		plain:      map[Language]map[string]string{},
		keys:       map[Language][]string{},
		messages:   map[Language]map[string]*i18n.Message{},
		localizers: map[Language]*i18n.Localizer{},
		parser:     &template.TextParser{Option: "missingkey=error"},
	}
	bundle := i18n.NewBundle(language.English)
	bundle.RegisterUnmarshalFunc("toml", toml.Unmarshal)
	for _, lang := range Languages() {
		if err := b.loadLanguage(bundle, fsys, lang); err != nil {
			return nil, err
		}
	}
	for _, lang := range Languages() {
		b.localizers[lang] = i18n.NewLocalizer(bundle, string(lang))
	}
	return b, nil
}

// loadLanguage merges the files of one language.
func (b *book) loadLanguage(bundle *i18n.Bundle, fsys fs.FS, lang Language) error {
	names, err := fs.Glob(fsys, "*."+string(lang)+".toml")
	if err != nil {
		return fmt.Errorf("text: %w", err)
	}
	b.plain[lang], b.messages[lang] = map[string]string{}, map[string]*i18n.Message{}
	from := map[string]string{}
	for _, name := range names {
		file, err := bundle.LoadMessageFileFS(fsys, name)
		if err != nil {
			return fmt.Errorf("text: %s: %w", name, err)
		}
		for _, message := range file.Messages {
			if first, twice := from[message.ID]; twice {
				return fmt.Errorf("text: %s: key %q is already in %s; keep one", name, message.ID, first)
			}
			from[message.ID] = name
			if err := b.add(lang, message); err != nil {
				return fmt.Errorf("text: %s: %w", name, err)
			}
		}
	}
	slices.Sort(b.keys[lang])
	return nil
}

// add takes one message into the language.
func (b *book) add(lang Language, message *i18n.Message) error {
	if !keyShape.MatchString(message.ID) {
		return fmt.Errorf("key %q: write keys as small words with dots, like \"kettle.title\"", message.ID)
	}
	if message.Other == "" {
		return fmt.Errorf("key %q: has no text (a plural needs \"other\")", message.ID)
	}
	for _, form := range forms(message) {
		if strings.Contains(variable.ReplaceAllString(form, ""), "{{") {
			return fmt.Errorf("key %q: a text holds words and {{.Name}} only, not %q", message.ID, form)
		}
	}
	if len(forms(message)) == 1 && !strings.Contains(message.Other, "{{") {
		b.plain[lang][message.ID] = message.Other
	}
	b.messages[lang][message.ID] = message
	b.keys[lang] = append(b.keys[lang], message.ID)
	return nil
}

// forms lists the plural forms of a message that are written.
func forms(m *i18n.Message) []string {
	all := []string{m.Zero, m.One, m.Two, m.Few, m.Many, m.Other}
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}
