package app

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// weightField stands before the place of a bottle in the name of its field.
const weightField = "weight_"

// netForm is the form of a check with the draw it is for.
type netForm struct {
	*form
	draw   netDraw
	sample *records.NetSample
	tares  string
	bound  bool
}

// bind binds the form: what was weighed, empty bottles, a field for each bottle or all pasted, scale and time.
func (n *netForm) bind(bottles []int, container records.Container) {
	n.bound = true
	f, s := n.form, n.sample
	scheme, lotSize, gone := string(n.draw.scheme), strconv.Itoa(n.draw.lot), numbersIn(n.draw.gone)
	f.Hidden("scheme", &scheme)
	f.Hidden("seed", &n.draw.seed)
	f.Hidden("lot_size", &lotSize)
	f.Hidden("gone", &gone)
	weighed := ""
	f.Choice("weighed", &weighed, required, "gross", "net")
	s.Gross = weighed == "gross"
	f.Text("tares", &n.tares, 0, 200).Help = n.tareHelp(container)
	f.Choice("unit", &s.Unit, required, "g", "oz")
	n.column(bottles)
	f.OptionalPick("scale", &s.ScaleID, f.instruments(records.MeasuresWeight, s.ScaleID))
	f.moment("at", &s.At)
	f.Text("note", &s.Note, 0, longText)
	f.DoneBy()
	s.Scheme, s.Seed, s.LotSize, s.Picked = scheme, n.draw.seed, n.draw.lot, numbersIn(bottles)
	n.readTares(weighed, container)
}

// taresNeeded is how many empty bottles the plan asks for when they are weighed: two, three with the largest sample
// (Handbook 133, from memory; we ask the same under R 87).
func (d netDraw) taresNeeded() int {
	if d.plan.Packages >= 48 {
		return 3
	}
	return 2
}

func (n *netForm) tareHelp(container records.Container) string {
	if container.Tare == nil {
		return n.words.say("net_sample.tares_needed", "Count", n.draw.taresNeeded())
	}
	return n.words.say("net_sample.tares_help", "Count", n.draw.taresNeeded(), "Tare", gramsWords(n.words, *container.Tare))
}

// column binds a field for each bottle and one for all, and keeps what was typed apart by blanks.
func (n *netForm) column(bottles []int) {
	var typed []string
	var blank []*Field
	unit := n.sample.Unit
	for i, number := range bottles {
		field := n.field(weightField+strconv.Itoa(i+1), "number", optional)
		field.Label, field.Required, field.Unit = n.words.say("net_sample.bottle", "Number", number), true, unit // no "optional" beside each
		if field.Value == "" {
			blank = append(blank, field)
			continue
		}
		typed = append(typed, field.Value)
		if _, err := syrup.ParseNumber(field.Value); err != nil {
			n.wrongNumber(field, err)
		}
	}
	pasted := ""
	paste := n.field("weights", "longtext", optional)
	paste.Label, paste.Help = n.words.say("net_sample.pasted"), n.words.say("net_sample.pasted.help")
	n.text(paste, &pasted, 0, 8000)
	n.sample.Weights = strings.Join(typed, " ")
	switch {
	case !n.reading():
	case pasted != "" && len(typed) > 0:
		n.wrong(paste, "net_sample.wrong.both")
	case pasted != "":
		entries, err := hazards.ListEntries(pasted)
		if err != nil {
			n.wrong(paste, listKey(err), listArgs(err)...)
		}
		n.sample.Weights = strings.Join(entries, " ")
	case len(typed) == 0:
		n.wrong(paste, "net_sample.wrong.weights", "Lot", n.draw.lot, "Want", n.draw.plan.Packages, "Got", 0)
	default:
		for _, field := range blank {
			n.wrong(field, "net_sample.wrong.blank")
		}
	}
}

// readTares reads the empty bottles weighed, or takes the container's own.
func (n *netForm) readTares(weighed string, container records.Container) {
	if !n.reading() || weighed == "" || n.sample.Unit == "" {
		return
	}
	field, s := n.named("tares"), n.sample
	switch {
	case n.tares == "" && weighed == "net":
	case weighed == "net":
		n.wrong(field, "net_sample.wrong.tares_net")
	case n.tares == "" && container.Tare == nil:
		n.wrong(field, "net_sample.wrong.no_tare")
	case n.tares == "":
		s.Tare, s.TareEntered = container.Tare, container.TareEntered
	default:
		n.weighedTares(field)
	}
}

