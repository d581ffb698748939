package app

import (
	"context"
	"errors"
	"slices"

	"canewright/hazards"
	"canewright/records"
)

// shownNet is a check that was kept, with every step.
type shownNet struct {
	Name, URL, Who, Edition string
	Level, Verdict, Place   string
	Weights, StoodIn        string
	Steps                   []string
	AsKept                  bool // the steps are those worked out then
	Note                    string
}

// netChecks are the checks of a lot, newest first.
func (a *App) netChecks(ctx context.Context, v *visitor, lotID string) ([]shownNet, error) {
	samples, err := records.List[records.NetSample](ctx, a.store, "lot_id = ? ORDER BY at DESC, id DESC", lotID)
	if err != nil {
		return nil, err
	}
	w := v.words()
	var shown []shownNet
	seen := map[string]bool{}
	for _, n := range samples {
		when, err := w.moment(n.At)
		if err != nil {
			return nil, err
		}
		s := shownNet{Name: w.say("net_scheme."+n.Scheme) + ", " + when, URL: recordURL(n.ID), Who: a.writers(ctx, w, n.Row), Edition: n.Edition, Note: n.Note,
			Level: "hold", Verdict: w.say("net_page.fails"), Place: w.say("net_page.before"), StoodIn: stoodIn(w, n),
			Weights: w.say("net_page.weights", "Unit", w.say(unitKeys[n.Unit]), "Weights", n.Weights)}
		if n.Passed {
			s.Level, s.Verdict = "within", w.say("net_page.passes")
		}
		if !seen[n.Scheme] {
			seen[n.Scheme], s.Place = true, w.say("net_page.governs")
		}
		steps, same, err := records.NetSteps(ctx, a.store, n, v.lang)
		if err != nil {
			return nil, err
		}
		s.Steps, s.AsKept = steps, !same
		shown = append(shown, s)
	}
	return shown, nil
}

// stoodIn names the bottles weighed that were not among those first drawn.
func stoodIn(w words, n records.NetSample) string {
	weighed, err := hazards.ParseBottles(n.Picked, n.LotSize)
	if err != nil || n.Seed == "" {
		return ""
	}
	drawn := hazards.PickPackages(n.Seed, n.LotSize, len(weighed))
	weighed = slices.DeleteFunc(weighed, func(b int) bool { return slices.Contains(drawn, b) })
	if len(weighed) == 0 {
		return ""
	}
	return w.say("net_page.stood_in", "Numbers", numbersIn(weighed))
}

// netFigures are what a bottle of the lot should weigh and may be short of.
func (a *App) netFigures(ctx context.Context, w words, facts hazards.LotFacts, container records.Container, d netDraw) ([]line, error) {
	full, err := fullBottle(facts)
	if err != nil {
		return nil, err
	}
	solids := hazards.LotSolids(facts)
	lines := []line{
		{Label: w.say("net_page.contents"), Text: bothVolumes(*facts.Fill.Contents), Entered: w.say("net_page.contents_note")},
		{Label: w.say("net_page.solids"), Text: w.say("lot_page.solids_figure", "Percent", decimal(float64(solids.Percent)), "Uncertainty", decimal(float64(solids.Uncertainty)))},
		{Label: w.say("net_page.nominal"), Text: gramsWords(w, full)},
	}
	if container.Tare != nil {
		lines = append(lines, line{Label: w.say("net_page.nominal_gross", "Tare", gramsWords(w, *container.Tare)), Text: gramsWords(w, full+*container.Tare)})
	} else {
		lines = append(lines, line{Label: w.say("net_sample.tare"), Text: w.say("net_page.no_tare", "Name", container.Name, "Count", d.taresNeeded()), Missing: true})
	}
	tolerance, err := a.netTolerance(ctx, w, facts, d)
	return append(lines, tolerance), err
}

// netTolerance is what one bottle may be short of, with where that is from.
func (a *App) netTolerance(ctx context.Context, w words, facts hazards.LotFacts, d netDraw) (line, error) {
	table, _, err := records.MAVTable(ctx, a.store, records.TableMAVVolume)
	if err != nil {
		return line{}, err
	}
	label := float64(*facts.Fill.Contents)
	sample := hazards.NetSample{Scheme: d.scheme, Label: label, Unit: hazards.UnitMilliliters}
	from := w.say("net_step.from.r87")
	if row, ok := table.Of(label); ok && row.MAV < label && d.scheme == hazards.SchemeHB133 {
		sample.MAV, from = &row.MAV, w.say("net_step.from.entered", "Edition", table.Edition)
	} else if d.scheme == hazards.SchemeHB133 {
		from = w.say("net_step.from.action")
	}
	t, err := hazards.PackageTolerance(sample)
	return line{Label: w.say("net_page.tolerance"), Text: decimal(t.Tolerance) + noBreak + w.say("unit.milliliter"), Entered: from}, err
}

// scaleChecks are the scales of the house with the last check of each.
func (a *App) scaleChecks(ctx context.Context, w words) ([]ledgerLine, error) {
	scales, err := records.List[records.Instrument](ctx, a.store, "measures = ? ORDER BY name, id", records.MeasuresWeight)
	if err != nil {
		return nil, err
	}
	lines := make([]ledgerLine, len(scales))
	for i, s := range scales {
		lines[i] = ledgerLine{Name: s.Name, URL: recordURL(s.ID), Word: w.say("net_page.never_checked")}
		checks, err := records.List[records.InstrumentCheck](ctx, a.store, "instrument_id = ? ORDER BY at DESC, id DESC LIMIT 1", s.ID)
		if err != nil && !errors.Is(err, records.ErrNotFound) {
			return nil, err
		}
		if len(checks) == 0 {
			continue
		}
		when, err := w.moment(checks[0].At)
		if err != nil {
			return nil, err
		}
		said := "net_page.check_failed"
		if checks[0].Passed {
			said = "net_page.check_passed"
		}
		lines[i].Word = w.say(said, "When", when)
	}
	return lines, nil
}
