package hazards

import "time"

// Rules are what a house judges by: its limits and the zone of its days.
type Rules struct {
	Limits Limits
	Zone   *time.Location // nil is UTC
}

func (r Rules) zone() *time.Location {
	if r.Zone == nil {
		return time.UTC
	}
	return r.Zone
}

// against makes a finding of a measured value beside the limit that judged it.
func against(code string, level Level, about, name string, measured Value, l Limit) Finding {
	source := l.Source
	if l.House && source == "" {
		source = "source.house"
	}
	version := l.Version
	if version == "" {
		version = "house"
	}
	return Finding{Code: code, Level: level, About: about, AboutName: name, Measured: &measured, Limit: l.value(),
		Source: source, LimitVersion: version}
}

// with adds a named value to a finding.
func (f Finding) with(name string, v Value) Finding {
	values := map[string]Value{name: v}
	for n, old := range f.Values {
		values[n] = old
	}
	values[name] = v
	f.Values = values
	return f
}
