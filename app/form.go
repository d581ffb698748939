package app

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/records"
)

// maxBody bounds a posted form; photos have a reader of their own.
const maxBody = 1 << 20

// need says whether a field may stay blank.
type need bool

// The two needs.
const (
	required need = true
	optional need = false
)

// form is one form, bound in both directions by one function for each kind of record. Shown, its methods fill Fields
// from the struct they are given; read (after a POST), the same methods parse what was typed into the struct, keep the
// raw text for redisplay and note every wrong field. So new, redisplay and amend are one function:
//
//	func cutForm(f *form, c *records.Cut) {
//		f.Pick("planting", &c.PlantingID, f.choices(records.KindPlanting), required)
//		f.Day("cut_on", &c.CutOn, required)
//		f.Mass("mass", &c.Mass, &c.MassEntered, optional)
//	}
//
// A field is named as its column, without "_id"; its label is the text "<kind>.<name>", its help "<kind>.<name>.help"
// where there is one.
type form struct {
	ID         string // also before the ids of its fields: give forms on one page different ones
	Action     string
	Submit     string // word on the button
	Cancel     string // where to go without sending; empty for no such link
	Fields     []*Field
	Wrong      []Wrong
	Submission string // random, so that a double tap finds what the first tap made
	Revision   int    // revision an amendment was read at; 0 for a new record

	kind   string     // before the keys of labels
	raw    url.Values // nil while showing
	asked  url.Values // of the address: what a link filled in beforehand
	words  words
	now    time.Time
	list   func(records.Kind) ([]Choice, error)
	failed error // a fault of ours while making the form, not of what was typed
}

// Wrong is one line of the list of wrong fields.
type Wrong struct{ Label, Message, Target string }

// newForm is a form to show. kind names the texts of its labels.
func (a *App) newForm(c *gin.Context, kind, action string) *form {
	v := visitorOf(c)
	return &form{ID: strings.ReplaceAll(kind, ".", "-"), Action: action, Submit: submitWord(v.lang, kind), Submission: newToken(), kind: kind,
		asked: c.Request.URL.Query(), words: v.words(), now: a.store.Now(), list: a.lists(c.Request.Context(), v)}
}

// readForm is the form that was posted.
func (a *App) readForm(c *gin.Context, kind, action string) (*form, error) {
	if err := parseBody(c); err != nil {
		return nil, err
	}
	f := a.newForm(c, kind, action)
	f.raw = c.Request.PostForm
	f.Revision, _ = strconv.Atoi(f.raw.Get("revision"))
	if sent := f.raw.Get("submission"); sent != "" && len(sent) <= 64 {
		f.Submission = sent
	}
	return f, nil
}

// parseBody reads the posted form once, up to maxBody.
func parseBody(c *gin.Context) error {
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxBody)
	err := c.Request.ParseForm()
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return errTooLarge
	}
	if err != nil {
		return records.Invalid{{Key: "invalid.form"}}
	}
	return nil
}

// submitWord is the text "<kind>.submit" or the common one.
func submitWord(lang text.Language, kind string) string {
	if key := kind + ".submit"; text.Has(text.English, key) {
		return text.Say(lang, key)
	}
	return text.Say(lang, "form.submit")
}

// newToken is 16 random bytes in hexadecimal.
func newToken() string {
	var b [16]byte
	rand.Read(b[:]) // never fails since Go 1.24
	return hex.EncodeToString(b[:])
}

// reading tells whether a posted form is being read.
func (f *form) reading() bool { return f.raw != nil }

// fresh tells whether the form is shown for a record that does not exist yet.
func (f *form) fresh() bool { return !f.reading() && f.Revision == 0 }

// OK tells whether everything typed could be taken.
func (f *form) OK() bool { return f.failed == nil && len(f.Wrong) == 0 }

// choices lists the records of a kind to pick from. A fault is kept in the form until Err.
func (f *form) choices(kind records.Kind) []Choice {
	choices, err := f.list(kind)
	if err != nil && f.failed == nil {
		f.failed = err
	}
	return choices
}

// Err is a fault of ours while the form was made.
func (f *form) Err() error { return f.failed }

// field adds one field with its label and help, holding what was typed when reading.
func (f *form) field(name, kind string, n need) *Field {
	field := &Field{ID: f.ID + "-" + name, Name: name, Kind: kind, Required: bool(n), Label: f.words.say(f.kind + "." + name)}
	if help := f.kind + "." + name + ".help"; text.Has(text.English, help) {
		field.Help = f.words.say(help)
	}
	if f.reading() {
		field.Value = strings.TrimSpace(f.raw.Get(name))
	}
	f.Fields = append(f.Fields, field)
	return field
}

// wrong notes what is wrong with a field; the first fault of a field stays.
func (f *form) wrong(field *Field, key string, args ...any) {
	if field.Error != "" {
		return
	}
	field.Error = f.words.say(key, f.asTyped(field, args)...)
	f.Wrong = append(f.Wrong, Wrong{Label: field.Label, Message: field.Error, Target: field.ID})
}

// rename gives a field another label, also where a fault of it was noted.
func (f *form) rename(field *Field, label string) {
	field.Label = label
	for i := range f.Wrong {
		if f.Wrong[i].Target == field.ID {
			f.Wrong[i].Label = label
		}
	}
}

// blank tells whether nothing was typed, and refuses that when something is needed.
func (f *form) blank(field *Field) bool {
	if field.Value != "" {
		return false
	}
	if field.Required {
		f.wrong(field, "invalid.required")
	}
	return true
}

// take puts the store's refusals at their fields and tells whether it did. What is about no field of this form stands
// at the top. Any other error is the caller's to return.
func (f *form) take(err error) bool {
	var invalid records.Invalid
	if !errors.As(err, &invalid) {
		return false
	}
	for _, fault := range invalid {
		if field := f.named(fault.Field); field != nil {
			f.wrong(field, fault.Key, fault.Args...)
			continue
		}
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say(fault.Key, fault.Args...)})
	}
	return true
}

// named finds a field by its name or by its column.
func (f *form) named(column string) *Field {
	if column == "" {
		return nil
	}
	for _, field := range f.Fields {
		if field.Name == column || field.Name == strings.TrimSuffix(column, "_id") {
			return field
		}
	}
	return nil
}
