package app

import (
	"net/url"
	"slices"
	"strconv"
	"time"

	"canewright/records"
)

// When how an entry reached the house is kept with it (our choices, no source).
const (
	clockApart  = 2 * time.Minute // the phone's clock and the house's differ by as much
	waitedLong  = time.Minute     // it waited for the network as long
	clockSlip   = 5 * time.Second // a clock set by the network may go back as far between making and sending
	waitedMost  = 366 * 24 * time.Hour
	lastInstant = 253_370_764_800_000 // 9999-01-01 in milliseconds
)

// phoneTime is when an entry happened, by the house's clock. The phone's own clock may be wrong by any amount: only the time
// between making and sending is taken from it.
type phoneTime struct {
	At     time.Time
	Made   time.Time     // what the phone showed when it was made; zero in a plain form
	Off    time.Duration // the phone's clock minus the house's
	Waited time.Duration

	wrong      string // what cannot be used, as a catalogue key: the person has to type the time
	wrongField string
}

// phoneTimeOf reads made, sent and ago of an entry that arrived at a moment. A plain form has none of them. What cannot be used
// is not guessed: made after sent, beyond a slip of seconds, means that the phone's clock was set in between.
func phoneTimeOf(raw url.Values, arrived time.Time) phoneTime {
	p := phoneTime{At: arrived}
	if made, sent := raw.Get("made"), raw.Get("sent"); made != "" || sent != "" {
		p.read(made, sent, arrived)
	}
	ago := raw.Get("ago")
	if ago != "" && !slices.Contains(agoChoices, ago) {
		p.wrong, p.wrongField = "invalid.choice", "ago"
		return p
	}
	minutes, _ := strconv.Atoi(ago)
	p.At = arrived.Add(-p.Waited - time.Duration(minutes)*time.Minute).Truncate(time.Second)
	return p
}

// read takes the phone's two times.
func (p *phoneTime) read(made, sent string, arrived time.Time) {
	from, ok := instantOf(made)
	to, ok2 := instantOf(sent)
	if !ok || !ok2 {
		p.wrong, p.wrongField = "phone.clock_unreadable", "at"
		return
	}
	waited := to.Sub(from)
	if waited < -clockSlip || waited > waitedMost {
		p.wrong, p.wrongField = "phone.clock_turned", "at"
		return
	}
	p.Made, p.Waited, p.Off = from, max(0, waited), to.Sub(arrived)
}

// instantOf reads milliseconds since 1970.
func instantOf(ms string) (time.Time, bool) {
	n, err := strconv.ParseInt(ms, 10, 64)
	if err != nil || n < 0 || n > lastInstant {
		return time.Time{}, false
	}
	return time.UnixMilli(n).UTC(), true
}

// entry is what has to be said of how an entry reached the house; nil when nothing has. by is who was signed in on the phone
// when it was made, session who is now.
func (p phoneTime) entry(by, session string, arrived time.Time) *records.PhoneEntry {
	off := p.Off.Abs()
	if off < clockApart && p.Waited < waitedLong && by == session {
		return nil
	}
	said := &records.PhoneEntry{PhoneClock: p.Made, OffSeconds: int(p.Off.Round(time.Second) / time.Second),
		WaitedSeconds: int(p.Waited / time.Second), SignedInID: by}
	if p.Made.IsZero() {
		said.PhoneClock = arrived
	}
	return said
}
