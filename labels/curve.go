package labels

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"time"

	"canewright/hazards/text"
)

// CurvePoint is one value of a curve at a time since its beginning.
type CurvePoint struct {
	After time.Duration
	Value float64
}

// CurveMark is a word at a time, written on the ruled strip below the curve.
type CurveMark struct {
	After time.Duration
	Word  string
}

// Curve is a ruled line plot of values over minutes, such as the temperature of a boil.
type Curve struct {
	Unit   string // of the values, as printed: "°F"
	Points []CurvePoint
	Marks  []CurveMark
	Height Millimeters // of the ruled field; 45 when zero
}

// plot is a curve with its scales on the page.
type plot struct {
	d                   *Document
	x, y, width, height Millimeters
	minutes, low, high  float64
}

// curveGutter is the room for the figures at the left.
const curveGutter Millimeters = 14

const (
	markRows = 4
	// mostMinutes keeps a slip in a date from drawing a curve of a thousand rules.
	mostMinutes = 60 * 24 * 7
)

// Curve draws the plot. Values that are no numbers are left out; without any value it says "not recorded".
func (d *Document) Curve(curve Curve) {
	points := usablePoints(curve.Points)
	if len(points) == 0 {
		d.Paragraph(d.missing())
		return
	}
	height := curve.Height
	if height == 0 {
		height = 45
	}
	if d.dense {
		height *= 0.7
	}
	strip := Millimeters(markRows) * leading(smallSize)
	d.need(height + strip + 12)
	p := plot{d: d, x: d.left() + curveGutter, y: d.y + 2, width: d.ContentWidth() - curveGutter - 2, height: height}
	p.scale(points, curve.Marks)
	p.rules(curve.Unit)
	p.line(points)
	p.marks(curve.Marks)
	d.y += height + strip + 12
}

// usablePoints keeps the points that can be drawn.
func usablePoints(points []CurvePoint) []CurvePoint {
	var usable []CurvePoint
	for _, p := range points {
		if !math.IsNaN(p.Value) && !math.IsInf(p.Value, 0) && p.After >= 0 && p.After.Minutes() <= mostMinutes {
			usable = append(usable, p)
		}
	}
	return usable
}

// scale finds the ends of both scales.
func (p *plot) scale(points []CurvePoint, marks []CurveMark) {
	p.low, p.high, p.minutes = points[0].Value, points[0].Value, 10
	for _, point := range points {
		p.low, p.high = min(p.low, point.Value), max(p.high, point.Value)
		p.minutes = max(p.minutes, point.After.Minutes())
	}
	for _, mark := range marks {
		if mark.After.Minutes() <= mostMinutes {
			p.minutes = max(p.minutes, mark.After.Minutes())
		}
	}
	step := roundStep((p.high-p.low)/4, 1)
	p.low, p.high = math.Floor(p.low/step)*step, math.Ceil(p.high/step)*step
	if p.high == p.low {
		p.high += step
	}
}

// roundStep is the least of 1, 2, 5 times a power of ten that is at least x and at least.
func roundStep(x, least float64) float64 {
	x = max(x, least)
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, factor := range []float64{1, 2, 5} {
		if factor*power >= x {
			return factor * power
		}
	}
	return 10 * power
}

// at is the place of a value on the page.
func (p *plot) at(minutes, value float64) (x, y Millimeters) {
	return p.x + p.width*Millimeters(minutes/p.minutes),
		p.y + p.height*Millimeters((p.high-value)/(p.high-p.low))
}

// rules draws the field with its figures.
func (p *plot) rules(unit string) {
	d := p.d
	step := roundStep((p.high-p.low)/5, 1)
	for value := math.Ceil(p.low/step) * step; value <= p.high+step/1000; value += step {
		_, y := p.at(0, value)
		d.fine(p.x, y, p.x+p.width, y)
		d.TextRight(p.x-1.5, y+smallSize.em()*capHeight/2, Regular, smallSize, strconv.FormatFloat(value, 'f', -1, 64)+" "+unit)
	}
	for minute, step := 0.0, minuteStep(p.minutes); minute <= p.minutes; minute += step {
		x, bottom := p.at(minute, p.low)
		d.fine(x, p.y, x, bottom+1)
		d.TextCenter(x, bottom+1.2+smallSize.em(), Regular, smallSize, strconv.FormatFloat(minute, 'f', -1, 64))
	}
	d.Text(d.left(), p.y+p.height+1.2+smallSize.em(), Italic, smallSize, text.Say(d.meta.Language, "unit.minute"))
	d.Box(p.x, p.y, p.width, p.height, fineRule)
}

// minuteStep rules the time in 10, 20, 30, 60 minutes and so on, about a dozen to the width.
func minuteStep(minutes float64) float64 {
	for _, step := range []float64{5, 10, 15, 30, 60, 120, 240, 480} {
		if minutes/step <= 13 {
			return step
		}
	}
	return 1440
}

// line joins the points.
func (p *plot) line(points []CurvePoint) {
	for i, point := range points {
		x, y := p.at(point.After.Minutes(), point.Value)
		if i > 0 {
			x0, y0 := p.at(points[i-1].After.Minutes(), points[i-1].Value)
			p.d.Line(x0, y0, x, y, 0.35)
		}
		p.d.Bar(x-0.45, y-0.45, 0.9, 0.9)
	}
}

// marks writes the words on the strip, each in the lowest of its rows where neither word nor leader meets another; a
// word that finds no such row keeps its dashed rule alone.
func (p *plot) marks(marks []CurveMark) {
	d := p.d
	var free [markRows]Millimeters // the end of the last word of each row
	top := p.y + p.height + 6
	for _, mark := range slices.SortedStableFunc(slices.Values(marks), func(a, b CurveMark) int { return cmp.Compare(a.After, b.After) }) {
		if mark.After < 0 || mark.After.Minutes() > mostMinutes {
			continue
		}
		x, bottom := p.at(mark.After.Minutes(), p.low)
		d.Dashes(x, p.y, x, bottom)
		wide := d.Width(Italic, smallSize, mark.Word)
		start := min(x, p.x+p.width-wide)
		row := freeRow(free, start)
		if row < 0 {
			continue
		}
		y := top + Millimeters(row+1)*leading(smallSize)
		if row > 0 {
			d.Dashes(x, top+0.8, x, y-smallSize.em()*capHeight-0.3)
		}
		d.Text(start, y, Italic, smallSize, mark.Word)
		for above := range row { // the leader passes there
			free[above] = max(free[above], x+0.5)
		}
		free[row] = start + wide + 1.5
	}
	bottom := top + markRows*leading(smallSize) + 1.5
	d.Line(p.x, bottom, p.x+p.width, bottom, fineRule)
}

// freeRow is the lowest row that is free from x on together with all rows above it, -1 when there is none.
func freeRow(free [markRows]Millimeters, x Millimeters) int {
	row := -1
	for r := range free {
		if free[r] > x {
			break
		}
		row = r
	}
	return row
}
