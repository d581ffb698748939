package app

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// backForms are the two ways bottles come back, while some are out: unsold from a market day onto the shelf, and
// returned by a customer into a held part.
func (a *App) backForms(c *gin.Context, sheet records.ShipmentSheet) (back, returned *form) {
	if !visitorOf(c).may(crew) || sheet.Out() == sheet.Back() {
		return nil, nil
	}
	if sheet.Market() {
		back = a.newForm(c, "shelf_back", shipmentURL(sheet.Shipment.ID)+"/back")
		a.backFields(back, sheet)
	}
	returned = a.newForm(c, "shelf_return", shipmentURL(sheet.Shipment.ID)+"/return")
	returnFields(returned, sheet, &records.ShelfEntry{At: a.store.Now()})
	return back, returned
}

// backFields asks for the unsold bottles of each line and gives the entries typed.
func (a *App) backFields(f *form, sheet records.ShipmentSheet) []records.Fact {
	at := a.store.Now()
	f.moment("at", &at)
	var entries []records.Fact
	for _, l := range sheet.Lines {
		if l.Still() == 0 && !f.reading() {
			continue
		}
		var n *int
		field := f.Count("units_"+l.Part.ID, &n, 0, 1_000_000, optional)
		field.Label = partName(f.words, l.Part) + ", " + l.Part.What()
		field.Unit, field.Required = f.words.say("shelf_back.of_out", "Out", l.Still()), true
		if n == nil || *n == 0 {
			continue
		}
		if *n > l.Still() {
			f.wrong(field, "shelf.more_than_out", "Out", l.Still())
			continue
		}
		id := sheet.Shipment.ID
		entries = append(entries, &records.ShelfEntry{What: records.ShelfBack, PartID: l.Part.ID, Units: *n, ShipmentID: &id, At: at})
	}
	if f.reading() && f.OK() && len(entries) == 0 {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("shelf_back.nothing")})
	}
	for _, e := range entries {
		e.(*records.ShelfEntry).At = at
	}
	return entries
}

// takeBack writes what came back unsold from a market day, all lines in one writing. What did not come back was sold.
func (a *App) takeBack(c *gin.Context) error {
	sheet, err := records.ShipmentOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	at := shipmentURL(sheet.Shipment.ID)
	f, err := a.readForm(c, "shelf_back", at+"/back")
	if err != nil {
		return err
	}
	entries := a.backFields(f, sheet)
	if !sheet.Market() {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("shelf_back.only_market")})
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Write(c.Request.Context(), a.actor(c), entries...)
		if status, err = a.finishForm(c, f, err, at, "shelf_back.kept"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	_, returned := a.backForms(c, sheet)
	return a.showShipmentPage(c, status, sheet, f, returned)
}

// returnFields asks which bottles a customer gave back; where the shipment had one part, that is known.
func returnFields(f *form, sheet records.ShipmentSheet, e *records.ShelfEntry) {
	var lines []Choice
	for _, l := range sheet.Lines {
		if l.Still() > 0 || f.reading() {
			lines = append(lines, Choice{Value: l.Part.ID, Name: partName(f.words, l.Part) + ", " + l.Part.What()})
		}
	}
	if len(lines) == 1 && !f.reading() {
		e.PartID = lines[0].Value
	}
	f.Pick("part", &e.PartID, lines, required)
	f.Whole("units", &e.Units, 1, 1_000_000)
	f.moment("at", &e.At)
	f.Text("note", &e.Note, 0, longText)
}

// takeReturn writes bottles a customer gave back: they become a held part of their lot.
func (a *App) takeReturn(c *gin.Context) error {
	ctx := c.Request.Context()
	sheet, err := records.ShipmentOf(ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	at := shipmentURL(sheet.Shipment.ID)
	f, err := a.readForm(c, "shelf_return", at+"/return")
	if err != nil {
		return err
	}
	e := &records.ShelfEntry{ShipmentID: &sheet.Shipment.ID}
	returnFields(f, sheet, e)
	units, status := e.Units, http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Return(ctx, a.actor(c), e)
		if status, err = a.finishForm(c, f, err, at, "shelf_return.kept", "Count", units); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	back, _ := a.backForms(c, sheet)
	return a.showShipmentPage(c, status, sheet, back, f)
}
