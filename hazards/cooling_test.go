package hazards

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// ramp is 85 to 65 C in 30 minutes (physics.md 12, vector 24).
func ramp(step float64) []syrup.Moment {
	var record []syrup.Moment
	for m := 0.0; m <= 30; m += step {
		record = append(record, syrup.Moment{Minutes: m, Temperature: syrup.Celsius(85 - m*20/30)})
	}
	return record
}

// physics.md 12, vector 24 (computed): trapezoid of one-minute steps 13.374 min, of five-minute steps 13.757 min.
func TestCoolingWorth(t *testing.T) {
	fine := Cooling(CoolingFacts{Record: ramp(1)})
	assert.InDelta(t, 13.374, fine.Worth, 0.001)
	assert.False(t, fine.Coarse)
	five := Cooling(CoolingFacts{Record: ramp(5)})
	assert.InDelta(t, 13.757, five.Worth, 0.001)
	assert.False(t, five.Coarse, "5 minutes are still fine")
	six := Cooling(CoolingFacts{Record: ramp(6)})
	assert.True(t, six.Coarse)
	assert.Greater(t, six.Worth, five.Worth, "a coarser sum is too high")
	sum, err := syrup.Lethality(ramp(5), coolingReference, coolingSlope)
	require.NoError(t, err)
	assert.InDelta(t, sum, five.Worth, 1e-12, "the sum of package syrup")
}

// A straight line crosses each mark where arithmetic says: 180 F is 82.222 C, (85 - 82.222) / (20/30) = 4.167 min.
func TestCoolingAbove(t *testing.T) {
	house := syrup.Fahrenheit(175).Celsius()
	found := Cooling(CoolingFacts{Record: ramp(3), Limit: &house, Air: ptr(syrup.Celsius(25))})
	require.Len(t, found.Above, 4)
	for i, want := range []float64{180, 175, 170, 160} {
		limit := syrup.Fahrenheit(want).Celsius()
		assert.InDelta(t, float64(limit), float64(found.Above[i].Limit), 1e-9)
		assert.InDelta(t, min(30, float64(85-limit)/(20.0/30)), found.Above[i].Minutes, 1e-9)
		assert.Equal(t, want == 175, found.Above[i].House)
		assert.False(t, found.Above[i].Still)
	}
	assert.Nil(t, found.Half, "55 C is not reached")
	longer := append(ramp(3), syrup.Moment{Minutes: 60, Temperature: 45})
	assert.InDelta(t, 45, *Cooling(CoolingFacts{Record: longer, Air: ptr(syrup.Celsius(25))}).Half, 1e-9)
	assert.Nil(t, Cooling(CoolingFacts{Record: longer}).Half, "without the air nobody knows half way")
	still := Cooling(CoolingFacts{Record: ramp(3)[:2]})
	assert.True(t, still.Above[0].Still)
	same := syrup.Fahrenheit(180).Celsius()
	assert.Len(t, Cooling(CoolingFacts{Record: ramp(3), Limit: &same}).Above, 3, "180 F once")
	low := syrup.Fahrenheit(150).Celsius()
	assert.Equal(t, low, Cooling(CoolingFacts{Record: ramp(3), Limit: &low}).Above[3].Limit)
}

// A probe that went out and back in: time above is counted, not the first crossing.
func TestCoolingAboveTwice(t *testing.T) {
	record := []syrup.Moment{{Minutes: 0, Temperature: 80}, {Minutes: 2, Temperature: 90}, {Minutes: 4, Temperature: 80}, {Minutes: 6, Temperature: 90}}
	assert.InDelta(t, 3, minutesAbove(record, 85), 1e-9)
	assert.Zero(t, minutesAbove(record, 91))
}

func TestReadCooling(t *testing.T) {
	capped := time.Date(2025, 12, 7, 23, 50, 0, 0, time.UTC)
	got, err := ReadCooling("0 185\n 4.5\t180.5\n10; 172", "F", capped)
	require.NoError(t, err)
	assert.Equal(t, []float64{0, 4.5, 10}, []float64{got[0].Minutes, got[1].Minutes, got[2].Minutes})
	assert.InDelta(t, 85, float64(got[0].Temperature), 1e-9)
	clock, err := ReadCooling("23:52 85\n23:57:30 82\n0:10,78", "C", capped)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{2, 7.5, 20}, []float64{clock[0].Minutes, clock[1].Minutes, clock[2].Minutes}, 1e-9)
	for typed, want := range map[string]CoolingProblem{
		"0 185\n5 180":                    CoolingFew,
		"0 185\n5 180\n5 175":             CoolingBack,
		"0 185\n5 180\n4 175":             CoolingBack,
		"-1 185\n5 180\n6 175":            CoolingBack,
		"23:40 185\n23:55 180\n23:58 175": CoolingBack,
		"0 185\n2 130\n6 175":             CoolingJump,
		"0 85\n5 82\n10 78":               CoolingUnit,
		"0 185,5\n5 180\n10 175":          CoolingComma,
		"0,185\n5,180\n10,175":            CoolingComma,
		"0 185 x\n5 180\n10 175":          CoolingColumns,
		"start 185\n5 180\n10 175":        CoolingColumns,
		"0 185\n23:55 180\n10 175":        CoolingMixed,
		"0 185\n5 180\n10000 100":         CoolingLong,
		"0 185\n5 180\n30 -40":            CoolingRange,
	} {
		_, err := ReadCooling(typed, "F", capped)
		var wrong CoolingError
		require.True(t, errors.As(err, &wrong), typed)
		assert.Equal(t, want, wrong.Problem, typed)
	}
	_, err = ReadCooling("0 186\n5 180\n10 175", "C", capped)
	assert.Equal(t, CoolingError{Problem: CoolingUnit, Line: 3, Hottest: "186", Unit: "C"}, err)
	_, err = ReadCooling("23:52 185\n23:57 180\n23:59 178", "F", time.Time{})
	assert.Error(t, err, "no clock where nobody knows when it was capped")
	// a jump begins past 15 C faster than 10 C a minute
	for degrees, ok := range map[float64]bool{69.9: false, 70: true} {
		_, err := ReadCooling(fmt.Sprintf("0 85\n1 %v\n20 60", degrees), "C", capped)
		assert.Equal(t, ok, err == nil, degrees)
	}
	_, err = ReadCooling(strings.Repeat("\n", 3), "F", capped)
	assert.Error(t, err)
}
