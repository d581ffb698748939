package season

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"canewright/records"
)

// built is a store with the season of a day.
func built(t *testing.T, today records.Day) (*records.Store, Summary, string) {
	t.Helper()
	ctx, clock, folder := context.Background(), NewClock(), t.TempDir()
	store, err := records.Open(ctx, records.Options{Data: folder, Now: clock.Now, Entropy: Entropy()})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	began := time.Now()
	summary, err := Build(ctx, store, Options{Today: today, Clock: clock})
	require.NoError(t, err)
	t.Logf("built in %s", time.Since(began))
	return store, summary, folder
}

func TestX(t *testing.T) {
	_, s, _ := built(t, "2026-11-25")
	t.Logf("%+v", s)
}
