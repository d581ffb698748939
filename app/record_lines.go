package app

import (
	"reflect"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

// line is one field of a record in words.
type line struct {
	Label   string
	Text    string
	Entered string // quantity as typed, where that is not what Text says
	URL     string // of the record the field refers to
	Missing bool
	column  string
	id      string
}

// linesFor is linesOf for a person: who complained is not shown to a reader, as an inspector may be one.
func linesFor(v *visitor, fact records.Fact) []line {
	if complaint, ok := fact.(*records.Complaint); ok && !v.may(crew) {
		without := *complaint
		without.Contact = records.Contact{}
		fact = &without
	}
	return linesOf(v.words(), fact)
}

// linesOf gives every field of a fact in the words of the catalogue, in the order of its struct. A field that refers to
// a record holds its id until named.
func linesOf(w words, fact records.Fact) []line {
	v := reflect.ValueOf(fact).Elem()
	kind := string(fact.Kind())
	var lines []line
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		switch {
		case name == "Row" || name == "ContactHash" || isEntered(v, name):
		case name == "Contact":
			lines = append(lines, contactLines(w, kind, v.Field(i).Interface().(records.Contact))...)
		default:
			lines = append(lines, lineOf(w, kind, name, v))
		}
	}
	return lines
}

// isEntered tells whether a field is the text typed for another field, which shows both.
func isEntered(v reflect.Value, name string) bool {
	base, ok := strings.CutSuffix(name, "Entered")
	return ok && (v.FieldByName(base).IsValid() || base == "Area")
}

func enteredFor(v reflect.Value, name string) string {
	if name == "Acres" {
		name = "Area"
	}
	if entered := v.FieldByName(name + "Entered"); entered.IsValid() {
		return entered.String()
	}
	return ""
}

func contactLines(w words, kind string, k records.Contact) []line {
	fields := []struct{ column, value string }{{"contact_name", k.Name}, {"contact_person", k.Person},
		{"contact_address", k.Address}, {"contact_telephone", k.Telephone}, {"contact_email", k.Email}}
	var lines []line
	for _, field := range fields {
		if field.value != "" {
			lines = append(lines, line{Label: label(w, kind, field.column), Text: field.value, column: field.column})
		}
	}
	return lines
}

func lineOf(w words, kind, name string, v reflect.Value) line {
	column := columnName(name)
	l := line{column: column, Label: label(w, kind, column)}
	l.Text = inWords(w, kind+"."+column, v.FieldByName(name))
	l.Missing = l.Text == ""
	if l.Missing {
		l.Text = w.notRecorded()
		return l
	}
	if strings.HasSuffix(name, "ID") {
		l.id = l.Text
	}
	if entered := enteredFor(v, name); !sameFigure(w, entered, l.Text) {
		l.Entered = entered
	}
	return l
}

// sameFigure tells whether what was typed says no more than the figure shown: the same number in the same unit.
func sameFigure(w words, entered, shown string) bool {
	number, unit, ok := strings.Cut(entered, " ")
	x, err := syrup.ParseNumber(number)
	if !ok || err != nil || plainNumber(x) != strings.TrimSuffix(decimal(x), ".0") {
		return entered == ""
	}
	return decimal(x)+noBreak+w.say(unitKeys[unit]) == shown
}

// label is the text of a column, or the column's own words where nobody wrote one.
func label(w words, kind, column string) string {
	key := kind + "." + strings.TrimSuffix(column, "_id")
	if text.Has(text.English, key) {
		return w.say(key)
	}
	return strings.ReplaceAll(strings.TrimSuffix(column, "_id"), "_", " ")
}

// inWords writes a value of any type a fact holds; empty is not recorded.
func inWords(w words, key string, v reflect.Value) string {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return ""
		}
		v = v.Elem()
		if empty := key + ".empty"; v.Kind() == reflect.String && v.String() == "" && text.Has(text.English, empty) {
			return w.say(empty) // answered, and the answer is: none
		}
	}
	var said string
	var err error
	switch x := v.Interface().(type) {
	case syrup.Celsius:
		said, err = w.temperature(x)
	case syrup.Liters, syrup.Milliliters:
		said, err = w.volume(x)
	case syrup.Kilograms, syrup.Grams:
		said, err = w.mass(x)
	case syrup.Meters:
		said, err = w.length(x)
	case syrup.Brix, syrup.Fraction:
		said, err = w.percent(x)
	case records.Day:
		if x.Valid() {
			said, err = w.day(x)
		}
	case time.Time:
		if !x.IsZero() {
			said, err = w.moment(x)
		}
	default:
		said = plainWords(w, key, v)
	}
	if err != nil {
		return err.Error()
	}
	return said
}

// plainWords writes plain texts, numbers and answers. A fixed word is said by the text "<kind>.<column>.<word>".
func plainWords(w words, key string, v reflect.Value) string {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return w.say("word.yes")
		}
		return w.say("word.no")
	case reflect.Int:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Float64:
		return plainNumber(v.Float())
	case reflect.String:
		if key == "house_limit.code" {
			return w.say("limit." + v.String())
		}
		if word := key + "." + keyWord(v.String()); v.String() != "" && text.Has(text.English, word) {
			return w.say(word)
		}
		return v.String()
	}
	return ""
}

// columnName writes a field's name as its column: EPANumber is epa_number, PlantingID planting_id.
func columnName(field string) string {
	var b strings.Builder
	for i, r := range field {
		upper := r >= 'A' && r <= 'Z'
		afterLower := i > 0 && (field[i-1] < 'A' || field[i-1] > 'Z')
		beforeLower := i > 0 && i+1 < len(field) && field[i+1] >= 'a' && field[i+1] <= 'z'
		if upper && (afterLower || beforeLower) {
			b.WriteByte('_')
		}
		b.WriteString(strings.ToLower(string(r)))
	}
	return b.String()
}
