package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// zeroed is the fill probe with a zero of the day in F; a failed check's error too, where it has one.
func zeroed(off syrup.FahrenheitDelta, failed *syrup.FahrenheitDelta) *InstrumentFacts {
	i := *probe
	i.Zero = &ZeroFacts{CheckID: "k1", At: clock(5, 30), Water: syrup.Fahrenheit(211.8).Celsius(), Off: off.Celsius()}
	if failed != nil {
		i.Error = ptr(float64(failed.Celsius()))
	}
	return &i
}

// A bottle is judged with the probe's zero of the day, and the record goes on saying what was read. The limit itself is met:
// 182 F less 2 F is 180 F.
func TestDaysZeroAtTheCappingLimit(t *testing.T) {
	for name, c := range map[string]struct {
		read   syrup.Fahrenheit
		off    syrup.FahrenheitDelta
		failed *syrup.FahrenheitDelta
		judged syrup.Fahrenheit
		held   bool
		why    string
	}{
		"high probe, above the limit as read": {181, 2, nil, 179, true, CorrectedZero},
		"high probe, at the limit":            {182, 2, nil, 180, false, CorrectedZero},
		"high probe, a tenth below":           {181.9, 2, nil, 179.9, true, CorrectedZero},
		"high probe, a tenth above":           {182.1, 2, nil, 180.1, false, CorrectedZero},
		"low probe, below the limit as read":  {179, -2, nil, 181, false, CorrectedZero},
		"low probe, at the limit":             {178, -2, nil, 180, false, CorrectedZero},
		"low probe, a tenth below":            {177.9, -2, nil, 179.9, true, CorrectedZero},
		"true probe":                          {180, 0, nil, 180, false, ""},
		"a failed check replaces the zero":    {182, 2, ptr(syrup.FahrenheitDelta(1)), 181, false, CorrectedFailed},
		"and is not added to it":              {183, 2, ptr(syrup.FahrenheitDelta(2)), 181, false, CorrectedFailed},
		"failed low gives no credit":          {179, -2, ptr(syrup.FahrenheitDelta(-2)), 179, true, ""},
		"failed low keeps no zero either":     {181, 2, ptr(syrup.FahrenheitDelta(-1)), 181, false, ""},
	} {
		t.Run(name, func(t *testing.T) {
			check := bottle("f1", clock(13, 30), degF(c.read))
			check.Instrument = zeroed(c.off, c.failed)
			var found *Finding
			held := false
			for _, f := range JudgeFill(referenceFilling(check), rules) {
				switch f.Code {
				case "fill.below_no_house_limit":
					found, held = &f, true
				case "fill.met", "fill.near_limit":
					found = &f
				}
			}
			require.NotNil(t, found)
			assert.Equal(t, c.held, held)
			assert.InDelta(t, float64(c.judged.Celsius()), found.Measured.Number, 1e-9)
			assert.Equal(t, *degF(c.read), *check.Bottle, "raw stays raw")
			if c.why == "" {
				assert.Empty(t, found.Corrections)
				return
			}
			require.Len(t, found.Corrections, 1)
			assert.Equal(t, c.why, found.Corrections[0].Why)
			assert.Equal(t, degrees(*degF(c.read)), found.Corrections[0].Read)
			assert.InDelta(t, float64(syrup.FahrenheitDelta(c.judged-c.read).Celsius()), found.Corrections[0].By.Number, 1e-9)
		})
	}
}

func TestCorrectionIsSaid(t *testing.T) {
	check := bottle("f1", clock(13, 30), degF(181))
	check.Instrument = zeroed(2, nil)
	f := ordered(JudgeFill(referenceFilling(check), rules))[0]
	assert.Contains(t, f.Words(text.English, US).What, "probe 2 read 181.0 °F; corrected by -2.0 °F for its zero of that day.")
	assert.Contains(t, f.Words(text.Spanish, Metric).What, "probe 2 marcó 82.8 °C; se corrige -1.1 °C por su cero de ese día.")
	low := bottle("f1", clock(13, 30), degF(179))
	low.Instrument = zeroed(-2, nil)
	f = ordered(JudgeFill(referenceFilling(low), rules))[0]
	assert.Contains(t, f.Words(text.English, US).What, "corrected by +2.0 °F for its zero of that day.")
}

