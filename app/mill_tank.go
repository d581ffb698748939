package app

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// tankPage is a tank: what it holds now, of what that is made, what happened to it, and the forms for the next.
type tankPage struct {
	Page
	Card    tankCard
	Mass    string
	Solids  string
	Groups  []shareGroup
	Events  []tankEvent
	Fill    *drawForm
	Wash    *form
	NoFill  string
	History string
}

// shareGroup is one stage behind a tank's contents.
type shareGroup struct {
	Title  string
	Shares []shareLine
}

// tankEvent is one line of what happened to a tank.
type tankEvent struct {
	When, What, Amount, URL, Amend, Note string
	Estimated                            bool

	at time.Time
}

// drawForm is a form that asks from where, and how much of it.
type drawForm struct {
	Form *form
	From []*drawField
	Rest []*Field
}

// drawsForm binds where something came from and when.
func (a *App) drawsForm(c *gin.Context, f *form, stocks []records.Stock, at *time.Time) (*drawForm, error) {
	stocks, err := a.offered(c.Request.Context(), f, stocks)
	if err != nil {
		return nil, err
	}
	d := &drawForm{Form: f, From: f.draws(stocks)}
	before := len(f.Fields)
	f.moment("at", at)
	f.DoneBy()
	d.Rest = f.Fields[before:]
	return d, f.Err()
}

// tankSources are what a tank may be filled from: juice tanks from pressings and juice tanks, the others from runs and
// syrup tanks.
func (a *App) tankSources(ctx context.Context, tank records.Tank) ([]records.Stock, error) {
	list := a.store.JuiceLeft
	if tank.Holds == records.HoldsSyrup {
		list = func(ctx context.Context) ([]records.Stock, error) { return a.store.SyrupLeft(ctx, syrupDays) }
	}
	stocks, err := list(ctx)
	return slices.DeleteFunc(stocks, func(s records.Stock) bool { return s.ID == tank.ID }), err
}

// syrupDays is how far back runs with syrup left are offered.
const syrupDays = 30

