package app

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// shipPage is the form of a new shipment: whom to, how, and the bottles by product.
type shipPage struct {
	Page
	Heading     string
	Form        *form
	Head, Tail  []*Field
	Groups      []shipGroup
	NewCustomer string
	Nothing     string // said when no part is released
}

// shipGroup is the released parts of one product in one container, oldest first.
type shipGroup struct {
	What   string
	Fields []*Field
}

// shipmentForm serves a new shipment and amending; the bottles are lines of their own.
func shipmentForm(f *form, s *records.Shipment) {
	f.Pick("customer", &s.CustomerID, f.choices(records.KindCustomer), required)
	f.moment("at", &s.At)
	f.Text("how_packed", &s.HowPacked, 1, 200)
	f.OptionalPick("carrier", &s.CarrierID, f.choices(records.KindCarrier))
	f.Text("reference", &s.Reference, 0, 80)
	f.Text("note", &s.Note, 0, longText)
}

// shipFormPage binds the whole form and gives what leaves.
func (a *App) shipFormPage(f *form, s *records.Shipment, offered []records.OnShelf, first string) (*shipPage, []records.Units) {
	shipmentForm(f, s)
	f.Cancel = "/shelf"
	page := &shipPage{Heading: f.words.say("shipment.new"), Form: f, NewCustomer: "/house/customer/new"}
	page.Head, page.Tail = f.Fields[:3:3], f.Fields[3:len(f.Fields):len(f.Fields)]
	units := a.unitFields(f, page, offered, first)
	if len(offered) == 0 {
		page.Nothing = f.words.say("shipment.nothing_released")
	}
	return page, units
}

// unitFields asks for the bottles of each part. The part the person came from stands first.
func (a *App) unitFields(f *form, page *shipPage, offered []records.OnShelf, first string) []records.Units {
	var units []records.Units
	for _, p := range shipOrder(offered, first) {
		var n *int
		field := f.Count("units_"+p.ID, &n, 1, 1_000_000, optional)
		field.Label = partName(f.words, p)
		field.Unit = f.words.say("shipment.of_on_hand", "OnHand", p.OnHand)
		field.Required = true // the label says no "may stay blank" thirty times
		if n != nil && p.State == records.StateReleased && *n > p.OnHand {
			f.wrong(field, "part.not_enough", "OnHand", p.OnHand)
		}
		if n != nil {
			units = append(units, records.Units{PartID: p.ID, Count: *n})
		}
		if last := len(page.Groups) - 1; last >= 0 && page.Groups[last].What == p.What() {
			page.Groups[last].Fields = append(page.Groups[last].Fields, field)
			continue
		}
		page.Groups = append(page.Groups, shipGroup{What: p.What(), Fields: []*Field{field}})
	}
	return units
}

// shipOrder groups by product, oldest lot first; the product of the part asked for comes first, and that part before
// the others of it.
func shipOrder(offered []records.OnShelf, first string) []records.OnShelf {
	list := slices.Clone(offered)
	what := ""
	for _, p := range list {
		if p.ID == first {
			what = p.What()
		}
	}
	late := func(yes bool) int { return map[bool]int{true: 0, false: 1}[yes] }
	slices.SortStableFunc(list, func(a, b records.OnShelf) int {
		return cmp.Or(cmp.Compare(late(a.What() == what), late(b.What() == what)), cmp.Compare(a.What(), b.What()),
			cmp.Compare(late(a.ID == first), late(b.ID == first)))
	})
	return list
}

// offeredParts are the released parts with bottles on hand, and those of which something was typed nonetheless: the store
// says why they may not leave.
func (a *App) offeredParts(ctx context.Context, f *form) ([]records.OnShelf, error) {
	list, err := records.ShelfList(ctx, a.store, "")
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(list, func(p records.OnShelf) bool {
		typed := f.reading() && strings.TrimSpace(f.raw.Get("units_"+p.ID)) != ""
		return !typed && (p.State != records.StateReleased || p.OnHand <= 0)
	}), nil
}

func (a *App) showNewShipment(c *gin.Context) error {
	ctx := c.Request.Context()
	f := a.newForm(c, "shipment", "/shelf/shipment")
	s := &records.Shipment{At: a.store.Now(), CustomerID: c.Query("customer")}
	var err error
	if s.HowPacked, err = a.lastPacked(ctx, s.CustomerID); err != nil {
		return err
	}
	offered, err := a.offeredParts(ctx, f)
	if err != nil {
		return err
	}
	page, _ := a.shipFormPage(f, s, offered, c.Query("part"))
	if err := f.Err(); err != nil {
		return err
	}
	return a.show(c, "shelf/ship", page)
}

