package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// compared is a finish of which the density says 74 % and the boiling point as much as the rise (C) makes it, pure sucrose.
func compared(rise syrup.CelsiusDelta) CompareFacts {
	at := syrup.Celsius(20)
	none, water := syrup.Fraction(0), syrup.Celsius(100)
	reading, err := syrup.Hydrometer{}.Reading(syrup.ScaleBrix, 74, at)
	if err != nil {
		panic(err)
	}
	return CompareFacts{ID: "run1", Name: "25341K2", Inverted: &none, Ash: &none,
		Density: ReadingFacts{ID: "r1", Stage: StageFinish, Reading: reading, Scale: syrup.ScaleBrix, Temperature: &at},
		Boiling: BoilingFacts{Syrup: water + syrup.Celsius(rise), Water: &water}}
}

// riseOf is how far a syrup of pure sucrose boils above water that boils at 100 C.
func riseOf(solids syrup.Brix) syrup.CelsiusDelta {
	p, err := syrup.SaturationPressure(100)
	if err != nil {
		panic(err)
	}
	b, err := syrup.SyrupBoiling(syrup.Composition{Solids: solids}, p)
	if err != nil {
		panic(err)
	}
	return b.Rise
}

func TestCompareAtTheLimit(t *testing.T) {
	for boiled, want := range map[syrup.Brix]First{
		74: FirstNone, 71.001: FirstNone, 76.999: FirstNone, 70.999: FirstHydrometer, 77.001: FirstHydrometer, 66: FirstHydrometer,
	} {
		c, ok := Compare(compared(riseOf(boiled)), Rules{})
		require.True(t, ok)
		assert.Equal(t, want, c.First, "%v %%", boiled)
		assert.InDelta(t, 74, float64(c.Density.Percent), 1e-6)
		assert.InDelta(t, float64(boiled), float64(c.Boiling.Percent), 1e-5)
	}
	f := compared(riseOf(74))
	limits, err := NewLimits(Limit{Code: LimitCompare, Value: 1, Unit: UnitSolids})
	require.NoError(t, err)
	f.Boiling.Syrup += 1
	strict, ok := Compare(f, Rules{Limits: limits})
	require.True(t, ok)
	assert.Equal(t, FirstHydrometer, strict.First, "a stricter house asks sooner")
}

// Which instrument is asked about first.
func TestCompareAsksTheLikelierInstrument(t *testing.T) {
	off := 2.0
	seaLevel := syrup.StandardPressure
	moved := func(f syrup.FahrenheitDelta) *syrup.Celsius {
		water, err := syrup.WaterBoiling(seaLevel)
		require.NoError(t, err)
		water += syrup.Celsius(f.Celsius())
		return &water
	}
	for _, c := range []struct {
		name   string
		change func(f *CompareFacts)
		want   First
	}{
		{"boiling water was read", func(f *CompareFacts) {}, FirstHydrometer},
		{"and agrees with the pressure, just", func(f *CompareFacts) { f.Boiling.Pressure, f.Boiling.Water = &seaLevel, moved(1.999) }, FirstHydrometer},
		{"and is off by more", func(f *CompareFacts) { f.Boiling.Pressure, f.Boiling.Water = &seaLevel, moved(2.001) }, FirstThermometer},
		{"and is off below", func(f *CompareFacts) { f.Boiling.Pressure, f.Boiling.Water = &seaLevel, moved(-2.001) }, FirstThermometer},
		{"no boiling water, pressure only", func(f *CompareFacts) { f.Boiling.Pressure, f.Boiling.Water = &seaLevel, nil }, FirstThermometer},
		{"the hydrometer failed a check", func(f *CompareFacts) {
			f.Boiling.Pressure, f.Boiling.Water = &seaLevel, nil
			f.Density.Instrument = &InstrumentFacts{Measures: MeasuresDensity, Error: &off}
		}, FirstHydrometer},
		{"the thermometer failed a check", func(f *CompareFacts) {
			f.Boiling.Thermometer = &InstrumentFacts{Measures: MeasuresTemperature, Error: &off}
		}, FirstThermometer},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := compared(riseOf(66))
			c.change(&f)
			got, ok := Compare(f, Rules{})
			require.True(t, ok)
			assert.Equal(t, c.want, got.First)
			findings := JudgeComparison(f, Rules{})
			require.Len(t, findings, 1)
			assert.Equal(t, "compare."+string(c.want)+"_first", findings[0].Code)
			assert.Equal(t, Check, findings[0].Level, "modelled values are a check at most")
		})
	}
}

