package app

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// fillingPage is one lot at the filler: its code, what a bottle should weigh, checks, end.
type fillingPage struct {
	Page
	Paper                           string // address to type a paper sheet in; empty for who only looks
	Code, Product, Container, Since string
	Lot, Sheet                      string // addresses
	Open                            bool
	Counted                         string // bottles, when filling has ended
	CountAmend                      string // where the count is amended; empty while there is none or for a reader
	Sources, InIt                   []sourceLine
	Targets                         fillTargets
	Clock                           *fillClock // nil when the filling is over
	Check, End, Reading, Tag        *form      // nil where they are not for this person or not for now
	CheckFirst, CheckMore           []*Field   // of the check's form: what is read each time, and the rest
	MoreOpen                        bool       // something of the rest is filled in or wrong
	Between                         eventForms
	Standing                        bool         // the filling stands still: going on comes first
	Divide                          *divideOffer // nil: the checks divide nothing
	TagPreview                      string
	Balance                         []line
	Events                          []shownEvent
	Checks                          []shownCheck
	Findings                        []shownFinding // of the lot itself
	Now                             []shownFinding // what the newest check holds, while bottles are filled: nobody scrolls down to it
	More                            int            // findings of what went in, shown on the lot's page
}

// sourceLine is what a lot drew from one run or tank, and where the quantity is amended.
type sourceLine struct{ Name, Word, URL, Amend string }

// shownCheck is one fill check with what was found at it.
type shownCheck struct {
	When, Who, Amend string
	Lines            []line
	Findings         []shownFinding
}

// fillingForms are the forms of the page; one that was posted wrongly is put in place of the fresh one.
type fillingForms struct{ check, end, reading, event, divide *form }

func (a *App) showFilling(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	return a.renderFilling(c, http.StatusOK, lot, fillingForms{})
}

// lotOf is the lot of the address: by id, or by its code however written.
func (a *App) lotOf(c *gin.Context) (records.Lot, error) {
	lot, err := records.Get[records.Lot](c.Request.Context(), a.store, c.Param("id"))
	if !errors.Is(err, records.ErrNotFound) {
		return lot, err
	}
	byCode, codeErr := records.LotByCode(c.Request.Context(), a.store, c.Param("id"))
	if codeErr != nil {
		return lot, err
	}
	return byCode, nil
}

// renderFilling draws the filling page of a lot.
func (a *App) renderFilling(c *gin.Context, status int, lot records.Lot, forms fillingForms) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	facts, rules, err := records.LotFacts(ctx, a.store, lot.ID)
	if err != nil {
		return err
	}
	page := &fillingPage{Code: records.PrintedCode(lot.Code), Product: records.Name(ctx, a.store, lot.ProductID), Open: facts.Open,
		Container: a.containerWords(ctx, w, lot), Lot: lotURL(lot.ID), Sheet: "/sheet/" + lot.ID, TagPreview: "/filler/" + lot.ID + "/tray-tag"}
	if page.Since, err = w.moment(lot.StartedAt); err != nil {
		return err
	}
	if page.Trail, err = a.trail(ctx, w, &lot); err != nil {
		return err
	}
	if facts.Units != nil {
		page.Counted = w.say("count.bottles", "Count", *facts.Units)
	}
	if v.may(crew) && !lot.Struck {
		page.Paper = "/filler/" + lot.ID + "/paper"
	}
	if page.CountAmend, err = a.countAmend(ctx, v, lot.ID); err != nil {
		return err
	}
	if page.Sources, err = a.sourceLines(ctx, v, lot.ID); err != nil {
		return err
	}
	if err := a.fillingNow(ctx, v, page, lot, facts, rules); err != nil {
		return err
	}
	if page.Checks, err = a.checksOf(ctx, v, lot.ID, hazards.JudgeLot(facts, rules), page); err != nil {
		return err
	}
	if v.may(crew) && !lot.Struck {
		if err := a.fillingForms(c, page, lot, forms); err != nil {
			return err
		}
	}
	return a.render(c, status, "filler/filling", page)
}

