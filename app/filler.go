package app

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// fillerRoutes are the pages of the filler.
func (a *App) fillerRoutes() []route {
	return []route{
		{"GET", "/filler", reader, a.showFiller},
		{"GET", "/filler/new", crew, a.showStartFilling},
		{"POST", "/filler/new", crew, a.startFilling},
		{"GET", "/filler/:id", reader, a.showFilling},
		{"POST", "/filler/:id/check", crew, a.addFillCheck},
		{"POST", "/filler/:id/reading", crew, a.addLotReading},
		{"POST", "/filler/:id/broken", crew, a.addFillEvent(records.FillBroken, "filler_session.event_kept")},
		{"POST", "/filler/:id/stop", crew, a.addFillEvent(records.FillStop, "filler_session.stop_kept")},
		{"POST", "/filler/:id/restart", crew, a.addFillEvent(records.FillRestart, "filler_session.restart_kept")},
		{"POST", "/filler/:id/note", crew, a.addFillEvent(records.FillNote, "filler_session.event_kept")},
		{"POST", "/filler/:id/divide", crew, a.divideAtFiller},
		{"POST", "/filler/:id/end", crew, a.endFilling},
		{"GET", "/filler/:id/tray-tag", reader, a.previewTrayTag},
		{"POST", "/filler/:id/tray-tag", crew, a.printTrayTag},
	}
}

// fillerPage is the filler's front: what is filling now, what waits for bottles, what was filled lately.
type fillerPage struct {
	Page
	MayFill bool
	Filling []fillingCard
	Left    []syrupLine
	Recent  []ledgerLine
}

// fillingCard is a lot being filled, large enough to tap with a wet thumb.
type fillingCard struct {
	Code, Product, Since, Checks, Late, URL string
}

// syrupLine is a run or tank with syrup left.
type syrupLine struct {
	Name, Left, Solids, Since, URL, Fill string
}

// recentlyListed is how many finished lots the front of the filler lists.
const recentlyListed = 8

func (a *App) showFiller(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	page := &fillerPage{MayFill: v.may(crew)}
	open, err := records.List[records.Lot](ctx, a.store, "id NOT IN (SELECT lot_id FROM fill_end_now) ORDER BY started_at DESC, id DESC")
	if err != nil {
		return err
	}
	for _, lot := range open {
		card, err := a.fillingCard(ctx, v.words(), lot)
		if err != nil {
			return err
		}
		page.Filling = append(page.Filling, card)
	}
	if page.Left, err = a.syrupLines(ctx, v); err != nil {
		return err
	}
	if page.Recent, err = a.recentlyFilled(ctx, v.words()); err != nil {
		return err
	}
	return a.show(c, "filler/front", page)
}

// fillingCard tells of one open lot its product, since when it fills, and when the last check was.
func (a *App) fillingCard(ctx context.Context, w words, lot records.Lot) (fillingCard, error) {
	checks, err := records.List[records.FillCheck](ctx, a.store, "lot_id = ? ORDER BY at DESC, id DESC", lot.ID)
	if err != nil {
		return fillingCard{}, err
	}
	since, err := w.moment(lot.StartedAt)
	if err != nil {
		return fillingCard{}, err
	}
	card := fillingCard{Code: records.PrintedCode(lot.Code), Since: w.say("filler_page.since", "When", since), URL: "/filler/" + lot.ID,
		Product: w.say("filler_page.product", "Product", records.Name(ctx, a.store, lot.ProductID), "Container", records.Name(ctx, a.store, lot.ContainerID))}
	card.Checks = w.say("filler_page.no_checks")
	if len(checks) > 0 {
		clock, err := w.clock(checks[0].At)
		if err != nil {
			return card, err
		}
		card.Checks = w.say("filler_page.checks", "Count", len(checks), "When", clock)
	}
	card.Late, err = a.lateCheck(ctx, w, lot)
	return card, err
}