func TestTooFarOff(t *testing.T) {
	limit := syrup.FahrenheitDelta(2).Celsius()
	assert.False(t, tooFarOff(limit))
	assert.False(t, tooFarOff(-limit))
	assert.True(t, tooFarOff(limit+1e-9))
	assert.True(t, tooFarOff(-limit-1e-9))
}

// What cannot be compared says nothing: unknown is not agreement and not disagreement.
func TestCompareNeedsBoth(t *testing.T) {
	for name, change := range map[string]func(f *CompareFacts){
		"no temperature of the reading":    func(f *CompareFacts) { f.Density.Temperature = nil },
		"reading outside the model":        func(f *CompareFacts) { f.Density.Reading = 99 },
		"neither water nor pressure":       func(f *CompareFacts) { f.Boiling.Water = nil },
		"water far from boiling":           func(f *CompareFacts) { cold := syrup.Celsius(50); f.Boiling.Water = &cold },
		"pressure of no place":             func(f *CompareFacts) { p := syrup.Kilopascals(10); f.Boiling.Water, f.Boiling.Pressure = nil, &p },
		"syrup boils below water":          func(f *CompareFacts) { f.Boiling.Syrup = 99 },
		"a share of invert that is no one": func(f *CompareFacts) { much := syrup.Fraction(30); f.Inverted = &much },
	} {
		t.Run(name, func(t *testing.T) {
			f := compared(riseOf(66))
			change(&f)
			_, ok := Compare(f, Rules{})
			assert.False(t, ok)
			assert.Empty(t, JudgeComparison(f, Rules{}))
		})
	}
}

// Without a laboratory the usual composition is taken and said; it moves the estimate by no more than the 1.5 % claimed.
func TestCompareAssumesTheUsualComposition(t *testing.T) {
	f := compared(riseOf(74))
	measured, ok := Compare(f, Rules{})
	require.True(t, ok)
	assert.False(t, measured.Assumed)
	f.Ash = nil
	half, ok := Compare(f, Rules{})
	require.True(t, ok)
	assert.True(t, half.Assumed)
	f.Inverted = nil
	assumed, ok := Compare(f, Rules{})
	require.True(t, ok)
	assert.True(t, assumed.Assumed)
	assert.Less(t, assumed.Boiling.Percent, measured.Boiling.Percent, "invert and ash boil hotter")
	assert.Equal(t, syrup.RiseUncertainty, assumed.Boiling.Uncertainty)
}

func TestRunIsJudgedByItsComparison(t *testing.T) {
	f := compared(riseOf(66))
	codes := func(r RunFacts) (list []string) {
		for _, found := range JudgeRun(r, Rules{}) {
			list = append(list, found.Code)
		}
		return list
	}
	assert.Contains(t, codes(RunFacts{ID: "run1", Finish: &f}), "compare.hydrometer_first")
	assert.NotContains(t, codes(RunFacts{ID: "run1"}), "compare.hydrometer_first")
}

func TestCompareWords(t *testing.T) {
	for _, f := range compareExamples() {
		for _, lang := range text.Languages() {
			w := f.Words(lang, US)
			assert.NotContains(t, w.What+w.Why+w.Next, "⟦")
			assert.NotContains(t, w.What+w.Why+w.Next, "<no value>")
		}
	}
}

// compareExamples are the two findings of a comparison.
func compareExamples() []Finding {
	hydrometer, thermometer := compared(riseOf(66)), compared(riseOf(66))
	seaLevel := syrup.StandardPressure
	thermometer.Boiling.Water, thermometer.Boiling.Pressure = nil, &seaLevel
	return append(JudgeComparison(hydrometer, Rules{}), JudgeComparison(thermometer, Rules{})...)
}
