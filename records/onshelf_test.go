package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
)

// shipped is a released lot of 108 bottles of which 24 left.
func (h *season) shipped() (Part, Shipment) {
	h.t.Helper()
	g := h.ground()
	_, _, part := h.released(g)
	shop := h.customer()
	shipment := Shipment{CustomerID: shop.ID, At: h.at(11, 58), HowPacked: "cases of 12"}
	require.NoError(h.t, h.Ship(h.ctx, h.owner, &shipment, []Units{{part.ID, 24}}))
	return part, shipment
}

func (h *season) onHand(partID string) int {
	h.t.Helper()
	shelf, err := ShelfOf(h.ctx, h, partID)
	require.NoError(h.t, err)
	return shelf.OnHand
}

// A shipment struck by whatever way gives its bottles back to the shelf, and none is struck once bottles came back.
func TestStrikeShipmentWithItsLines(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		part, shipment := h.shipped()
		require.NoError(t, h.Strike(h.ctx, h.owner, shipment.ID, "typed twice"))
		assert.Equal(t, 108, h.onHand(part.ID))

		again := Shipment{CustomerID: shipment.CustomerID, At: h.at(11, 58), HowPacked: "cases of 12"}
		require.NoError(t, h.Ship(h.ctx, h.owner, &again, []Units{{part.ID, 24}}))
		h.put(&ShelfEntry{What: ShelfBack, PartID: part.ID, At: h.at(11, 59), Units: 5, ShipmentID: &again.ID})
		lines, err := List[Link](h.ctx, h, "to_id = ?", again.ID)
		require.NoError(t, err)
		for _, id := range []string{again.ID, lines[0].ID} {
			var conflict Conflict
			require.ErrorAs(t, h.Strike(h.ctx, h.owner, id, "typed twice"), &conflict)
			assert.Equal(t, "shipment.came_back", conflict.Key)
		}
		lines[0].Units = ptr(4)
		var wrong Invalid
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &lines[0], "fewer"), &wrong, "fewer than came back, by the plain amendment too")
		assert.Equal(t, "shelf.fewer_than_back", wrong[0].Key)
	})
}

// The part that returned bottles became has as many as the return says, also after it is amended or struck.
func TestReturnAmendedAndStruck(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		part, shipment := h.shipped()
		back := ShelfEntry{PartID: part.ID, At: h.at(11, 59), Units: 10, ShipmentID: &shipment.ID}
		require.NoError(t, h.Return(h.ctx, h.owner, &back))
		assert.Equal(t, 10, h.onHand(back.PartID))
		back.Units = 7
		require.NoError(t, h.Amend(h.ctx, h.owner, &back, "counted again"))
		assert.Equal(t, 7, h.onHand(back.PartID))
		back.Units = 25
		var wrong Invalid
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &back, "more than left"), &wrong)
		assert.Equal(t, "shelf.more_than_out", wrong[0].Key)

		sample := ShelfEntry{What: ShelfSample, PartID: back.PartID, At: h.at(12, 0), Units: 2, Place: "laboratory"}
		h.put(&sample)
		require.ErrorAs(t, h.Strike(h.ctx, h.owner, back.ID, "never came"), &wrong)
		assert.Equal(t, "part.more_than_there_was", wrong[0].Key)
		require.NoError(t, h.Strike(h.ctx, h.owner, sample.ID, "never taken"))
		require.NoError(t, h.Strike(h.ctx, h.owner, back.ID, "never came"))
		assert.Equal(t, 0, h.onHand(back.PartID))
		assert.Empty(t, h.faults())
	})
}

