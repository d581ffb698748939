package app

import (
	"context"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// millRoutes are the mill's lines of the route table.
func (a *App) millRoutes() []route {
	return []route{
		{"GET", "/mill", reader, a.showMill},
		{"GET", "/mill/pressing", crew, a.showNewPressing},
		{"POST", "/mill/pressing", crew, a.createPressing},
		{"GET", "/mill/pressing/:id", reader, a.showPressing},
		{"GET", "/mill/tank/:id", reader, a.showTank},
		{"POST", "/mill/tank/:id/fill", crew, a.fillTank},
		{"POST", "/mill/tank/:id/wash-out", crew, a.washTank},
	}
}

// millPage lists tanks with what they hold, and pressings.
type millPage struct {
	Page
	New       string // address of the form for a new pressing; empty when this person may not
	NewTank   string
	Tanks     []tankCard
	Pressings []ledgerLine
}

// tankCard is a tank with what it holds.
type tankCard struct {
	Name, URL, Holds, Contents, Since string
	Shares                            []shareLine
}

// shareLine is one record behind the contents of a tank, with its share as words and as a band.
type shareLine struct {
	Name, URL, Percent string
	Width              int // of a band 100 wide
	Estimated          bool
}

// pressingsOnMill is how many pressings stand on one page of the mill.
const pressingsOnMill = 30

func (a *App) showMill(c *gin.Context) error {
	v, ctx := visitorOf(c), c.Request.Context()
	page := &millPage{}
	if v.may(crew) {
		page.New = "/mill/pressing"
	}
	if v.may(owner) {
		page.NewTank = "/house/tank/new"
	}
	tanks, err := records.List[records.Tank](ctx, a.store, "ORDER BY holds, name")
	if err != nil {
		return err
	}
	for _, t := range tanks {
		sheet, err := a.store.TankSheetOf(ctx, t.ID, a.store.Now())
		if err != nil {
			return err
		}
		page.Tanks = append(page.Tanks, v.words().tankCard(sheet))
	}
	if page.Pressings, err = a.pressingLines(ctx, v.words()); err != nil {
		return err
	}
	return a.show(c, "mill/list", page)
}

// pressingLines are the newest pressings, each with its juice and what is left of it.
func (a *App) pressingLines(ctx context.Context, w words) ([]ledgerLine, error) {
	pressings, err := records.List[records.Pressing](ctx, a.store, "ORDER BY started_at DESC, id DESC LIMIT ?", pressingsOnMill)
	if err != nil {
		return nil, err
	}
	lines := make([]ledgerLine, len(pressings))
	for i := range pressings {
		p := &pressings[i]
		stock, err := a.store.StockOf(ctx, p.ID, a.store.Now())
		if err != nil {
			return nil, err
		}
		juice, _ := w.volume(p.Volume)
		brix, _ := w.percent(p.Brix)
		lines[i] = ledgerLine{Name: w.pressingName(p), URL: recordURL(p.ID), Word: w.say("mill_page.pressing_word", "Volume", juice, "Brix", brix)}
		if !stock.Empty() {
			lines[i].Word = w.say("mill_page.pressing_left", "Volume", juice, "Brix", brix, "Left", w.stockLeft(stock))
		}
	}
	return lines, nil
}

// pressingName is a pressing by its day and number: "Sun 7 Dec 2025, 1".
func (w words) pressingName(p *records.Pressing) string {
	day, _ := w.day(p.StartedAt)
	return w.say("mill_page.pressing_name", "Day", day, "Number", p.Number)
}

// tankCard says what a tank holds and of which pressings or runs that is.
func (w words) tankCard(sheet records.TankSheet) tankCard {
	card := tankCard{Name: sheet.Tank.Name, URL: recordURL(sheet.Tank.ID), Holds: w.say("mill_page.holds_" + sheet.Tank.Holds)}
	card.Contents = w.tankContents(sheet)
	if !sheet.Unknown && !sheet.Stock.Empty() && !sheet.Stock.At.IsZero() {
		when, _ := w.moment(sheet.Stock.At)
		card.Since = w.say("mill_page.filled_last", "When", when)
	}
	nearest := records.KindPressing
	if sheet.Tank.Holds == records.HoldsSyrup {
		nearest = records.KindRun
	}
	card.Shares = w.shares(sheet.Origin, nearest)
	return card
}

// tankContents is what a tank holds, in words.
func (w words) tankContents(sheet records.TankSheet) string {
	if sheet.Unknown {
		if len(sheet.Fillings) == 0 || len(sheet.WashOuts) > 0 {
			return w.say("mill_page.tank_empty")
		}
		return w.say("mill_page.tank_unknown")
	}
	if sheet.Stock.Empty() {
		return w.say("mill_page.tank_empty")
	}
	return w.stockLeft(sheet.Stock)
}

// shares are the records of some kinds behind a tank's contents.
func (w words) shares(origin []records.Step, kinds ...records.Kind) []shareLine {
	var lines []shareLine
	for _, s := range origin {
		for _, kind := range kinds {
			if s.Kind != kind || s.Share == nil {
				continue
			}
			percent, _ := w.percent(*s.Share)
			lines = append(lines, shareLine{Name: w.say("trail."+string(s.Kind), "Name", s.Name), URL: recordURL(s.ID), Percent: percent,
				Width: max(1, int(float64(*s.Share)*100+0.5)), Estimated: s.Estimated})
		}
	}
	return lines
}