// lateCheck says that a filling waits for a check; empty while it does not.
func (a *App) lateCheck(ctx context.Context, w words, lot records.Lot) (string, error) {
	facts, rules, err := records.LotFacts(ctx, a.store, lot.ID)
	if err != nil {
		return "", err
	}
	clock, err := a.fillClockOf(w, facts.Fill, rules)
	switch {
	case err != nil || clock == nil || clock.State == "waits":
		return "", err
	case clock.State == "stopped" || clock.Left == "":
		return clock.Word + " " + clock.Time, nil
	}
	return clock.Word + ": " + clock.Left, nil
}

// elapsed says a length of time as a person would: minutes up to two hours, then hours, then days.
func elapsed(w words, d time.Duration) string {
	switch {
	case d < 2*time.Hour:
		return w.say("count.minutes", "Count", int(d/time.Minute))
	case d < 48*time.Hour:
		return w.say("count.hours", "Count", int(d/time.Hour))
	}
	return w.say("count.days", "Count", int(d/(24*time.Hour)))
}

// syrupLines lists what can be filled now; what is used up is left out here.
func (a *App) syrupLines(ctx context.Context, v *visitor) ([]syrupLine, error) {
	left, err := records.SyrupsLeft(ctx, a.store, a.store.Now())
	if err != nil {
		return nil, err
	}
	var lines []syrupLine
	for _, s := range left {
		if s.Finished {
			continue
		}
		l, err := syrupLineOf(v.words(), s)
		if err != nil {
			return nil, err
		}
		if v.may(crew) {
			l.Fill = "/filler/new?from=" + s.ID
		}
		lines = append(lines, l)
	}
	return lines, nil
}

// syrupLineOf words one source: its name with the word for its kind, how much, how thick, since when.
func syrupLineOf(w words, s records.SyrupLeft) (syrupLine, error) {
	since, err := w.moment(s.Since)
	if err != nil {
		return syrupLine{}, err
	}
	l := syrupLine{Name: w.say("trail."+string(s.Kind), "Name", s.Name), URL: recordURL(s.ID)}
	switch {
	case s.OnFire:
		l.Since = w.say("filler_page.on_fire", "When", since)
		return l, nil
	case s.Finished:
		l.Left = w.say("filler_page.used_up")
	case s.Volume == nil:
		l.Left = w.say("filler_page.left_unknown")
	default:
		volume, err := w.volume(*s.Volume)
		if err != nil {
			return l, err
		}
		l.Left = w.say("filler_page.left", "Volume", volume)
	}
	l.Since = w.say("filler_page.drawn", "When", since)
	if s.Kind == records.KindTank {
		l.Since = w.say("filler_page.filled_at", "When", since)
	}
	if s.Solids != nil {
		l.Solids = w.say("filler_page.solids", "Percent", decimal(float64(*s.Solids)))
	}
	return l, nil
}

// recentlyFilled lists the lots filled last with the states of their parts.
func (a *App) recentlyFilled(ctx context.Context, w words) ([]ledgerLine, error) {
	lots, err := records.List[records.Lot](ctx, a.store, fmt.Sprintf("id IN (SELECT lot_id FROM fill_end_now) ORDER BY started_at DESC, id DESC LIMIT %d", recentlyListed))
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(lots))
	for i, l := range lots {
		ids[i] = l.ID
	}
	parts, err := records.ListIDs[records.Part](ctx, a.store, "lot_id", ids)
	if err != nil {
		return nil, err
	}
	shelves, err := records.Shelves(ctx, a.store, parts)
	if err != nil {
		return nil, err
	}
	var lines []ledgerLine
	for _, lot := range lots {
		var states []string
		for _, p := range shelves {
			if p.LotID == lot.ID {
				states = append(states, w.say("filler_page.part_state", "State", p.State, "Bottles", w.say("count.bottles", "Count", p.OnHand)))
			}
		}
		lines = append(lines, ledgerLine{Name: records.PrintedCode(lot.Code), Word: strings.Join(states, "; "), URL: lotURL(lot.ID)})
	}
	return lines, nil
}
