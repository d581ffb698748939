package app

import (
	"context"
	"strings"
	"sync"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

// finishPanel says when a run will be done, or what is missing to say it; after the end what should have come of the juice
// beside what was drawn off.
type finishPanel struct {
	Title, Lead    string
	Figure, Within string   // the time, and the interval; empty when no time is told
	Words          []string // water and rate, then the basis, then what did not fit
	Asks           bool     // the lead says what is missing, or what to do
}

// finishes keeps the estimate of each open run for a minute: it takes some ten queries and some milliseconds, and all who
// watch a kettle in that minute are told the same.
type finishes struct {
	sync.Mutex
	of map[string]keptFinish
}

type keptFinish struct {
	head   int64 // of the journal
	minute int64
	finish hazards.Finish
}

// finishOf is the estimate of an open run.
func (a *App) finishOf(ctx context.Context, log records.BoilLog, target syrup.Brix) (hazards.Finish, error) {
	head, err := records.JournalHead(ctx, a.store)
	if err != nil {
		return hazards.Finish{}, err
	}
	now := a.store.Now()
	a.finishes.Lock()
	defer a.finishes.Unlock()
	if kept, ok := a.finishes.of[log.Run.ID]; ok && kept.head == head.Seq && kept.minute == now.Unix()/60 {
		return kept.finish, nil
	}
	finish, err := records.EstimateFinish(ctx, a.store, log, target, now)
	if err != nil {
		return finish, err
	}
	if a.finishes.of == nil || len(a.finishes.of) > 64 {
		a.finishes.of = map[string]keptFinish{}
	}
	a.finishes.of[log.Run.ID] = keptFinish{head.Seq, now.Unix() / 60, finish}
	return finish, nil
}

// finishPanel is the panel of a run's page; nil when there is nothing to say.
func (a *App) finishPanel(ctx context.Context, v *visitor, log records.BoilLog) (*finishPanel, error) {
	if log.Run.Struck {
		return nil, nil
	}
	if log.DrawnOff != nil {
		facts, ok, err := records.DrawnOffFactsOf(ctx, a.store, log)
		if !ok || err != nil {
			return nil, err
		}
		return v.words().drawnPanel(facts, len(skimmings(log))), nil
	}
	finish, err := a.finishOf(ctx, log, v.house.TargetSolids)
	if err != nil {
		return nil, err
	}
	return v.words().finishPanel(finish, v.house.TargetSolids, a.store.Now()), nil
}

// doneWords is the estimate in one line, for the card of a kettle and the head of its run; empty when no time is told.
func (a *App) doneWords(ctx context.Context, v *visitor, log records.BoilLog) (string, error) {
	finish, err := a.finishOf(ctx, log, v.house.TargetSolids)
	if err != nil {
		return "", err
	}
	w := v.words()
	switch finish.State {
	case hazards.FinishBoiling:
		return w.say("finish.card", "At", w.hour(finish.At, finish, a.store.Now()), "Early", w.hour(finish.Early, finish, a.store.Now()),
			"Late", w.hour(finish.Late, finish, a.store.Now())), nil
	case hazards.FinishFireOut:
		return w.say("finish.card_out", "Left", w.about(finish.Left)), nil
	case hazards.FinishReached:
		return w.say("finish.card_reached"), nil
	}
	return "", nil
}

// finishPanel puts an estimate in words.
func (w words) finishPanel(f hazards.Finish, target syrup.Brix, now time.Time) *finishPanel {
	aim, _ := w.percent(target)
	p := &finishPanel{Title: w.say("finish.title")}
	switch f.State {
	case hazards.FinishBoiling:
		p.Lead = w.say("finish.lead", "Target", aim)
		p.Figure = w.hour(f.At, f, now)
		p.Within = w.say("finish.within", "Early", w.hour(f.Early, f, now), "Late", w.hour(f.Late, f, now))
		p.Words = append(p.Words, w.toGo(f))
	case hazards.FinishFireOut:
		p.Lead = w.say("finish.lead_out", "Target", aim)
		p.Figure = w.about(f.Left)
		p.Within = w.say("finish.within_left", "Early", w.about(f.LeftEarly), "Late", w.about(f.LeftLate))
		p.Words = append(p.Words, w.say("finish.water_out", "Water", w.waterOff(f.Water)))
	case hazards.FinishReached:
		p.Lead, p.Asks = w.say("finish.reached", "Target", aim), true
	default:
		p.Lead, p.Asks = w.say(f.Reason), true
	}
	if f.State != hazards.FinishUnknown {
		p.Words = append(p.Words, w.basis(f))
	}
	if n := len(f.Odd); n > 0 {
		p.Words = append(p.Words, w.say("finish.odd", text.Count(n)))
	}
	if len(f.Uncounted) > 0 {
		p.Words = append(p.Words, w.say("finish.uncounted", "Names", strings.Join(f.Uncounted, ", ")))
	}
	return p
}

// wideInterval is from where times of an estimate are told to five minutes: the interval says how well they are known.
const wideInterval = 20 * time.Minute

// hour is a time of day of an estimate, with the day when it is not today's.
func (w words) hour(t time.Time, f hazards.Finish, now time.Time) string {
	to := time.Minute
	if f.Late.Sub(f.Early) > wideInterval {
		to = 5 * time.Minute
	}
	t = t.Round(to)
	say := w.clock
	if zone := w.zone(); records.DayOf(t, zone) != records.DayOf(now, zone) {
		say = w.moment
	}
	said, _ := say(t)
	return said
}

// about is a time span to five minutes, from an hour and a half on to ten.
func (w words) about(d time.Duration) string {
	to := 5 * time.Minute
	if d > 90*time.Minute {
		to = 10 * time.Minute
	}
	return w.hours(max(d.Round(to), 5*time.Minute))
}

// waterCold is the density of water at 20 C: water boiled off is told as the volume it had in the tap (CRC: 998.2).
const waterCold = 0.9982

func (w words) waterOff(m syrup.Kilograms) string {
	said, _ := w.volume(syrup.Liters(m / waterCold))
	return said
}

// toGo is the water still to go and how fast it goes.
func (w words) toGo(f hazards.Finish) string {
	key := "finish.water"
	if !f.Boils {
		key = "finish.water_cold"
	}
	return w.say(key, "Water", w.waterOff(f.Water), "Rate", w.waterOff(f.Rate))
}

// basis is the line that says what the estimate is made from.
func (w words) basis(f hazards.Finish) string {
	var from []string
	if f.Readings > 0 {
		from = append(from, w.say("finish.readings", text.Count(f.Readings)))
	}
	if f.Temperatures > 0 {
		from = append(from, w.say("finish.temperatures", text.Count(f.Temperatures)))
	}
	here := ""
	if len(from) > 0 {
		here = w.say("finish.of_this", "From", strings.Join(from, " "+w.say("finish.and")+" "))
	}
	past := ""
	if f.Past > 0 {
		past = w.say("finish.of_past", text.Count(f.Past))
	}
	switch {
	case here == "" && past == "":
		return w.say("finish.basis", "From", w.say("finish.of_juice"))
	case here == "":
		return w.say("finish.basis", "From", past)
	case past == "":
		return w.say("finish.basis", "From", here)
	}
	return w.say("finish.basis", "From", here+" "+w.say("finish.and")+" "+past)
}

// skimmings are the entries of a log that took something off which nobody weighs.
func skimmings(log records.BoilLog) []records.BoilEntry {
	var list []records.BoilEntry
	for _, e := range log.Entries {
		if e.What == records.EntrySkimming {
			list = append(list, e)
		}
	}
	return list
}

// drawnPanel is the syrup that should have come of what went in, beside what was drawn off; nil when the figures say
// nothing.
func (w words) drawnPanel(f hazards.DrawnOffFacts, skimmed int) *finishPanel {
	b, ok := hazards.BalanceDrawnOff(f)
	if !ok {
		return nil
	}
	p := &finishPanel{Title: w.say("finish.balance")}
	expected, _ := w.volume(b.Expected)
	ended, _ := w.percent(f.Ended)
	solids, _ := w.mass(f.SolidsIn - f.Elsewhere)
	at, _ := w.temperature(b.At)
	p.Words = append(p.Words, w.say("finish.expected", "Volume", expected, "Ended", ended, "Solids", solids, "At", at))
	if b.Assumed {
		p.Words = append(p.Words, w.say("finish.assumed", "At", at))
	}
	if b.Rest == nil {
		p.Words = append(p.Words, w.say("finish.not_measured"))
		return p
	}
	drawn, _ := w.volume(f.Drawn)
	share := decimal(100*max(float64(b.Share), -float64(b.Share))) + noBreak + w.say("unit.percent")
	if *b.Rest < 0 {
		more, _ := w.volume(-*b.Rest)
		p.Words = append(p.Words, w.say("finish.rest_over", "Drawn", drawn, "Rest", more, "Share", share))
		return p
	}
	rest, _ := w.volume(*b.Rest)
	p.Words = append(p.Words, w.say("finish.rest", "Drawn", drawn, "Rest", rest, "Share", share))
	if skimmed > 0 {
		p.Words = append(p.Words, w.say("finish.skimmed", text.Count(skimmed)))
	} else {
		p.Words = append(p.Words, w.say("finish.not_skimmed"))
	}
	return p
}
