package hazards

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// guesses is how many guesses of the kettle are carried along. Fewer starve near the end, when forty entries have weighed them:
// with a thousand the interval is too narrow in the last ten minutes.
const guesses = 2000

// Spreads of what is not known, one standard deviation each. A reading's stated uncertainty is taken in full
// for each reading, in the steam over a kettle, and half of it again as an error the instrument keeps through the boil. Our
// choice where no source is named.
const (
	massSpread       = 0.02 // of juice measured
	solidsSpread     = 0.02
	estimatedSpread  = 0.10 // of a quantity that was estimated
	skimMean         = 0.04 // of everything, to skimmings and spills
	skimSpread       = 0.03
	rateWalk         = 0.2 // of the logarithm of the rate, in a square root of an hour
	compositionMean  = 1.0 // times the usual extra rise
	compositionSide  = 0.5
	readTemperature  = 0.3  // C: half a degree F on the dial
	riseSpread       = 0.10 // of the rise: the curves of physics.md 5 differ in shape
	zeroChecked      = 0.2  // C: after a boiling-water check
	zeroByHeight     = 1.3  // C: weather moves boiling water by 0.9 (syrup.PressureAtAltitude), the thermometer is off by another 0.9
	zeroBySeaLevel   = 3.0  // C: the height is not known
	warmTemperature  = 3.0  // C: a kettle not yet boiling is not one temperature
	volumeSpread     = 0.06
	keptError        = 0.5
	oddDensity       = 0.03 // share of readings that are slips
	oddDensitySpread = 10.0 // % solids
	oddTemperature   = 0.05
	oddSpread        = 12.0 // C
	kernel           = 0.2  // of Liu and West
)

// coolingHeat is what an open kettle of a square meter loses by itself, W/K above the air, three quarters of it as vapour
// (open water at 90 C loses 4 to 8 kg an hour a square meter; from memory).
const (
	coolingHeat  = 70.0
	coolingVapor = 0.75
	air          = 20.0
)

// longestStep is how far the clock goes at once, in hours.
const longestStep = 1.0 / 12

// longestAhead is how far a finish is told, in hours.
const longestAhead = 24.0

// guess is one guess of what is in the kettle and how the fire burns.
type guess struct {
	solids, ratio float64 // kg; kg of water to a kg of solids
	celsius       float64
	rate          float64 // kg of water an hour once it boils
	warm          float64 // share of that heat that gets into a charge not yet boiling
	late          float64 // share of the rate that is left once it is thick
	gradual       bool    // the fire burns down over the whole boil; else it is made smaller when the syrup is thick
	began         float64 // kg of water to a kg of solids at the start
	composition   float64 // times the usual extra rise
	bias          float64 // of the hydrometer, in the spreads of its kept error
	zero          float64 // of the thermometer and the day's water, in the spreads of a temperature's zero
}

// kettle is all guesses with their weights.
type kettle struct {
	guesses []guess
	weights []float64
	spare   []guess
	random  *rand.Rand
	rises   riseTable

	zeroUnchecked float64
	clock         time.Time
	fire          bool
	done          float64 // kg of water to a kg of solids at the target

	readings, temperatures int
	odd                    []string
	boilSince              time.Time // when it was first thought to boil; zero: not yet
	highest                float64   // C: the highest rise over boiling water by a thermometer checked that day
}

// start is what stands in the kettle when the filter begins.
type start struct {
	at           time.Time
	mass, solids float64
	massSpread   float64
	solidsSpread float64
	hot          bool // it is taken to boil
}

// newKettle spreads the guesses; false when what is in the kettle is not known.
func newKettle(f FinishFacts) (*kettle, bool) {
	s, ok := f.start()
	if !ok {
		return nil, false
	}
	k := &kettle{guesses: make([]guess, guesses), weights: make([]float64, guesses), spare: make([]guess, guesses),
		random: rand.New(rand.NewPCG(0x43616e65, 0x426f696c)), clock: s.at, fire: f.fireAt(s.at), done: doneRatio(f.Target)}
	k.rises, k.zeroUnchecked = f.rises()
	believed := pastBeliefs(f.Past)
	for i := range k.guesses {
		k.guesses[i] = k.draw(s, believed)
	}
	k.even()
	return k, true
}

