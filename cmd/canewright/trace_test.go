package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demoCode is the code of the lot the demo tells to trace.
func demoCode(t *testing.T) string {
	t.Helper()
	builtDemo(t)
	var told struct {
		TraceCode string `json:"trace_code"`
	}
	require.NoError(t, json.Unmarshal([]byte(demoRan.out), &told))
	require.NotEmpty(t, told.TraceCode)
	return told.TraceCode
}

// unhyphened is a code as it is stored, without its hyphen.
func unhyphened(code string) string { return strings.ReplaceAll(code, "-", "") }

func TestTrace(t *testing.T) {
	demo, code := builtDemo(t), demoCode(t)
	t.Run("for a person", func(t *testing.T) {
		r := runs("trace", code, "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		for _, said := range []string{code, "planting", "Hill, Green German", "pressing", "supply lot", "LM-219", "recalled", "on hand", "Findings:", "came back"} {
			assert.Contains(t, r.out, said)
		}
		assert.NotContains(t, r.out, "⟦")
	})
	t.Run("the figures of a part add up, market days too", func(t *testing.T) {
		market := one(t, demo, "SELECT l.code FROM shelf_entry_now e JOIN part_now p ON p.id = e.part_id JOIN lot_now l ON l.id = p.lot_id WHERE e.what = 'back' ORDER BY l.code LIMIT 1")
		var answer struct{ Parts []partTraced }
		r := runs("trace", market, "--data", demo, "--json")
		require.NoError(t, json.Unmarshal([]byte(r.out), &answer))
		back := 0
		for _, p := range answer.Parts {
			back += p.Back
			assert.Equal(t, p.OnHand, p.Filled+p.Back-p.Shipped-p.Samples-p.Broken, "part %d", p.Number)
		}
		assert.Positive(t, back)
		assert.Contains(t, runs("trace", market, "--data", demo).out, "back unsold")
	})
	t.Run("slips are forgiven", func(t *testing.T) {
		want := runs("trace", code, "--data", demo)
		low, zero := strings.ToLower(strings.ReplaceAll(code, "-", " ")), strings.Replace(code, "0", "O", 1)
		assert.Equal(t, want, runs("trace", strings.Replace(low, "k1b", "kib", 1), "--data", demo))
		assert.Equal(t, want, runs("trace", "--data", demo, zero[:5]+"-"+zero[5:7]+"-"+zero[7:]))
	})
	t.Run("for a machine", func(t *testing.T) {
		r := runs("trace", code, "--json", "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		var found traced
		require.NoError(t, json.Unmarshal([]byte(r.out), &found))
		assert.Equal(t, code, found.Printed)
		assert.Equal(t, one(t, demo, "SELECT day FROM lot_now WHERE code = '"+unhyphened(code)+"'"), found.Day)
		shares, shipped := 0.0, 0
		for _, step := range found.Back {
			if step.Stage == "planting" {
				shares += *step.Share
			}
			if step.Stage == "supply lot" {
				assert.Nil(t, step.Share, "bottles and caps have no share of the syrup")
			}
		}
		assert.InDelta(t, 100, shares, 0.2)
		for _, h := range found.Forward {
			shipped += h.Units
		}
		assert.Equal(t, shipped, found.Parts[0].Shipped)
		assert.Len(t, found.Parts, 2, "what a shop sent back is a part of its own")
	})
	t.Run("a wrong character", func(t *testing.T) {
		r := runs("trace", code[:len(code)-1]+"Y", "--data", demo)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, code, "the nearest code is offered")
		assert.Empty(t, r.out)
	})
	t.Run("no code at all", func(t *testing.T) {
		r := runs("trace", "strawberry", "--data", demo)
		assert.Equal(t, exitWrong, r.code)
		assert.NotContains(t, r.err, "Nearest")
	})
	t.Run("a right code of no lot", func(t *testing.T) {
		r := runs("trace", "25341K2B1-P", "--data", demo)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "No lot has the code")
	})
}

