package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReferenceLimits(t *testing.T) {
	seen := map[string]bool{}
	for _, l := range Reference() {
		assert.False(t, seen[l.Code], l.Code)
		seen[l.Code] = true
		assert.NotEmpty(t, l.Source, l.Code)
		assert.NotEmpty(t, l.Unit, l.Code)
		assert.Equal(t, LimitsVersion, l.Version, l.Code)
		assert.NotNil(t, l.CheckedOn.Start(house), l.Code)
	}
	// Published: 21 CFR 168.130(a) and 168.180(a); the maple authorities' 180 F.
	reference, house := Limits{}.Pair(LimitCane)
	assert.Equal(t, 74.0, reference.Value)
	assert.Nil(t, house)
	assert.Equal(t, 65.0, references[LimitTable].Value)
	assert.InDelta(t, 82.222, references[LimitCapping].Value, 0.001)
}

func TestPassed(t *testing.T) {
	least, most := Limit{Value: 74, Least: true}, Limit{Value: 60}
	assert.True(t, least.Passed(74) && least.Passed(74.01) && !least.Passed(73.99))
	assert.True(t, most.Passed(60) && most.Passed(59.99) && !most.Passed(60.01))
}

func TestHouseLimits(t *testing.T) {
	judged := func(code string, value float64, unit Unit, source string) (float64, bool) {
		l, err := NewLimits(Limit{Code: code, Value: value, Unit: unit, Source: source})
		require.NoError(t, err)
		_, house := l.Pair(code)
		require.NotNil(t, house, "both are kept")
		assert.Equal(t, value, house.Value)
		j := l.Judged(code)
		return j.Value, j.House
	}
	tests := []struct {
		name, code string
		value      float64
		unit       Unit
		source     string
		want       float64
		house      bool
	}{
		{"stricter rule of law", LimitCane, 74.5, UnitSolids, "", 74.5, true},
		{"looser rule of law", LimitCane, 73, UnitSolids, "a cousin", 74, false},
		{"equal to the rule", LimitCane, 74, UnitSolids, "a cousin", 74, false},
		{"stricter guidance", LimitInterval, 30, UnitMinutes, "", 30, true},
		{"equal guidance", LimitInterval, 60, UnitMinutes, "", 60, false},
		{"looser guidance without a source", LimitInterval, 90, UnitMinutes, "", 60, false},
		{"looser guidance with a source", LimitInterval, 90, UnitMinutes, "process authority, 2026", 90, true},
		{"refusal is not loosened", LimitDrawRefuse, 50, UnitPercent, "a cousin", 20, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, house := judged(test.code, test.value, test.unit, test.source)
			assert.Equal(t, test.want, got)
			assert.Equal(t, test.house, house)
		})
	}
	_, err := NewLimits(Limit{Code: "solids.honey"})
	assert.ErrorContains(t, err, "pick from the list")
	_, err = NewLimits(Limit{Code: LimitInterval, Value: 1, Unit: UnitHours})
	assert.ErrorContains(t, err, "minutes")
}

func TestHouseLimitInFinding(t *testing.T) {
	l, err := NewLimits(Limit{Code: LimitInterval, Value: 20, Unit: UnitMinutes})
	require.NoError(t, err)
	findings := JudgeFill(filling(bottle("a", clock(13, 1), degF(190)), bottle("b", clock(13, 30), degF(190))), Rules{Limits: l, Zone: house})
	var found *Finding
	for _, f := range findings {
		if f.Code == "fill.interval_long" {
			found = &f
			break
		}
	}
	require.NotNil(t, found)
	assert.Equal(t, "source.house", found.Source)
	assert.Equal(t, "house", found.LimitVersion)
	assert.Equal(t, 20.0, found.Limit.Number)
	assert.Equal(t, "2026-12-07T13:01:00-06:00", found.Values["From"].Text)
}

// TestHouseLimitAsWritten holds that the owner's own units judge as the reference's: 185 F is 85 C, a difference of 3.6 F
// is 2 C, 74.5 % is 74.5 % solids; and a unit that does not fit is refused.
func TestHouseLimitAsWritten(t *testing.T) {
	for _, test := range []struct {
		code string
		x    float64
		unit Unit
		want float64
	}{
		{LimitCapping, 185, UnitFahrenheit, 85}, {LimitCapping, 85, UnitCelsius, 85},
		{LimitThermometer, 3.6, UnitFahrenheit, 2}, {LimitThermometer, 2, UnitCelsius, 2},
		{LimitCane, 74.5, UnitPercent, 74.5},
	} {
		l, err := NewLimits(Limit{Code: test.code, Value: test.x, Unit: test.unit, Source: "own boils"})
		require.NoError(t, err, test.code)
		reference, house := l.Pair(test.code)
		assert.InDelta(t, test.want, house.Value, 1e-9, test.code)
		assert.Equal(t, reference.Unit, house.Unit, test.code)
	}
	for code, unit := range map[string]Unit{LimitCapping: UnitPercent, LimitInterval: UnitHours, LimitCane: UnitBrix, LimitSulfite: UnitFahrenheit} {
		_, err := NewLimits(Limit{Code: code, Value: 1, Unit: unit})
		assert.ErrorContains(t, err, code)
	}
}

func TestLimitWords(t *testing.T) {
	assert.Equal(t, "180 °F", references[LimitCapping].Words("en", US))
	assert.Equal(t, "82.2 °C", references[LimitCapping].Words("en", Metric))
	assert.Equal(t, "74 %", references[LimitCane].Words("en", US))
	assert.Equal(t, "2 °F", references[LimitThermometer].Words("en", US))
	assert.Equal(t, "common practice, no source", references[LimitInterval].SourceWords("en"))
	assert.Equal(t, "21 CFR 168.130(a)", references[LimitCane].SourceWords("es"))
	area, _ := BoundOf(BoundArea)
	assert.Equal(t, "0.001 to 2000 acre", area.Hard.Words("en", US, area.Unit))
	assert.Equal(t, "at most 3", upTo(3).Words("en", US, UnitCount))
	assert.Equal(t, "at least 28 °F", from(fahrenheit(28)).Words("en", US, UnitCelsius))
	assert.Empty(t, Range{}.Words("en", US, UnitCount))
}
