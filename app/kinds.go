package app

import (
	"context"
	"fmt"
	"strings"

	"canewright/records"
)

// kindPage describes a simple kind of record: one form function and a line in the table below give it a list, a form
// for a new one, amending, and its place on the page of its area.
type kindPage struct {
	Kind    records.Kind
	Area    string   // field or house: where its list stands
	See     access   // who may see the list
	Write   access   // who may add and amend
	Columns []string // fields its list shows, the first as the link
	Order   string   // SQL order of the list
	OwnList bool     // its list is a page of its own

	fresh func(*form) records.Fact
	bind  func(*form, records.Fact)
	rows  func(ctx context.Context, src records.Source, where string, args ...any) ([]records.Fact, error)
	name  func(records.Fact) string // nil: ask the store
}

// path is the address of the kind's list.
func (k *kindPage) path() string {
	return "/" + k.Area + "/" + strings.ReplaceAll(string(k.Kind), "_", "-")
}

// simple makes the functions of a kindPage out of those for the record's own type. defaults fills a new record and may
// be nil; name names a record and may be nil.
func simple[T any, P interface {
	*T
	records.Fact
}](k kindPage, bind func(*form, P), defaults func(*form, P), name func(P) string) *kindPage {
	var probe P = new(T)
	k.Kind = probe.Kind()
	k.bind = func(f *form, fact records.Fact) { bind(f, fact.(P)) }
	k.fresh = func(f *form) records.Fact {
		fact := P(new(T))
		if defaults != nil {
			defaults(f, fact)
		}
		return fact
	}
	k.rows = func(ctx context.Context, src records.Source, where string, args ...any) ([]records.Fact, error) {
		rows, err := records.List[T](ctx, src, where, args...)
		facts := make([]records.Fact, len(rows))
		for i := range rows {
			facts[i] = P(&rows[i])
		}
		return facts, err
	}
	if name != nil {
		k.name = func(fact records.Fact) string { return name(fact.(P)) }
	}
	return &k
}

// kinds holds the simple kinds in the order of their pages, and by kind.
type kinds struct {
	inOrder []*kindPage
	of      map[records.Kind]*kindPage
}

