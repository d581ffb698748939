package app

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// The quick forms of a run's page, by the last part of their addresses.
const (
	quickTemperature = "temperature"
	quickSkimming    = "skimming"
	quickReading     = "reading"
	quickCloth       = "cloth"
	quickAddition    = "addition"
	quickJuice       = "juice"
	quickNote        = "note"
	quickDrawnOff    = "drawn-off"
)

// quickKeys is every quick form, in the order of the page.
var quickKeys = []string{quickTemperature, quickReading, quickSkimming, quickAddition, quickNote, quickCloth, quickJuice, quickDrawnOff}

// entryOf is what a boil entry of a quick form says.
var entryOf = map[string]string{quickTemperature: records.EntryTemperature, quickSkimming: records.EntrySkimming,
	quickCloth: records.EntryCloth, quickNote: records.EntryNote, quickDrawnOff: records.EntryDrawnOff}

// laterFields are asked for less often: they stand under "more".
var laterFields = []string{"at", "done_by", "note", "volume", "instrument", "supply_lot", "temperature"}

// quickForm is one thing to write in the log: the fields a cook fills with wet hands, and the others.
type quickForm struct {
	Key, Title, Lead string
	Open             bool
	Form             *form
	Main, More       []*Field
	MoreOpen         bool
	Draws            []*drawField

	entry    *records.BoilEntry
	reading  *records.DensityReading
	addition *records.Addition
	tank     string
	at       time.Time // of more juice
}

// quickKind is the kind whose texts a quick form uses.
func quickKind(key string) string {
	switch key {
	case quickReading:
		return "density_reading"
	case quickAddition:
		return "addition"
	case quickJuice:
		return "link"
	}
	return "boil_entry"
}

// bindQuick binds one quick form, shown or read.
func (a *App) bindQuick(c *gin.Context, f *form, log records.BoilLog, key string) (*quickForm, error) {
	q := &quickForm{Key: key, Form: f, Title: f.words.say("kettle_page." + keyWord(key))}
	f.ID = key
	var err error
	switch key {
	case quickReading:
		err = a.bindReading(c, q, log)
	case quickAddition:
		q.addition = &records.Addition{ToID: log.Run.ID}
		additionForm(f, q.addition)
	case quickJuice:
		err = a.bindJuice(c, q)
	default:
		err = a.bindEntry(c, q, log)
	}
	if err != nil {
		return nil, err
	}
	f.DoneBy()
	q.split()
	return q, f.Err()
}

func (a *App) bindEntry(c *gin.Context, q *quickForm, log records.BoilLog) error {
	q.entry = &records.BoilEntry{RunID: log.Run.ID, What: entryOf[q.Key]}
	if q.Form.fresh() && (q.Key == quickTemperature || q.Key == quickDrawnOff) {
		last, err := a.lastThermometer(c.Request.Context(), log)
		if err != nil {
			return err
		}
		q.entry.InstrumentID = last
	}
	entryForm(q.Form, q.entry)
	if q.Form.reading() && q.entry.Temperature == nil {
		q.entry.InstrumentID = nil
	}
	if q.Key != quickDrawnOff {
		return nil
	}
	tanks, err := records.List[records.Tank](c.Request.Context(), a.store, "holds = ? ORDER BY name", records.HoldsSyrup)
	if err != nil {
		return err
	}
	choices := make([]Choice, len(tanks))
	for i, t := range tanks {
		choices[i] = Choice{Value: t.ID, Name: t.Name}
	}
	q.Form.Pick("tank", &q.tank, choices, optional).Choices[0].Name = q.Form.words.say("boil_entry.tank_none")
	if finish, err := records.FinishSolids(c.Request.Context(), a.store, log.Run.ID); err != nil || finish == nil {
		q.Lead = q.Form.words.say("kettle_page.finish_first")
		return err
	}
	return nil
}

// lastThermometer is the thermometer used last in this run, else in the house.
func (a *App) lastThermometer(ctx context.Context, log records.BoilLog) (*string, error) {
	for _, e := range slices.Backward(log.Entries) {
		if e.InstrumentID != nil {
			return e.InstrumentID, nil
		}
	}
	last, err := records.LastInstrument(ctx, a.store, records.KindBoilEntry, records.MeasuresTemperature)
	if err != nil || last == nil {
		return nil, err
	}
	return &last.ID, nil
}

// bindReading starts with the instrument last used and its scale; after the drawing off only a finish reading is left.
func (a *App) bindReading(c *gin.Context, q *quickForm, log records.BoilLog) error {
	q.reading = &records.DensityReading{OfID: log.Run.ID, Scale: syrup.ScaleBaume}
	if q.Form.fresh() {
		hand, err := a.inHand(c.Request.Context(), log)
		if err != nil {
			return err
		}
		if hand != nil {
			q.reading.InstrumentID = &hand.ID
			if hand.Scale != "" {
				q.reading.Scale = hand.Scale
			}
		}
		if log.DrawnOff != nil {
			q.reading.Stage = records.StageFinish
		}
	}
	readingForm(q.Form, q.reading)
	return nil
}

