package records

import (
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// Lot is one bottling of one product and container. Its sources are links.
type Lot struct {
	Row
	SiteID        string
	Code          string // without the printed hyphen
	Day           Day    // house day of the first bottle
	KettleNumber  int    // 0 when runs of several kettles mix
	Ordinal       int
	ProductID     string
	ContainerID   string
	BottlesLotID  *string // supply lot of the bottles
	ClosuresLotID *string // supply lot of the closures
	StartedAt     time.Time
	Note          string
}

// Part is the bottles of a lot that share one fate. Units are nil until filling has ended.
type Part struct {
	Row
	LotID       string
	Number      int
	Units       *int
	Note        string
	FirstBottle *int // where a lot was divided by bottle number: the first and last of this part
	LastBottle  *int
	OfPartID    *string // the part it was divided from
}

// FillCheck is one look at a bottle as it is capped.
type FillCheck struct {
	Row
	LotID            string
	At               time.Time
	Bottle           *syrup.Celsius // at capping
	BottleEntered    string
	TankReading      *syrup.Celsius // a reading of its own, never judged as the bottle's
	TankEntered      string
	InstrumentID     *string
	InvertedSeconds  *int
	ClosureOK        *bool
	NetWeight        *syrup.Grams
	NetWeightEntered string
	ScaleID          *string
	Note             string
	BottleNumber     *int // bottles capped so far, this one included; nil: not said
	CaseNumber       *int
	Gross            *syrup.Grams // the full bottle on the scale, where that was read
	GrossEntered     string
	Tare             *syrup.Grams // taken off the gross
}

// FillEnd is the count when the last bottle is capped.
type FillEnd struct {
	Row
	LotID     string
	At        time.Time
	Count     int
	Estimated bool
}

// Acts of a disposition.
const (
	ActHold    = "hold"
	ActRelease = "release"
	ActRecall  = "recall"
	ActRework  = "rework"
	ActDestroy = "destroy"
)

// Disposition is a signed act on a part. The latest one is the part's state.
type Disposition struct {
	Row
	PartID    string
	At        time.Time
	Act       string
	Reason    string
	Findings  string // the findings as judged then, as JSON
	Words     string // the same in words, as signed
	Automatic bool   // written by the rules after an amendment, not signed by hand
}

// CorrectiveAction is the owner's four-part text that answers one finding on a part (21 CFR 117.150(a)(2)).
type CorrectiveAction struct {
	Row
	PartID     string
	At         time.Time
	Finding    string // code of the finding answered
	AboutID    string // record the finding is about
	Problem    string // the problem, identified and put right
	Recurrence string // what makes it less likely again
	Evaluation string // how all affected food was evaluated
	Commerce   string // what was kept from being sold
}

// Validate checks a lot. Its code is assigned by the store.
func (l *Lot) Validate() error {
	var c checks
	c.moment("started_at", l.StartedAt)
	c.day("day", l.Day)
	c.need("code", l.Code)
	c.whole("kettle_number", l.KettleNumber, 0, 99)
	c.whole("ordinal", l.Ordinal, 1, 999)
	c.text("note", l.Note)
	return c.err()
}

func (l *Lot) refs() []ref {
	return []ref{to("site_id", l.SiteID, KindSite), to("product_id", l.ProductID, KindProduct), to("container_id", l.ContainerID, KindContainer),
		toOptional("bottles_lot_id", l.BottlesLotID, KindSupplyLot), toOptional("closures_lot_id", l.ClosuresLotID, KindSupplyLot)}
}

func (l *Lot) flows(*Tx) ([]flow, error) {
	var out []flow
	for _, supply := range []*string{l.BottlesLotID, l.ClosuresLotID} {
		if supply != nil {
			out = append(out, flow{FromNode: *supply, ToNode: l.ID, Beside: true})
		}
	}
	return out, nil
}

func (l *Lot) inspect(tx *Tx) error { return tx.notFuture("started_at", l.StartedAt) }

// Validate checks a part.
func (p *Part) Validate() error {
	var c checks
	c.whole("number", p.Number, 1, 9999)
	if p.Units != nil {
		c.whole("units", *p.Units, 0, 1e6)
	}
	c.text("note", p.Note)
	if (p.FirstBottle == nil) != (p.LastBottle == nil) {
		c.add("last_bottle", "invalid.required")
	}
	if p.FirstBottle != nil && p.LastBottle != nil {
		c.whole("first_bottle", *p.FirstBottle, 1, 1e6)
		c.whole("last_bottle", *p.LastBottle, *p.FirstBottle, 1e6)
	}
	return c.err()
}

func (p *Part) refs() []ref {
	return []ref{to("lot_id", p.LotID, KindLot), toOptional("of_part_id", p.OfPartID, KindPart)}
}

func (p *Part) flows(*Tx) ([]flow, error) {
	return []flow{{FromNode: p.LotID, ToNode: p.ID, Units: p.Units}}, nil
}

// Validate checks a fill check. Bounds: trade.md 2.5.
func (k *FillCheck) Validate() error {
	var c checks
	c.moment("at", k.At)
	within(&c, "bottle", k.Bottle, 4, 116, "°C")
	within(&c, "tank_reading", k.TankReading, 4, 116, "°C")
	within(&c, "net_weight", k.NetWeight, 1, 40000, "g")
	within(&c, "gross", k.Gross, 1, 60000, "g")
	within(&c, "tare", k.Tare, 1, 20000, "g")
	if k.BottleNumber != nil {
		c.whole("bottle_number", *k.BottleNumber, 1, 1e6)
	}
	if k.CaseNumber != nil {
		c.whole("case_number", *k.CaseNumber, 1, 1e6)
	}
	if k.InvertedSeconds != nil {
		c.plausibleWhole("inverted_seconds", hazards.BoundInverted, *k.InvertedSeconds)
	}
	c.text("note", k.Note)
	if k.Bottle == nil && k.NetWeight == nil && k.Gross == nil && k.TankReading == nil && k.ClosureOK == nil {
		c.add("bottle", "fill_check.nothing")
	}
	return c.err()
}

func (k *FillCheck) refs() []ref {
	return []ref{to("lot_id", k.LotID, KindLot), toOptional("instrument_id", k.InstrumentID, KindInstrument),
		toOptional("scale_id", k.ScaleID, KindInstrument)}
}

func (k *FillCheck) inspect(tx *Tx) error {
	lot, err := Get[Lot](tx.ctx, tx, k.LotID)
	if err != nil {
		return err
	}
	if k.At.Before(lot.StartedAt) {
		return Invalid{{"at", "fill_check.before_start", []any{"At", lot.StartedAt}}}
	}
	if err := k.weigh(tx, lot.ContainerID); err != nil {
		return err
	}
	if err := k.countsOn(tx); err != nil {
		return err
	}
	return tx.notFuture("at", k.At)
}

// countsOn holds the bottle number to what the other checks of the lot and its count say: bottles capped only grow.
func (k *FillCheck) countsOn(tx *Tx) error {
	if k.BottleNumber == nil {
		return nil
	}
	others, err := List[FillCheck](tx.ctx, tx, "lot_id = ? AND id <> ? AND bottle_number IS NOT NULL", k.LotID, k.ID)
	if err != nil {
		return err
	}
	for _, o := range others {
		if o.At.Before(k.At) && *o.BottleNumber > *k.BottleNumber || o.At.After(k.At) && *o.BottleNumber < *k.BottleNumber {
			return Invalid{{"bottle_number", "fill_check.number_runs_back", []any{"At", o.At, "Number", *o.BottleNumber}}}
		}
	}
	ends, err := List[FillEnd](tx.ctx, tx, "lot_id = ?", k.LotID)
	if err == nil && len(ends) > 0 && *k.BottleNumber > ends[0].Count {
		err = Invalid{{"bottle_number", "fill_check.number_over_count", []any{"Count", ends[0].Count}}}
	}
	return err
}

// weigh takes the empty bottle off the weight of a full one, then holds the net weight to what the container can hold.
func (k *FillCheck) weigh(tx *Tx, containerID string) error {
	container, err := Get[Container](tx.ctx, tx, containerID)
	if err != nil {
		return err
	}
	field := "net_weight"
	switch {
	case k.Gross == nil:
		k.Tare, k.GrossEntered = nil, ""
	case k.NetWeightEntered != "":
		return Invalid{{"net_weight", "fill_check.gross_or_net", nil}}
	default:
		field = "gross"
		if k.Tare == nil {
			k.Tare = container.Tare
		}
		if k.Tare == nil {
			return Invalid{{"gross", "fill_check.no_tare", []any{"Name", container.Name}}}
		}
		if *k.Gross <= *k.Tare {
			return Invalid{{"gross", "fill_check.under_tare", []any{"Tare", *k.Tare, "Name", container.Name}}}
		}
		net := *k.Gross - *k.Tare
		k.NetWeight = &net
	}
	return k.weightFits(field, container)
}

// A net weight outside these shares of what the container holds of syrup is a slip of units, grams for ounces or the
// other way (our choice, no source); a short fill is far from it, and judged.
const (
	leastOfContents = 0.4
	mostOfContents  = 1.3
	gramsPerMilli   = 1.37 // syrup of 74 % at 20 C, physics.md section 1
)

func (k *FillCheck) weightFits(field string, container Container) error {
	if k.NetWeight == nil {
		return nil
	}
	holds := syrup.Grams(float64(container.Contents) * gramsPerMilli)
	if *k.NetWeight < holds*leastOfContents || *k.NetWeight > holds*mostOfContents {
		key := "fill_check.weight_slip"
		if field == "gross" {
			key, holds = "fill_check.gross_slip", holds+*k.Tare
		}
		return Invalid{{field, key, []any{"Holds", holds, "Name", container.Name}}}
	}
	return nil
}

// Validate checks the end of a filling.
func (e *FillEnd) Validate() error {
	var c checks
	c.moment("at", e.At)
	c.whole("count", e.Count, 1, 1e6)
	return c.err()
}

func (e *FillEnd) refs() []ref { return []ref{to("lot_id", e.LotID, KindLot)} }

func (e *FillEnd) inspect(tx *Tx) error {
	lot, err := Get[Lot](tx.ctx, tx, e.LotID)
	if err != nil {
		return err
	}
	if e.At.Before(lot.StartedAt) {
		return Invalid{{"at", "fill_end.before_start", []any{"At", lot.StartedAt}}}
	}
	others, err := List[FillEnd](tx.ctx, tx, "lot_id = ? AND id <> ?", e.LotID, e.ID)
	if err == nil && len(others) > 0 && !e.Struck {
		return Conflict{Key: "fill_end.already", ID: e.LotID}
	}
	if err == nil {
		err = tx.notFuture("at", e.At)
	}
	if err == nil && !e.Struck {
		err = e.coversChecks(tx)
	}
	if err == nil && !e.Struck {
		err = e.fits(tx, lot)
	}
	return err
}

// coversChecks refuses a count below the bottle number of a check.
func (e *FillEnd) coversChecks(tx *Tx) error {
	checks, err := List[FillCheck](tx.ctx, tx, "lot_id = ? AND bottle_number > ? ORDER BY bottle_number DESC", e.LotID, e.Count)
	if err == nil && len(checks) > 0 {
		err = Invalid{{"count", "fill_end.fewer_than_checked", []any{"At", checks[0].At, "Number", *checks[0].BottleNumber}}}
	}
	return err
}

// fits refuses a count whose bottles would hold over a fifth more syrup than was drawn for them: a likely slip of the
// count (design 3). Mass is compared with mass where the solids are known, else volume with volume; it says nothing where
// neither is.
func (e *FillEnd) fits(tx *Tx, lot Lot) error {
	container, err := Get[Container](tx.ctx, tx, lot.ContainerID)
	if err != nil {
		return err
	}
	links, err := List[Link](tx.ctx, tx, "to_id = ?", lot.ID)
	if err != nil {
		return err
	}
	drawn := total(links, func(l Link) *syrup.Kilograms { return l.Mass })
	solids := total(links, func(l Link) *syrup.Kilograms { return l.Solids })
	volume := total(links, func(l Link) *syrup.Liters { return l.Volume })
	if drawn != nil && solids != nil && *drawn > 0 {
		one, err := syrup.NetMass(container.Contents, syrup.Brix(100**solids / *drawn))
		if err == nil {
			return tooMany(e.Count, one.Kilograms()*syrup.Kilograms(e.Count), *drawn)
		}
	}
	if volume != nil && *volume > 0 {
		return tooMany(e.Count, container.Contents.Liters()*syrup.Liters(e.Count), *volume)
	}
	return nil
}

// total adds up one quantity of some links; nil when one of them lacks it.
func total[Q ~float64](links []Link, of func(Link) *Q) *Q {
	sum := Q(0)
	for _, l := range links {
		q := of(l)
		if q == nil {
			return nil
		}
		sum += *q
	}
	return &sum
}

// tooMany refuses a count whose bottles hold over a fifth more than was drawn, and says about how many that fills.
func tooMany[Q ~float64](count int, holds, drawn Q) error {
	if holds > drawn*(1+overRefused) {
		enough := int(Q(count) * drawn / holds)
		return Invalid{{"count", "fill_end.over_drawn", []any{"Count", count, "Holds", holds, "Drawn", drawn, "Enough", enough}}}
	}
	return nil
}

// Validate checks a disposition.
func (d *Disposition) Validate() error {
	var c checks
	c.moment("at", d.At)
	c.oneOf("act", d.Act, ActHold, ActRelease, ActRecall, ActRework, ActDestroy)
	if d.Act != ActRelease {
		c.need("reason", d.Reason)
	}
	c.text("reason", d.Reason)
	return c.err()
}

func (d *Disposition) refs() []ref { return []ref{to("part_id", d.PartID, KindPart)} }

// Validate checks a four-part text: none of the parts may be left empty (21 CFR 117.150(a)(2)).
func (a *CorrectiveAction) Validate() error {
	var c checks
	c.moment("at", a.At)
	c.need("finding", a.Finding)
	c.need("problem", a.Problem)
	c.need("recurrence", a.Recurrence)
	c.need("evaluation", a.Evaluation)
	c.need("commerce", a.Commerce)
	return c.err()
}

func (a *CorrectiveAction) refs() []ref {
	return []ref{to("part_id", a.PartID, KindPart), to("about_id", a.AboutID, Kinds()...)}
}
