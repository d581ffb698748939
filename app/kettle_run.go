package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// runPage is a run with its boil log.
type runPage struct {
	Page
	live
	ID           string
	Code, Kettle string
	Open         bool
	Minutes      int
	Time         string
	Lit, Drawn   string
	EndedAs      string // of a run that ended otherwise than as syrup
	Sheet        string
	Amend, Who   string
	Struck       bool
	Quick        []*quickForm
	Late         []*quickForm // of a run that has ended: for what was forgotten
	Ends         string       // address of how else a run may end; empty when it has
	Last         []lastFigure
	Done         string // when it will be done, in one line; empty when no time is told
	Finish       *finishPanel
	Watch        *watchPanel
	Reading      *readingPanel
	Picture      *boilPicture
	Log          []logLine
	Findings     []shownFinding
	Juice        []amountLine
	Out          []amountLine
	Left         string
	Lots         []ledgerLine
	Loggers      []loggerLine
	Sheets       []string // addresses of photos of paper sheets
	Logger       string   // address to read in a logger's file; empty for who only looks, as the next two are
	Paper        string
	SheetPhoto   string
}

// logLine is one line of the boil log.
type logLine struct {
	Clock, Minutes, What, Figure string
	Details                      []string
	Note, Who, Late              string
	Photos                       []string // addresses
	ID                           string   // of the record
	TakeBack                     string   // address to take it back at; empty when it is not of just now
	Amended                      bool
	URL, Amend                   string
	Findings                     []shownFinding

	at, written time.Time
	id          string
}

// lateEntry is how long after the event an entry counts as late (our choice, no source).
const lateEntry = 15 * time.Minute

func (a *App) showRun(c *gin.Context) error {
	log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	page, err := a.runPage(c, log, nil)
	if err != nil {
		return err
	}
	return a.show(c, "kettle/run", page)
}

// runPage gathers the page of a run.
func (a *App) runPage(c *gin.Context, log records.BoilLog, sent *quickForm) (*runPage, error) {
	v := visitorOf(c)
	page, err := a.runLive(c.Request.Context(), v, log)
	if err != nil {
		return nil, err
	}
	if page.Trail, err = a.trail(c.Request.Context(), v.words(), &log.Run); err != nil {
		return nil, err
	}
	if v.may(crew) && !log.Run.Struck {
		page.Logger, page.Paper, page.SheetPhoto = runURL(log.Run.ID)+"/logger", runURL(log.Run.ID)+"/paper", "/paper/photo/"+log.Run.ID
		forms, err := a.quickForms(c, log, sent)
		if err != nil {
			return nil, err
		}
		page.Quick, page.Late = forms, nil
		if !page.Open {
			page.Quick, page.Late = afterTheEnd(forms)
		}
	}
	return page, nil
}

// runLive gathers what changes on the page of a run while it boils: everything but the trail and the forms.
func (a *App) runLive(ctx context.Context, v *visitor, log records.BoilLog) (*runPage, error) {
	w, now := v.words(), a.store.Now()
	page := &runPage{ID: log.Run.ID, Code: log.Run.Code, Kettle: log.Kettle.Name, Open: log.DrawnOff == nil, Sheet: "/sheet/" + log.Run.ID,
		Who: recordURL(log.Run.ID) + "/history", Struck: log.Run.Struck}
	page.live = live{NowAt: now.UnixMilli(), LitAt: log.Run.FireLitAt.UnixMilli(), FireOut: page.Open && log.FireAt(now).Out}
	page.timed(w, log, now)
	if a.mayAmend(v, &log.Run) {
		page.Amend = recordURL(log.Run.ID) + "/amend"
	}
	if _, ok := a.routed["/kettle/run/:id/end"]; ok && page.Open && v.may(crew) {
		page.Ends = runURL(log.Run.ID) + "/end"
	}
	rules, err := records.RulesOf(ctx, a.store)
	if err != nil {
		return nil, err
	}
	if err := a.judgeRunPage(ctx, v, log, rules, page); err != nil {
		return nil, err
	}
	page.Last = a.lastFigures(ctx, w, log)
	if err := a.watchRun(ctx, v, log, rules, page); err != nil {
		return nil, err
	}
	if page.Finish, err = a.finishPanel(ctx, v, log); err != nil {
		return nil, err
	}
	if page.Open && !log.Run.Struck {
		if page.Done, err = a.doneWords(ctx, v, log); err != nil {
			return nil, err
		}
	}
	if page.Picture, err = a.boilPictureOf(ctx, v, log); err != nil {
		return nil, err
	}
	return page, a.aroundRun(ctx, w, log, page)
}

