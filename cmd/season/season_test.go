package season

import (
	"context"
	"database/sql"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/records"
)

// built is a store with the season of a day.
func built(t *testing.T, today records.Day) (*records.Store, Summary, string) {
	t.Helper()
	ctx, clock, folder := context.Background(), NewClock(), t.TempDir()
	clock.Set(Start(today))
	store, err := records.Open(ctx, records.Options{Data: folder, Now: clock.Now, Entropy: Entropy()})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	summary, err := Build(ctx, store, Options{Today: today, Clock: clock})
	require.NoError(t, err)
	return store, summary, folder
}

func listed[T any](t *testing.T, store *records.Store, where string, args ...any) []T {
	t.Helper()
	rows, err := records.List[T](context.Background(), store, where, args...)
	require.NoError(t, err)
	return rows
}

// TestSeason holds the season to what it is there to show.
func TestSeason(t *testing.T) {
	store, summary, _ := built(t, "2026-11-25")
	ctx := context.Background()

	t.Run("nothing real", func(t *testing.T) { nothingReal(t, store) })
	t.Run("counts", func(t *testing.T) {
		assert.Len(t, listed[records.Block](t, store, ""), 3)
		assert.Len(t, listed[records.Run](t, store, ""), 34)
		assert.Len(t, listed[records.Lot](t, store, ""), 61)
		assert.Len(t, listed[records.Shipment](t, store, ""), 200)
		assert.Len(t, listed[records.Complaint](t, store, ""), 3)
		assert.Len(t, listed[records.SupplyLot](t, store, "sort = ?", records.SupplyClosures), 2)
		assert.Len(t, listed[records.Freeze](t, store, ""), 1)
		assert.NotEmpty(t, listed[records.Link](t, store, "heel = ?", true))
		assert.Len(t, listed[records.LabelStock](t, store, ""), 4)
	})
	t.Run("every kind is there but a restore and a signed contradiction on a label", func(t *testing.T) {
		seen := map[records.Kind]bool{}
		entries, err := records.Journal(ctx, store, 0, 1_000_000)
		require.NoError(t, err)
		for _, e := range entries {
			name, _, _ := strings.Cut(e.Form, "/")
			seen[records.Kind(name)] = true
		}
		for _, kind := range records.Kinds() {
			assert.Equal(t, kind != records.KindRestore && kind != records.KindLabelAnswer, seen[kind], kind)
		}
	})
	t.Run("one run is on the fire today", func(t *testing.T) {
		open := listed[records.Run](t, store, `NOT EXISTS (SELECT 1 FROM boil_entry_now e WHERE e.run_id = run_now.id AND e.what = ?)`, records.EntryDrawnOff)
		require.Len(t, open, 1)
		assert.Equal(t, summary.OpenRun, open[0].Code)
		assert.Equal(t, "26329K2", open[0].Code)
	})
	t.Run("parts in every state of their life but reworked", func(t *testing.T) {
		shelves, err := records.Shelves(ctx, store, listed[records.Part](t, store, ""))
		require.NoError(t, err)
		states := map[string]int{}
		for _, s := range shelves {
			states[s.State]++
			assert.GreaterOrEqual(t, s.OnHand, 0, s.LotCode)
		}
		assert.Equal(t, 1, states[records.StateFilling])
		assert.Equal(t, 1, states[records.StateRecalled])
		assert.Equal(t, 1, states[records.StateDestroyed])
		assert.Greater(t, states[records.StateReleased], 45)
		assert.Greater(t, states[records.StateHeld], 4)
	})
	t.Run("the stories are found by the rules", func(t *testing.T) {
		codes := map[string]bool{}
		for _, lot := range listed[records.Lot](t, store, "") {
			findings, err := records.JudgeLot(ctx, store, lot.ID)
			require.NoError(t, err)
			for _, f := range hazards.At(findings, hazards.Note) {
				codes[f.Code] = true
			}
		}
		for _, code := range []string{"identity.below_cane", "identity.near_limit", "identity.thick", "identity.not_answered", "fill.below_limit",
			"instrument.failed_check", "harvest.freeze_damaged"} {
			assert.True(t, codes[code], code)
		}
	})
	t.Run("the failed probe holds a released lot again", func(t *testing.T) {
		assert.NotEmpty(t, listed[records.Disposition](t, store, "automatic = ? AND act = ?", true, records.ActHold))
	})
	t.Run("two complaints share their closures", func(t *testing.T) {
		caps := map[string]int{}
		for _, k := range listed[records.Complaint](t, store, "about = ?", "leak") {
			lot, err := records.LotByCode(ctx, store, k.CodeTyped)
			require.NoError(t, err)
			caps[*lot.ClosuresLotID]++
		}
		require.Len(t, caps, 1)
		for _, n := range caps {
			assert.Equal(t, 2, n)
		}
	})
	t.Run("amendments have reasons and one record is struck", func(t *testing.T) {
		entries, err := records.Journal(ctx, store, 0, 1_000_000)
		require.NoError(t, err)
		types := map[string]int{}
		for _, e := range entries {
			types[e.Type]++
		}
		assert.Equal(t, 1, types[records.EntryStrike])
		assert.Greater(t, types[records.EntryAmend], 4)
	})
	t.Run("entries are written by more than one person", func(t *testing.T) {
		done := map[string]bool{}
		for _, e := range listed[records.BoilEntry](t, store, "") {
			done[e.DoneBy] = true
			assert.NotEqual(t, e.WrittenBy, e.DoneBy, "the shared phone: one signs in, the other is tapped")
		}
		assert.NotEmpty(t, done)
	})
	t.Run("trace reaches plantings and customers", func(t *testing.T) {
		lot, err := records.LotByCode(ctx, store, summary.TraceCode)
		require.NoError(t, err)
		back, err := records.TraceBack(ctx, store, lot.ID)
		require.NoError(t, err)
		assert.NotEmpty(t, back.OfKind(records.KindPlanting))
		holders, err := records.WhoHas(ctx, store, lot.ID)
		require.NoError(t, err)
		assert.NotEmpty(t, holders)
	})
	t.Run("the journal agrees", func(t *testing.T) {
		report, err := store.Verify(ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
		assert.Greater(t, report.Entries, 1500)
	})
	t.Run("nothing lies after the season's end", func(t *testing.T) {
		head, err := records.JournalHead(ctx, store)
		require.NoError(t, err)
		assert.False(t, head.At.After(summary.Until), head.At)
		assert.Equal(t, time.Date(2026, 11, 25, 17, 10, 0, 0, time.UTC), summary.Until)
	})
}

// nothingReal holds names and numbers to what cannot belong to anybody: 555-01 telephones and .example addresses.
func nothingReal(t *testing.T, store *records.Store) {
	var phones, mails []string
	for _, k := range listed[records.Customer](t, store, "") {
		phones, mails = append(phones, k.Contact.Telephone), append(mails, k.Contact.Email)
	}
	for _, s := range listed[records.Supplier](t, store, "") {
		phones, mails = append(phones, s.Telephone), append(mails, s.Email)
	}
	for _, s := range listed[records.Carrier](t, store, "") {
		phones, mails = append(phones, s.Telephone), append(mails, s.Email)
	}
	for _, h := range listed[records.House](t, store, "") {
		phones, mails = append(phones, h.Telephone), append(mails, h.Email, h.PublicAddress)
	}
	for _, phone := range phones {
		if phone != "" {
			assert.Regexp(t, `^\+1 \d{3} 555 01\d\d$`, phone)
		}
	}
	for _, mail := range mails {
		if mail != "" {
			assert.Regexp(t, `\.example$`, mail)
		}
	}
}

func TestSameDaySameBytes(t *testing.T) {
	_, _, one := built(t, "2025-12-28")
	_, _, two := built(t, "2025-12-28")
	first, second := tables(t, one), tables(t, two)
	require.Equal(t, len(first), len(second))
	for name, rows := range first {
		assert.Equal(t, rows, second[name], name)
	}
	assert.NotEmpty(t, first["journal"])
}

// tables is every row of every table of a database, as text.
func tables(t *testing.T, folder string) map[string][]string {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+filepath.Join(folder, records.DatabaseFile)+"?mode=ro")
	require.NoError(t, err)
	defer db.Close()
	all := map[string][]string{}
	for _, name := range query(t, db, "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%'") {
		all[name] = query(t, db, fmt.Sprintf("SELECT * FROM %q", name))
		slices.Sort(all[name])
	}
	return all
}

