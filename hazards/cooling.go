package hazards

import (
	"math"

	"canewright/hazards/syrup"
)

// Reference of the lethality shown: 180 F with a z of 23 F, that of ascospores of one xerophilic mould (Pitt & Christian 1970).
var (
	coolingReference = syrup.Fahrenheit(180).Celsius()
	coolingSlope     = syrup.FahrenheitDelta(23).Celsius()
)

// CoolingFacts is how one filled bottle cooled.
type CoolingFacts struct {
	Record []syrup.Moment // minutes since it was capped; at least three, rising
	Air    *syrup.Celsius
	Limit  *syrup.Celsius // the container's house fill limit
}

// CoolingFound is what a cooling test tells. None of it is a pass.
type CoolingFound struct {
	First, Last syrup.Moment
	Above       []TimeAbove // of 180, 170, 160 F and the house limit where it is another, hottest first
	Half        *float64    // minutes until the bottle was half way to the air; nil: not reached, or the air was not measured
	Worth       float64     // minutes at 180 F, z 23 F, by trapezoids
	Coarse      bool        // two readings stand further apart than the sum is made for
}

// TimeAbove is how long a bottle stayed at or above a temperature.
type TimeAbove struct {
	Limit   syrup.Celsius
	Minutes float64
	Still   bool // it was not below when the readings end
	House   bool // the house's fill limit
}

// Cooling works out a cooling test.
func Cooling(f CoolingFacts) CoolingFound {
	found := CoolingFound{First: f.Record[0], Last: f.Record[len(f.Record)-1]}
	marks := []TimeAbove{{Limit: syrup.Fahrenheit(180).Celsius()}, {Limit: syrup.Fahrenheit(170).Celsius()}, {Limit: syrup.Fahrenheit(160).Celsius()}}
	if f.Limit != nil {
		marks = f.withHouse(marks)
	}
	for _, m := range marks {
		m.Minutes = minutesAbove(f.Record, m.Limit)
		m.Still = found.Last.Temperature >= m.Limit
		found.Above = append(found.Above, m)
	}
	found.Half = f.half()
	found.Worth, found.Coarse = worth(f.Record)
	return found
}

// withHouse sets the house limit among the marks.
func (f CoolingFacts) withHouse(marks []TimeAbove) []TimeAbove {
	for i, m := range marks {
		switch {
		case math.Abs(float64(m.Limit-*f.Limit)) < 0.005:
			marks[i].House = true
			return marks
		case *f.Limit > m.Limit:
			return append(marks[:i:i], append([]TimeAbove{{Limit: *f.Limit, House: true}}, marks[i:]...)...)
		}
	}
	return append(marks, TimeAbove{Limit: *f.Limit, House: true})
}

// minutesAbove sums the time at or above a temperature, with straight lines between readings.
func minutesAbove(record []syrup.Moment, limit syrup.Celsius) float64 {
	sum := 0.0
	for i := 1; i < len(record); i++ {
		a, b := record[i-1], record[i]
		over, under := float64(a.Temperature-limit), float64(b.Temperature-limit)
		step := b.Minutes - a.Minutes
		switch {
		case over >= 0 && under >= 0:
			sum += step
		case over >= 0:
			sum += step * over / (over - under)
		case under >= 0:
			sum += step * under / (under - over)
		}
	}
	return sum
}

// half is when the bottle was half way from its hottest reading to the air, counted from that reading.
func (f CoolingFacts) half() *float64 {
	if f.Air == nil {
		return nil
	}
	top := 0
	for i, m := range f.Record {
		if m.Temperature > f.Record[top].Temperature {
			top = i
		}
	}
	middle := (f.Record[top].Temperature + *f.Air) / 2
	for i := top + 1; i < len(f.Record); i++ {
		a, b := f.Record[i-1], f.Record[i]
		if a.Temperature >= middle && b.Temperature < middle {
			at := a.Minutes + (b.Minutes-a.Minutes)*float64((a.Temperature-middle)/(a.Temperature-b.Temperature)) - f.Record[top].Minutes
			return &at
		}
	}
	return nil
}

// worth is the record in minutes at the reference, and whether its steps are longer than the sum is made for.
func worth(record []syrup.Moment) (minutes float64, coarse bool) {
	for i := 1; i < len(record); i++ {
		step := record[i].Minutes - record[i-1].Minutes
		coarse = coarse || step > syrup.LongestStep
		before, _ := syrup.LethalRate(record[i-1].Temperature, coolingReference, coolingSlope) // temperatures were checked when read
		after, _ := syrup.LethalRate(record[i].Temperature, coolingReference, coolingSlope)
		minutes += step * (before + after) / 2
	}
	return minutes, coarse
}
