package app

import (
	"cmp"
	"errors"
	"net/http"
	"net/url"
	"slices"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// shelfRoutes are the shelf's: parts, shipments and who has them.
func (a *App) shelfRoutes() []route {
	return []route{
		{"GET", "/shelf", reader, a.showShelf},
		{"GET", "/shelf/part/:id", reader, a.showPart},
		{"POST", "/shelf/part/:id", crew, a.createShelfEntry},
		{"POST", "/shelf/part/:id/hold", crew, a.holdPart},
		{"POST", "/shelf/part/:id/divide", crew, a.dividePart},
		{"GET", "/shelf/customer", reader, a.listCustomers},
		{"GET", "/shelf/customer/:id", reader, a.showCustomer},
		{"GET", "/shelf/shipment", reader, a.listShipments},
		{"GET", "/shelf/shipment/new", crew, a.showNewShipment},
		{"POST", "/shelf/shipment", crew, a.createShipment},
		{"GET", "/shelf/shipment/:id", reader, a.showShipment},
		{"POST", "/shelf/shipment/:id/back", crew, a.takeBack},
		{"POST", "/shelf/shipment/:id/return", crew, a.takeReturn},
		{"GET", "/shelf/shipment/:id/strike", crew, a.showStrikeShipment},
		{"POST", "/shelf/shipment/:id/strike", crew, a.strikeShipment},
		{"GET", "/shelf/line/:id", crew, a.showLine},
		{"POST", "/shelf/line/:id", crew, a.amendLine},
	}
}

// shelfKinds are the records of the shelf that are amended through their own forms.
func shelfKinds() []*kindPage {
	own := func(order string) kindPage { return kindPage{See: reader, Write: crew, Order: order} }
	return []*kindPage{
		simple(own("at DESC, id DESC"), shipmentForm, nil, nil),
		simple(own("at DESC, id DESC"), shelfEntryForm, nil, nil),
		simple(own("received_at DESC, id DESC"), complaintForm, nil, nil),
	}
}

// shelfPage lists parts by state.
type shelfPage struct {
	Page
	States []shelfFilter
	Every  string // address of every product, while the list is narrowed to one
	Totals []shelfTotal
	Groups []shelfGroup
	Ship   string // address of a new shipment; empty for who may not
	Empty  string
}

// shelfFilter is one way to narrow the list.
type shelfFilter struct {
	Name, URL string
	Here      bool
}

// shelfTotal is what there is of one product in one container.
type shelfTotal struct {
	What, URL      string
	Here           bool // the list is narrowed to it
	Released, Held int
}

// shelfGroup is the parts of one state.
type shelfGroup struct {
	Title, Word string
	OnHand      int
	Rows        []shelfRow
}

// shelfRow is one part.
type shelfRow struct {
	Code, URL, What, Filled string
	OnHand, Of              int
	Filling                 bool   // not counted yet
	Counted                 string // what a count on the shelf found that the records don't say
}

// shelfOrder is the order of the states on the shelf: what asks for something first.
var shelfOrder = []string{records.StateRecalled, records.StateHeld, records.StateFilling, records.StateReleased, records.StateReworked, records.StateDestroyed}

// What the list may be narrowed to beside one state: what is here, what is gone, everything.
const (
	shelfHere = "here"
	shelfGone = "gone"
	shelfAll  = "all"
)

func (a *App) showShelf(c *gin.Context) error {
	v := visitorOf(c)
	list, err := records.ShelfList(c.Request.Context(), a.store, "")
	if err != nil {
		return err
	}
	state, what := c.DefaultQuery("state", shelfHere), c.Query("what")
	page := &shelfPage{States: shelfStates(v.words(), state, what),
		Totals: shelfTotals(list, state, what), Empty: v.words().say("shelf_page.empty")}
	if what != "" {
		page.Every = shelfURL(state, "")
	}
	if v.may(crew) {
		page.Ship = "/shelf/shipment/new"
	}
	if page.Groups, err = shelfGroups(v.words(), list, state, what); err != nil {
		return err
	}
	return a.show(c, "shelf/shelf", page)
}

func shelfURL(state, what string) string {
	query := url.Values{}
	if state != shelfHere {
		query.Set("state", state)
	}
	if what != "" {
		query.Set("what", what)
	}
	if len(query) == 0 {
		return "/shelf"
	}
	return "/shelf?" + query.Encode()
}

func shelfStates(w words, state, what string) []shelfFilter {
	var filters []shelfFilter
	for _, s := range []string{shelfHere, records.StateReleased, records.StateHeld, records.StateRecalled, shelfGone, shelfAll} {
		filters = append(filters, shelfFilter{w.say("shelf_page." + s), shelfURL(s, what), s == state})
	}
	return filters
}

// shelfTotals adds up what there is by product and container; each narrows the list to itself.
func shelfTotals(list []records.OnShelf, state, what string) []shelfTotal {
	at := map[string]int{}
	var totals []shelfTotal
	for _, p := range list {
		i, ok := at[p.What()]
		if !ok {
			i = len(totals)
			at[p.What()] = i
			totals = append(totals, shelfTotal{What: p.What(), URL: shelfURL(state, p.What()), Here: p.What() == what})
		}
		if p.State == records.StateReleased {
			totals[i].Released += p.OnHand
		} else if p.State != records.StateFilling {
			totals[i].Held += p.OnHand
		}
	}
	slices.SortFunc(totals, func(a, b shelfTotal) int { return cmp.Compare(a.What, b.What) })
	return totals
}

// onShelfList tells whether a part is in the narrowed list.
func onShelfList(p records.OnShelf, state, what string) bool {
	if what != "" && p.What() != what {
		return false
	}
	switch state {
	case shelfAll:
		return true
	case shelfHere:
		return p.OnHand > 0 || p.State == records.StateFilling
	case shelfGone:
		return p.OnHand <= 0 && p.State != records.StateFilling
	}
	return p.State == state
}

func shelfGroups(w words, list []records.OnShelf, state, what string) ([]shelfGroup, error) {
	byState := map[string]*shelfGroup{}
	for _, p := range list {
		if !onShelfList(p, state, what) {
			continue
		}
		row, err := shelfRowOf(w, p)
		if err != nil {
			return nil, err
		}
		g := byState[p.State]
		if g == nil {
			g = &shelfGroup{Title: w.say("shelf_page.group." + p.State), Word: p.State}
			byState[p.State] = g
		}
		g.Rows, g.OnHand = append(g.Rows, row), g.OnHand+p.OnHand
	}
	var groups []shelfGroup
	for _, s := range shelfOrder {
		if g := byState[s]; g != nil {
			groups = append(groups, *g)
		}
	}
	return groups, nil
}

func shelfRowOf(w words, p records.OnShelf) (shelfRow, error) {
	day, err := w.day(p.Lot.StartedAt)
	return shelfRow{Code: partName(w, p), URL: partURL(p.ID), What: p.What(), Filled: day, OnHand: p.OnHand, Of: p.Filled,
		Filling: p.State == records.StateFilling, Counted: countWords(w, p.PartShelf)}, err
}

// partName is the lot code, with the part's number and its bottles where a lot has several.
func partName(w words, p records.OnShelf) string {
	code, bottles := records.PrintedCode(p.LotCode), bottlesWords(w, p.PartShelf)
	if p.Number == 1 && bottles == "" {
		return code
	}
	name := w.say("shelf_page.part", "Code", code, "Number", p.Number)
	if bottles != "" {
		name += ", " + bottles
	}
	return name
}

// bottlesWords says which bottles of the lot a part is; empty while the lot is not divided.
func bottlesWords(w words, p records.PartShelf) string {
	if p.FirstBottle == nil || p.LastBottle == nil {
		return ""
	}
	key := "divide.bottles"
	switch _, _, exact := p.Numbers(); {
	case !exact:
		key = "divide.some_of"
	case *p.FirstBottle == *p.LastBottle:
		key = "divide.bottle"
	}
	return w.say(key, "First", *p.FirstBottle, "Last", *p.LastBottle)
}

// countWords says how a count differs from the records; empty when it does not, or nobody counted.
func countWords(w words, p records.PartShelf) string {
	switch {
	case p.Counted == nil || p.CountOff == 0:
		return ""
	case p.CountOff < 0:
		return w.say("shelf_page.fewer", "Off", -p.CountOff)
	}
	return w.say("shelf_page.more", "Off", p.CountOff)
}

func partURL(id string) string     { return "/shelf/part/" + url.PathEscape(id) }
func shipmentURL(id string) string { return "/shelf/shipment/" + url.PathEscape(id) }
func customerURL(id string) string { return "/shelf/customer/" + url.PathEscape(id) }

// shelfPageOf is the page of a record that this area shows; empty for others. What came back stands with its shipment.
func shelfPageOf(fact records.Fact) string {
	switch f := fact.(type) {
	case *records.Shipment:
		return shipmentURL(f.ID)
	case *records.Customer:
		return customerURL(f.ID)
	case *records.Complaint:
		return complaintURL(f.ID)
	case *records.ShelfEntry:
		if f.ShipmentID != nil {
			return shipmentURL(*f.ShipmentID)
		}
		return partURL(f.PartID)
	}
	return ""
}

// finishForm ends a POST: what was written goes on to a page; a double tap goes to what the first tap made; a refusal
// stands in the form, whose status it gives. Anything else is an error of ours.
func (a *App) finishForm(c *gin.Context, f *form, err error, to, flash string, args ...any) (int, error) {
	var already records.Already
	var conflict records.Conflict
	switch {
	case err == nil || errors.As(err, &already) && to != "":
		if err != nil {
			flash = ""
		}
		return 0, a.redirect(c, to, flash, args...)
	case f.take(err):
		return http.StatusUnprocessableEntity, nil
	case errors.As(err, &conflict):
		f.refuse(conflict)
		return http.StatusConflict, nil
	}
	return 0, err
}

// refuse puts a conflict at the field of the record it is about, else at the top of the form.
func (f *form) refuse(conflict records.Conflict) {
	args := f.words.spoken(conflict.Args)
	if field := f.named("units_" + conflict.ID); field != nil {
		f.wrong(field, conflict.Key, args...)
		return
	}
	f.Wrong = append(f.Wrong, Wrong{Message: f.words.say(conflict.Key, args...)})
}
