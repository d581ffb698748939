package boilchart

import "canewright/hazards/syrup"

// Rise is how far the kettle stood above boiling water at a minute since the fire was lit.
type Rise struct {
	Minute float64
	Above  syrup.CelsiusDelta
}

// Thick is how thick the syrup was at a minute.
type Thick struct {
	Minute float64
	Solids syrup.Brix
}

// Curve is one boil in both quantities, in order of time.
type Curve struct {
	Rises  []Rise
	Solids []Thick // from density readings
}

// Boil is everything the picture of one boil shows.
type Boil struct {
	Curve
	Logged    []Rise  // a logger's points
	Estimated []Thick // from the boiling rise: weaker than a density reading
	Past      []Curve // earlier boils of the kettle
	RiseLow   *syrup.CelsiusDelta
	RiseHigh  *syrup.CelsiusDelta // where the target boils, pure sucrose to inverted and salty; nil is not known
	Target    [2]syrup.Brix       // from, to
	Out       []Span              // the fire was out
	Events    []Event
	Until     float64 // minute the picture reaches at least: drawn off, or now
}

// Span is a stretch of minutes.
type Span struct{ From, To float64 }

// Event is a word at a minute.
type Event struct {
	Minute float64
	Word   string
}

// Empty tells whether there is nothing to draw yet.
func (b Boil) Empty() bool { return len(b.Rises) == 0 && len(b.Logged) == 0 && len(b.Solids) == 0 }

// Words are the texts of a picture, in the reader's language and units.
type Words struct {
	Metric      bool
	AboveTitle  string // of the upper axis
	SolidsTitle string // of the lower one
	Target      string
	Degrees     func(syrup.CelsiusDelta) string // the last rise
	Percent     func(syrup.Brix) string         // the last solids
}

// degrees is a difference of temperatures as a bare number in the reader's unit.
func (w Words) degrees(d syrup.CelsiusDelta) float64 {
	if w.Metric {
		return float64(d)
	}
	return float64(d) * 9 / 5
}