// inHand is the hydrometer or refractometer of the last reading of this run, else the one last used in the house.
func (a *App) inHand(ctx context.Context, log records.BoilLog) (*records.Instrument, error) {
	for _, r := range slices.Backward(log.Readings) {
		if r.InstrumentID != nil {
			instrument, err := records.Get[records.Instrument](ctx, a.store, *r.InstrumentID)
			return &instrument, err
		}
	}
	return lastReader(ctx, a.store)
}

// lastReader is the instrument of the last density reading in the house; where there was none, the only hydrometer.
func lastReader(ctx context.Context, src records.Source) (*records.Instrument, error) {
	last, err := records.LastInstrument(ctx, src, records.KindDensityReading, records.MeasuresDensity, records.MeasuresRefraction)
	if err != nil || last != nil {
		return last, err
	}
	return records.LastInstrument(ctx, src, records.KindDensityReading, records.MeasuresDensity)
}

func (a *App) bindJuice(c *gin.Context, q *quickForm) error {
	stocks, err := a.store.JuiceLeft(c.Request.Context())
	if err != nil {
		return err
	}
	if stocks, err = a.offered(c.Request.Context(), q.Form, stocks); err != nil {
		return err
	}
	q.Draws = q.Form.draws(stocks)
	if len(stocks) == 0 {
		q.Lead = q.Form.words.say("kettle_page.no_juice_left")
	}
	q.Form.moment("at", &q.at)
	return nil
}

// split keeps what is always asked apart from what is asked less often. What is the very matter of a form stays above.
func (q *quickForm) split() {
	above := map[string][]string{quickTemperature: {"temperature"}, quickNote: {"note"}, quickReading: {"temperature", "instrument"},
		quickDrawnOff: {"volume", "temperature"}, quickAddition: {"supply_lot"}, quickJuice: {}, quickSkimming: {}, quickCloth: {"supply_lot"}}[q.Key]
	for _, field := range q.Form.Fields[2*len(q.Draws):] {
		if slices.Contains(laterFields, field.Name) && !slices.Contains(above, field.Name) {
			q.More = append(q.More, field)
			q.MoreOpen = q.MoreOpen || field.Error != ""
		} else {
			q.Main = append(q.Main, field)
		}
	}
}

// quickForms are the forms of a run's page; one that was sent and is wrong takes the place of the empty one.
func (a *App) quickForms(c *gin.Context, log records.BoilLog, sent *quickForm) ([]*quickForm, error) {
	var forms []*quickForm
	for _, key := range quickKeys {
		if sent != nil && sent.Key == key {
			sent.Open = true
			forms = append(forms, sent)
			continue
		}
		if log.DrawnOff != nil && key != quickReading {
			continue
		}
		f := a.newForm(c, quickKind(key), runURL(log.Run.ID)+"/"+key+"#write")
		q, err := a.bindQuick(c, f, log, key)
		if err != nil {
			return nil, err
		}
		q.Open = sent == nil && key == quickTemperature
		forms = append(forms, q)
	}
	return forms, nil
}

// writeInLog takes one quick form: read, write, back to the run; or the page again with what is wrong.
func (a *App) writeInLog(key string) func(*gin.Context) error {
	return func(c *gin.Context) error {
		log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
		if err != nil {
			return err
		}
		f, err := a.readForm(c, quickKind(key), runURL(log.Run.ID)+"/"+key+"#write")
		if err != nil {
			return err
		}
		q, err := a.bindQuick(c, f, log, key)
		if err != nil {
			return err
		}
		if f.OK() {
			done, err := a.keepQuick(c, q)
			if err != nil {
				return err
			}
			if done != "" {
				return a.redirect(c, runURL(log.Run.ID), done)
			}
		}
		q.Main, q.More = nil, nil
		q.split()
		page, err := a.runPage(c, log, q)
		if err != nil {
			return err
		}
		return a.redisplay(c, "kettle/run", page)
	}
}

// keepQuick writes what a quick form took and gives the text to say; empty is a form to show again. A double tap was kept
// by its first tap.
func (a *App) keepQuick(c *gin.Context, q *quickForm) (string, error) {
	ctx, who := c.Request.Context(), a.actor(c)
	var err error
	switch {
	case q.Key == quickDrawnOff:
		err = a.store.DrawOff(ctx, who, q.entry, q.tank)
	case q.entry != nil:
		err = a.store.Write(ctx, who, q.entry)
	case q.reading != nil:
		err = a.store.Write(ctx, who, q.reading)
	case q.addition != nil:
		err = a.store.Write(ctx, who, q.addition)
	default:
		draws := ticked(q.Draws, false)
		if len(draws) == 0 {
			q.Form.Wrong = append(q.Form.Wrong, Wrong{Message: q.Form.words.say("mill_page.tick_one")})
			return "", nil
		}
		err = a.fillAll(c, c.Param("id"), draws, q.at)
	}
	switch {
	case err == nil && q.Key == quickDrawnOff:
		return "kettle_page.drawn_kept", nil
	case err == nil, errors.As(err, new(records.Already)):
		return "kettle_page.kept", nil
	case q.Form.takeDraws(q.Draws, err):
		return "", nil
	}
	return "", err
}
