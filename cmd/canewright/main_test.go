package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

// ran is what one call of the program came to.
type ran struct {
	code     int
	out, err string
}

// runs calls the program with nothing at its input.
func runs(args ...string) ran { return runsWith("", args...) }

func runsWith(stdin string, args ...string) ran {
	var out, problems bytes.Buffer
	code := run(context.Background(), args, strings.NewReader(stdin), &out, &problems)
	return ran{code, out.String(), problems.String()}
}

// demoDay is the day of the demo the tests use.
const demoDay = "2026-11-25"

var (
	demoOnce   sync.Once
	demoFolder string
	demoRan    ran
)

func TestMain(m *testing.M) {
	code := m.Run()
	if demoFolder != "" {
		os.RemoveAll(demoFolder)
	}
	os.Exit(code)
}

// builtDemo is a demo built once for all tests; none of them writes into it.
func builtDemo(t *testing.T) string {
	t.Helper()
	demoOnce.Do(func() {
		folder, err := os.MkdirTemp("", "canewright-test-")
		require.NoError(t, err)
		demoFolder = folder
		demoRan = runs("demo", "--no-serve", "--json", "--today", demoDay, "--data", folder)
	})
	require.Equal(t, exitDone, demoRan.code, demoRan.err)
	return demoFolder
}

// ownDemo is a copy of the demo that a test may write into.
func ownDemo(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(folder, "demo"), os.DirFS(builtDemo(t))))
	return filepath.Join(folder, "demo")
}

func TestHelp(t *testing.T) {
	t.Run("without arguments", func(t *testing.T) {
		r := runs()
		assert.Equal(t, exitUsage, r.code)
		assert.Contains(t, r.err, "canewright demo")
		assert.Empty(t, r.out)
	})
	t.Run("of everything", func(t *testing.T) {
		for _, args := range [][]string{{"help"}, {"--help"}, {"-h"}} {
			r := runs(args...)
			assert.Equal(t, exitDone, r.code)
			for name := range commands() {
				assert.Contains(t, r.out, "canewright "+name)
			}
		}
	})
	for name := range commands() {
		t.Run("of "+name, func(t *testing.T) {
			for _, args := range [][]string{{"help", name}, {name, "--help"}} {
				r := runs(args...)
				assert.Equal(t, exitDone, r.code, r.err)
				assert.Contains(t, r.out, "canewright "+name)
				assert.NotContains(t, r.out, "⟦")
			}
		})
	}
	t.Run("of calc", func(t *testing.T) { assert.Contains(t, runs("help", "calc").out, "calc solids") })
	t.Run("of nothing we have", func(t *testing.T) { assert.Equal(t, exitUsage, runs("help", "export").code) })
}

