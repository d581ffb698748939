package app

import (
	"math"
	"strconv"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// The picture of a cooling, in units that are at least a pixel each on a phone.
const (
	coolingWidth, coolingHeight = 350.0, 240.0
	coolingLeft, coolingRight   = 44.0, 10.0
	coolingTop, coolingFoot     = 14.0, 34.0
)

// coolingCurve is a cooling laid out as SVG draws it.
type coolingCurve struct {
	Width, Height    float64
	Left, Right      float64
	Top, Foot        float64
	Desc, Title      string
	Line             string
	Marks, Minutes   []curveMark
	Limits           []curveMark
	TickFoot, LabelY float64
}

// curveMark is a word beside a line across or up the picture.
type curveMark struct {
	X, Y float64
	Text string
}

// coolingCurve draws a record from nothing above the air up to its hottest reading.
func (w words) coolingCurve(name string, record []syrup.Moment, found hazards.CoolingFound) *coolingCurve {
	c := &coolingCurve{Width: coolingWidth, Height: coolingHeight, Left: coolingLeft, Right: coolingWidth - coolingRight, Top: coolingTop,
		Foot: coolingHeight - coolingFoot, TickFoot: coolingHeight - coolingFoot + 5, LabelY: coolingHeight - coolingFoot + 22}
	unit := w.say("unit.fahrenheit")
	shown := func(t syrup.Celsius) float64 { return float64(t.Fahrenheit()) }
	if w.units == "metric" {
		unit, shown = w.say("unit.celsius"), func(t syrup.Celsius) float64 { return float64(t) }
	}
	lowest, highest := shown(record[0].Temperature), shown(record[0].Temperature)
	for _, m := range record {
		lowest, highest = min(lowest, shown(m.Temperature)), max(highest, shown(m.Temperature))
	}
	step := roundStep((highest - lowest) / 5)
	lowest, highest = math.Floor(lowest/step)*step, math.Ceil(highest/step)*step
	last := record[len(record)-1].Minutes
	x := func(minutes float64) float64 { return tenth(c.Left + (c.Right-c.Left)*minutes/last) }
	y := func(degrees float64) float64 { return tenth(c.Foot - (c.Foot-c.Top)*(degrees-lowest)/(highest-lowest)) }
	places := make([]string, len(record))
	for i, m := range record {
		places[i] = short(x(m.Minutes)) + "," + short(y(shown(m.Temperature)))
	}
	c.Line = strings.Join(places, " ")
	for d := lowest; d <= highest+step/2; d += step {
		c.Marks = append(c.Marks, curveMark{X: c.Left, Y: y(d), Text: plainNumber(d)})
	}
	for m, apart := 0.0, roundStep(last/5); m <= last; m += apart {
		c.Minutes = append(c.Minutes, curveMark{X: x(m), Y: c.Foot, Text: plainNumber(m)})
	}
	for _, a := range found.Above {
		if d := shown(a.Limit); a.House && d >= lowest && d <= highest {
			c.Limits = append(c.Limits, curveMark{X: c.Right, Y: y(d), Text: w.say("cooling_page.house_limit", "Limit", a.Limit)})
		}
	}
	minutes, _ := w.minutes(int(last))
	c.Title = w.say("cooling_page.curve", "Unit", unit)
	c.Desc = w.say("cooling_page.desc", "Name", name, "First", w.degrees(found.First.Temperature), "Last", w.degrees(found.Last.Temperature), "Minutes", minutes)
	return c
}

// roundStep is a round number of at least x: 1, 2 or 5 with zeros.
func roundStep(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(x)))
	for _, step := range []float64{1, 2, 5, 10} {
		if step*ten >= x {
			return step * ten
		}
	}
	return 10 * ten
}

func tenth(x float64) float64 { return math.Round(x*10) / 10 }

func short(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
