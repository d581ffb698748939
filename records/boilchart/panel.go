package boilchart

import (
	"math"
	"slices"
)

// point is a value at a minute, in the unit it is drawn in.
type point struct{ minute, value float64 }

// quantity is one panel before it is laid out.
type quantity struct {
	scale
	title, word string
	height      float64
	steps       []float64
	points      []point // read
	fine        []point // a logger's, or estimated
	dashed      bool    // the fine line is an estimate
	target      *[2]float64
	past        [][]point
	marked      float64 // the axis has figures up to here
	last        string
}

// The upper axis, in Celsius degrees above boiling water: once the kettle boils only the last degrees matter, and the warming
// up runs along the foot.
const (
	boils   = -10.0
	footC   = -6.0
	footF   = -10.0
	topC    = 10.0
	topF    = 18.0
	aboveIt = 1.5 // over the highest point
)

// quantities are the panels of a boil: how far above boiling water, and how thick where anything says so.
func quantities(b Boil, w Words, s Sheet) []quantity {
	var list []quantity
	if len(b.Rises)+len(b.Logged) > 0 {
		list = append(list, riseQuantity(b, w, s))
	}
	if len(b.Solids)+len(b.Estimated) > 0 {
		list = append(list, solidsQuantity(b, w, s))
	}
	return list
}

func riseQuantity(b Boil, w Words, s Sheet) quantity {
	q := quantity{title: w.AboveTitle, word: w.Target, height: s.Rise, steps: []float64{5, 10, 20, 40, 80}}
	q.points, q.fine = w.rises(b.Rises), w.rises(b.Logged)
	for _, c := range b.Past {
		q.past = append(q.past, w.rises(c.Rises))
	}
	q.low, q.high = footF, topF
	if w.Metric {
		q.low, q.high, q.steps = footC, topC, []float64{2, 5, 10, 20, 40}
	}
	if b.RiseLow != nil && b.RiseHigh != nil {
		q.target = &[2]float64{w.degrees(*b.RiseLow), w.degrees(*b.RiseHigh)}
	}
	boiling := false
	for _, p := range append(q.points[:len(q.points):len(q.points)], q.fine...) {
		q.high = math.Max(q.high, p.value+aboveIt)
		boiling = boiling || p.value >= w.degrees(boils)
	}
	if !boiling {
		for _, p := range append(q.points[:len(q.points):len(q.points)], q.fine...) {
			q.low = math.Min(q.low, math.Floor(p.value/20)*20)
		}
	}
	if n := len(b.Rises); n > 0 {
		q.last = w.Degrees(b.Rises[n-1].Above)
	}
	q.headroom(s)
	return q
}

// headroom raises the top of the axis so that the last value and the word of the target have room over them.
func (q *quantity) headroom(s Sheet) {
	q.marked = q.high
	share := math.Min(0.45, (s.Figure+2*s.Gap)/q.height)
	over := func(value float64) { q.high = math.Max(q.high, (value-share*q.low)/(1-share)) }
	if q.target != nil {
		over(q.target[1])
	}
	if n := len(q.points); n > 0 && q.last != "" {
		over(q.points[n-1].value)
	}
}

func (w Words) rises(list []Rise) []point {
	points := make([]point, len(list))
	for i, r := range list {
		points[i] = point{r.Minute, w.degrees(r.Above)}
	}
	return points
}

// The lower axis, in % solids.
const (
	solidsTop  = 80.0
	solidsFoot = 60.0 // never begins higher
)

func solidsQuantity(b Boil, w Words, s Sheet) quantity {
	q := quantity{title: w.SolidsTitle, word: w.Target, height: s.Solids, steps: []float64{5, 10, 20}, dashed: true}
	q.points, q.fine = thicks(b.Solids), thicks(b.Estimated)
	for _, c := range b.Past {
		q.past = append(q.past, thicks(c.Solids))
	}
	q.low, q.high = solidsFoot, solidsTop
	for _, p := range append(q.points[:len(q.points):len(q.points)], q.fine...) {
		q.low = math.Min(q.low, math.Floor(p.value/10)*10)
		q.high = math.Max(q.high, math.Ceil(p.value+aboveIt))
	}
	if b.Target[0] > 0 {
		q.target = &[2]float64{float64(b.Target[0]), float64(b.Target[1])}
	}
	if n := len(b.Solids); n > 0 {
		q.last = w.Percent(b.Solids[n-1].Solids)
	}
	q.headroom(s)
	return q
}

func thicks(list []Thick) []point {
	points := make([]point, len(list))
	for i, t := range list {
		points[i] = point{t.Minute, float64(t.Solids)}
	}
	return points
}

// panel lays a quantity out, and tells of how many boils its band is made.
func (q quantity) panel(b Boil, s Sheet) (Panel, int) {
	p := Panel{Field: Box{q.left, q.top, q.right - q.left, q.bottom - q.top}, Title: Mark{Place{q.left, q.top - s.Gap}, q.title, Left}}
	p.Marks = q.valueMarks(q.marked, s.Marks, q.steps...)
	if q.target != nil {
		top, foot := q.y(q.target[1]), q.y(q.target[0])
		p.Target = &Box{q.left, top, q.right - q.left, math.Max(foot-top, s.Gap/2)}
		p.Word = Mark{Place{q.left + s.Gap, top - s.Gap/2}, q.word, Left}
	}
	corners, runs := q.middleHalf()
	p.Past = corners
	for _, part := range parts(q.fine, b.Out) {
		p.Strokes = append(p.Strokes, Stroke{q.places(part), true, q.dashed})
	}
	for _, part := range parts(q.points, b.Out) {
		p.Strokes = append(p.Strokes, Stroke{Places: q.places(part)})
	}
	p.Dots = q.places(q.points)
	if q.last != "" {
		p.Last = q.lastMark(s)
	}
	return p, runs
}

func (s scale) places(points []point) []Place {
	places := make([]Place, len(points))
	for i, p := range points {
		places[i] = Place{s.x(p.minute), s.y(p.value)}
	}
	return places
}

// lastMark writes the last value over its dot, or under it where it would leave the field.
func (q quantity) lastMark(s Sheet) *Mark {
	last := q.points[len(q.points)-1]
	m := Mark{Place{q.x(last.minute), q.y(last.value) - 1.5*s.Gap}, q.last, Right}
	if m.X-s.WideFigure(m.Text) < q.left {
		m.End = Left
	}
	if m.Y-s.Figure < q.top {
		m.Y = q.y(last.value) + s.Figure + 1.5*s.Gap
	}
	return &m
}

// parts cuts a line where the fire was out: no line is drawn through the gap, and what was read in it stands as dots.
func parts(points []point, out []Span) [][]point {
	var list [][]point
	var part []point
	keep := func() {
		if len(part) > 1 {
			list = append(list, part)
		}
		part = nil
	}
	for i, p := range points {
		if slices.ContainsFunc(out, func(o Span) bool { return p.minute > o.From && p.minute < o.To }) {
			keep()
			continue
		}
		if i > 0 && slices.ContainsFunc(out, func(o Span) bool { return points[i-1].minute <= o.From && p.minute >= o.To }) {
			keep()
		}
		part = append(part, p)
	}
	keep()
	return list
}
