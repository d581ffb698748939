package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
)

// Below 74 %, at it, above it: only what is too thin loses anything on the way. 70 % loses 7.2 % (trade.md 7.6).
func TestLostToCane(t *testing.T) {
	lost, below := LostToCane(70)
	assert.True(t, below)
	assert.InDelta(t, 0.072, float64(lost), 0.0005)
	_, below = LostToCane(73.99)
	assert.True(t, below)
	for _, solids := range []syrup.Brix{74, 74.01, 80} {
		_, below = LostToCane(solids)
		assert.False(t, below, "%v", solids)
	}
}
