package records

import (
	"time"

	"canewright/hazards/syrup"
)

// CoolingTest is how one filled container cooled: the validation behind that container's house fill limit.
type CoolingTest struct {
	Row
	ContainerID  string
	At           time.Time // capped
	InstrumentID *string
	Unit         string // C or F, of the series
	Series       string // one point a line: minutes since capping, temperature
	Air          *syrup.Celsius
	AirEntered   string
	Position     string // upright, inverted or on_side
	Note         string
}

// Validate checks a cooling test by itself.
func (t *CoolingTest) Validate() error {
	var c checks
	c.moment("at", t.At)
	c.oneOf("unit", t.Unit, "C", "F")
	c.oneOf("position", t.Position, "upright", "inverted", "on_side")
	c.need("series", t.Series)
	within(&c, "air", t.Air, -20, 60, "°C")
	c.text("note", t.Note)
	return c.err()
}

func (t *CoolingTest) refs() []ref {
	return []ref{to("container_id", t.ContainerID, KindContainer), toOptional("instrument_id", t.InstrumentID, KindInstrument)}
}

func (t *CoolingTest) inspect(tx *Tx) error { return tx.notFuture("at", t.At) }