func (k *kettle) draw(s start, b beliefs) guess {
	kept := 1 - min(0.15, max(0, skimMean+skimSpread*k.random.NormFloat64()))
	if s.hot {
		kept = 1 // what was measured in mid-boil has been skimmed
	}
	mass := s.mass * math.Exp(s.massSpread*k.random.NormFloat64())
	w := min(0.84, s.solids/s.mass*math.Exp(s.solidsSpread*k.random.NormFloat64()))
	g := guess{solids: mass * w * kept, ratio: 1/w - 1, celsius: juiceCold,
		rate: b.rate.drawn(k.random), warm: b.warmUp.drawn(k.random), late: b.late.drawn(k.random),
		composition: max(0, compositionMean+compositionSide*k.random.NormFloat64()),
		bias:        k.random.NormFloat64(), zero: k.random.NormFloat64()}
	g.began, g.gradual = g.ratio, k.random.Float64() < 0.5
	if s.hot {
		g.celsius = k.rises.boils(w, g.composition)
	}
	return g
}

// rises is the boiling model at the kettle's pressure, and how far a thermometer nobody checked may lie off there, C.
func (f FinishFacts) rises() (riseTable, float64) {
	if f.Pressure != nil {
		if t, ok := newRiseTable(*f.Pressure); ok {
			return t, zeroByHeight
		}
	}
	t, _ := newRiseTable(syrup.StandardPressure)
	return t, zeroBySeaLevel
}

// above is a temperature over boiling water, and how far off that may be by the zero.
func (t FinishTemperature) above(rises *riseTable, unchecked float64) (rise, zero float64) {
	if t.Water != nil {
		return float64(t.Temperature - *t.Water), zeroChecked
	}
	return float64(t.Temperature) - rises.water, unchecked
}

// start is the first charge when all charges are known; else a volume written down beside a density reading.
func (f FinishFacts) start() (start, bool) {
	if s, ok := f.startFromJuice(); ok {
		return s, true
	}
	return f.startFromVolume()
}

func (f FinishFacts) startFromJuice() (start, bool) {
	if len(f.In) == 0 {
		return start{}, false
	}
	s := start{at: f.Lit, massSpread: massSpread, solidsSpread: solidsSpread}
	for _, c := range f.In {
		if c.Mass == nil || c.Solids == nil || *c.Mass <= 0 || *c.Solids < 0 || *c.Solids > *c.Mass {
			return start{}, false
		}
		if c.At.After(f.Lit) && s.mass > 0 {
			continue // put in later
		}
		s.mass += float64(*c.Mass)
		s.solids += float64(*c.Solids)
		if c.At.After(s.at) {
			s.at = c.At
		}
		if c.Estimated {
			s.massSpread = estimatedSpread
		}
	}
	return s, s.solids > 0
}

// besideVolume is how near a density reading stands to a volume it is taken with (our choice).
const besideVolume = 20 * time.Minute

func (f FinishFacts) startFromVolume() (start, bool) {
	for _, v := range f.Volumes {
		for _, r := range f.Readings {
			if v.At.Sub(r.At).Abs() > besideVolume || r.Solids.Percent <= 0 {
				continue
			}
			rho, err := syrup.Density(r.Solids.Percent, 100)
			if err != nil {
				continue
			}
			mass := float64(v.Volume) / 1000 * float64(rho)
			at := r.At
			if v.At.Before(at) {
				at = v.At
			}
			return start{at: at, mass: mass, solids: mass * float64(r.Solids.Percent) / 100, massSpread: volumeSpread,
				solidsSpread: 2 * float64(r.Solids.Uncertainty/r.Solids.Percent), hot: true}, true
		}
	}
	return start{}, false
}

// fireAt tells whether the fire burns at a moment.
func (f FinishFacts) fireAt(at time.Time) bool {
	lit := true
	for _, c := range f.Fires {
		if !c.At.After(at) {
			lit = c.Lit
		}
	}
	return lit
}

// happening is one entry of the log for the filter.
type happening struct {
	at time.Time
	do func(k *kettle)
}

// run carries the guesses through the log to now.
func (k *kettle) run(f FinishFacts) {
	for _, h := range f.happenings(k.clock) {
		k.advance(h.at)
		h.do(k)
	}
	k.advance(f.Now)
}

