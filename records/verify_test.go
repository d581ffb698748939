package records

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tamper changes the database as somebody with the file in hand would: without the triggers.
func (h *season) tamper(table, sql string, args ...any) {
	h.t.Helper()
	if h.sqlite() {
		for _, trigger := range []string{"_no_update", "_no_delete"} {
			require.NoError(h.t, h.write.Exec("DROP TRIGGER IF EXISTS "+table+trigger).Error)
		}
		if table == "journal" {
			require.NoError(h.t, h.write.Exec("DROP TRIGGER IF EXISTS journal_follows").Error)
		}
	} else {
		require.NoError(h.t, h.write.Exec("ALTER TABLE "+table+" DISABLE TRIGGER ALL").Error)
	}
	require.NoError(h.t, h.write.Exec(sql, args...).Error)
}

func (h *season) faults() []Fault {
	h.t.Helper()
	report, err := h.Verify(h.ctx, "")
	require.NoError(h.t, err)
	var faults []Fault
	for _, f := range report.Faults {
		if f.Seq > 0 || f.RecordID != "" {
			faults = append(faults, f)
		}
	}
	return faults
}

// Whatever is changed directly in the database is found, with the entry and the record it shows at.
func TestVerifyFindsWhatWasChanged(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		run, lot, _ := h.released(g)
		shop := h.customer()
		require.Empty(t, h.faults())
		entryOf := func(id string) int64 {
			var seq int64
			require.NoError(t, h.write.Raw("SELECT MIN(seq) FROM journal WHERE record_id = ?", id).Scan(&seq).Error)
			return seq
		}
		h.tamper("density_reading", "UPDATE density_reading SET reading = 36.4 WHERE of_id = ?", run.ID)
		faults := h.faults()
		require.Len(t, faults, 1)
		var readingID string
		require.NoError(t, h.write.Raw("SELECT id FROM density_reading WHERE of_id = ?", run.ID).Scan(&readingID).Error)
		assert.Equal(t, Fault{entryOf(readingID), readingID, `field reading of the density_reading is "36.4", the journal has "36.1"`}, faults[0])
		h.tamper("density_reading", "UPDATE density_reading SET reading = 36.1 WHERE of_id = ?", run.ID)
		require.Empty(t, h.faults())

		h.tamper("personal", "UPDATE personal SET telephone = '+1 601 555 0199' WHERE record_id = ?", shop.ID)
		faults = h.faults()
		require.Len(t, faults, 1)
		assert.Equal(t, shop.ID, faults[0].RecordID)
		assert.Contains(t, faults[0].What, "personal fields")
		h.tamper("personal", "UPDATE personal SET telephone = '+1 601 555 0122' WHERE record_id = ?", shop.ID)

		h.tamper("lot", "UPDATE lot SET written_at = ? WHERE id = ?", h.at(3, 0), lot.ID)
		assert.Equal(t, lot.ID, h.faults()[0].RecordID)
	})
}

func TestVerifyFindsAChangedEntry(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		h.released(g)
		h.tamper("journal", "UPDATE journal SET record = REPLACE(record, 'Ben Oak', 'Ben Ash') WHERE form = 'cut/1'")
		faults := h.faults()
		require.NotEmpty(t, faults)
		assert.Contains(t, faults[0].What, "the entry was changed")
		var seq int64
		require.NoError(t, h.write.Raw("SELECT seq FROM journal WHERE form = 'cut/1'").Scan(&seq).Error)
		assert.Equal(t, seq, faults[0].Seq)
	})
}

func TestVerifyFindsWhatIsMissingOrAdded(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	run, _, _ := h.released(g)
	h.tamper("boil_entry", "DELETE FROM boil_entry WHERE run_id = ?", run.ID)
	faults := h.faults()
	require.NotEmpty(t, faults)
	assert.Contains(t, faults[0].What, "is missing")

	h = newSeason(t)
	h.ground()
	h.tamper("record", "INSERT INTO record (id, kind) VALUES ('01STRAY', 'site')")
	h.tamper("site", "INSERT INTO site SELECT '01STRAY', 1, struck, written_at, written_by, done_by, why, 'Hidden', address, telephone FROM site LIMIT 1")
	faults = h.faults()
	require.NotEmpty(t, faults)
	assert.Equal(t, "01STRAY", faults[0].RecordID)

	h = newSeason(t)
	g = h.ground()
	require.NoError(t, h.write.Exec("PRAGMA foreign_keys = 0").Error)
	h.tamper("record", "DELETE FROM record WHERE id = ?", g.block.ID)
	faults = h.faults()
	require.Len(t, faults, 1, "a record taken out of the registry")
	assert.Equal(t, g.block.ID, faults[0].RecordID)

	h = newSeason(t)
	h.customer()
	h.tamper("personal", "INSERT INTO personal SELECT record_id, 9, salt, 'Hidden', person, address, telephone, email FROM personal LIMIT 1")
	faults = h.faults()
	require.Len(t, faults, 1, "personal fields nobody wrote")
	assert.Contains(t, faults[0].What, "no journal entry wrote")

	h = newSeason(t)
	h.ground()
	h.tamper("journal", "DELETE FROM journal WHERE seq = 5")
	assert.Contains(t, h.faults()[0].What, "entry 5 is missing")
}

