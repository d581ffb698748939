package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// A pint of 74 %: 22.90 oz or 649 g on the scale, 16.46 fl oz hot at 185 F (physics.md section 9; computed there, so
// regression). The state of the syrup's own weights per gallon is held to published tables in package syrup.
func TestFillTarget(t *testing.T) {
	pint := syrup.USFluidOunces(16).Milliliters()
	lot := LotFacts{Fill: FillFacts{Contents: &pint}, Readings: []ReadingFacts{refracted(StageLot, 74)}}
	target, ok := TargetOf(lot, syrup.Fahrenheit(185).Celsius(), rules)
	require.True(t, ok)
	assert.InDelta(t, 649, float64(target.Least), 0.5)
	assert.InDelta(t, 16.46, float64(target.Hot.USFluidOunces()), 0.01)
	assert.InDelta(t, float64(target.Least)*1.005, float64(target.Target), 1e-9, "the reference headroom is half a percent")
	assert.Greater(t, float64(target.Off), 649*densityOff, "the solids' own uncertainty counts as well")
	require.NotNil(t, target.Tolerance)
	assert.InDelta(t, 0.03*649, float64(*target.Tolerance), 0.3, "OIML R 87, 300 to 500 mL: 3 % (473.2 mL: 14.2 mL)")

	house, err := NewLimits(Limit{Code: LimitHeadroom, Value: 1, Unit: UnitPercent})
	require.NoError(t, err)
	target, _ = TargetOf(lot, syrup.Fahrenheit(185).Celsius(), Rules{Zone: rules.Zone, Limits: house})
	assert.InDelta(t, float64(target.Least)*1.01, float64(target.Target), 1e-9, "the house's own")

	lot.Readings = nil
	_, ok = TargetOf(lot, syrup.Fahrenheit(185).Celsius(), rules)
	assert.False(t, ok, "nothing is promised where the solids are not known")
}
