package records

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// longEnough bounds what normally takes milliseconds.
const longEnough = 10 * time.Second

// next waits for what a watcher is told.
func (w *Watcher) next(t *testing.T) Written {
	t.Helper()
	select {
	case <-w.Ready():
		return w.Take()
	case <-time.After(longEnough):
		t.Fatal("nothing was told")
		return Written{}
	}
}

// quiet asks that a watcher is told nothing, also after the feed has looked.
func (w *Watcher) quiet(t *testing.T, s *Store) {
	t.Helper()
	s.tell()
	select {
	case <-w.Ready():
		t.Fatalf("told %+v", w.Take())
	default:
	}
}

// onFire is a season with a run on the fire since seven.
func (h *season) onFire(g ground) Run {
	h.t.Helper()
	run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(h.t, h.StartRun(h.ctx, h.owner, &run, nil))
	return run
}

// TestFeedNamesTheRun writes each sort of record and asks which runs a watcher is told of.
func TestFeedNamesTheRun(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	run := h.onFire(g)
	watcher, err := h.Watch(h.ctx)
	require.NoError(t, err)
	defer watcher.Close()
	head, err := JournalHead(h.ctx, h)
	require.NoError(t, err)
	assert.Equal(t, head.Seq, watcher.Since)

	entry := BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntrySkimming}
	photo, file := BoilEntry{RunID: run.ID, At: h.at(8, 1)}, Attachment{Name: "a.png", MediaType: "image/png"}
	juice := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Volume: ptr(syrup.Liters(340)), Brix: ptr(syrup.Brix(17))}
	about := []struct {
		name  string
		write func() error
		runs  []string
		any   bool
	}{
		{"an entry", func() error { return h.Write(h.ctx, h.owner, &entry) }, []string{run.ID}, false},
		{"a reading", func() error {
			return h.Write(h.ctx, h.owner, &DensityReading{OfID: run.ID, At: h.at(8, 0), Stage: StageBoil, Reading: 20, Scale: syrup.ScaleBaume})
		}, []string{run.ID}, false},
		{"an addition", func() error {
			return h.Write(h.ctx, h.owner, &Addition{ToID: run.ID, At: h.at(8, 0), Substance: "Butter", Use: "defoamer"})
		}, []string{run.ID}, false},
		{"a photo", func() error { return h.WritePhoto(h.ctx, h.owner, &photo, &file, []byte("picture")) }, []string{run.ID}, false},
		{"a file kept with a line", func() error {
			return h.Attach(h.ctx, h.owner, &Attachment{OfID: entry.ID, At: h.at(8, 2), Sort: AttachedSheet, Name: "b.png", MediaType: "image/png"}, []byte("sheet"))
		}, []string{run.ID}, false},
		{"taken back", func() error { return h.Strike(h.ctx, h.owner, entry.ID, "twice") }, []string{run.ID}, false},
		{"a pressing may reach any run", func() error { return h.Write(h.ctx, h.owner, &juice) }, nil, true},
		{"juice into the run", func() error { return h.Fill(h.ctx, h.owner, Draw{FromID: juice.ID, ToID: run.ID, At: h.at(8, 0)}) }, []string{run.ID}, false},
		{"a check of an instrument reaches all", func() error {
			return h.Write(h.ctx, h.owner, &InstrumentCheck{InstrumentID: g.probe.ID, At: h.at(8, 0), Method: "boiling_water", Expected: 100, Read: 100, Unit: "C", Passed: true})
		}, nil, true},
	}
	for _, a := range about {
		t.Run(a.name, func(t *testing.T) {
			require.NoError(t, a.write())
			said := watcher.next(t)
			assert.Equal(t, a.runs, said.Runs)
			assert.Equal(t, a.any, said.Any)
			head, err := JournalHead(h.ctx, h)
			require.NoError(t, err)
			assert.Equal(t, head.Seq, said.Seq)
		})
	}
	t.Run("what no run shows is not told", func(t *testing.T) {
		require.NoError(t, h.Write(h.ctx, h.owner, &Carrier{Firm: "Bayou Freight", Address: "9 Dock Road", Telephone: "+1 601 555 0133"}))
		watcher.quiet(t, h.Store)
	})
	t.Run("what is refused is not told", func(t *testing.T) {
		require.Error(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(6, 0), What: EntrySkimming}))
		watcher.quiet(t, h.Store)
	})
}

