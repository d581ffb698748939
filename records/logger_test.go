package records

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// loggerFile reads a file of testdata/logger.
func loggerFile(t *testing.T, name string) []byte {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("testdata", "logger", name))
	require.NoError(t, err)
	return raw
}

func eastern(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return zone
}

// readAs reads a file as it looks, in a unit and zone.
func readAs(t *testing.T, name, unit, zone string) (LoggerSeries, LoggerGuess) {
	t.Helper()
	raw := loggerFile(t, name)
	guess, err := GuessLogger(raw, time.Date(2025, 12, 7, 12, 30, 0, 0, time.UTC), eastern(t))
	require.NoError(t, err)
	guess.Unit, guess.Zone = unit, zone
	series, err := ReadLogger(raw, guess.LoggerImport)
	require.NoError(t, err)
	return series, guess
}

// Every way of writing gives the same sixty readings: separators, decimal commas, two columns of time, halves of the day,
// alphabets, marks at the beginning. The figures are regression: of our own making.
func TestLoggerIsReadAsItLooks(t *testing.T) {
	tests := []struct {
		file, unit, zone, separator, layout string
		header, timeColumn, temperature     int
	}{
		{"plain.csv", "C", "America/New_York", ",", "2006-01-02 15:04:05", 2, 1, 2},
		{"european.csv", "C", "America/New_York", ";", "2.1.2006|15:04", 1, 1, 3},
		{"american.csv", "F", "America/New_York", ",", "1/2/06 3:04:05 PM", 1, 2, 3},
		{"bom.csv", "C", "America/New_York", ",", "2006-01-02T15:04:05", 1, 1, 2},
		{"utf16.csv", "C", "Etc/GMT+5", "\t", "2006-01-02 15:04:05", 1, 1, 2},
		{"zoned.csv", "C", "America/Denver", ",", "2006-01-02T15:04:05Z07:00", 1, 1, 2},
		{"units_in_cells.csv", "F", "America/New_York", ",", "2006-01-02 15:04", 1, 1, 2},
	}
	for _, test := range tests {
		t.Run(test.file, func(t *testing.T) {
			series, guess := readAs(t, test.file, test.unit, test.zone)
			assert.Equal(t, test.separator, guess.Separator)
			assert.Equal(t, test.layout, guess.TimeLayout)
			assert.Equal(t, [3]int{test.header, test.timeColumn, test.temperature}, [3]int{guess.HeaderLines, guess.TimeColumn, guess.TemperatureColumn})
			assert.Empty(t, series.Unread)
			require.Len(t, series.Points, 60)
			first, last := series.Span()
			assert.Equal(t, time.Date(2025, 12, 7, 12, 0, 0, 0, time.UTC), first)
			assert.Equal(t, time.Date(2025, 12, 7, 15, 56, 0, 0, time.UTC), last)
			low, high := series.Range()
			assert.InDelta(t, 20, float64(low), 0.06)
			assert.InDelta(t, 107.8, float64(high), 0.06)
			assert.Equal(t, test.file == "european.csv", guess.Comma)
		})
	}
}

// The seventh of December is not the twelfth of July: the day of the run decides, and both are offered.
func TestLoggerDayAndMonth(t *testing.T) {
	raw := []byte("t,c\n12/7/2025 7:02,20\n12/7/2025 7:06,30\n12/7/2025 7:10,40\n")
	for lit, want := range map[time.Time]string{
		time.Date(2025, 12, 7, 12, 0, 0, 0, time.UTC): "1/2/2006 15:04",
		time.Date(2025, 7, 12, 12, 0, 0, 0, time.UTC): "2/1/2006 15:04",
	} {
		guess, err := GuessLogger(raw, lit, eastern(t))
		require.NoError(t, err)
		assert.Equal(t, want, guess.TimeLayout)
		assert.ElementsMatch(t, []string{"1/2/2006 15:04", "2/1/2006 15:04"}, guess.Layouts)
	}
}

