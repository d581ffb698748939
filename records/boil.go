package records

import (
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// Run is one kettle boil. Juice in and heels are links; the boil log is its entries, readings and additions.
type Run struct {
	Row
	SiteID    string
	KettleID  string
	Code      string // 25340K2, or 25340K2-2 for the second of that day in that kettle
	FireLitAt time.Time
	Note      string
}

// What a boil entry says.
const (
	EntryTemperature = "temperature"
	EntrySkimming    = "skimming"
	EntryCloth       = "cloth"
	EntryNote        = "note"
	EntryPhoto       = "photo"
	EntryFireOut     = "fire_out"
	EntryRelit       = "relit"
	EntryDrawnOff    = "drawn_off" // ends the run; see its outcome
)

// Outcomes of a run: what the entry that ends it says became of its contents.
const (
	OutcomeSyrup     = ""           // drawn off as syrup
	OutcomeSemiSyrup = "semi_syrup" // drawn off unfinished, held to be boiled on
	OutcomeMoved     = "moved"      // all of it went into another kettle's run
	OutcomeGivenUp   = "given_up"   // poured away
)

// BoilEntry is one line of the boil log.
type BoilEntry struct {
	Row
	RunID              string
	At                 time.Time
	What               string
	Temperature        *syrup.Celsius
	TemperatureEntered string
	InstrumentID       *string
	Volume             *syrup.Liters // drawn off
	VolumeEntered      string
	Estimated          bool
	SupplyLotID        *string // the new cloth's
	Note               string
	Outcome            string        // of what ends a run; blank is syrup
	Heel               *syrup.Liters // left in the kettle as the syrup was drawn off; nil: nobody said
	HeelEntered        string
}

// Stages of a density reading.
const (
	StageBoil   = "boil"   // guides, never opens anything
	StageFinish = "finish" // the run is judged on it
	StageLot    = "lot"    // the lot's own
)

// DensityReading is a hydrometer or refractometer reading of a run, a tank or a lot. Without a temperature a hydrometer
// reading is kept and cannot be used.
type DensityReading struct {
	Row
	OfID               string
	At                 time.Time
	Stage              string
	Reading            float64
	Scale              syrup.Scale
	ReadingEntered     string
	Temperature        *syrup.Celsius
	TemperatureEntered string
	InstrumentID       *string
	ThermometerID      *string // took the temperature; nil is not known, and no zero is taken off
	Note               string
}

// Addition is anything put into juice or syrup.
type Addition struct {
	Row
	ToID          string // run, pressing or tank
	At            time.Time
	Substance     string
	Use           string // defoamer, salt, preservative, lime, acid, enzyme, syrup, sweetener, other
	SupplyLotID   *string
	Amount        *syrup.Grams
	AmountEntered string
	Stays         *bool   // does it stay in the food; nil: not answered
	Allergens     *string // empty text: none; nil: not answered
	Sulfites      *bool   // does it carry sulfites; nil: not answered
}

// WashOut is a kettle or tank emptied and washed. It ends the heel chain.
type WashOut struct {
	Row
	VesselID string
	At       time.Time
	Note     string
}

// Validate checks a run.
func (r *Run) Validate() error {
	var c checks
	c.moment("fire_lit_at", r.FireLitAt)
	c.need("code", r.Code)
	c.text("note", r.Note)
	return c.err()
}

func (r *Run) refs() []ref {
	return []ref{to("site_id", r.SiteID, KindSite), to("kettle_id", r.KettleID, KindKettle)}
}

func (r *Run) inspect(tx *Tx) error { return tx.notFuture("fire_lit_at", r.FireLitAt) }

// Validate checks a boil entry. Bounds: trade.md 2.3.
func (e *BoilEntry) Validate() error {
	var c checks
	c.moment("at", e.At)
	c.oneOf("what", e.What, EntryTemperature, EntrySkimming, EntryCloth, EntryNote, EntryPhoto, EntryFireOut, EntryRelit, EntryDrawnOff)
	c.oneOf("outcome", e.Outcome, OutcomeSyrup, OutcomeSemiSyrup, OutcomeMoved, OutcomeGivenUp)
	within(&c, "temperature", e.Temperature, -2, 127, "°C")
	within(&c, "volume", e.Volume, 0.1, 19000, "L")
	within(&c, "heel", e.Heel, 0, 1900, "L")
	c.text("note", e.Note)
	switch {
	case e.What == EntryTemperature && e.Temperature == nil:
		c.add("temperature", "invalid.required")
	case e.What == EntryNote, e.Outcome == OutcomeGivenUp: // why it was given up
		c.need("note", e.Note)
	}
	if e.What != EntryDrawnOff && e.Outcome != OutcomeSyrup {
		c.add("outcome", "invalid.choice")
	}
	return c.err()
}

func (e *BoilEntry) refs() []ref {
	return []ref{to("run_id", e.RunID, KindRun), toOptional("instrument_id", e.InstrumentID, KindInstrument),
		toOptional("supply_lot_id", e.SupplyLotID, KindSupplyLot)}
}

func (e *BoilEntry) inspect(tx *Tx) error {
	if e.What == EntryDrawnOff {
		if err := e.endsOnce(tx); err != nil {
			return err
		}
	}
	if err := tx.duringRun("at", e.RunID, e.At, e.ID, 0); err != nil {
		return err
	}
	switch e.What {
	case EntryFireOut, EntryRelit:
		return e.fireFits(tx)
	case EntryDrawnOff:
		return e.mayEnd(tx)
	}
	return nil
}

// endsOnce: whoever ends a run second is told that it has ended, whatever time was typed.
func (e *BoilEntry) endsOnce(tx *Tx) error {
	others, err := List[BoilEntry](tx.ctx, tx, "run_id = ? AND what = ? AND id <> ?", e.RunID, EntryDrawnOff, e.ID)
	if err == nil && len(others) > 0 {
		err = Conflict{Key: "run.already_drawn_off", ID: e.RunID}
	}
	return err
}

// mayEnd: a run ends with no more than ran into it, and what was bottled from it was not semi-syrup.
func (e *BoilEntry) mayEnd(tx *Tx) error {
	err := e.noMoreThanJuice(tx)
	if err == nil && e.Outcome != OutcomeSyrup {
		err = e.nothingStandsAgainst(tx)
	}
	return err
}

// noMoreThanJuice refuses to draw off a fifth more than all that ever ran into the kettle: a slip of units.
func (e *BoilEntry) noMoreThanJuice(tx *Tx) error {
	into, err := List[Link](tx.ctx, tx, "to_id = ?", e.RunID)
	if err != nil || e.Volume == nil || len(into) == 0 {
		return err
	}
	juice := syrup.Liters(0)
	for _, l := range into {
		if l.Volume == nil {
			return nil
		}
		juice += *l.Volume
	}
	if *e.Volume > juice*(1+overRefused) {
		return Invalid{{"volume", "run.more_than_juice", []any{"Juice", juice, "Volume", *e.Volume}}}
	}
	return nil
}

func (e *BoilEntry) flows(tx *Tx) ([]flow, error) {
	if e.SupplyLotID == nil {
		return nil, nil
	}
	node, err := tx.nodeAt(e.RunID, e.At)
	return []flow{{FromNode: *e.SupplyLotID, ToNode: node, Beside: true}}, err
}

// Validate checks a density reading. Bounds: trade.md 2.3; a scale mix-up is judged, not refused.
func (d *DensityReading) Validate() error {
	var c checks
	c.moment("at", d.At)
	c.oneOf("stage", d.Stage, StageBoil, StageFinish, StageLot)
	c.oneOf("scale", string(d.Scale), string(syrup.ScaleBaume), string(syrup.ScaleBrix))
	bound := hazards.BoundRefractometer
	if d.Scale == syrup.ScaleBaume {
		bound = hazards.BoundBaume
	}
	plausible(&c, "reading", bound, &d.Reading, string(d.Scale))
	within(&c, "temperature", d.Temperature, 0, 127, "°C")
	c.text("note", d.Note)
	return c.err()
}

func (d *DensityReading) refs() []ref {
	return []ref{to("of_id", d.OfID, KindRun, KindTank, KindLot), toOptional("instrument_id", d.InstrumentID, KindInstrument),
		toOptional("thermometer_id", d.ThermometerID, KindInstrument)}
}

func (d *DensityReading) inspect(tx *Tx) error {
	kind, err := KindOf(tx.ctx, tx, d.OfID)
	if err != nil {
		return err
	}
	if kind == KindRun {
		return tx.duringRun("at", d.OfID, d.At, d.ID, afterDrawnOff)
	}
	return tx.notFuture("at", d.At)
}

// Uses of an addition.
var additionUses = []string{"defoamer", "salt", "preservative", "lime", "acid", "enzyme", "sweetener", "syrup", "water", "other"}

// AdditionUses lists what an addition may be for.
func AdditionUses() []string { return additionUses }

// Validate checks an addition. Its answers may wait; the label will not.
func (a *Addition) Validate() error {
	var c checks
	c.moment("at", a.At)
	c.need("substance", a.Substance)
	c.oneOf("use", a.Use, additionUses...)
	within(&c, "amount", a.Amount, 0, 2e6, "g")
	if a.Allergens != nil {
		c.text("allergens", *a.Allergens)
	}
	return c.err()
}

func (a *Addition) refs() []ref {
	return []ref{to("to_id", a.ToID, KindRun, KindPressing, KindTank), toOptional("supply_lot_id", a.SupplyLotID, KindSupplyLot)}
}

func (a *Addition) inspect(tx *Tx) error {
	kind, err := KindOf(tx.ctx, tx, a.ToID)
	if err != nil {
		return err
	}
	if kind == KindRun {
		return tx.duringRun("at", a.ToID, a.At, a.ID, 0)
	}
	return tx.notFuture("at", a.At)
}

func (a *Addition) flows(tx *Tx) ([]flow, error) {
	if a.SupplyLotID == nil {
		return nil, nil
	}
	node, err := tx.nodeAt(a.ToID, a.At)
	return []flow{{FromNode: *a.SupplyLotID, ToNode: node, Beside: true}}, err
}

// Validate checks a wash-out.
func (w *WashOut) Validate() error {
	var c checks
	c.moment("at", w.At)
	c.text("note", w.Note)
	return c.err()
}

func (w *WashOut) refs() []ref { return []ref{to("vessel_id", w.VesselID, KindKettle, KindTank)} }

func (w *WashOut) inspect(tx *Tx) error { return tx.notFuture("at", w.At) }
