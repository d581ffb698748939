package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
)

func (h *season) printed(lot Lot, what string, copies int) *Print {
	h.t.Helper()
	p := &Print{OfID: lot.ID, What: what, At: h.at(11, 55), Copies: copies}
	h.put(p)
	return p
}

func (h *season) labelFindings(lot Lot) map[string]hazards.Level {
	h.t.Helper()
	findings, err := JudgeLot(h.ctx, h, lot.ID)
	require.NoError(h.t, err)
	met := map[string]hazards.Level{}
	for _, f := range findings {
		if len(f.Code) > 7 && f.Code[:7] == "labels." {
			met[f.Code] = f.Level
		}
	}
	return met
}

// Printed, used and spoiled labels beside the bottles, and what the lot is told for it.
func TestLabelBalance(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		_, lot, part := h.released(h.ground()) // 108 bottles
		first := h.printed(lot, PrintLabels, 100)
		second := h.printed(lot, PrintLabels, 12)
		h.printed(lot, PrintCaseLabels, 9)
		assert.False(t, first.Reprint)
		assert.True(t, second.Reprint, "the second printing is marked in the record, whoever writes it")
		b, err := LabelBalanceOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, []int{112, 12, 108, 108}, []int{b.Printed, b.Reprinted, *b.Bottles, b.ToLabel})
		_, counted := b.Unaccounted()
		assert.False(t, counted)
		assert.Empty(t, h.labelFindings(lot), "nothing is said before somebody counts")

		h.put(&LabelCount{LotID: lot.ID, At: h.at(11, 56), Used: 60, Spoiled: 1}, &LabelCount{LotID: lot.ID, At: h.at(11, 57), Used: 47, Spoiled: 2})
		b, err = LabelBalanceOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		rest, counted := b.Unaccounted()
		assert.Equal(t, []any{107, 3, 2, true}, []any{*b.Used, *b.Spoiled, rest, counted})
		assert.Empty(t, h.labelFindings(lot))

		h.put(&LabelCount{LotID: lot.ID, At: h.at(11, 58), Used: 5})
		assert.Equal(t, map[string]hazards.Level{"labels.over_printed": hazards.Check, "labels.more_than_bottles": hazards.Check}, h.labelFindings(lot))
		shelf, err := ShelfOf(h.ctx, h, part.ID)
		require.NoError(t, err)
		assert.Equal(t, StateReleased, shelf.State, "a check takes nothing back")
	})
}

// Bottles that are no more are neither offered labels nor printed for.
func TestMayLabel(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		lot := h.filled(g, run, 108)
		part := h.partOf(lot)
		require.NoError(t, h.Divide(h.ctx, h.owner, part.ID, []Piece{{Count: 24}, {Count: 84}}))
		parts, err := List[Part](h.ctx, h, "lot_id = ? ORDER BY number", lot.ID)
		require.NoError(t, err)
		require.Len(t, parts, 2)
		require.NoError(t, h.Dispose(h.ctx, h.owner, parts[0].ID, ActDestroy, "scorched"))
		b, err := LabelBalanceOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, 108-*parts[0].Units, b.ToLabel)
		assert.Equal(t, *parts[0].Units, b.Gone)
		h.printed(lot, PrintLabels, 84)

		require.NoError(t, h.Dispose(h.ctx, h.owner, parts[1].ID, ActDestroy, "scorched"))
		for _, what := range []string{PrintLabels, PrintCaseLabels, PrintShelfCards, PrintTrayTag} {
			err = h.Write(h.ctx, h.owner, &Print{OfID: lot.ID, What: what, At: h.at(11, 58), Copies: 1})
			assert.Equal(t, Invalid{{"", "print.lot_ended", []any{"Code", PrintedCode(lot.Code)}}}, err)
		}
		h.put(&Print{OfID: lot.ID, What: "batch_sheet", At: h.at(11, 58), Copies: 1})
	})
}

func TestMayLabelRefusesStruckLot(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20), BottlesLotID: &g.bottles.ID, ClosuresLotID: &g.closures.ID}
	require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	require.NoError(t, MayLabel(h.ctx, h, lot.ID))
	if err := h.Strike(h.ctx, h.owner, lot.ID, "started twice"); err != nil {
		t.Fatal(err)
	}
	assert.Equal(t, Invalid{{"", "print.lot_struck", []any{"Code", PrintedCode(lot.Code)}}}, MayLabel(h.ctx, h, lot.ID))
	assert.ErrorIs(t, MayLabel(h.ctx, h, "nothing"), ErrNotFound)
}