// What a line cannot be read for is said with its number, and a file of more than a few such lines is not understood.
func TestLoggerLinesThatCannotBeRead(t *testing.T) {
	tests := []struct {
		file, unit, zone, why string
		unread, points        int
		refused               bool
	}{
		{"words.csv", "C", "America/New_York", LineNotNumber, 4, 57, false},
		{"many_words.csv", "C", "America/New_York", LineNotNumber, 20, 40, true},
		{"backwards.csv", "C", "America/New_York", LineBackwards, 1, 60, false},
		{"mixed_cells.csv", "F", "America/New_York", LineOtherUnit, 30, 30, true},
		{"mixed_halves.csv", "C", "America/New_York", LineImpossible, 30, 30, true},
		{"american.csv", "C", "America/New_York", LineImpossible, 48, 12, true},
		{"one_column.csv", "C", "America/New_York", LineNotNumber, 60, 0, true},
		{"autumn.csv", "C", "America/New_York", LineHourTwice, 6, 18, true},
		{"autumn.csv", "C", "Etc/GMT+5", "", 0, 24, false},
		{"spring.csv", "C", "America/New_York", LineHourLost, 6, 18, true},
	}
	for _, test := range tests {
		t.Run(test.file+" "+test.unit+" "+test.zone, func(t *testing.T) {
			series, _ := readAs(t, test.file, test.unit, test.zone)
			assert.Len(t, series.Unread, test.unread)
			assert.Len(t, series.Points, test.points)
			assert.Equal(t, test.refused, len(series.Unread) > series.MayMiss(), "may miss %d", series.MayMiss())
			if test.unread > 0 {
				whys := map[string]int{}
				for _, l := range series.Unread {
					whys[l.Why]++
					assert.NotZero(t, l.Number)
				}
				assert.GreaterOrEqual(t, whys[test.why], test.unread-1, "%v", whys)
			}
		})
	}
	words, _ := readAs(t, "words.csv", "C", "America/New_York")
	assert.Equal(t, LoggerLine{Number: 7, Text: "2025-12-07 07:20,OPEN", Why: LineNotNumber}, words.Unread[0])
}

func TestLoggerSeesUnitsChange(t *testing.T) {
	halves, _ := readAs(t, "mixed_halves.csv", "F", "America/New_York")
	assert.Equal(t, []int{32}, halves.Jumps, "102 and then 216: the same in the other unit")
	cells, _ := readAs(t, "mixed_cells.csv", "F", "America/New_York")
	assert.Equal(t, [2]int{30, 30}, cells.OwnUnits)
	plain, _ := readAs(t, "plain.csv", "C", "America/New_York")
	assert.Empty(t, plain.Jumps)
	tests := []struct {
		before, now float64
		same        bool
	}{{100, 212, true}, {212, 100, true}, {100, 214.6, true}, {100, 214.8, false}, {20, 68, true}, {-1, 30.2, true}, {-2, 28.4, true}, {-2.5, 27.4, false}, {98, 99, false}}
	for _, test := range tests {
		assert.Equal(t, test.same, sameInOtherUnit(test.before, test.now), "%v then %v", test.before, test.now)
	}
}

func TestLoggerKeepsReadingsOfOneMoment(t *testing.T) {
	series, _ := readAs(t, "same_second.csv", "C", "America/New_York")
	assert.Len(t, series.Points, 120)
	assert.Equal(t, 60, series.SameTime)
	assert.Empty(t, series.Unread)
}

func TestLoggerFilesThatAreNone(t *testing.T) {
	for name, want := range map[string]error{"empty.csv": ErrLoggerEmpty, "binary.csv": ErrLoggerBinary, "workbook.csv": ErrLoggerWorkbook} {
		_, err := GuessLogger(loggerFile(t, name), time.Now(), time.UTC)
		assert.ErrorIs(t, err, want, name)
	}
	for _, blank := range []string{"\n\n", "\ufeff", " \r\n"} {
		_, err := GuessLogger([]byte(blank), time.Now(), time.UTC)
		assert.ErrorIs(t, err, ErrLoggerEmpty, "%q", blank)
	}
	start := time.Now()
	_, err := GuessLogger([]byte(strings.Repeat(",", 9<<20)), time.Now(), time.UTC)
	assert.ErrorIs(t, err, ErrLoggerBinary, "no line is nine million columns")
	assert.Less(t, time.Since(start), 5*time.Second)
	guess, err := GuessLogger(loggerFile(t, "no_dates.csv"), time.Now(), time.UTC)
	require.NoError(t, err)
	assert.Empty(t, guess.TimeLayout, "seconds since the start say no day")
}

