package syrup

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// LongestRecord is the most readings a written record may hold: a reading a second for a whole day.
const LongestRecord = 86400

// RecordProblem says what is wrong with a line of a written record. It is also the key of its message.
type RecordProblem string

// The problems a line can have; RecordValue is a number or a temperature that cannot be read.
const (
	RecordQuote   RecordProblem = "quote"
	RecordColumns RecordProblem = "columns"
	RecordMixed   RecordProblem = "mixed"
	RecordLong    RecordProblem = "long"
	RecordValue   RecordProblem = "value"
)

// RecordError is a line of a written record that cannot be read. Columns is how many values it had; First and Then are
// the units where they are mixed; Err is the InputError or RangeError of a value.
type RecordError struct {
	Problem     RecordProblem
	Line        int
	Columns     int
	First, Then string
	Err         error
}

// Error names the line and what is expected.
func (e RecordError) Error() string {
	if e.Err != nil {
		return fmt.Sprintf("line %d: %v", e.Line, e.Err)
	}
	return fmt.Sprintf("line %d: %s, expected minutes and a temperature such as 12.5,185F, all in one unit", e.Line, e.Problem)
}

// Unwrap gives the error of the value.
func (e RecordError) Unwrap() error { return e.Err }

// ParseRecord reads lines of minutes and a temperature with its unit, "12.5,185F". A first line of words is a heading; one
// that ends in F or C, as "minutes,temperature_f", gives the unit of plain numbers below it. All temperatures are in one
// unit. Errors: RecordError, or what reading gives.
func ParseRecord(from io.Reader) ([]Moment, error) {
	reader := csv.NewReader(from)
	reader.FieldsPerRecord, reader.TrimLeadingSpace, reader.Comment = -1, true, '#'
	var record []Moment
	headUnit, unit := "", ""
	for first := true; ; first = false {
		fields, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return record, nil
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			return nil, RecordError{Problem: RecordQuote, Line: broken.Line}
		} else if err != nil {
			return nil, err
		}
		line, _ := reader.FieldPos(0)
		fields[0] = strings.TrimPrefix(fields[0], "\ufeff")
		if first && isHeading(fields) {
			headUnit = unitOfHeading(fields)
			continue
		}
		moment, used, wrong := parseMoment(fields, headUnit)
		switch {
		case wrong.Problem != "":
		case unit != "" && used != unit:
			wrong = RecordError{Problem: RecordMixed, First: unit, Then: used}
		case len(record) == LongestRecord:
			wrong = RecordError{Problem: RecordLong}
		}
		if wrong.Problem != "" {
			wrong.Line = line
			return nil, wrong
		}
		unit, record = used, append(record, moment)
	}
}

// isHeading tells a line of words from a line of readings: it has letters and no digit, and is no number gone wrong.
func isHeading(fields []string) bool {
	line := strings.ToLower(strings.Join(fields, " "))
	if strings.ContainsAny(line, "0123456789") || strings.Contains(line, "nan") || strings.Contains(line, "inf") {
		return false
	}
	return strings.ContainsAny(line, "abcdefghijklmnopqrstuvwxyz")
}

// unitOfHeading is the F or C that a heading names, blank when it names none.
func unitOfHeading(fields []string) string {
	if len(fields) < 2 {
		return ""
	}
	words := strings.FieldsFunc(strings.ToUpper(fields[1]), func(r rune) bool { return strings.ContainsRune(" _-()[]°.", r) })
	for _, word := range words {
		if word == "F" || word == "C" {
			return word
		}
	}
	return ""
}

// parseMoment reads one line; used is the unit its temperature was in.
func parseMoment(fields []string, headUnit string) (m Moment, used string, wrong RecordError) {
	if len(fields) != 2 {
		return m, "", RecordError{Problem: RecordColumns, Columns: len(fields)}
	}
	var err error
	if m.Minutes, err = ParseNumber(fields[0]); err != nil {
		return m, "", RecordError{Problem: RecordValue, Err: err}
	}
	typed := strings.TrimSpace(fields[1])
	if _, plainErr := ParseNumber(typed); plainErr == nil {
		typed += headUnit
	}
	if m.Temperature, err = ParseTemperature(typed); err != nil {
		return m, "", RecordError{Problem: RecordValue, Err: err}
	}
	return m, strings.ToUpper(typed[len(typed)-1:]), RecordError{}
}