// query gives the rows of a query, the columns of each apart by a bar.
func query(t *testing.T, db *sql.DB, q string) []string {
	t.Helper()
	rows, err := db.Query(q)
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var lines []string
	for rows.Next() {
		cells := make([]any, len(columns))
		for i := range cells {
			cells[i] = new(any)
		}
		require.NoError(t, rows.Scan(cells...))
		var line []string
		for _, c := range cells {
			line = append(line, fmt.Sprint(*c.(*any)))
		}
		lines = append(lines, strings.Join(line, "|"))
	}
	require.NoError(t, rows.Err())
	return lines
}

func TestBuildRefuses(t *testing.T) {
	ctx := context.Background()
	_, err := Build(ctx, nil, Options{Today: "tomorrow", Clock: NewClock()})
	assert.ErrorContains(t, err, "is no day")
	_, err = Build(ctx, nil, Options{Today: "2026-11-25"})
	assert.ErrorContains(t, err, "no clock")
	assert.True(t, Start("tomorrow").IsZero())
}

func TestClock(t *testing.T) {
	at := time.Date(2026, 11, 25, 17, 10, 0, 0, time.UTC)
	for _, test := range []struct {
		name       string
		wall, want time.Time
	}{
		{"later the same day is the wall's time", at.Add(2 * time.Hour), at.Add(2 * time.Hour)},
		{"earlier the same day runs on", at.Add(-5 * time.Hour), at},
		{"another day runs on", at.Add(100 * time.Hour), at},
	} {
		t.Run(test.name, func(t *testing.T) {
			wall := test.wall
			c := NewClock()
			c.Set(at)
			assert.Equal(t, at, c.Now())
			c.Run(func() time.Time { return wall }, time.UTC)
			assert.Equal(t, test.want, c.Now())
			wall = wall.Add(time.Minute)
			assert.Equal(t, test.want.Add(time.Minute), c.Now())
			c.Set(at)
			assert.Equal(t, at, c.Now(), "it stands again")
		})
	}
}
