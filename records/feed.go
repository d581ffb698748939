package records

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
)

// feed tells whoever watches what was written. There is one source of it, the journal: a write of this process wakes the
// feed when it is committed, and once a second the feed looks by itself, for other processes on the same house. It runs only
// while somebody watches.
type feed struct {
	mu       sync.Mutex
	watchers map[*Watcher]bool
	seq      int64         // newest entry told
	woken    chan struct{} // something was committed here
	stop     chan struct{} // ends the loop; nil while nobody watches
	loops    sync.WaitGroup
	telling  sync.Mutex // one reading of the journal at a time
}

const (
	feedEvery = time.Second      // how often the journal is looked at without being told
	feedWait  = 10 * time.Second // how long one look may take
	feedMost  = 200              // more entries at once are told as "anything"
	feedRuns  = 64               // more runs waiting for one watcher are told as "anything"
)

// Written is what was written since a watcher looked last: the runs whose pages it bears on, or any run's.
type Written struct {
	Seq  int64 // newest journal entry of it
	Runs []string
	Any  bool
}

// Watcher is one who watches. What comes while it is slow is kept together, in a bounded space, so that no writer ever
// waits for it.
type Watcher struct {
	Since int64 // the journal's head when the watching began

	feed  *feed
	ready chan struct{}
	mu    sync.Mutex
	seq   int64
	runs  map[string]bool
	any   bool
}

// Watch begins to watch what is written. Close it.
func (s *Store) Watch(ctx context.Context) (*Watcher, error) {
	f := &s.feed
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.stop == nil {
		head, err := JournalHead(ctx, s)
		if err != nil {
			return nil, fmt.Errorf("watch: %w", err)
		}
		f.seq, f.stop, f.watchers = head.Seq, make(chan struct{}), map[*Watcher]bool{}
		stop := f.stop
		f.loops.Go(func() { s.follow(stop) })
	}
	w := &Watcher{Since: f.seq, feed: f, ready: make(chan struct{}, 1), runs: map[string]bool{}}
	f.watchers[w] = true
	return w, nil
}

// Ready has a value when something was written since Take.
func (w *Watcher) Ready() <-chan struct{} { return w.ready }

// Take gives what was written since the last time.
func (w *Watcher) Take() Written {
	w.mu.Lock()
	defer w.mu.Unlock()
	said := Written{Seq: w.seq, Runs: slices.Sorted(maps.Keys(w.runs)), Any: w.any}
	w.any = false
	clear(w.runs)
	return said
}

// Close ends the watching; the last one out stops the feed.
func (w *Watcher) Close() {
	w.feed.mu.Lock()
	defer w.feed.mu.Unlock()
	delete(w.feed.watchers, w)
	if len(w.feed.watchers) == 0 {
		w.feed.end()
	}
}

// take puts what was written to what waits.
func (w *Watcher) take(said Written) {
	w.mu.Lock()
	w.seq = max(w.seq, said.Seq)
	w.any = w.any || said.Any
	for _, run := range said.Runs {
		w.runs[run] = true
	}
	if len(w.runs) > feedRuns {
		clear(w.runs)
		w.any = true
	}
	w.mu.Unlock()
	select {
	case w.ready <- struct{}{}:
	default: // it has not looked yet
	}
}

// wake says that something was committed. It never waits.
func (f *feed) wake() {
	select {
	case f.woken <- struct{}{}:
	default:
	}
}

// end stops the loop; the caller holds mu.
func (f *feed) end() {
	if f.stop != nil {
		close(f.stop)
		f.stop = nil
	}
}

// close ends the feed and waits until it reads no more.
func (f *feed) close() {
	f.mu.Lock()
	f.end()
	f.mu.Unlock()
	f.loops.Wait()
}

func (s *Store) follow(stop chan struct{}) {
	tick := time.NewTicker(feedEvery)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-s.feed.woken:
		case <-tick.C:
		}
		s.tell()
	}
}

