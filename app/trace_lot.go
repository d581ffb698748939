package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// lotAnswer is everything about one lot that a complaint asks: what it is, what went in, how it was filled, what is
// judged of it, its sister lots, and where its bottles are.
type lotAnswer struct {
	ID, Code, What string
	Facts          []line
	Findings       []shownFinding
	Within         bool // nothing above a note
	Checks         Table
	Where          bandColumn
	Holders        Table
	Account        string // the bottles added up
	Sisters        []sisterLine
	SisterCount    int
	MoreSisters    string
	Rest           string // address where nothing is folded

	lot      records.Lot
	back     records.Trace
	parts    []records.OnShelf
	holdings []records.Holding
	sisters  []records.Beside
	judged   []hazards.Finding
	facts    hazards.LotFacts
}

// sisterLine is a lot that shares something, and what.
type sisterLine struct{ Code, URL, Shares string }

// mostSisters is how many sister lots are shown before the rest is folded.
const mostSisters = 10

// answerFor gathers it. whole unfolds long lists.
func (a *App) answerFor(ctx context.Context, w words, lotID string, whole bool) (*lotAnswer, error) {
	lot, err := records.Get[records.Lot](ctx, a.store, lotID)
	if err != nil {
		return nil, err
	}
	r := &lotAnswer{ID: lot.ID, Code: records.PrintedCode(lot.Code), Rest: traceURL(lot.ID) + "?all=1", lot: lot}
	if r.back, err = records.TraceBack(ctx, a.store, lotID); err != nil {
		return nil, err
	}
	var rules hazards.Rules
	if r.facts, rules, err = records.LotFacts(ctx, a.store, lotID); err != nil {
		return nil, err
	}
	r.judged = hazards.JudgeLot(r.facts, rules)
	r.Findings = shownFindings(w, hazards.At(r.judged, hazards.Check))
	r.Within = len(r.Findings) == 0
	if r.parts, err = records.ShelfList(ctx, a.store, "lot_id = ?", lotID); err != nil {
		return nil, err
	}
	if r.holdings, err = records.WhoHas(ctx, a.store, lotID); err != nil {
		return nil, err
	}
	if r.sisters, err = records.Sideways(ctx, a.store, lotID); err != nil {
		return nil, err
	}
	return r, a.sayAnswer(ctx, w, r, whole)
}

func (a *App) sayAnswer(ctx context.Context, w words, r *lotAnswer, whole bool) (err error) {
	most := mostBands
	if whole {
		most = len(r.holdings) + len(r.sisters) + 1
	}
	if len(r.parts) > 0 {
		r.What = r.parts[0].What()
	}
	if r.Facts, err = a.lotLines(ctx, w, r); err != nil {
		return err
	}
	if r.Checks, err = a.checksTable(ctx, w, r.ID); err != nil {
		return err
	}
	r.Where = whereColumn(w, r.parts, r.holdings, most, r.Rest)
	r.Account = accountWords(w, r.parts, r.holdings)
	if r.Holders, err = holdersTable(w, r.holdings); err != nil {
		return err
	}
	shown := r.sisters
	r.SisterCount = len(shown)
	if !whole && len(shown) > mostSisters+1 {
		shown = shown[:mostSisters]
		r.MoreSisters = w.say("trace.more_sisters", "Others", len(r.sisters)-mostSisters)
	}
	for _, s := range shown {
		r.Sisters = append(r.Sisters, sisterLine{Code: s.Lot.Name, URL: traceURL(s.Lot.ID), Shares: sharesWords(w, s)})
	}
	return nil
}

