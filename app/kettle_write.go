package app

import (
	"context"
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
	quickPhoto       = "photo"
	quickFireOut     = "fire-out"
	quickRelit       = "relit"
	quickDrawnOff    = "drawn-off"
)

// quickKeys is every quick form, in the order of the page.
var quickKeys = []string{quickTemperature, quickReading, quickSkimming, quickCloth, quickAddition, quickNote, quickPhoto, quickJuice,
	quickFireOut, quickRelit, quickDrawnOff}

// tapKeys are the quick forms that one tap keeps: nothing has to be typed.
var tapKeys = []string{quickSkimming, quickCloth, quickFireOut, quickRelit}

// entryOf is what a boil entry of a quick form says.
var entryOf = map[string]string{quickTemperature: records.EntryTemperature, quickSkimming: records.EntrySkimming,
	quickCloth: records.EntryCloth, quickNote: records.EntryNote, quickPhoto: records.EntryPhoto,
	quickFireOut: records.EntryFireOut, quickRelit: records.EntryRelit, quickDrawnOff: records.EntryDrawnOff}

// laterFields are asked for less often: they stand under "more".
var laterFields = []string{"done_by", "note", "volume", "instrument", "thermometer", "supply_lot", "temperature"}

// quickForm is one thing to write in the log: the fields a cook fills with wet hands, and the others.
type quickForm struct {
	Key, Title, Lead string
	Open             bool
	Tap              bool // one tap keeps it
	Hidden           bool // does not fit now: the fire is out, or burns
	Ends             bool // ends the run: asked once more
	Form             *form
	Main, More       []*Field
	MoreOpen         bool
	When             *whenField
	Photo            *Field
	Draws            []*drawField

	entry    *records.BoilEntry
	reading  *records.DensityReading
	addition *records.Addition
	tank     string
	at       time.Time // of more juice
	file     *sentFile // the photo
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
	q := &quickForm{Key: key, Form: f, Title: f.words.say("kettle_page." + keyWord(key)), Tap: slices.Contains(tapKeys, key), Ends: key == quickDrawnOff}
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
	if q.Key == quickPhoto {
		q.Form.field("photo", "file", required)
	}
	entryForm(q.Form, q.entry)
	if q.Form.reading() && q.entry.Temperature == nil {
		q.entry.InstrumentID = nil
	}
	if q.Key != quickDrawnOff {
		return nil
	}
	tanks, err := a.syrupTanks(c)
	if err != nil {
		return err
	}
	q.Form.Pick("tank", &q.tank, tanks, optional).Choices[0].Name = q.Form.words.say("boil_entry.tank_none")
	if finish, err := records.FinishSolids(c.Request.Context(), a.store, log.Run.ID); err != nil || finish == nil {
		q.Lead = q.Form.words.say("kettle_page.finish_first")
		return err
	}
	return nil
}

// syrupTanks are the tanks that hold syrup, to choose from.
func (a *App) syrupTanks(c *gin.Context) ([]Choice, error) {
	tanks, err := records.List[records.Tank](c.Request.Context(), a.store, "holds = ? ORDER BY name", records.HoldsSyrup)
	if err != nil {
		return nil, err
	}
	choices := make([]Choice, len(tanks))
	for i, t := range tanks {
		choices[i] = Choice{Value: t.ID, Name: t.Name}
	}
	return choices, nil
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
		if q.reading.ThermometerID, err = a.lastThermometer(c.Request.Context(), log); err != nil {
			return err
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
	stocks, semis, err := a.forKettle(c.Request.Context(), q.Form)
	if err != nil {
		return err
	}
	q.Draws = a.kettleDraws(q.Form, stocks, semis)
	if len(stocks) == 0 {
		q.Lead = q.Form.words.say("kettle_page.no_juice_left")
	}
	q.Form.moment("at", &q.at)
	return nil
}

// split keeps what is always asked apart from what is asked less often. What is the very matter of a form stays above.
func (q *quickForm) split() {
	above := map[string][]string{quickTemperature: {"temperature"}, quickNote: {"note"}, quickReading: {"temperature", "instrument"},
		quickDrawnOff: {"volume", "temperature"}, quickAddition: {"supply_lot"}}[q.Key]
	for _, field := range q.Form.Fields[2*len(q.Draws):] {
		if q.apart(field) {
			continue
		}
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
	out := log.FireAt(a.store.Now()).Out
	for _, key := range quickKeys {
		if sent != nil && sent.Key == key {
			sent.Open = true
			forms = append(forms, sent)
			continue
		}
		if log.DrawnOff != nil && key == quickDrawnOff {
			continue
		}
		f := a.newForm(c, quickKind(key), runURL(log.Run.ID)+"/"+key+"#write")
		q, err := a.bindQuick(c, f, log, key)
		if err != nil {
			return nil, err
		}
		q.Hidden = log.DrawnOff == nil && (key == quickFireOut && out || key == quickRelit && !out)
		forms = append(forms, q)
	}
	return forms, nil
}