// happenings are the entries after the start, in order of time.
func (f FinishFacts) happenings(since time.Time) []happening {
	list := make([]happening, 0, len(f.In)+len(f.Readings)+len(f.Temperatures)+len(f.Fires)+len(f.Volumes)+len(f.Water)+len(f.Taken))
	add := func(at time.Time, do func(*kettle)) {
		if !at.Before(since) {
			list = append(list, happening{at, do})
		}
	}
	for _, c := range f.Fires {
		add(c.At, func(k *kettle) { k.fire = c.Lit })
	}
	for _, c := range f.In {
		if c.At.After(since) && c.Mass != nil && c.Solids != nil {
			add(c.At, func(k *kettle) { k.pour(float64(*c.Mass), float64(*c.Solids), c.Estimated) })
		}
	}
	for _, w := range f.Water {
		add(w.At, func(k *kettle) { k.pour(float64(w.Mass), 0, false) })
	}
	for _, t := range f.Taken {
		add(t.At, func(k *kettle) { k.take(float64(t.Mass)) })
	}
	for _, v := range f.Volumes {
		add(v.At, func(k *kettle) { k.weighVolume(v) })
	}
	for _, t := range f.Temperatures {
		add(t.At, func(k *kettle) { k.weighTemperature(t) })
	}
	for _, r := range f.Readings {
		add(r.At, func(k *kettle) { k.weighReading(r) })
	}
	slices.SortStableFunc(list, func(a, b happening) int { return a.at.Compare(b.at) })
	return list
}

// advance carries every guess to a moment.
func (k *kettle) advance(to time.Time) {
	for k.clock.Before(to) {
		step := min(to.Sub(k.clock).Hours(), longestStep)
		for i := range k.guesses {
			k.guesses[i].burn(step, k.done, k.fire, &k.rises, k.random)
		}
		k.clock = k.clock.Add(time.Duration(step * float64(time.Hour)))
		if to.Sub(k.clock) < time.Millisecond {
			k.clock = to
		}
		if k.boilSince.IsZero() && k.boiling() > 0.5 {
			k.boilSince = k.clock
		}
	}
}

// burn is one guess after some hours of fire, or of no fire.
func (g *guess) burn(hours, done float64, fire bool, rises *riseTable, random *rand.Rand) {
	g.rate *= math.Exp(rateWalk * math.Sqrt(hours) * random.NormFloat64())
	w := 1 / (1 + g.ratio)
	mass := g.solids / w
	boils := rises.boils(w, g.composition)
	rate := g.rate * g.left(done)
	lost := 0.0
	if fire {
		if g.celsius < boils {
			climb := rate * g.warm * latentHeat / (mass * heatCapacity(w)) // C an hour
			need := (boils - g.celsius) / climb
			if need >= hours {
				g.celsius += climb * hours
				lost, hours = cooled(g.celsius)*hours, 0
			} else {
				hours -= need
			}
		}
		if hours > 0 {
			lost += rate * hours
			g.celsius = -1 // at the boil
		}
	} else {
		lost = cooled(g.celsius) * hours
		g.celsius = air + (g.celsius-air)*math.Exp(-coolingHeat*3.6/(mass*heatCapacity(w))*hours)
	}
	g.ratio = max(0.02, g.ratio-lost/g.solids)
	if g.celsius < 0 {
		g.celsius = rises.boils(1/(1+g.ratio), g.composition)
	}
}

// left is the share of the fire that is left: one fall at the thickening, or a slow one through the boil whose end is as low.
func (g *guess) left(done float64) float64 {
	if !g.gradual {
		if 100/(1+g.ratio) > thickAt {
			return g.late
		}
		return 1
	}
	gone := min(1, max(0, (g.began-g.ratio)/max(0.01, g.began-done)))
	return math.Exp(math.Log(g.late) * (gone - middleGone) / (1 - middleGone))
}

// middleGone is how much of the water has gone in the middle of the boil before it is thick, where a fire that burns down
// slowly is at its average.
const middleGone = 0.45

// cooled is the vapour, kg an hour, that leaves an open kettle without boiling.
func cooled(celsius float64) float64 {
	return coolingVapor * coolingHeat * 3.6 * max(0, celsius-air) / latentHeat
}

// pour adds what came cold into the kettle.
func (k *kettle) pour(mass, solids float64, estimated bool) {
	spread := massSpread
	if estimated {
		spread = estimatedSpread
	}
	for i := range k.guesses {
		g := &k.guesses[i]
		factor := math.Exp(spread * k.random.NormFloat64())
		water, in := g.solids*g.ratio+(mass-solids)*factor, g.solids+solids*factor
		had := g.solids * (1 + g.ratio)
		g.celsius = (g.celsius*had + juiceCold*mass*factor) / (had + mass*factor)
		g.solids, g.ratio = in, water/in
	}
}

