package boilchart

import "slices"

// How few past boils are too few for a band, how far apart its corners stand, and which share of them it covers.
const (
	leastPast     = 4
	pastEach      = 10.0 // minutes
	quarter, rest = 0.25, 0.75
)

// middleHalf is the middle half of past boils, minute by minute, as corners of a shape, and of how many boils it is made.
func (q quantity) middleHalf() ([]Place, int) {
	curves := slices.DeleteFunc(slices.Clone(q.past), func(points []point) bool { return len(points) < 2 })
	var upper, lower []Place
	for minute := 0.0; minute <= q.minutes; minute += pastEach {
		var at []float64
		for _, points := range curves {
			if v, ok := between(points, minute); ok {
				at = append(at, v)
			}
		}
		if len(at) < leastPast {
			continue
		}
		slices.Sort(at)
		if quantile(at, rest) <= q.low {
			continue // below the axis: nothing to see
		}
		upper = append(upper, Place{q.x(minute), q.y(quantile(at, rest))})
		lower = append(lower, Place{q.x(minute), q.y(quantile(at, quarter))})
	}
	if len(upper) < 2 {
		return nil, 0
	}
	slices.Reverse(lower)
	return append(upper, lower...), len(curves)
}

// between is the value at a minute, on the straight line between two entries; false outside them.
func between(points []point, minute float64) (float64, bool) {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if minute >= a.minute && minute <= b.minute {
			if b.minute == a.minute {
				return b.value, true
			}
			return a.value + (b.value-a.value)*(minute-a.minute)/(b.minute-a.minute), true
		}
	}
	return 0, false
}

// quantile of sorted numbers, on the straight line between two of them.
func quantile(sorted []float64, q float64) float64 {
	place := q * float64(len(sorted)-1)
	i := int(place)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (sorted[i+1]-sorted[i])*(place-float64(i))
}
