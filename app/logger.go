package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// loggerRoutes read a temperature logger's file into a run: send it, say how it is to be read, look, keep.
func (a *App) loggerRoutes() []route {
	return []route{
		{"GET", "/kettle/run/:id/logger", crew, a.showLoggerUpload},
		{"POST", "/kettle/run/:id/logger", crew, a.sendLogger},
		{"GET", "/kettle/run/:id/logger/:file", crew, a.showLoggerHow},
		{"POST", "/kettle/run/:id/logger/:file", crew, a.readLogger},
	}
}

// loggerPage is each of the steps: the file to send, or how it is read and what that gives.
type loggerPage struct {
	Page
	Code, Run string
	Loggers   []loggerLine
	Send      *form
	Name, Sum string // of the file in hand
	How       *form
	Heads     []string
	Rows      [][]string
	Comma     bool
	Preview   *loggerPreview
}

// loggerLine is one logger's file of a run.
type loggerLine struct {
	Name, URL, Words, Sum, Record string
}

// loggersOf lists the loggers' files of a run in words.
func (a *App) loggersOf(ctx context.Context, w words, runID string) ([]loggerLine, error) {
	imports, files, err := records.LoggersOf(ctx, a.store, runID)
	if err != nil {
		return nil, err
	}
	lines := make([]loggerLine, len(imports))
	for i, l := range imports {
		from, _ := w.clock(l.FirstAt)
		to, _ := w.clock(l.LastAt)
		file := files[l.AttachmentID]
		lines[i] = loggerLine{Name: file.Name, URL: "/attachment/" + file.ID, Sum: file.SHA256, Record: recordURL(l.ID),
			Words: w.say("logger.readings", "Count", l.Points, "From", from, "To", to)}
		if l.InstrumentID != nil {
			lines[i].Words += " · " + records.Name(ctx, a.store, *l.InstrumentID)
		}
	}
	return lines, nil
}

// loggerRun is the page's frame: the run, and what was read into it before.
func (a *App) loggerRun(c *gin.Context) (*loggerPage, records.BoilLog, error) {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	log, err := records.BoilLogOf(ctx, a.store, c.Param("id"))
	if err != nil {
		return nil, log, err
	}
	page := &loggerPage{Code: log.Run.Code, Run: runURL(log.Run.ID)}
	if page.Trail, err = a.trail(ctx, w, &log.Run); err != nil {
		return nil, log, err
	}
	page.Loggers, err = a.loggersOf(ctx, w, log.Run.ID)
	return page, log, err
}

func (a *App) sendForm(f *form) *form {
	f.field("file", "file", required)
	return f
}

func (a *App) showLoggerUpload(c *gin.Context) error {
	page, log, err := a.loggerRun(c)
	if err != nil {
		return err
	}
	page.Send = a.sendForm(a.newForm(c, "logger", runURL(log.Run.ID)+"/logger"))
	return a.show(c, "kettle/logger", page)
}

// sendLogger takes the file and looks whether it can be one. Nothing is kept yet.
func (a *App) sendLogger(c *gin.Context) error {
	page, log, err := a.loggerRun(c)
	if err != nil {
		return err
	}
	name, raw, err := postedFile(c)
	if err == nil {
		var guess records.LoggerGuess
		guess, err = a.guess(c, log, raw)
		if err == nil && guess.TimeLayout == "" {
			err = records.Invalid{{Field: "file", Key: "logger.no_times"}}
		}
	}
	if err == nil {
		token := a.waiting.put(waitingFile{run: log.Run.ID, person: visitorOf(c).person.ID, name: name, raw: raw, at: a.store.Now()})
		return a.redirect(c, runURL(log.Run.ID)+"/logger/"+token, "")
	}
	page.Send = a.sendForm(a.newForm(c, "logger", runURL(log.Run.ID)+"/logger"))
	if !page.Send.take(err) {
		return err
	}
	return a.redisplay(c, "kettle/logger", page)
}

