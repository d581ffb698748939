package packet

import (
	"slices"
	"strings"

	"canewright/records"
)

// chain is every record up and down the chains of some lots, whatever its date.
type chain struct {
	r      *reader
	Lots   []string      // the lots asked for, in order of code
	Taken  []records.Lot // lots of those days that were struck: they keep their codes
	facts  map[records.Kind]map[string]records.Fact
	traces map[string]records.Trace // backward, by lot
	sorts  map[records.Kind]any     // what typed has made
}

// gather follows the lots filled in the range up and down, then everything that hangs on what was reached.
func (r *reader) gather(between Range) *chain {
	c := &chain{r: r, facts: map[records.Kind]map[string]records.Fact{}, traces: map[string]records.Trace{}, sorts: map[records.Kind]any{}}
	reached := map[records.Kind][]string{}
	for _, lot := range list[records.Lot](r, "day >= ? AND day <= ? ORDER BY code", between.From, between.To) {
		c.Lots = append(c.Lots, lot.ID)
		reached[records.KindLot] = append(reached[records.KindLot], lot.ID)
		for _, direction := range []bool{true, false} {
			for _, s := range c.trace(lot.ID, direction).Steps {
				reached[s.Kind] = append(reached[s.Kind], s.ID)
			}
		}
	}
	c.Taken = struckList[records.Lot](r, "day >= ? AND day <= ? ORDER BY code", between.From, between.To)
	for _, lot := range c.Taken {
		reached[records.KindLot] = append(reached[records.KindLot], lot.ID)
	}
	house := r.house()
	reached[records.KindHouse] = []string{house.ID}
	for _, limit := range list[records.HouseLimit](r, "") {
		reached[records.KindHouseLimit] = append(reached[records.KindHouseLimit], limit.ID)
	}
	for _, table := range list[records.NetTable](r, "") {
		reached[records.KindNetTable] = append(reached[records.KindNetTable], table.ID)
	}
	for _, t := range tables {
		c.add(t.read(r, "id", unique(reached[t.Kind])))
	}
	for before := -1; before != c.size() && r.err == nil; {
		before = c.size()
		c.hang()
		c.refer()
	}
	return c
}

func (c *chain) trace(id string, back bool) records.Trace {
	if c.r.err != nil {
		return records.Trace{}
	}
	follow := records.TraceForward
	if back {
		follow = records.TraceBack
	}
	t, err := follow(c.r.ctx, c.r.src, id)
	c.r.fail(err)
	if back {
		c.traces[id] = t
	}
	return t
}

// hang adds what belongs to records already found: the entries of a run, the parts of a lot.
func (c *chain) hang() {
	for _, t := range tables {
		for _, column := range sortedKeys(t.by) {
			for _, kind := range t.by[column] {
				c.add(t.read(c.r, column, c.ids(kind)))
			}
		}
	}
}

// refer adds what records already found name: instruments, suppliers, people.
func (c *chain) refer() {
	named := map[records.Kind][]string{}
	for _, of := range c.facts {
		for _, f := range of {
			for column, value := range records.Columns(f) {
				id, _ := value.(string)
				for _, kind := range refersTo[column] {
					if id != "" && c.facts[kind][id] == nil {
						named[kind] = append(named[kind], id)
					}
				}
			}
		}
	}
	for _, t := range tables {
		c.add(t.read(c.r, "id", unique(named[t.Kind])))
	}
}

func (c *chain) add(facts []records.Fact) {
	for _, f := range facts {
		if c.facts[f.Kind()] == nil {
			c.facts[f.Kind()] = map[string]records.Fact{}
		}
		c.facts[f.Kind()][records.Head(f).ID] = f
	}
}

func (c *chain) size() int {
	n := 0
	for _, of := range c.facts {
		n += len(of)
	}
	return n
}

func (c *chain) ids(kind records.Kind) []string { return sortedKeys(c.facts[kind]) }

// of lists the records of a kind in order of id, which is the order of writing.
func (c *chain) of(kind records.Kind) []records.Fact {
	var facts []records.Fact
	for _, id := range c.ids(kind) {
		facts = append(facts, c.facts[kind][id])
	}
	return facts
}

// all lists every record of the chain.
func (c *chain) all() []records.Fact {
	var facts []records.Fact
	for _, t := range tables {
		facts = append(facts, c.of(t.Kind)...)
	}
	return facts
}

// typed gives the records of one kind as themselves, those struck left out.
func typed[T any](c *chain) []T {
	var probe T
	kind := any(&probe).(records.Fact).Kind()
	if rows, made := c.sorts[kind].([]T); made {
		return rows
	}
	var rows []T
	for _, f := range c.of(kind) {
		if !records.Head(f).Struck {
			rows = append(rows, *any(f).(*T))
		}
	}
	c.sorts[kind] = rows
	return rows
}

// one gives a record of the chain; its zero value where there is none.
func one[T any](c *chain, id string) T {
	var v T
	if f := c.facts[any(&v).(records.Fact).Kind()][id]; f != nil {
		v = *any(f).(*T)
	}
	return v
}

func oneOptional[T any](c *chain, id *string) T {
	if id == nil {
		var v T
		return v
	}
	return one[T](c, *id)
}

func unique(ids []string) []string {
	ids = slices.Clone(ids)
	slices.Sort(ids)
	return slices.Compact(ids)
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, strings.Compare)
	return keys
}
