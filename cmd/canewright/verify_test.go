package main

import (
	"database/sql"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// tamper changes the database file behind the program's back: it takes the guard of a table away, changes, and puts the
// guard back.
func tamper(t *testing.T, folder, table, change string, args ...any) {
	t.Helper()
	db, err := sql.Open("sqlite3", filepath.Join(folder, records.DatabaseFile))
	require.NoError(t, err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	var name, guard string
	row := db.QueryRow("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ? AND name LIKE '%_no_update'", table)
	require.NoError(t, row.Scan(&name, &guard))
	for _, step := range []struct {
		query string
		args  []any
	}{{"DROP TRIGGER " + name, nil}, {change, args}, {guard, nil}} {
		_, err := db.Exec(step.query, step.args...)
		require.NoError(t, err, step.query)
	}
}

// one reads one value of the database file.
func one(t *testing.T, folder, query string) (value string) {
	t.Helper()
	db, err := sql.Open("sqlite3", filepath.Join(folder, records.DatabaseFile))
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow(query).Scan(&value))
	return value
}

func verifiedIn(t *testing.T, folder string) (verified, ran) {
	t.Helper()
	r := runs("verify", "--json", "--data", folder)
	var v verified
	require.NoError(t, json.Unmarshal([]byte(r.out), &v), r.err)
	return v, r
}

func TestVerify(t *testing.T) {
	demo := builtDemo(t)
	t.Run("nothing was changed", func(t *testing.T) {
		v, r := verifiedIn(t, demo)
		assert.Equal(t, exitDone, r.code)
		assert.True(t, v.Matches)
		assert.Greater(t, v.Entries, 1500)
		plain := runs("verify", "--data", demo)
		assert.Contains(t, plain.out, "agree with their journal")
		assert.Contains(t, plain.out, v.HeadHash)
		assert.Contains(t, plain.out, "not who made it")
	})
	t.Run("a head from paper", func(t *testing.T) {
		old := one(t, demo, "SELECT hash FROM journal WHERE seq = 900")
		r := runs("verify", "--data", demo, "--head", strings.ToUpper(old[:4]+" "+old[4:16]))
		assert.Equal(t, exitDone, r.code, r.out)
		r = runs("verify", "--data", demo, "--head", "feedfacefeedface")
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.out, "is not in this journal")
	})
	t.Run("a changed field names record and entry", func(t *testing.T) {
		folder := ownDemo(t)
		id := one(t, folder, "SELECT id FROM fill_check WHERE bottle_entered = '171.4 F'")
		seq := one(t, folder, "SELECT seq FROM journal WHERE record_id = '"+id+"'")
		tamper(t, folder, "fill_check", "UPDATE fill_check SET bottle = 85 WHERE id = ?", id)
		r := runs("verify", "--data", folder)
		assert.Equal(t, exitWrong, r.code)
		first, _, _ := strings.Cut(r.out, "\n")
		assert.Contains(t, first, id)
		assert.Contains(t, first, "entry "+seq)
		assert.Contains(t, first, "field bottle")
	})
	t.Run("a changed journal entry names it", func(t *testing.T) {
		folder := ownDemo(t)
		id := one(t, folder, "SELECT record_id FROM journal WHERE seq = 700")
		tamper(t, folder, "journal", "UPDATE journal SET author = 'nobody' WHERE seq = 700")
		r := runs("verify", "--data", folder)
		assert.Equal(t, exitWrong, r.code)
		first, _, _ := strings.Cut(r.out, "\n")
		assert.Contains(t, first, "entry 700")
		assert.Contains(t, first, id)
	})
	t.Run("a table without its guard is read all the same", func(t *testing.T) {
		folder := ownDemo(t)
		id := one(t, folder, "SELECT id FROM cut ORDER BY id LIMIT 1")
		execute(t, folder, "DROP TRIGGER cut_no_update", "UPDATE cut SET harvester = 'somebody else' WHERE id = '"+id+"'")
		assert.Equal(t, exitWrong, runs("trace", demoCode(t), "--data", folder).code)
		r := runs("verify", "--data", folder)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.out, "table cut has lost the trigger")
		assert.Contains(t, r.out, "record "+id+": field harvester")
	})
	t.Run("a changed trace is made anew", func(t *testing.T) {
		folder := ownDemo(t)
		db, err := sql.Open("sqlite3", filepath.Join(folder, records.DatabaseFile))
		require.NoError(t, err)
		_, err = db.Exec("DELETE FROM flow WHERE from_node IN (SELECT id FROM run LIMIT 1)")
		require.NoError(t, err)
		require.NoError(t, db.Close())
		assert.Equal(t, exitWrong, runs("verify", "--data", folder).code)
		assert.Equal(t, exitDone, runs("verify", "--rebuild-trace", "--data", folder).code)
		assert.Equal(t, exitDone, runs("verify", "--data", folder).code)
	})
}

