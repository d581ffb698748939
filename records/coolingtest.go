package records

import (
	"context"
	"errors"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
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
	if _, err := t.Record(); t.Series != "" && err != nil {
		c.series(err)
	}
	within(&c, "air", t.Air, -20, 60, "°C")
	c.text("note", t.Note)
	return c.err()
}

// series notes what is wrong with a series of temperatures.
func (c *checks) series(err error) {
	var wrong hazards.CoolingError
	if errors.As(err, &wrong) {
		c.add("series", "cooling_test.wrong."+string(wrong.Problem), "Line", wrong.Line, "Typed", wrong.Text, "Hottest", wrong.Hottest, "Unit", "°"+wrong.Unit)
	}
}

// Record is the series as readings, in minutes since the bottle was capped. Errors: hazards.CoolingError.
func (t *CoolingTest) Record() ([]syrup.Moment, error) {
	return hazards.ReadCooling(t.Series, t.Unit, time.Time{})
}

// CoolingOf works a cooling test out beside the house limit of its container.
func CoolingOf(ctx context.Context, src Source, t CoolingTest) (hazards.CoolingFound, []syrup.Moment, error) {
	container, err := Get[Container](ctx, src, t.ContainerID)
	if err != nil {
		return hazards.CoolingFound{}, nil, err
	}
	record, err := t.Record()
	if err != nil {
		return hazards.CoolingFound{}, nil, err
	}
	return hazards.Cooling(hazards.CoolingFacts{Record: record, Air: t.Air, Limit: container.FillLimit}), record, nil
}

// limitSource names the cooling test behind a fill limit as its source where none is written.
func limitSource(ctx context.Context, src Source, k *Container) error {
	if k.FillLimit == nil || k.FillLimitSource != "" || k.CoolingTestID == nil {
		return nil
	}
	tests, err := List[CoolingTest](ctx, src, "id = ?", *k.CoolingTestID)
	if err == nil && len(tests) > 0 {
		k.FillLimitSource = text.Say(text.English, "cooling_test.source", "Day", newNamer(ctx, src).day(tests[0].At))
	}
	return err
}

// inspect refuses a cooling test of another container behind a fill limit.
func (k *Container) inspect(tx *Tx) error {
	if k.CoolingTestID == nil {
		return nil
	}
	test, err := Get[CoolingTest](tx.ctx, tx, *k.CoolingTestID)
	if err != nil {
		return err
	}
	if test.ContainerID != k.ID {
		return Invalid{{"cooling_test", "container.cooling_test.other", []any{"Name", newNamer(tx.ctx, tx).name(test.ContainerID)}}}
	}
	return nil
}

func (t *CoolingTest) refs() []ref {
	return []ref{to("container_id", t.ContainerID, KindContainer), toOptional("instrument_id", t.InstrumentID, KindInstrument)}
}

func (t *CoolingTest) inspect(tx *Tx) error { return tx.notFuture("at", t.At) }