// A zero found in boiling water is for hot work: a cool reading stands as read.
func TestZeroIsForHotWork(t *testing.T) {
	i := zeroed(2, nil)
	assert.Equal(t, syrup.Celsius(20), i.Temperature(20))
	assert.Equal(t, syrup.Celsius(49.999), i.Temperature(49.999))
	assert.InDelta(t, 50-10.0/9, float64(i.Temperature(50)), 1e-9)
	var none *InstrumentFacts
	assert.Equal(t, syrup.Celsius(90), none.Temperature(90))
	assert.Equal(t, syrup.Celsius(90), none.Shows(90))
	assert.InDelta(t, 90+10.0/9, float64(i.Shows(90)), 1e-9)
	assert.InDelta(t, 90, float64(i.Temperature(i.Shows(90))), 1e-9)
}

// The temperature of a hydrometer reading takes its thermometer's zero: 33.5 Be read at 220 F by a probe 4 F high is 33.5 Be
// at 216 F. 69.92 and 70.19 % at 215 and 220 F are the table of physics.md 3, stem 60F (regression: our own model).
func TestZeroOfTheCupsThermometer(t *testing.T) {
	r := spindled(StageFinish, 33.5, degF(220))
	plain, err := r.Solids()
	require.NoError(t, err)
	assert.InDelta(t, 70.19, float64(plain.Percent), 0.005)
	r.Thermometer = zeroed(5, nil)
	judged, err := r.Solids()
	require.NoError(t, err)
	assert.InDelta(t, 69.92, float64(judged.Percent), 0.005)
	f := JudgeIdentity(IdentityFacts{ID: "run", Stage: StageFinish, Readings: []ReadingFacts{r}}, rules)[0]
	require.Len(t, f.Corrections, 1)
	assert.Equal(t, degrees(*degF(220)), f.Corrections[0].Read)
	cold := spindled(StageLot, 39, degF(68))
	cold.Thermometer = zeroed(5, nil)
	assert.Nil(t, cold.Correction())
	drop := refracted(StageLot, 75)
	drop.Temperature, drop.Thermometer = ptr(syrup.Celsius(60)), zeroed(5, nil)
	assert.Nil(t, drop.Correction(), "a refractometer's drop is read as it is")
}

// In the comparison of density and boiling point the zero falls out of the difference; a check that failed later replaces
// it, and the rise counts from the pressure.
func TestCompareWithTheDaysZero(t *testing.T) {
	seaLevel := syrup.StandardPressure
	water, err := syrup.WaterBoiling(seaLevel)
	require.NoError(t, err)
	two := syrup.FahrenheitDelta(2).Celsius()
	f := compared(riseOf(74))
	f.Boiling.Pressure = &seaLevel
	read := water + syrup.Celsius(two)
	f.Boiling.Water, f.Boiling.Syrup = &read, read+syrup.Celsius(riseOf(74))
	f.Boiling.Thermometer = zeroed(2, nil)
	got, ok := Compare(f, Rules{})
	require.True(t, ok)
	assert.InDelta(t, 74, float64(got.Boiling.Percent), 0.01)
	assert.InDelta(t, float64(riseOf(74)), float64(got.Rise), 1e-9)

	f.Boiling.Thermometer = zeroed(2, ptr(syrup.FahrenheitDelta(3)))
	got, ok = Compare(f, Rules{})
	require.True(t, ok)
	assert.InDelta(t, float64(riseOf(74)+two-syrup.FahrenheitDelta(3).Celsius()), float64(got.Rise), 1e-9, "read less the error found, less the water of the pressure")
	assert.Equal(t, FirstNone, got.First)

	f.Boiling.Thermometer = zeroed(2, nil)
	f.Boiling.Syrup += 3
	found := JudgeComparison(f, Rules{})
	require.Len(t, found, 1)
	require.Len(t, found[0].Corrections, 1)
	assert.Equal(t, CorrectedZero, found[0].Corrections[0].Why)
}

// A marked difference of arithmetic is noise; a real one is not.
func TestSettled(t *testing.T) {
	limit := syrup.Fahrenheit(180).Celsius()
	assert.Equal(t, limit, settled(limit-1e-12))
	assert.Equal(t, syrup.Celsius(82), settled(82+1e-12))
	assert.NotEqual(t, limit, settled(limit-1e-8))
}
