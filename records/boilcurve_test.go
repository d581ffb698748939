package records

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// logged writes a temperature of a run in F, by an instrument where one is given.
func (h *season) logged(run Run, at time.Time, f syrup.Fahrenheit, by *string) {
	h.t.Helper()
	h.put(&BoilEntry{RunID: run.ID, At: at, What: EntryTemperature, Temperature: ptr(f.Celsius()), InstrumentID: by})
}

// curveOf is the picture of a run at noon.
func (h *season) curveOf(run Run) BoilCurve {
	h.t.Helper()
	log, err := BoilLogOf(h.ctx, h, run.ID)
	require.NoError(h.t, err)
	curve, err := BoilCurveOf(h.ctx, h, log, h.clock)
	require.NoError(h.t, err)
	return curve
}

// The rise counts with the zero of each thermometer's own day, else from the height, else from sea level; readings that cannot
// be used are left out.
func TestBoilCurve(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
		require.NoError(t, h.StartRun(h.ctx, h.owner, &run, nil))
		assert.True(t, h.curveOf(run).Empty())
		h.logged(run, h.at(9, 0), 224, &g.probe.ID)
		h.logged(run, h.at(9, 30), 225, nil)
		h.put(&DensityReading{OfID: run.ID, At: h.at(9, 31), Stage: StageBoil, Reading: 36, Scale: syrup.ScaleBaume, Temperature: ptr(syrup.Celsius(106)), InstrumentID: &g.spindle.ID},
			&DensityReading{OfID: run.ID, At: h.at(9, 32), Stage: StageBoil, Reading: 36, Scale: syrup.ScaleBaume, InstrumentID: &g.spindle.ID})

		c := h.curveOf(run)
		require.Len(t, c.Rises, 2)
		assert.True(t, c.Water.SeaLevel())
		assert.True(t, c.Unchecked)
		assert.InDelta(t, 12, float64(c.Rises[0].Above)*9/5, 0.06, "water boils at 212.0 F at sea level (physics.md 5)")
		assert.Equal(t, 120.0, c.Rises[0].Minute)
		require.Len(t, c.Solids, 1, "the one without a temperature cannot be used")
		assert.Len(t, c.Estimated, 2)
		require.NotNil(t, c.RiseLow)
		assert.InDelta(t, 12.1, float64(*c.RiseLow)*9/5, 0.1, "75 %, pure sucrose: 224.1 F at sea level (physics.md 5)")
		assert.InDelta(t, 14.7, float64(*c.RiseHigh)*9/5, 0.1, "30 % inverted, 1.5 % ash: 226.7 F")

		h.put(g.water(h.at(5, 0), 213.5, true))
		c = h.curveOf(run)
		assert.InDelta(t, 10.5, float64(c.Rises[0].Above)*9/5, 1e-6, "224 less 1.5 less 212: what it read in water falls out")
		assert.InDelta(t, 13, float64(c.Rises[1].Above)*9/5, 0.06, "the other thermometer is not known")
		assert.True(t, c.Unchecked)
		assert.Equal(t, "Probe 1", c.Checked)
		require.NotNil(t, c.Water.Zero)

		h.put(g.water(h.at(10, 0), 216, false))
		c = h.curveOf(run)
		assert.True(t, c.Failed)
		assert.InDelta(t, 224-4-212, float64(c.Rises[0].Above)*9/5, 1e-6, "the failed check replaces the zero")
	})
}

// The time the fire was out is a gap; an open one lasts till now.
func TestBoilCurveGap(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(t, h.StartRun(h.ctx, h.owner, &run, nil))
	h.put(&BoilEntry{RunID: run.ID, At: h.at(8, 0), What: EntryFireOut})
	h.put(&BoilEntry{RunID: run.ID, At: h.at(8, 40), What: EntryRelit})
	h.put(&BoilEntry{RunID: run.ID, At: h.at(11, 0), What: EntryFireOut})
	c := h.curveOf(run)
	require.Len(t, c.Out, 2)
	assert.Equal(t, 60.0, c.Out[0].From)
	assert.Equal(t, 100.0, c.Out[0].To)
	assert.Equal(t, 240.0, c.Out[1].From)
	assert.Equal(t, 300.0, c.Out[1].To, "noon is now")
}

// Past boils are those of the kettle before this one, drawn off as syrup; and a picture is made of a bounded number of queries.
func TestBoilCurvePast(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	var runs []Run
	for day := range 3 {
		h.clock = noon.AddDate(0, 0, day-3)
		run := Run{KettleID: g.kettle.ID, FireLitAt: h.clock.Add(-4 * time.Hour)}
		require.NoError(t, h.StartRun(h.ctx, h.owner, &run, nil))
		h.logged(run, h.clock.Add(-2*time.Hour), 214, &g.probe.ID)
		drawn := BoilEntry{RunID: run.ID, At: h.clock.Add(-time.Hour), Volume: ptr(syrup.Liters(56)), VolumeEntered: "56 L", Temperature: ptr(syrup.Celsius(107))}
		require.NoError(t, h.DrawOff(h.ctx, h.owner, &drawn, ""))
		runs = append(runs, run)
	}
	h.clock = noon
	last := h.curveOf(runs[2])
	require.Len(t, last.Past, 2)
	assert.Len(t, last.Past[0].Rises, 2)
	assert.Contains(t, last.Read, runs[0].ID, "what the band is made of counts for a document's head")
	assert.NotContains(t, last.Read, runs[2].ID)
	assert.Empty(t, h.curveOf(runs[0]).Past, "later boils are not past ones")
}

// A logger's points, when there are any, are drawn; without temperatures written down the solids are estimated from them.
func TestBoilCurveLogged(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	run := Run{KettleID: g.kettle.ID, FireLitAt: h.at(7, 0)}
	require.NoError(t, h.StartRun(h.ctx, h.owner, &run, nil))
	log, err := BoilLogOf(h.ctx, h, run.ID)
	require.NoError(t, err)
	log.Logged = []LoggedPoint{{At: h.at(8, 0), Temperature: syrup.Fahrenheit(212).Celsius()}, {At: h.at(9, 0), Temperature: syrup.Fahrenheit(224).Celsius(), InstrumentID: &g.probe.ID}}
	c, err := BoilCurveOf(h.ctx, h, log, h.clock)
	require.NoError(t, err)
	require.Len(t, c.Logged, 2)
	assert.InDelta(t, 12, float64(c.Logged[1].Above)*9/5, 0.06)
	assert.Len(t, c.Estimated, 1)
	assert.False(t, c.Empty())
}
