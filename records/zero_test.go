package records

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// water is a check of the probe in water that boils at 212 F.
func (g ground) water(at time.Time, read float64, passed bool) *InstrumentCheck {
	return &InstrumentCheck{InstrumentID: g.probe.ID, At: at, Method: MethodBoilingWater, Expected: 212, Read: read, Unit: "F", Passed: passed}
}

// zeroAt is how far off in F a reading of the probe at a moment is judged, and the error of a failed check where there is one.
func (h *season) zeroAt(g ground, at time.Time) (zero, failed *float64) {
	h.t.Helper()
	i, err := InstrumentFactsOf(h.ctx, h, &g.probe.ID, at)
	require.NoError(h.t, err)
	if i.Zero != nil {
		zero = ptr(float64(i.Zero.Off) * 9 / 5)
	}
	if i.Error != nil {
		failed = ptr(*i.Error * 9 / 5)
	}
	return zero, failed
}

// Which check gives the zero of a reading.
func TestZeroOfTheDay(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		for name, c := range map[string]struct {
			checks       []*InstrumentCheck
			at           time.Time
			zero, failed *float64
		}{
			"none":                              {nil, h.at(9, 0), nil, nil},
			"before the reading":                {[]*InstrumentCheck{g.water(h.at(6, 0), 213, true)}, h.at(9, 0), ptr(1.0), nil},
			"at the reading":                    {[]*InstrumentCheck{g.water(h.at(9, 0), 213, true)}, h.at(9, 0), ptr(1.0), nil},
			"the latest before":                 {[]*InstrumentCheck{g.water(h.at(5, 0), 213, true), g.water(h.at(8, 0), 210.5, true), g.water(h.at(10, 0), 212, true)}, h.at(9, 0), ptr(-1.5), nil},
			"the first after, where none is":    {[]*InstrumentCheck{g.water(h.at(10, 0), 213, true), g.water(h.at(11, 0), 214, true)}, h.at(9, 0), ptr(1.0), nil},
			"the evening before":                {[]*InstrumentCheck{g.water(h.at(-1, 0), 213, true)}, h.at(9, 0), nil, nil},
			"late in the house day, UTC is on":  {[]*InstrumentCheck{g.water(h.at(6, 0), 213, true)}, h.at(11, 59), ptr(1.0), nil},
			"ice gives none":                    {[]*InstrumentCheck{{InstrumentID: g.probe.ID, At: h.at(6, 0), Method: "ice", Expected: 32, Read: 33, Unit: "F", Passed: true}}, h.at(9, 0), nil, nil},
			"a failed one gives its error":      {[]*InstrumentCheck{g.water(h.at(6, 0), 215, false)}, h.at(9, 0), nil, ptr(3.0)},
			"one that failed later":             {[]*InstrumentCheck{g.water(h.at(6, 0), 213, true), g.water(h.at(10, 0), 215, false)}, h.at(9, 0), ptr(1.0), ptr(3.0)},
			"passed again after it":             {[]*InstrumentCheck{g.water(h.at(6, 0), 215, false), g.water(h.at(7, 0), 212.5, true)}, h.at(9, 0), ptr(0.5), nil},
			"failed before, passes after":       {[]*InstrumentCheck{g.water(h.at(6, 0), 215, false), g.water(h.at(10, 0), 212.5, true)}, h.at(9, 0), ptr(0.5), ptr(3.0)},
			"in Celsius":                        {[]*InstrumentCheck{{InstrumentID: g.probe.ID, At: h.at(6, 0), Method: MethodBoilingWater, Expected: 100, Read: 101, Unit: "C", Passed: true}}, h.at(9, 0), ptr(1.8), nil},
			"a failed ice check replaces it as": {[]*InstrumentCheck{g.water(h.at(6, 0), 213, true), {InstrumentID: g.probe.ID, At: h.at(10, 0), Method: "ice", Expected: 32, Read: 30, Unit: "F"}}, h.at(9, 0), ptr(1.0), ptr(-2.0)},
		} {
			t.Run(name, func(t *testing.T) {
				for _, k := range c.checks {
					h.put(k)
					defer func() { require.NoError(t, h.Strike(h.ctx, h.owner, k.ID, "the next case")) }()
				}
				zero, failed := h.zeroAt(g, c.at)
				same := func(want, got *float64) {
					if want == nil {
						assert.Nil(t, got)
					} else if assert.NotNil(t, got) {
						assert.InDelta(t, *want, *got, 1e-9)
					}
				}
				same(c.zero, zero)
				same(c.failed, failed)
			})
		}
	})
}

// heldBy lists the codes that hold a part.
func (h *season) heldBy(part Part) (string, []string) {
	h.t.Helper()
	judged, err := JudgePart(h.ctx, h, part.ID)
	require.NoError(h.t, err)
	var codes []string
	for _, f := range judged.Findings {
		if f.Level >= hazards.Hold {
			codes = append(codes, f.Code)
		}
	}
	return judged.Shelf.State, codes
}

