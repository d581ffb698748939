package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestChain(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, pressing, run := h.boiled(g)
		assert.Equal(t, "25341K2", run.Code)
		lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 30),
			BottlesLotID: &g.bottles.ID, ClosuresLotID: &g.closures.ID}
		require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
		assert.Equal(t, "25341K2B1P", lot.Code)
		require.NoError(t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 50), Count: 100}))
		parts, err := List[Part](h.ctx, h, "lot_id = ?", lot.ID)
		require.NoError(t, err)
		require.Len(t, parts, 1)
		assert.Equal(t, 100, *parts[0].Units)
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
		assert.Positive(t, report.Entries)
		_ = pressing
	})
}

// A PostgreSQL that acknowledges before it has written is refused.
func TestPostgresKeepsWhatItAcknowledges(t *testing.T) {
	address := freshPostgres(t)
	_, err := Open(t.Context(), Options{Data: address + "&synchronous_commit=off"})
	require.ErrorContains(t, err, "synchronous_commit")
	store, err := Open(t.Context(), Options{Data: address})
	require.NoError(t, err)
	require.NoError(t, store.Close())
}
