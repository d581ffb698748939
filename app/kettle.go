package app

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// kettleRoutes are the kettle's lines of the route table.
func (a *App) kettleRoutes() []route {
	table := []route{
		{"GET", "/kettle", reader, a.showKettles},
		{"GET", "/kettle/new", crew, a.showStart},
		{"POST", "/kettle/new", crew, a.lightFire},
		{"POST", "/kettle/wash-out/:id", crew, a.washKettle},
		{"GET", "/kettle/run/:id", reader, a.showRun},
		{"GET", "/kettle/run/:id/live", reader, a.showRunLive},
		{"GET", "/kettle/live", reader, a.showKettlesLive},
		{"GET", streamPath, reader, a.streamKettle},
		{"GET", "/attachment/:id", reader, a.showAttachment},
	}
	table = append(table, a.waterRoutes()...)
	table = append(table, a.loggerRoutes()...)
	table = append(table, a.paperRoutes()...)
	for _, key := range quickKeys {
		table = append(table, route{"POST", "/kettle/run/:id/" + key, crew, a.writeInLog(key)})
	}
	return append(table, a.endRoutes()...)
}

// kettlePageOf is where a pressing, a tank or a run is shown; empty for other kinds.
func kettlePageOf(fact records.Fact) string {
	id := records.Head(fact).ID
	switch fact.(type) {
	case *records.Pressing:
		return "/mill/pressing/" + id
	case *records.Tank:
		return "/mill/tank/" + id
	case *records.Run:
		return runURL(id)
	}
	return ""
}

func runURL(id string) string { return "/kettle/run/" + id }

// kettlesPage lists what is on the fire, the kettles, and the runs before.
type kettlesPage struct {
	Page
	live
	Start   string // address to light a fire; empty when this person may not
	Water   string // address to check the thermometer in boiling water; empty when it was today
	Open    []openRun
	Kettles []kettleLine
	Recent  []ledgerLine
}

// openRun is a run on the fire: a big card.
type openRun struct {
	Code, Kettle, URL, Lit, Last, Time string
	Done                               string // when it will be done; empty when nothing tells
	Minutes                            int
}

// kettleLine is a kettle, what it does, and the form of its wash-out when it is free.
type kettleLine struct {
	ID, Name, URL, Word string
	Boils               bool
	Wash                *form
	Open                bool // the form is to be looked at
}

// recentRuns is how many runs stand in the list of those before.
const recentRuns = 40

func (a *App) showKettles(c *gin.Context) error {
	page, err := a.kettlesPage(c, "", nil)
	if err != nil {
		return err
	}
	return a.show(c, "kettle/list", page)
}

// kettlesPage gathers the page; a wash-out that was sent for one kettle and is wrong takes the place of the empty form.
func (a *App) kettlesPage(c *gin.Context, sentFor string, sent *form) (*kettlesPage, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	page := &kettlesPage{live: live{NowAt: a.store.Now().UnixMilli()}}
	kettles, err := records.List[records.Kettle](ctx, a.store, "ORDER BY number")
	if err != nil {
		return nil, err
	}
	boiling, err := a.boiling(ctx)
	if err != nil {
		return nil, err
	}
	for _, k := range kettles {
		line := kettleLine{ID: k.ID, Name: k.Name, URL: recordURL(k.ID)}
		if run, ok := boiling[k.ID]; ok {
			line.Boils = true
			line.Word, line.URL = v.words().say("kettle_page.boiling", "Code", run.Code), runURL(run.ID)
			card, err := a.openRun(ctx, v.words(), run, k)
			if err != nil {
				return nil, err
			}
			log, err := records.BoilLogOf(ctx, a.store, run.ID)
			if err != nil {
				return nil, err
			}
			if card.Done, err = a.doneWords(ctx, v, log); err != nil {
				return nil, err
			}
			page.Open = append(page.Open, card)
		} else if err := a.freeKettle(c, k, &line); err != nil {
			return nil, err
		}
		if sent != nil && sentFor == k.ID {
			line.Wash, line.Open = sent, true
		}
		page.Kettles = append(page.Kettles, line)
	}
	if v.may(crew) && len(kettles) > len(boiling) {
		page.Start = "/kettle/new"
	}
	if page.Water, err = a.askForWater(ctx, v); err != nil {
		return nil, err
	}
	page.Recent, err = a.recentRuns(ctx, v.words())
	return page, err
}