// newKinds is the table of simple kinds. To add one: its form function, its texts, one line here. A kind whose screens
// are written by hand stands here without an Area: it has no list, and its form serves amending.
func newKinds() *kinds {
	field := func(order string, columns ...string) kindPage {
		return kindPage{Area: "field", See: reader, Write: crew, Order: order, Columns: columns}
	}
	house := func(write access, order string, columns ...string) kindPage {
		return kindPage{Area: "house", See: reader, Write: write, Order: order, Columns: columns}
	}
	people := house(owner, "name", "name", "login", "role", "may_release", "expires")
	people.See = owner
	limits := house(owner, "code", "code", "value", "unit", "source", "set_on")
	limits.OwnList = true
	k := &kinds{of: map[records.Kind]*kindPage{}}
	k.inOrder = []*kindPage{
		simple(field("cut_on DESC, id DESC", "planting", "cut_on", "mass", "counted", "waits_at", "harvester"), cutForm, newCut, nil),
		simple(field("name", "name", "site", "acres"), blockForm, atFirstSite(func(b *records.Block) *string { return &b.SiteID }), func(b *records.Block) string { return b.Name }),
		simple(field("planted_on DESC", "variety", "block", "planted_on", "ratoon"), plantingForm, nil, nil),
		simple(field("applied_on DESC", "product", "block", "applied_on", "pre_harvest_days", "for_sugarcane"), applicationForm, nil, nil),
		simple(field("night DESC", "night", "site", "low", "found"), freezeForm, atFirstSite(func(f *records.Freeze) *string { return &f.SiteID }), nil),

		simple(house(owner, "name", "name", "telephone", "zone"), houseForm, nil, func(h *records.House) string { return h.Name }),
		simple(house(owner, "name", "name", "address"), siteForm, nil, func(s *records.Site) string { return s.Name }),
		simple(people, personForm, newPerson, func(p *records.Person) string { return p.Name }),
		simple(house(owner, "number", "name", "number", "volume", "site"), kettleForm, atFirstSite(func(k *records.Kettle) *string { return &k.SiteID }), func(k *records.Kettle) string { return k.Name }),
		simple(house(owner, "name", "name", "holds", "volume", "site"), tankForm, atFirstSite(func(t *records.Tank) *string { return &t.SiteID }), func(t *records.Tank) string { return t.Name }),
		simple(house(crew, "name", "name", "measures", "scale", "stem", "serial"), instrumentForm, nil, func(i *records.Instrument) string { return i.Name }),
		simple(house(crew, "at DESC", "instrument", "at", "method", "read", "expected", "passed"), instrumentCheckForm, newInstrumentCheck, nil),
		simple(limits, houseLimitForm, nil, func(l *records.HouseLimit) string { return l.Code }),
		simple(house(owner, "name", "name", "names", "best_by_months"), productForm, newProduct, func(p *records.Product) string { return p.Name }),
		simple(house(owner, "name", "name", "contents", "fill_limit", "units_per_case"), containerForm, nil, func(c *records.Container) string { return c.Name }),
		simple(house(owner, "name", "name", "paper", "rows", "columns"), labelStockForm, nil, func(l *records.LabelStock) string { return l.Name }),
		simple(house(crew, "received_on DESC, id DESC", "description", "sort", "their_lot", "supplier", "quantity", "received_on"), supplyLotForm, nil, func(s *records.SupplyLot) string { return s.Description + ", " + s.TheirLot }),
		simple(house(crew, "firm", "firm", "telephone", "address"), supplierForm, nil, func(s *records.Supplier) string { return s.Firm }),
		simple(house(crew, "firm", "firm", "telephone", "address"), carrierForm, nil, func(c *records.Carrier) string { return c.Firm }),
		simple(house(crew, "sort, id", "contact_name", "sort", "contact_telephone"), customerForm, nil, func(c *records.Customer) string { return c.Contact.Name }),
	}
	k.inOrder = append(k.inOrder, fillerKinds()...)
	k.inOrder = append(k.inOrder, kettleKinds()...)
	k.inOrder = append(k.inOrder, shelfKinds()...)
	k.inOrder = append(k.inOrder, labelKinds()...)
	k.inOrder = append(k.inOrder, netKinds()...)
	for _, page := range k.inOrder {
		k.of[page.Kind] = page
	}
	return k
}

// inArea lists the kinds of an area.
func (k *kinds) inArea(area string) []*kindPage {
	var found []*kindPage
	for _, page := range k.inOrder {
		if area != "" && page.Area == area {
			found = append(found, page)
		}
	}
	return found
}

// nameOf names a record of a simple kind.
func (a *App) nameOf(ctx context.Context, k *kindPage, fact records.Fact) string {
	if k.name != nil {
		return strings.TrimSuffix(k.name(fact), ", ")
	}
	return records.Name(ctx, a.store, records.Head(fact).ID)
}

// lists gives the records of a simple kind as choices, remembering them for the length of one request.
func (a *App) lists(ctx context.Context, v *visitor) func(records.Kind) ([]Choice, error) {
	known := map[records.Kind][]Choice{}
	return func(kind records.Kind) ([]Choice, error) {
		if choices, ok := known[kind]; ok {
			return choices, nil
		}
		if choices, ok, err := a.suppliesOf(ctx, kind); ok {
			known[kind] = choices
			return choices, err
		}
		if choices, ok, err := a.coolingChoices(ctx, v.words(), kind); ok {
			known[kind] = choices
			return choices, err
		}
		if choices, ok, err := a.instrumentChoices(ctx, kind); ok {
			known[kind] = choices
			return choices, err
		}
		k, ok := a.kinds.of[kind]
		if !ok {
			return nil, fmt.Errorf("choices of %s: not a simple kind; list them yourself", kind)
		}
		where := "ORDER BY " + k.Order
		if kind == records.KindPerson { // who may have done the work: a reader looks
			where = "role <> '" + string(records.RoleReader) + "' " + where
		}
		facts, err := k.rows(ctx, a.store, where)
		if err != nil {
			return nil, err
		}
		choices := make([]Choice, len(facts))
		for i, fact := range facts {
			choices[i] = Choice{Value: records.Head(fact).ID, Name: a.nameOf(ctx, k, fact)}
		}
		known[kind] = choices
		return choices, nil
	}
}
