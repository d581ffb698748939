package app

import (
	"context"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// When something open counts as late. A cook takes 3 to 6 hours, past 9 is asked about; a lot is held 1 to 7 days before
// its release (trade notes, sections 2.3 and 2.5: judgement of the trade, no published source).
const (
	lateRun     = 9 * time.Hour
	lateFilling = 9 * time.Hour
	lateHeld    = 7 * 24 * time.Hour
)

// todayPage is the first page: the search, what the house is asked, what is open, held and late.
type todayPage struct {
	Page
	Day       string
	Photo     photoForm
	Restores  []restoreQuestion
	Questions []ledgerLine // lots with several complaints alike
	Groups    []todayGroup
}

// todayGroup is one heading with its lines.
type todayGroup struct {
	Title, Empty string
	Rows         []ledgerLine
	More         string // how many are not shown
	MoreURL      string
}

// todayRoutes are those of today beside the page itself.
func (a *App) todayRoutes() []route {
	return []route{{"POST", "/today/restore/:id", owner, a.answerRestore}}
}

func (a *App) showToday(c *gin.Context) error {
	page, err := a.newToday(c)
	if err != nil {
		return err
	}
	return a.show(c, "today/today", page)
}

func (a *App) newToday(c *gin.Context) (*todayPage, error) {
	ctx, w, now := c.Request.Context(), visitorOf(c).words(), a.store.Now()
	page := &todayPage{Photo: newPhotoForm(w, "today-photo", "/trace")}
	var err error
	if page.Day, err = w.day(now); err != nil {
		return nil, err
	}
	if page.Restores, err = a.restoreQuestions(c); err != nil {
		return nil, err
	}
	open, lateRuns, err := a.openRuns(ctx, w, now)
	if err != nil {
		return nil, err
	}
	parts, err := a.openParts(ctx, w, now)
	if err != nil {
		return nil, err
	}
	unfinished, err := a.unfinished(ctx, w)
	if err != nil {
		return nil, err
	}
	complaints, err := a.todayComplaints(ctx, w, page)
	if err != nil {
		return nil, err
	}
	late := append(append(lateRuns, parts.late...), unfinished...)
	page.Groups = []todayGroup{
		{Title: w.say("today.runs"), Empty: w.say("today.no_runs"), Rows: open},
		{Title: w.say("today.filling"), Empty: w.say("today.no_filling"), Rows: parts.filling},
		parts.heldGroup(w),
		{Title: w.say("today_page.complaints"), Empty: w.say("today_page.no_complaints"), Rows: complaints},
		{Title: w.say("today.late"), Empty: w.say("today.no_late"), Rows: late},
	}
	setUp, err := a.toSetUp(ctx, visitorOf(c))
	if len(setUp) > 0 {
		page.Groups = slices.Insert(page.Groups, 0, todayGroup{Title: w.say("first_step.title"), Rows: setUp})
	}
	return page, err
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

// todayParts are the parts filling, held, and of both the late ones.
type todayParts struct {
	filling, held, late []ledgerLine
	more                int // held beyond mostHeld
}

// mostHeld is how many held parts are judged for the page; the shelf has them all.
const mostHeld = 12

func (p *todayParts) heldGroup(w words) todayGroup {
	g := todayGroup{Title: w.say("today.held"), Empty: w.say("today.no_held"), Rows: p.held}
	if p.more > 0 {
		g.More, g.MoreURL = w.say("today_page.more_held", "More", p.more), shelfURL(records.StateHeld, "")
	}
	return g
}

// openParts finds the parts still filling and those held, the newest lots first.
func (a *App) openParts(ctx context.Context, w words, now time.Time) (*todayParts, error) {
	list, err := records.ShelfList(ctx, a.store, `id NOT IN (SELECT part_id FROM disposition_now WHERE act IN ('release', 'rework', 'destroy'))
		OR id IN (SELECT part_id FROM disposition_now WHERE act IN ('hold', 'recall'))`)
	if err != nil {
		return nil, err
	}
	found := &todayParts{}
	for i := len(list) - 1; i >= 0; i-- {
		if err := a.openPart(ctx, w, now, list[i], found); err != nil {
			return nil, err
		}
	}
	return found, nil
}

func (a *App) openPart(ctx context.Context, w words, now time.Time, p records.OnShelf, found *todayParts) error {
	since := p.WrittenAt
	if p.Last != nil {
		since = p.Last.At
	}
	day, err := w.day(since)
	if err != nil {
		return err
	}
	l := ledgerLine{Name: partName(w, p), Word: w.say("today.since", "State", w.say("life."+p.State), "Day", day), URL: recordURL(p.LotID)}
	limit := lateHeld
	switch p.State {
	case records.StateFilling:
		late, err := a.lateCheck(ctx, w, p.Lot)
		if err != nil {
			return err
		}
		if late != "" {
			l.Word += " · " + late
		}
		found.filling, limit = append(found.filling, l), lateFilling
	case records.StateHeld, records.StateRecalled:
		if len(found.held) == mostHeld {
			found.more++
			break
		}
		told, err := a.heldLine(ctx, w, p, l)
		if err != nil {
			return err
		}
		found.held = append(found.held, told)
	default:
		return nil
	}
	if now.Sub(since) > limit {
		if p.State == records.StateHeld {
			l.Word = w.say("today_page.held_for", "Days", w.say("count.days", "Count", int(now.Sub(since).Hours()/24)))
		}
		found.late = append(found.late, l)
	}
	return nil
}

// heldLine adds why somebody held a part, and what it lacks to be released. What is called back is not released from
// here.
func (a *App) heldLine(ctx context.Context, w words, p records.OnShelf, l ledgerLine) (ledgerLine, error) {
	if p.Last != nil && !p.Last.Automatic && p.Last.Reason != "" {
		l.Word += " · " + p.Last.Reason
	}
	if p.State != records.StateHeld {
		return l, nil
	}
	lacks, err := a.lacks(ctx, w, p)
	l.Word += " · " + lacks
	return l, err
}

// lacks says in short what stands between a part and its release.
func (a *App) lacks(ctx context.Context, w words, p records.OnShelf) (string, error) {
	judged, err := records.JudgePart(ctx, a.store, p.ID)
	if err != nil {
		return "", err
	}
	const reason = "release_missing.reason"
	missing := judged.Missing(true, "")
	if len(missing) == 0 {
		return w.say("today_page.lacks_nothing"), nil
	}
	if len(missing) == 1 && missing[0].Key == reason {
		return w.say("today_page.lacks_reason"), nil
	}
	first := missingWords(w, missing[0])
	if len(missing) == 1 {
		return w.say("today_page.lacks", "What", first), nil
	}
	return w.say("today_page.lacks_more", "What", first, "More", len(missing)-1), nil
}

// missingWords is what is missing without the next step, which the lot's page has.
func missingWords(w words, m hazards.Missing) string {
	if m.Finding != nil {
		return m.Finding.Words(w.lang, w.units).What
	}
	return m.Words(w.lang, w.units)
}

// unfinished are runs drawn off without a finish reading, and instruments whose newest check failed.
func (a *App) unfinished(ctx context.Context, w words) ([]ledgerLine, error) {
	runs, err := records.RunsWithoutFinish(ctx, a.store)
	if err != nil {
		return nil, err
	}
	var lines []ledgerLine
	for _, run := range runs {
		lines = append(lines, ledgerLine{Name: run.Code, Word: w.say("today_page.no_finish"), URL: recordURL(run.ID)})
	}
	failed, err := records.FailedInstruments(ctx, a.store)
	if err != nil {
		return nil, err
	}
	for _, k := range failed {
		day, err := w.day(k.At)
		if err != nil {
			return nil, err
		}
		lines = append(lines, ledgerLine{Name: records.Name(ctx, a.store, k.InstrumentID), Word: w.say("today_page.failed", "Day", day), URL: traceURL(k.InstrumentID)})
	}
	return lines, nil
}

// todayComplaints lists the open ones and puts the question about lots with several alike on the page.
func (a *App) todayComplaints(ctx context.Context, w words, page *todayPage) ([]ledgerLine, error) {
	all, err := records.List[records.Complaint](ctx, a.store, "ORDER BY received_at DESC, id DESC")
	if err != nil {
		return nil, err
	}
	if page.Questions, err = a.holdQuestions(ctx, w, all); err != nil {
		return nil, err
	}
	open, _, err := a.complaintLines(ctx, w, all)
	return open, err
}
