package hazards

import (
	"math"
	"math/rand/v2"
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
