package packet

import (
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// The picture stands on the sheet with what it rests on; with a check in boiling water of that day it says what was taken off,
// in the log as well, and the log still says what was read.
func TestSheetSaysTheZero(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	read := readText(t, sheetOf(t, h, h.first.ID, Options{}))
	for _, want := range []string{"°F above boiling water", "% solids, estimated", "target", "Minutes since the fire was lit.", "No check in boiling water that day",
		"both estimated"} {
		assert.Contains(t, read, want)
	}
	probes, err := records.List[records.Instrument](h.ctx, h, "measures = ?", records.MeasuresTemperature)
	require.NoError(t, err)
	check := &records.InstrumentCheck{InstrumentID: probes[0].ID, At: h.at(5, 30), Method: records.MethodBoilingWater, Expected: 211, Read: 212.5, Unit: "F", Passed: true}
	h.put(h.ada, check)
	readings, err := records.List[records.DensityReading](h.ctx, h, "of_id = ? AND stage = ?", h.first.ID, records.StageFinish)
	require.NoError(t, err)
	readings[0].ThermometerID = &probes[0].ID
	require.NoError(t, h.Amend(h.ctx, h.ada, &readings[0], "the probe in the cup"))

	read = strings.ReplaceAll(readText(t, sheetOf(t, h, h.first.ID, Options{})), "−", "-")
	assert.Contains(t, read, "Water boiled at 211.0 °F that day; Probe 1, held in it at 05:30, has its zero of +1.5 °F taken off.")
	assert.Contains(t, read, "36.1 Be at 224 F")
	assert.Contains(t, read, "Probe 1 read 224.0 °F; corrected by -1.5 °F for its zero of that day.")
	metric := readText(t, sheetOf(t, h, h.first.ID, Options{Units: "metric"}))
	assert.Contains(t, metric, "°C above boiling water")
	assert.Contains(t, metric, "99.4 °C that day")
}

// The band of past boils is a part of the drawing: amending one of them changes the head the sheet prints, and else the same
// records draw the same bytes.
func TestSheetCountsPastBoils(t *testing.T) {
	h := newSeason(t)
	before := sheetOf(t, h, h.thin.ID, Options{})
	assert.Equal(t, before, sheetOf(t, h, h.thin.ID, Options{}))
	log, err := records.BoilLogOf(h.ctx, h, h.first.ID)
	require.NoError(t, err)
	first := log.Entries[0]
	first.Note = "by the door"
	require.NoError(t, h.Amend(h.ctx, h.ada, &first, "said later"))
	assert.NotEqual(t, before, sheetOf(t, h, h.thin.ID, Options{}))
}

// A run without a temperature says that nothing was recorded where the picture would stand.
func TestSheetWithoutPicture(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	run := records.Run{KettleID: h.first.KettleID, FireLitAt: h.at(70, 0)}
	h.now(h.at(70, 5))
	require.NoError(t, h.StartRun(h.ctx, h.ben, &run, nil))
	read := readText(t, sheetOf(t, h, run.ID, Options{}))
	assert.NotContains(t, read, "above boiling water")
	assert.Contains(t, read, "not recorded")
}
