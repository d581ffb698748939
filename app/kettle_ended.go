package app

import (
	"context"

	"canewright/hazards/syrup"
	"canewright/records"
)

// outcome says how a run ended: "held as semi-syrup".
func (w words) outcome(outcome string) string {
	if outcome == records.OutcomeSyrup {
		return w.say("boil_entry.outcome.empty")
	}
	return w.say("boil_entry.outcome." + outcome)
}

// howEnded fills in the lines of a run's end; none while it boils.
func (a *App) howEnded(ctx context.Context, w words, log records.BoilLog, page *endPage) error {
	end := log.DrawnOff
	if end == nil {
		return nil
	}
	when, _ := w.moment(end.At)
	amount := w.say("kettle_end.not_measured")
	if end.Volume != nil {
		amount, _ = w.volume(end.Volume)
		if end.Estimated {
			amount += ", " + w.say("word.estimated")
		}
	}
	page.Ended = []string{capital(w.say("kettle_end.ended_how", "How", w.outcome(end.Outcome)+", "+amount, "When", when)),
		w.say("kettle_end.on_fire", "Time", w.hours(log.FireAt(end.At).OnFire))}
	page.Note = end.Note
	if end.Outcome != records.OutcomeSemiSyrup {
		return nil
	}
	solids, err := records.EndSolids(ctx, a.store, log.Run.ID)
	if err != nil {
		return err
	}
	var percent *syrup.Brix
	if solids != nil {
		percent = &solids.Percent
		page.Ended = append(page.Ended, capital(w.solids(*solids)+" "+w.say("kettle_page.estimated"))+".")
	}
	page.Keeps = []string{w.keepingOf(percent, a.store.Now().Sub(end.At)), w.say("semi_syrup.keeps")}
	return nil
}

// runBalance fills in the dissolved solids of a run, in and out.
func (a *App) runBalance(ctx context.Context, w words, log records.BoilLog, page *endPage) error {
	b, err := records.RunBalanceOf(ctx, a.store, log.Run.ID)
	if err != nil {
		return err
	}
	line := func(label string, kg *syrup.Kilograms, note string) {
		said, _ := w.mass(kg)
		page.Balance = append(page.Balance, balanceLine{Label: label, Figure: said, Note: note})
	}
	for _, l := range b.Into {
		key := "kettle_end.in_from"
		if l.Heel {
			key = "kettle_end.in_heel"
		}
		line(w.say(key, "Name", a.nameIn(ctx, w, l.FromID)), l.Solids, w.linkAmount(l))
	}
	if len(b.Into) > 1 {
		line(w.say("kettle_end.in_all"), b.In(), "")
	}
	for _, l := range b.Ladled {
		line(w.say("kettle_end.moved_to", "Name", a.nameIn(ctx, w, l.ToID)), l.Solids, w.linkAmount(l))
	}
	page.Basis = w.say("kettle_end.balance_open")
	if !b.Ended {
		return nil
	}
	page.Basis = w.say("kettle_end.balance_note")
	switch b.Outcome {
	case records.OutcomeGivenUp:
		line(w.say("kettle_end.poured"), b.Poured, "")
	case records.OutcomeSyrup:
		line(w.say("kettle_end.out_drawn"), b.Drawn, "")
	default:
		said, note := b.Drawn, ""
		if said == nil && b.Assumed != nil {
			said, note = b.Assumed, w.say("kettle_end.assumed")
		}
		line(w.say("kettle_end.out_"+b.Outcome), said, note)
	}
	if b.Heel != nil {
		line(w.say("kettle_end.heel_left"), b.Heel, "")
	}
	line(w.say("kettle_end.unaccounted"), b.Unaccounted(), "")
	return nil
}

// movedInMidBoil are the links into other kettles before the run ended.
func (a *App) movedInMidBoil(ctx context.Context, log records.BoilLog) []records.Link {
	var moved []records.Link
	for _, l := range log.Out {
		kind, err := a.store.KindOf(ctx, l.ToID)
		if err == nil && kind == records.KindRun && !l.Heel && (log.DrawnOff == nil || l.At.Before(log.DrawnOff.At)) {
			moved = append(moved, l)
		}
	}
	return moved
}

// nameTakers says of what went into other runs whether it was moved or stayed as a heel.
func (a *App) nameTakers(ctx context.Context, w words, links []records.Link, lines []amountLine) {
	for i, l := range links {
		kind, err := a.store.KindOf(ctx, l.ToID)
		if err != nil || kind != records.KindRun {
			continue
		}
		key := "kettle_end.moved_to"
		if l.Heel {
			key = "kettle_end.heel_for"
		}
		lines[i].Name = w.say(key, "Name", lines[i].Name)
	}
}
