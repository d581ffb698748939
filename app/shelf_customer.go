package app

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// customerPage is what a customer got, and what of it is still with them.
type customerPage struct {
	Page
	Heading, Word string
	Facts         []line
	Ship, Amend   string
	Market        bool
	With          Table // lots and bottles still with them; for a market what was sold there
	Shipments     Table
}

func (a *App) showCustomer(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	k, err := records.Get[records.Customer](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	shipments, err := records.List[records.Shipment](ctx, a.store, "customer_id = ? ORDER BY at DESC, id DESC", k.ID)
	if err != nil {
		return err
	}
	sheets, err := records.ShipmentSheets(ctx, a.store, shipments)
	if err != nil {
		return err
	}
	page := &customerPage{Heading: customerWords(w, k), Word: w.say("customer.sort." + k.Sort), Market: k.Sort == records.CustomerMarket,
		Facts: contactLines(w, "customer", k.Contact), With: stillWith(w, sheets)}
	if v.may(crew) && !k.Struck {
		page.Ship, page.Amend = "/shelf/shipment/new?customer="+k.ID, recordURL(k.ID)+"/amend"
	}
	if page.Shipments, err = shipmentsTable(w, sheets, false); err != nil {
		return err
	}
	return a.show(c, "shelf/customer", page)
}

// stillWith adds up, lot by lot, what is still with the customer of these shipments.
func stillWith(w words, sheets []records.ShipmentSheet) Table {
	table := Table{Heads: []string{w.say("shelf_page.lot"), w.say("shelf_page.product"), w.say("shelf_page.out"), w.say("shelf_page.came_back"), w.say("shelf_page.with_them")}}
	type sum struct {
		part      records.OnShelf
		out, back int
	}
	byLot := map[string]*sum{}
	for _, s := range sheets {
		for _, l := range s.Lines {
			if byLot[l.Part.LotID] == nil {
				byLot[l.Part.LotID] = &sum{part: l.Part}
			}
			byLot[l.Part.LotID].out += l.Out
			byLot[l.Part.LotID].back += l.Back
		}
	}
	var sums []*sum
	for _, s := range byLot {
		sums = append(sums, s)
	}
	slices.SortFunc(sums, func(a, b *sum) int { return cmp.Compare(b.part.LotCode, a.part.LotCode) })
	for _, s := range sums {
		table.Rows = append(table.Rows, TableRow{URL: traceURL(s.part.LotID), Cells: []Cell{{Text: records.PrintedCode(s.part.LotCode)}, {Text: s.part.What()},
			{Text: strconv.Itoa(s.out), Figure: true}, {Text: strconv.Itoa(s.back), Figure: true}, {Text: strconv.Itoa(s.out - s.back), Figure: true}}})
	}
	return table
}

// listCustomers lists them by name with what they got.
func (a *App) listCustomers(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	customers, err := records.List[records.Customer](ctx, a.store, "")
	if err != nil {
		return err
	}
	shipments, err := records.List[records.Shipment](ctx, a.store, "ORDER BY at")
	if err != nil {
		return err
	}
	sheets, err := records.ShipmentSheets(ctx, a.store, shipments)
	if err != nil {
		return err
	}
	page := &listPage{Heading: w.say("customer.plural"), Empty: w.say("kind.empty")}
	if v.may(crew) {
		page.New = "/house/customer/new"
	}
	if page.Table, err = customersTable(w, customers, sheets); err != nil {
		return err
	}
	return a.show(c, "kind/list", page)
}

func customersTable(w words, customers []records.Customer, sheets []records.ShipmentSheet) (Table, error) {
	table := Table{Heads: []string{w.say("shelf_page.customer"), w.say("customer.sort"), w.say("shipment.plural"), w.say("shelf_page.last"), w.say("shelf_page.bottles")}}
	of := map[string][]records.ShipmentSheet{}
	for _, s := range sheets {
		of[s.Shipment.CustomerID] = append(of[s.Shipment.CustomerID], s)
	}
	slices.SortFunc(customers, func(a, b records.Customer) int {
		return cmp.Or(cmp.Compare(a.Contact.Name, b.Contact.Name), cmp.Compare(a.ID, b.ID))
	})
	for _, k := range customers {
		got, still, last := of[k.ID], 0, "—"
		for _, s := range got {
			still += s.Out() - s.Back()
		}
		if len(got) > 0 {
			day, err := w.day(got[len(got)-1].Shipment.At)
			if err != nil {
				return table, err
			}
			last = day
		}
		table.Rows = append(table.Rows, TableRow{URL: customerURL(k.ID), Cells: []Cell{{Text: customerWords(w, k)}, {Text: w.say("customer.sort." + k.Sort)},
			{Text: strconv.Itoa(len(got)), Figure: true}, {Text: last}, {Text: strconv.Itoa(still), Figure: true}}})
	}
	return table, nil
}