// lotLines are the facts one asks for first, each a link where it is a record.
func (a *App) lotLines(ctx context.Context, w words, r *lotAnswer) ([]line, error) {
	filled, err := w.moment(r.lot.StartedAt)
	if err != nil {
		return nil, err
	}
	lines := []line{{Label: w.say("trace.fact.filled"), Text: filled}}
	add := func(key, said, url string) {
		l := line{Label: w.say(key), Text: said, URL: url, Missing: said == ""}
		if l.Missing {
			l.Text = w.notRecorded()
		}
		lines = append(lines, l)
	}
	count := ""
	if r.facts.Units != nil {
		count = w.say("count.bottles", "Count", *r.facts.Units)
	}
	add("trace.fact.count", count, "")
	add("trace.fact.solids", solidsWords(w, hazards.LotSolids(r.facts)), "")
	add("trace.fact.coolest", a.coolest(w, r.facts), "")
	for _, run := range r.facts.Runs {
		add("trace.fact.run", runWords(w, run), recordURL(run.ID))
	}
	if err := a.caneLines(ctx, w, r, add); err != nil {
		return nil, err
	}
	for _, supply := range []struct {
		key string
		id  *string
	}{{"trace.fact.bottles", r.lot.BottlesLotID}, {"trace.fact.closures", r.lot.ClosuresLotID}} {
		if supply.id == nil {
			add(supply.key, "", "")
			continue
		}
		add(supply.key, records.Name(ctx, a.store, *supply.id), traceURL(*supply.id))
	}
	return lines, nil
}

// mostCane is how many cuts stand among the first facts; the columns have them all.
const mostCane = 4

// caneLines says which cane it is: cut when, of which planting, with its share.
func (a *App) caneLines(ctx context.Context, w words, r *lotAnswer, add func(key, said, url string)) error {
	cuts := r.back.OfKind(records.KindCut)
	slices.SortStableFunc(cuts, func(x, y records.Step) int { return cmp.Compare(shareOf(y), shareOf(x)) })
	if len(cuts) == 0 {
		add("trace.fact.cane", "", "")
	}
	for i, s := range cuts {
		if i == mostCane {
			add("trace.fact.cane", w.say("trace.more_cuts", "Others", len(cuts)-mostCane), "")
			return nil
		}
		cut, err := records.Get[records.Cut](ctx, a.store, s.ID)
		if err != nil {
			return err
		}
		day, err := w.day(cut.CutOn)
		if err != nil {
			return err
		}
		said := w.say("trace.cut", "Day", day, "Planting", records.Name(ctx, a.store, cut.PlantingID), "Harvester", cut.Harvester)
		if len(cuts) > 1 && s.Share != nil {
			percent, err := w.percent(*s.Share)
			if err != nil {
				return err
			}
			said += " · " + percent
		}
		add("trace.fact.cane", said, recordURL(cut.ID))
	}
	return nil
}

func shareOf(s records.Step) float64 {
	if s.Share == nil {
		return -1
	}
	return float64(*s.Share)
}

// solidsWords writes worked-out solids with their uncertainty; empty when they are not known.
func solidsWords(w words, s *syrup.Solids) string {
	if s == nil {
		return ""
	}
	return w.say("trace.solids", "Solids", decimal(float64(s.Percent)), "Off", decimal(float64(s.Uncertainty)))
}

func runWords(w words, run hazards.RunFacts) string {
	said := []string{run.Name}
	if run.FireLitAt != nil {
		if lit, err := w.moment(*run.FireLitAt); err == nil {
			said = append(said, w.say("today.lit", "When", lit))
		}
	}
	if governing := hazards.Governing(run.Readings, hazards.StageFinish); governing != nil {
		if solids, err := governing.Solids(); err == nil {
			said = append(said, w.say("trace.finish", "Solids", solidsWords(w, &solids)))
		}
	} else {
		said = append(said, w.say("trace.no_finish"))
	}
	return strings.Join(said, " · ")
}

// coolest is the coolest bottle at capping, with the number of checks.
func (a *App) coolest(w words, facts hazards.LotFacts) string {
	var least *syrup.Celsius
	for _, k := range facts.Fill.Checks {
		if k.Bottle != nil && (least == nil || *k.Bottle < *least) {
			least = k.Bottle
		}
	}
	if least == nil {
		return ""
	}
	said, err := w.temperature(*least)
	if err != nil {
		return ""
	}
	return w.say("trace.of_checks", "Coolest", said, "Checks", len(facts.Fill.Checks))
}