func TestPrinting(t *testing.T) {
	demo, code, out := ownDemo(t), demoCode(t), t.TempDir()
	file := func(name string) string { return filepath.Join(out, name) }
	t.Run("labels, first stock and first cell", func(t *testing.T) {
		r := runs("labels", code, "--out", file("labels.pdf"), "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		assert.Contains(t, r.out, "Letter 2x5")
		assert.Contains(t, r.out, "from cell 1")
		assert.Contains(t, pdfText(t, file("labels.pdf")), code)
	})
	t.Run("labels, as asked", func(t *testing.T) {
		r := runs("labels", code, "--stock", "roll 100x50", "--copies", "3", "--json", "--out", file("roll.pdf"), "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		assert.JSONEq(t, `{"code":"`+unhyphened(code)+`","labels":3,"stock":"Roll 100x50","start":1,"file":"`+file("roll.pdf")+`"}`, r.out)
	})
	t.Run("labels of cases", func(t *testing.T) {
		r := runs("labels", code, "--case", "--stock", "roll 100x50", "--copies", "2", "--out", file("case.pdf"), "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		text := pdfText(t, file("case.pdf"))
		assert.Equal(t, 2, strings.Count(text, "LOT "))
		assert.Contains(t, text, "bottles of")
	})
	t.Run("labels refused while answers are missing", func(t *testing.T) {
		r := runs("labels", "26325K1B1-K", "--out", file("none.pdf"), "--data", demo)
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "trial pack")
		assert.NoFileExists(t, file("none.pdf"))
	})
	t.Run("sheet of a run and of a lot", func(t *testing.T) {
		for i, of := range []string{strings.ToLower(code[:7]), code} {
			name := file([]string{"run.pdf", "lot.pdf"}[i])
			r := runs("sheet", of, "--out", name, "--data", demo)
			require.Equal(t, exitDone, r.code, r.err)
			assert.Contains(t, pdfText(t, name), code[:7])
		}
	})
	t.Run("sheet of nothing", func(t *testing.T) {
		r := runs("sheet", "26305K9", "--out", file("no.pdf"), "--data", demo)
		assert.Equal(t, exitWrong, r.code)
		assert.NoFileExists(t, file("no.pdf"))
	})
	t.Run("the printings are recorded", func(t *testing.T) {
		r := runs("verify", "--json", "--data", demo)
		require.Equal(t, exitDone, r.code, r.err)
		var v, before verified
		require.NoError(t, json.Unmarshal([]byte(r.out), &v))
		require.NoError(t, json.Unmarshal([]byte(runs("verify", "--json", "--data", builtDemo(t)).out), &before))
		assert.Equal(t, before.Entries+5, v.Entries, "three label prints and two sheets")
	})
}

func TestPacket(t *testing.T) {
	demo, name := ownDemo(t), filepath.Join(t.TempDir(), "packet.zip")
	r := runs("packet", "--from", "2026-11-01", "--to", "2026-11-03", "--out", name, "--data", demo)
	require.Equal(t, exitDone, r.code, r.err)
	assert.Contains(t, r.out, "4 lots")
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	t.Run("matches its own list", func(t *testing.T) {
		r := runs("verify", name)
		assert.Equal(t, exitDone, r.code, r.out+r.err)
		assert.Contains(t, r.out, "matches its own list; compare the head hash with the printed one")
	})
	t.Run("names its head", func(t *testing.T) {
		var v verified
		require.NoError(t, json.Unmarshal([]byte(runs("verify", name, "--json").out), &v))
		assert.Equal(t, exitDone, runs("verify", name, "--head", v.HeadHash[:16]).code)
		assert.Equal(t, exitWrong, runs("verify", name, "--head", "0123456789abcdef").code)
	})
	t.Run("one changed byte is found", func(t *testing.T) {
		for _, at := range []int{100, len(whole) / 3, len(whole) / 2, len(whole) - 40} {
			changed := bytes.Clone(whole)
			changed[at] ^= 1
			other := filepath.Join(t.TempDir(), "changed.zip")
			require.NoError(t, os.WriteFile(other, changed, 0o600))
			assert.Equal(t, exitWrong, runs("verify", other).code, "byte %d", at)
		}
	})
	t.Run("no packet at all", func(t *testing.T) {
		other := filepath.Join(t.TempDir(), "picture.zip")
		require.NoError(t, os.WriteFile(other, []byte("not a zip"), 0o600))
		assert.Equal(t, exitWrong, runs("verify", other).code)
		r := runs("verify", other+".gone")
		assert.Equal(t, exitWrong, r.code)
		assert.Contains(t, r.err, "is not there")
	})
}

// pdfText reads a PDF with a tool that is not ours.
func pdfText(t *testing.T, name string) string {
	t.Helper()
	toolcheck.Need(t, "pdftotext")
	said, err := exec.Command("pdftotext", "-layout", name, "-").Output()
	require.NoError(t, err)
	return string(said)
}
