package app

import (
	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// fillSheet is what is asked once of a fill sheet.
type fillSheet struct {
	*typedSheet
	lot                records.Lot
	degrees, weights   string
	thermometer, scale *string
}

// fillCells are the cells of a row.
type fillCells struct{ at, which, number, bottle, closure, turned, gross, net, tank, note *Field }

// bindFillSheet binds a fill sheet, shown or read.
func (a *App) bindFillSheet(c *gin.Context, f *form, lot records.Lot) (*fillSheet, error) {
	ctx, w := c.Request.Context(), f.words
	started, _ := w.moment(lot.StartedAt)
	page := &typedPage{Heading: w.say("paper_fill.heading", "Code", records.PrintedCode(lot.Code)), Lead: w.say("paper_fill.lead", "When", started), Back: "/filler/" + lot.ID}
	var err error
	if page.Trail, err = a.trail(ctx, w, &lot); err != nil {
		return nil, err
	}
	s := &fillSheet{typedSheet: newSheet(f, page, lot.Day), lot: lot}
	f.DoneBy()
	f.Choice("degrees", &s.degrees, optional, "F", "C")
	f.Choice("weights", &s.weights, optional, "g", "oz")
	f.OptionalPick("thermometer", &s.thermometer, f.instruments(records.MeasuresTemperature, s.thermometer))
	f.OptionalPick("scale", &s.scale, f.instruments(records.MeasuresWeight, s.scale))
	head := len(f.Fields)
	for n := 1; n <= s.rows; n++ {
		s.row(n)
	}
	f.field("photo", "file", optional)
	s.close(head, 10)
	return s, f.Err()
}

// row binds one check; a blank row is nothing.
func (s *fillSheet) row(n int) {
	w := s.f.words
	k := fillCells{at: s.cell("at", "time", n)}
	k.which = s.choices(s.cell("which", "pick", n), w.say("paper_boil.which_as_above"), s.words("which", "same", "next")...)
	k.number, k.bottle = s.cell("bottle_number", "number", n), s.cell("bottle", "number", n)
	k.closure = s.choices(s.cell("closure_ok", "pick", n), w.say("paper_fill.closure_blank"), Choice{Value: "yes", Name: w.say("word.yes")}, Choice{Value: "no", Name: w.say("word.no")})
	k.turned, k.gross = s.cell("inverted_seconds", "number", n), s.cell("gross", "number", n)
	k.net, k.tank = s.cell("net_weight", "number", n), s.cell("tank_reading", "number", n)
	k.note = s.cell("note", "text", n)
	if !s.f.reading() || !filled(k.at, k.number, k.bottle, k.closure, k.turned, k.gross, k.net, k.tank, k.note) {
		return
	}
	wrong := len(s.f.Wrong)
	if check := s.check(k); len(s.f.Wrong) == wrong {
		s.out = append(s.out, records.SheetRow{Number: n, Fact: check})
	}
}

// check is what a row says.
func (s *fillSheet) check(k fillCells) *records.FillCheck {
	check := &records.FillCheck{LotID: s.lot.ID, At: s.moment(k.at, k.which), Note: k.note.Value}
	if k.note.Value != "" {
		s.f.text(k.note, &check.Note, 0, longText)
	}
	degrees, weights := []string{"F", "C"}, []string{"oz", "g"}
	grams := func(x float64, unit string) (syrup.Grams, error) {
		m, err := syrup.MassFrom(x, unit)
		return m.Grams(), err
	}
	check.Bottle, check.BottleEntered = quantityIn(s.typedSheet, k.bottle, degrees, s.degrees, syrup.TemperatureFrom)
	check.TankReading, check.TankEntered = quantityIn(s.typedSheet, k.tank, degrees, s.degrees, syrup.TemperatureFrom)
	check.Gross, check.GrossEntered = quantityIn(s.typedSheet, k.gross, weights, s.weights, grams)
	check.NetWeight, check.NetWeightEntered = quantityIn(s.typedSheet, k.net, weights, s.weights, grams)
	check.BottleNumber, check.InvertedSeconds = s.count(k.number, 1, 1e6), s.count(k.turned, 0, 3600)
	if k.closure.Value != "" {
		good := k.closure.Value == "yes"
		check.ClosureOK = &good
	}
	if check.Bottle != nil || check.TankReading != nil {
		check.InstrumentID = s.thermometer
	}
	if check.NetWeight != nil || check.Gross != nil {
		check.ScaleID = s.scale
	}
	if !check.At.IsZero() && check.At.Equal(s.lot.StartedAt.Truncate(60e9)) { // a sheet knows no seconds
		check.At = s.lot.StartedAt
	}
	return check
}

func (a *App) showFillSheet(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	s, err := a.bindFillSheet(c, a.newForm(c, "paper_fill", "/filler/"+lot.ID+"/paper"), lot)
	if err != nil {
		return err
	}
	return a.show(c, "paper/typed", s.page)
}

func (a *App) typeFillSheet(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	url := "/filler/" + lot.ID
	f, file, err := a.readPhotoForm(c, "paper_fill", url+"/paper")
	if err != nil {
		return err
	}
	if again, err := a.again(c, f); err != nil || again {
		return orGo(err, func() error { return a.redirect(c, url, "filler_page.check_kept") })
	}
	s, err := a.bindFillSheet(c, f, lot)
	if err != nil {
		return err
	}
	return a.keepSheet(c, s.typedSheet, file, lot.ID, url, "paper_fill.kept")
}
