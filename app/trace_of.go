package app

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// tracePage is the trace of one record: back to the plantings, forward to the customers, and sideways.
type tracePage struct {
	Page
	Heading, Sort string
	Links         []Step
	Answer        *lotAnswer // for a lot
	Complaints    []ledgerLine
	Columns       []bandColumn
	Back          Table
	BackMore      string // what the list leaves out
	Went          string // heading of where it went
	Forward       bandColumn
	Lots          Table // for anything but a lot: the lots it reached
	Holders       Table // and who has bottles of them
	Sum           string
	Folded        string // address where nothing is folded; empty when nothing is
	Nothing       string
}

// mostRows is how many rows the list back shows before it folds.
const mostRows = 30

// showTraceOf traces any record. A code in place of an id is taken too.
func (a *App) showTraceOf(c *gin.Context) error {
	ctx := c.Request.Context()
	id := c.Param("id")
	fact, err := records.Load(ctx, a.store, id)
	if errors.Is(err, records.ErrNotFound) {
		lot, typed := a.lotTyped(ctx, id)
		if typed != nil {
			return err
		}
		return a.redirect(c, traceURL(lot), "")
	}
	if err != nil {
		return err
	}
	if !visitorOf(c).may(a.seeing(fact.Kind())) {
		return records.Forbidden{Key: "error.owner_only"}
	}
	if stands := standsUnder(fact); stands != "" {
		return a.redirect(c, traceURL(stands), "")
	}
	page, err := a.newTracePage(c, fact)
	if err != nil {
		return err
	}
	return a.show(c, "trace/trace", page)
}

// standsUnder is the record whose trace answers for a record that only says something about it.
func standsUnder(fact records.Fact) string {
	switch f := fact.(type) {
	case *records.Part:
		return f.LotID
	case *records.FillCheck:
		return f.LotID
	case *records.FillEnd:
		return f.LotID
	case *records.FillEvent:
		return f.LotID
	case *records.Disposition:
		return f.PartID
	case *records.CorrectiveAction:
		return f.PartID
	case *records.ShelfEntry:
		return f.PartID
	case *records.BoilEntry:
		return f.RunID
	case *records.DensityReading:
		return f.OfID
	case *records.Addition:
		return f.ToID
	case *records.WashOut:
		return f.VesselID
	case *records.InstrumentCheck:
		return f.InstrumentID
	case *records.Application:
		return f.BlockID
	case *records.Print:
		return f.OfID
	case *records.Link:
		return f.FromID
	case *records.Complaint:
		if f.LotID != nil {
			return *f.LotID
		}
	}
	return ""
}

func (a *App) newTracePage(c *gin.Context, fact records.Fact) (*tracePage, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	w, id := v.words(), records.Head(fact).ID
	_, whole := c.GetQuery("all")
	page := &tracePage{Heading: capital(a.stepName(ctx, w, fact)), Sort: w.say("kind." + string(fact.Kind()))}
	page.Links = []Step{{Name: w.say("trace.record"), URL: recordURL(id)}}
	back, err := records.TraceBack(ctx, a.store, id)
	if err != nil {
		return nil, err
	}
	if err := a.traceBackInto(ctx, w, page, back, whole); err != nil {
		return nil, err
	}
	if lot, ok := fact.(*records.Lot); ok {
		err = a.traceLotInto(ctx, v, page, lot, whole)
	} else {
		err = a.traceForwardInto(ctx, w, page, fact)
	}
	if err != nil {
		return nil, err
	}
	page.Trail, err = a.trail(ctx, w, fact)
	return page, err
}

// traceBackInto fills the columns and the list of what went in.
func (a *App) traceBackInto(ctx context.Context, w words, page *tracePage, back records.Trace, whole bool) error {
	tanks, err := records.ByID[records.Tank](ctx, a.store, "")
	if err != nil {
		return err
	}
	most, address := mostBands, traceURL(back.Of.ID)+"?all=1"
	if whole {
		most = len(back.Steps) + 1
	}
	if page.Columns, err = backColumns(w, back, tanks, most, address); err != nil {
		return err
	}
	if page.Back, err = backTable(w, back); err != nil {
		return err
	}
	if rows := len(page.Back.Rows); !whole && rows > mostRows+1 {
		page.Back.Rows = page.Back.Rows[:mostRows]
		page.BackMore, page.Folded = w.say("trace.more_rows", "Others", rows-mostRows), address
	}
	return nil
}

