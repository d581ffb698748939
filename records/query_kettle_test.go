package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

func TestStock(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		cut := Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Mass: ptr(syrup.Kilograms(900))}
		loads := Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Counted: "3 loads", Estimated: true}
		h.put(&cut, &loads)
		left, err := h.CaneLeft(h.ctx)
		require.NoError(t, err)
		require.Len(t, left, 2)
		assert.Equal(t, "3 loads", left[0].Counted, "newest first")
		assert.Nil(t, left[0].Left)

		pressing := Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), Volume: ptr(syrup.Liters(340)), Brix: ptr(syrup.Brix(17)), Temperature: ptr(syrup.Celsius(20))}
		require.NoError(t, h.RecordPressing(h.ctx, h.owner, &pressing, []Draw{{FromID: cut.ID, Mass: ptr(syrup.Kilograms(600))}, {FromID: loads.ID}}))
		left, err = h.CaneLeft(h.ctx)
		require.NoError(t, err)
		require.Len(t, left, 1, "what was counted is used up once it is pressed")
		assert.InDelta(t, 300, float64(*left[0].Left), 1e-6)
		assert.True(t, left[0].Taken)

		require.NoError(t, h.Fill(h.ctx, h.owner, Draw{FromID: pressing.ID, ToID: g.juice.ID, At: h.at(7, 0), Volume: ptr(syrup.Liters(85))}))
		juice, err := h.JuiceLeft(h.ctx)
		require.NoError(t, err)
		require.Len(t, juice, 2)
		assert.InDelta(t, 255, float64(*juice[0].Volume), 0.01)
		assert.InDelta(t, 85, float64(*juice[1].Volume), 0.01)
		assert.InDelta(t, 17, float64(*juice[1].Solids), 1e-9)
		sheet, err := h.TankSheetOf(h.ctx, g.juice.ID, h.at(8, 0))
		require.NoError(t, err)
		assert.False(t, sheet.Unknown)
		require.NotEmpty(t, sheet.Origin)
		assert.Equal(t, pressing.ID, sheet.Origin[0].ID)
		assert.InDelta(t, 1, float64(*sheet.Origin[0].Share), 1e-9)

		h.put(&WashOut{VesselID: g.juice.ID, At: h.at(9, 0)})
		sheet, err = h.TankSheetOf(h.ctx, g.juice.ID, h.at(10, 0))
		require.NoError(t, err)
		assert.Empty(t, sheet.Origin, "a wash-out leaves nothing behind")
		juice, err = h.JuiceLeft(h.ctx)
		require.NoError(t, err)
		assert.Len(t, juice, 1)
	})
}

func TestKettleQueries(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		last, err := LastInstrument(h.ctx, h, KindDensityReading, MeasuresDensity)
		require.NoError(t, err)
		require.NotNil(t, last, "the only one there is")
		assert.Equal(t, g.spindle.ID, last.ID)
		other := Instrument{Name: "Spindle 2", Measures: MeasuresDensity, Scale: syrup.ScaleBaume}
		h.put(&other)
		last, err = LastInstrument(h.ctx, h, KindDensityReading, MeasuresDensity)
		require.NoError(t, err)
		assert.Nil(t, last, "two, neither used yet")

		_, _, run := h.boiled(g)
		last, err = LastInstrument(h.ctx, h, KindDensityReading, MeasuresDensity)
		require.NoError(t, err)
		assert.Equal(t, g.spindle.ID, last.ID)
		_, err = LastInstrument(h.ctx, h, KindCut, MeasuresDensity)
		assert.Error(t, err)

		log, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		require.NotNil(t, log.DrawnOff)
		assert.Len(t, log.Readings, 1)
		require.NotNil(t, log.SolidsIn())
		assert.InDelta(t, 61.8, float64(*log.SolidsIn()), 0.5, "340 L of 17 % juice")
		assert.Nil(t, BoilLog{}.SolidsIn(), "no juice is not no solids")

		h.put(&BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntryTemperature, Temperature: ptr(syrup.Celsius(100))})
		later := run
		later.FireLitAt = later.FireLitAt.AddDate(0, 0, 1)
		past, err := boilsBefore(h.ctx, h, later)
		require.NoError(t, err)
		require.Len(t, past, 1)
		assert.Len(t, past[0].Entries, 2)
		past, err = boilsBefore(h.ctx, h, run)
		require.NoError(t, err)
		assert.Empty(t, past)

		heels, err := HeelsOf(h.ctx, h, g.kettle.ID)
		require.NoError(t, err)
		assert.Len(t, heels, 1)
		h.put(&WashOut{VesselID: g.kettle.ID, At: h.at(11, 30)})
		heels, err = HeelsOf(h.ctx, h, g.kettle.ID)
		require.NoError(t, err)
		assert.Empty(t, heels)
	})
}

// TestAfterDrawnOff: a reading in the cup may follow the drawing off by two hours, nothing else may follow it.
func TestAfterDrawnOff(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	reading := func(hour, minute int) error {
		return h.Write(h.ctx, h.owner, &DensityReading{OfID: run.ID, At: h.at(hour, minute), Stage: StageFinish, Reading: 39, Scale: syrup.ScaleBaume, Temperature: ptr(syrup.Celsius(20))})
	}
	h.clock = h.at(15, 0)
	assert.NoError(t, reading(13, 0))
	assert.ErrorAs(t, reading(13, 1), new(Invalid))
	note := func(hour, minute int) error {
		return h.Write(h.ctx, h.owner, &BoilEntry{RunID: run.ID, At: h.at(hour, minute), What: EntryNote, Note: "x"})
	}
	assert.NoError(t, note(11, 0), "at the very moment")
	assert.ErrorAs(t, note(11, 1), new(Invalid))
	assert.ErrorAs(t, note(6, 59), new(Invalid), "before the fire was lit")
	assert.NoError(t, note(7, 0))
}
