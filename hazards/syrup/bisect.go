package syrup

// bisect finds the zero of a rising function between low and high, to the last bit that matters: 60 halvings. The
// caller has made sure that f(low) <= 0 <= f(high).
func bisect(f func(float64) float64, low, high float64) float64 {
	for range 60 {
		middle := (low + high) / 2
		if f(middle) > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return (low + high) / 2
}
