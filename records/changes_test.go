package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An addition that has no allergens is answered: the amendment that says so does not read as "not recorded".
func TestChangesTellNoneFromNotAnswered(t *testing.T) {
	h := newSeason(t)
	_, _, run := h.boiled(h.ground())
	d := Addition{ToID: run.ID, At: h.at(9, 0), Substance: "Canola oil", Use: "defoamer"}
	require.NoError(t, h.Write(h.ctx, h.owner, &d))
	none := ""
	d.Allergens = &none
	require.NoError(t, h.Amend(h.ctx, h.owner, &d, "read on the jug"))
	changes, err := Changes(h.ctx, h, d.ID)
	require.NoError(t, err)
	require.Len(t, changes, 1)
	assert.Equal(t, []string{"allergens", "", AnsweredNone}, []string{changes[0].Field, changes[0].Old, changes[0].New})
}
