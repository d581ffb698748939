package app

import (
	"slices"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// boilSheet is what is asked once of a boil sheet.
type boilSheet struct {
	*typedSheet
	run                     records.Run
	degrees, scale, volumes string
	thermometer, instrument *string
	tank                    string
	estimated               bool
	drawn                   bool
}

// What a row of a boil sheet may say; a density reading is said by its stage.
var boilWords = []string{records.EntryTemperature, records.EntrySkimming, records.StageBoil, records.StageFinish, records.EntryCloth, records.EntryNote,
	records.EntryFireOut, records.EntryRelit, records.EntryDrawnOff}

// boilCells are the cells of a row.
type boilCells struct{ at, which, what, temperature, reading, volume, note *Field }

// bindBoilSheet binds a boil sheet, shown or read.
func (a *App) bindBoilSheet(c *gin.Context, f *form, log records.BoilLog) (*boilSheet, error) {
	ctx, w := c.Request.Context(), f.words
	lit, _ := w.moment(log.Run.FireLitAt)
	page := &typedPage{Heading: w.say("paper_boil.heading", "Code", log.Run.Code), Back: runURL(log.Run.ID),
		Lead: w.say("paper_boil.lead", "When", lit) + " " + w.say("paper_boil.additions")}
	var err error
	if page.Trail, err = a.trail(ctx, w, &log.Run); err != nil {
		return nil, err
	}
	s := &boilSheet{typedSheet: newSheet(f, page, records.DayOf(log.Run.FireLitAt, w.zone())), run: log.Run}
	if f.fresh() {
		if s.thermometer, err = a.lastThermometer(ctx, log); err != nil {
			return nil, err
		}
		if hand, err := a.inHand(ctx, log); err != nil {
			return nil, err
		} else if hand != nil {
			s.instrument = &hand.ID
		}
	}
	f.DoneBy()
	f.Choice("degrees", &s.degrees, optional, "F", "C")
	f.Choice("scale", &s.scale, optional, string(syrup.ScaleBaume), string(syrup.ScaleBrix))
	f.Choice("volumes", &s.volumes, optional, "gal", "L")
	f.OptionalPick("thermometer", &s.thermometer, f.instruments(records.MeasuresTemperature, s.thermometer))
	f.OptionalPick("instrument", &s.instrument, solidsInstruments(f, s.instrument))
	head := len(f.Fields)
	for n := 1; n <= s.rows; n++ {
		s.row(n)
	}
	if log.DrawnOff == nil {
		if err := a.bindDrawn(c, s); err != nil {
			return nil, err
		}
	}
	f.field("photo", "file", optional)
	s.close(head, 7)
	return s, f.Err()
}

// bindDrawn asks of the drawing off what no row has room for.
func (a *App) bindDrawn(c *gin.Context, s *boilSheet) error {
	tanks, err := a.syrupTanks(c)
	if err != nil {
		return err
	}
	s.f.Pick("tank", &s.tank, tanks, optional).Choices[0].Name = s.f.words.say("boil_entry.tank_none")
	s.f.Flag("estimated", &s.estimated)
	for i, row := range s.out {
		if e, ok := row.Fact.(*records.BoilEntry); ok && e.What == records.EntryDrawnOff {
			s.out[i].TankID, e.Estimated = s.tank, s.estimated
		}
	}
	return nil
}

// row binds one row; a blank one is nothing.
func (s *boilSheet) row(n int) {
	w := s.f.words
	k := boilCells{at: s.cell("at", "time", n)}
	k.which = s.choices(s.cell("which", "pick", n), w.say("paper_boil.which_as_above"), s.words("which", "same", "next")...)
	k.what = s.choices(s.cell("what", "pick", n), w.say("form.choose"), s.words("what", boilWords...)...)
	k.temperature, k.reading, k.volume = s.cell("temperature", "number", n), s.cell("reading", "number", n), s.cell("volume", "number", n)
	k.note = s.cell("note", "text", n)
	if !s.f.reading() || !filled(k.at, k.what, k.temperature, k.reading, k.volume, k.note) {
		return
	}
	if fact := s.fact(k); fact != nil {
		s.out = append(s.out, records.SheetRow{Number: n, Fact: fact})
	}
}

// fact is what a row says; nil where it is wrong.
func (s *boilSheet) fact(k boilCells) records.Fact {
	f, wrong := s.f, len(s.f.Wrong)
	at := s.moment(k.at, k.which)
	if k.what.Value == "" {
		f.wrong(k.what, "paper.no_what")
	}
	note := k.note.Value
	if k.note.Value != "" {
		f.text(k.note, &note, 0, longText)
	}
	temperature, typedTemperature := quantityIn(s.typedSheet, k.temperature, []string{"F", "C"}, s.degrees, syrup.TemperatureFrom)
	volume, typedVolume := quantityIn(s.typedSheet, k.volume, []string{"gal", "L"}, s.volumes, syrup.VolumeFrom)
	s.onlyWhatFits(k)
	if what := k.what.Value; what == records.StageBoil || what == records.StageFinish {
		d := &records.DensityReading{OfID: s.run.ID, At: at, Stage: what, Temperature: temperature, TemperatureEntered: typedTemperature,
			InstrumentID: s.instrument, Note: note}
		s.reading(d, k.reading)
		if temperature != nil {
			d.ThermometerID = s.thermometer
		}
		if len(f.Wrong) > wrong {
			return nil
		}
		return d
	}
	e := &records.BoilEntry{RunID: s.run.ID, At: at, What: k.what.Value, Temperature: temperature, TemperatureEntered: typedTemperature,
		Volume: volume, VolumeEntered: typedVolume, Note: note}
	if temperature != nil {
		e.InstrumentID = s.thermometer
	}
	if e.What == records.EntryDrawnOff && s.drawn {
		f.wrong(k.what, "paper.drawn_twice")
	}
	s.drawn = s.drawn || e.What == records.EntryDrawnOff
	if len(f.Wrong) > wrong {
		return nil
	}
	return e
}

// reading reads the figure of a density reading in the scale of the sheet.
func (s *boilSheet) reading(d *records.DensityReading, field *Field) {
	if field.Value == "" {
		s.f.wrong(field, "invalid.required")
		return
	}
	x, scale := s.figure(field, []string{"Be", "Bx"}, s.scale)
	if x == nil {
		return
	}
	if err := onScale(*x, syrup.Scale(scale)); err != nil {
		s.f.wrongNumber(field, err)
		return
	}
	d.Reading, d.Scale, d.ReadingEntered = *x, syrup.Scale(scale), plainNumber(*x)+" "+scale
}

// onlyWhatFits refuses a figure that the row's word has no place for: it would be lost.
func (s *boilSheet) onlyWhatFits(k boilCells) {
	what := k.what.Value
	if what == "" {
		return
	}
	refuse := func(field *Field, fits ...string) {
		if field.Value != "" && !slices.Contains(fits, what) {
			s.f.wrong(field, "paper.not_for", "What", s.f.words.say("paper_boil.what."+keyWord(what)))
		}
	}
	refuse(k.temperature, records.EntryTemperature, records.EntrySkimming, records.StageBoil, records.StageFinish, records.EntryDrawnOff)
	refuse(k.reading, records.StageBoil, records.StageFinish)
	refuse(k.volume, records.EntryTemperature, records.EntryDrawnOff)
}

func (a *App) showBoilSheet(c *gin.Context) error {
	log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	s, err := a.bindBoilSheet(c, a.newForm(c, "paper_boil", runURL(log.Run.ID)+"/paper"), log)
	if err != nil {
		return err
	}
	return a.show(c, "paper/typed", s.page)
}

func (a *App) typeBoilSheet(c *gin.Context) error {
	log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, file, err := a.readPhotoForm(c, "paper_boil", runURL(log.Run.ID)+"/paper")
	if err != nil {
		return err
	}
	if again, err := a.again(c, f); err != nil || again {
		return orGo(err, func() error { return a.redirect(c, runURL(log.Run.ID), "kettle_page.kept") })
	}
	s, err := a.bindBoilSheet(c, f, log)
	if err != nil {
		return err
	}
	return a.keepSheet(c, s.typedSheet, file, log.Run.ID, runURL(log.Run.ID), "paper_boil.kept")
}

// orGo is the error, or what is done without one.
func orGo(err error, do func() error) error {
	if err != nil {
		return err
	}
	return do()
}