// fillingNow puts on the page what the filler works by: clock, targets, what is in it, the bottles and what happened.
func (a *App) fillingNow(ctx context.Context, v *visitor, page *fillingPage, lot records.Lot, facts hazards.LotFacts, rules hazards.Rules) error {
	w := v.words()
	container, err := records.Get[records.Container](ctx, a.store, lot.ContainerID)
	if err != nil {
		return err
	}
	if page.Targets, err = fillTargetsOf(w, facts, rules, container); err != nil {
		return err
	}
	if page.Targets.Behind, err = a.coolingBehind(ctx, w, container); err != nil {
		return err
	}
	if page.Targets.NoTare != "" && a.mayAmend(v, &container) {
		page.Targets.SetTare = recordURL(container.ID) + "/amend"
	}
	if page.Clock, err = a.fillClockOf(w, facts.Fill, rules); err != nil {
		return err
	}
	if page.InIt, err = a.inItOf(ctx, w, lot.ID, facts); err != nil {
		return err
	}
	broken := 0
	if page.Events, broken, err = a.eventsOf(ctx, v, lot.ID); err != nil {
		return err
	}
	page.Balance, err = a.bottleBalance(ctx, w, lot, facts, broken)
	return err
}

// sourceLines lists what a lot is filled from, with the quantity drawn as typed and as worked out.
func (a *App) sourceLines(ctx context.Context, v *visitor, lotID string) ([]sourceLine, error) {
	w := v.words()
	links, err := records.List[records.Link](ctx, a.store, "to_id = ? ORDER BY at, id", lotID)
	if err != nil {
		return nil, err
	}
	var lines []sourceLine
	for _, l := range links {
		fact, err := records.Load(ctx, a.store, l.FromID)
		if err != nil {
			return nil, err
		}
		quantity := w.notRecorded()
		if l.Volume != nil {
			if quantity, err = w.volume(*l.Volume); err != nil {
				return nil, err
			}
		}
		if l.Estimated {
			quantity += " " + w.say("word.estimated")
		}
		line := sourceLine{Name: a.stepName(ctx, w, fact), Word: quantity, URL: recordURL(l.FromID)}
		if a.mayAmend(v, &l) {
			line.Amend = recordURL(l.ID) + "/amend"
		}
		lines = append(lines, line)
	}
	return lines, nil
}

// checksOf lists the checks newest first, each with its findings, and leaves the lot's own findings on the page.
func (a *App) checksOf(ctx context.Context, v *visitor, lotID string, findings []hazards.Finding, page *fillingPage) ([]shownCheck, error) {
	w := v.words()
	checks, err := records.List[records.FillCheck](ctx, a.store, "lot_id = ? ORDER BY at DESC, id DESC", lotID)
	if err != nil {
		return nil, err
	}
	at := map[string][]hazards.Finding{}
	for _, f := range findings {
		at[f.About] = append(at[f.About], f)
	}
	var newest []hazards.Finding
	if len(checks) > 0 {
		newest = at[checks[0].ID]
	}
	shown := make([]shownCheck, len(checks))
	for i := range checks {
		k := &checks[i]
		when, err := w.moment(k.At)
		if err != nil {
			return nil, err
		}
		shown[i] = shownCheck{When: when, Who: a.writers(ctx, w, records.Head(k)), Lines: a.checkLines(ctx, w, k), Findings: shownFindings(w, at[k.ID])}
		if v.may(crew) {
			shown[i].Amend = recordURL(k.ID) + "/amend"
		}
		delete(at, k.ID)
	}
	if page.Open {
		page.Now = shownFindings(w, hazards.At(newest, hazards.Hold))
	}
	page.Findings = shownFindings(w, hazards.At(at[lotID], hazards.Note))
	delete(at, lotID)
	for _, others := range at {
		page.More += len(hazards.At(others, hazards.Check))
	}
	return shown, nil
}