// timed fills in the clock of the run: minutes since the fire was lit, to the drawing off when that is past.
func (p *runPage) timed(w words, log records.BoilLog, now time.Time) {
	until := now
	p.Lit, _ = w.moment(log.Run.FireLitAt)
	if log.DrawnOff != nil {
		until = log.DrawnOff.At
		p.Drawn, _ = w.moment(until)
		if log.DrawnOff.Outcome != records.OutcomeSyrup {
			p.EndedAs, p.Drawn = capital(w.say("kettle_end.ended_how", "How", w.outcome(log.DrawnOff.Outcome), "When", p.Drawn)), ""
		}
	}
	p.Minutes = max(0, int(until.Sub(log.Run.FireLitAt).Minutes()))
	if p.Minutes >= 120 { // below that it would say the minutes twice
		p.Time = w.hours(until.Sub(log.Run.FireLitAt))
	}
}

// judgeRunPage words the findings of the run and of its temperatures, and puts those about one line beside that line.
func (a *App) judgeRunPage(ctx context.Context, v *visitor, log records.BoilLog, rules hazards.Rules, page *runPage) error {
	findings, err := records.JudgeRun(ctx, a.store, log.Run.ID)
	if err != nil {
		return err
	}
	w, boil := v.words(), hazards.JudgeBoil(boilFacts(log), rules)
	page.Log = a.logLines(ctx, w, log)
	if err := a.markLines(ctx, v, page.Log); err != nil {
		return err
	}
	for i, line := range page.Log {
		for _, f := range slices.Concat(findings, boil) {
			if f.About == line.id {
				page.Log[i].Findings = append(page.Log[i].Findings, shownFindingOf(w, f))
			}
		}
	}
	page.Findings = shownFindings(w, append(findings, boil...))
	return nil
}

// boilFacts are the temperatures of a log in order of time.
func boilFacts(log records.BoilLog) []hazards.BoilFacts {
	var facts []hazards.BoilFacts
	for _, e := range log.Entries {
		if e.Temperature != nil && e.What != records.EntryDrawnOff {
			facts = append(facts, hazards.BoilFacts{ID: e.ID, Name: log.Run.Code, At: e.At, Temperature: *e.Temperature, TemperatureEntered: e.TemperatureEntered})
		}
	}
	return facts
}

// aroundRun adds juice in, where the syrup went, what is left and the lots.
func (a *App) aroundRun(ctx context.Context, w words, log records.BoilLog, page *runPage) error {
	page.Juice = a.amounts(ctx, w, log.Into, func(l records.Link) string { return l.FromID })
	for i, l := range log.Into {
		if l.Heel {
			page.Juice[i].Name = w.say("kettle_page.heel_in", "Name", records.Name(ctx, a.store, l.FromID))
		}
	}
	var err error
	if page.Loggers, err = a.loggersOf(ctx, w, log.Run.ID); err != nil {
		return err
	}
	if page.Sheets, err = a.sheetsOf(ctx, log.Run.ID); err != nil {
		return err
	}
	page.Out = a.amounts(ctx, w, log.Out, func(l records.Link) string { return l.ToID })
	a.nameTakers(ctx, w, log.Out, page.Out)
	if log.DrawnOff != nil {
		stock, err := a.store.StockOf(ctx, log.Run.ID, a.store.Now())
		if err != nil {
			return err
		}
		if !stock.Empty() {
			page.Left = w.say("kettle_page.left_in_run", "Left", w.stockLeft(stock))
		}
	}
	forward, err := records.TraceForward(ctx, a.store, log.Run.ID)
	if err != nil {
		return err
	}
	for _, lot := range forward.OfKind(records.KindLot) {
		page.Lots = append(page.Lots, ledgerLine{Name: lot.Name, Word: w.say("kind.lot"), URL: recordURL(lot.ID)})
	}
	return nil
}

