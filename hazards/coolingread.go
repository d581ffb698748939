package hazards

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// CoolingProblem is what is wrong with a cooling series somebody typed or pasted.
type CoolingProblem string

// The problems of a series.
const (
	CoolingColumns CoolingProblem = "columns" // not a time and a temperature
	CoolingComma   CoolingProblem = "comma"   // a decimal comma, or a comma between two numbers
	CoolingBack    CoolingProblem = "back"    // not later than the line before
	CoolingJump    CoolingProblem = "jump"    // faster than a bottle of syrup can change
	CoolingFew     CoolingProblem = "few"     // fewer than three
	CoolingMixed   CoolingProblem = "mixed"   // minutes and clock times
	CoolingUnit    CoolingProblem = "unit"    // no bottle filled hot was ever so cool or so hot in this unit
	CoolingRange   CoolingProblem = "range"   // a temperature syrup in a bottle cannot have
	CoolingLong    CoolingProblem = "long"    // days
)

// CoolingError names the line of a series that cannot be taken, from 1.
type CoolingError struct {
	Problem CoolingProblem
	Line    int
	Text    string
	Hottest string // as typed, for CoolingUnit
	Unit    string
}

func (e CoolingError) Error() string {
	return fmt.Sprintf("line %d, %q: %s", e.Line, e.Text, e.Problem)
}

// A change by more than jumpDegrees faster than jumpRate is a slip: a small bottle in moving water does not cool so (our choice).
const (
	jumpDegrees = 15.0 // C
	jumpRate    = 10.0 // C a minute
	longestTest = 3 * 24 * 60.0
)

// The hottest reading of a bottle filled hot lies between these, C.
const (
	coolestFill = 45.0
	hottestFill = 112.0
)

// ReadCooling reads a series: a line for each reading, minutes since capping or the time of day as 14:05, then the temperature
// in the unit named (F or C). capped is when the bottle was capped, in the house's zone; it is where clock times are counted
// from, and where it is zero there are none. Errors: CoolingError.
func ReadCooling(typed, unit string, capped time.Time) ([]syrup.Moment, error) {
	var record []syrup.Moment
	clocks, hottest := "", ""
	number := 0
	for line := range strings.Lines(typed) {
		number++
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		wrong := func(p CoolingProblem) error { return CoolingError{Problem: p, Line: number, Text: line, Unit: unit} }
		fields, problem := coolingFields(line)
		if problem != "" {
			return nil, wrong(problem)
		}
		minutes, kind, ok := coolingMinutes(fields[0], capped, record)
		degrees, err := syrup.ParseNumber(strings.TrimRight(fields[1], "°FfCc"))
		switch {
		case !ok || err != nil:
			return nil, wrong(CoolingColumns)
		case clocks != "" && clocks != kind:
			return nil, wrong(CoolingMixed)
		}
		clocks = kind
		m := syrup.Moment{Minutes: minutes, Temperature: syrup.Celsius(degrees)}
		if unit == "F" {
			m.Temperature = syrup.Fahrenheit(degrees).Celsius()
		}
		if m.Temperature < -20 || m.Temperature > syrup.MaxLethalTemperature && unit == "F" {
			return nil, wrong(CoolingRange)
		}
		if problem := followsCooling(record, m); problem != "" {
			return nil, wrong(problem)
		}
		if hottest == "" || m.Temperature > hottestOf(record) {
			hottest = fields[1]
		}
		record = append(record, m)
	}
	return record, wholeSeries(record, hottest, unit, number)
}

// coolingFields takes a line apart: blanks, a semicolon, or a comma that cannot be a decimal comma.
func coolingFields(line string) ([]string, CoolingProblem) {
	fields := strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == '\t' || r == ';' || r == '\u00a0' })
	if len(fields) == 2 {
		fields[0] = strings.TrimSuffix(fields[0], ",")
	}
	if len(fields) == 1 && strings.Count(line, ",") == 1 && (strings.Contains(line, ".") || strings.Contains(line, ":")) {
		fields = strings.Split(line, ",")
	}
	switch {
	case strings.Contains(strings.Join(fields, ""), ","):
		return nil, CoolingComma
	case len(fields) != 2:
		return nil, CoolingColumns
	}
	return fields, ""
}

// coolingMinutes is a time in minutes since capping. A clock that passed midnight goes on.
func coolingMinutes(typed string, capped time.Time, before []syrup.Moment) (minutes float64, kind string, ok bool) {
	hour, rest, clock := strings.Cut(typed, ":")
	if !clock {
		x, err := syrup.ParseNumber(typed)
		return x, "minutes", err == nil
	}
	if capped.IsZero() {
		return 0, "clock", false
	}
	minute, second, seconds := strings.Cut(rest, ":")
	h, errH := strconv.Atoi(hour)
	m, errM := strconv.Atoi(minute)
	s := 0
	var errS error
	if seconds {
		s, errS = strconv.Atoi(second)
	}
	if errH != nil || errM != nil || errS != nil || h < 0 || h > 23 || m < 0 || m > 59 || s < 0 || s > 59 || len(minute) != 2 {
		return 0, "clock", false
	}
	minutes = float64(h*60+m) + float64(s)/60 - float64(capped.Hour()*60+capped.Minute())
	const day = 24 * 60.0
	last := 0.0
	if n := len(before); n > 0 {
		last = before[n-1].Minutes
	}
	for minutes < last-day/2 {
		minutes += day
	}
	return minutes, "clock", true
}

// followsCooling says why a reading cannot follow those before it; blank where it can.
func followsCooling(record []syrup.Moment, m syrup.Moment) CoolingProblem {
	if m.Minutes > longestTest {
		return CoolingLong
	}
	if len(record) == 0 {
		if m.Minutes < 0 {
			return CoolingBack
		}
		return ""
	}
	last := record[len(record)-1]
	step, change := m.Minutes-last.Minutes, float64(m.Temperature-last.Temperature)
	switch {
	case step <= 0:
		return CoolingBack
	case max(change, -change) > jumpDegrees && max(change, -change)/step > jumpRate:
		return CoolingJump
	}
	return ""
}

func hottestOf(record []syrup.Moment) syrup.Celsius {
	hottest := record[0].Temperature
	for _, m := range record {
		hottest = max(hottest, m.Temperature)
	}
	return hottest
}

// wholeSeries says what is wrong with a series as a whole.
func wholeSeries(record []syrup.Moment, hottest, unit string, lines int) error {
	if len(record) < 3 {
		return CoolingError{Problem: CoolingFew, Line: lines}
	}
	if top := hottestOf(record); top < coolestFill || top > hottestFill {
		return CoolingError{Problem: CoolingUnit, Line: lines, Hottest: hottest, Unit: unit}
	}
	return nil
}