// TestFeedOfTwoProcesses: what another process writes to the same house is told within a look or two; on SQLite as well.
func TestFeedOfTwoProcesses(t *testing.T) {
	places := map[string]func(t *testing.T) string{"sqlite": func(t *testing.T) string { return t.TempDir() }, "postgres": freshPostgres}
	for name, place := range places {
		t.Run(name, func(t *testing.T) {
			data := place(t)
			h := seasonIn(t, data)
			run := h.onFire(h.ground())
			other, err := Open(h.ctx, Options{Data: data, Now: func() time.Time { return noon }})
			require.NoError(t, err)
			t.Cleanup(func() { require.NoError(t, other.Close()) })
			watcher, err := h.Watch(h.ctx)
			require.NoError(t, err)
			defer watcher.Close()
			require.NoError(t, other.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntrySkimming}))
			assert.Equal(t, []string{run.ID}, watcher.next(t).Runs)
		})
	}
}

// TestSlowWatcherStopsNobody: who does not look costs no writer anything and finds all of it, once, when it looks.
func TestSlowWatcherStopsNobody(t *testing.T) {
	h := newSeason(t)
	run := h.onFire(h.ground())
	slow, err := h.Watch(h.ctx)
	require.NoError(t, err)
	quick, err := h.Watch(h.ctx)
	require.NoError(t, err)
	for i := range 30 {
		require.NoError(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(8, i), What: EntrySkimming}))
		quick.next(t)
	}
	h.tell()
	said := slow.next(t)
	assert.Equal(t, []string{run.ID}, said.Runs)
	head, err := JournalHead(h.ctx, h)
	require.NoError(t, err)
	assert.Equal(t, head.Seq, said.Seq)
	slow.quiet(t, h.Store)

	t.Run("very many runs are any run", func(t *testing.T) {
		w := &Watcher{ready: make(chan struct{}, 1), runs: map[string]bool{}}
		for i := range feedRuns + 1 {
			w.take(Written{Seq: int64(i), Runs: []string{fmt.Sprint(i)}})
		}
		assert.Equal(t, Written{Seq: feedRuns, Any: true}, w.Take())
	})
	t.Run("very many entries are any run", func(t *testing.T) {
		sites := make([]Fact, feedMost+1)
		for i := range sites {
			sites[i] = &Carrier{Firm: fmt.Sprintf("Firm %d", i), Address: "1 Road", Telephone: "+1 601 555 0100"}
		}
		require.NoError(t, h.Write(h.ctx, h.owner, sites...))
		said := slow.next(t)
		assert.True(t, said.Any)
	})
	t.Run("the last one out stops the feed, and the next one in starts it", func(t *testing.T) {
		slow.Close()
		quick.Close()
		assert.Nil(t, h.feed.stop)
		h.feed.loops.Wait()
		require.NoError(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(9, 0), What: EntrySkimming}))
		again, err := h.Watch(h.ctx)
		require.NoError(t, err)
		defer again.Close()
		again.quiet(t, h.Store)
		require.NoError(t, h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(9, 1), What: EntrySkimming}))
		assert.Equal(t, []string{run.ID}, again.next(t).Runs)
	})
	t.Run("no watching without a house to read", func(t *testing.T) {
		ctx, cancel := context.WithCancel(h.ctx)
		cancel()
		_, err := h.Watch(ctx)
		assert.Error(t, err)
	})
}
