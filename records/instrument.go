package records

import (
	"context"
	"time"

	"canewright/hazards/syrup"
)

// Instrument measures something a record depends on.
type Instrument struct {
	Row
	Name        string
	Measures    string // temperature, density, refraction or weight
	Serial      string
	Scale       syrup.Scale // hydrometers and refractometers
	Stem        syrup.Stem  // hydrometers; blank is not known, judged as 60F and said so
	Modulus     *float64    // hydrometers with a Baume scale; nil is 145
	ReadsIn     string      // F or C for a thermometer; blank for others
	Uncertainty *float64    // its own, in what it reads in; nil is not known
}

// InstrumentCheck compares an instrument with something known.
type InstrumentCheck struct {
	Row
	InstrumentID string
	At           time.Time
	Method       string // ice, boiling water, reference solution, check weight, other instrument
	Expected     float64
	Read         float64
	Unit         string
	Passed       bool
	Note         string
}

// What instruments measure.
const (
	MeasuresTemperature = "temperature"
	MeasuresDensity     = "density"
	MeasuresRefraction  = "refraction"
	MeasuresWeight      = "weight"
)

// Validate checks an instrument. A hydrometer or refractometer says its scale.
func (i *Instrument) Validate() error {
	var c checks
	c.need("name", i.Name)
	c.text("serial", i.Serial)
	c.oneOf("measures", i.Measures, MeasuresTemperature, MeasuresDensity, MeasuresRefraction, MeasuresWeight)
	if i.Measures == MeasuresDensity || i.Measures == MeasuresRefraction {
		c.oneOf("scale", string(i.Scale), string(syrup.ScaleBaume), string(syrup.ScaleBrix))
	}
	c.oneOf("stem", string(i.Stem), "", string(syrup.Stem60F), string(syrup.Stem68F), string(syrup.Stem6060))
	if i.Measures == MeasuresTemperature {
		c.oneOf("reads_in", i.ReadsIn, "F", "C")
	}
	within(&c, "modulus", i.Modulus, 140, 150, "")
	within(&c, "uncertainty", i.Uncertainty, 0, 50, "")
	return c.err()
}

// Ways to check an instrument.
var checkMethods = []string{"ice", "boiling_water", "reference_solution", "check_weight", "other_instrument"}

// Validate checks an instrument check.
func (k *InstrumentCheck) Validate() error {
	var c checks
	c.moment("at", k.At)
	c.oneOf("method", k.Method, checkMethods...)
	within(&c, "expected", &k.Expected, -50, 100000, k.Unit)
	within(&c, "read", &k.Read, -50, 100000, k.Unit)
	c.oneOf("unit", k.Unit, "F", "C", "Be", "Bx", "g")
	c.text("note", k.Note)
	return c.err()
}

func (k *InstrumentCheck) refs() []ref {
	return []ref{to("instrument_id", k.InstrumentID, KindInstrument)}
}

// firstDay stands before every record.
var firstDay = time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC)

// LastPass is when an instrument last passed a check before a moment; a day long past when it never did.
func LastPass(ctx context.Context, src Source, instrumentID string, before time.Time) (time.Time, error) {
	passed, err := List[InstrumentCheck](ctx, src, "instrument_id = ? AND passed AND at < ? ORDER BY at DESC LIMIT 1", instrumentID, before)
	if err != nil || len(passed) == 0 {
		return firstDay, err
	}
	return passed[0].At, nil
}