// guess is how a file may be read, with what cannot be a logger's file as Invalid.
func (a *App) guess(c *gin.Context, log records.BoilLog, raw []byte) (records.LoggerGuess, error) {
	guess, err := records.GuessLogger(raw, log.Run.FireLitAt, visitorOf(c).zone)
	if fault := loggerFault(err); fault != nil {
		return guess, fault
	}
	return guess, err
}

// fileInHand finds the file of the address; false after sending the person back to choose it again.
func (a *App) fileInHand(c *gin.Context, log records.BoilLog) (waitingFile, bool) {
	file, ok := a.waiting.get(c.Param("file"), log.Run.ID, visitorOf(c).person.ID, a.store.Now())
	if !ok {
		_ = a.redirect(c, runURL(log.Run.ID)+"/logger", "logger.gone")
	}
	return file, ok
}

// showLoggerHow asks how the file is to be read, with what it seems to be filled in; unit and zone are always asked.
func (a *App) showLoggerHow(c *gin.Context) error {
	page, log, err := a.loggerRun(c)
	if err != nil {
		return err
	}
	file, ok := a.fileInHand(c, log)
	if !ok {
		return nil
	}
	guess, err := a.guess(c, log, file.raw)
	if err != nil {
		return err
	}
	guess.Zone = visitorOf(c).zone.String()
	page.How = a.newForm(c, "logger_import", runURL(log.Run.ID)+"/logger/"+file.token)
	a.loggerHow(page.How, &guess)
	page.inHand(file, guess)
	if err := page.How.Err(); err != nil {
		return err
	}
	return a.show(c, "kettle/logger", page)
}

// inHand shows the file: its name, its hash and its first lines.
func (p *loggerPage) inHand(file waitingFile, guess records.LoggerGuess) {
	sum := sha256.Sum256(file.raw)
	p.Name, p.Sum, p.Comma = file.name, hex.EncodeToString(sum[:]), guess.Comma
	widest := 0
	for _, row := range guess.First {
		widest = max(widest, min(len(row), 12))
	}
	for n := range widest {
		p.Heads = append(p.Heads, strconv.Itoa(n+1))
	}
	for _, row := range guess.First {
		cells := make([]string, widest)
		copy(cells, row[:min(len(row), widest)])
		p.Rows = append(p.Rows, cells)
	}
}

// separators are the marks between columns by the words of the form.
var separators = map[string]string{"comma": ",", "semicolon": ";", "tab": "\t"}

// loggerHow binds how a file is read.
func (a *App) loggerHow(f *form, g *records.LoggerGuess) {
	l := &g.LoggerImport
	f.Choice("unit", &l.Unit, required, "F", "C")
	zoneField(f, l)
	f.OptionalPick("instrument", &l.InstrumentID, f.instruments(records.MeasuresTemperature, l.InstrumentID))
	f.Whole("time_column", &l.TimeColumn, 1, 200)
	f.Whole("temperature_column", &l.TemperatureColumn, 1, 200)
	f.Pick("time_layout", &l.TimeLayout, layoutChoices(f, *g), required)
	lines := &l.HeaderLines
	f.Count("header_lines", &lines, 0, 200, required)
	if lines != nil {
		l.HeaderLines = *lines
	}
	between := ""
	for word, mark := range separators {
		if mark == l.Separator {
			between = word
		}
	}
	f.Choice("separator", &between, required, "comma", "semicolon", "tab")
	l.Separator = separators[between]
	f.Text("note", &l.Note, 0, longText)
	f.DoneBy()
	if f.reading() && l.TimeColumn > 0 && (l.TimeColumn == l.TemperatureColumn || strings.Contains(l.TimeLayout, "|") && l.TimeColumn+1 == l.TemperatureColumn) {
		f.wrong(f.named("temperature_column"), "logger.same_column")
	}
}

