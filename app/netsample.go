package app

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// netRoutes are the net-contents check of a lot, the tables it is judged by, and cooling tests.
func (a *App) netRoutes() []route {
	return []route{
		{"GET", "/lot/:id/net", reader, a.showNet},
		{"POST", "/lot/:id/net", crew, a.keepNet},
		{"GET", "/house/net-table", reader, a.showNetTables},
		{"GET", "/cooling/:id", reader, a.showCooling},
	}
}

// netKinds are the kinds of these pages. Of a check only the note is amended: what was weighed wrongly is struck and weighed again.
func netKinds() []*kindPage {
	table := kindPage{Area: "house", See: reader, Write: owner, Order: "name, as_of DESC, id DESC", Columns: []string{"name", "edition", "as_of"}, OwnList: true}
	test := kindPage{Area: "house", See: reader, Write: crew, Order: "at DESC, id DESC", Columns: []string{"container", "at", "position", "air"}}
	own := kindPage{See: reader, Write: crew, Order: "id"}
	return []*kindPage{
		simple(test, coolingTestForm, newCoolingTest, nil),
		simple(table, netTableForm, newNetTable, nil),
		simple(own, netNoteForm, nil, nil),
	}
}

func netNoteForm(f *form, n *records.NetSample) { f.LongText("note", &n.Note, 0, longText) }

// netPage is the net-contents check of one lot: the bottles picked, what they weigh, and the checks kept.
type netPage struct {
	Page
	Code, Product, Container, Lot string
	Missing                       string // why none can be made now
	Schemes                       []Step
	Small                         string // a scheme that has no plan for the lot
	Pick                          *netPick
	Facts                         []line
	Scales                        []ledgerLine
	Form                          *form
	First, Column, Paste, Last    []*Field // of the form
	PasteOpen                     bool
	Findings                      []shownFinding
	Checks                        []shownNet
}

// netPick is the list of bottles to weigh.
type netPick struct {
	Rows      []pickedBottle
	Help      string
	Seed      string // in words
	Draw      string // the seed itself
	Scheme    string
	Gone      string // as typed
	GoneKept  string
	GoneWrong string
	Again     string // address
	Show      string // address of this page, for the bottles gone
}

// pickedBottle is one bottle to weigh, and where it stands when it is packed.
type pickedBottle struct{ Number, Where string }

// netDraw is what a draw rests on.
type netDraw struct {
	scheme hazards.NetScheme
	plan   hazards.SamplingPlan
	seed   string
	lot    int
	gone   []int
}

// bottles are those to weigh, in order of their numbers; false when too many are gone.
func (d netDraw) bottles() ([]int, bool) {
	all := hazards.PickPackages(d.seed, d.lot, min(d.lot, d.plan.Packages+len(d.gone)))
	all = slices.DeleteFunc(all, func(n int) bool { return slices.Contains(d.gone, n) })
	if len(all) < d.plan.Packages {
		return nil, false
	}
	picked := all[:d.plan.Packages]
	slices.Sort(picked)
	return picked, true
}

func (a *App) showNet(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	scheme := hazards.NetScheme(c.Query("scheme"))
	if known := scheme == hazards.SchemeHB133 || scheme == hazards.SchemeR87; known && c.Query("seed") == "" {
		c.Redirect(http.StatusSeeOther, netURL(lot.ID, scheme, newToken()))
		return nil
	}
	return a.renderNet(c, http.StatusOK, lot, nil)
}

// netURL is where bottles of a lot are drawn by a scheme and a seed.
func netURL(lotID string, scheme hazards.NetScheme, seed string) string {
	return lotURL(lotID) + "/net?scheme=" + string(scheme) + "&seed=" + seed
}

// renderNet draws the page. A form that was posted wrongly comes back in its place.
func (a *App) renderNet(c *gin.Context, status int, lot records.Lot, posted *netForm) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	facts, rules, err := records.LotFacts(ctx, a.store, lot.ID)
	if err != nil {
		return err
	}
	page := &netPage{Code: records.PrintedCode(lot.Code), Product: facts.Product, Container: facts.Fill.Container, Lot: lotURL(lot.ID)}
	if page.Trail, err = a.trail(ctx, v.words(), &lot); err != nil {
		return err
	}
	for _, f := range hazards.JudgeLot(facts, rules) {
		if strings.HasPrefix(f.Code, "net.") {
			page.Findings = append(page.Findings, shownFindingOf(v.words(), f))
		}
	}
	if page.Checks, err = a.netChecks(ctx, v, lot.ID); err != nil {
		return err
	}
	switch {
	case lot.Struck:
		page.Missing = v.words().say("net_page.struck")
	case facts.Open || facts.Units == nil || *facts.Units < 1:
		page.Missing = v.words().say("net_page.open")
	case hazards.LotSolids(facts) == nil:
		page.Missing = v.words().say("net_page.no_solids")
	case v.may(crew):
		err = a.netEntry(c, page, lot, facts, posted)
	}
	if err != nil {
		return err
	}
	return a.render(c, status, "net/check", page)
}