// checkLines are the figures of a check that a person reads across: nothing that is blank but the bottle's temperature.
func (a *App) checkLines(ctx context.Context, w words, k *records.FillCheck) []line {
	var lines []line
	for _, l := range a.named(ctx, linesOf(w, k)) {
		if l.column == "lot_id" || l.column == "at" || l.column == "tank_entered" || l.Missing && l.column != "bottle" {
			continue
		}
		if l.column == "inverted_seconds" {
			l.Text += " " + w.say("unit.second")
		}
		lines = append(lines, l)
	}
	return lines
}

// fillingForms makes the forms of the page, unless one was posted and comes back with what is wrong.
func (a *App) fillingForms(c *gin.Context, page *fillingPage, lot records.Lot, posted fillingForms) error {
	page.Check, page.Reading, page.End = posted.check, posted.reading, posted.end
	var err error
	if page.Check == nil {
		if page.Check, err = a.newCheckForm(c, lot); err != nil {
			return err
		}
	}
	if err := a.helpWeighing(c, page, lot); err != nil {
		return err
	}
	if page.Reading == nil {
		if page.Reading, err = a.newReadingForm(c, lot); err != nil {
			return err
		}
	}
	if page.End == nil && page.Open {
		page.End = a.newForm(c, "fill_end", "/filler/"+lot.ID+"/end")
		fillEndForm(page.End, &records.FillEnd{})
		page.End.DoneBy()
	}
	if page.Open || posted.event != nil {
		page.Standing = page.Clock != nil && page.Clock.State == "stopped"
		page.Between = a.newEventForms(c, lot.ID, page.Standing, posted.event)
	}
	page.Tag = a.newForm(c, "tray_tag", "/filler/"+lot.ID+"/tray-tag")
	if page.Divide, err = a.divideOffer(c, lot, posted.divide); err != nil {
		return err
	}
	return errors.Join(page.Check.Err(), page.Reading.Err())
}

// seldomRead are the fields of a check folded away until they are wanted.
var seldomRead = []string{"tank_reading", "case_number", "at", "note", "done_by"}

// helpWeighing says at the scale's fields what to aim at, and folds away the one that does not serve with this container,
// with what is seldom read.
func (a *App) helpWeighing(c *gin.Context, page *fillingPage, lot records.Lot) error {
	container, err := records.Get[records.Container](c.Request.Context(), a.store, lot.ContainerID)
	if err != nil {
		return err
	}
	f, seldom := page.Check, seldomRead
	if page.Targets.Aim != "" {
		f.named("net_weight").Help = f.words.say("filler_page.weigh_help", "Weight", page.Targets.Aim)
	}
	if container.Tare != nil {
		seldom = append(slices.Clone(seldom), "net_weight")
		if page.Targets.Gross != "" {
			f.named("gross").Help = f.words.say("fill_check.gross_help_tare", "Tare", gramsWords(f.words, *container.Tare), "Aim", page.Targets.Gross)
		}
	} else {
		seldom = append(slices.Clone(seldom), "gross")
	}
	for _, field := range f.Fields {
		if !slices.Contains(seldom, field.Name) {
			page.CheckFirst = append(page.CheckFirst, field)
			continue
		}
		page.CheckMore = append(page.CheckMore, field)
		page.MoreOpen = page.MoreOpen || field.Error != "" || field.Value != "" && field.Name != "done_by"
	}
	return nil
}

// newCheckForm starts with the instruments used at the check before, of this lot or another.
func (a *App) newCheckForm(c *gin.Context, lot records.Lot) (*form, error) {
	f := a.newForm(c, "fill_check", "/filler/"+lot.ID+"/check")
	k := &records.FillCheck{}
	checks, err := records.List[records.FillCheck](c.Request.Context(), a.store, "ORDER BY at DESC, id DESC LIMIT 20")
	if err != nil {
		return nil, err
	}
	if i := slices.IndexFunc(checks, func(k records.FillCheck) bool { return k.InstrumentID != nil }); i >= 0 {
		k.InstrumentID = checks[i].InstrumentID
	} else if only := f.instruments(records.MeasuresTemperature, nil); len(only) == 1 {
		k.InstrumentID = &only[0].Value
	}
	if i := slices.IndexFunc(checks, func(k records.FillCheck) bool { return k.ScaleID != nil }); i >= 0 {
		k.ScaleID = checks[i].ScaleID
	} else if only := f.instruments(records.MeasuresWeight, nil); len(only) == 1 {
		k.ScaleID = &only[0].Value
	}
	fillCheckForm(f, k)
	f.DoneBy()
	return f, f.Err()
}

