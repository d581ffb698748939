package records

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// TestFinishFacts: a second boil of a kettle, the day after the first, with everything a log may hold that bears on its end.
func TestFinishFacts(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		pressing, _, first := h.boiled(g)
		_ = pressing
		h.put(&BoilEntry{RunID: first.ID, At: h.at(7, 20), What: EntryTemperature, Temperature: ptr(syrup.Celsius(60)), InstrumentID: &g.probe.ID},
			&BoilEntry{RunID: first.ID, At: h.at(7, 45), What: EntryTemperature, Temperature: ptr(syrup.Celsius(100.2)), InstrumentID: &g.probe.ID},
			&BoilEntry{RunID: first.ID, At: h.at(9, 0), What: EntryFireOut}, &BoilEntry{RunID: first.ID, At: h.at(9, 30), What: EntryRelit},
			&DensityReading{OfID: first.ID, At: h.at(10, 30), Stage: StageBoil, Reading: 30, Scale: syrup.ScaleBaume, Temperature: ptr(syrup.Celsius(102)), InstrumentID: &g.spindle.ID})

		at := func(hour, minute int) time.Time { return h.at(hour, minute).Add(24 * time.Hour) }
		h.clock = at(10, 0)
		cut := Cut{PlantingID: g.planting.ID, CutOn: "2025-12-06", Harvester: "Ben Oak", Mass: ptr(syrup.Kilograms(700))}
		h.put(&cut)
		juice := Pressing{SiteID: h.site.ID, StartedAt: at(5, 30), EndedAt: ptr(at(6, 0)), Volume: ptr(syrup.Liters(320)), Brix: ptr(syrup.Brix(16)), Temperature: ptr(syrup.Celsius(20))}
		require.NoError(t, h.RecordPressing(h.ctx, h.owner, &juice, []Draw{{FromID: cut.ID}}))
		run := Run{KettleID: g.kettle.ID, FireLitAt: at(7, 0)}
		require.NoError(t, h.StartRun(h.ctx, h.owner, &run, []Draw{{FromID: juice.ID}}))
		h.put(&InstrumentCheck{InstrumentID: g.probe.ID, At: at(6, 30), Method: MethodBoilingWater, Expected: 212, Read: 213, Unit: "F", Passed: true},
			&BoilEntry{RunID: run.ID, At: at(8, 0), What: EntryTemperature, Temperature: ptr(syrup.Celsius(101)), InstrumentID: &g.probe.ID},
			&BoilEntry{RunID: run.ID, At: at(8, 10), What: EntryTemperature, Temperature: ptr(syrup.Celsius(101)), Volume: ptr(syrup.Liters(270))},
			&BoilEntry{RunID: run.ID, At: at(8, 30), What: EntryFireOut}, &BoilEntry{RunID: run.ID, At: at(8, 40), What: EntryRelit},
			&DensityReading{OfID: run.ID, At: at(9, 30), Stage: StageBoil, Reading: 15, Scale: syrup.ScaleBaume, Temperature: ptr(syrup.Celsius(98)), InstrumentID: &g.spindle.ID},
			&DensityReading{OfID: run.ID, At: at(9, 31), Stage: StageBoil, Reading: 15, Scale: syrup.ScaleBaume},
			&Addition{ToID: run.ID, At: at(8, 50), Substance: "Well water", Use: "water", Amount: ptr(syrup.Grams(5000))},
			&Addition{ToID: run.ID, At: at(8, 51), Substance: "Thin syrup of last week", Use: "syrup", Amount: ptr(syrup.Grams(4000))})

		log, err := BoilLogOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		f, err := FinishFactsOf(h.ctx, h, log, 74, at(9, 40))
		require.NoError(t, err)
		require.Len(t, f.In, 1)
		assert.InDelta(t, 340.2, float64(*f.In[0].Mass), 0.5, "320 L at 1063.5 kg/m3 (physics.md 1)")
		assert.InDelta(t, 54.4, float64(*f.In[0].Solids), 0.1)
		assert.Equal(t, []hazards.FireChange{{At: at(8, 30)}, {At: at(8, 40), Lit: true}}, f.Fires)
		require.Len(t, f.Temperatures, 2)
		require.NotNil(t, f.Temperatures[0].Water, "held in boiling water that day")
		assert.InDelta(t, 213, float64(f.Temperatures[0].Water.Fahrenheit()), 1e-6)
		assert.Nil(t, f.Temperatures[1].Water, "no thermometer named")
		assert.Len(t, f.Volumes, 1)
		require.Len(t, f.Readings, 1, "a reading without its temperature is kept and not counted")
		assert.Equal(t, []hazards.KettleWater{{At: at(8, 50), Mass: 5}}, f.Water)
		assert.Equal(t, []string{"Thin syrup of last week"}, f.Uncounted)

		require.Len(t, f.Past, 1)
		past := f.Past[0]
		assert.Equal(t, 210*time.Minute, past.Took, "four hours less the half hour without fire")
		require.NotNil(t, past.WarmUp)
		assert.InDelta(t, 42, past.WarmUp.Minutes(), 5)
		require.NotNil(t, past.ThickAt)
		assert.Equal(t, 30*time.Minute, past.ThickTook)

		finish, err := EstimateFinish(h.ctx, h, log, 74, at(9, 40))
		require.NoError(t, err)
		assert.Equal(t, hazards.FinishBoiling, finish.State, finish.Reason)
		assert.Equal(t, 1, finish.Past)
		assert.True(t, finish.Early.Before(finish.At) && finish.At.Before(finish.Late))
	})
}

