package app

import (
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// loggerPreview is what would be read from a file.
type loggerPreview struct {
	Sure     bool // nothing stands against keeping it
	Seen     string
	Facts    []line
	Warnings []string
	Unread   []unreadLine
	More     string
	Picture  *boilPicture
}

// unreadLine is a line of the file that could not be read, and why.
type unreadLine struct{ Number, Text, Why string }

// unreadShown is how many unread lines are listed.
const unreadShown = 12

// loggerFieldOf is the field that a line most likely is wrong at.
var loggerFieldOf = map[string]string{records.LineShort: "separator", records.LineTime: "time_layout", records.LineHourLost: "zone",
	records.LineHourTwice: "zone", records.LineBackwards: "time_layout", records.LineNotNumber: "temperature_column",
	records.LineOtherUnit: "unit", records.LineImpossible: "unit"}

// previewLogger reads the file and says what it gives; what stands against keeping it stands at the fields of the form.
func (a *App) previewLogger(c *gin.Context, f *form, log records.BoilLog, how records.LoggerImport, file waitingFile) (*loggerPreview, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	series, err := records.ReadLogger(file.raw, how)
	if err != nil {
		return nil, err
	}
	p := &loggerPreview{Seen: seenMark(how, file.token)}
	p.unread(w, series)
	refuseUnread(f, series)
	if len(series.Points) == 0 {
		return p, nil
	}
	to := a.store.Now()
	if log.DrawnOff != nil {
		to = log.DrawnOff.At
	}
	p.facts(w, series, log, to)
	p.warn(w, series, how)
	refuseTimes(f, series, log, to, a.store.Now())
	if len(series.Jumps) > 0 && how.Note == "" {
		f.wrong(f.named("note"), "logger.jumps", "Lines", numbersOf(series.Jumps))
	}
	log.Logged = log.LoggedFrom(series, how.InstrumentID)
	p.Picture, err = a.boilPictureOf(ctx, v, log)
	return p, err
}

// unread lists the lines that could not be read.
func (p *loggerPreview) unread(w words, series records.LoggerSeries) {
	for i, l := range series.Unread {
		if i == unreadShown {
			p.More = w.say("logger.unread_more", "Count", len(series.Unread)-unreadShown)
			break
		}
		text := []rune(l.Text)
		if len(text) > 80 {
			text = append(text[:80], '…')
		}
		p.Unread = append(p.Unread, unreadLine{Number: strconv.Itoa(l.Number), Text: string(text), Why: w.say("logger.why." + l.Why)})
	}
}

// refuseUnread refuses a file of which more than a few lines cannot be read, at the field that most of them are wrong at.
func refuseUnread(f *form, series records.LoggerSeries) {
	if series.OwnUnits[0] > 0 && series.OwnUnits[1] > 0 {
		f.wrong(f.named("unit"), "logger.mixed_units", "Celsius", series.OwnUnits[0], "Fahrenheit", series.OwnUnits[1])
		return
	}
	if len(series.Points) > 0 && len(series.Unread) <= series.MayMiss() {
		return
	}
	counts, most := map[string]int{}, ""
	for _, l := range series.Unread {
		counts[l.Why]++
		if most == "" || counts[l.Why] > counts[most] {
			most = l.Why
		}
	}
	if most == "" {
		f.wrong(f.named("header_lines"), "logger.no_lines")
		return
	}
	f.wrong(f.named(loggerFieldOf[most]), "logger.unread_most", "Unread", len(series.Unread), "Lines", series.Lines, "Why", f.words.say("logger.why."+most))
}

// refuseTimes refuses a file of another day or another zone, and one of times to come.
func refuseTimes(f *form, series records.LoggerSeries, log records.BoilLog, to, now time.Time) {
	first, last := series.Span()
	switch in, _, _ := series.Within(log.Run.FireLitAt, to); {
	case last.After(now.Add(5 * time.Minute)):
		f.wrong(f.named("zone"), "logger.to_come", "Last", last, "Now", now)
	case len(in) == 0:
		f.wrong(f.named("zone"), "logger.not_this_run", "First", first, "Last", last, "Lit", log.Run.FireLitAt, "End", to)
	}
}

// facts says how much was read, from when to when and how hot, and how much of it lies outside the run.
func (p *loggerPreview) facts(w words, series records.LoggerSeries, log records.BoilLog, to time.Time) {
	add := func(key, said string) { p.Facts = append(p.Facts, line{Label: w.say(key), Text: said}) }
	first, last := series.Span()
	low, high := series.Range()
	add("logger.points", strconv.Itoa(len(series.Points)))
	from, _ := w.moment(first)
	until, _ := w.moment(last)
	add("logger.first", from)
	add("logger.last", until)
	lowest, _ := w.temperature(low)
	highest, _ := w.temperature(high)
	add("logger.range", lowest+" – "+highest)
	in, before, after := series.Within(log.Run.FireLitAt, to)
	add("logger.in_run", strconv.Itoa(len(in)))
	add("logger.before", strconv.Itoa(before))
	add("logger.after", strconv.Itoa(after))
	add("logger.unread", strconv.Itoa(len(series.Unread)))
}

// warn says what is kept all the same and should be looked at.
func (p *loggerPreview) warn(w words, series records.LoggerSeries, how records.LoggerImport) {
	if _, high := series.Range(); high < neverBoiled {
		said, _ := w.temperature(high)
		p.Warnings = append(p.Warnings, w.say("logger.never_boiled", "Highest", said))
	}
	if len(series.Jumps) > 0 {
		p.Warnings = append(p.Warnings, w.say("logger.jumps", "Lines", numbersOf(series.Jumps)))
	}
	if series.SameTime > 0 {
		p.Warnings = append(p.Warnings, w.say("logger.same_time", "Count", series.SameTime))
	}
	if series.OwnZone {
		p.Warnings = append(p.Warnings, w.say("logger.own_zone"))
	}
}

// numbersOf lists the numbers of lines, the first few.
func numbersOf(lines []int) string {
	said := make([]string, 0, 6)
	for i, n := range lines {
		if i == 5 {
			said = append(said, "…")
			break
		}
		said = append(said, strconv.Itoa(n))
	}
	return strings.Join(said, ", ")
}

// wall writes what a layout makes of a time as a logger wrote it, in the zone of the logger whichever that is.
func (w words) wall(layout, example string) string {
	at, err := time.Parse(strings.Replace(layout, "|", " ", 1), example)
	if err != nil {
		return example
	}
	there := words{lang: w.lang, units: w.units, zone: func() *time.Location { return at.Location() }}
	said, _ := there.moment(at)
	return said
}
