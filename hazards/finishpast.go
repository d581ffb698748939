package hazards

import (
	"math"
	"math/rand/v2"
	"sync"
	"time"

	"canewright/hazards/syrup"
)

// belief is what is thought of a logarithm: its middle and its spread.
type belief struct{ mean, spread float64 }

func (b belief) drawn(random *rand.Rand) float64 {
	return math.Exp(b.mean + b.spread*random.NormFloat64())
}

// beliefs are what is expected of the next boil: kg of water an hour, the share of that heat that warms a cold charge, and
// the share of the rate that is left once the syrup is thick.
type beliefs struct{ rate, warmUp, late belief }

// What is thought of a kettle of which nothing is known, and how much one boil of a known kettle differs from the next
// (our choice, judged from the trade's figures: a rate of 8 to 25 gal an hour is 12 give or take two thirds).
var (
	anyRate   = belief{math.Log(45), 0.5}
	anyWarmUp = belief{math.Log(0.8), 0.3}
	anyLate   = belief{math.Log(0.9), 0.2}
)

const (
	boilToBoil  = 0.2 // spread of the logarithm between boils of one kettle, before they say so themselves
	weightOfOwn = 3.0 // that spread counts like so many boils
)

// juiceCold is where juice starts when nobody measured it, and pastWater where water is taken to boil in earlier boils.
const (
	juiceCold = 20.0
	pastWater = 100.0
)

// latentHeat is of water at its boiling point, kJ/kg (physics.md 8); heat of a solution is 4.187 (1 - 0.6 w) kJ/kg K.
const latentHeat = 2257.0

func heatCapacity(w float64) float64 { return 4.187 * (1 - 0.6*w) }

// thickAt is from where syrup is thick enough that the fire is usually made smaller: 216 to 218 F (trade.md 1.10). The
// first reading up to thickUpTo tells how long the rest took. Our choice.
const (
	thickAt   = 58.0
	thickUpTo = 70.0
)

// pastBeliefs turns the earlier boils of a kettle into what to expect of the next one: the spread is the sample's, drawn
// toward the usual one (a normal with a scaled inverse chi-squared prior on its variance), widened for a middle known from
// so few.
func pastBeliefs(past []PastBoil) beliefs {
	b := beliefs{anyRate, anyWarmUp, anyLate}
	var ratios []float64
	for _, p := range past {
		if r, ok := p.warmRatio(); ok {
			ratios = append(ratios, math.Log(r))
		}
	}
	if len(ratios) > 0 {
		b.warmUp = learned(ratios)
	}
	var rates, ends []float64
	for _, p := range past {
		r, ok := p.rate(math.Exp(b.warmUp.mean))
		if !ok {
			continue
		}
		if l, ok := p.lateRatio(r); ok {
			ends = append(ends, math.Log(l))
		}
		rates = append(rates, math.Log(r))
	}
	if len(rates) > 0 {
		b.rate = learned(rates)
	}
	if len(ends) > 0 {
		b.late = learned(ends)
	}
	return b
}

func learned(x []float64) belief {
	n := float64(len(x))
	mean, squares := 0.0, 0.0
	for _, v := range x {
		mean += v / n
	}
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	variance := (weightOfOwn*boilToBoil*boilToBoil + squares) / (weightOfOwn + n - 1)
	return belief{mean, math.Sqrt(variance * (1 + 1/n))}
}

// waterOff is what this boil drove off, in kg; false when its records do not hang together.
func (p PastBoil) waterOff() (float64, bool) {
	if p.Ended <= 0 || p.Solids <= 0 || p.Mass <= p.Solids {
		return 0, false
	}
	left := float64(p.Solids) * (100/float64(p.Ended) - 1)
	off := float64(p.Mass-p.Solids) - left
	return off, off > 0
}

// warmHeat is the heat to bring the charge to the boil, as kg of water it would have boiled off.
func (p PastBoil) warmHeat() float64 {
	return float64(p.Mass) * heatCapacity(float64(p.Solids/p.Mass)) * (pastWater - juiceCold) / latentHeat
}

// rate is the water boiled off in an hour, kg; where the warm-up was not written down it is taken in the usual ratio.
func (p PastBoil) rate(ratio float64) (float64, bool) {
	off, ok := p.waterOff()
	hours := p.Took.Hours()
	if !ok || hours <= 0 {
		return 0, false
	}
	if p.WarmUp == nil {
		return (off + p.warmHeat()/ratio) / hours, true
	}
	boiled := hours - p.WarmUp.Hours()
	return off / boiled, boiled > 0.25
}

// warmRatio is how much of the boil's heat got into the cold charge: 1 when it warmed with the whole of it.
func (p PastBoil) warmRatio() (float64, bool) {
	if p.WarmUp == nil || *p.WarmUp <= 0 {
		return 0, false
	}
	rate, ok := p.rate(1)
	return p.warmHeat() / (rate * p.WarmUp.Hours()), ok
}

// lateRatio is how much of the rate before was left once it was thick; false without a reading then, or when too little time
// lies after it to tell.
func (p PastBoil) lateRatio(rate float64) (float64, bool) {
	if p.ThickAt == nil || *p.ThickAt >= p.Ended || p.ThickTook < 8*time.Minute {
		return 0, false
	}
	off := float64(p.Solids) * (1 - skimMean) * 100 * float64(1/(*p.ThickAt)-1/p.Ended)
	whole, _ := p.waterOff()
	before := (whole - off) / (whole/rate - p.ThickTook.Hours())
	ratio := off / p.ThickTook.Hours() / before
	return ratio, ratio > 0.1 && ratio < 3
}

