package hazards

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// ended is a run that ended otherwise than as syrup, without a volume, with these readings.
func ended(outcome string, readings ...ReadingFacts) RunFacts {
	r := run()
	r.Outcome, r.Readings, r.VolumeOut = outcome, readings, nil
	return r
}

// TestOutcomeIsNotJudgedByName: what was held half boiled, moved or given up has no name to be judged; the same reading
// holds a run that was drawn off as syrup.
func TestOutcomeIsNotJudgedByName(t *testing.T) {
	thin := refracted(StageFinish, 45)
	for _, outcome := range []string{OutcomeSemiSyrup, OutcomeMoved, OutcomeGivenUp} {
		assert.Less(t, Worst(JudgeRun(ended(outcome, thin), rules)), Check, outcome)
	}
	assert.Equal(t, Hold, Worst(JudgeRun(ended(OutcomeSyrup, thin), rules)))
}

func TestEndReading(t *testing.T) {
	early, finish, late := refracted(StageBoil, 40), refracted(StageFinish, 44), refracted(StageBoil, 46)
	early.At, finish.At, late.At = clock(10, 0), clock(10, 30), clock(11, 0)
	unusable := refracted(StageBoil, 50)
	unusable.At, unusable.Temperature = clock(11, 30), nil
	all := []ReadingFacts{unusable, late, finish, early}
	require.NotNil(t, EndReading(OutcomeSemiSyrup, all))
	assert.Equal(t, 46.0, EndReading(OutcomeSemiSyrup, all).Reading, "the last that can be used")
	assert.Equal(t, 44.0, EndReading(OutcomeSyrup, all).Reading, "syrup goes by its finish reading")
	assert.Equal(t, 44.0, EndReading(OutcomeMoved, []ReadingFacts{early, finish}).Reading)
	assert.Equal(t, 40.0, EndReading(OutcomeMoved, []ReadingFacts{early}).Reading)
	assert.Nil(t, EndReading(OutcomeSyrup, []ReadingFacts{early}))
	assert.Nil(t, EndReading(OutcomeSemiSyrup, []ReadingFacts{unusable}))
}

// TestKeepingOf holds the keeping times at their edges: University of Tennessee thesis 7220 (trade.md 1.9), 45 Brix for 21
// days, 35 Brix only when cool.
func TestKeepingOf(t *testing.T) {
	day := 24 * time.Hour
	for _, c := range []struct {
		solids *syrup.Brix
		held   time.Duration
		want   string
	}{
		{nil, 0, KeepsUnread}, {ptr(syrup.Brix(34.9)), 0, KeepsNot}, {ptr(syrup.Brix(35)), 0, KeepsOnlyCool}, {ptr(syrup.Brix(44.9)), day, KeepsOnlyCool},
		{ptr(syrup.Brix(45)), 0, KeepsDays}, {ptr(syrup.Brix(45)), 21 * day, KeepsDays}, {ptr(syrup.Brix(45)), 21*day + time.Minute, KeepsPast},
		{ptr(syrup.Brix(40)), 22 * day, KeepsPast}, {ptr(syrup.Brix(30)), 22 * day, KeepsNot},
	} {
		assert.Equal(t, c.want, KeepingOf(c.solids, c.held), "%v after %v", c.solids, c.held)
	}
}

// TestTimeOutIsNotCooked: an hour with the fire out is no hour of boiling.
func TestTimeOutIsNotCooked(t *testing.T) {
	r := run()
	whole, _ := r.cooked()
	r.FireOut = time.Hour
	less, ok := r.cooked()
	assert.True(t, ok)
	assert.InDelta(t, whole-1, less, 1e-9)
}

// TestTakenUpHalfWay: what had boiled before needs no usual time on the fire.
func TestTakenUpHalfWay(t *testing.T) {
	r := run()
	r.DrawnOffAt = ptr(r.FireLitAt.Add(time.Hour))
	asked := func() bool {
		for _, f := range r.unusual() {
			if f.Code == "bounds.unusual" {
				return true
			}
		}
		return false
	}
	assert.True(t, asked(), "an hour is short for a boil from juice")
	r.Boiled = true
	assert.False(t, asked())
}