// backTable lists every record that went in, nearest first, with its share.
func backTable(w words, back records.Trace) (Table, error) {
	table := Table{Heads: []string{w.say("trace.list.name"), w.say("trace.list.kind"), w.say("trace.list.share"), w.say("trace.list.note")}}
	for _, s := range back.Steps {
		share, notes := "—", []string{}
		if s.Share != nil {
			percent, err := w.percent(*s.Share)
			if err != nil {
				return table, err
			}
			share = percent
			if s.Estimated {
				notes = append(notes, w.say("word.estimated"))
			}
		} else {
			notes = append(notes, w.say("trace.list.beside"))
		}
		if s.Unknown {
			notes = append(notes, w.say("trace.list.unknown"))
		}
		table.Rows = append(table.Rows, TableRow{URL: recordURL(s.ID), Cells: []Cell{{Text: stepWords(w, s)}, {Text: w.say("kind." + string(s.Kind))},
			{Text: share, Figure: s.Share != nil}, {Text: strings.Join(notes, ", ")}}})
	}
	return table, nil
}

// traceLotInto fills what a complaint about a lot asks for.
func (a *App) traceLotInto(ctx context.Context, v *visitor, page *tracePage, lot *records.Lot, whole bool) error {
	w := v.words()
	var err error
	if page.Answer, err = a.answerFor(ctx, w, lot.ID, whole); err != nil {
		return err
	}
	page.Sort = page.Answer.What
	page.Links = append(page.Links, Step{Name: w.say("trace.sheet"), URL: "/sheet/" + lot.ID})
	if v.may(crew) {
		page.Links = append(page.Links, Step{Name: w.say("complaint.new"), URL: "/complaints/new?lot=" + lot.ID})
	}
	complaints, err := records.List[records.Complaint](ctx, a.store, "lot_id = ? ORDER BY received_at DESC, id DESC", lot.ID)
	if err != nil {
		return err
	}
	for _, k := range complaints {
		l, err := complaintLine(w, k, "")
		if err != nil {
			return err
		}
		page.Complaints = append(page.Complaints, l)
	}
	if page.Answer.MoreSisters != "" || page.Answer.Where.Rest != "" {
		page.Folded = page.Answer.Rest
	}
	return nil
}

// traceForwardInto fills the lots a record reached and who has bottles of them.
func (a *App) traceForwardInto(ctx context.Context, w words, page *tracePage, fact records.Fact) error {
	lots, err := a.lotsReached(ctx, fact)
	if err != nil {
		return err
	}
	if len(lots) == 0 {
		page.Nothing = w.say("trace.nothing_forward")
		return nil
	}
	page.Went = wentWords(w, fact)
	shares, err := a.sharesIn(ctx, fact, lots)
	if err != nil {
		return err
	}
	parts, err := records.ShelfList(ctx, a.store, "lot_id IN ?", lots)
	if err != nil {
		return err
	}
	if err := a.lotsInto(w, page, parts, shares); err != nil {
		return err
	}
	var holdings []records.Holding
	byLot := map[string][]records.Holding{}
	for _, id := range lots {
		if byLot[id], err = records.WhoHas(ctx, a.store, id); err != nil {
			return err
		}
		holdings = append(holdings, byLot[id]...)
	}
	page.Holders = customersOf(w, holdings, byLot, parts)
	page.Sum = w.say("trace.reached", "Lots", w.say("count.lots", "Count", len(lots)), "Account", accountWords(w, parts, holdings))
	return nil
}