// boiling gives the open run of each kettle that is on the fire.
func (a *App) boiling(ctx context.Context) (map[string]records.Run, error) {
	runs, err := records.List[records.Run](ctx, a.store,
		"id NOT IN (SELECT run_id FROM boil_entry_now WHERE what = ?) ORDER BY fire_lit_at", records.EntryDrawnOff)
	open := map[string]records.Run{}
	for _, run := range runs {
		open[run.KettleID] = run
	}
	return open, err
}

func (a *App) openRun(ctx context.Context, w words, run records.Run, kettle records.Kettle) (openRun, error) {
	now := a.store.Now()
	card := openRun{Code: run.Code, Kettle: kettle.Name, URL: runURL(run.ID), Time: w.hours(now.Sub(run.FireLitAt)),
		Minutes: int(now.Sub(run.FireLitAt).Minutes()), Last: w.say("kettle_page.no_temperature")}
	card.Lit, _ = w.moment(run.FireLitAt)
	last, err := records.List[records.BoilEntry](ctx, a.store, "run_id = ? AND temperature IS NOT NULL ORDER BY at DESC, id DESC LIMIT 1", run.ID)
	if err == nil && len(last) > 0 {
		temperature, _ := w.temperature(last[0].Temperature)
		card.Last = w.say("kettle_page.last_temperature", "Temperature", temperature, "Minutes", w.hours(now.Sub(last[0].At)))
	}
	return card, err
}

// hours writes a time span: minutes, from two hours on hours and minutes.
func (w words) hours(d time.Duration) string {
	d = max(0, d)
	if d < 2*time.Hour {
		said, _ := w.minutes(d)
		return said
	}
	minutes := int(d.Minutes())
	return strings.ReplaceAll(w.say("kettle_page.hours_minutes", "Hours", minutes/60, "Minutes", minutes%60), " ", noBreak)
}

// freeKettle says whether a kettle was washed out since its last run, and adds the form to do so.
func (a *App) freeKettle(c *gin.Context, k records.Kettle, line *kettleLine) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	line.Word = w.say("kettle_page.idle")
	heels, err := records.HeelsOf(ctx, a.store, k.ID)
	if err != nil {
		return err
	}
	washed, err := records.List[records.WashOut](ctx, a.store, "vessel_id = ? ORDER BY at DESC LIMIT 1", k.ID)
	if err != nil {
		return err
	}
	if len(heels) > 0 {
		line.Word = w.say("kettle_page.maybe_heel", "Code", heels[0].Code)
	} else if len(washed) > 0 {
		when, _ := w.moment(washed[0].At)
		line.Word = w.say("kettle_page.washed", "When", when)
	}
	if !visitorOf(c).may(crew) {
		return nil
	}
	line.Wash = a.newForm(c, "wash_out", "/kettle/wash-out/"+k.ID)
	line.Wash.ID = "wash-" + k.ID
	washForm(line.Wash, &records.WashOut{})
	line.Wash.DoneBy()
	return line.Wash.Err()
}

