package hazards

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asked are how long before the true finish the estimate is asked for.
var asked = []time.Duration{time.Hour, 30 * time.Minute, 10 * time.Minute}

// answer is one estimate beside the truth.
type simAnswer struct {
	told    bool // a time was given
	off     float64
	covered bool
	width   float64 // of the interval, minutes
}

// simCase is one simulated boil asked at all times, with and without the kettle's history.
type simCase struct {
	fire    string
	answers map[bool][]simAnswer
	took    float64
}

const simBoils = 60 // of each fire

func simulated(fire string, number int) simCase {
	r := rand.New(rand.NewPCG(uint64(number), 40961217))
	k := newSimKettle(r, fire)
	var past []PastBoil
	for range 8 {
		b := newSimBoil(k, r)
		b.boil()
		past = append(past, b.past())
	}
	b := newSimBoil(k, r)
	b.boil()
	c := simCase{fire: fire, answers: map[bool][]simAnswer{}, took: thousandths(b.finished)}
	done := b.at(b.finished)
	for _, known := range []bool{false, true} {
		f := b.facts
		if known {
			f.Past = past
		}
		for _, before := range asked {
			f.Now = done.Add(-before)
			c.answers[known] = append(c.answers[known], heldAgainst(EstimateFinish(f), f.Now, done))
		}
	}
	return c
}

// heldAgainst holds an estimate against the truth. "At the target" is an answer too: now.
func heldAgainst(e Finish, now, done time.Time) simAnswer {
	switch e.State {
	case FinishBoiling:
	case FinishReached:
		return simAnswer{told: true, off: thousandths(math.Abs(now.Sub(done).Minutes()))}
	default:
		return simAnswer{}
	}
	return simAnswer{told: true, off: thousandths(math.Abs(e.At.Sub(done).Minutes())), covered: !done.Before(e.Early) && !done.After(e.Late),
		width: thousandths(e.Late.Sub(e.Early).Minutes())}
}

// simulateAll runs the boils of this run of the tests, by their number.
func simulateAll() map[int]simCase {
	cases := map[int]simCase{}
	var writing sync.Mutex
	next := make(chan int)
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := range next {
				c := simulated(simFires[i%len(simFires)], i)
				writing.Lock()
				cases[i] = c
				writing.Unlock()
			}
		})
	}
	for i := range simBoils * len(simFires) {
		if simulatedHere(i) {
			next <- i
		}
	}
	close(next)
	all.Wait()
	return cases
}

// simRow is one line of the table.
type simRow struct {
	fire          string
	known         bool
	asked         int
	boils, told   int
	median, worst float64
	covered       float64
	width         float64
}

func rowOf(cases []simCase, fire string, known bool, at int) simRow {
	row := simRow{fire: fire, known: known, asked: at}
	var off, width []float64
	covered := 0
	for _, c := range cases {
		if fire != "" && c.fire != fire {
			continue
		}
		row.boils++
		a := c.answers[known][at]
		if !a.told {
			continue
		}
		row.told++
		off, width = append(off, a.off), append(width, a.width)
		if a.covered {
			covered++
		}
	}
	slices.Sort(off)
	slices.Sort(width)
	row.median, row.worst = off[len(off)/2], off[len(off)*9/10]
	row.covered = 100 * float64(covered) / float64(row.told)
	row.width = width[len(width)/2]
	return row
}

// aims of the issue: the 80 % interval covers 75 to 90 %, the median error at thirty minutes is under five minutes.
const (
	aimLow, aimHigh = 75.0, 90.0
	aimMedian       = 5.0
)

// issueFires are the three kinds of fire the issue names; the fourth is ours.
func issueFires(cases []simCase) []simCase {
	return slices.DeleteFunc(slices.Clone(cases), func(c simCase) bool { return c.fire == simCut })
}

// aim says in words how a row stands to the aims.
func (r simRow) aim() string {
	var missed []string
	switch {
	case r.covered < aimLow:
		missed = append(missed, "MISSED: covers too few")
	case r.covered > aimHigh:
		missed = append(missed, "MISSED: wider than it need be")
	}
	if asked[r.asked] == 30*time.Minute && r.median >= aimMedian {
		missed = append(missed, "MISSED: median error")
	}
	if len(missed) == 0 {
		return "met"
	}
	return strings.Join(missed, "; ")
}

func (r simRow) String() string {
	history, fire := "none", r.fire
	if r.known {
		history = "8 boils"
	}
	if fire == "" {
		fire = "**the three of the issue**"
	}
	return fmt.Sprintf("| %s | %.0f min | %s | %d of %d | %.1f | %.1f | %.1f %% | %.0f | %s |\n", history, asked[r.asked].Minutes(), fire, r.told, r.boils,
		r.median, r.worst, r.covered, r.width, r.aim())
}

const finishPage = "../testdata/FINISH.md"

