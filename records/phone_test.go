package records

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// phoned is the owner writing from a phone that was an hour slow, from a session of the owner's.
func (h *season) phoned(submission string) Actor {
	who := h.owner
	who.Submission = submission
	who.Phone = &PhoneEntry{PhoneClock: h.at(7, 0), OffSeconds: -3600, WaitedSeconds: 240, SignedInID: h.owner.PersonID}
	return who
}

// TestPhoneEntry: how an entry reached the house is kept with it, both or none, and once.
func TestPhoneEntry(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		run := h.onFire(g)
		entry := BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntrySkimming}
		require.NoError(t, h.Write(h.ctx, h.phoned("a"), &entry))
		by, err := PhoneEntriesOf(h.ctx, h, []string{entry.ID, run.ID})
		require.NoError(t, err)
		require.Len(t, by, 1)
		assert.Equal(t, -3600, by[entry.ID].OffSeconds)
		assert.Equal(t, 240, by[entry.ID].WaitedSeconds)
		assert.Equal(t, h.at(7, 0), by[entry.ID].PhoneClock.UTC())

		t.Run("a submission leads to the entry, not to how it came", func(t *testing.T) {
			made, err := Submitted(h.ctx, h, "a")
			require.NoError(t, err)
			assert.Equal(t, entry.ID, made)
			made, err = Submitted(h.ctx, h, "b")
			require.NoError(t, err)
			assert.Empty(t, made)
		})
		t.Run("the same entry from eight phones at once is one", func(t *testing.T) {
			before, err := List[PhoneEntry](h.ctx, h, "")
			require.NoError(t, err)
			errs := atOnce(8, func(int) error {
				return h.Write(h.ctx, h.phoned("same"), &BoilEntry{RunID: run.ID, At: h.at(8, 5), What: EntryNote, Note: "foam"})
			})
			assert.Equal(t, 1, taken(errs), "%v", errs)
			var ids []string
			for _, err := range errs {
				var already Already
				if errors.As(err, &already) {
					ids = append(ids, already.RecordID)
				}
			}
			require.Len(t, ids, 7)
			notes, err := List[BoilEntry](h.ctx, h, "what = ?", EntryNote)
			require.NoError(t, err)
			require.Len(t, notes, 1)
			for _, id := range ids {
				assert.Equal(t, notes[0].ID, id)
			}
			after, err := List[PhoneEntry](h.ctx, h, "")
			require.NoError(t, err)
			assert.Len(t, after, len(before)+1)
		})
		t.Run("nothing is kept of what is refused", func(t *testing.T) {
			before, err := JournalHead(h.ctx, h)
			require.NoError(t, err)
			who := h.phoned("c")
			who.Phone.WaitedSeconds = -1
			require.Error(t, h.Write(h.ctx, who, &BoilEntry{RunID: run.ID, At: h.at(8, 6), What: EntrySkimming}))
			after, err := JournalHead(h.ctx, h)
			require.NoError(t, err)
			assert.Equal(t, before, after)
		})
		t.Run("each line of juice says it", func(t *testing.T) {
			first := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Volume: ptr(syrup.Liters(100)), Brix: ptr(syrup.Brix(17))}
			second := first
			h.put(&first, &second)
			links := []Fact{&Link{FromID: first.ID, ToID: run.ID, At: h.at(8, 7)}, &Link{FromID: second.ID, ToID: run.ID, At: h.at(8, 7)}}
			require.NoError(t, h.Write(h.ctx, h.phoned("d"), links...))
			by, err := PhoneEntriesOf(h.ctx, h, []string{links[0].row().ID, links[1].row().ID})
			require.NoError(t, err)
			assert.Len(t, by, 2)
		})
		t.Run("it is never taken back", func(t *testing.T) {
			err := h.Strike(h.ctx, h.owner, by[entry.ID].ID, "no")
			assert.ErrorAs(t, err, new(Conflict))
		})
	})
}

// TestPhoto keeps a photo as a line of the log with its file.
func TestPhoto(t *testing.T) {
	h := newSeason(t)
	run := h.onFire(h.ground())
	e, a := BoilEntry{RunID: run.ID, At: h.at(8, 0), Note: "foam"}, Attachment{Name: "foam.jpg", MediaType: "image/jpeg"}
	require.NoError(t, h.WritePhoto(h.ctx, h.phoned("p"), &e, &a, []byte("bytes of it")))
	kept, err := AttachmentsOf(h.ctx, h, e.ID)
	require.NoError(t, err)
	require.Len(t, kept, 1)
	assert.Equal(t, e.At, kept[0].At.UTC())
	bytes, err := ContentOf(h.ctx, h, kept[0])
	require.NoError(t, err)
	assert.Equal(t, "bytes of it", string(bytes))
	by, err := PhoneEntriesOf(h.ctx, h, []string{e.ID, a.ID})
	require.NoError(t, err)
	assert.Len(t, by, 1, "of the line, not of the file")

	t.Run("before the fire neither is kept", func(t *testing.T) {
		e, a := BoilEntry{RunID: run.ID, At: h.at(6, 0)}, Attachment{Name: "x.jpg", MediaType: "image/jpeg"}
		require.ErrorAs(t, h.WritePhoto(h.ctx, h.owner, &e, &a, []byte("other")), new(Invalid))
		var n int64
		require.NoError(t, h.conn(h.ctx).Raw("SELECT COUNT(*) FROM content").Scan(&n).Error)
		assert.EqualValues(t, 1, n)
	})
}
