package hazards

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// plainBoil is 80 gal of juice of 16 Brix on a fire that drives off 60 kg an hour from 45 minutes on, to the minute.
type plainBoil struct {
	facts FinishFacts
	boils time.Duration // from fire lit
}

const (
	plainMass   = 322.0
	plainSolids = 51.5
	plainRate   = 60.0
)

func newPlainBoil() plainBoil {
	mass, solids := syrup.Kilograms(plainMass), syrup.Kilograms(plainSolids)
	pressure := syrup.StandardPressure
	return plainBoil{boils: 45 * time.Minute, facts: FinishFacts{Lit: simDay, Target: 74, Pressure: &pressure,
		In: []KettleCharge{{At: simDay, Mass: &mass, Solids: &solids}}}}
}

// solidsAt is the strength after so long.
func (b plainBoil) solidsAt(after time.Duration) syrup.Brix {
	off := plainRate * max(0, (after-b.boils).Hours())
	return syrup.Brix(100 * plainSolids / (plainMass - off))
}

// ends is when it is at the target.
func (b plainBoil) ends() time.Time {
	off := plainMass - plainSolids/0.74
	return simDay.Add(b.boils + time.Duration(off/plainRate*float64(time.Hour)))
}

// read adds density readings as they would be.
func (b *plainBoil) read(after ...time.Duration) {
	for _, a := range after {
		b.facts.Readings = append(b.facts.Readings, FinishReading{ID: a.String(), At: simDay.Add(a), Solids: syrup.Solids{Percent: b.solidsAt(a), Uncertainty: 0.5}})
	}
}

// heat adds temperatures of a boil in water that reads 212 F.
func (b *plainBoil) heat(after ...time.Duration) {
	water := syrup.Celsius(100)
	for _, a := range after {
		t := syrup.Celsius(20 + 80*a.Minutes()/b.boils.Minutes())
		if a >= b.boils {
			boil, _ := syrup.SyrupBoiling(syrup.Composition{Solids: b.solidsAt(a), Inverted: 0.3, Ash: 0.01}, syrup.StandardPressure)
			t = boil.Syrup
		}
		b.facts.Temperatures = append(b.facts.Temperatures, FinishTemperature{ID: "t" + a.String(), At: simDay.Add(a), Temperature: t, Water: &water})
	}
}

// past is eight boils like this one.
func (b *plainBoil) past() {
	warm := b.boils
	for i := range 8 {
		took := b.ends().Sub(simDay) + time.Duration(i-4)*2*time.Minute
		b.facts.Past = append(b.facts.Past, PastBoil{Mass: plainMass, Solids: plainSolids, Ended: 74, Took: took, WarmUp: &warm})
	}
}

func (b plainBoil) at(after time.Duration) Finish {
	b.facts.Now = simDay.Add(after)
	return EstimateFinish(b.facts)
}

func minutes(n ...int) []time.Duration {
	var list []time.Duration
	for _, m := range n {
		list = append(list, time.Duration(m)*time.Minute)
	}
	return list
}

// near holds an expected time to the truth within some minutes, and the truth inside the interval.
func near(t *testing.T, e Finish, ends time.Time, within float64) {
	t.Helper()
	require.Equal(t, FinishBoiling, e.State, e.Reason)
	assert.InDelta(t, 0, e.At.Sub(ends).Minutes(), within)
	assert.False(t, ends.Before(e.Early) || ends.After(e.Late), "%s not in %s to %s", ends, e.Early, e.Late)
}

func TestFinishNoBasis(t *testing.T) {
	b := newPlainBoil()
	b.heat(minutes(20, 40, 60, 80)...)
	e := b.at(90 * time.Minute)
	assert.Equal(t, FinishUnknown, e.State)
	assert.Equal(t, FinishNoRate, e.Reason, "juice alone tells no rate, nor do temperatures near boiling water")
	assert.Zero(t, e.At)

	b.read(30 * time.Minute)
	assert.Equal(t, FinishNoRate, b.at(90*time.Minute).Reason, "a reading before the boil says nothing of the rate")

	b.facts.In[0].Solids = nil
	b.past()
	assert.Equal(t, FinishNoSolids, b.at(90*time.Minute).Reason, "without the Brix of the juice a history does not help")
	b.facts.In = nil
	assert.Equal(t, FinishNoSolids, b.at(90*time.Minute).Reason)
	b = newPlainBoil()
	b.past()
	b.facts.Target = 0
	assert.Equal(t, FinishNoTarget, b.at(90*time.Minute).Reason)
}