// newReadingForm starts with the scale and instrument of the last density reading.
func (a *App) newReadingForm(c *gin.Context, lot records.Lot) (*form, error) {
	f := a.newForm(c, "lot_reading", "/filler/"+lot.ID+"/reading")
	d := &records.DensityReading{}
	last, err := records.List[records.DensityReading](c.Request.Context(), a.store, "ORDER BY at DESC, id DESC LIMIT 1")
	if err != nil {
		return nil, err
	}
	if len(last) > 0 {
		d.Scale, d.InstrumentID = last[0].Scale, last[0].InstrumentID
	}
	lotReadingForm(f, d)
	f.DoneBy()
	return f, f.Err()
}

// keepAtLot reads a posted form of a lot, writes what it binds, and goes back to the filling page; or shows that page
// again with what is wrong, in the place of the form posted.
func (a *App) keepAtLot(c *gin.Context, kind, said string, bind func(*form, records.Lot) func() error, place func(*fillingForms, *form)) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, kind, c.Request.URL.Path)
	if err != nil {
		return err
	}
	write := bind(f, lot)
	f.DoneBy()
	if f.OK() {
		err := write()
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, "/filler/"+lot.ID, said)
		}
		if !f.take(err) {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	var forms fillingForms
	place(&forms, f)
	return a.renderFilling(c, http.StatusUnprocessableEntity, lot, forms)
}

func (a *App) addFillCheck(c *gin.Context) error {
	return a.keepAtLot(c, "fill_check", "filler_page.check_kept", func(f *form, lot records.Lot) func() error {
		k := &records.FillCheck{LotID: lot.ID}
		fillCheckForm(f, k)
		return func() error {
			a.notBefore(&k.At, lot.StartedAt)
			return a.store.Write(c.Request.Context(), a.actor(c), k)
		}
	}, func(forms *fillingForms, f *form) { forms.check = f })
}

func (a *App) addLotReading(c *gin.Context) error {
	return a.keepAtLot(c, "lot_reading", "filler_page.reading_kept", func(f *form, lot records.Lot) func() error {
		d := &records.DensityReading{OfID: lot.ID, Stage: records.StageLot}
		lotReadingForm(f, d)
		return func() error {
			a.nowIfThisMinute(&d.At)
			return a.store.Write(c.Request.Context(), a.actor(c), d)
		}
	}, func(forms *fillingForms, f *form) { forms.reading = f })
}

func (a *App) endFilling(c *gin.Context) error {
	return a.keepAtLot(c, "fill_end", "filler_page.ended", func(f *form, lot records.Lot) func() error {
		e := &records.FillEnd{LotID: lot.ID}
		fillEndForm(f, e)
		return func() error {
			a.notBefore(&e.At, lot.StartedAt)
			return a.store.EndFilling(c.Request.Context(), a.actor(c), e)
		}
	}, func(forms *fillingForms, f *form) { forms.end = f })
}

// notBefore gives back the seconds a form does not know: a time typed in the very minute the filling began is not before
// it.
func (a *App) notBefore(t *time.Time, start time.Time) {
	if t.Equal(start.Truncate(time.Minute)) {
		*t = start
	}
	a.nowIfThisMinute(t)
}

// countAmend is where the count of a lot is amended: its end of filling; empty without one, and for who only looks.
func (a *App) countAmend(ctx context.Context, v *visitor, lotID string) (string, error) {
	ends, err := records.List[records.FillEnd](ctx, a.store, "lot_id = ?", lotID)
	if err != nil || len(ends) == 0 || !v.may(crew) {
		return "", err
	}
	return recordURL(ends[0].ID) + "/amend", nil
}