// TestFinishOfNothing: a run of which nobody wrote what went in has no time.
func TestFinishOfNothing(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(t, h.StartRun(h.ctx, h.owner, &run, nil))
	log, err := BoilLogOf(h.ctx, h, run.ID)
	require.NoError(t, err)
	finish, err := EstimateFinish(h.ctx, h, log, 74, h.at(8, 0))
	require.NoError(t, err)
	assert.Equal(t, hazards.FinishNoSolids, finish.Reason)
	_, ok, err := DrawnOffFactsOf(h.ctx, h, log)
	require.NoError(t, err)
	assert.False(t, ok, "it boils yet")
}

// TestFailedThermometer: the error a failed check found is taken off, and the day's water is not believed.
func TestFailedThermometer(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	h.clock = h.at(16, 0)
	h.put(&BoilEntry{RunID: run.ID, At: h.at(9, 0), What: EntryTemperature, Temperature: ptr(syrup.Celsius(103)), InstrumentID: &g.probe.ID},
		&InstrumentCheck{InstrumentID: g.probe.ID, At: h.at(15, 0), Method: MethodBoilingWater, Expected: 100, Read: 102, Unit: "C"})
	log, err := BoilLogOf(h.ctx, h, run.ID)
	require.NoError(t, err)
	f, err := FinishFactsOf(h.ctx, h, log, 74, h.at(10, 0))
	require.NoError(t, err)
	require.Len(t, f.Temperatures, 1)
	assert.InDelta(t, 101, float64(f.Temperatures[0].Temperature), 1e-9)
	assert.Nil(t, f.Temperatures[0].Water)
}

// TestDrawnOffFacts: what should have come of a run beside what was drawn off.
func TestDrawnOffFacts(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	log, err := BoilLogOf(h.ctx, h, run.ID)
	require.NoError(t, err)
	f, ok, err := DrawnOffFactsOf(h.ctx, h, log)
	require.NoError(t, err)
	require.True(t, ok)
	assert.InDelta(t, 61.8, float64(f.SolidsIn), 0.5, "340 L of 17 % juice")
	assert.Zero(t, f.Elsewhere)
	require.NotNil(t, f.Drawn)
	b, ok := hazards.BalanceDrawnOff(f)
	require.True(t, ok)
	require.NotNil(t, b.Rest)
	assert.InDelta(t, float64(b.Expected-*f.Drawn), float64(*b.Rest), 1e-9)
}
