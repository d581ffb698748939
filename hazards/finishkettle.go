package hazards

import (
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
