package packet

import (
	"strings"
	"testing"
	"time"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// TestBatchSheetSaysHowARunEnded: a run of which a part was moved and the rest held, one that took it and was given up; the
// sheets say it, with the balance, and the log in the packet has it in columns.
func TestBatchSheetSaysHowARunEnded(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	kettles, err := records.List[records.Kettle](h.ctx, h, "")
	require.NoError(t, err)
	second := records.Kettle{SiteID: h.site.ID, Number: 3, Name: "New kettle"}
	bucket := records.Tank{SiteID: h.site.ID, Name: "Bucket 2", Holds: records.HoldsSyrup}
	day := h.clock.Truncate(time.Hour)
	at := func(minutes int) time.Time { return day.Add(time.Duration(minutes) * time.Minute) }
	h.now(at(300))
	h.put(h.ada, &second, &bucket)
	cut := records.Cut{PlantingID: h.cut.PlantingID, CutOn: records.DayOf(day, time.UTC), Harvester: "Cal Reed", Mass: ptr(syrup.Kilograms(900))}
	h.put(h.ada, &cut)
	juice := records.Pressing{SiteID: h.site.ID, StartedAt: at(10), Volume: ptr(syrup.Liters(300)), Brix: ptr(syrup.Brix(16))}
	h.ok(h.RecordPressing(h.ctx, h.ada, &juice, []records.Draw{{FromID: cut.ID}}))
	run := records.Run{KettleID: kettles[0].ID, FireLitAt: at(20)}
	h.ok(h.StartRun(h.ctx, h.ada, &run, []records.Draw{{FromID: juice.ID}}))
	h.put(h.ada, &records.BoilEntry{RunID: run.ID, At: at(60), What: records.EntryFireOut}, &records.BoilEntry{RunID: run.ID, At: at(90), What: records.EntryRelit})
	read := func() *records.DensityReading {
		return &records.DensityReading{Reading: 20, Scale: syrup.ScaleBaume, ReadingEntered: "20 Be", Temperature: ptr(syrup.Celsius(100)), TemperatureEntered: "212 F"}
	}
	taker := records.Run{KettleID: second.ID, FireLitAt: at(120)}
	h.ok(h.MoveToKettle(h.ctx, h.ada, records.Move{FromID: run.ID, At: at(120), Volume: ptr(syrup.Liters(20)), Entered: "20 L", Light: &taker, Reading: read()}))
	h.ok(h.HoldSemiSyrup(h.ctx, h.ada, &records.BoilEntry{RunID: run.ID, At: at(200), Volume: ptr(syrup.Liters(70)), VolumeEntered: "70 L"}, read(), bucket.ID))
	h.ok(h.GiveUp(h.ctx, h.ada, &records.BoilEntry{RunID: taker.ID, At: at(210), Note: "boiled over"}))

	said := readText(t, sheetOf(t, h, run.ID, Options{}))
	for _, want := range []string{"held as semi-syrup", "3 h 0 min, on the fire 2 h 30 min", "Last reading, true solids", "into run " + taker.Code, "as it ended", "moved"} {
		assert.Contains(t, strings.Join(strings.Fields(said), " "), want)
	}
	assert.NotContains(t, said, "⟦")
	assert.NotContains(t, said, "finish reading not recorded")
	said = strings.Join(strings.Fields(readText(t, sheetOf(t, h, taker.ID, Options{}))), " ")
	for _, want := range []string{"given up, poured away", "boiled over", "not measured", "poured away; 100 %"} {
		assert.Contains(t, said, want)
	}
	r := newReader(h.ctx, h)
	file := r.runFile(run.ID)
	require.NoError(t, r.err)
	var whats []string
	for _, l := range file.Log {
		whats = append(whats, l.what())
	}
	assert.Equal(t, []string{"fire_out", "relit", "density_boil", "moved", "density_boil", "drawn_off"}, whats)
}
