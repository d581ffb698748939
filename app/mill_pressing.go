package app

import (
	"context"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// newPressingPage asks what was pressed and what came of it.
type newPressingPage struct {
	Page
	Form *form
	Cuts []*drawField
	Rest []*Field // what was measured
	None string   // no cane is left to press
}

// newPressingForm binds the cuts that were pressed, then the pressing.
func (a *App) newPressingForm(c *gin.Context, f *form, p *records.Pressing) (*newPressingPage, error) {
	cuts, err := a.store.CaneLeft(c.Request.Context())
	if err != nil {
		return nil, err
	}
	if cuts, err = a.offered(c.Request.Context(), f, cuts); err != nil {
		return nil, err
	}
	page := &newPressingPage{Form: f, Cuts: f.draws(cuts)}
	before := len(f.Fields)
	pressingForm(f, p)
	f.DoneBy()
	page.Rest = f.Fields[before:]
	f.Cancel = "/mill"
	if len(cuts) == 0 {
		page.None = f.words.say("mill_page.no_cane")
	}
	return page, f.Err()
}

func (a *App) showNewPressing(c *gin.Context) error {
	f := a.newForm(c, "pressing", "/mill/pressing")
	p := &records.Pressing{StartedAt: f.now}
	last, err := records.LastInstrument(c.Request.Context(), a.store, records.KindPressing, records.MeasuresRefraction, records.MeasuresDensity)
	if err != nil {
		return err
	}
	if last != nil {
		p.InstrumentID = &last.ID
	}
	page, err := a.newPressingForm(c, f, p)
	if err != nil {
		return err
	}
	return a.show(c, "mill/new", page)
}

func (a *App) createPressing(c *gin.Context) error {
	f, err := a.readForm(c, "pressing", "/mill/pressing")
	if err != nil {
		return err
	}
	p := &records.Pressing{SiteID: visitorOf(c).person.SiteID}
	page, err := a.newPressingForm(c, f, p)
	if err != nil {
		return err
	}
	if f.OK() {
		err := a.store.RecordPressing(c.Request.Context(), a.actor(c), p, ticked(page.Cuts, p.Estimated))
		if err == nil {
			return a.redirect(c, recordURL(p.ID), "record.kept")
		}
		if !f.takeDraws(page.Cuts, err) {
			return err
		}
	}
	return a.redisplay(c, "mill/new", page)
}

// pressingPage is one pressing: cane in, juice, where it went, what is said of it.
type pressingPage struct {
	Page
	Heading  string
	Lines    []line
	Cuts     []amountLine
	Out      []amountLine
	Left     string
	Balance  []balanceLine
	Findings []shownFinding
	Amend    string
	History  string
	Light    string // address to light a fire with this juice
}

// amountLine is something that came in or went out, with how much and when.
type amountLine struct {
	Name, URL, Amount, When, Amend string
	Estimated                      bool
}

// balanceLine is one figure of a balance.
type balanceLine struct{ Label, Figure, Note string }

func (a *App) showPressing(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	p, err := records.Get[records.Pressing](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	w := v.words()
	page := &pressingPage{Heading: w.pressingName(&p), Lines: a.named(ctx, pressingLines(w, &p)), History: recordURL(p.ID) + "/history"}
	if a.mayAmend(v, &p) {
		page.Amend = recordURL(p.ID) + "/amend"
	}
	if page.Trail, err = a.trail(ctx, w, &p); err != nil {
		return err
	}
	if err := a.fillPressing(ctx, w, &p, page); err != nil {
		return err
	}
	if v.may(crew) && page.Left != "" {
		page.Light = "/kettle/new"
	}
	findings, err := records.JudgePressing(ctx, a.store, p.ID)
	if err != nil {
		return err
	}
	page.Findings = shownFindings(w, findings)
	return a.show(c, "mill/pressing", page)
}

// pressingLines are the fields of a pressing without those the page shows elsewhere.
func pressingLines(w words, p *records.Pressing) []line {
	var lines []line
	for _, l := range linesOf(w, p) {
		if l.column != "number" && l.column != "site_id" && !(l.Missing && l.column == "note") {
			lines = append(lines, l)
		}
	}
	return lines
}

// fillPressing adds cane in, juice out, what is left and the balance.
func (a *App) fillPressing(ctx context.Context, w words, p *records.Pressing, page *pressingPage) error {
	into, err := records.List[records.Link](ctx, a.store, "to_id = ? ORDER BY at, id", p.ID)
	if err != nil {
		return err
	}
	out, err := records.List[records.Link](ctx, a.store, "from_id = ? ORDER BY at, id", p.ID)
	if err != nil {
		return err
	}
	stock, err := a.store.StockOf(ctx, p.ID, a.store.Now())
	if err != nil {
		return err
	}
	page.Cuts = a.amounts(ctx, w, into, func(l records.Link) string { return l.FromID })
	page.Out = a.amounts(ctx, w, out, func(l records.Link) string { return l.ToID })
	if !stock.Empty() {
		page.Left = w.stockLeft(stock)
	}
	page.Balance = w.millBalance(into, stock)
	return nil
}

// amounts shows links as lines; end is the record at the other end.
func (a *App) amounts(ctx context.Context, w words, links []records.Link, end func(records.Link) string) []amountLine {
	lines := make([]amountLine, len(links))
	for i, l := range links {
		name := end(l)
		if fact, err := records.Load(ctx, a.store, end(l)); err == nil {
			name = a.stepName(ctx, w, fact)
		}
		when, _ := w.moment(l.At)
		lines[i] = amountLine{Name: name, URL: recordURL(end(l)), Amount: w.linkAmount(l), When: when, Estimated: l.Estimated,
			Amend: recordURL(l.ID) + "/amend"}
	}
	return lines
}

// linkAmount is how much a link carried.
func (w words) linkAmount(l records.Link) string {
	switch {
	case l.Volume != nil:
		said, _ := w.volume(*l.Volume)
		return said
	case l.Mass != nil:
		said, _ := w.mass(*l.Mass)
		return said
	}
	return w.say("mill_page.amount_unknown")
}

// millBalance sets the juice against the cane: what share of the cane's weight came out as juice.
func (w words) millBalance(into []records.Link, juice records.Stock) []balanceLine {
	cane, known := syrup.Kilograms(0), len(into) > 0
	for _, l := range into {
		if l.Mass == nil {
			known = false
			break
		}
		cane += *l.Mass
	}
	line := func(key string, m *syrup.Kilograms) balanceLine {
		said, _ := w.mass(m)
		return balanceLine{Label: w.say(key), Figure: said}
	}
	lines := []balanceLine{line("mill_page.cane_in", nil), line("mill_page.juice_made", juice.Made)}
	if known {
		lines[0] = line("mill_page.cane_in", &cane)
	}
	if known && juice.Made != nil && cane > 0 {
		share, _ := w.percent(syrup.Fraction(*juice.Made / cane))
		lines = append(lines, balanceLine{Label: w.say("mill_page.extraction"), Figure: share, Note: w.say("mill_page.extraction_usual")})
	}
	if juice.Made != nil && juice.Left != nil {
		drawn := *juice.Made - *juice.Left
		left := max(0, *juice.Left)
		lines = append(lines, line("mill_page.juice_drawn", &drawn), line("mill_page.juice_left", &left))
	}
	return lines
}