// TestWrongUse: each command's way of being asked wrongly ends with 2, says what to do, and points to the help.
func TestWrongUse(t *testing.T) {
	demo, empty := builtDemo(t), t.TempDir()
	there := filepath.Join(empty, "there")
	require.NoError(t, os.WriteFile(there, []byte("x"), 0o600))
	code := demoCode(t)
	tests := []struct {
		name, says string
		args       []string
	}{
		{"unknown command", "no command “bake”", []string{"bake"}},
		{"unknown flag", "colour", []string{"trace", code, "--colour"}},
		{"trace without a code", "The lot code is missing", []string{"trace", "--data", demo}},
		{"trace with two", "one word too many", []string{"trace", code, code, "--data", demo}},
		{"no house", "canewright serve --new", []string{"trace", code, "--data", empty}},
		{"labels without out", "--out", []string{"labels", code, "--data", demo}},
		{"labels on unknown stock", "Letter 2x5", []string{"labels", code, "--stock", "none", "--out", filepath.Join(empty, "a.pdf"), "--data", demo}},
		{"labels from no cell", "1 to 10", []string{"labels", code, "--start", "11", "--out", filepath.Join(empty, "a.pdf"), "--data", demo}},
		{"labels none", "--copies", []string{"labels", code, "--copies", "0", "--out", filepath.Join(empty, "a.pdf"), "--data", demo}},
		{"labels over a file", "exists already", []string{"labels", code, "--out", there, "--data", demo}},
		{"labels into no folder", "make it first", []string{"labels", code, "--out", filepath.Join(empty, "none", "a.pdf"), "--data", demo}},
		{"backup into no folder", "make it first", []string{"backup", "--out", filepath.Join(empty, "none", "a.db"), "--data", demo}},
		{"labels not counted", "--copies N", []string{"labels", "26329K1B18", "--out", filepath.Join(empty, "a.pdf"), "--data", demo}},
		{"sheet without out", "--out", []string{"sheet", code, "--data", demo}},
		{"sheet in ells", "us or metric", []string{"sheet", code, "--units", "ells", "--out", filepath.Join(empty, "x"), "--data", demo}},
		{"packet without days", "needs a day", []string{"packet", "--out", "x", "--data", demo}},
		{"packet backwards", "turn them round", []string{"packet", "--from", "2026-11-03", "--to", "2026-11-01", "--out", "x", "--data", demo}},
		{"backup without out", "--out", []string{"backup", "--data", demo}},
		{"backup over a file", "exists already", []string{"backup", "--out", there, "--data", demo}},
		{"restore without a file", "The backup file is missing", []string{"restore", "--data", empty}},
		{"restore over a house", "already holds a house", []string{"restore", there, "--data", demo}},
		{"restore to PostgreSQL", "pg_restore", []string{"restore", there, "--data", "postgres://h/d"}},
		{"user alone", "user add NAME", []string{"user"}},
		{"user dance", "user add NAME", []string{"user", "dance"}},
		{"user add nobody", "The person's name is missing", []string{"user", "add", "--data", demo}},
		{"user add without login", "--login", []string{"user", "add", "Ann", "--data", demo}},
		{"user add without password", "--password-from", []string{"user", "add", "Ann", "--login", "ann", "--data", demo}},
		{"user add with a role we have not", "role", []string{"user", "add", "Ann", "--login", "ann", "--role", "cook", "--data", demo}},
		{"user password of nobody", "Nobody signs in as zoe", []string{"user", "password", "zoe", "--data", demo}},
		{"demo on no day", "needs a day", []string{"demo", "--today", "yesterday"}},
		{"demo on PostgreSQL", "folder of its own", []string{"demo", "--data", "postgres://h/d"}},
		{"demo of another day", "stands on 2026-11-25", []string{"demo", "--no-serve", "--today", "2026-11-24", "--data", demo}},
		{"serve at no port", "--addr needs", []string{"serve", "--addr", "here"}},
		{"serve half a certificate", "go together", []string{"serve", "--cert", "c.pem"}},
		{"serve new over a house", "holds a house already", []string{"serve", "--new", "--data", demo}},
		{"version of what", "too many", []string{"version", "2"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := runs(test.args...)
			assert.Equal(t, exitUsage, r.code, r.err)
			assert.Contains(t, r.err, test.says)
			assert.Contains(t, r.err, "canewright help")
			assert.Empty(t, r.out)
			assert.NotContains(t, r.err, "⟦")
		})
	}
	names, err := os.ReadDir(empty)
	require.NoError(t, err)
	assert.Len(t, names, 1, "nothing half written remains")
}

func TestVersion(t *testing.T) {
	r := runs("version")
	assert.Equal(t, exitDone, r.code)
	assert.Contains(t, r.out, "go1.")
	assert.Contains(t, runs("version", "--json").out, `"version"`)
}

// TestTextsAreSaid: every text of the command line is in the catalogue.
func TestTextsAreSaid(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range files {
		source, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, part := range strings.Split(string(source), `"`) {
			if strings.HasPrefix(part, "cmd.") && !strings.HasSuffix(part, ".") {
				assert.True(t, text.Has(text.English, part), "%s: key %s", name, part)
			}
		}
	}
}
