package app

import (
	"errors"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// The ways a run may end otherwise than by drawing off syrup, by the last part of their addresses.
const (
	endHeld    = "held"
	endMoved   = "moved"
	endGivenUp = "given-up"
)

var endKeys = []string{endHeld, endMoved, endGivenUp}

// endRoutes are the lines of the route table of how a run ends otherwise.
func (a *App) endRoutes() []route {
	table := []route{{"GET", "/kettle/run/:id/end", reader, a.showEnd}}
	for _, key := range endKeys {
		table = append(table, route{"POST", "/kettle/run/:id/end/" + key, crew, a.endRun(key)})
	}
	return table
}

func endURL(id string) string { return runURL(id) + "/end" }

// endPage tells how a run ended, with its balance; while it boils, how else it may end.
type endPage struct {
	Page
	Code, Kettle, Run string
	Open              bool
	Ended             []string // lines
	Note              string
	Keeps             []string // how long semi-syrup keeps
	Forms             []*endForm
	Balance           []balanceLine
	Basis             string
}

// endForm is one way to end a run.
type endForm struct {
	Key, Title, Lead string
	Keeps            string
	None             string // why there is no form
	Open             bool
	Form             *form

	end        records.BoilEntry
	reading    records.DensityReading
	read       *float64
	unread     bool
	tank       string
	into, part string
}

func (a *App) showEnd(c *gin.Context) error {
	log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	page, err := a.endPage(c, log, nil)
	if err != nil {
		return err
	}
	return a.show(c, "kettle/end", page)
}

// endPage gathers the page; a form that was sent and is wrong takes the place of the empty one.
func (a *App) endPage(c *gin.Context, log records.BoilLog, sent *endForm) (*endPage, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	page := &endPage{Code: log.Run.Code, Kettle: log.Kettle.Name, Run: runURL(log.Run.ID), Open: log.DrawnOff == nil}
	var err error
	if page.Trail, err = a.trail(ctx, w, &log.Run); err != nil {
		return nil, err
	}
	if err := a.howEnded(ctx, w, log, page); err != nil {
		return nil, err
	}
	if err := a.runBalance(ctx, w, log, page); err != nil {
		return nil, err
	}
	if !v.may(crew) || log.Run.Struck {
		return page, nil
	}
	if !page.Open {
		if sent != nil { // somebody was faster: what was typed stays to be read
			page.Forms = []*endForm{sent}
		}
		return page, nil
	}
	for _, key := range endKeys {
		q := sent
		if sent == nil || sent.Key != key {
			if q, err = a.bindEnd(c, a.newForm(c, "run_end", endURL(log.Run.ID)+"/"+key+"#"+key), log, key); err != nil {
				return nil, err
			}
		}
		page.Forms = append(page.Forms, q)
	}
	return page, nil
}

// bindEnd binds one way to end a run, shown or read.
func (a *App) bindEnd(c *gin.Context, f *form, log records.BoilLog, key string) (*endForm, error) {
	f.ID = key
	word := keyWord(key)
	q := &endForm{Key: key, Form: f, Title: f.words.say("kettle_end." + word), Lead: f.words.say("kettle_end." + word + "_lead"), Open: f.reading() || f.asked.Get("open") == key}
	q.end.RunID = log.Run.ID
	var err error
	switch key {
	case endHeld:
		err = a.bindHeld(c, q, log)
	case endMoved:
		err = a.bindMoved(c, q, log)
	default:
		f.rename(f.LongText("note", &q.end.Note, 1, longText), f.words.say("run_end.reason"))
		amount := f.Volume("volume", &q.end.Volume, &q.end.VolumeEntered, optional)
		f.rename(amount, f.words.say("run_end.volume_poured"))
		amount.Help = ""
		f.Flag("estimated", &q.end.Estimated)
		f.moment("at", &q.end.At)
	}
	if err != nil {
		return nil, err
	}
	f.DoneBy()
	return q, f.Err()
}

// bindHeld asks what was read, how much it was, and where it stands.
func (a *App) bindHeld(c *gin.Context, q *endForm, log records.BoilLog) error {
	f := q.Form
	q.Keeps = f.words.say("semi_syrup.keeps")
	if err := a.bindEndReading(c, q, log); err != nil {
		return err
	}
	f.Volume("volume", &q.end.Volume, &q.end.VolumeEntered, optional)
	f.Flag("estimated", &q.end.Estimated)
	tanks, err := a.syrupTanks(c)
	if err != nil {
		return err
	}
	f.Pick("tank", &q.tank, tanks, optional).Choices[0].Name = f.words.say("run_end.tank_none")
	f.Text("note", &q.end.Note, 0, shortText)
	f.moment("at", &q.end.At)
	return a.mustRead(c, q, log)
}

// How much is moved.
const (
	moveAll  = "all"
	movePart = "part"
)

// lightPrefix stands before the id of a kettle whose fire is lit with what is moved.
const lightPrefix = "light-"

// bindMoved asks which kettle takes it, how much, and what was read.
func (a *App) bindMoved(c *gin.Context, q *endForm, log records.BoilLog) error {
	f := q.Form
	takers, err := a.takers(c, f, log)
	if err != nil {
		return err
	}
	if len(takers) == 0 {
		q.None = f.words.say("kettle_end.moved_none")
	}
	if len(takers) == 1 && f.fresh() {
		q.into = takers[0].Value
	}
	f.Pick("into", &q.into, takers, required)
	f.Choice("part", &q.part, required, moveAll, movePart)
	amount := f.Volume("volume", &q.end.Volume, &q.end.VolumeEntered, optional)
	if f.reading() && q.part == movePart && amount.Value == "" {
		f.wrong(amount, "kettle_end.how_much_part")
	}
	f.Flag("estimated", &q.end.Estimated)
	if err := a.bindEndReading(c, q, log); err != nil {
		return err
	}
	f.Text("note", &q.end.Note, 0, shortText)
	f.moment("at", &q.end.At)
	return a.mustRead(c, q, log)
}

// takers are the runs in other kettles that boil, then the other kettles that are free.
func (a *App) takers(c *gin.Context, f *form, log records.BoilLog) ([]Choice, error) {
	ctx := c.Request.Context()
	boiling, err := a.boiling(ctx)
	if err != nil {
		return nil, err
	}
	kettles, err := records.List[records.Kettle](ctx, a.store, "ORDER BY number")
	if err != nil {
		return nil, err
	}
	var lit, free []Choice
	for _, k := range kettles {
		if k.ID == log.Kettle.ID {
			continue
		}
		if run, busy := boiling[k.ID]; busy {
			lit = append(lit, Choice{Value: run.ID, Name: f.words.say("kettle_end.kettle_lit", "Code", run.Code, "Kettle", k.Name)})
		}
		if _, busy := boiling[k.ID]; !busy || f.raw.Get("into") == lightPrefix+k.ID {
			free = append(free, Choice{Value: lightPrefix + k.ID, Name: f.words.say("kettle_end.kettle_light", "Kettle", k.Name)})
		}
	}
	return append(lit, free...), nil
}

// bindEndReading asks what was read as it was taken out, with the instrument in hand.
func (a *App) bindEndReading(c *gin.Context, q *endForm, log records.BoilLog) error {
	f, d := q.Form, &q.reading
	d.Scale = syrup.ScaleBaume
	if f.fresh() {
		hand, err := a.inHand(c.Request.Context(), log)
		if err != nil {
			return err
		}
		if hand != nil {
			d.InstrumentID = &hand.ID
			if hand.Scale != "" {
				d.Scale = hand.Scale
			}
		}
	}
	field := onScales(f, &q.read, d, string(d.Scale), optional)
	f.Temperature("temperature", &d.Temperature, &d.TemperatureEntered, optional)
	f.OptionalPick("instrument", &d.InstrumentID, solidsInstruments(f, d.InstrumentID))
	f.Flag("unread", &q.unread)
	last, at, err := records.LastSolids(c.Request.Context(), a.store, log.Run.ID, f.now)
	if err == nil && last != nil && f.now.Sub(at) <= records.StaleReading {
		when, _ := f.words.clock(at)
		field.Help = f.words.say("kettle_end.last_stands", "Solids", f.words.solids(*last), "When", when)
	}
	return err
}

// mustRead asks for a reading where none of the last half hour stands, or the word that there is none.
func (a *App) mustRead(c *gin.Context, q *endForm, log records.BoilLog) error {
	f := q.Form
	if !f.reading() || f.named("reading").Error != "" {
		return nil
	}
	switch {
	case q.read != nil && q.unread:
		f.wrong(f.named("unread"), "kettle_end.read_not_both")
	case q.read == nil && !q.unread:
		last, at, err := records.LastSolids(c.Request.Context(), a.store, log.Run.ID, q.end.At)
		if err != nil {
			return err
		}
		if last == nil || q.end.At.Sub(at) > records.StaleReading {
			f.wrong(f.named("reading"), "kettle_end.read_or_say")
		}
	}
	return nil
}

// readAt is what was read; nil when nothing was.
func (q *endForm) readAt() *records.DensityReading {
	if q.read == nil {
		return nil
	}
	q.reading.Reading, q.reading.Scale = *q.read, syrup.Scale(q.Form.raw.Get("reading_unit"))
	return &q.reading
}

// endRun takes one way to end a run: read, write, on to where it went; or the page again with what is wrong.
func (a *App) endRun(key string) func(*gin.Context) error {
	return func(c *gin.Context) error {
		log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
		if err != nil {
			return err
		}
		f, err := a.readForm(c, "run_end", endURL(log.Run.ID)+"/"+key+"#"+key)
		if err != nil {
			return err
		}
		q, err := a.bindEnd(c, f, log, key)
		if err != nil {
			return err
		}
		if f.OK() {
			went, said, args, err := a.keepEnd(c, q)
			var conflict records.Conflict
			switch {
			case err == nil:
				return a.redirect(c, went, said, args...)
			case errors.As(err, new(records.Already)):
				return a.redirect(c, runURL(log.Run.ID), "kettle_page.kept")
			case errors.As(err, &conflict):
				f.Wrong = append(f.Wrong, Wrong{Message: f.words.say(conflict.Key, conflict.Args...)})
			case !q.take(err):
				return err
			}
			if log, err = records.BoilLogOf(c.Request.Context(), a.store, log.Run.ID); err != nil {
				return err
			}
		}
		page, err := a.endPage(c, log, q)
		if err != nil {
			return err
		}
		return a.redisplay(c, "kettle/end", page)
	}
}

// keepEnd writes what was sent, and tells where to go and what to say.
func (a *App) keepEnd(c *gin.Context, q *endForm) (went, said string, args []any, err error) {
	ctx, who := c.Request.Context(), a.actor(c)
	went = runURL(q.end.RunID)
	switch q.Key {
	case endHeld:
		return endURL(q.end.RunID), "kettle_end.held_kept", nil, a.store.HoldSemiSyrup(ctx, who, &q.end, q.readAt(), q.tank)
	case endGivenUp:
		return endURL(q.end.RunID), "kettle_end.given_up_kept", nil, a.store.GiveUp(ctx, who, &q.end)
	}
	m := records.Move{FromID: q.end.RunID, At: q.end.At, All: q.part == moveAll, Volume: q.end.Volume, Entered: q.end.VolumeEntered,
		Estimated: q.end.Estimated, IntoID: q.into, Reading: q.readAt(), Note: q.end.Note}
	if kettle, light := strings.CutPrefix(q.into, lightPrefix); light {
		m.IntoID, m.Light = "", &records.Run{KettleID: kettle, FireLitAt: m.At}
	}
	if err = a.store.MoveToKettle(ctx, who, m); err != nil {
		return "", "", nil, err
	}
	if m.Light != nil {
		m.IntoID = m.Light.ID
	}
	return went, "kettle_end.moved_kept", []any{"Code", records.Name(ctx, a.store, m.IntoID)}, nil
}

// take puts the store's refusals at their fields: what is said of an amount at the amount, of a taker at the kettle.
func (q *endForm) take(err error) bool {
	var faults records.Invalid
	if !errors.As(err, &faults) {
		return false
	}
	for i, fault := range faults {
		switch fault.Field {
		case "quantity":
			faults[i].Field = "volume"
		case "from_id", "kettle_id":
			faults[i].Field = "into"
		}
	}
	return q.Form.take(faults)
}

// keepingOf says how long semi-syrup held since a moment may be expected to keep.
func (w words) keepingOf(solids *syrup.Brix, held time.Duration) string {
	return w.say("semi_syrup.keeps." + hazards.KeepingOf(solids, held))
}