// take removes a mass with its share of the solids.
func (k *kettle) take(mass float64) {
	for i := range k.guesses {
		g := &k.guesses[i]
		had := g.solids * (1 + g.ratio)
		g.solids *= max(0.02, 1-mass/had)
	}
}

// weighReading weighs the guesses by a density reading.
func (k *kettle) weighReading(r FinishReading) {
	side := max(0.1, float64(r.Solids.Uncertainty))
	fit := k.weigh(oddDensity, oddDensitySpread, func(g *guess) (off, spread float64) {
		return float64(r.Solids.Percent) - 100/(1+g.ratio) - keptError*side*g.bias, side
	})
	if fit < 0.5 {
		k.odd = append(k.odd, r.ID)
		return
	}
	k.readings++
}

// weighTemperature weighs the guesses by a temperature: a weak word on the solids near the end, the warm-up before.
func (k *kettle) weighTemperature(t FinishTemperature) {
	rise, zero := t.above(&k.rises, k.zeroUnchecked)
	fit := k.weigh(oddTemperature, oddSpread, func(g *guess) (off, spread float64) {
		spread = math.Hypot(readTemperature, riseSpread*(g.celsius-k.rises.water))
		if k.rises.boils(1/(1+g.ratio), g.composition)-g.celsius > 0.5 {
			spread = warmTemperature
		}
		return rise - (g.celsius - k.rises.water) - zero*g.zero, spread
	})
	if fit < 0.5 {
		k.odd = append(k.odd, t.ID)
		return
	}
	k.temperatures++
	if t.Water != nil {
		k.highest = max(k.highest, rise)
	}
}

// weighVolume weighs the guesses by a volume written down.
func (k *kettle) weighVolume(v KettleVolume) {
	k.weigh(oddTemperature, 0.5, func(g *guess) (off, spread float64) {
		w := 1 / (1 + g.ratio)
		rho, err := syrup.Density(syrup.Brix(min(85, 100*w)), syrup.Celsius(min(g.celsius, 110)))
		if err != nil {
			return 0, volumeSpread
		}
		return math.Log(float64(v.Volume) * float64(rho) / 1000 / (g.solids / w)), volumeSpread
	})
}

// weigh multiplies the weights by how well each guess explains a reading: a normal error, or a slip of a wide one. It
// gives how much of the reading is explained without a slip.
func (k *kettle) weigh(odd, oddSpread float64, miss func(*guess) (off, spread float64)) float64 {
	total, plain := 0.0, 0.0
	for i := range k.guesses {
		off, spread := miss(&k.guesses[i])
		good := (1 - odd) * normal(off, spread)
		plain += k.weights[i] * good
		k.weights[i] *= good + odd*normal(off, oddSpread)
		total += k.weights[i]
	}
	if !(total > 0) {
		k.even()
		return 0
	}
	squares := 0.0
	for i := range k.weights {
		k.weights[i] /= total
		squares += k.weights[i] * k.weights[i]
	}
	if 1/squares < guesses/2 {
		k.resample()
	}
	return plain / total
}

func normal(x, spread float64) float64 {
	z := x / spread
	return math.Exp(-z*z/2) / spread
}

func (k *kettle) even() {
	for i := range k.weights {
		k.weights[i] = 1.0 / guesses
	}
}

// resample draws the guesses anew by weight (systematic), and moves what does not change by itself a little around its
// middle, keeping its spread (Liu and West).
func (k *kettle) resample() {
	at, sum, j := k.random.Float64()/guesses, k.weights[0], 0
	for i := range k.spare {
		for sum < at && j < guesses-1 {
			j++
			sum += k.weights[j]
		}
		k.spare[i] = k.guesses[j]
		at += 1.0 / guesses
	}
	k.guesses, k.spare = k.spare, k.guesses
	k.even()
	for _, part := range moved {
		k.stir(part)
	}
}

// moved are the parts of a guess that resampling stirs.
var moved = []struct {
	of   func(*guess) *float64
	logs bool
}{
	{func(g *guess) *float64 { return &g.solids }, true},
	{func(g *guess) *float64 { return &g.warm }, true},
	{func(g *guess) *float64 { return &g.late }, true},
	{func(g *guess) *float64 { return &g.composition }, false},
	{func(g *guess) *float64 { return &g.bias }, false},
	{func(g *guess) *float64 { return &g.zero }, false},
}

