package packet

import (
	"time"

	"canewright/hazards"
	"canewright/records"
)

// Options say how sheets and packets are drawn. What they leave open comes from the house.
type Options struct {
	Units  string         // "us" or "metric" beside what was typed; "us" when blank
	Zone   *time.Location // of printed times; the house's when nil
	MadeAt time.Time      // of a packet; the store's clock when zero
	By     string         // who makes the packet, by name
	// Version is the program's version, written into the packet's manifest.
	Version string
}

func (o Options) units() string {
	if o.Units == hazards.Metric {
		return hazards.Metric
	}
	return hazards.US
}

func (o Options) zone(house records.House) *time.Location {
	if o.Zone != nil {
		return o.Zone
	}
	return house.Location()
}

// Range is the house days on which the lots of a packet were filled, both included.
type Range struct{ From, To records.Day }

// check refuses a range that is none. Errors: records.Invalid.
func (r Range) check() error {
	var wrong records.Invalid
	for _, end := range []struct {
		field string
		day   records.Day
	}{{"from", r.From}, {"to", r.To}} {
		if !end.day.Valid() {
			wrong = append(wrong, records.FieldError{Field: end.field, Key: "packet.range_day"})
		}
	}
	if wrong == nil && r.From > r.To {
		wrong = append(wrong, records.FieldError{Field: "to", Key: "packet.range_order", Args: []any{"From", r.From}})
	}
	if wrong == nil {
		return nil
	}
	return wrong
}
