package records

import (
	"math"
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// Why a line of a logger's file could not be read.
const (
	LineShort      = "short"      // it has no such column
	LineTime       = "time"       // the time is not written so
	LineHourLost   = "hour_lost"  // that hour was left out as the clocks went forward
	LineHourTwice  = "hour_twice" // that hour came twice as the clocks went back
	LineBackwards  = "backwards"  // earlier than the line before
	LineNotNumber  = "not_number" // the temperature is not a number
	LineOtherUnit  = "other_unit" // the unit written in the cell is the other one
	LineImpossible = "impossible" // no temperature of a kettle or of the air around it
)

// LoggerLine is a line of a logger's file that could not be read, as it stands there.
type LoggerLine struct {
	Number int // from 1
	Text   string
	Why    string
}

// LoggerPoint is one reading of a logger's file.
type LoggerPoint struct {
	Line        int
	At          time.Time
	Temperature syrup.Celsius
}

// LoggerSeries is what a logger's file says, read in one way.
type LoggerSeries struct {
	Points   []LoggerPoint
	Unread   []LoggerLine
	Lines    int    // that hold something, without the header
	SameTime int    // points at the moment of the point before; they are kept
	Jumps    []int  // lines whose figure is that of the line before in the other unit
	OwnUnits [2]int // lines that name the unit themselves: °C, °F
	OwnZone  bool   // the times name their own zone
}

// Bounds of what a logger near a kettle can read: a shed on a cold night to well past any syrup (our choice, no source).
const (
	loggerColdest syrup.Celsius = -40
	loggerHottest syrup.Celsius = 150
)

// When two readings in turn are the same temperature in two units: so near, so far apart as figures, and so soon after
// one another (our choices, no source).
const (
	jumpNear = 1.5
	jumpFar  = 30
	jumpSoon = 15 * time.Minute
)

// layoutNextColumn stands in a time layout where the time of day is in the column after the one of the date.
const layoutNextColumn = "|"

// ReadLogger reads a logger's file as an import says: separator, header lines, columns, time layout, unit, zone. Lines that
// cannot be read are listed with their reason. Errors: those of the file as a whole.
func ReadLogger(raw []byte, how LoggerImport) (LoggerSeries, error) {
	lines, err := loggerLines(raw)
	if err != nil {
		return LoggerSeries{}, err
	}
	zone, err := time.LoadLocation(how.Zone)
	if err != nil {
		return LoggerSeries{}, err
	}
	r := loggerReader{how: how, zone: zone}
	for i, line := range lines[min(how.HeaderLines, len(lines)):] {
		if strings.Trim(line, " \t\f\x1a"+how.Separator) == "" {
			continue
		}
		r.Lines++
		r.line(how.HeaderLines+i+1, line)
	}
	r.OwnZone = strings.Contains(how.TimeLayout, "Z07:00")
	return r.LoggerSeries, nil
}

// loggerReader reads line after line.
type loggerReader struct {
	LoggerSeries
	how  LoggerImport
	zone *time.Location

	figure float64 // of the last point, as written
}

func (r *loggerReader) line(number int, line string) {
	cells := loggerCells(line, r.how.Separator)
	at, why := r.moment(cells)
	var figure float64
	var t syrup.Celsius
	if why == "" {
		figure, t, why = r.temperature(cells)
	}
	n := len(r.Points)
	if why == "" && n > 0 && at.Before(r.Points[n-1].At) {
		why = LineBackwards
	}
	if why != "" {
		r.Unread = append(r.Unread, LoggerLine{Number: number, Text: line, Why: why})
		return
	}
	if n > 0 && at.Equal(r.Points[n-1].At) {
		r.SameTime++
	}
	if n > 0 && at.Sub(r.Points[n-1].At) <= jumpSoon && sameInOtherUnit(r.figure, figure) {
		r.Jumps = append(r.Jumps, number)
	}
	r.figure = figure
	r.Points = append(r.Points, LoggerPoint{Line: number, At: at, Temperature: t})
}

// sameInOtherUnit tells whether one figure is the other in the other unit: 100 and then 212.
func sameInOtherUnit(before, now float64) bool {
	if math.Abs(now-before) < jumpFar {
		return false
	}
	return math.Abs(before*9/5+32-now) < jumpNear*9/5 || math.Abs(now*9/5+32-before) < jumpNear*9/5
}

// moment reads the time of a line.
func (r *loggerReader) moment(cells []string) (time.Time, string) {
	text, ok := timeCells(cells, r.how.TimeColumn, r.how.TimeLayout)
	if !ok {
		return time.Time{}, LineShort
	}
	layout := strings.Replace(r.how.TimeLayout, layoutNextColumn, " ", 1)
	wall, err := time.Parse(layout, plainTime(text))
	if err != nil {
		return time.Time{}, LineTime
	}
	if strings.Contains(layout, "Z07:00") {
		return wall.UTC().Truncate(time.Microsecond), ""
	}
	switch found := Instants(wall.Truncate(time.Microsecond), r.zone); len(found) {
	case 0:
		return time.Time{}, LineHourLost
	case 1:
		return found[0], ""
	}
	return time.Time{}, LineHourTwice
}

// timeCells is the text of the time column, with the next one where the layout says that the time of day stands there.
func timeCells(cells []string, column int, layout string) (string, bool) {
	last := column
	if strings.Contains(layout, layoutNextColumn) {
		last++
	}
	if column < 1 || last > len(cells) {
		return "", false
	}
	return strings.Join(cells[column-1:last], " "), true
}

// plainTime writes morning and afternoon as Go reads them: "7:02 a. m." is "7:02 AM".
func plainTime(text string) string {
	text = strings.ToUpper(strings.Join(strings.Fields(text), " "))
	for _, half := range []string{"A", "P"} {
		for _, written := range []string{half + ". M.", half + ".M.", half + ".M"} {
			if rest, ok := strings.CutSuffix(text, written); ok {
				text = rest + half + "M"
			}
		}
		if rest, ok := strings.CutSuffix(text, half+"M"); ok {
			text = strings.TrimSpace(rest) + " " + half + "M"
		}
	}
	return text
}

// temperature reads the temperature of a line: as written, and in °C.
func (r *loggerReader) temperature(cells []string) (figure float64, t syrup.Celsius, why string) {
	if r.how.TemperatureColumn < 1 || r.how.TemperatureColumn > len(cells) {
		return 0, 0, LineShort
	}
	figure, unit, ok := loggerFigure(cells[r.how.TemperatureColumn-1])
	if !ok {
		return 0, 0, LineNotNumber
	}
	switch unit {
	case "C":
		r.OwnUnits[0]++
	case "F":
		r.OwnUnits[1]++
	}
	if unit != "" && unit != r.how.Unit {
		return 0, 0, LineOtherUnit
	}
	t = syrup.Celsius(figure)
	if r.how.Unit == "F" {
		t = syrup.Fahrenheit(figure).Celsius()
	}
	if t < loggerColdest || t > loggerHottest {
		return 0, 0, LineImpossible
	}
	return figure, t, ""
}

// loggerFigure reads a number as loggers write it, with a point or one comma, and the unit where it stands behind it.
func loggerFigure(cell string) (figure float64, unit string, ok bool) {
	number := strings.ToUpper(cell)
	for _, u := range []string{"C", "F"} {
		if rest, cut := strings.CutSuffix(number, u); cut {
			number, unit = strings.TrimRight(rest, " °º"), u
			break
		}
	}
	number = strings.TrimRight(number, " °º")
	number = strings.Replace(number, "−", "-", 1)
	if strings.Count(number, ",") == 1 && !strings.Contains(number, ".") {
		number = strings.Replace(number, ",", ".", 1)
	}
	figure, err := syrup.ParseNumber(number)
	return figure, unit, err == nil
}

// MayMiss is how many lines of a file may go unread: a few, in a long file one in a hundred (our choice, no source). More
// means that the file was not understood.
func (s LoggerSeries) MayMiss() int { return min(max(5, s.Lines/100), s.Lines/5) }

// Span is the first and the last moment of the points.
func (s LoggerSeries) Span() (first, last time.Time) {
	if len(s.Points) == 0 {
		return
	}
	return s.Points[0].At, s.Points[len(s.Points)-1].At
}

// Range is the lowest and the highest temperature of the points.
func (s LoggerSeries) Range() (low, high syrup.Celsius) {
	for i, p := range s.Points {
		if i == 0 || p.Temperature < low {
			low = p.Temperature
		}
		if i == 0 || p.Temperature > high {
			high = p.Temperature
		}
	}
	return low, high
}

// Within splits the points: those from one moment to another, and how many lie before and after.
func (s LoggerSeries) Within(from, to time.Time) (in []LoggerPoint, before, after int) {
	for _, p := range s.Points {
		switch {
		case p.At.Before(from):
			before++
		case p.At.After(to):
			after++
		default:
			in = append(in, p)
		}
	}
	return in, before, after
}

// Instants gives the moments, in UTC, at which a zone's clocks showed what a wall shows: one, none when the hour was left
// out, two when it came twice, the earlier one first.
func Instants(wall time.Time, zone *time.Location) []time.Time {
	found := []time.Time{}
	for _, near := range []time.Duration{-24 * time.Hour, 24 * time.Hour} { // the offsets before and after a change
		_, offset := wall.Add(near).In(zone).Zone()
		t := wall.Add(-time.Duration(offset) * time.Second).UTC()
		same := t.In(zone).Format(time.DateTime) == wall.Format(time.DateTime)
		if same && (len(found) == 0 || !found[0].Equal(t)) {
			found = append(found, t)
		}
	}
	if len(found) == 2 && found[1].Before(found[0]) {
		found[0], found[1] = found[1], found[0]
	}
	return found
}