func TestBackupAndRestore(t *testing.T) {
	demo, out := builtDemo(t), t.TempDir()
	file, folder := filepath.Join(out, "house.db"), filepath.Join(out, "again")
	r := runs("backup", "--out", file, "--data", demo)
	require.Equal(t, exitDone, r.code, r.err)
	r = runs("restore", file, "--data", folder)
	require.Equal(t, exitDone, r.code, r.err)
	assert.Contains(t, r.out, "newest bottle", "codes given out since are asked for")

	before, _ := verifiedIn(t, demo)
	after, _ := verifiedIn(t, folder)
	assert.True(t, after.Matches)
	assert.Equal(t, before.Entries+1, after.Entries, "the restore is a record of its own")
	assert.Equal(t, exitDone, runs("verify", "--head", before.HeadHash, "--data", folder).code)
	assert.Equal(t, exitDone, runs("trace", demoCode(t), "--data", folder).code)
	assert.Equal(t, exitUsage, runs("restore", file, "--data", folder).code, "never over a house")

	t.Run("a file that is no backup", func(t *testing.T) {
		bad := filepath.Join(out, "bad.db")
		require.NoError(t, os.WriteFile(bad, []byte("syrup"), 0o600))
		empty := filepath.Join(out, "empty")
		r := runs("restore", bad, "--data", empty)
		assert.Equal(t, exitWrong, r.code)
		assert.NoFileExists(t, filepath.Join(empty, records.DatabaseFile))
		assert.Equal(t, exitWrong, runs("restore", bad+".gone", "--data", empty).code)
	})
	t.Run("a backup changed behind our back", func(t *testing.T) {
		copied := ownDemo(t)
		tamper(t, copied, "cut", "UPDATE cut SET harvester = 'somebody else'")
		changed := filepath.Join(out, "changed.db")
		require.Equal(t, exitDone, runs("backup", "--out", changed, "--data", copied).code)
		empty := filepath.Join(out, "empty")
		r := runs("restore", changed, "--data", empty)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "harvester")
		assert.NoFileExists(t, filepath.Join(empty, records.DatabaseFile))
	})
}

// TestUpgrade: records that miss the newest migration get it at the next start; those of a newer program are left alone.
func TestUpgrade(t *testing.T) {
	t.Run("newer than this program", func(t *testing.T) {
		folder := ownDemo(t)
		execute(t, folder, "INSERT INTO schema_migration (name, checksum, applied_at) VALUES ('9000_later.sql', 'x', '2030-01-01 00:00:00')")
		r := runs("trace", demoCode(t), "--data", folder)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "newer Canewright (9000_later.sql)")
	})
	t.Run("older than this program", func(t *testing.T) {
		folder := ownDemo(t)
		var guards []string
		for _, line := range strings.Split(one(t, folder, "SELECT group_concat(name) FROM sqlite_master WHERE type = 'trigger'"), ",") {
			guards = append(guards, "DROP TRIGGER "+line)
		}
		execute(t, folder, append(guards, "DELETE FROM schema_migration WHERE name LIKE '%append_only%'")...)
		v, r := verifiedIn(t, folder)
		assert.Equal(t, exitDone, r.code, r.err)
		assert.True(t, v.Matches)
		assert.Equal(t, "1", one(t, folder, "SELECT COUNT(*) FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'cut' AND name LIKE '%_no_update'"))
	})
}

func execute(t *testing.T, folder string, queries ...string) {
	t.Helper()
	db, err := sql.Open("sqlite3", filepath.Join(folder, records.DatabaseFile))
	require.NoError(t, err)
	defer db.Close()
	for _, q := range queries {
		_, err := db.Exec(q)
		require.NoError(t, err, q)
	}
}

func TestUser(t *testing.T) {
	folder := ownDemo(t)
	r := runsWith("a good long word\n", "user", "add", "Zoe Fenn", "--login", "Zoe", "--language", "es", "--may-release", "--password-from", "-", "--data", folder)
	require.Equal(t, exitDone, r.code, r.err)
	r = runs("user", "list", "--data", folder)
	require.Equal(t, exitDone, r.code, r.err)
	assert.Regexp(t, `zoe +Zoe Fenn +crew, may release\n`, r.out)
	assert.Contains(t, r.out, "until 2026-12-09, no password yet", "the inspector")

	var users []userListed
	require.NoError(t, json.Unmarshal([]byte(runs("user", "list", "--json", "--data", folder).out), &users))
	assert.Contains(t, users, userListed{"Zoe Fenn", "zoe", "crew", true, "es", "", true})

	s := serves(t, "demo", "--data", folder, "--addr", "127.0.0.1:0")
	code, _ := signsIn(t, s.url, "zoe", "a good long word")
	assert.Equal(t, 200, code)
	s.stop()

	r = runsWith("another long word\n", "user", "password", "zoe", "--password-from", "-", "--data", folder)
	require.Equal(t, exitDone, r.code, r.err)
	s = serves(t, "demo", "--data", folder, "--addr", "127.0.0.1:0")
	code, _ = signsIn(t, s.url, "zoe", "a good long word")
	assert.Equal(t, 422, code, "the old password is none any more")
	code, _ = signsIn(t, s.url, "zoe", "another long word")
	assert.Equal(t, 200, code)

	t.Run("a login that is taken", func(t *testing.T) {
		r := runsWith("a good long word\n", "user", "add", "Zoe Other", "--login", "zoe", "--password-from", "-", "--data", folder)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "login")
	})
	t.Run("a short password", func(t *testing.T) {
		r := runsWith("short\n", "user", "add", "Yan", "--login", "yan", "--password-from", "-", "--data", folder)
		assert.Equal(t, exitUsage, r.code)
		assert.NotContains(t, runs("user", "list", "--data", folder).out, "Yan")
	})
}
