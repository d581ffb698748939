package app

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// logged reads a file of the store's testdata; most gives its first lines only.
func logged(t *testing.T, name string, most int) []byte {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "records", "testdata", "logger", name))
	require.NoError(t, err)
	lines := bytes.SplitAfter(raw, []byte("\n"))
	if most > 0 && len(lines) > most {
		lines = lines[:most]
	}
	return bytes.Join(lines, nil)
}

var seenInPage = regexp.MustCompile(`name="seen" value="([0-9a-f]+)"`)

// TestLoggerFile sends a logger's file, says how it is read, looks, and keeps it: nothing is kept before, and it is kept once.
func TestLoggerFile(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	assert.Contains(t, b.get(url).body, `href="`+url+`/logger"`)
	require.Equal(t, http.StatusOK, b.get(url+"/logger").StatusCode)

	how := b.upload(url+"/logger", "file", "boil.csv", logged(t, "plain.csv", 54)).location(t)
	asked := b.get(how)
	require.Equal(t, http.StatusOK, asked.StatusCode)
	assert.Contains(t, asked.body, "<td>Logger 77</td>", "the first lines")
	assert.Regexp(t, `value="America/New_York" selected`, asked.body)
	assert.NotRegexp(t, `name="unit" value="[FC]" checked`, asked.body, "the unit is asked, never guessed")
	assert.Regexp(t, `name="header_lines" [^>]*value="2"`, asked.body)
	assert.Contains(t, asked.words(), "2025-12-07 07:00:00 = Sun 7 Dec 2025, 7:00")

	said := []string{"zone", "America/New_York", "instrument", w.probe.ID, "time_column", "1", "temperature_column", "2", "time_layout", "2006-01-02 15:04:05",
		"header_lines", "2", "separator", "comma", "submission", "log-1"}
	missing := b.post(how, append(said, "do", "look")...)
	assert.Equal(t, http.StatusUnprocessableEntity, missing.StatusCode, "no unit")
	look := b.post(how, append(said, "unit", "C", "do", "look")...)
	require.Equal(t, http.StatusOK, look.StatusCode)
	plain := strings.ReplaceAll(look.read(), noBreak, " ")
	for _, want := range []string{"Readings 52", "7:00 am", "10:24 am", "68.0 °F – 223.2 °F", "While the run was on the fire 52", "Keep these readings"} {
		assert.Contains(t, plain, want)
	}
	assert.Contains(t, look.body, `<svg class="boil"`)
	assert.Equal(t, 0, count[records.Attachment](t, w), "nothing is kept by looking")

	unseen := b.post(how, append(said, "unit", "C", "do", "keep")...)
	assert.Equal(t, http.StatusOK, unseen.StatusCode, "not looked at: shown first")
	assert.Equal(t, 0, count[records.LoggerImport](t, w))
	seen := seenInPage.FindStringSubmatch(look.body)[1]
	other := b.post(how, append(said, "unit", "F", "do", "keep", "seen", seen)...)
	assert.Equal(t, http.StatusOK, other.StatusCode, "looked at in another unit")
	assert.Contains(t, other.read(), "nothing boils there")
	assert.Equal(t, 0, count[records.LoggerImport](t, w))

	keep := append(said, "unit", "C", "do", "keep", "seen", seen)
	assert.Equal(t, url, b.post(how, keep...).location(t))
	assert.Equal(t, url, b.post(how, keep...).location(t), "a double tap")
	require.Equal(t, 1, count[records.LoggerImport](t, w))
	page := b.get(url)
	assert.Contains(t, strings.ReplaceAll(page.read(), noBreak, " "), "boil.csv 52 readings, 7:00 am to 10:24 am · Probe 1")
	kept, err := records.List[records.Attachment](t.Context(), w.store, "")
	require.NoError(t, err)
	require.Len(t, kept, 1)
	assert.Contains(t, page.body, kept[0].SHA256)
	assert.Contains(t, page.body, "boil-logged")
	assert.Equal(t, string(logged(t, "plain.csv", 54)), b.get("/attachment/"+kept[0].ID).body, "the raw file")

	second := b.upload(url+"/logger", "file", "copy.csv", logged(t, "plain.csv", 54)).location(t)
	again := b.post(second, append(said[:len(said)-1], "log-2", "unit", "C", "do", "look")...)
	mark := seenInPage.FindStringSubmatch(again.body)[1]
	refused := b.post(second, append(said[:len(said)-1], "log-2", "unit", "C", "do", "keep", "seen", mark)...)
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.read(), "was read into this run before")
	assert.Equal(t, 1, count[records.LoggerImport](t, w))

	imports, err := records.List[records.LoggerImport](t.Context(), w.store, "")
	require.NoError(t, err)
	record := b.get("/record/" + imports[0].ID)
	require.Equal(t, http.StatusOK, record.StatusCode)
	b.post("/record/"+imports[0].ID+"/strike", "why", "another kettle's").location(t)
	assert.NotContains(t, b.get(url).body, "boil-logged", "taken back")
}

// TestLoggerFileOfAnother: a file in hand is its sender's, for its run; what is gone is chosen again.
func TestLoggerFileOfAnother(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	url := "/kettle/run/" + run.ID + "/logger"
	how := w.as("odell").upload(url, "file", "boil.csv", logged(t, "plain.csv", 54)).location(t)
	crew := w.as("marisol")
	assert.Equal(t, url, crew.get(how).location(t))
	assert.Equal(t, url, crew.post(how, "do", "look", "unit", "C").location(t))
	assert.Contains(t, crew.get(url).read(), "ya no está a la mano")
	b := w.as("odell")
	for range waitingMost {
		b.upload(url, "file", "boil.csv", logged(t, "plain.csv", 54)).location(t)
	}
	assert.Equal(t, url, b.get(how).location(t), "the oldest made room")
}