// logLines are all entries, newest first; the fire being lit is the last line.
func (a *App) logLines(ctx context.Context, w words, log records.BoilLog) []logLine {
	who := a.whoOf(ctx)
	lit := log.Run.FireLitAt
	var lines []logLine
	add := func(l logLine, row records.Row, at time.Time) {
		l.at, l.written, l.id, l.URL, l.Who, l.Amended = at, row.WrittenAt, row.ID, recordURL(row.ID)+"/history", who(row.DoneBy), row.Revision > 1
		l.Amend = recordURL(row.ID) + "/amend"
		l.Minutes = w.say("kettle_page.minutes_short", "Minutes", int(at.Sub(lit).Minutes()))
		l.Clock, _ = w.clock(at)
		if row.Revision == 1 && row.WrittenAt.Sub(at) > lateEntry {
			when, _ := w.moment(row.WrittenAt)
			l.Late = w.say("kettle_page.late", "When", when)
		}
		lines = append(lines, l)
	}
	for _, e := range log.Entries {
		add(a.entryLine(ctx, w, log, e), e.Row, e.At)
	}
	for _, r := range log.Readings {
		add(a.readingLine(ctx, w, r), r.Row, r.At)
	}
	for _, d := range log.Additions {
		add(additionLine(ctx, a, w, d), d.Row, d.At)
	}
	for _, l := range log.Into {
		key := "kettle_page.juice_in"
		if l.Heel {
			key = "kettle_page.heel_in"
		}
		line := logLine{What: w.say(key, "Name", a.nameIn(ctx, w, l.FromID)), Figure: w.linkAmount(l)}
		if l.Estimated {
			line.Details = append(line.Details, w.say("word.estimated"))
		}
		add(line, l.Row, l.At)
	}
	for _, l := range a.movedInMidBoil(ctx, log) {
		line := logLine{What: w.say("kettle_end.moved_to", "Name", a.nameIn(ctx, w, l.ToID)), Figure: w.linkAmount(l)}
		if l.Estimated {
			line.Details = append(line.Details, w.say("word.estimated"))
		}
		add(line, l.Row, l.At)
	}
	add(logLine{What: w.say("kettle_page.fire_lit"), Note: log.Run.Note}, log.Run.Row, lit)
	lines[len(lines)-1].id = "" // findings about the run stand below, not at its first line
	slices.SortStableFunc(lines, func(a, b logLine) int { return cmp.Or(b.at.Compare(a.at), strings.Compare(b.id, a.id)) })
	return lines
}

// whoOf names people, each read once.
func (a *App) whoOf(ctx context.Context) func(string) string {
	known := map[string]string{}
	return func(id string) string {
		if _, ok := known[id]; !ok {
			known[id] = records.Name(ctx, a.store, id)
		}
		return known[id]
	}
}

// nameIn names a record with its kind, as the trail does; how a run ended later is no matter of the line that names it.
func (a *App) nameIn(ctx context.Context, w words, id string) string {
	fact, err := records.Load(ctx, a.store, id)
	if err != nil {
		return id
	}
	if run, ok := fact.(*records.Run); ok {
		return w.say("trail.run", "Name", records.NameOf(ctx, a.store, run))
	}
	return a.stepName(ctx, w, fact)
}