// lastPacked is how the newest shipment was packed, to the same customer where there is one.
func (a *App) lastPacked(ctx context.Context, customerID string) (string, error) {
	last, err := records.List[records.Shipment](ctx, a.store, "customer_id = ? ORDER BY at DESC, id DESC LIMIT 1", customerID)
	if err == nil && len(last) == 0 {
		last, err = records.List[records.Shipment](ctx, a.store, "ORDER BY at DESC, id DESC LIMIT 1")
	}
	if err != nil || len(last) == 0 {
		return "", err
	}
	return last[0].HowPacked, nil
}

func (a *App) createShipment(c *gin.Context) error {
	ctx := c.Request.Context()
	f, err := a.readForm(c, "shipment", "/shelf/shipment")
	if err != nil {
		return err
	}
	offered, err := a.offeredParts(ctx, f)
	if err != nil {
		return err
	}
	s := &records.Shipment{}
	page, units := a.shipFormPage(f, s, offered, "")
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Ship(ctx, a.actor(c), s, units)
		if made := madeBefore(err); made != "" {
			s.ID, err = made, nil
		}
		if status, err = a.finishForm(c, f, err, shipmentURL(s.ID), "shipment.kept"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.render(c, status, "shelf/ship", page)
}

// shipmentPage is one shipment: what left, what came back, what is still with them.
type shipmentPage struct {
	Page
	Heading, Word string
	Facts         []line
	Market        bool
	Rows          []shipmentRow
	Out, BackSum  int
	Still         int
	Entries       []ledgerLine
	Amend, Strike string
	Back, Return  *form
}

// shipmentRow is the bottles of one part.
type shipmentRow struct {
	Code, URL, What  string
	Out, Back, Still int
	Amend            string
}

func (a *App) showShipment(c *gin.Context) error {
	sheet, err := records.ShipmentOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	back, returned := a.backForms(c, sheet)
	return a.showShipmentPage(c, http.StatusOK, sheet, back, returned)
}

func (a *App) showShipmentPage(c *gin.Context, status int, sheet records.ShipmentSheet, back, returned *form) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w, s := v.words(), sheet.Shipment
	page := &shipmentPage{Heading: customerWords(w, sheet.Customer), Word: w.say("customer.sort." + sheet.Customer.Sort), Market: sheet.Market(),
		Out: sheet.Out(), BackSum: sheet.Back(), Still: sheet.Out() - sheet.Back(), Back: back, Return: returned}
	for _, l := range a.named(ctx, linesOf(w, &s)) {
		if !l.Missing || l.column == "carrier_id" {
			page.Facts = append(page.Facts, l)
		}
	}
	may := v.may(crew) && !s.Struck
	for _, l := range sheet.Lines {
		row := shipmentRow{Code: partName(w, l.Part), URL: partURL(l.Part.ID), What: l.Part.What(), Out: l.Out, Back: l.Back, Still: l.Still()}
		if may {
			row.Amend = "/shelf/line/" + l.Link.ID
		}
		page.Rows = append(page.Rows, row)
	}
	for _, e := range sheet.Entries {
		l, err := entryLine(w, e.ShelfEntry)
		if err != nil {
			return err
		}
		l.Name = partName(w, e.Part) + " · " + l.Name
		page.Entries = append(page.Entries, l)
	}
	if may {
		page.Amend, page.Strike = recordURL(s.ID)+"/amend", shipmentURL(s.ID)+"/strike"
	}
	var err error
	if page.Trail, err = a.trail(ctx, w, &s); err != nil {
		return err
	}
	return a.render(c, status, "shelf/shipment", page)
}

// listShipments lists them newest first.
func (a *App) listShipments(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	turn, start := readTurn(c)
	shipments, err := records.List[records.Shipment](ctx, a.store, "ORDER BY at DESC, id DESC LIMIT ? OFFSET ?", rowsPerPage+1, start)
	if err != nil {
		return err
	}
	page := &listPage{Heading: w.say("shipment.plural"), Empty: w.say("shipment.none"), Turn: turn}
	if v.may(crew) {
		page.New = "/shelf/shipment/new"
	}
	if len(shipments) > rowsPerPage {
		shipments = shipments[:rowsPerPage]
		page.Turn.After = pageAfter(c, start)
	}
	if page.Turn.Before != "" || page.Turn.After != "" {
		page.Turn.Shown = pageShown(start, len(shipments))
	}
	sheets, err := records.ShipmentSheets(ctx, a.store, shipments)
	if err != nil {
		return err
	}
	if page.Table, err = shipmentsTable(w, sheets, true); err != nil {
		return err
	}
	return a.show(c, "kind/list", page)
}