// weighedTares takes the mean of the empty bottles weighed now.
func (n *netForm) weighedTares(field *Field) {
	weights, err := hazards.ParseWeights(n.tares)
	want := n.draw.taresNeeded()
	switch {
	case err != nil:
		n.wrong(field, listKey(err), listArgs(err)...)
		return
	case len(weights) < want:
		n.wrong(field, "net_sample.wrong.tares", "Want", want, "Got", len(weights))
		return
	}
	mean := 0.0
	for _, w := range weights {
		mean += w / float64(len(weights))
	}
	if n.sample.Unit == "oz" {
		mean *= gramsPerOunce
	}
	grams := syrup.Grams(mean)
	n.sample.Tare, n.sample.TareEntered = &grams, strings.Join(strings.Fields(n.tares), " ")+" "+n.sample.Unit
}

// listKey and listArgs are the text of what is wrong with a list.
func listKey(err error) string {
	var wrong hazards.ListError
	errors.As(err, &wrong)
	return "net_sample.wrong." + string(wrong.Problem)
}

func listArgs(err error) []any {
	var wrong hazards.ListError
	errors.As(err, &wrong)
	return []any{"Row", wrong.Row, "Typed", wrong.Text, "Most", wrong.Most}
}

// keepNet works a check out and keeps it.
func (a *App) keepNet(c *gin.Context) error {
	ctx := c.Request.Context()
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "net_sample", lotURL(lot.ID)+"/net")
	if err != nil {
		return err
	}
	facts, _, err := records.LotFacts(ctx, a.store, lot.ID)
	if err != nil {
		return err
	}
	container, err := records.Get[records.Container](ctx, a.store, lot.ContainerID)
	if err != nil {
		return err
	}
	n := &netForm{form: f, sample: &records.NetSample{LotID: lot.ID}}
	if facts.Units == nil || facts.Open || hazards.LotSolids(facts) == nil || !n.readDraw(*facts.Units) {
		return a.renderNet(c, http.StatusUnprocessableEntity, lot, nil)
	}
	bottles, _ := n.draw.bottles()
	n.bind(bottles, container)
	n.sample.Contents, n.sample.Solids = *facts.Fill.Contents, hazards.LotSolids(facts).Percent
	status := http.StatusUnprocessableEntity
	if f.OK() {
		if status, err = a.writeNet(c, n, lot); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.renderNet(c, status, lot, n)
}

// readDraw reads what the bottles were drawn by; false where it is no draw at all. A lot counted anew asks for another draw.
func (n *netForm) readDraw(units int) bool {
	n.draw = netDraw{scheme: hazards.NetScheme(n.raw.Get("scheme")), seed: n.raw.Get("seed"), lot: units}
	plan, err := hazards.Plan(n.draw.scheme, units)
	if err != nil || n.draw.seed == "" || len(n.draw.seed) > 64 {
		return false
	}
	n.draw.plan = plan
	if then := n.raw.Get("lot_size"); then != strconv.Itoa(units) {
		n.Wrong = append(n.Wrong, Wrong{Message: n.words.say("net_sample.wrong.grown", "Now", units, "Then", then)})
	}
	if gone, err := hazards.ParseBottles(n.raw.Get("gone"), units); err == nil {
		n.draw.gone = gone
	}
	if _, ok := n.draw.bottles(); !ok {
		n.draw.gone = nil
		n.Wrong = append(n.Wrong, Wrong{Message: n.words.say("net_page.gone_many")})
	}
	return true
}

// writeNet keeps a check that could be read. What is wrong with a weight stands at its bottle.
func (a *App) writeNet(c *gin.Context, n *netForm, lot records.Lot) (int, error) {
	ctx := c.Request.Context()
	worked, err := records.WorkNet(ctx, a.store, n.sample)
	if err == nil {
		err = a.store.Write(ctx, a.actor(c), n.sample)
	}
	var invalid records.Invalid
	if errors.As(err, &invalid) && n.raw.Get("weights") == "" {
		err = atBottles(invalid)
	}
	kept := "net_page.kept"
	if err == nil && !worked.Pass {
		kept = "net_page.kept_failed"
	}
	return a.finishForm(c, n.form, err, lotURL(lot.ID)+"/net", kept)
}

// atBottles moves what is wrong with one weight to the field of its bottle.
func atBottles(invalid records.Invalid) records.Invalid {
	for i, wrong := range invalid {
		for k := 0; wrong.Field == "weights" && k+1 < len(wrong.Args); k += 2 {
			if row, ok := wrong.Args[k+1].(int); ok && wrong.Args[k] == "Row" {
				invalid[i].Field = weightField + strconv.Itoa(row)
			}
		}
	}
	return invalid
}
