package app

import (
	"bytes"
	"image"
	"image/png"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

func TestBlankSheetsAreListed(t *testing.T) {
	h := newHouse(t)
	b := h.as("ines")
	page := b.get("/paper")
	require.Equal(t, http.StatusOK, page.StatusCode)
	for _, want := range []string{"/paper/blank/boil?paper=letter&amp;lang=en", "/paper/blank/fill?paper=a4&amp;lang=es", "/paper/blank/cut?paper=letter&amp;lang=es"} {
		assert.Contains(t, page.body, want)
	}
	assert.NotContains(t, page.body, "/kettle/new", "who only looks types nothing in")
	pdf := b.get("/paper/blank/boil?paper=a4&lang=es")
	assert.Equal(t, "application/pdf", pdf.Header.Get("Content-Type"))
	assert.True(t, strings.HasPrefix(pdf.body, "%PDF"))
	assert.Equal(t, http.StatusNotFound, b.get("/paper/blank/other").StatusCode)
	for _, from := range []string{"/kettle", "/filler", "/field"} {
		assert.Contains(t, b.get(from).body, `href="/paper"`, from)
	}
}

// TestTypeBoilSheet types a boil in afterwards: all rows or none, what is wrong at its row, event time and entry time both
// kept, the photo beside the run.
func TestTypeBoilSheet(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	url := "/kettle/run/" + run.ID
	form := b.get(url + "/paper")
	require.Equal(t, http.StatusOK, form.StatusCode)
	assert.Contains(t, form.body, `name="note_12"`)
	assert.NotContains(t, form.body, `name="note_13"`)
	assert.Regexp(t, `name="day" type="date" value="2025-12-07"`, form.body)
	sheet := []string{"day", "2025-12-07", "degrees", "F", "scale", "Be", "volumes", "gal", "thermometer", w.probe.ID, "instrument", w.spindle.ID, "done_by", w.people["marisol"], "rows", "12"}
	rows := []string{"at_1", "07:00", "what_1", "temperature", "temperature_1", "120", "at_2", "7:40 am", "what_2", "skimming", "note_2", "green skim",
		"at_4", "09:10", "what_4", "boil", "reading_4", "30.5", "temperature_4", "217", "at_5", "09:50", "what_5", "finish", "reading_5", "36", "temperature_5", "225",
		"at_6", "10:00", "what_6", "drawn_off", "volume_6", "15", "tank", w.holding.ID, "estimated", "yes"}

	wrong := append(append([]string{}, sheet...), append(append([]string{}, rows...), "at_3", "06:10", "what_3", "note", "at_7", "", "note_7", "who knows", "temperature_2", "hot",
		"reading_1", "33", "submission", "s-wrong")...)
	got := b.post(url+"/paper", wrong...)
	require.Equal(t, http.StatusUnprocessableEntity, got.StatusCode)
	said := got.read()
	for _, want := range []string{"Row 3, Time : Earlier than the row above", "Row 7, Time : When?", "Row 7, What : What was it?", "Row 2, Temperature :", "Row 1, Density reading : temperature has no such figure"} {
		assert.Contains(t, said, want)
	}
	assert.Contains(t, got.body, `value="green skim"`, "what was typed stays")
	assert.Equal(t, 0, count[records.BoilEntry](t, w), "all rows or none")

	early := b.post(url+"/paper", append(append([]string{}, sheet...), "at_1", "05:10", "what_1", "skimming", "at_2", "07:00", "what_2", "skimming", "submission", "s-early")...)
	assert.Equal(t, http.StatusUnprocessableEntity, early.StatusCode)
	assert.Contains(t, early.read(), "Row 1, Time")
	assert.Equal(t, 0, count[records.BoilEntry](t, w), "before the fire was lit: nothing of the sheet is kept")

	none := b.post(url+"/paper", append(append([]string{}, sheet...), "submission", "s-none")...)
	assert.Contains(t, none.read(), "No row is filled in")
	more := b.post(url+"/paper", append(append([]string{}, sheet...), "at_2", "07:40", "note_2", "half done", "do", "more", "submission", "s-more")...)
	assert.Equal(t, http.StatusOK, more.StatusCode)
	assert.Contains(t, more.body, `name="note_24"`)
	assert.Contains(t, more.body, `value="half done"`)
	assert.NotContains(t, more.body, `class="errors"`)

	picture := smallPicture(t, func(out *bytes.Buffer, m image.Image) error { return png.Encode(out, m) })
	keep := append(append(append([]string{}, sheet...), rows...), "submission", "s-1")
	assert.Equal(t, url, b.do(b.photographed(url+"/paper", "sheet.png", picture, keep...)).location(t))
	assert.Equal(t, url, b.do(b.photographed(url+"/paper", "sheet.png", picture, keep...)).location(t), "a double tap")
	log, err := records.BoilLogOf(t.Context(), w.store, run.ID)
	require.NoError(t, err)
	require.Len(t, log.Entries, 3)
	require.Len(t, log.Readings, 2)
	require.NotNil(t, log.DrawnOff)
	assert.True(t, log.DrawnOff.Estimated)
	require.Len(t, log.Out, 1)
	assert.NotNil(t, log.Out[0].Solids, "what went into the tank is measured by the finish reading of the same sheet")
	first := log.Entries[0]
	assert.Equal(t, "120 F", first.TemperatureEntered)
	assert.InDelta(t, float64(syrup.Fahrenheit(120).Celsius()), float64(*first.Temperature), 1e-9)
	assert.Equal(t, "2025-12-07 12:00:00 +0000 UTC", first.At.UTC().String(), "event time")
	assert.Equal(t, testNow, first.WrittenAt.UTC(), "entry time")
	assert.Equal(t, w.people["marisol"], first.DoneBy)
	assert.Equal(t, w.people["odell"], first.WrittenBy)
	assert.Equal(t, "36 Be", log.Readings[1].ReadingEntered)
	assert.Equal(t, &w.probe.ID, log.Readings[1].ThermometerID)
	page := b.get(url)
	assert.Contains(t, page.read(), "written Sun 7 Dec 2025", "shown as late")
	sheets, err := records.SheetsOf(t.Context(), w.store, run.ID)
	require.NoError(t, err)
	require.Len(t, sheets, 1)
	assert.Contains(t, page.body, `<img src="/attachment/`+sheets[0].ID)
}

// TestSheetPastMidnight: whether midnight lies between two rows is asked, not guessed.
func TestSheetPastMidnight(t *testing.T) {
	s := func(pairs ...string) *typedSheet {
		f := formOf(t, "us", append([]string{"day", "2025-12-06"}, pairs...)...)
		f.kind = "paper_boil"
		return newSheet(f, &typedPage{}, "")
	}
	row := func(s *typedSheet, n int) string {
		at := s.cell("at", "time", n)
		which := s.choices(s.cell("which", "pick", n), "", s.words("which", "same", "next")...)
		return s.moment(at, which).UTC().Format("02 15:04")
	}
	asked := s("at_1", "23:50", "at_2", "00:10")
	assert.Equal(t, "07 04:50", row(asked, 1))
	row(asked, 2)
	require.Len(t, asked.f.Wrong, 1)
	assert.Contains(t, asked.f.Wrong[0].Message, "day after")

	next := s("at_1", "23:50", "at_2", "00:10", "which_2", "next", "at_3", "12:30 a.m.", "at_4", "23:55", "which_4", "same")
	assert.Equal(t, []string{"07 04:50", "07 05:10", "07 05:30", "07 04:55"}, []string{row(next, 1), row(next, 2), row(next, 3), row(next, 4)}, "what follows is of the new day")
	assert.Empty(t, next.f.Wrong)
	for typed, want := range map[string]string{"7:05 pm": "19:05", "19:05": "19:05", "7:05PM": "19:05", "7:05 p. m.": "19:05", "07:05:30": "07:05", "25:00": "", "705": "", "7": ""} {
		clock, ok := clockOf(typed)
		assert.Equal(t, want, clock, typed)
		assert.Equal(t, want != "", ok, typed)
	}
}

// TestTypeFillSheet types fill checks in afterwards.
func TestTypeFillSheet(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	url := "/filler/" + lot.ID
	require.Equal(t, http.StatusOK, b.get(url+"/paper").StatusCode)
	assert.Contains(t, b.get(url).body, `href="`+url+`/paper"`)
	sheet := []string{"day", "2025-12-07", "degrees", "F", "weights", "g", "thermometer", h.probe.ID, "scale", h.scale.ID, "rows", "12"}
	bad := b.post(url+"/paper", append(append([]string{}, sheet...), "at_1", "09:50", "bottle_1", "192", "at_2", "03:00", "which_2", "same", "bottle_2", "190", "at_3", "10:10", "bottle_number_3", "2.5", "submission", "f-bad")...)
	assert.Equal(t, http.StatusUnprocessableEntity, bad.StatusCode)
	assert.Contains(t, bad.read(), "Row 3, Bottle no.")
	before := b.post(url+"/paper", append(append([]string{}, sheet...), "at_1", "09:50", "bottle_1", "192", "at_2", "03:00", "which_2", "same", "bottle_2", "190", "submission", "f-before")...)
	assert.Equal(t, http.StatusUnprocessableEntity, before.StatusCode)
	assert.Contains(t, before.read(), "Row 2, Time")
	unit := b.post(url+"/paper", append(append([]string{}, sheet[:2]...), "rows", "12", "at_1", "09:50", "bottle_1", "192", "submission", "f-unit")...)
	assert.Contains(t, unit.read(), "Which unit is on the sheet?")
	checks, err := records.List[records.FillCheck](t.Context(), h.store, "")
	require.NoError(t, err)
	require.Empty(t, checks, "all rows or none")

	b.post(url+"/paper", append(append([]string{}, sheet...), "at_1", "09:50", "bottle_1", "192", "closure_ok_1", "yes", "inverted_seconds_1", "60", "net_weight_1", "670", "bottle_number_1", "1",
		"at_2", "10:10", "bottle_2", "190", "tank_reading_2", "194", "note_2", "steam", "submission", "f-1")...).location(t)
	checks, err = records.List[records.FillCheck](t.Context(), h.store, "ORDER BY at")
	require.NoError(t, err)
	require.Len(t, checks, 2)
	assert.Equal(t, "192 F", checks[0].BottleEntered)
	assert.Equal(t, "670 g", checks[0].NetWeightEntered)
	assert.Equal(t, &h.scale.ID, checks[0].ScaleID)
	assert.True(t, *checks[0].ClosureOK)
	assert.Nil(t, checks[1].ClosureOK, "not written is not no")
	assert.Equal(t, "steam", checks[1].Note)
}

// TestSheetPhotoAfterwards adds the photo of a sheet to a cut, a run and a lot that are there already.
func TestSheetPhotoAfterwards(t *testing.T) {
	h := newBoiledRun(t, thick)
	b := h.as("odell")
	lot := h.start(t, b)
	cuts, err := records.List[records.Cut](t.Context(), h.store, "")
	require.NoError(t, err)
	picture := smallPicture(t, func(out *bytes.Buffer, m image.Image) error { return png.Encode(out, m) })
	for _, id := range []string{cuts[0].ID, h.run.ID, lot.ID} {
		page := b.get("/record/" + id)
		if page.StatusCode == http.StatusSeeOther {
			page = b.get(page.location(t))
		}
		assert.Contains(t, page.body, "/paper/photo/"+id)
		require.Equal(t, http.StatusOK, b.get("/paper/photo/"+id).StatusCode)
		bare := b.post("/paper/photo/"+id, "note", "front side", "submission", "bare"+id)
		assert.Equal(t, http.StatusUnprocessableEntity, bare.StatusCode)
		assert.Contains(t, bare.body, `value="front side"`)
		for range 2 {
			b.do(b.photographed("/paper/photo/"+id, "sheet.png", picture, "submission", "photo"+id)).location(t)
		}
		sheets, err := records.SheetsOf(t.Context(), h.store, id)
		require.NoError(t, err)
		require.Len(t, sheets, 1)
		page = b.get("/record/" + id)
		if page.StatusCode == http.StatusSeeOther {
			page = b.get(page.location(t))
		}
		assert.Contains(t, page.body, `<img src="/attachment/`+sheets[0].ID)
	}
	assert.Equal(t, http.StatusNotFound, b.get("/paper/photo/"+h.probe.ID).StatusCode, "an instrument has no sheet")
}
