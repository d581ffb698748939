package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same file kept twice stands once, and a byte changed behind our back is found when it is read and by verify.
func TestAttachmentKeepsItsBytes(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		bytes := []byte{0xff, 0xd8, 0, 1, 2, 0xff}
		first := Attachment{OfID: run.ID, At: h.at(11, 0), Sort: AttachedPhoto, Name: "foam.jpg", MediaType: "image/jpeg"}
		require.NoError(t, h.Attach(h.ctx, h.owner, &first, bytes))
		second := Attachment{OfID: run.ID, At: h.at(11, 1), Sort: AttachedPhoto, Name: "foam.jpg", MediaType: "image/jpeg"}
		require.NoError(t, h.Attach(h.ctx, h.owner, &second, bytes))
		var kept int
		require.NoError(t, h.write.Raw("SELECT COUNT(*) FROM content").Scan(&kept).Error)
		assert.Equal(t, 1, kept)
		list, err := AttachmentsOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		require.Len(t, list, 2)
		got, err := ContentOf(h.ctx, h, list[1])
		require.NoError(t, err)
		assert.Equal(t, bytes, got)
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
		if !h.sqlite() {
			return
		}
		require.NoError(t, h.write.Exec("DROP TRIGGER content_no_update").Error)
		require.NoError(t, h.write.Exec("UPDATE content SET bytes = ?", []byte{1}).Error)
		_, err = ContentOf(h.ctx, h, first)
		assert.ErrorContains(t, err, "changed")
		report, err = h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.NotEmpty(t, report.Faults)
	})
}
