package app

import (
	"context"
	"slices"
	"strconv"

	"canewright/hazards"
	"canewright/records"
)

// containerWords names what a lot is filled into and closed with.
func (a *App) containerWords(ctx context.Context, w words, lot records.Lot) string {
	name := records.Name(ctx, a.store, lot.ContainerID)
	if lot.ClosuresLotID == nil {
		return name
	}
	return w.say("filler_session.container", "Container", name, "Closures", records.Name(ctx, a.store, *lot.ClosuresLotID))
}

// inItOf says what is in the bottles by share: the runs behind the lot, also where it came through a tank.
func (a *App) inItOf(ctx context.Context, w words, lotID string, facts hazards.LotFacts) ([]sourceLine, error) {
	back, err := records.TraceBack(ctx, a.store, lotID)
	if err != nil {
		return nil, err
	}
	var lines []sourceLine
	for _, s := range back.Steps {
		near := slices.ContainsFunc(facts.Runs, func(r hazards.RunFacts) bool { return r.ID == s.ID })
		if s.Kind == records.KindRun && !near || s.Kind != records.KindRun && s.Kind != records.KindTank {
			continue
		}
		l := sourceLine{Name: w.say("trail."+string(s.Kind), "Name", s.Name), URL: recordURL(s.ID), Word: w.say("filler_session.share_unknown")}
		if s.Kind == records.KindTank {
			l.Name = w.say("filler_session.share_tank", "Name", s.Name)
		}
		if s.Share != nil {
			if l.Word, err = w.percent(*s.Share); err != nil {
				return nil, err
			}
		}
		if s.Estimated {
			l.Word += ", " + w.say("word.estimated")
		}
		if s.Unknown {
			l.Word += ", " + w.say("lot_page.unknown_contents")
		}
		lines = append(lines, l)
	}
	return lines, nil
}

// bottleBalance adds the bottles up: taken = filled + broken, and what is left of their supply lot.
func (a *App) bottleBalance(ctx context.Context, w words, lot records.Lot, facts hazards.LotFacts, broken int) ([]line, error) {
	var lines []line
	add := func(label string, n int) { lines = append(lines, line{Label: label, Text: strconv.Itoa(n)}) }
	filled := 0
	switch {
	case facts.Units != nil:
		filled = *facts.Units
		add(w.say("filler_session.balance_filled"), filled)
	default:
		if filled = lastNumber(facts.Fill.Checks); filled > 0 {
			add(w.say("filler_session.balance_capped"), filled)
		}
	}
	if broken > 0 {
		add(w.say("filler_session.balance_broken"), broken)
	}
	if lot.BottlesLotID == nil || len(lines) == 0 {
		return lines, nil
	}
	name := records.Name(ctx, a.store, *lot.BottlesLotID)
	add(w.say("filler_session.balance_taken", "Name", name), filled+broken)
	supplies, err := records.SuppliesLeft(ctx, a.store, records.SupplyBottles)
	i := slices.IndexFunc(supplies, func(s records.SupplyLeft) bool { return s.ID == *lot.BottlesLotID })
	switch {
	case err != nil || i < 0 || facts.Open:
	case supplies[i].Left == nil:
		lines = append(lines, line{Label: w.say("filler_session.balance_left_unknown", "Name", name), Text: "–"})
	case *supplies[i].Left < 0:
		add(w.say("filler_session.balance_over", "Name", name), int(-*supplies[i].Left))
	default:
		add(w.say("filler_session.balance_left", "Name", name), int(*supplies[i].Left))
	}
	return lines, err
}

// lastNumber is the highest bottle number a check has said; 0 when none has.
func lastNumber(checks []hazards.FillCheckFacts) int {
	last := 0
	for _, k := range checks {
		if k.BottleNumber != nil {
			last = max(last, *k.BottleNumber)
		}
	}
	return last
}
