package records

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// loggerDates and loggerTimes are how loggers write days and times of day, as Go writes layouts. The order decides between
// layouts that read a file equally well: a day first named by its year cannot be mistaken.
var (
	loggerDates = []string{"2006-01-02", "2006-1-2", "2006/1/2", "2006.1.2", "1/2/2006", "2/1/2006", "2.1.2006", "1-2-2006", "2-1-2006", "1/2/06", "2/1/06", "2.1.06",
		"2-Jan-2006", "2-Jan-06", "2 Jan 2006", "Jan 2 2006", "Jan 2, 2006"}
	loggerTimes = []string{"15:04:05", "15:04", "3:04:05 PM", "3:04 PM"}
)

// LoggerLayouts lists every time layout that a logger's file can be read by.
func LoggerLayouts() []string {
	layouts := []string{"2006-01-02T15:04:05Z07:00", "2006-01-02T15:04:05", "2006-01-02T15:04"}
	for _, date := range loggerDates {
		for _, clock := range loggerTimes {
			layouts = append(layouts, date+" "+clock, date+layoutNextColumn+clock)
		}
	}
	return layouts
}

// LoggerGuess is how a file may be read, as far as it shows: what a person confirms before anything is kept. Unit and zone
// are never guessed.
type LoggerGuess struct {
	LoggerImport
	Layouts []string   // that read most of the times, the likeliest first
	Columns int        // in most lines
	First   [][]string // the first lines, in cells
	Comma   bool       // numbers have a decimal comma
	Example string     // a time as it stands in the file
}

// loggerSample is how many lines a guess looks at, loggerShown how many a person is shown (our choices, no source).
const (
	loggerSample = 400
	loggerShown  = 8
)

// GuessLogger looks at a file and says how it may be read. The day of the run decides between layouts that differ in the
// order of day and month. Errors: those of the file as a whole.
func GuessLogger(raw []byte, lit time.Time, zone *time.Location) (LoggerGuess, error) {
	lines, err := loggerLines(raw)
	if err != nil {
		return LoggerGuess{}, err
	}
	sample := lines[:min(len(lines), loggerSample)]
	g := LoggerGuess{}
	g.Separator = guessSeparator(sample)
	rows := make([][]string, len(sample))
	for i, line := range sample {
		rows[i] = loggerCells(line, g.Separator)
	}
	g.First = rows[:min(len(rows), loggerShown)]
	g.Columns = mostColumns(rows)
	g.timeColumn(rows, lit, zone)
	g.temperatureColumn(rows)
	g.HeaderLines = g.headerLines(rows)
	return g, nil
}

// guessSeparator is the one that parts most lines into the same number of columns, more than one.
func guessSeparator(lines []string) string {
	best, most := ",", 0
	for _, separator := range []string{"\t", ";", ","} {
		counts := map[int]int{}
		for _, line := range lines {
			if n := len(loggerCells(line, separator)); n > 1 {
				counts[n]++
			}
		}
		for _, n := range counts {
			if n > most {
				best, most = separator, n
			}
		}
	}
	return best
}

func mostColumns(rows [][]string) int {
	counts, best := map[int]int{}, 1
	for _, row := range rows {
		counts[len(row)]++
	}
	for n := 1; n <= 200; n++ {
		if counts[n] > counts[best] {
			best = n
		}
	}
	return best
}