// wentWords heads the lots of a record: what it went into, what was measured with it, what it is made of.
func wentWords(w words, fact records.Fact) string {
	switch fact.(type) {
	case *records.Instrument:
		return w.say("trace.measured_with")
	case *records.Shipment, *records.Customer, *records.Carrier:
		return w.say("trace.lots_shipped")
	case *records.Product, *records.Container:
		return w.say("trace.lots_of")
	}
	return w.say("trace.went_to")
}

// lotsReached lists the lots that a record reached, or that were read with it, or are of it.
func (a *App) lotsReached(ctx context.Context, fact records.Fact) ([]string, error) {
	id := records.Head(fact).ID
	switch fact.(type) {
	case *records.Instrument:
		return records.LotsUsing(ctx, a.store, id, time.Time{})
	case *records.Block:
		return reachedBy[records.Planting](ctx, a, "block_id = ?", id)
	case *records.Kettle:
		return reachedBy[records.Run](ctx, a, "kettle_id = ?", id)
	case *records.Supplier:
		return reachedBy[records.SupplyLot](ctx, a, "supplier_id = ?", id)
	case *records.Product:
		return idsOf[records.Lot](ctx, a, "product_id = ?", id)
	case *records.Container:
		return idsOf[records.Lot](ctx, a, "container_id = ?", id)
	case *records.Shipment:
		return a.lotsShipped(ctx, "id = ?", id)
	case *records.Customer:
		return a.lotsShipped(ctx, "customer_id = ?", id)
	case *records.Carrier:
		return a.lotsShipped(ctx, "carrier_id = ?", id)
	}
	forward, err := records.TraceForward(ctx, a.store, id)
	return forward.IDs(records.KindLot), err
}