// No amendment makes more bottles leave than there were.
func TestAmendedEntryKeepsToTheShelf(t *testing.T) {
	h := newSeason(t)
	part, shipment := h.shipped()
	broken := ShelfEntry{What: ShelfBreakage, PartID: part.ID, At: h.at(11, 59), Units: 1}
	h.put(&broken)
	broken.Units = 85
	var wrong Invalid
	require.ErrorAs(t, h.Amend(h.ctx, h.owner, &broken, "a pallet fell"), &wrong, "84 were there")
	assert.Equal(t, FieldError{"units", "part.more_than_there_was", []any{"Short", 1}}, wrong[0])
	now, err := Get[ShelfEntry](h.ctx, h, broken.ID)
	require.NoError(t, err)
	assert.Equal(t, 1, now.Units, "nothing half-written")
	now.Units = 84
	require.NoError(t, h.Amend(h.ctx, h.owner, &now, "a pallet fell"))
	assert.Equal(t, 0, h.onHand(part.ID))
	_ = shipment
}

// Two parts of one lot in one shipment come back each for itself.
func TestBackOfTwoPartsOfALot(t *testing.T) {
	h := newSeason(t)
	part, shipment := h.shipped()
	returned := ShelfEntry{PartID: part.ID, At: h.at(11, 59), Units: 10, ShipmentID: &shipment.ID}
	require.NoError(t, h.Return(h.ctx, h.owner, &returned))
	judged, err := JudgePart(h.ctx, h, returned.PartID)
	require.NoError(t, err)
	for _, f := range judged.Findings {
		if f.Level >= hazards.Hold {
			h.put(&CorrectiveAction{PartID: returned.PartID, At: h.at(12, 0), Finding: f.Code, AboutID: f.About, Problem: "a", Recurrence: "b", Evaluation: "c", Commerce: "d"})
		}
	}
	require.NoError(t, h.Release(h.ctx, h.owner, returned.PartID, "unopened and clean"))
	market := Shipment{CustomerID: shipment.CustomerID, At: h.at(12, 1), HowPacked: "crates"}
	require.NoError(t, h.Ship(h.ctx, h.owner, &market, []Units{{part.ID, 10}, {returned.PartID, 10}}))
	h.put(&ShelfEntry{What: ShelfBack, PartID: part.ID, At: h.at(12, 2), Units: 10, ShipmentID: &market.ID},
		&ShelfEntry{What: ShelfBack, PartID: returned.PartID, At: h.at(12, 2), Units: 10, ShipmentID: &market.ID})
	var wrong Invalid
	require.ErrorAs(t, h.Write(h.ctx, h.owner, &ShelfEntry{What: ShelfBack, PartID: part.ID, At: h.at(12, 3), Units: 1, ShipmentID: &market.ID}), &wrong)
	assert.Equal(t, []any{"Out", 0}, wrong[0].Args)
}

// The count at the end of a filling is amended, never struck; one owner without a last day always remains.
func TestWhatIsNeverTakenBack(t *testing.T) {
	h := newSeason(t)
	h.shipped()
	ends, err := List[FillEnd](h.ctx, h, "")
	require.NoError(t, err)
	var conflict Conflict
	require.ErrorAs(t, h.Strike(h.ctx, h.owner, ends[0].ID, "wrong"), &conflict)
	assert.Equal(t, "strike.never", conflict.Key)

	ada, err := Get[Person](h.ctx, h, h.owner.PersonID)
	require.NoError(t, err)
	crew, leaving, heir := ada, ada, Person{SiteID: h.site.ID, Name: "Ben Oak", Login: "ben", Role: RoleOwner, Language: "en", Units: "us"}
	crew.Role, leaving.Expires = RoleCrew, "2025-12-31"
	for field, p := range map[string]*Person{"role": &crew, "expires": &leaving} {
		before := *p
		var wrong Invalid
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, p, "retired"), &wrong)
		assert.Equal(t, FieldError{field, "person.last_owner", nil}, wrong[0])
		*p = before
	}
	require.ErrorAs(t, h.Strike(h.ctx, h.owner, ada.ID, "retired"), new(Invalid))
	h.put(&heir)
	require.NoError(t, h.Amend(h.ctx, h.owner, &crew, "retired"))
}