// The cache the trace reads is compared with one made anew, and can be made anew.
func TestVerifyFindsAChangedTrace(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, lot, _ := h.released(g)
		require.NoError(t, h.write.Exec("DELETE FROM flow WHERE to_node = ?", lot.ID).Error)
		report, err := h.Verify(h.ctx, "")
		require.NoError(t, err)
		require.Len(t, report.Faults, 1)
		assert.Contains(t, report.Faults[0].What, "--rebuild-trace")
		require.NoError(t, h.RebuildTrace(h.ctx))
		report, err = h.Verify(h.ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
	})
}

func TestVerifyHead(t *testing.T) {
	h := newSeason(t)
	h.ground()
	head, err := JournalHead(h.ctx, h)
	require.NoError(t, err)
	h.put(&Site{Name: "Later"})
	for asked, seen := range map[string]bool{head.Hash: true, head.Hash[:16]: true, "ffffffffffffffff": false} {
		report, err := h.Verify(h.ctx, asked)
		require.NoError(t, err)
		assert.Equal(t, seen, report.HeadSeen, asked)
	}
}

func TestBackupAndRestore(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, lot, _ := h.released(g)
	file := filepath.Join(t.TempDir(), "copy.db")
	require.NoError(t, h.Backup(h.ctx, file))
	assert.ErrorContains(t, h.Backup(h.ctx, file), "exists already")

	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "a backup holds names and password hashes")
	later := h.clock.AddDate(0, 0, 2)
	require.NoError(t, os.Chtimes(file, later, later), "copied two days later")
	head, err := JournalHead(h.ctx, h)
	require.NoError(t, err)

	folder := filepath.Join(t.TempDir(), "house")
	opt := Options{Now: func() time.Time { return h.clock }}
	report, err := RestoreInto(h.ctx, folder, file, opt)
	require.NoError(t, err)
	assert.Empty(t, report.Faults)
	_, err = RestoreInto(h.ctx, folder, file, opt)
	assert.ErrorContains(t, err, "already holds a house")

	opt.Data = folder
	back, err := Open(h.ctx, opt)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, back.Close()) })
	found, err := LotByCode(h.ctx, back, lot.Code)
	require.NoError(t, err)
	assert.Equal(t, lot.ID, found.ID)
	restores, err := List[Restore](h.ctx, back, "")
	require.NoError(t, err)
	require.Len(t, restores, 1)
	assert.Equal(t, head.At, restores[0].BackupAt, "the records end with their newest entry, whatever the file's time says")
	assert.Empty(t, restores[0].LastCode, "the owner is asked for the last code printed")

	broken := filepath.Join(t.TempDir(), "broken.db")
	require.NoError(t, os.WriteFile(broken, []byte("no database"), 0o600))
	nowhere := filepath.Join(t.TempDir(), "h")
	_, err = RestoreInto(h.ctx, nowhere, broken, opt)
	require.Error(t, err)
	assert.False(t, Exists(nowhere), "nothing half-restored remains")
}

// A backup that failed leaves nothing behind: the disk may be full.
func TestFailedBackup(t *testing.T) {
	h := newSeason(t)
	h.ground()
	folder := t.TempDir()
	ctx, stop := context.WithCancel(h.ctx)
	stop()
	require.Error(t, h.Backup(ctx, filepath.Join(folder, "copy.db")))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Empty(t, left)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "copy.db.partial"), []byte("cut off by a power failure"), 0o644))
	require.NoError(t, h.Backup(h.ctx, filepath.Join(folder, "copy.db")), "what a power failure left does not stand in the way")
}