// tell reads what the journal has that was not told. A look that fails is made good by the next.
func (s *Store) tell() {
	f := &s.feed
	f.telling.Lock()
	defer f.telling.Unlock()
	ctx, cancel := context.WithTimeout(context.Background(), feedWait)
	defer cancel()
	f.mu.Lock()
	since := f.seq
	f.mu.Unlock()
	said, err := writtenSince(ctx, s, since)
	if err != nil || said.Seq == since {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.seq = said.Seq
	if len(said.Runs) == 0 && !said.Any {
		return
	}
	for w := range f.watchers {
		w.take(said)
	}
}

// told is what of a journal entry says which runs it bears on.
type told struct {
	Seq                    int64
	Form, RecordID, Record string
}

func (t told) kind() Kind {
	kind, _, _ := strings.Cut(t.Form, "/")
	return Kind(kind)
}

// writtenSince gives what was written after an entry.
func writtenSince(ctx context.Context, src Source, seq int64) (Written, error) {
	var entries []told
	err := src.conn(ctx).Raw("SELECT seq, form, record_id, record FROM journal WHERE seq > ? ORDER BY seq LIMIT ?", seq, feedMost+1).Scan(&entries).Error
	if err != nil || len(entries) == 0 {
		return Written{Seq: seq}, err
	}
	if len(entries) > feedMost {
		head, err := JournalHead(ctx, src)
		return Written{Seq: head.Seq, Any: true}, err
	}
	b := bearing{ctx: ctx, src: src, runs: map[string]bool{}}
	for _, e := range entries {
		if err := b.take(e, 0); err != nil {
			return Written{Seq: seq}, err
		}
	}
	return Written{Seq: entries[len(entries)-1].Seq, Runs: slices.Sorted(maps.Keys(b.runs)), Any: b.any}, nil
}

// bearing finds the runs that entries bear on.
type bearing struct {
	ctx  context.Context
	src  Source
	runs map[string]bool
	any  bool
}

// namesRun are the columns by which a record of a kind names its run. What names none, as an addition to a tank, may reach
// any.
var namesRun = map[Kind][]string{
	KindBoilEntry: {"run_id"}, KindLoggerImport: {"run_id"}, KindDensityReading: {"of_id"}, KindAddition: {"to_id"},
	KindLink: {"to_id", "from_id"},
}

// hangsOn is the column of what a record is about; it bears on what that bears on.
var hangsOn = map[Kind]string{KindAttachment: "of_id", KindPhoneEntry: "record_id"}

// besideRuns are kinds that no page of a run shows and no run is judged by.
var besideRuns = []Kind{KindPart, KindFillCheck, KindFillEnd, KindFillEvent, KindDisposition, KindCorrectiveAction, KindShelfEntry, KindShipment,
	KindComplaint, KindPrint, KindRestore, KindCustomer, KindSupplier, KindCarrier, KindLabelStock, KindProduct, KindContainer, KindNetSample,
	KindNetTable, KindCoolingTest, KindTradeItem, KindLabelAnswer, KindLabelCount, KindTagMatch}

// take adds the runs of one entry. Attachments hang on entries, which hang on runs: two steps suffice, more are "any".
func (b *bearing) take(e told, steps int) error {
	kind := e.kind()
	switch {
	case kind == KindRun:
		b.runs[e.RecordID] = true
		return nil
	case slices.Contains(besideRuns, kind):
		return nil
	case hangsOn[kind] != "" && steps < 3:
		return b.follow(e, hangsOn[kind], steps)
	case namesRun[kind] == nil:
		b.any = true
		return nil
	}
	return b.named(e, namesRun[kind])
}

// named adds the runs among the records that an entry names.
func (b *bearing) named(e told, columns []string) error {
	ids, err := e.columns(columns...)
	if err != nil {
		return err
	}
	var runs []string
	if err := b.src.conn(b.ctx).Raw("SELECT id FROM record WHERE id IN ? AND kind = ?", ids, KindRun).Scan(&runs).Error; err != nil {
		return err
	}
	for _, run := range runs {
		b.runs[run] = true
	}
	b.any = b.any || len(runs) == 0
	return nil
}

// follow looks at the record an entry hangs on.
func (b *bearing) follow(e told, column string, steps int) error {
	ids, err := e.columns(column)
	if err != nil {
		return err
	}
	var on []told
	err = b.src.conn(b.ctx).Raw("SELECT seq, form, record_id, record FROM journal WHERE record_id IN ? ORDER BY seq DESC LIMIT 1", ids).Scan(&on).Error
	if err != nil || len(on) == 0 {
		return err
	}
	return b.take(on[0], steps+1)
}

// columns gives the ids in some columns of an entry's record.
func (t told) columns(names ...string) ([]string, error) {
	var record map[string]any
	if err := json.Unmarshal([]byte(t.Record), &record); err != nil {
		return nil, fmt.Errorf("journal entry %d: %w", t.Seq, err)
	}
	var ids []string
	for _, name := range names {
		if id, ok := record[name].(string); ok {
			ids = append(ids, id)
		}
	}
	return ids, nil
}
