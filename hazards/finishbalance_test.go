package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// TestBalanceDrawnOff: 60 gal of juice of 16 Brix is 10.05 gal of syrup of 74 % by the published ratio of volumes at 20 C, 5.97
// (physics.md 8, computed there; 5 to 8 in the trade), and hot syrup takes 2.8 % more room (physics.md 0).
func TestBalanceDrawnOff(t *testing.T) {
	rho, err := syrup.Density(16, 20)
	require.NoError(t, err)
	solids := syrup.USGallons(60).Liters() / 1000 * syrup.Liters(rho) * 0.16
	facts := DrawnOffFacts{SolidsIn: syrup.Kilograms(solids), Ended: 74}
	b, ok := BalanceDrawnOff(facts)
	require.True(t, ok)
	assert.True(t, b.Assumed)
	assert.Nil(t, b.Rest, "nothing drawn is recorded")
	assert.InDelta(t, 60/5.97*1.028, float64(b.Expected.USGallons()), 0.03)

	cold := syrup.Celsius(20)
	drawn := syrup.USGallons(9.5).Liters()
	facts.Temperature, facts.Drawn = &cold, &drawn
	b, ok = BalanceDrawnOff(facts)
	require.True(t, ok)
	assert.InDelta(t, 60/5.97-9.5, float64(b.Rest.USGallons()), 0.02)
	assert.InDelta(t, 0.0547, float64(b.Share), 0.002)

	facts.Elsewhere = facts.SolidsIn / 10
	b, _ = BalanceDrawnOff(facts)
	assert.Negative(t, float64(*b.Rest), "a tenth went elsewhere: more came out than was left")

	for _, bad := range []DrawnOffFacts{{SolidsIn: 40}, {Ended: 74}, {SolidsIn: 40, Elsewhere: 40, Ended: 74}, {SolidsIn: 40, Ended: 99}} {
		_, ok := BalanceDrawnOff(bad)
		assert.False(t, ok, "%+v", bad)
	}
}