// TestLoggerFilesRefused: what cannot be a logger's file is said at the file.
func TestLoggerFilesRefused(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID + "/logger"
	for name, want := range map[string]string{"empty.csv": "This file is empty", "binary.csv": "save it as CSV (UTF-8)", "workbook.csv": "workbook", "no_dates.csv": "No column with day and time"} {
		got := b.upload(url, "file", name, logged(t, name, 0))
		assert.Equal(t, http.StatusUnprocessableEntity, got.StatusCode, name)
		assert.Contains(t, got.read(), want, name)
	}
	large := b.upload(url, "file", "large.csv", bytes.Repeat([]byte("2025-12-07 07:00,20\n"), maxLoggerBytes/20+5000))
	assert.Equal(t, http.StatusUnprocessableEntity, large.StatusCode)
	assert.Contains(t, large.read(), "larger than 10 MB")
	assert.Equal(t, http.StatusUnprocessableEntity, b.post(url, "x", "y").StatusCode, "no file")
	assert.Equal(t, 0, count[records.Attachment](t, w))
}

// TestLoggerReadingsRefused: what a file cannot be read as is said at the field that would mend it.
func TestLoggerReadingsRefused(t *testing.T) {
	tests := []struct {
		name, file, unit, says string
		most                   int
		typed                  []string
	}{
		{"both units written", "mixed_cells.csv", "F", "Both units stand in this file: 26 lines say °C and 25 say °F", 52, nil},
		{"units change half-way", "mixed_halves.csv", "F", "The unit seems to change within the file, at line 32", 52, nil},
		{"many words", "many_words.csv", "C", "the temperature is not a number", 52, nil},
		{"wrong unit", "american.csv", "C", "no temperature of a kettle, in this unit", 52, nil},
		{"column of the count", "american.csv", "F", "That is the column of the time", 52, []string{"temperature_column", "2"}},
		{"no such column", "plain.csv", "C", "the line has no such column", 54, []string{"temperature_column", "5"}},
		{"another year", "other_year.csv", "C", "Nothing in it is of this run", 52, nil},
		{"another zone", "plain.csv", "C", "Is the zone right?", 54, []string{"zone", "America/Los_Angeles"}},
		{"times to come", "plain.csv", "C", "The last reading would be at", 0, nil},
		{"header too long", "plain.csv", "C", "No line is left under the header", 54, []string{"header_lines", "100"}},
		{"only times", "one_column.csv", "C", "That is the column of the time", 52, []string{"temperature_column", "1", "time_column", "1"}},
	}
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID + "/logger"
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			how := b.upload(url, "file", test.file, logged(t, test.file, test.most)).location(t)
			typed := formIn(t, b.get(how).body)
			typed["unit"], typed["do"] = test.unit, "look"
			for i := 0; i < len(test.typed); i += 2 {
				typed[test.typed[i]] = test.typed[i+1]
			}
			var pairs []string
			for name, value := range typed {
				pairs = append(pairs, name, value)
			}
			got := b.post(how, pairs...)
			assert.Equal(t, http.StatusUnprocessableEntity, got.StatusCode)
			assert.Contains(t, got.read(), test.says)
			assert.Regexp(t, `name="unit" value="`+test.unit+`" checked`, got.body, "what was said stays")
			assert.NotContains(t, got.body, `value="keep"`)
		})
	}
	t.Run("a jump that is right is kept with its reason", func(t *testing.T) {
		how := b.upload(url, "file", "mixed_halves.csv", logged(t, "mixed_halves.csv", 52)).location(t)
		typed := formIn(t, b.get(how).body)
		typed["unit"], typed["do"], typed["note"] = "F", "look", "the probe was put into boiling water"
		var pairs []string
		for name, value := range typed {
			pairs = append(pairs, name, value)
		}
		got := b.post(how, pairs...)
		assert.Equal(t, http.StatusOK, got.StatusCode)
		assert.Contains(t, got.body, `value="keep"`)
	})
}

var (
	inputInPage  = regexp.MustCompile(`<input id="[^"]*" name="([a-z_]+)" type="text"[^>]* value="([^"]*)"`)
	chosenInPage = regexp.MustCompile(`(?s)<select id="[^"]*" name="([a-z_]+)"[^>]*>.*?</select>`)
	optionInPage = regexp.MustCompile(`<option value="([^"]*)" selected`)
	radioInPage  = regexp.MustCompile(`name="([a-z_]+)" value="([^"]*)" checked`)
)

// formIn is what a browser would send of a form as it is shown.
func formIn(t *testing.T, body string) map[string]string {
	t.Helper()
	typed := map[string]string{}
	for _, m := range inputInPage.FindAllStringSubmatch(body, -1) {
		typed[m[1]] = m[2]
	}
	for _, m := range chosenInPage.FindAllStringSubmatch(body, -1) {
		if chosen := optionInPage.FindStringSubmatch(m[0]); chosen != nil {
			typed[m[1]] = chosen[1]
		}
	}
	for _, m := range radioInPage.FindAllStringSubmatch(body, -1) {
		typed[m[1]] = m[2]
	}
	require.Contains(t, typed, "time_layout")
	return typed
}