// zoneField asks in which zone the logger's clock is.
func zoneField(f *form, l *records.LoggerImport) {
	house := f.words.zone().String()
	list := []string{house, "UTC", "America/New_York", "America/Chicago", "America/Denver", "America/Los_Angeles", "Etc/GMT+5", "Etc/GMT+6", "Etc/GMT+7"}
	if l.Zone != "" && !slices.Contains(list, l.Zone) && !f.reading() {
		list = append(list, l.Zone)
	}
	var choices []Choice
	for i, zone := range list {
		name := f.words.say("logger.zone." + keyWord(zone))
		if i == 0 {
			name = f.words.say("logger.zone_house", "Zone", house)
		} else if zone == house {
			continue
		} else if strings.HasPrefix(name, "⟦") {
			name = zone
		}
		choices = append(choices, Choice{Value: zone, Name: name})
	}
	f.Pick("zone", &l.Zone, choices, required)
}

// layoutChoices are the ways to read the file's times, each by what it makes of the first one.
func layoutChoices(f *form, g records.LoggerGuess) []Choice {
	choices := make([]Choice, len(g.Layouts))
	for i, layout := range g.Layouts {
		choices[i] = Choice{Value: layout, Name: g.Example + " = " + f.words.wall(layout, g.Example)}
	}
	return choices
}

// loggerImportForm amends how a file is read: what was asked of a person, not what its lines show.
func loggerImportForm(f *form, l *records.LoggerImport) {
	f.Choice("unit", &l.Unit, required, "F", "C")
	zoneField(f, l)
	f.OptionalPick("instrument", &l.InstrumentID, f.instruments(records.MeasuresTemperature, l.InstrumentID))
	f.Text("note", &l.Note, 0, longText)
}

// readLogger reads the file as the form says and shows what that gives; what was looked at is then kept.
func (a *App) readLogger(c *gin.Context) error {
	page, log, err := a.loggerRun(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "logger_import", runURL(log.Run.ID)+"/logger/"+c.Param("file"))
	if err != nil {
		return err
	}
	if made, err := records.Submitted(c.Request.Context(), a.store, f.raw.Get("submission")); err != nil || made != "" {
		return errors.Join(err, a.redirect(c, runURL(log.Run.ID), "logger.kept"))
	}
	file, ok := a.fileInHand(c, log)
	if !ok {
		return nil
	}
	guess, err := a.guess(c, log, file.raw)
	if err != nil {
		return err
	}
	page.How = f
	page.inHand(file, guess)
	a.loggerHow(f, &guess)
	how := guess.LoggerImport
	how.RunID = log.Run.ID
	if f.OK() {
		if page.Preview, err = a.previewLogger(c, f, log, how, file); err != nil {
			return err
		}
	}
	if f.OK() && f.raw.Get("do") == "keep" && f.raw.Get("seen") == page.Preview.Seen {
		kept, err := a.keepLogger(c, f, how, file)
		if kept || err != nil {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	if !f.OK() {
		return a.redisplay(c, "kettle/logger", page)
	}
	page.Preview.Sure = true
	return a.render(c, http.StatusOK, "kettle/logger", page)
}

// keepLogger keeps the file and how it is read; false where the form says why not.
func (a *App) keepLogger(c *gin.Context, f *form, how records.LoggerImport, file waitingFile) (bool, error) {
	kept := &records.Attachment{Name: file.name, MediaType: "text/csv"}
	err := a.store.ImportLogger(c.Request.Context(), a.actor(c), &how, kept, file.raw)
	if _, again := alreadyMade(err); err == nil || again {
		a.waiting.drop(file.token)
		return true, a.redirect(c, runURL(how.RunID), "logger.kept")
	}
	if f.take(err) {
		return false, nil
	}
	return false, err
}

// seenMark tells one way of reading from another, so that nothing is kept that was not looked at.
func seenMark(how records.LoggerImport, sum string) string {
	how.Row, how.Note, how.InstrumentID = records.Row{}, "", nil
	said := sha256.Sum256([]byte(strings.Join([]string{sum, how.Unit, how.Zone, how.Separator, how.TimeLayout, strconv.Itoa(how.HeaderLines),
		strconv.Itoa(how.TimeColumn), strconv.Itoa(how.TemperatureColumn)}, "\x00")))
	return hex.EncodeToString(said[:8])
}

// neverBoiled is the highest temperature under which a file shows no boil: a unit mixed up, likely (our choice, no source).
const neverBoiled syrup.Celsius = 60
