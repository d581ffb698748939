package app

import (
	"context"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// When something open counts as late. A cook takes 3 to 6 hours, past 9 is asked about; a lot is held 1 to 7 days before
// its release (trade notes, sections 2.3 and 2.5: judgement of the trade, no published source).
const (
	lateRun     = 9 * time.Hour
	lateFilling = 9 * time.Hour
	lateHeld    = 7 * 24 * time.Hour
)

// todayPage is the first page: what is open, what is held, what is late, and the search box.
type todayPage struct {
	Page
	Day    string
	Groups []todayGroup
}

// todayGroup is one heading with its lines.
type todayGroup struct {
	Title, Empty string
	Rows         []ledgerLine
}

func (a *App) showToday(c *gin.Context) error {
	ctx, w, now := c.Request.Context(), visitorOf(c).words(), a.store.Now()
	open, lateRuns, err := a.openRuns(ctx, w, now)
	if err != nil {
		return err
	}
	filling, held, lateParts, err := a.openParts(ctx, w, now)
	if err != nil {
		return err
	}
	page := &todayPage{Groups: []todayGroup{
		{w.say("today.runs"), w.say("today.no_runs"), open},
		{w.say("today.filling"), w.say("today.no_filling"), filling},
		{w.say("today.held"), w.say("today.no_held"), held},
		{w.say("today.late"), w.say("today.no_late"), append(lateRuns, lateParts...)},
	}}
	if page.Day, err = w.day(now); err != nil {
		return err
	}
	return a.show(c, "today/today", page)
}

// openRuns are the runs not yet drawn off, and those of them that are late.
func (a *App) openRuns(ctx context.Context, w words, now time.Time) (open, late []ledgerLine, err error) {
	runs, err := records.List[records.Run](ctx, a.store,
		"id NOT IN (SELECT run_id FROM boil_entry_now WHERE what = ?) ORDER BY fire_lit_at DESC", records.EntryDrawnOff)
	if err != nil {
		return nil, nil, err
	}
	for _, run := range runs {
		lit, err := w.moment(run.FireLitAt)
		if err != nil {
			return nil, nil, err
		}
		l := ledgerLine{Name: run.Code, Word: w.say("today.lit", "When", lit), URL: recordURL(run.ID)}
		open = append(open, l)
		if now.Sub(run.FireLitAt) > lateRun {
			l.Word = w.say("today.run_late", "When", lit)
			late = append(late, l)
		}
	}
	return open, late, nil
}

// openParts are the parts still filling and those held, and which of them are late.
func (a *App) openParts(ctx context.Context, w words, now time.Time) (filling, held, late []ledgerLine, err error) {
	parts, err := records.List[records.Part](ctx, a.store, `id NOT IN (SELECT part_id FROM disposition_now WHERE act IN ('release', 'rework', 'destroy'))
		OR id IN (SELECT part_id FROM disposition_now WHERE act IN ('hold', 'recall')) ORDER BY id DESC`)
	if err != nil {
		return nil, nil, nil, err
	}
	shelves, err := records.Shelves(ctx, a.store, parts)
	if err != nil {
		return nil, nil, nil, err
	}
	for _, p := range shelves {
		since := p.WrittenAt
		if p.Last != nil {
			since = p.Last.At
		}
		day, err := w.day(since)
		if err != nil {
			return nil, nil, nil, err
		}
		l := ledgerLine{Name: records.PrintedCode(p.LotCode), Word: w.say("today.since", "State", w.say("life."+p.State), "Day", day), URL: recordURL(p.LotID)}
		limit := lateHeld
		switch p.State {
		case records.StateFilling:
			filling, limit = append(filling, l), lateFilling
		case records.StateHeld, records.StateRecalled:
			held = append(held, l)
		default:
			continue
		}
		if now.Sub(since) > limit {
			late = append(late, l)
		}
	}
	return filling, held, late, nil
}