// netEntry puts the choice of rules on the page, and once they are chosen the list of bottles and the form.
func (a *App) netEntry(c *gin.Context, page *netPage, lot records.Lot, facts hazards.LotFacts, posted *netForm) error {
	w := visitorOf(c).words()
	if posted == nil {
		draw, ok := askedDraw(c, *facts.Units)
		if ok {
			posted = &netForm{form: a.newForm(c, "net_sample", lotURL(lot.ID)+"/net"), draw: draw, sample: &records.NetSample{LotID: lot.ID}}
		}
	}
	chosen := hazards.NetScheme("")
	if posted != nil {
		chosen = posted.draw.scheme
	}
	for _, scheme := range []hazards.NetScheme{hazards.SchemeHB133, hazards.SchemeR87} {
		plan, err := hazards.Plan(scheme, *facts.Units)
		if err != nil {
			page.Small = w.say("net_page.scheme.small", "Least", 100, "Lot", *facts.Units)
			continue
		}
		page.Schemes = append(page.Schemes, Step{Name: w.say("net_page.scheme."+string(scheme), "Packages", plan.Packages), URL: lotURL(lot.ID) + "/net?scheme=" + string(scheme),
			Here: scheme == chosen})
	}
	if posted == nil {
		return nil
	}
	return a.netDrawn(c, page, lot, facts, posted)
}

// askedDraw is the draw the address asks for; false before rules are chosen, or for rules without a plan.
func askedDraw(c *gin.Context, lot int) (netDraw, bool) {
	d := netDraw{scheme: hazards.NetScheme(c.Query("scheme")), seed: c.Query("seed"), lot: lot}
	plan, err := hazards.Plan(d.scheme, lot)
	if err != nil || d.seed == "" || len(d.seed) > 64 {
		return d, false
	}
	d.plan = plan
	return d, true
}

// netDrawn puts list, figures and form on the page.
func (a *App) netDrawn(c *gin.Context, page *netPage, lot records.Lot, facts hazards.LotFacts, n *netForm) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	container, err := records.Get[records.Container](ctx, a.store, lot.ContainerID)
	if err != nil {
		return err
	}
	pick := &netPick{Seed: w.say("net_page.seed", "Seed", n.draw.seed), Draw: n.draw.seed, Scheme: string(n.draw.scheme), Help: w.say("net_page.picks_help", "Lot", n.draw.lot),
		Again: lotURL(lot.ID) + "/net?scheme=" + string(n.draw.scheme), Show: lotURL(lot.ID) + "/net"}
	page.Pick = pick
	bottles := n.readGone(c, pick)
	for _, number := range bottles {
		pick.Rows = append(pick.Rows, pickedBottle{Number: strconv.Itoa(number), Where: caseOf(w, container, number)})
	}
	if page.Facts, err = a.netFigures(ctx, w, facts, container, n.draw); err != nil {
		return err
	}
	if page.Scales, err = a.scaleChecks(ctx, w); err != nil {
		return err
	}
	if !n.bound {
		n.bind(bottles, container)
	}
	n.Cancel = lotURL(lot.ID)
	page.Form = n.form
	page.split()
	return n.Err()
}

// readGone reads the bottles that are gone, draws for them, and says what is wrong with what was typed.
func (n *netForm) readGone(c *gin.Context, pick *netPick) []int {
	typed := c.Query("gone")
	if n.reading() {
		typed = n.raw.Get("gone")
	}
	pick.Gone = typed
	gone, err := hazards.ParseBottles(typed, n.draw.lot)
	if err != nil {
		pick.GoneWrong = n.words.say(listKey(err), listArgs(err)...)
	} else if n.draw.gone = gone; len(gone) > 0 {
		pick.GoneKept = n.words.say("net_page.gone_kept", "Gone", numbersIn(gone))
	}
	bottles, ok := n.draw.bottles()
	if !ok {
		pick.GoneWrong, pick.GoneKept = n.words.say("net_page.gone_many"), ""
		n.draw.gone = nil
		bottles, _ = n.draw.bottles()
	}
	return bottles
}

// caseOf says where a bottle stands when cases are packed as they were filled; blank where the case is not known.
func caseOf(w words, container records.Container, number int) string {
	if container.UnitsPerCase == nil {
		return ""
	}
	per := *container.UnitsPerCase
	return w.say("net_page.case", "Case", (number-1)/per+1, "Place", (number-1)%per+1)
}

// split sorts the fields of the form into the parts of the page.
func (p *netPage) split() {
	for _, field := range p.Form.Fields {
		switch {
		case strings.HasPrefix(field.Name, weightField):
			p.Column = append(p.Column, field)
		case field.Name == "weights":
			p.Paste = append(p.Paste, field)
			p.PasteOpen = field.Value != "" || field.Error != ""
		case len(p.Column) == 0:
			p.First = append(p.First, field)
		default:
			p.Last = append(p.Last, field)
		}
	}
}

func numbersIn(numbers []int) string {
	said := make([]string, len(numbers))
	for i, n := range numbers {
		said[i] = strconv.Itoa(n)
	}
	return strings.Join(said, ", ")
}

// fullBottle is what a bottle that holds its label weighs net.
func fullBottle(facts hazards.LotFacts) (syrup.Grams, error) {
	return syrup.NetWeight(*facts.Fill.Contents, hazards.LotSolids(facts).Percent)
}
