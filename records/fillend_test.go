package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// A count whose bottles hold over a fifth more than was drawn for them is refused at the count; one at the edge is not.
func TestCountOverWhatWasDrawn(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20)}
	require.NoError(t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	links, err := List[Link](h.ctx, h, "to_id = ?", lot.ID)
	require.NoError(t, err)
	require.Len(t, links, 1)
	one, err := syrup.NetMass(g.container.Contents, syrup.Brix(100**links[0].Solids / *links[0].Mass))
	require.NoError(t, err)
	most := int(1.2 * *links[0].Mass / one.Kilograms())
	var invalid Invalid
	require.ErrorAs(t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 50), Count: most + 1}), &invalid)
	assert.Equal(t, "count", invalid[0].Field)
	assert.Equal(t, "fill_end.over_drawn", invalid[0].Key)
	ends, err := List[FillEnd](h.ctx, h, "lot_id = ?", lot.ID)
	require.NoError(t, err)
	assert.Empty(t, ends)
	require.NoError(t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 50), Count: most}))
}