// timeColumn finds the column and layout that read most lines.
func (g *LoggerGuess) timeColumn(rows [][]string, lit time.Time, zone *time.Location) {
	type candidate struct {
		layout              string
		column, read, onDay int
	}
	var found []candidate
	for _, layout := range LoggerLayouts() {
		best := candidate{layout: layout}
		for column := 1; column <= g.Columns; column++ {
			if read, onDay := countTimes(rows, column, layout, lit, zone); read > best.read {
				best.column, best.read, best.onDay = column, read, onDay
			}
		}
		if best.read*2 > len(rows) || best.read > 0 && best.read >= len(rows)-3 {
			found = append(found, best)
		}
	}
	slices.SortStableFunc(found, func(a, b candidate) int {
		if a.onDay != b.onDay {
			return b.onDay - a.onDay
		}
		return b.read - a.read
	})
	for i, c := range found {
		if i == 0 {
			g.TimeColumn, g.TimeLayout = c.column, c.layout
			g.Example = firstTime(rows, c.column, c.layout)
		}
		if !sameReading(g.Layouts, c.layout, g.Example) {
			g.Layouts = append(g.Layouts, c.layout)
		}
	}
	if len(g.Layouts) == 0 {
		g.TimeColumn = 1
	}
}

// sameReading tells whether a layout reads a time as one before it does.
func sameReading(layouts []string, layout, example string) bool {
	at, err := time.Parse(strings.Replace(layout, layoutNextColumn, " ", 1), example)
	for _, other := range layouts {
		t, otherErr := time.Parse(strings.Replace(other, layoutNextColumn, " ", 1), example)
		if err == nil && otherErr == nil && t.Equal(at) {
			return true
		}
	}
	return false
}

// countTimes is how many lines a layout reads in a column, and how many of them lie within a day of the run.
func countTimes(rows [][]string, column int, layout string, lit time.Time, zone *time.Location) (read, onDay int) {
	plain := strings.Replace(layout, layoutNextColumn, " ", 1)
	misses := 0
	for _, row := range rows {
		text, ok := timeCells(row, column, layout)
		if !ok || text == "" {
			continue
		}
		at, err := time.ParseInLocation(plain, plainTime(text), zone)
		if err != nil {
			if misses++; misses > 30 && read == 0 {
				return 0, 0
			}
			continue
		}
		read++
		if at.Sub(lit).Abs() < 36*time.Hour {
			onDay++
		}
	}
	return read, onDay
}

func firstTime(rows [][]string, column int, layout string) string {
	plain := strings.Replace(layout, layoutNextColumn, " ", 1)
	for _, row := range rows {
		if text, ok := timeCells(row, column, layout); ok {
			if _, err := time.Parse(plain, plainTime(text)); err == nil {
				return plainTime(text)
			}
		}
	}
	return ""
}

// temperatureColumn is the column, other than of the time, that holds most numbers that are no plain counting; the first of
// equals.
func (g *LoggerGuess) temperatureColumn(rows [][]string) {
	best := 0
	for column := 1; column <= g.Columns; column++ {
		if column == g.TimeColumn || column == g.TimeColumn+1 && strings.Contains(g.TimeLayout, layoutNextColumn) {
			continue
		}
		read, commas, counting := 0, 0, true
		before := 0
		for _, row := range rows {
			if column > len(row) {
				continue
			}
			if _, _, ok := loggerFigure(row[column-1]); !ok {
				continue
			}
			read++
			if strings.Contains(row[column-1], ",") {
				commas++
			}
			n, err := strconv.Atoi(row[column-1])
			counting = counting && err == nil && (read == 1 || n == before+1)
			before = n
		}
		if counting && read > 2 { // the number of the line
			read = 1
		}
		if read > best {
			best, g.TemperatureColumn, g.Comma = read, column, commas > 0
		}
	}
	if best == 0 {
		g.TemperatureColumn = min(2, g.Columns)
	}
}

// headerLines is how many lines stand before the first that holds a time. What stands for its temperature is no part of
// the header, whatever it is.
func (g *LoggerGuess) headerLines(rows [][]string) int {
	plain := strings.Replace(g.TimeLayout, layoutNextColumn, " ", 1)
	for i, row := range rows {
		text, ok := timeCells(row, g.TimeColumn, g.TimeLayout)
		if _, err := time.Parse(plain, plainTime(text)); ok && err == nil {
			return i
		}
	}
	return 0
}
