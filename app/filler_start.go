package app

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards/syrup"
	"canewright/records"
)

// startPage asks what a lot is filled from and into.
type startPage struct {
	Page
	Form    *form
	Sources []sourceFields
	Rest    []*Field
}

// sourceFields are the tick and the quantity of one run or tank.
type sourceFields struct {
	Line          syrupLine
	Tick, Take    *Field
	NothingByBook bool   // used up by the records: a quantity is needed
	Took          string // where the quantity last taken from it is amended; empty where it is not
}

// fillingStart is what the form of a new lot takes.
type fillingStart struct {
	lot     records.Lot
	bottles string
	closure string
	sources []sourceTaken
	from    string // the source asked for in the address
}

// sourceTaken is one run or tank on the form and what was said of it.
type sourceTaken struct {
	left    records.SyrupLeft
	taken   bool
	volume  *syrup.Liters
	entered string
}

// draws are the sources ticked, or given a quantity. Without a quantity all that is left is taken.
func (s *fillingStart) draws() []records.Draw {
	var draws []records.Draw
	for _, t := range s.sources {
		if t.taken || t.volume != nil {
			draws = append(draws, records.Draw{FromID: t.left.ID, Volume: t.volume, Entered: t.entered})
		}
	}
	return draws
}

// newStart gathers what a person should not have to choose again: the product, container and supply lots used last, the
// only source there is.
func (a *App) newStart(ctx context.Context, from string) (*fillingStart, error) {
	s := &fillingStart{from: from}
	left, err := records.SyrupsLeft(ctx, a.store, a.store.Now())
	if err != nil {
		return nil, err
	}
	ready := slices.DeleteFunc(slices.Clone(left), func(l records.SyrupLeft) bool { return l.Finished || l.OnFire })
	for _, l := range left {
		s.sources = append(s.sources, sourceTaken{left: l, taken: l.ID == from || from == "" && len(ready) == 1 && l.ID == ready[0].ID})
	}
	last, err := records.List[records.Lot](ctx, a.store, "ORDER BY started_at DESC, id DESC LIMIT 1")
	if err != nil {
		return nil, err
	}
	if len(last) > 0 {
		s.lot.ProductID, s.lot.ContainerID = last[0].ProductID, last[0].ContainerID
	}
	return s, a.likelySupplies(ctx, s)
}

// likelySupplies chooses the bottles and closures that went with the container before. A wrong guess would be worse than
// none: another size is never offered beforehand.
func (a *App) likelySupplies(ctx context.Context, s *fillingStart) error {
	before, err := records.List[records.Lot](ctx, a.store, "container_id = ? ORDER BY started_at DESC, id DESC", s.lot.ContainerID)
	if err != nil {
		return err
	}
	others, err := records.List[records.Lot](ctx, a.store, "container_id <> ?", s.lot.ContainerID)
	if err != nil {
		return err
	}
	for _, supply := range []struct {
		sort string
		to   *string
		used func(records.Lot) *string
	}{{records.SupplyBottles, &s.bottles, func(l records.Lot) *string { return l.BottlesLotID }},
		{records.SupplyClosures, &s.closure, func(l records.Lot) *string { return l.ClosuresLotID }}} {
		lots, err := records.SuppliesLeft(ctx, a.store, supply.sort)
		if err != nil {
			return err
		}
		*supply.to = likelySupply(lots, before, others, supply.used)
	}
	return nil
}

// likelySupply is the supply lot used last with this container while some of it is left, else another used with it that
// has some, else the only one with some that no other container used, else none.
func likelySupply(lots []records.SupplyLeft, before, others []records.Lot, used func(records.Lot) *string) string {
	some := map[string]bool{}
	for _, l := range lots {
		some[l.ID] = l.Left == nil || *l.Left > 0
	}
	for _, lot := range before {
		if id := used(lot); id != nil && some[*id] {
			return *id
		}
	}
	for _, lot := range others {
		if id := used(lot); id != nil {
			some[*id] = false
		}
	}
	var fresh []string
	for _, l := range lots {
		if some[l.ID] {
			fresh = append(fresh, l.ID)
		}
	}
	if len(fresh) == 1 {
		return fresh[0]
	}
	return ""
}