func TestLoggerFigures(t *testing.T) {
	tests := []struct {
		cell, unit string
		figure     float64
		ok         bool
	}{{"21,5", "", 21.5, true}, {"21.5", "", 21.5, true}, {"212F", "F", 212, true}, {"100 °C", "C", 100, true}, {"-3.5", "", -3.5, true}, {"−3,5", "", -3.5, true},
		{"1,234.5", "", 0, false}, {"1.234,5", "", 0, false}, {"NaN", "", 0, false}, {"1e3", "", 0, false}, {"", "", 0, false}, {"F", "F", 0, false}, {"98.6°", "", 98.6, true}}
	for _, test := range tests {
		figure, unit, ok := loggerFigure(test.cell)
		assert.Equal(t, test.ok, ok, test.cell)
		if ok {
			assert.Equal(t, test.unit, unit, test.cell)
			assert.InDelta(t, test.figure, figure, 1e-9, test.cell)
		}
	}
	assert.Equal(t, []string{"a;b", `say "hi"`, ""}, loggerCells(`"a;b";"say ""hi""";`, ";"))
	for written, want := range map[string]string{"7:02 a. m.": "7:02 AM", "7:02pm": "7:02 PM", " 12/07/25  07:02:00 p.m. ": "12/07/25 07:02:00 PM"} {
		assert.Equal(t, want, plainTime(written))
	}
}

// Fifty thousand lines are read in well under a second, and a page is given a few hundred of them, the hottest among them.
func TestLoggerOfFiftyThousandLines(t *testing.T) {
	var b strings.Builder
	b.WriteString("Time,Temp\n")
	from := time.Date(2025, 12, 7, 7, 0, 0, 0, time.UTC)
	for i := range 50_000 {
		heat := 95.0 + float64(i%7)/10
		if i == 31_234 {
			heat = 111.1
		}
		fmt.Fprintf(&b, "%s,%.1f\n", from.Add(time.Duration(i)*200*time.Millisecond).Format("2006-01-02 15:04:05.000"), heat)
	}
	start := time.Now()
	guess, err := GuessLogger([]byte(b.String()), from.Add(5*time.Hour), eastern(t))
	require.NoError(t, err)
	guess.Unit, guess.Zone = "C", "America/New_York"
	series, err := ReadLogger([]byte(b.String()), guess.LoggerImport)
	require.NoError(t, err)
	t.Logf("50,000 lines guessed and read in %v", time.Since(start))
	assert.Len(t, series.Points, 50_000)
	log := BoilLog{Run: Run{FireLitAt: series.Points[0].At}}
	points := log.LoggedFrom(series, nil)
	assert.LessOrEqual(t, len(points), loggedMost)
	hottest := points[0]
	for i, p := range points {
		if p.Temperature > hottest.Temperature {
			hottest = p
		}
		assert.False(t, i > 0 && p.At.Before(points[i-1].At))
	}
	assert.InDelta(t, 111.1, float64(hottest.Temperature), 1e-9)
}

func FuzzReadLogger(f *testing.F) {
	for _, name := range []string{"plain.csv", "european.csv", "american.csv", "utf16.csv", "mixed_cells.csv", "binary.csv"} {
		raw, err := os.ReadFile(filepath.Join("testdata", "logger", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw[:min(len(raw), 400)])
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		guess, err := GuessLogger(raw, time.Date(2025, 12, 7, 12, 0, 0, 0, time.UTC), time.UTC)
		if err != nil {
			return
		}
		guess.Unit, guess.Zone = "F", "America/New_York"
		series, err := ReadLogger(raw, guess.LoggerImport)
		if err == nil && len(series.Points)+len(series.Unread) != series.Lines {
			t.Fatalf("%d points and %d unread of %d lines", len(series.Points), len(series.Unread), series.Lines)
		}
	})
}