// FirstThick is the first density reading of a boil that lies where the fire is usually made smaller, and the time from it
// to the end of a boil that took so long; nil when none was taken there.
func FirstThick(f FinishFacts, took time.Duration) (*syrup.Brix, time.Duration) {
	end := f.Lit.Add(took + f.timeOut(f.Now))
	for _, r := range recordedBy(f.Now, f.Readings, func(r FinishReading) time.Time { return r.At }) {
		if r.Solids.Percent < thickAt || r.Solids.Percent > thickUpTo {
			continue
		}
		left := end.Sub(r.At) - (f.timeOut(f.Now) - f.timeOut(r.At))
		return &r.Solids.Percent, left
	}
	return nil, 0
}

// timeOut is how long the fire was out up to a moment.
func (f FinishFacts) timeOut(until time.Time) time.Duration {
	total, out := time.Duration(0), time.Time{}
	for _, c := range recordedBy(until, f.Fires, func(c FireChange) time.Time { return c.At }) {
		switch {
		case !c.Lit && out.IsZero():
			out = c.At
		case c.Lit && !out.IsZero():
			total += c.At.Sub(out)
			out = time.Time{}
		}
	}
	if !out.IsZero() {
		total += until.Sub(out)
	}
	return total
}

// riseTable is how far a solution boils above water by its solids, at one pressure: pure sucrose, and what is usual in cane
// syrup on top of it.
type riseTable struct {
	water       float64
	pure, extra [riseNodes + 2]float64
}

const (
	riseNodes = 34 // each 2.5 % up to 85
	riseStep  = 0.025
)

// riseTables keeps the tables by whole kPa: the rise hardly changes with the pressure (13.9 F at the sea, 13.7 at 3000 ft;
// physics.md 5), and the model knows some forty of them.
var riseTables sync.Map

// newRiseTable is the boiling model as a table; false outside its pressures.
func newRiseTable(p syrup.Kilopascals) (riseTable, bool) {
	water, err := syrup.WaterBoiling(p)
	if err != nil {
		return riseTable{}, false
	}
	whole := math.Round(float64(p))
	kept, ok := riseTables.Load(whole)
	if !ok {
		t, fits := tabulated(syrup.Kilopascals(whole))
		if !fits {
			return t, false
		}
		kept, _ = riseTables.LoadOrStore(whole, t)
	}
	t := kept.(riseTable)
	t.water = float64(water)
	return t, true
}

func tabulated(p syrup.Kilopascals) (riseTable, bool) {
	var t riseTable
	usualAsh := UsualAsh / 0.74 // of the solids
	for i := range riseNodes + 1 {
		w := min(float64(syrup.MaxSolids), riseStep*100*float64(i))
		pure, err := syrup.SyrupBoiling(syrup.Composition{Solids: syrup.Brix(w)}, p)
		if err != nil {
			return t, false
		}
		cane, err := syrup.SyrupBoiling(syrup.Composition{Solids: syrup.Brix(w), Inverted: UsualInverted, Ash: usualAsh * syrup.Fraction(w/100)}, p)
		if err != nil {
			return t, false
		}
		t.pure[i], t.extra[i] = float64(pure.Rise), float64(cane.Rise-pure.Rise)
	}
	t.pure[riseNodes+1], t.extra[riseNodes+1] = t.pure[riseNodes], t.extra[riseNodes]
	return t, true
}

// boils is the boiling temperature at solids w (0 to 1), with c times the usual extra rise.
func (t *riseTable) boils(w, c float64) float64 {
	x := min(max(w, 0), 0.85) / riseStep
	i := int(x)
	part := x - float64(i)
	return t.water + t.pure[i] + part*(t.pure[i+1]-t.pure[i]) + c*(t.extra[i]+part*(t.extra[i+1]-t.extra[i]))
}

// FirstBoil is the time from fire lit to the first boil by the temperatures of a log, without the time the fire was out;
// nil when no temperature tells it, or when the first that does comes half an hour after the one before.
func FirstBoil(f FinishFacts) *time.Duration {
	rises, _ := f.rises()
	before, cold := f.Lit, juiceCold-rises.water
	for _, t := range recordedBy(f.Now, f.Temperatures, func(t FinishTemperature) time.Time { return t.At }) {
		rise, _ := t.above(&rises, 0)
		if rise < -nearBoil {
			before, cold = t.At, rise
			continue
		}
		if t.At.Sub(before) > wideGap && before != f.Lit || t.At.Sub(before) > 3*wideGap {
			return nil
		}
		at := f.whenHot(before, t.At, -cold)
		return &at
	}
	return nil
}

// nearBoil is how far below boiling water a kettle is taken to boil: thermometers differ. wideGap is how far two
// temperatures may lie apart and still tell when it began between them. Our choice.
const (
	nearBoil = 1.5 // C
	wideGap  = 30 * time.Minute
)

// whenHot is the middle of the time in which it came to the boil, nearer to its end the colder it was before: a kettle
// warms about a degree and a half a minute at most.
func (f FinishFacts) whenHot(before, hot time.Time, missing float64) time.Duration {
	gap := hot.Sub(before)
	quickest := min(gap, time.Duration(missing/1.5*float64(time.Minute)))
	return max(0, before.Add((gap+quickest)/2).Sub(f.Lit)-f.timeOut(before))
}
