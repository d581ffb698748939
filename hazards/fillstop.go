package hazards

import "time"

// FillStop is a time in which no bottle was capped. To is nil while the filling still stands.
type FillStop struct {
	ID   string // of the record that it goes on; empty while it still stands
	From time.Time
	To   *time.Time
}

// running is how much of the time between two moments the filling did not stand still.
func (f FillFacts) running(from, to time.Time) time.Duration {
	length := to.Sub(from)
	for _, s := range f.Stops {
		start, end := s.From, to
		if s.To != nil && s.To.Before(to) {
			end = *s.To
		}
		if start.Before(from) {
			start = from
		}
		if end.After(start) {
			length -= end.Sub(start)
		}
	}
	return length
}

// afterStops finds the stops after which bottles were capped and none was looked at: the first bottle after a stop is
// checked (trade.md 3.1).
func (f FillFacts) afterStops(rules Rules) []Finding {
	var findings []Finding
	for i, s := range f.Stops {
		until := f.EndedAt
		if i+1 < len(f.Stops) {
			until = &f.Stops[i+1].From
		}
		if s.To == nil || until == nil || f.checkedBetween(*s.To, *until) {
			continue
		}
		findings = append(findings, Finding{Code: "fill.no_check_after_stop", Level: Check, About: f.ID, AboutName: f.Name, Source: practice}.
			with("From", clockOf(s.From, rules.zone())).with("To", clockOf(*s.To, rules.zone())))
	}
	return findings
}

func (f FillFacts) checkedBetween(from, to time.Time) bool {
	for _, c := range f.Checks {
		if _, read := c.judged(); read && !c.At.Before(from) && !c.At.After(to) {
			return true
		}
	}
	return false
}

// CheckAsked is when the next fill check is asked for: at once after a stop and after a check past its limit, else the house's interval after the last
// check, or after the first bottle.
type CheckAsked struct {
	At      time.Time
	After   time.Time // the check or the start it is counted from
	Stopped *time.Time
	Resumed *time.Time // the filling goes on after a stop, and no bottle was looked at yet
	Failed  *time.Time // the last check was past a limit: the next bottle is looked at
	Minutes float64    // the interval
}

// NextCheck says when the next check of a filling is asked for; false when the filling has no start or is over.
func NextCheck(f FillFacts, rules Rules) (CheckAsked, bool) {
	if f.StartedAt == nil || f.EndedAt != nil {
		return CheckAsked{}, false
	}
	limit, _ := f.limit(rules)
	asked := CheckAsked{After: *f.StartedAt, Minutes: rules.Limits.Judged(LimitInterval).Value}
	for _, c := range f.Checks {
		if c.At.After(asked.After) {
			asked.After, asked.Failed = c.At, nil
			if c.bad(limit) {
				asked.Failed = &c.At
			}
		}
	}
	asked.At = asked.After.Add(time.Duration(asked.Minutes * float64(time.Minute)))
	if asked.Failed != nil {
		asked.At = *asked.Failed
	}
	if n := len(f.Stops); n > 0 {
		switch last := f.Stops[n-1]; {
		case last.To == nil:
			asked.Stopped = &last.From
		case !f.checkedBetween(*last.To, last.To.AddDate(1, 0, 0)):
			asked.Resumed, asked.At = last.To, *last.To
		}
	}
	return asked, true
}