// startForm binds a new lot: a tick and a quantity for each source, then product, container, supplies, time.
func (a *App) startForm(ctx context.Context, f *form, s *fillingStart) ([]sourceFields, error) {
	var sources []sourceFields
	for i := range s.sources {
		t := &s.sources[i]
		line, err := syrupLineOf(f.words, t.left)
		if err != nil {
			return nil, err
		}
		tick := f.Flag("take_"+t.left.ID, &t.taken)
		f.relabel(tick, line.Name)
		volume := f.Volume("volume_"+t.left.ID, &t.volume, &t.entered, optional)
		f.relabel(volume, f.words.say("filling.volume", "Name", line.Name))
		volume.Help = f.words.say("filling.volume.help")
		fields := sourceFields{Line: line, Tick: tick, Take: volume, NothingByBook: t.left.Finished}
		if t.left.Finished {
			if fields.Took, err = a.lastTaken(ctx, t.left.ID); err != nil {
				return nil, err
			}
		}
		sources = append(sources, fields)
	}
	f.Pick("product", &s.lot.ProductID, f.choices(records.KindProduct), required)
	f.Pick("container", &s.lot.ContainerID, f.choices(records.KindContainer), required)
	for _, supply := range []struct {
		name, sort string
		to         *string
	}{{"bottles_lot", records.SupplyBottles, &s.bottles}, {"closures_lot", records.SupplyClosures, &s.closure}} {
		choices, err := a.supplyChoices(ctx, f.words, supply.sort)
		if err != nil {
			return nil, err
		}
		f.Pick(supply.name, supply.to, choices, optional)
	}
	f.moment("started_at", &s.lot.StartedAt)
	f.Text("note", &s.lot.Note, 0, longText)
	f.DoneBy()
	return sources, nil
}

// lastTaken is where the newest link out of a run or tank is amended; empty when nothing was taken.
func (a *App) lastTaken(ctx context.Context, id string) (string, error) {
	links, err := records.List[records.Link](ctx, a.store, "from_id = ? ORDER BY at DESC, id DESC LIMIT 1", id)
	if err != nil || len(links) == 0 {
		return "", err
	}
	return recordURL(links[0].ID) + "/amend", nil
}

// supplyChoices lists supply lots with how many are left.
func (a *App) supplyChoices(ctx context.Context, w words, sort string) ([]Choice, error) {
	lots, err := records.SuppliesLeft(ctx, a.store, sort)
	if err != nil {
		return nil, err
	}
	choices := make([]Choice, len(lots))
	for i, l := range lots {
		name := strings.TrimSuffix(l.Description+", "+l.TheirLot, ", ")
		if l.Left != nil {
			name = w.say("filler_page.supply", "Name", name, "Left", plainNumber(max(*l.Left, 0)))
		}
		choices[i] = Choice{Value: l.ID, Name: name}
	}
	return choices, nil
}

func (a *App) showStartFilling(c *gin.Context) error {
	ctx := c.Request.Context()
	s, err := a.newStart(ctx, c.Query("from"))
	if err != nil {
		return err
	}
	f := a.newForm(c, "filling", "/filler/new")
	sources, err := a.startForm(ctx, f, s)
	if err = errors.Join(err, f.Err()); err != nil {
		return err
	}
	return a.show(c, "filler/start", newStartPage(f, sources))
}

func newStartPage(f *form, sources []sourceFields) *startPage {
	f.Cancel = "/filler"
	return &startPage{Form: f, Sources: sources, Rest: f.Fields[2*len(sources):]}
}

