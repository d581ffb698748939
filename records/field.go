package records

import (
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// Block is a piece of field.
type Block struct {
	Row
	SiteID      string
	Name        string
	Acres       *float64
	AreaEntered string
	Note        string
}

// Planting is what stands on a block: one variety, one planting day.
type Planting struct {
	Row
	BlockID   string
	Variety   string
	PlantedOn Day
	Ratoon    int // 0 is plant cane, 1 the first ratoon
}

// Application is something sprayed or spread on a block, with its pre-harvest interval.
type Application struct {
	Row
	BlockID         string
	AppliedOn       Day
	Product         string
	EPANumber       string
	Amount          string
	AreaTreated     string
	PreHarvestDays  int
	ForSugarcane    *bool // does the label in hand list sugarcane; nil: nobody looked
	Applicator      string
	CertificationNo string
}

// Freeze is a night at or below freezing.
type Freeze struct {
	Row
	SiteID     string
	Night      Day // the day the night ended
	Low        syrup.Celsius
	LowEntered string
	HoursBelow *float64 // hours below 28 F
	Found      string   // what split stalks showed: not looked, sound, some damage, killed
}

// Cut is cane cut from one planting on one day.
type Cut struct {
	Row
	PlantingID     string
	CutOn          Day
	FinishedAt     *time.Time // nil: the hour was not written
	Harvester      string
	HarvesterPhone string
	WaitsAt        string
	Mass           *syrup.Kilograms
	MassEntered    string
	Counted        string // loads, rows or bundles when not weighed
	Estimated      bool
	DayHigh        *syrup.Celsius
	DayHighEntered string
	FrozenStalks   string // not looked, sound, some damage, killed
}

// Pressing is juice pressed from one or more cuts; the cuts are linked.
type Pressing struct {
	Row
	SiteID             string
	Number             int // of its day
	StartedAt          time.Time
	EndedAt            *time.Time
	Volume             *syrup.Liters
	VolumeEntered      string
	Estimated          bool
	Brix               *syrup.Brix
	InstrumentID       *string
	PH                 *float64
	Temperature        *syrup.Celsius
	TemperatureEntered string
	Note               string
}

// Validate checks a block. Bounds: trade.md 2.1.
func (b *Block) Validate() error {
	var c checks
	c.need("name", b.Name)
	plausible(&c, "acres", hazards.BoundArea, b.Acres, "acre")
	c.text("note", b.Note)
	return c.err()
}

func (b *Block) refs() []ref { return []ref{to("site_id", b.SiteID, KindSite)} }

// Validate checks a planting.
func (p *Planting) Validate() error {
	var c checks
	c.need("variety", p.Variety)
	c.day("planted_on", p.PlantedOn)
	c.plausibleWhole("ratoon", hazards.BoundRatoon, p.Ratoon)
	return c.err()
}

func (p *Planting) refs() []ref { return []ref{to("block_id", p.BlockID, KindBlock)} }

// Validate checks an application.
func (a *Application) Validate() error {
	var c checks
	c.day("applied_on", a.AppliedOn)
	c.need("product", a.Product)
	c.text("epa_number", a.EPANumber)
	c.need("amount", a.Amount)
	c.text("area_treated", a.AreaTreated)
	c.need("applicator", a.Applicator)
	c.text("certification_no", a.CertificationNo)
	c.plausibleWhole("pre_harvest_days", hazards.BoundInterval, a.PreHarvestDays)
	return c.err()
}

func (a *Application) refs() []ref { return []ref{to("block_id", a.BlockID, KindBlock)} }

// What split stalks showed.
const (
	StalksNotLooked = "not_looked"
	StalksSound     = "sound"
	StalksSome      = "some_damage"
	StalksKilled    = "killed"
)

var stalks = []string{StalksNotLooked, StalksSound, StalksSome, StalksKilled}

// Validate checks a freeze.
func (f *Freeze) Validate() error {
	var c checks
	c.day("night", f.Night)
	within(&c, "low", &f.Low, -29, 10, "°C")
	within(&c, "hours_below", f.HoursBelow, 0, 24, "h")
	c.oneOf("found", f.Found, stalks...)
	return c.err()
}

func (f *Freeze) refs() []ref { return []ref{to("site_id", f.SiteID, KindSite)} }

// Validate checks a cut: weighed, or counted and then marked estimated.
func (k *Cut) Validate() error {
	var c checks
	c.day("cut_on", k.CutOn)
	c.need("harvester", k.Harvester)
	c.text("harvester_phone", k.HarvesterPhone)
	c.text("waits_at", k.WaitsAt)
	c.text("counted", k.Counted)
	within(&c, "mass", k.Mass, 0.1, 2e6, "kg")
	if k.Mass == nil && k.Counted == "" {
		c.add("mass", "cut.weigh_or_count")
	}
	if k.Mass == nil && k.Counted != "" && !k.Estimated {
		c.add("estimated", "cut.counted_is_estimated")
	}
	within(&c, "day_high", k.DayHigh, -29, 55, "°C")
	c.oneOf("frozen_stalks", k.FrozenStalks, append([]string{""}, stalks...)...)
	return c.err()
}

func (k *Cut) refs() []ref { return []ref{to("planting_id", k.PlantingID, KindPlanting)} }

func (k *Cut) inspect(tx *Tx) error {
	planting, err := Get[Planting](tx.ctx, tx, k.PlantingID)
	if err != nil {
		return err
	}
	zone := tx.zone()
	switch {
	case k.CutOn < planting.PlantedOn:
		return Invalid{{"cut_on", "cut.before_planting", []any{"Day", planting.PlantedOn}}}
	case k.CutOn > DayOf(tx.at, zone):
		return Invalid{{"cut_on", "invalid.future_day", nil}}
	case k.FinishedAt != nil && DayOf(*k.FinishedAt, zone) != k.CutOn:
		return Invalid{{"finished_at", "cut.finished_other_day", []any{"Day", k.CutOn}}}
	}
	return nil
}

func (k *Cut) flows(*Tx) ([]flow, error) {
	return []flow{{FromNode: k.PlantingID, ToNode: k.ID, Mass: k.Mass, Estimated: k.Estimated}}, nil
}

// Validate checks a pressing. Bounds: trade.md 2.2.
func (p *Pressing) Validate() error {
	var c checks
	c.moment("started_at", p.StartedAt)
	if p.EndedAt != nil && p.EndedAt.Before(p.StartedAt) {
		c.add("ended_at", "invalid.before_start")
	}
	within(&c, "volume", p.Volume, 0.1, 19000, "L")
	plausible(&c, "brix", hazards.BoundJuiceBrix, p.Brix, "%")
	plausible(&c, "ph", hazards.BoundJuicePH, p.PH, "")
	within(&c, "temperature", p.Temperature, -2, 60, "°C")
	c.text("note", p.Note)
	return c.err()
}

func (p *Pressing) refs() []ref {
	return []ref{to("site_id", p.SiteID, KindSite), toOptional("instrument_id", p.InstrumentID, KindInstrument)}
}

func (p *Pressing) inspect(tx *Tx) error { return tx.notFuture("started_at", p.StartedAt) }

// TableName keeps clear of a reserved word of PostgreSQL.
func (Freeze) TableName() string { return string(KindFreeze) }
