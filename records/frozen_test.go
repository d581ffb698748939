package records

import (
	"compress/gzip"
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A house as an earlier program left it, one for each release that changed the tables, is opened, brought up to date and
// found unaltered: every revision stands as its journal entry says, and the head is the one copied down then.
func TestEarlierHouseIsBroughtUpToDate(t *testing.T) {
	for _, earlier := range []struct {
		file, head string
		entries    int
	}{
		{"house_0002.db.gz", "dc55929083b3dce1ab5c110259dd0841329241422b610f9e3042b981198bf37f", 46},
	} {
		t.Run(earlier.file, func(t *testing.T) {
			folder := t.TempDir()
			unpack(t, filepath.Join("testdata", earlier.file), filepath.Join(folder, DatabaseFile))
			ctx := context.Background()
			store, err := Open(ctx, Options{Data: folder})
			require.NoError(t, err)
			defer func() { require.NoError(t, store.Close()) }()
			report, err := store.Verify(ctx, earlier.head)
			require.NoError(t, err)
			assert.Empty(t, report.Faults)
			assert.True(t, report.HeadSeen)
			assert.Equal(t, earlier.entries, report.Entries)
			lots, err := List[Lot](ctx, store, "")
			require.NoError(t, err)
			require.Len(t, lots, 1)
			_, err = JudgeLot(ctx, store, lots[0].ID)
			require.NoError(t, err)
		})
	}
}

// A value slipped into a column that the journal's older entry does not have is found.
func TestVerifyFindsAValueAnOlderEntryNeverHad(t *testing.T) {
	folder := t.TempDir()
	unpack(t, filepath.Join("testdata", "house_0002.db.gz"), filepath.Join(folder, DatabaseFile))
	ctx := context.Background()
	store, err := Open(ctx, Options{Data: folder})
	require.NoError(t, err)
	defer func() { require.NoError(t, store.Close()) }()
	require.NoError(t, store.write.Exec("DROP TRIGGER boil_entry_no_update").Error)
	require.NoError(t, store.write.Exec("UPDATE boil_entry SET outcome = 'given_up'").Error)
	report, err := store.Verify(ctx, "")
	require.NoError(t, err)
	require.NotEmpty(t, report.Faults)
	assert.Contains(t, report.Faults[len(report.Faults)-1].What, "outcome")
}

func unpack(t *testing.T, from, to string) {
	t.Helper()
	packed, err := os.Open(from)
	require.NoError(t, err)
	defer packed.Close()
	reader, err := gzip.NewReader(packed)
	require.NoError(t, err)
	file, err := os.Create(to)
	require.NoError(t, err)
	_, err = io.Copy(file, reader)
	require.NoError(t, err)
	require.NoError(t, file.Close())
}