func (a *App) showTank(c *gin.Context) error {
	tank, err := records.Get[records.Tank](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	page, err := a.tankPage(c, tank, nil, nil)
	if err != nil {
		return err
	}
	return a.show(c, "mill/tank", page)
}

// tankPage gathers the page; a form that was sent and is wrong takes the place of the empty one.
func (a *App) tankPage(c *gin.Context, tank records.Tank, fill *drawForm, wash *form) (*tankPage, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	sheet, err := a.store.TankSheetOf(ctx, tank.ID, a.store.Now())
	if err != nil {
		return nil, err
	}
	page := &tankPage{Card: w.tankCard(sheet), History: recordURL(tank.ID) + "/history", Events: a.tankEvents(ctx, w, sheet)}
	if !sheet.Unknown && !sheet.Stock.Empty() && sheet.Stock.Left != nil {
		page.Mass, _ = w.mass(*sheet.Stock.Left)
		page.Solids, _ = w.percent(sheet.Stock.Solids)
	}
	for _, kind := range []records.Kind{records.KindRun, records.KindPressing, records.KindCut, records.KindSupplyLot} {
		if shares := w.shares(sheet.Origin, kind); len(shares) > 0 {
			page.Groups = append(page.Groups, shareGroup{capital(w.say("mill_page.of_" + string(kind))), shares})
		}
	}
	if page.Trail, err = a.trail(ctx, w, &tank); err != nil || !v.may(crew) || tank.Struck {
		return page, err
	}
	if page.Fill = fill; fill == nil {
		if page.Fill, err = a.newFill(c, tank); err != nil {
			return nil, err
		}
	}
	if len(page.Fill.From) == 0 {
		page.Fill, page.NoFill = nil, w.say("mill_page.nothing_to_fill")
	}
	if page.Wash = wash; wash == nil {
		page.Wash = a.newWash(c, "/mill/tank/"+tank.ID+"/wash-out")
	}
	return page, page.Wash.Err()
}

func (a *App) newFill(c *gin.Context, tank records.Tank) (*drawForm, error) {
	stocks, err := a.tankSources(c.Request.Context(), tank)
	if err != nil {
		return nil, err
	}
	f := a.newForm(c, "link", "/mill/tank/"+tank.ID+"/fill")
	return a.drawsForm(c, f, stocks, new(time.Time))
}

// newWash is the form of a wash-out, of a tank or a kettle.
func (a *App) newWash(c *gin.Context, action string) *form {
	f := a.newForm(c, "wash_out", action)
	washForm(f, &records.WashOut{})
	f.DoneBy()
	return f
}

// tankEvents lists fillings, drawings, additions and wash-outs, newest first.
func (a *App) tankEvents(ctx context.Context, w words, sheet records.TankSheet) []tankEvent {
	var events []tankEvent
	add := func(links []records.Link, key string, end func(records.Link) string) {
		for i, line := range a.amounts(ctx, w, links, end) {
			events = append(events, tankEvent{When: line.When, What: w.say(key, "Name", line.Name), Amount: line.Amount, URL: line.URL,
				Amend: line.Amend, Estimated: line.Estimated, at: links[i].At})
		}
	}
	add(sheet.Fillings, "mill_page.event_in", func(l records.Link) string { return l.FromID })
	add(sheet.Taken, "mill_page.event_out", func(l records.Link) string { return l.ToID })
	for _, wash := range sheet.WashOuts {
		when, _ := w.moment(wash.At)
		events = append(events, tankEvent{When: when, What: w.say("trail.wash_out"), URL: recordURL(wash.ID), Note: wash.Note, at: wash.At})
	}
	for _, d := range sheet.Additions {
		when, _ := w.moment(d.At)
		events = append(events, tankEvent{When: when, What: w.say("trail.addition", "Name", d.Substance), URL: recordURL(d.ID), at: d.At})
	}
	slices.SortStableFunc(events, func(a, b tankEvent) int { return cmp.Or(b.at.Compare(a.at), cmp.Compare(b.What, a.What)) })
	return events
}

// fillTank records juice or syrup running into a tank, from one or more sources at once.
func (a *App) fillTank(c *gin.Context) error {
	ctx := c.Request.Context()
	tank, err := records.Get[records.Tank](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "link", "/mill/tank/"+tank.ID+"/fill")
	if err != nil {
		return err
	}
	stocks, err := a.tankSources(ctx, tank)
	if err != nil {
		return err
	}
	var at time.Time
	fill, err := a.drawsForm(c, f, stocks, &at)
	if err != nil {
		return err
	}
	draws := ticked(fill.From, false)
	if f.OK() && len(draws) == 0 {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("mill_page.tick_one")})
	}
	if f.OK() {
		err := a.fillAll(c, tank.ID, draws, at)
		if err == nil {
			return a.redirect(c, recordURL(tank.ID), "record.kept")
		}
		if errors.As(err, new(records.Already)) {
			return a.redirect(c, recordURL(tank.ID), "")
		}
		if !f.takeDraws(fill.From, err) {
			return err
		}
	}
	page, err := a.tankPage(c, tank, fill, nil)
	if err != nil {
		return err
	}
	return a.redisplay(c, "mill/tank", page)
}

// fillAll writes every draw in one transaction.
func (a *App) fillAll(c *gin.Context, into string, draws []records.Draw, at time.Time) error {
	return a.store.Write(c.Request.Context(), a.actor(c), juiceLinks(into, draws, at)...)
}

// juiceLinks are the links of what is drawn into a tank or a run.
func juiceLinks(into string, draws []records.Draw, at time.Time) []records.Fact {
	links := make([]records.Fact, len(draws))
	for i, d := range draws {
		links[i] = &records.Link{FromID: d.FromID, ToID: into, At: at, Volume: d.Volume, Entered: d.Entered, Estimated: d.Estimated}
	}
	return links
}

func (a *App) washTank(c *gin.Context) error {
	tank, err := records.Get[records.Tank](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "wash_out", "/mill/tank/"+tank.ID+"/wash-out")
	if err != nil {
		return err
	}
	done, err := a.wash(c, f, tank.ID)
	if err != nil {
		return err
	}
	if done {
		return a.redirect(c, recordURL(tank.ID), "kettle_page.washed_kept")
	}
	page, err := a.tankPage(c, tank, nil, f)
	if err != nil {
		return err
	}
	return a.redisplay(c, "mill/tank", page)
}

// wash reads and writes a wash-out; false is a form to show again. A double tap is done already.
func (a *App) wash(c *gin.Context, f *form, vessel string) (bool, error) {
	w := &records.WashOut{VesselID: vessel}
	washForm(f, w)
	f.DoneBy()
	if !f.OK() {
		return false, f.Err()
	}
	err := a.store.Write(c.Request.Context(), a.actor(c), w)
	if err == nil || errors.As(err, new(records.Already)) {
		return true, nil
	}
	if f.take(err) {
		return false, nil
	}
	return false, err
}
