package app

import (
	"context"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// partPage is one part: where its bottles are, what may be written about them now.
type partPage struct {
	Page
	Heading, What, State, StateWord, Reason string
	Of                                      string // the part it was divided from
	Figures                                 []partFigure
	Links                                   []Step
	Entries                                 []ledgerLine
	Holders                                 Table
	Entry, Hold, Divide                     *form
}

// partFigure is one line of the count: filled + back − gone = on hand.
type partFigure struct {
	Sign, Name string
	Units      int
	Sum        bool
}

// entryWords are what is written about a part by hand; returns and unsold bottles belong to a shipment.
var entryWords = []string{records.ShelfSample, records.ShelfBreakage, records.ShelfCount}

// shelfEntryForm serves amending; the sort of entry and its part stay.
func shelfEntryForm(f *form, e *records.ShelfEntry) {
	f.Whole("units", &e.Units, 0, 1_000_000)
	f.moment("at", &e.At)
	f.Text("place", &e.Place, 0, shortText)
	f.Text("note", &e.Note, 0, longText)
}

// newEntryForm asks for a sample, a breakage or a count of one part.
func newEntryForm(f *form, e *records.ShelfEntry) {
	f.Choice("what", &e.What, required, entryWords...)
	shelfEntryForm(f, e)
}

// formsOfPart are the forms of a part's page.
type formsOfPart struct{ entry, hold, divide *form }

// partForms are the forms of a part's page that are shown, not read.
func (a *App) partForms(c *gin.Context, p records.OnShelf) formsOfPart {
	var forms formsOfPart
	if !visitorOf(c).may(crew) || p.State == records.StateFilling {
		return forms
	}
	forms.entry = a.newForm(c, "shelf_entry", partURL(p.ID))
	newEntryForm(forms.entry, &records.ShelfEntry{What: c.Query("what"), At: a.store.Now()})
	if p.State == records.StateReleased {
		forms.hold = a.holdForm(c, p.ID, partURL(p.ID), "")
	}
	if dividable(p) {
		forms.divide = a.newForm(c, "part_divide", partURL(p.ID)+"/divide")
		partDivideForm(forms.divide, p, &divideTyped{})
	}
	return forms
}

func (a *App) showPart(c *gin.Context) error {
	p, err := a.onePart(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	return a.showPartPage(c, http.StatusOK, p, a.partForms(c, p))
}

// onePart is a part as the shelf shows it.
func (a *App) onePart(ctx context.Context, id string) (records.OnShelf, error) {
	list, err := records.ShelfList(ctx, a.store, "id = ?", id)
	if err != nil {
		return records.OnShelf{}, err
	}
	if len(list) == 0 {
		return records.OnShelf{}, records.ErrNotFound
	}
	return list[0], nil
}

func (a *App) showPartPage(c *gin.Context, status int, p records.OnShelf, forms formsOfPart) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	page := &partPage{Heading: partName(w, p), What: p.What(), State: p.State, StateWord: w.say("life." + p.State),
		Figures: partFigures(w, p.PartShelf), Links: partLinks(v, p), Entry: forms.entry, Hold: forms.hold, Divide: forms.divide}
	if p.OfPartID != nil {
		page.Of = a.ofPartWords(ctx, w, *p.OfPartID)
	}
	if p.Last != nil {
		page.Reason = p.Last.Reason
	}
	var err error
	if page.Entries, err = a.partEntries(ctx, w, p.ID); err != nil {
		return err
	}
	holdings, err := records.WhoHas(ctx, a.store, p.LotID)
	if err != nil {
		return err
	}
	mine := holdings[:0]
	for _, h := range holdings {
		if h.PartID == p.ID {
			mine = append(mine, h)
		}
	}
	if page.Holders, err = holdersTable(w, mine); err != nil {
		return err
	}
	if page.Trail, err = a.trail(ctx, w, &p.Part); err != nil {
		return err
	}
	return a.render(c, status, "shelf/part", page)
}

// partFigures is the count of a part, line by line as one adds it up.
func partFigures(w words, p records.PartShelf) []partFigure {
	figures := []partFigure{{"", w.say("shelf_page.filled"), p.Filled, false}}
	for _, f := range []partFigure{
		{"+", w.say("shelf_page.back"), p.Returned, false}, {"−", w.say("shelf_page.shipped"), p.Shipped, false},
		{"−", w.say("shelf_page.samples"), p.Samples, false}, {"−", w.say("shelf_page.broken"), p.Broken, false},
	} {
		if f.Units != 0 {
			figures = append(figures, f)
		}
	}
	if p.State == records.StateReworked || p.State == records.StateDestroyed {
		figures = append(figures, partFigure{"−", w.say("life." + p.State), p.Filled + p.Returned - p.Shipped - p.Samples - p.Broken, false})
	}
	figures = append(figures, partFigure{"=", w.say("shelf_page.on_hand"), p.OnHand, true})
	if p.Counted != nil {
		figures = append(figures, partFigure{"", w.say("shelf_page.counted", "Day", w.dayOf(records.DayOf(*p.CountedAt, w.zone()))), *p.Counted, false})
		if p.CountOff != 0 {
			figures = append(figures, partFigure{"", w.say("shelf_page.unaccounted"), p.CountOff, true})
		}
	}
	return figures
}

func partLinks(v *visitor, p records.OnShelf) []Step {
	w := v.words()
	var links []Step
	if v.may(crew) && p.State == records.StateReleased && p.OnHand > 0 {
		links = append(links, Step{Name: w.say("shelf_page.ship"), URL: "/shelf/shipment/new?part=" + p.ID})
	}
	links = append(links, Step{Name: w.say("shelf_page.lot"), URL: recordURL(p.LotID)}, Step{Name: w.say("shelf_page.trace"), URL: traceURL(p.LotID)})
	if v.may(crew) {
		links = append(links, Step{Name: w.say("complaint.new"), URL: "/complaints/new?lot=" + p.LotID})
	}
	return links
}

// partEntries are the movements and counts of a part, newest first.
func (a *App) partEntries(ctx context.Context, w words, partID string) ([]ledgerLine, error) {
	entries, err := records.List[records.ShelfEntry](ctx, a.store, "part_id = ? ORDER BY at DESC, id DESC", partID)
	if err != nil {
		return nil, err
	}
	var lines []ledgerLine
	for _, e := range entries {
		l, err := entryLine(w, e)
		if err != nil {
			return nil, err
		}
		lines = append(lines, l)
	}
	return lines, nil
}

func entryLine(w words, e records.ShelfEntry) (ledgerLine, error) {
	when, err := w.moment(e.At)
	word := when
	for _, more := range []string{e.Place, e.Note} {
		if more != "" {
			word += " · " + more
		}
	}
	return ledgerLine{Name: w.say("shelf_entry.line."+e.What, "Count", e.Units), Word: word, URL: recordURL(e.ID) + "/history"}, err
}

// createShelfEntry writes a sample, a breakage or a count.
func (a *App) createShelfEntry(c *gin.Context) error {
	p, err := a.onePart(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "shelf_entry", partURL(p.ID))
	if err != nil {
		return err
	}
	e := &records.ShelfEntry{PartID: p.ID}
	newEntryForm(f, e)
	if f.OK() && e.What == records.ShelfSample && e.Place == "" {
		f.wrong(f.named("place"), "shelf_entry.sample_place")
	}
	if f.OK() && e.What != records.ShelfCount && e.Units == 0 {
		f.wrong(f.named("units"), "invalid.least", "Min", 1, "Unit", "")
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Write(c.Request.Context(), a.actor(c), e)
		if status, err = a.finishForm(c, f, err, partURL(p.ID), "shelf_entry.kept."+e.What, "Count", e.Units); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	forms := a.partForms(c, p)
	forms.entry = f
	return a.showPartPage(c, status, p, forms)
}

// holdForm asks why a part is held. back is where to go then; reason is proposed.
func (a *App) holdForm(c *gin.Context, partID, back, reason string) *form {
	f := a.newForm(c, "hold", partURL(partID)+"/hold")
	f.ID = "hold-" + partID
	holdFields(f, &reason, &back)
	return f
}

func holdFields(f *form, reason, back *string) {
	f.Text("reason", reason, 1, 400)
	f.Hidden("back", back)
}

// holdPart holds a part: anybody who writes may.
func (a *App) holdPart(c *gin.Context) error {
	p, err := a.onePart(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "hold", partURL(p.ID)+"/hold")
	if err != nil {
		return err
	}
	f.ID = "hold-" + p.ID
	var reason, back string
	holdFields(f, &reason, &back)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Hold(c.Request.Context(), a.actor(c), p.ID, reason)
		if status, err = a.finishForm(c, f, err, localPath(back), "hold.kept", "Code", partName(f.words, p)); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	forms := a.partForms(c, p)
	forms.hold = f
	return a.showPartPage(c, status, p, forms)
}

// holdersTable lists who received bottles, with the figures that are with them now.
func holdersTable(w words, holdings []records.Holding) (Table, error) {
	table := Table{Heads: []string{w.say("shelf_page.customer"), w.say("shelf_page.when"), w.say("shelf_page.out"), w.say("shelf_page.came_back"), w.say("shelf_page.with_them")}}
	for _, h := range holdings {
		day, err := w.day(h.Shipment.At)
		if err != nil {
			return table, err
		}
		with := strconv.Itoa(h.Units - h.Back)
		if h.Customer.Sort == records.CustomerMarket {
			with = soldWords(w, h.Units, h.Back)
		}
		table.Rows = append(table.Rows, TableRow{URL: shipmentURL(h.Shipment.ID), Cells: []Cell{{Text: customerWords(w, h.Customer)}, {Text: day},
			{Text: strconv.Itoa(h.Units), Figure: true}, {Text: strconv.Itoa(h.Back), Figure: true}, {Text: with, Figure: true}}})
	}
	return table, nil
}

// customerWords names a customer; one whose name is not kept any more still has a word.
func customerWords(w words, k records.Customer) string {
	if k.Contact.Name == "" {
		return w.notRecorded()
	}
	return k.Contact.Name
}
