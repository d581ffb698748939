package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A mismatch stops every further match until somebody wrote what was done about it.
func TestTagMatch(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		lot := h.filled(g, run, 108)
		other := "25341K2B9Y"
		match := func() *TagMatch {
			return &TagMatch{LotID: lot.ID, At: h.at(11, 55), TagTyped: lot.Code, LabelTyped: lot.Code, Matched: true}
		}
		h.put(match())
		lied := match()
		lied.LabelTyped = other
		assert.Equal(t, Invalid{{"label_typed", "tag_match.other_label", nil}}, h.Write(h.ctx, h.owner, lied), "what matched is worked out, not told")
		lied = match()
		lied.TagTyped = other
		assert.Equal(t, Invalid{{"tag_typed", "tag_match.other_tag", nil}}, h.Write(h.ctx, h.owner, lied))

		wrong := match()
		wrong.LabelTyped, wrong.Matched = other, false
		h.put(wrong)
		open, err := OpenMismatch(h.ctx, h)
		require.NoError(t, err)
		require.Equal(t, wrong.ID, open.ID)
		err = h.Write(h.ctx, h.owner, match())
		var stopped Conflict
		require.ErrorAs(t, err, &stopped)
		assert.Equal(t, "tag_match.stopped", stopped.Key)
		assert.Equal(t, wrong.ID, stopped.ID)

		wrong.Note = "wrong roll, taken off the table"
		require.NoError(t, h.Amend(h.ctx, h.owner, wrong, "acknowledged"))
		open, err = OpenMismatch(h.ctx, h)
		require.NoError(t, err)
		assert.Nil(t, open)
		h.put(match())
		all, err := List[TagMatch](h.ctx, h, "lot_id = ? AND matched", lot.ID)
		require.NoError(t, err)
		assert.NotEmpty(t, all, "matching goes on")
	})
}