// A released part is judged again when the day's zero is written: bottles of 181 and 186 F by a probe that reads 2 F high are
// 179 and 184 F, and the part is held. The record says 181 F still. Struck, the check bears on nothing.
func TestZeroHoldsAReleasedPart(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, lot, part := h.released(g)
		check, err := List[FillCheck](h.ctx, h, "lot_id = ? ORDER BY at", lot.ID)
		require.NoError(t, err)
		first := check[0]
		first.Bottle, first.BottleEntered = ptr(syrup.Fahrenheit(181).Celsius()), "181 F"
		require.NoError(t, h.Amend(h.ctx, h.owner, &first, "read the wrong line"))
		state, codes := h.heldBy(part)
		assert.Equal(t, StateReleased, state)
		assert.Empty(t, codes)

		high := g.water(h.at(5, 30), 214, true)
		h.put(high)
		state, codes = h.heldBy(part)
		assert.Equal(t, StateHeld, state)
		assert.Equal(t, []string{"fill.below_limit"}, codes)
		kept, err := Get[FillCheck](h.ctx, h, first.ID)
		require.NoError(t, err)
		assert.Equal(t, "181 F", kept.BottleEntered)
		assert.InDelta(t, 181, float64(kept.Bottle.Fahrenheit()), 1e-9)
		judged, err := JudgePart(h.ctx, h, part.ID)
		require.NoError(t, err)
		assert.Contains(t, judged.Findings[0].Words("en", "us").What, "Probe 1 read 181.0 °F; corrected by -2.0 °F for its zero of that day.")

		require.NoError(t, h.Strike(h.ctx, h.owner, high.ID, "another probe"))
		_, codes = h.heldBy(part)
		assert.Empty(t, codes)
	})
}

// A zero that reads low lifts a bottle; a check that fails replaces the zero and gives no credit.
func TestFailedCheckReplacesTheZero(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, lot, part := h.released(g)
	h.put(g.water(h.at(5, 30), 210, true))
	check := h.checkFillNow(g, lot, 179)
	_, codes := h.heldBy(part)
	assert.Empty(t, codes, "179 F by a probe 2 F low is 181 F")
	h.put(g.water(h.at(11, 58), 209, false))
	state, codes := h.heldBy(part)
	assert.Equal(t, StateHeld, state)
	assert.Equal(t, []string{"fill.below_limit"}, codes, "the zero's credit is gone, and no other is given")
	kept, err := Get[FillCheck](h.ctx, h, check.ID)
	require.NoError(t, err)
	assert.InDelta(t, 179, float64(kept.Bottle.Fahrenheit()), 1e-9)
}

// checkFillNow amends the last fill check to another temperature.
func (h *season) checkFillNow(g ground, lot Lot, f syrup.Fahrenheit) FillCheck {
	h.t.Helper()
	checks, err := List[FillCheck](h.ctx, h, "lot_id = ? ORDER BY at DESC", lot.ID)
	require.NoError(h.t, err)
	last := checks[0]
	last.Bottle = ptr(f.Celsius())
	require.NoError(h.t, h.Amend(h.ctx, h.owner, &last, "read the wrong line"))
	return last
}

// A check amended to another day lets go of the day it stood on: the part is judged without it.
func TestAmendedZeroIsJudgedOnBothDays(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	low := g.water(h.at(5, 30), 210, true)
	h.put(low)
	_, lot, part := h.released(g)
	h.checkFillNow(g, lot, 179)
	state, _ := h.heldBy(part)
	assert.Equal(t, StateReleased, state)
	low.At = h.at(-30, 0)
	require.NoError(t, h.Amend(h.ctx, h.owner, low, "it was the day before"))
	state, codes := h.heldBy(part)
	assert.Equal(t, StateHeld, state)
	assert.Equal(t, []string{"fill.below_limit"}, codes)
}

// The thermometer of a density reading's temperature is one of the instruments a lot is reached from, and its zero is taken
// off that temperature.
func TestThermometerOfADensityReading(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		run, lot, _ := h.released(g)
		readings, err := List[DensityReading](h.ctx, h, "of_id = ?", run.ID)
		require.NoError(t, err)
		plain, err := SolidsOf(h.ctx, h, readings[0])
		require.NoError(t, err)
		other := Instrument{Name: "Cup probe", Measures: MeasuresTemperature, ReadsIn: "F"}
		h.put(&other)
		readings[0].ThermometerID = &other.ID
		require.NoError(t, h.Amend(h.ctx, h.owner, &readings[0], "the cup's own"))
		k := g.water(h.at(5, 30), 216, true)
		k.InstrumentID = other.ID
		h.put(k)
		judged, err := SolidsOf(h.ctx, h, readings[0])
		require.NoError(t, err)
		assert.InDelta(t, 4*0.05, float64(plain.Percent-judged.Percent), 0.02, "about 0.05 %% a degree F (physics.md 3)")
		lots, err := LotsUsing(h.ctx, h, other.ID, firstDay)
		require.NoError(t, err)
		assert.Equal(t, []string{lot.ID}, lots)
		used, err := instrumentsOf(h.ctx, h, run.ID)
		require.NoError(t, err)
		assert.Contains(t, used, other.ID)
	})
}
