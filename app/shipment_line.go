package app

import (
	"context"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// lineForm amends how many bottles of a part left with a shipment.
func lineForm(f *form, l *records.Link, why *string) {
	f.Count("units", &l.Units, 1, 1_000_000, required)
	reason := f.Text("why", why, 1, 400)
	reason.Label, reason.Help = f.words.say("record.why"), f.words.say("record.why.help")
	f.Submit = f.words.say("record.amend_submit")
	f.Cancel = shipmentURL(l.ToID)
}

// shippedLine is a line of a shipment; any other link is not found here.
func (a *App) shippedLine(ctx context.Context, id string) (records.Link, error) {
	l, err := records.Get[records.Link](ctx, a.store, id)
	if err == nil && (l.Units == nil || l.Struck) {
		err = records.ErrNotFound
	}
	return l, err
}

func (a *App) linePage(c *gin.Context, f *form, l records.Link) *formPage {
	ctx := c.Request.Context()
	return &formPage{Heading: f.words.say("shipment_line.title", "Code", records.Name(ctx, a.store, l.FromID)),
		Lead: f.words.say("record.amend_lead"), Form: f}
}

func (a *App) showLine(c *gin.Context) error {
	l, err := a.shippedLine(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	f := a.newForm(c, "shipment_line", "/shelf/line/"+l.ID)
	f.Revision = l.Revision
	lineForm(f, &l, new(string))
	return a.show(c, "kind/form", a.linePage(c, f, l))
}

func (a *App) amendLine(c *gin.Context) error {
	l, err := a.shippedLine(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "shipment_line", "/shelf/line/"+l.ID)
	if err != nil {
		return err
	}
	var why string
	lineForm(f, &l, &why)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		l.Revision = f.Revision
		err := a.store.AmendLine(c.Request.Context(), a.actor(c), &l, why)
		if status, err = a.finishForm(c, f, err, shipmentURL(l.ToID), "record.amended"); status == 0 {
			return err
		}
	}
	return a.render(c, status, "kind/form", a.linePage(c, f, l))
}

func strikeShipmentPage(f *form, s records.Shipment, why *string) *formPage {
	f.Text("why", why, 1, 400)
	f.Cancel = shipmentURL(s.ID)
	return &formPage{Heading: f.words.say("shipment.strike"), Lead: f.words.say("shipment.strike_lead"), Form: f}
}

// showStrikeShipment asks why: a shipment is struck with its lines, so that its bottles stand on the shelf again.
func (a *App) showStrikeShipment(c *gin.Context) error {
	s, err := records.Get[records.Shipment](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f := a.newForm(c, "strike", shipmentURL(s.ID)+"/strike")
	return a.show(c, "kind/form", strikeShipmentPage(f, s, new(string)))
}

func (a *App) strikeShipment(c *gin.Context) error {
	s, err := records.Get[records.Shipment](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "strike", shipmentURL(s.ID)+"/strike")
	if err != nil {
		return err
	}
	var why string
	page := strikeShipmentPage(f, s, &why)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.StrikeShipment(c.Request.Context(), a.actor(c), s.ID, why)
		if status, err = a.finishForm(c, f, err, recordURL(s.ID)+"/history", "record.was_struck"); status == 0 {
			return err
		}
	}
	return a.render(c, status, "kind/form", page)
}