func (a *App) entryLine(ctx context.Context, w words, log records.BoilLog, e records.BoilEntry) logLine {
	line := logLine{What: w.say("boil_entry.what." + e.What), Note: e.Note}
	if e.What == records.EntryNote {
		line.What, line.Note = w.say("boil_entry.what.note"), e.Note
	}
	temperature := ""
	if e.Temperature != nil {
		temperature, _ = w.temperature(e.Temperature)
	}
	switch {
	case e.What == records.EntryDrawnOff:
		line.What = w.outcome(e.Outcome)
		if e.Volume != nil || e.Outcome == records.OutcomeSyrup {
			line.Figure, _ = w.volume(e.Volume)
		}
		if e.Estimated {
			line.Details = append(line.Details, w.say("word.estimated"))
		}
		if temperature != "" {
			line.Details = append(line.Details, temperature)
		}
		for _, out := range log.Out {
			if kind, err := a.store.KindOf(ctx, out.ToID); err == nil && kind != records.KindLot && out.At.Equal(e.At) && !out.Heel {
				line.Details = append(line.Details, w.say("kettle_page.into_tank", "Name", records.Name(ctx, a.store, out.ToID)))
			}
		}
		if e.Heel != nil {
			line.Details = append(line.Details, w.heel(e))
		}
	default:
		line.Figure = temperature
		if e.Volume != nil {
			volume, _ := w.volume(e.Volume)
			line.Details = append(line.Details, w.say("kettle_page.in_kettle", "Volume", volume))
		}
	}
	for _, id := range []*string{e.InstrumentID, e.SupplyLotID} {
		if id != nil {
			line.Details = append(line.Details, records.Name(ctx, a.store, *id))
		}
	}
	return line
}

func (a *App) readingLine(ctx context.Context, w words, r records.DensityReading) logLine {
	line := logLine{What: w.say("kettle_page.reading") + ", " + w.say("density_reading.stage."+r.Stage), Note: r.Note, Figure: w.reading(r)}
	if r.Temperature != nil {
		temperature, _ := w.temperature(r.Temperature)
		line.Details = append(line.Details, temperature)
	} else {
		line.Details = append(line.Details, w.say("kettle_page.no_temp_word"))
	}
	if r.InstrumentID != nil {
		line.Details = append(line.Details, records.Name(ctx, a.store, *r.InstrumentID))
	} else {
		line.Details = append(line.Details, w.say("kettle_page.no_instrument"))
	}
	if solids := a.solidsWords(ctx, w, r); solids != "" {
		line.Details = append(line.Details, solids)
	} else {
		line.Details = append(line.Details, w.say("kettle_page.not_usable"))
	}
	return line
}

// reading writes a reading in its scale.
func (w words) reading(r records.DensityReading) string {
	return plainNumber(r.Reading) + noBreak + w.say(scales[string(r.Scale)])
}

// additionLine says what was added and which of its answers are still open.
func additionLine(ctx context.Context, a *App, w words, d records.Addition) logLine {
	line := logLine{What: d.Substance, Figure: w.say("kettle_page.amount_unknown"), Details: []string{w.say("addition.use." + d.Use)}}
	if d.Amount != nil {
		line.Figure, _ = w.mass(d.Amount)
	}
	if d.SupplyLotID != nil {
		line.Details = append(line.Details, records.Name(ctx, a.store, *d.SupplyLotID))
	}
	var open []string
	answer := func(known bool, question, key string, args ...any) {
		if known {
			line.Details = append(line.Details, w.say(key, args...))
		} else {
			open = append(open, w.say(question))
		}
	}
	answer(d.Stays != nil, "addition_question.stays", map[bool]string{true: "kettle_page.stays", false: "kettle_page.leaves"}[d.Stays != nil && *d.Stays])
	switch {
	case d.Allergens != nil && *d.Allergens != "":
		answer(true, "", "kettle_page.allergens_some", "Allergens", *d.Allergens)
	default:
		answer(d.Allergens != nil, "addition_question.allergens", "kettle_page.allergens_none")
	}
	answer(d.Sulfites != nil, "addition_question.sulfites", map[bool]string{true: "kettle_page.sulfites", false: "kettle_page.no_sulfites"}[d.Sulfites != nil && *d.Sulfites])
	if len(open) > 0 {
		line.Details = append(line.Details, w.say("kettle_page.answers_wait", "Questions", strings.Join(open, ", ")))
	}
	return line
}
