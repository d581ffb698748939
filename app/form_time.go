package app

import (
	"time"

	"canewright/records"
)

// localMinute is how a browser writes a day and a time of day.
const localMinute = "2006-01-02T15:04"

// Day binds a calendar day of the house.
func (f *form) Day(name string, to *records.Day, n need) *Field {
	field := f.field(name, "day", n)
	if !f.reading() {
		field.Value = string(*to)
	} else if f.blank(field) {
		*to = ""
	} else {
		*to = records.Day(field.Value)
		if !to.Valid() {
			f.wrong(field, "invalid.day")
		}
	}
	if to.Valid() {
		field.Shown, _ = f.words.day(*to)
	}
	return field
}

// DayTime binds a moment, typed in the house's zone and kept in UTC.
func (f *form) DayTime(name string, to *time.Time, n need) *Field {
	field := f.field(name, "daytime", n)
	zone := f.words.zone()
	if !f.reading() {
		f.showMoment(field, *to, zone)
	} else if f.blank(field) {
		*to = time.Time{}
	} else {
		f.readMoment(field, to, zone)
	}
	return field
}

// OptionalDayTime binds a moment that may be unknown: nil.
func (f *form) OptionalDayTime(name string, to **time.Time) *Field {
	var t time.Time
	if *to != nil {
		t = **to
	}
	field := f.DayTime(name, &t, optional)
	*to = nil
	if !t.IsZero() {
		*to = &t
	}
	return field
}

// showMoment writes the moment; where its hour came twice that night, which of the two it was.
func (f *form) showMoment(field *Field, t time.Time, zone *time.Location) {
	if t.IsZero() {
		return
	}
	field.Value = t.In(zone).Format(localMinute)
	field.Shown, _ = f.words.moment(t)
	if both := instants(field.Value, zone); len(both) == 2 {
		turn := "first"
		if !t.Truncate(time.Minute).Equal(both[0]) {
			turn = "second"
		}
		f.askTurn(field, turn)
	}
}

// readMoment parses the moment. An hour that the clocks left out is refused; one that came twice asks which. A moment
// amended without touching it keeps its seconds.
func (f *form) readMoment(field *Field, to *time.Time, zone *time.Location) {
	found := instants(field.Value, zone)
	turn := f.raw.Get(field.Name + "_turn")
	var t time.Time
	switch {
	case found == nil:
		f.wrong(field, "invalid.moment")
		return
	case len(found) == 0:
		f.wrong(field, "invalid.moment_missing")
		return
	case len(found) == 1:
		t = found[0]
	default:
		f.askTurn(field, turn)
		switch turn {
		case "first":
			t = found[0]
		case "second":
			t = found[1]
		default:
			f.wrong(field, "invalid.moment_twice")
			return
		}
	}
	if !t.Equal(to.Truncate(time.Minute)) {
		*to = t
	}
}

func (f *form) askTurn(field *Field, turn string) {
	field.Choices = []Choice{{Name: f.words.say("form.choose")}, {Value: "first", Name: f.words.say("form.turn_first")},
		{Value: "second", Name: f.words.say("form.turn_second")}}
	field.choose(turn)
}

// instants gives the moments, in UTC, at which the zone's clocks showed the local minute: one, none when it was left
// out, two when it came twice. nil is a text that is no minute at all.
func instants(local string, zone *time.Location) []time.Time {
	wall, err := time.Parse(localMinute, local)
	if err != nil {
		if wall, err = time.Parse(localMinute+":05", local); err != nil {
			return nil
		}
	}
	return records.Instants(wall, zone)
}

// moment binds when something happened. On a new entry blank is now: a page may have stood open for an hour.
func (f *form) moment(name string, to *time.Time) *Field {
	if f.Revision > 0 {
		return f.DayTime(name, to, required)
	}
	if !f.reading() {
		*to = time.Time{}
	}
	field := f.DayTime(name, to, optional)
	field.Help = f.words.say("form.blank_now")
	if f.reading() && field.Error == "" && to.IsZero() {
		*to = f.now.Truncate(time.Second)
	}
	return field
}