// recentRuns are the runs drawn off, newest first.
func (a *App) recentRuns(ctx context.Context, w words) ([]ledgerLine, error) {
	runs, err := records.List[records.Run](ctx, a.store,
		"id IN (SELECT run_id FROM boil_entry_now WHERE what = ?) ORDER BY fire_lit_at DESC LIMIT ?", records.EntryDrawnOff, recentRuns)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(runs))
	for i, r := range runs {
		ids[i] = r.ID
	}
	entries, err := records.ListIDs[records.BoilEntry](ctx, a.store, "run_id", ids)
	if err != nil {
		return nil, err
	}
	drawn := map[string]records.BoilEntry{}
	for _, e := range entries {
		if e.What == records.EntryDrawnOff {
			drawn[e.RunID] = e
		}
	}
	lines := make([]ledgerLine, len(runs))
	for i, r := range runs {
		day, _ := w.day(r.FireLitAt)
		volume := w.say("kettle_page.volume_unknown")
		if drawn[r.ID].Volume != nil {
			volume, _ = w.volume(drawn[r.ID].Volume)
		}
		time := w.hours(drawn[r.ID].At.Sub(r.FireLitAt))
		lines[i] = ledgerLine{Name: r.Code, URL: runURL(r.ID), Word: w.say("kettle_page.drawn_word", "Day", day, "Volume", volume, "Time", time)}
		if how := drawn[r.ID].Outcome; how != records.OutcomeSyrup {
			lines[i].Word = w.say("kettle_page.ended_word", "Day", day, "How", w.outcome(how), "Time", time)
		}
	}
	return lines, nil
}

func (a *App) washKettle(c *gin.Context) error {
	kettle, err := records.Get[records.Kettle](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "wash_out", "/kettle/wash-out/"+kettle.ID)
	if err != nil {
		return err
	}
	f.ID = "wash-" + kettle.ID
	done, err := a.wash(c, f, kettle.ID)
	if err != nil {
		return err
	}
	if done {
		return a.redirect(c, "/kettle", "kettle_page.washed_kept")
	}
	page, err := a.kettlesPage(c, kettle.ID, f)
	if err != nil {
		return err
	}
	return a.redisplay(c, "kettle/list", page)
}

// startRunPage asks what is in the kettle as the fire is lit.
type startRunPage struct {
	Page
	Form  *form
	Juice []*drawField
	Rest  []*Field
	None  string // no juice is recorded
	Full  string // no kettle is free
}

// runStart is what the form of a new run takes.
type runStart struct {
	run        records.Run
	heel       string
	heelVolume records.Draw
	estimated  bool

	juice []*drawField
	heels map[string]string  // id to code
	left  *records.BoilEntry // the end of the last run, where it said that a heel stays
}

// startRunForm binds kettle, juice, heel and the moment the fire was lit.
func (a *App) startRunForm(c *gin.Context, f *form, s *runStart) (*startRunPage, error) {
	ctx := c.Request.Context()
	stocks, semis, err := a.forKettle(ctx, f)
	if err != nil {
		return nil, err
	}
	kettles, heels, err := a.freeKettles(ctx, f, s)
	if err != nil {
		return nil, err
	}
	page := &startRunPage{Form: f}
	if len(kettles) == 1 && f.fresh() {
		s.run.KettleID = kettles[0].Value
	}
	f.Pick("kettle", &s.run.KettleID, kettles, required)
	s.juice = a.kettleDraws(f, stocks, semis)
	page.Juice = s.juice
	before := len(f.Fields)
	if len(heels) > 0 {
		if len(kettles) == 1 && f.fresh() && s.left != nil {
			s.heel, s.heelVolume.Volume, s.heelVolume.Entered = s.left.RunID, s.left.Heel, s.left.HeelEntered
		}
		f.Pick("heel_from", &s.heel, heels, optional).Choices[0].Name = f.words.say("run.heel_none")
		f.Volume("heel_volume", &s.heelVolume.Volume, &s.heelVolume.Entered, optional)
	}
	if len(stocks) > 0 {
		f.Flag("amounts_estimated", &s.estimated)
	} else {
		page.None = f.words.say("kettle_page.no_juice")
	}
	f.moment("fire_lit_at", &s.run.FireLitAt)
	f.Text("note", &s.run.Note, 0, longText)
	f.DoneBy()
	page.Rest = f.Fields[before:]
	if len(kettles) == 0 {
		page.Full = f.words.say("kettle_page.no_free_kettle")
	}
	f.Cancel = "/kettle"
	return page, f.Err()
}

