package hazards

import (
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// FinishFacts is one boil as its log tells it, and the earlier boils of the same kettle, for the estimate of when it will
// be done. Everything is as recorded; lists need no order. What lies after Now is not looked at.
type FinishFacts struct {
	Lit          time.Time
	Now          time.Time
	Target       syrup.Brix // where the maker means to stop
	In           []KettleCharge
	Taken        []KettleTaken
	Water        []KettleWater
	Fires        []FireChange
	Readings     []FinishReading
	Temperatures []FinishTemperature
	Volumes      []KettleVolume
	Pressure     *syrup.Kilopascals // at the kettle; nil is taken as sea level, with a wide margin
	Past         []PastBoil
	Uncounted    []string // what was added and is not in the estimate, by its substance
}

// KettleCharge is juice, semi-syrup or a heel that went into the kettle. Solids nil: what it carries is not known.
type KettleCharge struct {
	At        time.Time
	Mass      *syrup.Kilograms
	Solids    *syrup.Kilograms
	Estimated bool
}

// KettleTaken is what left the kettle in mid-boil, with its share of the solids.
type KettleTaken struct {
	At   time.Time
	Mass syrup.Kilograms
}

// KettleWater is water put into the kettle.
type KettleWater struct {
	At   time.Time
	Mass syrup.Kilograms
}

// FireChange is the fire going out, or lit again.
type FireChange struct {
	At  time.Time
	Lit bool
}

// FinishReading is a usable density reading.
type FinishReading struct {
	ID     string
	At     time.Time
	Solids syrup.Solids
}

// FinishTemperature is a temperature of the kettle as read. Water is what the same thermometer read in boiling water that
// day; nil when nobody looked, and then the rise counts from the pressure, with a wide margin.
type FinishTemperature struct {
	ID          string
	At          time.Time
	Temperature syrup.Celsius
	Water       *syrup.Celsius
}

// KettleVolume is how much stood in the kettle.
type KettleVolume struct {
	At     time.Time
	Volume syrup.Liters
}

// PastBoil is an earlier boil of the kettle that was drawn off as syrup: what went in, the solids it ended at, and its
// times. WarmUp is from fire lit to the first boil; nil when nobody wrote a temperature then.
type PastBoil struct {
	Mass, Solids syrup.Kilograms
	Ended        syrup.Brix
	Took         time.Duration // fire lit to drawn off, without the time the fire was out
	WarmUp       *time.Duration
	ThickAt      *syrup.Brix   // the first reading at which the fire is usually made smaller; nil when none was taken then
	ThickTook    time.Duration // from that reading to the end
}

// States of an estimate.
const (
	FinishBoiling = "boiling"  // the time can be told
	FinishFireOut = "fire_out" // the clock stands; Left counts from when it is lit again
	FinishReached = "reached"  // at the target or past it
	FinishUnknown = "unknown"  // no basis: Reason says what is missing
)

// Reasons for having no number, as keys of texts.
const (
	FinishNoSolids = "finish.no_solids" // what went in is not known by mass and solids
	FinishNoRate   = "finish.no_rate"   // no reading of this boil yet and no earlier boil of this kettle
	FinishTooSlow  = "finish.too_slow"  // at this rate not within a day
	FinishNoTarget = "finish.no_target" // the target is outside the model
)

// Finish is the estimate of when a boil will be done. Every figure is an estimate and never a judgement: the finish reading
// decides. Early and Late are the ends of an 80 % interval; they hold for a fire kept as it is.
type Finish struct {
	State  string
	Reason string // of FinishUnknown

	Solids    syrup.Brix      // in the kettle now
	Water     syrup.Kilograms // still to boil off
	Rate      syrup.Kilograms // boiled off in an hour by the fire as it burns now
	At        time.Time       // half of the guesses are done by then
	Early     time.Time
	Late      time.Time
	Left      time.Duration // At, Early and Late as time of fire still needed
	LeftEarly time.Duration
	LeftLate  time.Duration

	Boils bool // it boils by now; before that Rate is what is expected once it does
	// The basis.
	Readings     int      // density readings counted
	Temperatures int      // temperatures counted
	Past         int      // earlier boils of the kettle
	Odd          []string // readings that fit nothing else of the boil, by ID: they counted for little
	Uncounted    []string
}

// relianceRise is the rise over boiling water from which temperatures alone are a basis: below it half a degree of the
// thermometer is ten percent of the water (our choice).
const relianceRise syrup.CelsiusDelta = 2

// intoBoil is how long after the first boil a density reading says something of the rate (our choice).
const intoBoil = 10 * time.Minute

// EstimateFinish says when the kettle will reach the target.
//
// Method: a particle filter (sequential Monte Carlo, Gordon, Salmond and Smith 1993; what does not change kept alive by the
// kernel of Liu and West 2001; both from memory). Two thousand guesses of what is in the kettle and how the fire burns are
// carried along the clock by the mass balance on the solids,
//
//	d(water)/dt = -rate while it boils,   solids constant,   done when water = solids (100 - target) / target
//
// and weighed against each entry of the log. In one guess: kg of solids, kg of water, C, rate in kg of water an hour, how
// much of that heat gets into cold juice, how much of the fire is left once the syrup thickens, how much it boils above pure
// sucrose, and the errors that hydrometer and thermometer keep through the boil. The rate is a random walk of its logarithm,
// a fifth in a square root of an hour, for a fire that changes. Rate, warm-up and the smaller fire at the end start from the
// kettle's own earlier boils where there are any, else from the trade's figures (8 to 25 gal an hour, trade.md 2.3; "fire
// reduced" from 216 F, trade.md 1.10), and then no number is given until a reading of this boil says something of its rate.
//
// Assumed: skimmings and spills take 0 to 10 % of everything (trade.md 2.3: 90 to 100 % of the solids come out), juice is
// poured in cold, and a reading that fits nothing else may be a slip, which then counts for little. The draws come from a
// fixed seed: the same log gives the same answer on every phone. Held against simulated boils in testdata/FINISH.md.
func EstimateFinish(f FinishFacts) Finish {
	f = f.untilNow()
	out := Finish{State: FinishUnknown, Past: len(f.Past), Uncounted: f.Uncounted}
	if f.Target < 1 || f.Target > syrup.MaxSolids {
		out.Reason = FinishNoTarget
		return out
	}
	k, ok := newKettle(f)
	if !ok {
		out.Reason = FinishNoSolids
		return out
	}
	k.run(f)
	out.Readings, out.Temperatures, out.Odd = k.readings, k.temperatures, k.odd
	out.Solids, out.Water, out.Rate, out.Boils = k.now()
	switch {
	case f.pastTarget() || k.reached():
		out.State = FinishReached
	case len(f.Past) == 0 && !k.tellsRate(f):
		out.Reason = FinishNoRate
	default:
		out.foretell(k, f)
	}
	return out
}

// foretell lets every guess boil on and reads off the times.
func (out *Finish) foretell(k *kettle, f FinishFacts) {
	early, middle, late, ok := k.foretell()
	if !ok {
		out.Reason = FinishTooSlow
		return
	}
	out.LeftEarly, out.Left, out.LeftLate = early, middle, late
	if !k.fire {
		out.State = FinishFireOut
		return
	}
	out.State = FinishBoiling
	out.Early, out.At, out.Late = f.Now.Add(early), f.Now.Add(middle), f.Now.Add(late)
}

// pastTarget tells whether the newest density reading is at the target with nothing put in since.
func (f FinishFacts) pastTarget() bool {
	if len(f.Readings) == 0 {
		return false
	}
	last := f.Readings[len(f.Readings)-1]
	if last.Solids.Percent < f.Target {
		return false
	}
	thinned := slices.ContainsFunc(f.In, func(c KettleCharge) bool { return c.At.After(last.At) }) ||
		slices.ContainsFunc(f.Water, func(w KettleWater) bool { return w.At.After(last.At) })
	return !thinned
}

// untilNow are the facts up to now, each list in order of time.
func (f FinishFacts) untilNow() FinishFacts {
	f.In = recordedBy(f.Now, f.In, func(x KettleCharge) time.Time { return x.At })
	f.Taken = recordedBy(f.Now, f.Taken, func(x KettleTaken) time.Time { return x.At })
	f.Water = recordedBy(f.Now, f.Water, func(x KettleWater) time.Time { return x.At })
	f.Fires = recordedBy(f.Now, f.Fires, func(x FireChange) time.Time { return x.At })
	f.Readings = recordedBy(f.Now, f.Readings, func(x FinishReading) time.Time { return x.At })
	f.Temperatures = recordedBy(f.Now, f.Temperatures, func(x FinishTemperature) time.Time { return x.At })
	f.Volumes = recordedBy(f.Now, f.Volumes, func(x KettleVolume) time.Time { return x.At })
	return f
}

func recordedBy[T any](now time.Time, list []T, at func(T) time.Time) []T {
	kept := slices.DeleteFunc(slices.Clone(list), func(x T) bool { return at(x).After(now) })
	slices.SortStableFunc(kept, func(a, b T) int { return at(a).Compare(at(b)) })
	return kept
}
