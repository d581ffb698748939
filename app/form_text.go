package app

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"canewright/records"
)

// Text binds one line of text of min to max characters; min 0 lets it stay blank.
func (f *form) Text(name string, to *string, min, max int) *Field {
	field := f.field(name, "text", min > 0)
	f.text(field, to, min, max)
	return field
}

// LongText binds text of several lines.
func (f *form) LongText(name string, to *string, min, max int) *Field {
	field := f.field(name, "longtext", min > 0)
	f.text(field, to, min, max)
	return field
}

// Secret binds a password or PIN. It is never shown again, and spaces around it count.
func (f *form) Secret(name string, to *string, n need) *Field {
	field := f.field(name, "password", n)
	if f.reading() {
		*to, field.Value = f.raw.Get(name), ""
		if *to == "" && bool(n) {
			f.wrong(field, "invalid.required")
		}
	}
	return field
}

// Hidden binds a value that is carried along unseen. It is as untrusted as any other.
func (f *form) Hidden(name string, to *string) *Field {
	field := f.field(name, "hidden", optional)
	if f.reading() {
		*to = field.Value
	}
	field.Value = *to
	return field
}

func (f *form) text(field *Field, to *string, min, max int) {
	if !f.reading() {
		field.Value, field.Shown = *to, *to
		return
	}
	field.Value = strings.ReplaceAll(field.Value, "\r\n", "\n")
	if f.blank(field) {
		*to = ""
		return
	}
	switch n := utf8.RuneCountInString(field.Value); {
	case n < min:
		f.wrong(field, "invalid.short", "Min", min)
	case n > max:
		f.wrong(field, "invalid.long", "Max", max)
	}
	if bad, ok := unkeepable(field.Value); ok {
		f.wrong(field, "invalid.rune", "Rune", bad)
	}
	*to = field.Value
}

// unkeepable finds a character that the store does not keep or a document cannot draw.
func unkeepable(s string) (string, bool) {
	for _, r := range s {
		if r > 0xFFFF || r == unicode.ReplacementChar || unicode.IsControl(r) && r != '\n' && r != '\t' {
			return string(r), true
		}
	}
	return "", false
}

// Pick binds the id of one of the records listed.
func (f *form) Pick(name string, to *string, choices []Choice, n need) *Field {
	field := f.field(name, "pick", n)
	field.Choices = slices.Concat([]Choice{{Name: f.words.say("form.choose")}}, choices)
	if !f.reading() {
		field.Value = *to
	}
	shown, known := field.choose(field.Value)
	if field.Value != "" {
		field.Shown = shown
	}
	if !f.reading() || f.blank(field) {
		*to = field.Value
		return field
	}
	if !known {
		f.wrong(field, "invalid.pick")
	}
	*to = field.Value
	return field
}

// OptionalPick binds an id that may be unknown: nil.
func (f *form) OptionalPick(name string, to **string, choices []Choice) *Field {
	id := ""
	if *to != nil {
		id = **to
	}
	field := f.Pick(name, &id, choices, optional)
	*to = nil
	if id != "" {
		*to = &id
	}
	return field
}

// Choice binds one of a few fixed words, said by the texts "<kind>.<name>.<word>".
func (f *form) Choice(name string, to *string, n need, values ...string) *Field {
	return choiceOf(f, name, to, n, values...)
}

// DoneBy asks, on a shared phone, who did the work; actor reads it. A house of one person is not asked.
func (f *form) DoneBy() {
	people := f.choices(records.KindPerson)
	if len(people) < 2 {
		return
	}
	who := ""
	field := f.Pick("done_by", &who, people, optional)
	field.Label, field.Help = f.words.say("form.done_by"), f.words.say("form.done_by.help")
	field.Choices[0].Name = f.words.say("form.done_by_me")
}

// choiceOf is Choice for a type of its own. Many words make a list, few make buttons.
func choiceOf[T ~string](f *form, name string, to *T, n need, values ...T) *Field {
	kind := "choice"
	if len(values) > 5 {
		kind = "pick"
	}
	field := f.field(name, kind, n)
	if kind == "pick" {
		field.Choices = []Choice{{Name: f.words.say("form.choose")}}
	}
	for _, value := range values {
		field.Choices = append(field.Choices, Choice{Value: string(value), Name: f.words.say(f.kind + "." + name + "." + keyWord(string(value)))})
	}
	if kind == "choice" && !bool(n) {
		field.Choices = append(field.Choices, Choice{Name: f.words.say("form.not_answered")})
	}
	if !f.reading() {
		field.Value = string(*to)
	}
	shown, known := field.choose(field.Value)
	if field.Value != "" {
		field.Shown = shown
	}
	if f.reading() && !f.blank(field) && !known {
		f.wrong(field, "invalid.choice")
	}
	*to = T(field.Value)
	return field
}

// keyWord writes a stored word as a part of a catalogue key.
func keyWord(value string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, strings.ToLower(value))
}

// YesNo binds an answer of three states: yes, no, and nil for not answered. Nothing is chosen beforehand but what is
// recorded.
func (f *form) YesNo(name string, to **bool, n need) *Field {
	field := f.field(name, "yesno", n)
	field.Choices = []Choice{{Value: "yes", Name: f.words.say("word.yes")}, {Value: "no", Name: f.words.say("word.no")}}
	if !bool(n) {
		field.Choices = append(field.Choices, Choice{Name: f.words.say("form.not_answered")})
	}
	if !f.reading() && *to != nil {
		field.Value = map[bool]string{true: "yes", false: "no"}[**to]
	}
	shown, known := field.choose(field.Value)
	if field.Value != "" {
		field.Shown = shown
	}
	if !f.reading() {
		return field
	}
	*to = nil
	if f.blank(field) {
		return field
	}
	if !known {
		f.wrong(field, "invalid.choice")
		return field
	}
	yes := field.Value == "yes"
	*to = &yes
	return field
}

// Flag binds a plain tick.
func (f *form) Flag(name string, to *bool) *Field {
	field := f.field(name, "flag", optional)
	if f.reading() {
		*to = field.Value != ""
	}
	field.Value, field.Shown = "", f.words.say("word.no")
	if *to {
		field.Value, field.Shown = "yes", f.words.say("word.yes")
	}
	return field
}
