package text

import (
	"fmt"

	"github.com/nicksnyder/go-i18n/v2/i18n"
)

// Count is the number that chooses the plural form; it fills {{.Count}} too. It may stand alone among the arguments
// of Say.
type Count int

// Say gives the text of a key. The arguments are names and values in turn, filling {{.Name}}; a Count argument, or an
// int under the name "Count", chooses the plural.
//
//	text.Say(lang, "kettle.since_fire", "Minutes", 42)
//	text.Say(lang, "count.bottles", text.Count(12))
//
// A text missing in lang is given in English. A key that is in no language, or a text whose values are not all given,
// comes back in ⟦brackets⟧, so that a test and the eye see it.
func Say(lang Language, key string, args ...any) string { return catalogue.say(lang, key, args) }

// Has tells whether the language itself has the key, without falling back to English.
func Has(lang Language, key string) bool {
	_, ok := catalogue.messages[lang][key]
	return ok
}

// Keys lists the keys of a language in order.
func Keys(lang Language) []string { return append([]string(nil), catalogue.keys[lang]...) }

func (b *book) say(lang Language, key string, args []any) string {
	message, lang := b.find(lang, key)
	if message == nil {
		return "⟦" + key + "⟧"
	}
	if plain, ok := b.plain[lang][key]; ok {
		return plain
	}
	values, count, err := values(args)
	if err != nil {
		return fmt.Sprintf("⟦%s: %v⟧", key, err)
	}
	config := &i18n.LocalizeConfig{MessageID: key, TemplateData: values, PluralCount: count, TemplateParser: b.parser}
	said, err := b.localizers[lang].Localize(config)
	if said == "" {
		return fmt.Sprintf("⟦%s: %v⟧", key, err)
	}
	return said
}

// find gives the message and the language it was found in: lang itself or English.
func (b *book) find(lang Language, key string) (*i18n.Message, Language) {
	for _, l := range [...]Language{lang, English} {
		if message, ok := b.messages[l][key]; ok {
			return message, l
		}
	}
	return nil, English
}

// values turns the arguments of Say into the values of a template and the plural count, nil when there is none.
func values(args []any) (map[string]any, any, error) {
	given := make(map[string]any, len(args)/2+1)
	var count any
	for i := 0; i < len(args); i++ {
		if n, ok := args[i].(Count); ok {
			given["Count"], count = int(n), int(n)
			continue
		}
		name, ok := args[i].(string)
		if !ok || i+1 == len(args) {
			return nil, nil, fmt.Errorf("give a name and a value in turn, not %v alone", args[i])
		}
		i++
		given[name] = args[i]
		if name == "Count" {
			if count, ok = wholeNumber(args[i]); !ok {
				return nil, nil, fmt.Errorf("Count needs a whole number, not %v", args[i])
			}
		}
	}
	return given, count, nil
}

// wholeNumber takes the number types that may choose a plural.
func wholeNumber(v any) (any, bool) {
	switch n := v.(type) {
	case Count:
		return int(n), true
	case int, int64, int32:
		return n, true
	}
	return nil, false
}
