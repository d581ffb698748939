package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"canewright/hazards"
	"canewright/records"
)

// What may be pulled for a complaint.
const (
	pullFinish      = "finish"
	pullLog         = "log"
	pullChecks      = "checks"
	pullClosures    = "closures"
	pullBottles     = "bottles"
	pullCane        = "cane"
	pullAdditions   = "additions"
	pullInstruments = "instruments"
	pullPeople      = "people"
	pullSisters     = "sisters"
)

// pulls says which records each kind of complaint is looked into with, the likeliest first (trade notes, section 5.1).
var pulls = map[string][]string{
	"crystals": {pullFinish, pullLog, pullInstruments, pullSisters},
	"fizzy":    {pullFinish, pullChecks, pullClosures, pullBottles, pullSisters},
	"mould":    {pullChecks, pullFinish, pullClosures, pullSisters},
	"taste":    {pullLog, pullAdditions, pullCane, pullSisters},
	"thin":     {pullFinish, pullInstruments, pullLog, pullSisters},
	"dark":     {pullLog, pullCane, pullSisters},
	"piece":    {pullBottles, pullClosures, pullPeople, pullChecks, pullSisters},
	"leak":     {pullClosures, pullBottles, pullChecks, pullSisters},
	"short":    {pullChecks, pullInstruments, pullSisters},
	"illness":  {pullAdditions, pullFinish, pullChecks, pullClosures, pullBottles, pullCane, pullLog, pullInstruments, pullPeople, pullSisters},
	"other":    {pullFinish, pullChecks, pullLog, pullSisters},
}

// pullLines lists the records to pull with what they say, each a link.
func (a *App) pullLines(ctx context.Context, w words, r *lotAnswer, about string) ([]line, error) {
	var lines []line
	for _, what := range pulls[about] {
		add := func(said, url string) {
			l := line{Label: w.say("complaint_pull." + what), Text: said, URL: url, Missing: said == ""}
			if l.Missing {
				l.Text = w.notRecorded()
			}
			lines = append(lines, l)
		}
		if err := a.pull(ctx, w, r, what, add); err != nil {
			return nil, err
		}
	}
	return lines, nil
}

func (a *App) pull(ctx context.Context, w words, r *lotAnswer, what string, add func(said, url string)) error {
	switch what {
	case pullFinish:
		for _, run := range r.facts.Runs {
			add(runWords(w, run), recordURL(run.ID))
		}
	case pullLog:
		for _, run := range r.facts.Runs {
			add(w.say("complaint.log_of", "Run", run.Name), recordURL(run.ID))
		}
	case pullChecks:
		add(a.coolest(w, r.facts), "#checks")
	case pullClosures:
		return a.pullSupply(ctx, w, r, r.lot.ClosuresLotID, add)
	case pullBottles:
		return a.pullSupply(ctx, w, r, r.lot.BottlesLotID, add)
	case pullCane:
		return a.caneLines(ctx, w, r, func(_, said, url string) { add(said, url) })
	case pullAdditions:
		pullAdded(w, r.facts, add)
	case pullInstruments:
		pullUsed(r.facts, add)
	case pullPeople:
		add(a.peopleOf(ctx, r.facts), "")
	case pullSisters:
		add(w.say("count.lots", "Count", len(r.sisters)), "#sisters")
	}
	return nil
}

// pullSupply names a supply lot and how many other lots and complaints it has.
func (a *App) pullSupply(ctx context.Context, w words, r *lotAnswer, id *string, add func(said, url string)) error {
	if id == nil {
		add("", "")
		return nil
	}
	lots := 0
	for _, s := range r.sisters {
		if slices.ContainsFunc(s.By, func(by records.Step) bool { return by.ID == *id }) {
			lots++
		}
	}
	add(w.say("complaint.also_in", "Name", records.Name(ctx, a.store, *id), "Lots", w.say("count.lots", "Count", lots)), traceURL(*id))
	return nil
}

func pullAdded(w words, facts hazards.LotFacts, add func(said, url string)) {
	all := slices.Clone(facts.Additions)
	for _, run := range facts.Runs {
		all = append(all, run.Additions...)
	}
	for _, addition := range all {
		add(addition.Name, recordURL(addition.ID))
	}
	if len(all) == 0 {
		add(w.say("word.none"), "")
	}
}

// pullUsed lists the instruments of the finish readings and the fill checks.
func pullUsed(facts hazards.LotFacts, add func(said, url string)) {
	seen := map[string]bool{}
	use := func(i *hazards.InstrumentFacts) {
		if i != nil && !seen[i.ID] {
			seen[i.ID] = true
			said := i.Name
			if i.Error != nil {
				said = fmt.Sprintf("%s (%+.1f)", said, *i.Error)
			}
			add(said, traceURL(i.ID))
		}
	}
	for _, run := range facts.Runs {
		for _, reading := range run.Readings {
			use(reading.Instrument)
		}
	}
	for _, k := range facts.Fill.Checks {
		use(k.Instrument)
	}
	if len(seen) == 0 {
		add("", "")
	}
}

// peopleOf names who boiled, filled and checked.
func (a *App) peopleOf(ctx context.Context, facts hazards.LotFacts) string {
	var names []string
	add := func(id string) {
		if name := a.personName(ctx, id); name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	add(facts.Person)
	for _, run := range facts.Runs {
		add(run.Person)
	}
	for _, k := range facts.Fill.Checks {
		add(k.Person)
	}
	return strings.Join(names, ", ")
}

func (a *App) personName(ctx context.Context, id string) string {
	if id == "" {
		return ""
	}
	return records.Name(ctx, a.store, id)
}