const finishHead = `# What the estimate of the finish is held to

Written by a test (` + "`go test ./hazards -run FinishSimulated -update`" + `), which fails when this page is stale. Regression: our own
simulation (hazards/finishsim_test.go), no published data of a boil were found.

%d boils, fixed seed, 60 to 100 gal of juice of 12 to 21 Brix, target 74 %%, %.1f hours from fire lit to the target on average. The
simulation integrates heat: fire, iron, losses of the surface, vapour below the boil, steam; the boiling point is another formula
than the estimate's. Written down as a crew does: temperatures each 10 to 20 minutes, to the whole degree F, each off by 0.5 F (one
standard deviation) and by up to 1.5 C for the whole boil, half of the thermometers checked in boiling water; density from about two
thirds on each 8 to 16 minutes, each off by 0.25 Be and by up to 0.2 Be for the whole boil; Brix of the juice off by 0.2, its volume by
2 %%; times to the minute; nothing in the records of 1 to 6 %% lost to skimmings. The fire wanders by 12 %% in half an hour even when steady.

Aims: the 80 %% interval covers 75 to 90 %% of the boils, the median error at thirty minutes is under five minutes. The constants of the
estimate were set on other boils (other seeds); nothing was changed after these were seen. Where no time was told there was no basis yet: no reading of this boil and no
earlier boil; or the fire was out.

| history | asked before the end | fire | time told | median error, min | nine in ten within, min | covered | width of the interval, min | aim |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
`

const finishFoot = `
Told but not covered also counts an answer "at the target" given too early. An outage still to come cannot be foreseen: it stands in the
errors of the interrupted fires. A fire that is cut near the end is not among the aims; without earlier boils of the kettle nothing
tells of it until it shows in the readings.
`

// TestFinishSimulated holds the estimate against simulated boils and writes the table. The numbers depend on the last bit of
// the exponential, which differs between processors: elsewhere only the aims are held.
func TestFinishSimulated(t *testing.T) {
	simulated := simulateAll()
	if *update {
		require.False(t, raceEnabled, "a race build has not all boils")
		writeBoils(t, simulated)
	}
	kept := readBoils(t)
	require.Len(t, kept, simBoils*len(simFires))
	if writtenHere() {
		for number, c := range simulated {
			require.Equal(t, kept[number], c, "boil %d: stale: go test ./hazards -run FinishSimulated -update", number)
		}
		simulated = kept
	}
	var cases []simCase
	for _, number := range slices.Sorted(maps.Keys(simulated)) {
		cases = append(cases, simulated[number])
	}
	assertFinishPage(t, cases)
}

// assertFinishPage holds the aims and the table.
func assertFinishPage(t *testing.T, cases []simCase) {
	t.Helper()
	took := 0.0
	for _, c := range cases {
		took += c.took / float64(len(cases))
	}
	var page strings.Builder
	fmt.Fprintf(&page, finishHead, len(cases), took)
	for _, known := range []bool{true, false} {
		for at, before := range asked {
			all := rowOf(issueFires(cases), "", known, at)
			page.WriteString(all.String())
			for _, fire := range simFires {
				page.WriteString(rowOf(cases, fire, known, at).String())
			}
			if before == 30*time.Minute {
				assert.Less(t, all.median, aimMedian, "median error at thirty minutes, history %t", known)
			}
			assert.True(t, all.covered > 70 && all.covered < 95, "coverage %.0f at %s, history %t", all.covered, before, known)
		}
	}
	page.WriteString(finishFoot)
	if *update {
		require.NoError(t, os.WriteFile(finishPage, []byte(page.String()), 0o644))
	}
	written, err := os.ReadFile(finishPage)
	require.NoError(t, err)
	if writtenHere() {
		assert.Equal(t, string(written), page.String(), "stale: go test ./hazards -run FinishSimulated -update")
	}
}

func BenchmarkEstimateFinish(b *testing.B) {
	f := sixtyEntries()
	b.ReportAllocs()
	for b.Loop() {
		if EstimateFinish(f).State != FinishBoiling {
			b.Fatal("no estimate")
		}
	}
}

// sixtyEntries is a boil with sixty entries and eight boils before it, half an hour from its end.
func sixtyEntries() FinishFacts {
	r := rand.New(rand.NewPCG(60, 60))
	k := newSimKettle(r, simSteady)
	var past []PastBoil
	for range 8 {
		b := newSimBoil(k, r)
		b.boil()
		past = append(past, b.past())
	}
	b := newSimBoil(k, r)
	b.boil()
	f := b.facts
	f.Past, f.Now = past, b.at(b.finished-0.5)
	f = f.untilNow()
	for i := 0; len(f.Temperatures)+len(f.Readings) < 60; i++ {
		again := f.Temperatures[i]
		again.At = again.At.Add(time.Minute)
		f.Temperatures = append(f.Temperatures, again)
	}
	return f
}
