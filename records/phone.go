package records

import "time"

// PhoneEntry tells how an entry reached the house, where that needs saying: the phone's clock was off, the entry waited for
// the network, or another person's session carried it. The entry's own time is already by the house's clock.
type PhoneEntry struct {
	Row
	RecordID      string
	PhoneClock    time.Time // what the phone showed when the entry was made
	OffSeconds    int       // the phone's clock minus the house's
	WaitedSeconds int       // from making to sending
	SignedInID    string    // who was signed in on the phone when it was made
}

// Validate checks a phone entry.
func (p *PhoneEntry) Validate() error {
	var c checks
	c.moment("phone_clock", p.PhoneClock)
	c.whole("off_seconds", p.OffSeconds, -200*365*86400, 200*365*86400)
	c.whole("waited_seconds", p.WaitedSeconds, 0, 2*365*86400)
	return c.err()
}

func (p *PhoneEntry) refs() []ref {
	return []ref{to("record_id", p.RecordID, Kinds()...), to("signed_in_id", p.SignedInID, KindPerson)}
}