// freeKettles lists the kettles that are not on the fire, and the runs that may have left a heel in them. The kettle that
// was sent stays in the list: if somebody was faster the store says so.
func (a *App) freeKettles(ctx context.Context, f *form, s *runStart) (kettles, heels []Choice, err error) {
	boiling, err := a.boiling(ctx)
	if err != nil {
		return nil, nil, err
	}
	all, err := records.List[records.Kettle](ctx, a.store, "ORDER BY number")
	if err != nil {
		return nil, nil, err
	}
	s.heels = map[string]string{}
	for _, k := range all {
		if _, busy := boiling[k.ID]; busy && f.raw.Get("kettle") != k.ID {
			continue
		}
		kettles = append(kettles, Choice{Value: k.ID, Name: k.Name})
		left, err := records.HeelsOf(ctx, a.store, k.ID)
		if err != nil {
			return nil, nil, err
		}
		for i, run := range left {
			s.heels[run.ID] = run.Code
			name := f.words.say("kettle_page.in_kettle_word", "Code", run.Code, "Kettle", k.Name)
			end, err := a.heelSaid(ctx, run.ID)
			if err != nil {
				return nil, nil, err
			}
			if end != nil {
				name += ", " + f.words.heel(*end)
				if i == 0 && *end.Heel > 0 {
					s.left = end
				}
			}
			heels = append(heels, Choice{Value: run.ID, Name: name})
		}
	}
	return kettles, heels, nil
}

func (a *App) showStart(c *gin.Context) error {
	f := a.newForm(c, "run", "/kettle/new")
	page, err := a.startRunForm(c, f, &runStart{})
	if err != nil {
		return err
	}
	return a.show(c, "kettle/new", page)
}

// lightFire starts a run with the juice that is in the kettle.
func (a *App) lightFire(c *gin.Context) error {
	f, err := a.readForm(c, "run", "/kettle/new")
	if err != nil {
		return err
	}
	s := &runStart{}
	page, err := a.startRunForm(c, f, s)
	if err != nil {
		return err
	}
	s.needHeelVolume(f)
	if f.OK() {
		err := a.store.StartRun(c.Request.Context(), a.actor(c), &s.run, s.drawn())
		if err == nil {
			return a.redirect(c, runURL(s.run.ID), "kettle_page.started", "Code", s.run.Code)
		}
		if !s.take(f, err) {
			return err
		}
	}
	return a.redisplay(c, "kettle/new", page)
}

// needHeelVolume: a heel is not a part of what was drawn off, so how much it is has to be said.
func (s *runStart) needHeelVolume(f *form) {
	if field := f.named("heel_volume"); field != nil && s.heel != "" && s.heelVolume.Volume == nil {
		f.wrong(field, "invalid.required")
	}
	if field := f.named("heel_from"); field != nil && s.heel == "" && s.heelVolume.Volume != nil {
		f.wrong(field, "invalid.pick")
	}
}

// drawn is everything that goes into the kettle as the fire is lit.
func (s *runStart) drawn() []records.Draw {
	draws := ticked(s.juice, s.estimated)
	if s.heel != "" {
		heel := s.heelVolume
		heel.FromID, heel.Heel, heel.Estimated = s.heel, true, true
		draws = append(draws, heel)
	}
	return draws
}

// take puts refusals where they belong: a busy kettle at the kettle, what is said of a heel at the heel.
func (s *runStart) take(f *form, err error) bool {
	var conflict records.Conflict
	if errors.As(err, &conflict) && conflict.Key == "run.kettle_in_use" {
		f.wrong(f.named("kettle"), conflict.Key, conflict.Args...)
		return true
	}
	var faults, rest records.Invalid
	if !errors.As(err, &faults) {
		return false
	}
	for _, fault := range faults {
		switch field := f.named("heel_volume"); {
		case field != nil && fault.Field == "quantity" && len(fault.Args) > 1 && fault.Args[1] == s.heels[s.heel]:
			f.wrong(field, fault.Key, fault.Args...)
		case s.heel != "" && fault.Field == "from_id":
			f.wrong(f.named("heel_from"), fault.Key, fault.Args...)
		case fault.Field == "at":
			f.wrong(f.named("fire_lit_at"), fault.Key, fault.Args...)
		default:
			rest = append(rest, fault)
		}
	}
	return len(rest) == 0 || f.takeDraws(s.juice, rest)
}