func TestFinishHistoryAlone(t *testing.T) {
	b := newPlainBoil()
	b.past()
	e := b.at(10 * time.Minute)
	near(t, e, b.ends(), 25)
	assert.Equal(t, 8, e.Past)
	assert.Zero(t, e.Readings)
	assert.False(t, e.Boils)
	assert.InDelta(t, plainRate, float64(e.Rate), 6)
}

func TestFinishOneReading(t *testing.T) {
	b := newPlainBoil()
	b.heat(minutes(20, 40, 60, 80, 100, 120, 140, 160, 180)...)
	b.read(190 * time.Minute)
	e := b.at(191 * time.Minute)
	near(t, e, b.ends(), 15)
	assert.Equal(t, 1, e.Readings)
	assert.Equal(t, 9, e.Temperatures)
	assert.InDelta(t, float64(b.solidsAt(191*time.Minute)), float64(e.Solids), 1)
	assert.True(t, e.Boils)
}

// TestFinishNarrows: every reading closer to the end makes the interval smaller.
func TestFinishNarrows(t *testing.T) {
	b := newPlainBoil()
	b.past()
	b.heat(minutes(20, 40, 60, 80, 100, 120, 140, 160, 180, 200, 220, 240, 260)...)
	b.read(minutes(180, 200, 220, 235, 245, 255, 265, 270)...)
	width := math.Inf(1)
	for _, m := range []int{30, 120, 201, 236, 266} {
		e := b.at(time.Duration(m) * time.Minute)
		near(t, e, b.ends(), 30)
		now := e.Late.Sub(e.Early).Minutes()
		assert.Less(t, now, width, "after %d minutes", m)
		width = now
	}
	assert.Less(t, width, 16.0)
}

// TestFinishBadReading: a reading thinner than those before it, with nothing put in, is a slip and counts for little.
func TestFinishBadReading(t *testing.T) {
	b := newPlainBoil()
	b.heat(minutes(20, 40, 60, 80, 100, 120, 140, 160, 180, 200, 220)...)
	b.read(minutes(180, 200, 220, 230)...)
	good := b.at(240 * time.Minute)
	b.facts.Readings = append(b.facts.Readings, FinishReading{ID: "slip", At: simDay.Add(235 * time.Minute), Solids: syrup.Solids{Percent: 27, Uncertainty: 0.5}})
	e := b.at(240 * time.Minute)
	near(t, e, b.ends(), 12)
	assert.Contains(t, e.Odd, "slip")
	assert.Equal(t, 4, e.Readings)
	assert.InDelta(t, 0, e.At.Sub(good.At).Minutes(), 6)
}

// TestFinishFireOut: the clock stands for 40 minutes, and goes on.
func TestFinishFireOut(t *testing.T) {
	b := newPlainBoil()
	b.past()
	b.read(minutes(150, 165)...)
	before := b.at(170 * time.Minute)
	near(t, before, b.ends(), 20)
	b.facts.Fires = []FireChange{{At: simDay.Add(170 * time.Minute)}}
	out := b.at(200 * time.Minute)
	assert.Equal(t, FinishFireOut, out.State)
	assert.Zero(t, out.At, "no time of day while the fire is out")
	assert.InDelta(t, before.Left.Minutes(), out.Left.Minutes(), 20, "the water is the same, and some minutes to come to the boil")
	assert.InDelta(t, float64(before.Water), float64(out.Water), 6)

	b.facts.Fires = append(b.facts.Fires, FireChange{At: simDay.Add(210 * time.Minute), Lit: true})
	on := b.at(211 * time.Minute)
	require.Equal(t, FinishBoiling, on.State)
	late := on.At.Sub(before.At).Minutes()
	assert.True(t, late > 35 && late < 60, "40 minutes out and some to come to the boil again: %.0f", late)
}

func TestFinishReached(t *testing.T) {
	b := newPlainBoil()
	b.read(minutes(200, 230, 250)...)
	at := b.ends().Sub(simDay).Round(time.Minute) + 3*time.Minute
	b.read(at)
	e := b.at(at + time.Minute)
	assert.Equal(t, FinishReached, e.State)
	assert.Zero(t, e.At)
	assert.GreaterOrEqual(t, float64(e.Solids), 73.0)

	b.facts.Water = []KettleWater{{At: simDay.Add(at + 30*time.Second), Mass: 10}}
	e = b.at(at + time.Minute)
	require.Equal(t, FinishBoiling, e.State, "water was put in after that reading")
	assert.InDelta(t, 10, e.At.Sub(simDay.Add(at)).Minutes(), 6)
}

