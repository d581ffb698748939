package hazards

import (
	"cmp"
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// longestAhead is how far a finish is told, in hours.
const longestAhead = 24.0

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