// startFilling gives the lot its code. What the store says of the sources stands at them.
func (a *App) startFilling(c *gin.Context) error {
	ctx := c.Request.Context()
	f, err := a.readForm(c, "filling", "/filler/new")
	if err != nil {
		return err
	}
	s, err := a.newStart(ctx, "")
	if err != nil {
		return err
	}
	s.lot.ProductID, s.lot.ContainerID = "", ""
	if err := a.addGone(ctx, f, s); err != nil {
		return err
	}
	sources, err := a.startForm(ctx, f, s)
	if err = errors.Join(err, f.Err()); err != nil {
		return err
	}
	if f.OK() {
		s.lot.BottlesLotID, s.lot.ClosuresLotID = blankNil(s.bottles), blankNil(s.closure)
		s.lot.SiteID = visitorOf(c).person.SiteID
		a.nowIfThisMinute(&s.lot.StartedAt)
		err := a.store.StartFilling(ctx, a.actor(c), &s.lot, s.draws())
		if err == nil {
			return a.redirect(c, "/filler/"+s.lot.ID, "filler_page.started", "Code", records.PrintedCode(s.lot.Code))
		}
		if again, ok := alreadyMade(err); ok {
			return a.redirect(c, "/filler/"+again, "")
		}
		if !a.takeOfSources(f, sources, err) {
			return err
		}
	}
	return a.redisplay(c, "filler/start", newStartPage(f, sources))
}

// addGone adds a source that was ticked and is no longer offered, as when a second tap comes after the first has drawn
// all of it: the store says what is wrong with it, and nothing ticked is dropped in silence.
func (a *App) addGone(ctx context.Context, f *form, s *fillingStart) error {
	var gone []string
	for name, values := range f.raw {
		id, ok := strings.CutPrefix(name, "take_")
		known := slices.ContainsFunc(s.sources, func(t sourceTaken) bool { return t.left.ID == id })
		if ok && !known && len(values) > 0 && values[0] != "" {
			gone = append(gone, id)
		}
	}
	slices.Sort(gone)
	for _, id := range gone {
		kind, err := records.KindOf(ctx, a.store, id)
		if errors.Is(err, records.ErrNotFound) || err == nil && kind != records.KindRun && kind != records.KindTank {
			return records.Invalid{{Field: "sources", Key: "invalid.pick"}}
		}
		if err != nil {
			return err
		}
		s.sources = append(s.sources, sourceTaken{left: records.SyrupLeft{ID: id, Kind: kind, Name: records.Name(ctx, a.store, id), Finished: true}})
	}
	return nil
}

// takeOfSources puts refusals of quantities at the first source ticked, the rest where form.take does.
func (a *App) takeOfSources(f *form, sources []sourceFields, err error) bool {
	var invalid records.Invalid
	if !errors.As(err, &invalid) {
		return f.take(err)
	}
	var rest records.Invalid
	for _, fault := range invalid {
		field := sourceField(sources, fault)
		if field == nil {
			rest = append(rest, fault)
			continue
		}
		f.wrong(field, fault.Key, fault.Args...)
	}
	return len(rest) == 0 || f.take(rest)
}

// sourceField is the field a refusal about sources or quantities belongs at: the source it names, else the first ticked.
func sourceField(sources []sourceFields, fault records.FieldError) *Field {
	if len(sources) == 0 || !slices.Contains([]string{"sources", "quantity", "at", "from_id"}, fault.Field) {
		return nil
	}
	if fault.Field == "sources" {
		return sources[0].Tick
	}
	for i, arg := range fault.Args {
		if arg != "Name" || i+1 == len(fault.Args) {
			continue
		}
		for _, s := range sources {
			if name, ok := fault.Args[i+1].(string); ok && strings.HasSuffix(s.Line.Name, name) {
				return s.Take
			}
		}
	}
	for _, s := range sources {
		if s.Tick.Value != "" {
			return s.Take
		}
	}
	return nil
}

// nowIfThisMinute keeps the seconds where a person left the time at now: a form knows minutes only, and what was drawn
// off half a minute ago would otherwise come after its own filling.
func (a *App) nowIfThisMinute(t *time.Time) {
	if now := a.store.Now(); t.Equal(now.Truncate(time.Minute)) {
		*t = now
	}
}

// blankNil is nil for a blank id.
func blankNil(id string) *string {
	if id == "" {
		return nil
	}
	return &id
}

// alreadyMade gives the record a first tap made.
func alreadyMade(err error) (string, bool) {
	var already records.Already
	ok := errors.As(err, &already)
	return already.RecordID, ok
}