// checksTable lists the fill checks in order of time.
func (a *App) checksTable(ctx context.Context, w words, lotID string) (Table, error) {
	table := Table{Heads: []string{w.say("trace.check.at"), w.say("trace.check.bottle"), w.say("trace.check.closure"), w.say("trace.check.weight"), w.say("trace.check.instrument")}}
	checks, err := records.List[records.FillCheck](ctx, a.store, "lot_id = ? ORDER BY at, id", lotID)
	if err != nil {
		return table, err
	}
	for _, k := range checks {
		at, err1 := w.clock(k.At)
		bottle, err2 := w.temperature(k.Bottle)
		weight, err3 := w.mass(k.NetWeight)
		if err := cmp.Or(err1, err2, err3); err != nil {
			return table, err
		}
		closure, instrument := w.notRecorded(), w.notRecorded()
		if k.ClosureOK != nil {
			closure = w.say(map[bool]string{true: "word.yes", false: "word.no"}[*k.ClosureOK])
		}
		if k.InstrumentID != nil {
			instrument = records.Name(ctx, a.store, *k.InstrumentID)
		}
		table.Rows = append(table.Rows, TableRow{URL: recordURL(k.ID), Cells: []Cell{{Text: at}, {Text: bottle, Figure: k.Bottle != nil},
			{Text: closure}, {Text: weight, Figure: k.NetWeight != nil}, {Text: instrument}}})
	}
	return table, nil
}

// sharesWords says what a sister lot shares, the most telling first.
func sharesWords(w words, b records.Beside) string {
	var said []string
	byKind := map[records.Kind][]string{}
	var order []records.Kind
	for _, s := range b.By {
		if byKind[s.Kind] == nil {
			order = append(order, s.Kind)
		}
		byKind[s.Kind] = append(byKind[s.Kind], stepWords(w, s))
	}
	const most = 2
	telling := []records.Kind{records.KindRun, records.KindPressing, records.KindCut, records.KindSupplyLot, records.KindInstrument}
	slices.SortStableFunc(order, func(a, b records.Kind) int { return cmp.Compare(slices.Index(telling, a), slices.Index(telling, b)) })
	for _, kind := range order {
		names := byKind[kind]
		text := w.say("kind."+string(kind)) + " " + strings.Join(names[:min(most, len(names))], ", ")
		if len(names) > most {
			text += " +" + strconv.Itoa(len(names)-most)
		}
		said = append(said, text)
	}
	if b.Same {
		said = append(said, w.say("trace.same_day"))
	}
	return strings.Join(said, " · ")
}

// accountWords adds the bottles up: filled = on hand + with customers + samples + broken.
func accountWords(w words, parts []records.OnShelf, holdings []records.Holding) string {
	filled, onHand, samples, broken, with := 0, 0, 0, 0, 0
	for _, p := range parts {
		if !p.CameBack {
			filled += p.Filled
		}
		onHand, samples, broken = onHand+p.OnHand, samples+p.Samples, broken+p.Broken
	}
	for _, h := range holdings {
		with += h.Units - h.Back
	}
	if filled == 0 {
		return w.say("trace.not_counted")
	}
	said := w.say("trace.account", "Filled", filled, "OnHand", onHand, "With", with, "Samples", samples, "Broken", broken)
	if off := filled - onHand - samples - broken - with; off != 0 {
		said += " " + w.say("trace.unaccounted", "Off", fmt.Sprintf("%+d", -off))
	}
	return said
}

// customerHolds is what one customer has of some lots.
type customerHolds struct {
	customer  records.Customer
	out, back int
	with      int
}

// byCustomer adds holdings up by customer, who has most first.
func byCustomer(holdings []records.Holding) []*customerHolds {
	at := map[string]*customerHolds{}
	var list []*customerHolds
	for _, h := range holdings {
		k := at[h.Customer.ID]
		if k == nil {
			k = &customerHolds{customer: h.Customer}
			at[h.Customer.ID] = k
			list = append(list, k)
		}
		k.out, k.back, k.with = k.out+h.Units, k.back+h.Back, k.with+h.Units-h.Back
	}
	slices.SortStableFunc(list, func(a, b *customerHolds) int { return cmp.Compare(b.with, a.with) })
	return list
}
