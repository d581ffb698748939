package records

import (
	"context"
	"errors"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// Schemes of a net-contents check.
const (
	SchemeHB133 = "hb133" // NIST Handbook 133, Category A
	SchemeR87   = "r87"   // OIML R 87
)

// NetSample is a net-contents check of a lot: which packages were picked and what they weighed, judged by one scheme with
// the tables of one edition. The result is kept in words as it was worked out then.
type NetSample struct {
	Row
	LotID       string
	At          time.Time
	Scheme      string
	Edition     string // of the scheme and of its tolerance table
	LotSize     int
	Seed        string // of the random pick, so that it can be repeated
	Picked      string // bottle numbers picked, apart by commas
	ScaleID     *string
	Gross       bool // the weights are of full bottles; Tare is taken off
	Tare        *syrup.Grams
	TareEntered string
	Unit        string            // g or oz, of the weights as written
	Weights     string            // as written, apart by blanks
	Contents    syrup.Milliliters // the declared contents tested against
	Solids      syrup.Brix        // from which the density at 20 C is taken
	Passed      bool
	Result      string // every step in words
	Note        string
}

// NetTable is a table of tolerances the owner enters where it is not published in full with the program.
type NetTable struct {
	Row
	Name    string // mav_volume or mav_weight
	Edition string
	Source  string
	AsOf    Day
	Lines   string // one row a line: over, up to, tolerance, all in mL or g
}

// Names of owner's tables.
const (
	TableMAVVolume = "mav_volume"
	TableMAVWeight = "mav_weight"
)

// Validate checks a net-contents check by itself.
func (n *NetSample) Validate() error {
	var c checks
	c.moment("at", n.At)
	c.oneOf("scheme", n.Scheme, SchemeHB133, SchemeR87)
	c.need("edition", n.Edition)
	c.whole("lot_size", n.LotSize, 1, 1e6)
	c.need("picked", n.Picked)
	c.need("weights", n.Weights)
	c.oneOf("unit", n.Unit, "g", "oz")
	within(&c, "tare", n.Tare, 1, 20000, "g")
	within(&c, "contents", &n.Contents, 10, 20000, "mL")
	within(&c, "solids", &n.Solids, 30, 90, "%")
	c.text("note", n.Note)
	if n.Gross && n.Tare == nil {
		c.add("tare", "net_sample.wrong.no_tare")
	}
	if len(c.wrong) == 0 {
		n.validateWeights(&c)
	}
	return c.err()
}

// A net weight outside these shares of what a full bottle holds is a slip or another unit, not a filling (our choice).
const (
	leastFilled = 0.5
	mostFilled  = 1.5
)

// validateWeights holds bottles and weights against the plan, the tare and what a full bottle weighs.
func (n *NetSample) validateWeights(c *checks) {
	plan, err := hazards.Plan(hazards.NetScheme(n.Scheme), n.LotSize)
	var small hazards.LotTooSmall
	if errors.As(err, &small) {
		c.add("scheme", "net_sample.wrong.lot_small", "Lot", small.Lot, "Least", small.Least)
		return
	}
	bottles, err := hazards.ParseBottles(n.Picked, n.LotSize)
	c.list("picked", err)
	if err == nil && len(bottles) != plan.Packages {
		c.add("picked", "net_sample.wrong.bottles", "Want", plan.Packages, "Got", len(bottles), "Lot", n.LotSize)
	}
	weights, err := hazards.ParseWeights(n.Weights)
	c.list("weights", err)
	if err == nil && len(weights) != plan.Packages {
		c.add("weights", "net_sample.wrong.weights", "Want", plan.Packages, "Got", len(weights), "Lot", n.LotSize)
	}
	if len(c.wrong) > 0 {
		return
	}
	full, err := syrup.NetWeight(n.Contents, n.Solids)
	if err != nil {
		c.add("solids", "invalid.number")
		return
	}
	for i, net := range n.nets(weights) {
		args := []any{"Number", bottles[i], "Net", net, "Full", full, "Row", i + 1}
		switch {
		case n.Gross && net <= 0:
			c.add("weights", "net_sample.wrong.tare_heavier", append(args, "Tare", *n.Tare, "Gross", net+*n.Tare)...)
		case net < full*leastFilled || net > full*mostFilled:
			c.add("weights", "net_sample.wrong.size", args...)
		default:
			continue
		}
		return // one bottle named is enough
	}
}

// list notes what is wrong with a list that was typed.
func (c *checks) list(field string, err error) {
	var wrong hazards.ListError
	if errors.As(err, &wrong) {
		c.add(field, "net_sample.wrong."+string(wrong.Problem), "Row", wrong.Row, "Typed", wrong.Text, "Most", wrong.Most)
	}
}

// gramsPerOunce is the avoirdupois ounce, exact by definition.
const gramsPerOunce = 28.349523125

// nets are weights as written made net, in grams.
func (n *NetSample) nets(weights []float64) []syrup.Grams {
	nets := make([]syrup.Grams, len(weights))
	for i, w := range weights {
		if nets[i] = syrup.Grams(w); n.Unit == "oz" {
			nets[i] *= gramsPerOunce
		}
		if n.Gross {
			nets[i] -= *n.Tare
		}
	}
	return nets
}

// facts are a check as a judgement needs it. It was validated when it was written.
func (n *NetSample) facts(name string, table hazards.MAVTable) hazards.NetFacts {
	weights, _ := hazards.ParseWeights(n.Weights)
	bottles, _ := hazards.ParseBottles(n.Picked, n.LotSize)
	f := hazards.NetFacts{ID: n.ID, Name: name, At: n.At, Scheme: hazards.NetScheme(n.Scheme), Lot: n.LotSize, Contents: n.Contents, Solids: n.Solids,
		Bottles: bottles, Weights: n.nets(weights)}
	if n.Gross {
		f.Tare = n.Tare
	}
	if row, ok := table.Of(float64(n.Contents)); ok && row.MAV < float64(n.Contents) {
		f.MAV, f.Edition = &row.MAV, table.Edition
	}
	return f
}

// netFacts are the net-contents checks of a lot, in order of time, with the variations now in force.
func (g *gathered) netFacts(lotID, name string) ([]hazards.NetFacts, error) {
	samples, err := List[NetSample](g.ctx, g.src, "lot_id = ? ORDER BY at, id", lotID)
	if err != nil || len(samples) == 0 {
		return nil, err
	}
	table, _, err := MAVTable(g.ctx, g.src, TableMAVVolume)
	if err != nil {
		return nil, err
	}
	var used []*string
	for _, n := range samples {
		used = append(used, n.ScaleID)
	}
	if err := g.readInstruments(used); err != nil {
		return nil, err
	}
	facts := make([]hazards.NetFacts, len(samples))
	for i := range samples {
		facts[i] = samples[i].facts(name, table)
		facts[i].Scale = g.instrument(samples[i].ScaleID, samples[i].At)
	}
	return facts, nil
}

// WorkNet works a check out and keeps in it the edition, the decision and every step in English. Errors: Invalid.
func WorkNet(ctx context.Context, src Source, n *NetSample) (hazards.NetWorked, error) {
	n.Edition = "-" // not known before it is worked out
	if err := n.Validate(); err != nil {
		return hazards.NetWorked{}, err
	}
	worked, err := workNet(ctx, src, n)
	if err != nil {
		return worked, err
	}
	n.Edition, n.Passed, n.Result = worked.Edition(), worked.Pass, strings.Join(worked.Steps(text.English), "\n")
	return worked, nil
}

// NetSteps says the steps of a check that was kept, in a language. Where a table or a scale has been amended since, they come
// out otherwise than when it was weighed: then the steps are those kept, and same is false.
func NetSteps(ctx context.Context, src Source, n NetSample, lang text.Language) (steps []string, same bool, err error) {
	kept := strings.Split(n.Result, "\n")
	worked, err := workNet(ctx, src, &n)
	if err != nil {
		return kept, false, err
	}
	if strings.Join(worked.Steps(text.English), "\n") != n.Result {
		return kept, false, nil
	}
	return worked.Steps(lang), true, nil
}

// workNet works a check out with the table and the scale as they are now.
func workNet(ctx context.Context, src Source, n *NetSample) (hazards.NetWorked, error) {
	table, _, err := MAVTable(ctx, src, TableMAVVolume)
	if err != nil {
		return hazards.NetWorked{}, err
	}
	g := newGathered(ctx, src)
	if g.rules, err = RulesOf(ctx, src); err != nil {
		return hazards.NetWorked{}, err
	}
	if err := g.readInstruments([]*string{n.ScaleID}); err != nil {
		return hazards.NetWorked{}, err
	}
	facts := n.facts("", table)
	facts.Scale = g.instrument(n.ScaleID, n.At)
	return facts.Work()
}

func (n *NetSample) refs() []ref {
	return []ref{to("lot_id", n.LotID, KindLot), toOptional("scale_id", n.ScaleID, KindInstrument)}
}

func (n *NetSample) inspect(tx *Tx) error { return tx.notFuture("at", n.At) }

// Validate checks a table: a number never stands without its source, edition and day.
func (n *NetTable) Validate() error {
	var c checks
	c.oneOf("name", n.Name, TableMAVVolume, TableMAVWeight)
	c.need("edition", n.Edition)
	c.need("source", n.Source)
	c.day("as_of", n.AsOf)
	c.need("lines", n.Lines)
	var wrong hazards.TableError
	if _, err := hazards.ParseMAVLines(n.Lines); n.Lines != "" && errors.As(err, &wrong) {
		c.add("lines", "net_table.wrong."+string(wrong.Problem), "Line", wrong.Line, "Typed", wrong.Text, "Before", wrong.Before)
	}
	return c.err()
}

// MAVTable is the table of variations in force: the owner's latest by its day, else ours, with no record. Ours has no rows for
// volumes.
func MAVTable(ctx context.Context, src Source, name string) (hazards.MAVTable, *NetTable, error) {
	ours := hazards.VolumeMAV()
	if name == TableMAVWeight {
		ours = hazards.WeightMAV()
	}
	own, err := List[NetTable](ctx, src, "name = ? ORDER BY as_of DESC, id DESC LIMIT 1", name)
	if err != nil || len(own) == 0 {
		return ours, nil, err
	}
	rows, err := hazards.ParseMAVLines(own[0].Lines)
	if err != nil {
		return ours, nil, err
	}
	table, err := hazards.NewMAVTable(own[0].Edition, ours.Unit, rows...)
	return table, &own[0], err
}
