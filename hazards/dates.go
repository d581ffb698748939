package hazards

import "time"

// StepFacts is one record of the chain in time; nil is not known, or for an end not over yet.
type StepFacts struct {
	ID    string
	Name  string
	Start *time.Time
	End   *time.Time
}

// JudgeStep finds a record that ends before it begins.
func JudgeStep(s StepFacts, rules Rules) []Finding {
	if s.Start == nil || s.End == nil || !s.End.Before(*s.Start) {
		return nil
	}
	f := Finding{Code: "dates.end_before_start", Level: Hold, About: s.ID, AboutName: s.Name, Source: ourRule}
	f = f.with("Start", moment(*s.Start, rules.zone()))
	return []Finding{f.with("End", moment(*s.End, rules.zone()))}
}

// JudgeOrder finds a source that begins after its taker has ended: nothing can have gone from one to the other, so one of
// the two is a wrong record, and a stop. A link outside its source and taker is a hold. Overlap is as it should be:
// pressing goes on while the kettle is lit, bottling starts while drawing off.
func JudgeOrder(source, taker StepFacts, at *time.Time, rules Rules) []Finding {
	f := Finding{About: taker.ID, AboutName: taker.Name, Source: ourRule}
	f = f.with("From", named(source.Name))
	if source.Start != nil && taker.End != nil && source.Start.After(*taker.End) {
		f.Code, f.Level = "dates.source_after_taker", Stop
		f = f.with("Began", moment(*source.Start, rules.zone()))
		return []Finding{f.with("Ended", moment(*taker.End, rules.zone()))}
	}
	early := at != nil && source.Start != nil && at.Before(*source.Start)
	late := at != nil && taker.End != nil && at.After(*taker.End)
	if early || late {
		f.Code, f.Level = "dates.link_outside", Hold
		return []Finding{f.with("At", moment(*at, rules.zone()))}
	}
	return nil
}

// step of a cut: its day, ended at the hour written or with the day.
func (c CutFacts) step(rules Rules) StepFacts {
	start := c.CutOn.Start(rules.zone())
	end := c.FinishedAt
	if end == nil {
		end = c.CutOn.plus(1).Start(rules.zone())
	}
	return StepFacts{ID: c.ID, Name: c.Name, Start: start, End: end}
}

func (p PlantingFacts) step(rules Rules) StepFacts {
	return StepFacts{ID: p.ID, Name: p.Name, Start: p.PlantedOn.Start(rules.zone())}
}
