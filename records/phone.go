package records

import (
	"context"
	"fmt"
	"time"
)

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

// keepPhone writes how the entry reached the house, in the transaction that wrote the entry, for each record of the first
// one's kind: juice from two pressings is two lines of the log.
func (tx *Tx) keepPhone() error {
	if tx.who.Phone == nil || len(tx.fresh) == 0 {
		return nil
	}
	kind := tx.fresh[0].Kind()
	for _, made := range tx.fresh {
		if made.Kind() != kind {
			continue
		}
		phone := *tx.who.Phone
		phone.Row, phone.RecordID = Row{}, made.row().ID
		if err := tx.put(&phone, ""); err != nil {
			return err
		}
	}
	return nil
}

// PhoneEntriesOf gives how some records reached the house, by record; most came as they are, and have none.
func PhoneEntriesOf(ctx context.Context, src Source, ids []string) (map[string]PhoneEntry, error) {
	entries, err := ListIDs[PhoneEntry](ctx, src, "record_id", ids)
	if err != nil {
		return nil, fmt.Errorf("phone entries: %w", err)
	}
	by := map[string]PhoneEntry{}
	for _, e := range entries {
		by[e.RecordID] = e
	}
	return by, nil
}

// Submitted gives the record that a submission made; empty when it was not taken before.
func Submitted(ctx context.Context, src Source, token string) (string, error) {
	if token == "" {
		return "", nil
	}
	var made []string
	err := src.conn(ctx).Raw("SELECT record_id FROM submission WHERE token = ?", token).Scan(&made).Error
	if err != nil || len(made) == 0 {
		return "", err
	}
	return made[0], nil
}
