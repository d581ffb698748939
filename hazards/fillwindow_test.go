package hazards

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// numbered is a check at a bottle number; 0: not said.
func numbered(c FillCheckFacts, number int) FillCheckFacts {
	if number > 0 {
		c.BottleNumber = ptr(number)
	}
	return c
}

// The bottles a check holds: after the last good one, before the next good one, the ends of the lot else.
func TestFillWindows(t *testing.T) {
	check := func(id string, minute int, f syrup.Fahrenheit, number int) FillCheckFacts {
		return numbered(bottle(id, clock(13, minute), degF(f)), number)
	}
	open := check("bad", 30, 190, 48)
	open.ClosureOK = ptr(false)
	tests := map[string]struct {
		checks      []FillCheckFacts
		first, last int
	}{
		"in the middle":         {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 30, 171, 48), check("b", 55, 190, 72)}, 25, 71},
		"the first":             {[]FillCheckFacts{check("bad", 5, 171, 1), check("b", 55, 190, 72)}, 1, 71},
		"the last":              {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 55, 171, 108)}, 25, 108},
		"the only one":          {[]FillCheckFacts{check("bad", 5, 171, 24)}, 1, 108},
		"its own is not needed": {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 30, 171, 0), check("b", 55, 190, 72)}, 25, 71},
		"a bad one between":     {[]FillCheckFacts{check("a", 5, 190, 24), check("c", 20, 175, 40), check("bad", 30, 171, 48), check("b", 55, 190, 72)}, 25, 71},
		"a closure":             {[]FillCheckFacts{check("a", 5, 190, 24), open, check("b", 55, 190, 72)}, 25, 71},
		"no number before":      {[]FillCheckFacts{check("a", 5, 190, 0), check("bad", 30, 171, 48), check("b", 55, 190, 72)}, 0, 71},
		"no number after":       {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 30, 171, 48), check("b", 55, 190, 0)}, 25, 0},
		"looked at twice":       {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 30, 171, 48), check("b", 31, 190, 48)}, 25, 48},
		"numbers that cross":    {[]FillCheckFacts{check("a", 5, 190, 24), check("bad", 30, 171, 0), check("b", 31, 190, 24)}, 0, 0},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			f := filling(test.checks...)
			f.Count = ptr(108)
			w, ok := FillWindow(f, "bad", rules)
			require.True(t, ok)
			assert.Equal(t, [2]int{test.first, test.last}, [2]int{w.First, w.Last})
		})
	}
	_, ok := FillWindow(filling(), "bad", rules)
	assert.False(t, ok)
}

func TestWindowCovers(t *testing.T) {
	w := Window{First: 25, Last: 71}
	for _, test := range []struct {
		first, last int
		covers      bool
	}{{1, 24, false}, {1, 25, true}, {30, 40, true}, {71, 108, true}, {72, 108, false}} {
		assert.Equal(t, test.covers, w.Covers(&test.first, &test.last), test)
	}
	assert.True(t, w.Covers(nil, nil), "bottles that are not numbered may be among them")
	assert.True(t, Window{}.Covers(ptr(1), ptr(2)), "a window that is not known may hold any bottle")
}

// While a filling stands still nobody is asked for a check; the first bottle after it is.
func TestStops(t *testing.T) {
	stop := FillStop{ID: "s", From: clock(13, 10), To: clockAt(14, 30)}
	fill := func(minute int) FillFacts {
		f := filling(bottle("f1", clock(13, 5), degF(190)), bottle("f2", clock(14, minute), degF(190)))
		f.Stops, f.EndedAt = []FillStop{stop}, clockAt(14, 50)
		return f
	}
	codes := func(f FillFacts) []string {
		var list []string
		for _, finding := range JudgeFill(f, rules) {
			list = append(list, finding.Code)
		}
		return list
	}
	assert.NotContains(t, codes(fill(35)), "fill.interval_long", "80 of the 90 minutes stood still")
	assert.NotContains(t, codes(fill(35)), "fill.no_check_after_stop")
	assert.Contains(t, codes(fill(20)), "fill.no_check_after_stop", "nobody looked after 14:30")
	without := fill(35)
	without.Stops = nil
	assert.Contains(t, codes(without), "fill.interval_long")
}

func TestNextCheck(t *testing.T) {
	f := filling(bottle("f1", clock(13, 5), degF(190)))
	f.EndedAt = nil
	asked, ok := NextCheck(f, rules)
	require.True(t, ok)
	assert.Equal(t, clock(14, 5), asked.At, "an hour after the last check, the reference interval")
	f.Stops = []FillStop{{From: clock(13, 20)}}
	asked, _ = NextCheck(f, rules)
	assert.Equal(t, clock(13, 20), *asked.Stopped)
	f.Stops[0].To = clockAt(13, 40)
	asked, _ = NextCheck(f, rules)
	assert.Nil(t, asked.Stopped)
	assert.Equal(t, clock(13, 40), asked.At, "the first bottle after a stop is looked at")
	f.Checks = append(f.Checks, bottle("f2", clock(13, 41), degF(190)))
	asked, _ = NextCheck(f, rules)
	assert.Nil(t, asked.Resumed)
	assert.Equal(t, clock(13, 41).Add(time.Hour), asked.At)
	f.Checks = append(f.Checks, bottle("f3", clock(13, 50), degF(171)))
	asked, _ = NextCheck(f, rules)
	assert.Equal(t, clock(13, 50), asked.At, "after a bottle past the limit the next one is looked at")
	assert.NotNil(t, asked.Failed)
	f.Checks = append(f.Checks, bottle("f4", clock(13, 52), degF(188)))
	asked, _ = NextCheck(f, rules)
	assert.Nil(t, asked.Failed)
	assert.Equal(t, clock(13, 52).Add(time.Hour), asked.At)
	f.EndedAt = clockAt(14, 0)
	_, ok = NextCheck(f, rules)
	assert.False(t, ok)
}
