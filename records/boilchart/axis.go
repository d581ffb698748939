package boilchart

import (
	"math"
	"strconv"
)

// scale turns minutes and values into places.
type scale struct{ minutes, low, high, left, right, top, bottom float64 }

func (s scale) x(minute float64) float64 {
	return tenth(s.left + math.Max(0, math.Min(minute, s.minutes))/s.minutes*(s.right-s.left))
}

func (s scale) y(value float64) float64 {
	share := (math.Max(s.low, math.Min(value, s.high)) - s.low) / (s.high - s.low)
	return tenth(s.bottom - share*(s.bottom-s.top))
}

// tenth rounds a place, so that the same boil is drawn with the same bytes everywhere.
func tenth(x float64) float64 { return math.Round(x*10) / 10 }

// leastShown is how many minutes a picture shows at least.
const leastShown = 60.0

// forgotten is how long after its last entry an open run still stretches its picture: one left open does not squeeze it.
const forgotten = 90.0

// span is how many minutes the picture shows.
func span(b Boil) float64 {
	last := 0.0
	for _, r := range append(b.Rises[:len(b.Rises):len(b.Rises)], b.Logged...) {
		last = math.Max(last, r.Minute)
	}
	for _, t := range b.Solids {
		last = math.Max(last, t.Minute)
	}
	for _, e := range b.Events {
		last = math.Max(last, e.Minute)
	}
	minutes := math.Max(leastShown, math.Max(last, math.Min(b.Until, last+forgotten)))
	return math.Ceil(minutes/30) * 30
}

// step is the least of some round distances that puts no more than about so many marks on an axis.
func step(across float64, about int, steps ...float64) float64 {
	for _, s := range steps {
		if across/s <= float64(about) {
			return s
		}
	}
	last := steps[len(steps)-1] // a slip in a date: no picture of a thousand rules
	return math.Ceil(across/float64(about)/last) * last
}

// valueMarks are the figures of an axis of values, up to one.
func (s scale) valueMarks(top float64, about int, steps ...float64) []Mark {
	var marks []Mark
	by := step(s.high-s.low, about, steps...)
	for n := math.Ceil(s.low / by); n*by <= top+by/1000; n++ {
		v := n*by + 0 // no minus before a nought
		marks = append(marks, Mark{Place{s.left, s.y(v)}, strconv.FormatFloat(v, 'f', -1, 64), Right})
	}
	return marks
}

// minuteMarks stand under the last field; the last one ends at its place where it would leave the sheet.
func (s scale) minuteMarks(y float64, sheet Sheet) []Mark {
	var marks []Mark
	by := step(s.minutes, sheet.MinuteMarks, 10, 15, 30, 60, 120, 240, 480, 1440)
	for m := 0.0; m <= s.minutes; m += by {
		mark := Mark{Place{s.x(m), y}, strconv.FormatFloat(m, 'f', -1, 64), Middle}
		if mark.X+sheet.Wide(mark.Text)/2 > sheet.Width {
			mark.End = Right
		}
		marks = append(marks, mark)
	}
	return marks
}
