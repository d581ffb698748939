package packet

import (
	"context"
	"slices"

	"canewright/records"
)

// reader reads records and remembers which, for the head printed in the foot. Its first error stays in it and ends all
// further reading.
type reader struct {
	ctx    context.Context
	src    records.Source
	seen   map[string]records.Fact
	names  map[string]string
	doers  map[string]string // who did the work an amended record tells of, by its id
	beside []string          // ids of what was read beside and is not shown line by line
	err    error
}

func newReader(ctx context.Context, src records.Source) *reader {
	return &reader{ctx: ctx, src: src, seen: map[string]records.Fact{}, names: map[string]string{}, doers: map[string]string{}}
}

func (r *reader) fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

// keep remembers a record. An amendment is written by whoever amends; who did the work stands in the first revision.
func keep[T any](r *reader, v *T) {
	fact := any(v).(records.Fact)
	row := records.Head(fact)
	r.seen[row.ID] = fact
	if row.Revision == 1 || r.doers[row.ID] != "" || r.err != nil {
		return
	}
	revisions, err := records.Revisions[T](r.ctx, r.src, row.ID)
	r.fail(err)
	if len(revisions) > 0 {
		r.doers[row.ID] = records.Head(any(&revisions[0]).(records.Fact)).DoneBy
	}
}

// doer names who did the work a record tells of.
func (r *reader) doer(row records.Row) string {
	if id := r.doers[row.ID]; id != "" {
		return r.name(id)
	}
	return r.name(row.DoneBy)
}

// get reads one record, struck or not.
func get[T any](r *reader, id string) T {
	var v T
	if r.err != nil {
		return v
	}
	v, err := records.Get[T](r.ctx, r.src, id)
	if err != nil {
		r.fail(err)
		return v
	}
	keep(r, &v)
	return v
}

// optional reads a record where there is one.
func optional[T any](r *reader, id *string) *T {
	if id == nil {
		return nil
	}
	v := get[T](r, *id)
	return &v
}

// list reads records that are not struck.
func list[T any](r *reader, where string, args ...any) []T {
	return read(r, records.List[T], where, args...)
}

// struckList reads records taken back as mistakes: a document shows them struck through.
func struckList[T any](r *reader, where string, args ...any) []T {
	return read(r, records.ListStruck[T], where, args...)
}

func read[T any](r *reader, from func(context.Context, records.Source, string, ...any) ([]T, error), where string, args ...any) []T {
	if r.err != nil {
		return nil
	}
	rows, err := from(r.ctx, r.src, where, args...)
	r.fail(err)
	for i := range rows {
		keep(r, &rows[i])
	}
	return rows
}

// struck reads the struck records whose column is one of the ids.
func struck[T any](r *reader, column string, ids ...string) []T {
	var rows []T
	for batch := range slices.Chunk(ids, inBatch) {
		rows = append(rows, struckList[T](r, column+" IN ?", batch)...)
	}
	return rows
}

// inBatch is how many ids stand in one IN list.
const inBatch = 500

// all reads records with those struck behind them.
func all[T any](r *reader, column, id string) []T {
	return append(list[T](r, column+" = ?", id), struck[T](r, column, id)...)
}

// name is what people call a record; blank for none.
func (r *reader) name(id string) string {
	if id == "" || r.err != nil {
		return ""
	}
	name, ok := r.names[id]
	if !ok {
		fact, err := records.Load(r.ctx, r.src, id)
		if err != nil {
			r.fail(err)
			return ""
		}
		r.seen[id] = fact
		name = records.NameOf(r.ctx, r.src, fact)
		r.names[id] = name
	}
	return name
}

func (r *reader) optionalName(id *string) string {
	if id == nil {
		return ""
	}
	return r.name(*id)
}

// head is the journal's head as of the last entry touching anything read.
func (r *reader) head() records.HeadOf {
	if r.err != nil {
		return records.HeadOf{}
	}
	ids := make([]string, 0, len(r.seen))
	for id := range r.seen {
		ids = append(ids, id)
	}
	ids = append(ids, r.beside...)
	slices.Sort(ids)
	ids = slices.Compact(ids)
	head, err := records.HeadTouching(r.ctx, r.src, ids)
	r.fail(err)
	return head
}

// house is the one business of this database.
func (r *reader) house() records.House {
	houses := list[records.House](r, "ORDER BY id LIMIT 1")
	if len(houses) == 0 {
		r.fail(records.ErrNotFound)
		return records.House{}
	}
	return houses[0]
}