// idsOf lists ids of records in order.
func idsOf[T any](ctx context.Context, a *App, where string, args ...any) ([]string, error) {
	byID, err := records.ByID[T](ctx, a.store, where, args...)
	ids := make([]string, 0, len(byID))
	for id := range byID {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids, err
}

// reachedBy lists the lots that any of some records reached.
func reachedBy[T any](ctx context.Context, a *App, where string, args ...any) ([]string, error) {
	from, err := idsOf[T](ctx, a, where, args...)
	if err != nil {
		return nil, err
	}
	var lots []string
	for _, id := range from {
		forward, err := records.TraceForward(ctx, a.store, id)
		if err != nil {
			return nil, err
		}
		lots = append(lots, forward.IDs(records.KindLot)...)
	}
	slices.Sort(lots)
	return slices.Compact(lots), nil
}

// lotsShipped lists the lots of which bottles left with some shipments.
func (a *App) lotsShipped(ctx context.Context, where string, args ...any) ([]string, error) {
	shipments, err := records.List[records.Shipment](ctx, a.store, where, args...)
	if err != nil {
		return nil, err
	}
	sheets, err := records.ShipmentSheets(ctx, a.store, shipments)
	var lots []string
	for _, s := range sheets {
		for _, l := range s.Lines {
			lots = append(lots, l.Part.LotID)
		}
	}
	slices.Sort(lots)
	return slices.Compact(lots), err
}

// sharesIn gives the share of each lot that came of a record; nothing for what is no part of the syrup.
func (a *App) sharesIn(ctx context.Context, fact records.Fact, lots []string) (map[string]records.Step, error) {
	shares := map[string]records.Step{}
	switch fact.(type) {
	case *records.Planting, *records.Cut, *records.Pressing, *records.Run, *records.Tank:
	default:
		return shares, nil
	}
	id := records.Head(fact).ID
	for _, lot := range lots {
		back, err := records.TraceBack(ctx, a.store, lot)
		if err != nil {
			return nil, err
		}
		for _, s := range back.Steps {
			if s.ID == id && s.Share != nil {
				shares[lot] = s
			}
		}
	}
	return shares, nil
}

// lotsInto lists the lots reached, with what of each came of the record, and draws that share.
func (a *App) lotsInto(w words, page *tracePage, parts []records.OnShelf, shares map[string]records.Step) error {
	page.Forward.Title = w.say("trace.stage.lots_share")
	page.Lots = Table{Heads: []string{w.say("shelf_page.lot"), w.say("shelf_page.product"), w.say("trace.fact.filled"), w.say("trace.list.share"),
		w.say("trace.list.state"), w.say("shelf_page.on_hand"), w.say("shelf_page.shipped")}}
	byLot := map[string][]records.OnShelf{}
	var order []string
	for _, p := range parts {
		if byLot[p.LotID] == nil {
			order = append(order, p.LotID)
		}
		byLot[p.LotID] = append(byLot[p.LotID], p)
	}
	if len(shares) == 0 {
		defer page.dropShares()
	}
	for _, id := range order {
		row, err := lotRow(w, byLot[id], shares[id])
		if err != nil {
			return err
		}
		page.Lots.Rows = append(page.Lots.Rows, row)
		if s := shares[id]; s.Share != nil {
			page.Forward.Bands = append(page.Forward.Bands, band{Name: row.Cells[0].Text, URL: row.URL, Word: row.Cells[3].Text,
				Width: max(hairline, float64(*s.Share)*100), Estimated: s.Estimated})
		}
	}
	return nil
}

// dropShares takes the column of shares out of the list of lots: nothing of them is a part of the syrup.
func (p *tracePage) dropShares() {
	const share = 3
	p.Lots.Heads = slices.Delete(p.Lots.Heads, share, share+1)
	for i := range p.Lots.Rows {
		p.Lots.Rows[i].Cells = slices.Delete(p.Lots.Rows[i].Cells, share, share+1)
	}
}

func lotRow(w words, parts []records.OnShelf, share records.Step) (TableRow, error) {
	first := parts[0]
	day, err := w.day(first.Lot.StartedAt)
	if err != nil {
		return TableRow{}, err
	}
	percent := "—"
	if share.Share != nil {
		if percent, err = w.percent(*share.Share); err != nil {
			return TableRow{}, err
		}
	}
	onHand, out := 0, 0
	var states []string
	for _, p := range parts {
		onHand, out = onHand+p.OnHand, out+p.Shipped
		if state := w.say("life." + p.State); !slices.Contains(states, state) {
			states = append(states, state)
		}
	}
	return TableRow{URL: traceURL(first.LotID), Cells: []Cell{{Text: records.PrintedCode(first.LotCode)}, {Text: first.What()}, {Text: day},
		{Text: percent, Figure: share.Share != nil}, {Text: strings.Join(states, ", ")}, {Text: strconv.Itoa(onHand), Figure: true}, {Text: strconv.Itoa(out), Figure: true}}}, nil
}

// customersOf lists who has bottles of several lots, most first.
func customersOf(w words, holdings []records.Holding, byLot map[string][]records.Holding, parts []records.OnShelf) Table {
	table := Table{Heads: []string{w.say("shelf_page.customer"), w.say("shelf_page.lots"), w.say("shelf_page.out"), w.say("shelf_page.came_back"), w.say("shelf_page.with_them")}}
	codes := map[string]string{}
	for _, p := range parts {
		codes[p.LotID] = records.PrintedCode(p.LotCode)
	}
	lots := map[string][]string{}
	for id, list := range byLot {
		for _, h := range list {
			if !slices.Contains(lots[h.Customer.ID], codes[id]) {
				lots[h.Customer.ID] = append(lots[h.Customer.ID], codes[id])
			}
		}
	}
	for _, k := range byCustomer(holdings) {
		mine := lots[k.customer.ID]
		slices.SortFunc(mine, func(a, b string) int { return cmp.Compare(a, b) })
		said := strings.Join(mine[:min(3, len(mine))], ", ")
		if len(mine) > 3 {
			said = w.say("shelf_page.and_more", "Codes", said, "More", len(mine)-3)
		}
		table.Rows = append(table.Rows, TableRow{URL: customerURL(k.customer.ID), Cells: []Cell{{Text: customerWords(w, k.customer)}, {Text: said},
			{Text: strconv.Itoa(k.out), Figure: true}, {Text: strconv.Itoa(k.back), Figure: true}, {Text: strconv.Itoa(k.with), Figure: true}}})
	}
	return table
}