func (k *kettle) stir(part struct {
	of   func(*guess) *float64
	logs bool
}) {
	mean, squares := 0.0, 0.0
	for i := range k.guesses {
		x := part.of(&k.guesses[i])
		if part.logs {
			*x = math.Log(*x)
		}
		mean += *x / guesses
		squares += *x * *x / guesses
	}
	side := kernel * math.Sqrt(max(0, squares-mean*mean))
	keep := math.Sqrt(1 - kernel*kernel)
	for i := range k.guesses {
		x := part.of(&k.guesses[i])
		*x = mean + keep*(*x-mean) + side*k.random.NormFloat64()
		if part.logs {
			*x = math.Exp(*x)
		}
	}
}

// boiling is the share of guesses that boil.
func (k *kettle) boiling() float64 {
	share := 0.0
	for i := range k.guesses {
		g := &k.guesses[i]
		if g.celsius >= k.rises.boils(1/(1+g.ratio), g.composition)-0.5 {
			share += k.weights[i]
		}
	}
	return share
}

// tellsRate tells whether the boil itself says something of its rate: a density reading some time into the boil (or a
// second one, where the first is what the kettle is known by), or temperatures well above boiling water.
func (k *kettle) tellsRate(f FinishFacts) bool {
	if _, juice := f.startFromJuice(); !juice {
		return k.readings >= 2
	}
	boiled := slices.ContainsFunc(f.Readings, func(r FinishReading) bool {
		return !k.boilSince.IsZero() && r.At.Sub(k.boilSince) >= intoBoil && !slices.Contains(k.odd, r.ID)
	})
	return boiled || k.highest >= float64(relianceRise)
}

// weighted is a value with a weight.
type weighted struct{ value, weight float64 }

// quantiles gives the values below which these shares of the weight lie.
func quantiles(list []weighted, shares ...float64) []float64 {
	slices.SortFunc(list, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
	out, sum, next := make([]float64, len(shares)), 0.0, 0
	for _, x := range list {
		sum += x.weight
		for next < len(shares) && sum >= shares[next] {
			out[next] = x.value
			next++
		}
	}
	for ; next < len(shares); next++ {
		out[next] = list[len(list)-1].value
	}
	return out
}

func (k *kettle) middle(value func(*guess) float64) float64 {
	list := make([]weighted, len(k.guesses))
	for i := range k.guesses {
		list[i] = weighted{value(&k.guesses[i]), k.weights[i]}
	}
	return quantiles(list, 0.5)[0]
}

// now is the middle of the guesses: solids, water still to go, rate, and whether it boils.
func (k *kettle) now() (syrup.Brix, syrup.Kilograms, syrup.Kilograms, bool) {
	solids := k.middle(func(g *guess) float64 { return 100 / (1 + g.ratio) })
	water := k.middle(func(g *guess) float64 { return max(0, g.solids*(g.ratio-k.done)) })
	rate := k.middle(func(g *guess) float64 { return g.rate * g.left(k.done) })
	return syrup.Brix(solids), syrup.Kilograms(water), syrup.Kilograms(rate), k.boiling() > 0.5
}

// doneRatio is the water to a kg of solids at the target.
func doneRatio(target syrup.Brix) float64 { return 100/float64(target) - 1 }

// reached tells whether half of the guesses are at the target.
func (k *kettle) reached() bool {
	return k.middle(func(g *guess) float64 { return g.ratio }) <= k.done
}

// foretell lets each guess boil on to the target: the time of fire that a tenth, half and nine tenths of them need. False
// when half or more do not get there within a day.
func (k *kettle) foretell() (early, middle, late time.Duration, ok bool) {
	list := make([]weighted, len(k.guesses))
	for i, g := range k.guesses {
		list[i] = weighted{g.boilOn(k.done, &k.rises, k.random), k.weights[i]}
	}
	q := quantiles(list, 0.1, 0.5, 0.9)
	hours := func(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
	return hours(q[0]), hours(q[1]), hours(q[2]), q[1] < longestAhead
}

// boilOn is the hours a guess needs to its end with the fire lit.
func (g guess) boilOn(done float64, rises *riseTable, random *rand.Rand) float64 {
	hours := 0.0
	for hours < longestAhead {
		if g.ratio <= done {
			return hours
		}
		before := g.ratio
		g.burn(longestStep, done, true, rises, random)
		if g.ratio <= done {
			return hours + longestStep*(before-done)/(before-g.ratio)
		}
		hours += longestStep
	}
	return longestAhead
}
