package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"canewright/hazards/syrup"
)

// longestRecord is the most readings a file may hold: a reading a second for a whole day.
const longestRecord = 86400

// lethalityFound is the answer of calc lethality.
type lethalityFound struct {
	FMinutes   float64 `json:"f_minutes"`
	ReferenceC float64 `json:"reference_c"`
	ReferenceF float64 `json:"reference_f"`
	ZC         float64 `json:"z_c"`
	ZF         float64 `json:"z_f"`
	Readings   int     `json:"readings"`
	OverMin    float64 `json:"over_minutes"`
	HighestC   float64 `json:"highest_c"`
	HighestF   float64 `json:"highest_f"`
	Estimated  bool    `json:"estimated"`
	Model      string  `json:"model"`
	reference  syrup.Celsius
	highest    syrup.Celsius
}

// calcLethality is `calc lethality --ref 180F --z 23F --csv FILE`.
func calcLethality(in *inputs) (result, error) {
	if err := in.parse("ref", "z", "csv"); err != nil {
		return nil, err
	}
	ref := required(in, "ref", "180F", syrup.ParseTemperature)
	z := required(in, "z", "23F", syrup.ParseDifference)
	record := required(in, "csv", "cooling.csv", readRecord)
	if err := in.err(); err != nil {
		return nil, err
	}
	minutes, err := syrup.Lethality(record, ref, z)
	if err != nil {
		return nil, err
	}
	highest := record[0].Temperature
	for _, m := range record {
		highest = max(highest, m.Temperature)
	}
	return lethalityFound{
		FMinutes: figure(minutes), ReferenceC: figure(ref), ReferenceF: figure(ref.Fahrenheit()), ZC: figure(z), ZF: figure(z.Fahrenheit()),
		Readings: len(record), OverMin: figure(record[len(record)-1].Minutes - record[0].Minutes),
		HighestC: figure(highest), HighestF: figure(highest.Fahrenheit()),
		Estimated: true, Model: syrup.ModelLethality, reference: ref, highest: highest,
	}, nil
}

// readRecord reads a file of minutes and temperatures.
func readRecord(path string) ([]syrup.Moment, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, errors.New(say("calc.lethality.no_file", "Path", path))
	}
	defer file.Close()
	return parseRecord(file)
}

// parseRecord reads lines of minutes and a temperature with its unit, "12.5,185F". A first line of words is a heading; one
// that ends in F or C, as "minutes,temperature_f", gives the unit of plain numbers below it. All temperatures are in one
// unit: a file that mixes them is refused with the line.
func parseRecord(from io.Reader) ([]syrup.Moment, error) {
	reader := csv.NewReader(from)
	reader.FieldsPerRecord, reader.TrimLeadingSpace, reader.Comment = -1, true, '#'
	var record []syrup.Moment
	headUnit, unit := "", ""
	for first := true; ; first = false {
		fields, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return record, nil
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			return nil, atLine(broken.Line, errors.New(say("calc.lethality.not_csv")))
		} else if err != nil {
			return nil, err
		}
		line, _ := reader.FieldPos(0)
		fields[0] = strings.TrimPrefix(fields[0], "\ufeff")
		if first && isHeading(fields) {
			headUnit = unitOfHeading(fields)
			continue
		}
		moment, used, err := parseMoment(fields, headUnit)
		if err == nil && unit != "" && used != unit {
			err = errors.New(say("calc.lethality.mixed", "First", unit, "Then", used))
		}
		if err == nil && len(record) == longestRecord {
			err = errors.New(say("calc.lethality.long", "Most", longestRecord))
		}
		if err != nil {
			return nil, atLine(line, err)
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
func parseMoment(fields []string, headUnit string) (m syrup.Moment, used string, err error) {
	if len(fields) != 2 {
		return m, "", errors.New(say("calc.lethality.columns", "Count", len(fields)))
	}
	if m.Minutes, err = syrup.ParseNumber(fields[0]); err != nil {
		return m, "", err
	}
	typed := strings.TrimSpace(fields[1])
	if _, plainErr := syrup.ParseNumber(typed); plainErr == nil {
		typed += headUnit
	}
	if m.Temperature, err = syrup.ParseTemperature(typed); err != nil {
		return m, "", err
	}
	return m, strings.ToUpper(typed[len(typed)-1:]), nil
}

// atLine says in which line of the file something is wrong.
func atLine(line int, err error) error {
	return fmt.Errorf("%s", say("calc.lethality.line", "Line", line, "Problem", sayProblem(err)))
}

func (f lethalityFound) lines() []string {
	return []string{
		say("calc.lethality.result", "Minutes", decimals(f.FMinutes, 2), "Reference", temperatureText(f.reference), "Z", decimals(f.ZF, 1)),
		say("calc.lethality.record", "Readings", f.Readings, "Over", plain(f.OverMin), "Highest", temperatureText(f.highest)),
		say("calc.lethality.information"),
	}
}