// A file is kept once with its run, read anew each time, left out after its import is struck, and may then come again.
func TestImportLogger(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		raw := loggerFile(t, "plain.csv")
		how := LoggerImport{RunID: run.ID, InstrumentID: &g.probe.ID, Unit: "C", Zone: h.houseZone(), Separator: ",", HeaderLines: 2, TimeColumn: 1,
			TimeLayout: "2006-01-02 15:04:05", TemperatureColumn: 2}
		first := how
		file := Attachment{Name: "boil.csv", MediaType: "text/csv"}
		require.NoError(t, h.ImportLogger(h.ctx, h.owner, &first, &file, raw))
		assert.Equal(t, 60, first.Points)
		log, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		require.NotEmpty(t, log.Logged)
		for _, p := range log.Logged {
			assert.False(t, p.At.Before(run.FireLitAt) || p.At.After(log.DrawnOff.At), "only while it was on the fire")
			assert.Equal(t, &g.probe.ID, p.InstrumentID)
		}
		findings, err := JudgeRun(h.ctx, h, run.ID)
		require.NoError(t, err)

		again, other := how, Attachment{Name: "copy.csv", MediaType: "text/csv"}
		var wrong Invalid
		require.ErrorAs(t, h.ImportLogger(h.ctx, h.owner, &again, &other, raw), &wrong)
		assert.Equal(t, "logger.twice", wrong[0].Key)
		err = h.Strike(h.ctx, h.owner, file.ID, "not ours")
		assert.ErrorContains(t, err, "strike.used", "the file stays while it is read")

		cached, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Equal(t, log.Logged, cached.Logged)
		assert.Len(t, h.loggedPoints().made, 1, "read once")
		before := log.Logged[len(log.Logged)-1].Temperature

		first.Unit = "F"
		require.NoError(t, h.Amend(h.ctx, h.owner, &first, "it was in F"))
		assert.Equal(t, 60, first.Points)
		log, err = BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Less(t, log.Logged[len(log.Logged)-1].Temperature, before, "an amended unit is read anew")
		require.NoError(t, h.Strike(h.ctx, h.owner, first.ID, "another kettle's"))
		log, err = BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Empty(t, log.Logged)
		without, err := JudgeRun(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Equal(t, len(without), len(findings), "a logger's readings open nothing")

		again, other = how, Attachment{Name: "copy.csv", MediaType: "text/csv"}
		require.NoError(t, h.ImportLogger(h.ctx, h.owner, &again, &other, raw))
		assert.Equal(t, file.ID, other.ID, "the file that is kept already")
		files, err := AttachmentsOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Len(t, files, 1)

		year, none := how, Attachment{Name: "old.csv", MediaType: "text/csv"}
		year.TimeLayout, year.HeaderLines = "2006-01-02 15:04", 1
		require.ErrorAs(t, h.ImportLogger(h.ctx, h.owner, &year, &none, loggerFile(t, "other_year.csv")), &wrong)
		assert.Equal(t, "logger.not_this_run", wrong[0].Key)
		files, err = AttachmentsOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Len(t, files, 1, "nothing is half kept")
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
	})
}

// houseZone is the name of the house's zone.
func (h *season) houseZone() string {
	house, err := theHouse(h.ctx, h)
	require.NoError(h.t, err)
	return house.Zone
}

// A sheet is kept whole or not at all; what is wrong names its row; the end of the run holds for all rows.
func TestTypeSheet(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		before, err := List[BoilEntry](h.ctx, h, "run_id = ?", run.ID)
		require.NoError(t, err)
		skim := func(hour, minute int) *BoilEntry {
			return &BoilEntry{RunID: run.ID, At: h.at(hour, minute), What: EntrySkimming}
		}
		var wrong Invalid
		bad := []SheetRow{{Number: 1, Fact: skim(9, 0)}, {Number: 2, Fact: skim(4, 0)}, {Number: 5, Fact: &BoilEntry{RunID: run.ID, At: h.at(9, 5), What: EntryTemperature}}}
		require.ErrorAs(t, h.TypeSheet(h.ctx, h.owner, bad, nil, nil), &wrong)
		assert.Equal(t, []string{"at_2", "temperature_5"}, []string{wrong[0].Field, wrong[1].Field})
		after, err := List[BoilEntry](h.ctx, h, "run_id = ?", run.ID)
		require.NoError(t, err)
		assert.Len(t, after, len(before))

		who := h.owner
		who.Submission = "sheet-1"
		photo := &Attachment{OfID: run.ID, Name: "sheet.jpg", MediaType: "image/jpeg"}
		good := []SheetRow{{Number: 1, Fact: skim(9, 0)}, {Number: 2, Fact: skim(9, 30)}}
		require.NoError(t, h.TypeSheet(h.ctx, who, good, photo, []byte{0xff, 0xd8, 1}))
		var already Already
		require.ErrorAs(t, h.TypeSheet(h.ctx, who, []SheetRow{{Number: 1, Fact: skim(9, 0)}}, nil, nil), &already)
		after, err = List[BoilEntry](h.ctx, h, "run_id = ?", run.ID)
		require.NoError(t, err)
		assert.Len(t, after, len(before)+2)
		sheets, err := SheetsOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		require.Len(t, sheets, 1)
		assert.Equal(t, AttachedSheet, sheets[0].Sort)
	})
}