func TestFinishAdded(t *testing.T) {
	b := newPlainBoil()
	b.past()
	b.read(minutes(150, 165)...)
	plain := b.at(170 * time.Minute)
	b.facts.Water = []KettleWater{{At: simDay.Add(168 * time.Minute), Mass: 20}}
	later := b.at(170 * time.Minute).At.Sub(plain.At).Minutes()
	assert.InDelta(t, 20, later, 8, "20 kg of water at 60 kg an hour, and warming it")
	b.facts.Water = nil

	mass, solids := syrup.Kilograms(60), syrup.Kilograms(9.6)
	b.facts.In = append(b.facts.In, KettleCharge{At: simDay.Add(168 * time.Minute), Mass: &mass, Solids: &solids})
	later = b.at(170 * time.Minute).At.Sub(plain.At).Minutes()
	assert.InDelta(t, (60-9.6/0.74)+8, later, 15, "juice put in: its water, and warming it")
	b.facts.In = b.facts.In[:1]

	b.facts.Taken = []KettleTaken{{At: simDay.Add(168 * time.Minute), Mass: 80}}
	assert.Less(t, float64(b.at(170*time.Minute).Water), 0.7*float64(plain.Water), "half of it went into another kettle")
}

// TestFinishFromVolume: without the Brix of the juice a volume written beside a reading is what is known.
func TestFinishFromVolume(t *testing.T) {
	b := newPlainBoil()
	b.facts.In[0].Solids = nil
	b.read(150 * time.Minute)
	rho, err := syrup.Density(b.solidsAt(150*time.Minute), 100)
	require.NoError(t, err)
	left := plainMass - plainRate*(150*time.Minute-b.boils).Hours()
	b.facts.Volumes = []KettleVolume{{At: simDay.Add(148 * time.Minute), Volume: syrup.Liters(left / float64(rho) * 1000)}}
	assert.Equal(t, FinishNoRate, b.at(151*time.Minute).Reason, "one reading and a volume tell no rate")
	b.read(minutes(180, 200)...)
	near(t, b.at(201*time.Minute), b.ends(), 15)
}

// TestFinishSame: the same log gives the same answer, and what lies after now is not looked at.
func TestFinishSame(t *testing.T) {
	b := newPlainBoil()
	b.past()
	b.read(minutes(150, 165, 240)...)
	first := b.at(170 * time.Minute)
	assert.Equal(t, first, b.at(170*time.Minute))
	b.facts.Readings = b.facts.Readings[:2]
	assert.Equal(t, first, b.at(170*time.Minute))
}

// TestFinishTooSlow: a fire that boils nothing off has no end.
func TestFinishTooSlow(t *testing.T) {
	b := newPlainBoil()
	for range 3 {
		b.facts.Past = append(b.facts.Past, PastBoil{Mass: plainMass, Solids: plainSolids, Ended: 74, Took: 60 * time.Hour})
	}
	assert.Equal(t, FinishTooSlow, b.at(10*time.Minute).Reason)
}

// TestFinishOddFacts: nothing that a log may hold brings the estimate to its knees.
func TestFinishOddFacts(t *testing.T) {
	b := newPlainBoil()
	b.past()
	b.facts.Past = append(b.facts.Past, PastBoil{}, PastBoil{Mass: 10, Solids: 20, Ended: 74, Took: time.Hour}, PastBoil{Mass: 100, Solids: 10, Ended: 74})
	b.facts.Readings = []FinishReading{{At: simDay.Add(time.Minute), Solids: syrup.Solids{Percent: 84}}, {At: simDay.Add(2 * time.Minute)}}
	b.facts.Temperatures = []FinishTemperature{{At: simDay.Add(3 * time.Minute), Temperature: 127}, {At: simDay.Add(4 * time.Minute), Temperature: -2}}
	b.facts.Taken = []KettleTaken{{At: simDay.Add(5 * time.Minute), Mass: 5000}}
	b.facts.Volumes = []KettleVolume{{At: simDay.Add(6 * time.Minute), Volume: 19000}}
	b.facts.Fires = []FireChange{{At: simDay.Add(7 * time.Minute)}, {At: simDay.Add(8 * time.Minute)}, {At: simDay.Add(9 * time.Minute), Lit: true}}
	e := b.at(time.Hour)
	for _, x := range []float64{float64(e.Solids), float64(e.Water), float64(e.Rate), e.Left.Hours()} {
		assert.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%+v", e)
	}
}
