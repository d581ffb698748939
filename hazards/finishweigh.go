package hazards

import (
	"math"

	"canewright/hazards/syrup"
)

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
