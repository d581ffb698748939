package app

import (
	"context"

	"canewright/records"
)

// forKettle lists what may go into a kettle: juice of pressings and juice tanks, and what is held half boiled.
func (a *App) forKettle(ctx context.Context, f *form) ([]records.Stock, map[string]records.SemiSyrup, error) {
	stocks, err := a.store.JuiceLeft(ctx)
	if err != nil {
		return nil, nil, err
	}
	held, err := a.store.SemiSyrupLeft(ctx)
	if err != nil {
		return nil, nil, err
	}
	semis := map[string]records.SemiSyrup{}
	for _, s := range held {
		semis[s.ID] = s
		stocks = append(stocks, s.Stock)
	}
	stocks, err = a.offered(ctx, f, stocks)
	return stocks, semis, err
}

// kettleDraws binds them: semi-syrup is named as such, with how long it was held and how it keeps.
func (a *App) kettleDraws(f *form, stocks []records.Stock, semis map[string]records.SemiSyrup) []*drawField {
	draws, w := f.draws(stocks), f.words
	for _, d := range draws {
		semi, ok := semis[d.Stock.ID]
		if !ok {
			continue
		}
		d.Name = w.say("semi_syrup.word", "Name", d.Stock.Name)
		if semi.Kind == records.KindRun {
			d.Name = w.say("semi_syrup.of_run", "Code", d.Stock.Name)
		}
		f.relabel(d.Tick, capital(d.Name))
		since, _ := w.moment(semi.HeldAt)
		d.Tick.Help = w.say("semi_syrup.held_since", "When", since) + " " + w.keepingOf(semi.Solids, f.now.Sub(semi.HeldAt))
	}
	return draws
}

// heelSaid is the end of a run where it says how much stayed in the kettle; nil where nobody said.
func (a *App) heelSaid(ctx context.Context, runID string) (*records.BoilEntry, error) {
	ends, err := records.List[records.BoilEntry](ctx, a.store, "run_id = ? AND what = ? AND heel IS NOT NULL", runID, records.EntryDrawnOff)
	if err != nil || len(ends) == 0 {
		return nil, err
	}
	return &ends[0], nil
}

// heel says how much stayed in the kettle.
func (w words) heel(end records.BoilEntry) string {
	if *end.Heel == 0 {
		return w.say("kettle_page.no_heel")
	}
	volume, _ := w.volume(*end.Heel)
	return w.say("kettle_page.heel_left", "Volume", volume)
}

// runStep is a run's word in the trail line; one that ended otherwise than as syrup says how.
func (a *App) runStep(ctx context.Context, w words, run *records.Run, name string) string {
	step := w.say("trail.run", "Name", name)
	ends, err := records.List[records.BoilEntry](ctx, a.store, "run_id = ? AND what = ? AND outcome <> ?", run.ID, records.EntryDrawnOff, records.OutcomeSyrup)
	if err != nil || len(ends) == 0 {
		return step
	}
	return w.say("trail.run_ended", "Run", step, "How", w.outcome(ends[0].Outcome))
}
