package app

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"canewright/hazards/syrup"
	"canewright/records"
)

// The sheet of the boil picture, in units that are about a pixel each on a phone.
const (
	pictureWidth  = 400
	plotLeft      = 46
	plotRight     = 392
	plotTop       = 30
	plotBottom    = 250
	axisRow       = 272 // base line of the minutes
	stripTop      = 298
	stripRow      = 24
	letterWidth   = 8 // of a word on the strip, a little generous
	mostStripRows = 8
)

// boilPicture is the temperature of a run over its minutes, with events as words on a ruled strip below.
type boilPicture struct {
	Width, Height int
	Desc          string
	Unit          string // of the temperature axis
	Left, Right   int
	Top, Bottom   int
	AxisRow       int
	Degrees       []pictureMark // marks of the temperature axis
	Minutes       []pictureMark // marks of the minutes
	Band          *pictureBand  // where the target boils
	Past          string        // corners of the band of past boils; empty when there are too few
	Line          string        // the run
	Dots          []pictureMark
	Last          pictureMark
	Rules         []int // lines of the strip
	Events        []pictureEvent
}

// pictureMark is a mark with its text.
type pictureMark struct {
	X, Y   int
	Text   string
	Anchor string
}

// pictureBand is a level band with its word.
type pictureBand struct {
	Y, Height, TextY int
	Text             string
}

// pictureEvent is a word on the strip, with the tick on the axis it belongs to.
type pictureEvent struct {
	X, Y, Tick int
	Text       string
	Anchor     string

	row, from, to, times int
	word                 string
}

// point is one temperature of a run: minutes since the fire was lit, and degrees in the reader's unit.
type point struct{ minute, degrees float64 }

// scale turns minutes and degrees into places on the sheet.
type scale struct{ minutes, low, high float64 }

func (s scale) x(minute float64) int {
	return plotLeft + int(math.Round(math.Max(0, math.Min(minute, s.minutes))/s.minutes*(plotRight-plotLeft)))
}

func (s scale) y(degrees float64) int {
	share := (math.Max(s.low, math.Min(degrees, s.high)) - s.low) / (s.high - s.low)
	return plotBottom - int(math.Round(share*(plotBottom-plotTop)))
}

// pictureOf draws a run; nil before its first temperature. The second text says what the shaded band of past boils is.
func (a *App) pictureOf(ctx context.Context, v *visitor, log records.BoilLog) (*boilPicture, string, error) {
	w := v.words()
	points := w.pointsOf(log)
	if len(points) == 0 {
		return nil, "", nil
	}
	past, err := records.PastBoils(ctx, a.store, log.Run.KettleID, log.Run.ID, pastBoils)
	if err != nil {
		return nil, "", err
	}
	boil, known := boilsAt(v.house.TargetSolids, v.house.Altitude)
	s := w.scaleOf(points, log, boil, known, a.store.Now())
	p := &boilPicture{Width: pictureWidth, Left: plotLeft, Right: plotRight, Top: plotTop, Bottom: plotBottom, AxisRow: axisRow}
	p.Degrees, p.Minutes = s.degreeMarks(), s.minuteMarks()
	if known {
		p.Band = s.band(w, boil)
	}
	legend := ""
	if corners, runs := w.pastBand(s, past); corners != "" {
		p.Past, legend = corners, w.say("kettle_page.picture_past", "Runs", runs)
	}
	p.draw(s, points, w)
	p.strip(s, w.eventsOf(log))
	return p, legend, nil
}

// degrees is a temperature as a bare number in the reader's unit.
func (w words) degrees(t syrup.Celsius) float64 {
	if w.units == "metric" {
		return float64(t)
	}
	return float64(t.Fahrenheit())
}

// pointsOf are the temperatures written in a log, in order of time.
func (w words) pointsOf(log records.BoilLog) []point {
	var points []point
	for _, e := range log.Entries {
		if e.Temperature != nil {
			points = append(points, point{e.At.Sub(log.Run.FireLitAt).Minutes(), w.degrees(*e.Temperature)})
		}
	}
	return points
}

// Where the picture's temperature axis begins once the kettle boils, and its top, in Celsius: the last degrees are what
// matters at the end, so the warming up runs along the foot.
const (
	axisBoils  syrup.Celsius = 90
	axisFoot   syrup.Celsius = 87.7778 // 190 F
	axisTop    syrup.Celsius = 112.7778
	axisCold   syrup.Celsius = 10
	leastShown               = 60.0 // minutes
)

// scaleOf fits the axes to the run: the whole range while it warms up, the boiling range after.
func (w words) scaleOf(points []point, log records.BoilLog, boil boilRange, known bool, now time.Time) scale {
	last := points[len(points)-1]
	s := scale{minutes: leastShown, low: w.degrees(axisCold), high: w.degrees(axisTop)}
	if slices.ContainsFunc(points, func(p point) bool { return p.degrees >= w.degrees(axisBoils) }) {
		s.low = w.degrees(axisFoot)
	}
	for _, p := range points {
		s.high = math.Max(s.high, p.degrees+2)
	}
	if known {
		s.high = math.Max(s.high, w.degrees(boil.High)+4)
	}
	until := now
	if log.DrawnOff != nil {
		until = log.DrawnOff.At
	}
	span := math.Max(last.minute, until.Sub(log.Run.FireLitAt).Minutes())
	if log.DrawnOff == nil {
		span = math.Min(span, last.minute+90) // a run forgotten open does not squeeze its own picture
	}
	if span > s.minutes {
		s.minutes = math.Ceil(span/30) * 30
	}
	return s
}

// step is a round distance between marks, so that about so many stand on an axis.
func step(span float64, about int, steps ...float64) float64 {
	for _, s := range steps {
		if span/s <= float64(about) {
			return s
		}
	}
	return steps[len(steps)-1]
}

func (s scale) degreeMarks() []pictureMark {
	var marks []pictureMark
	by := step(s.high-s.low, 6, 5, 10, 20, 40)
	for d := math.Ceil(s.low/by) * by; d <= s.high; d += by {
		marks = append(marks, pictureMark{X: plotLeft - 6, Y: s.y(d), Text: strconv.Itoa(int(d))})
	}
	return marks
}

func (s scale) minuteMarks() []pictureMark {
	var marks []pictureMark
	by := step(s.minutes, 6, 15, 30, 60, 120, 240)
	for m := 0.0; m <= s.minutes; m += by {
		anchor := "middle"
		if m+by > s.minutes && s.x(m) > plotRight-20 {
			anchor = "end"
		}
		marks = append(marks, pictureMark{X: s.x(m), Y: plotBottom, Text: strconv.Itoa(int(m)), Anchor: anchor})
	}
	return marks
}

// band is where syrup of the target boils.
func (s scale) band(w words, boil boilRange) *pictureBand {
	top, foot := s.y(w.degrees(boil.High)), s.y(w.degrees(boil.Low))
	return &pictureBand{Y: top, Height: max(4, foot-top), TextY: top - 5, Text: w.say("kettle_page.picture_band")}
}

// draw puts the run on the sheet: its line, its dots and its last temperature in words.
func (p *boilPicture) draw(s scale, points []point, w words) {
	places := make([]string, len(points))
	for i, pt := range points {
		x, y := s.x(pt.minute), s.y(pt.degrees)
		places[i] = strconv.Itoa(x) + "," + strconv.Itoa(y)
		p.Dots = append(p.Dots, pictureMark{X: x, Y: y})
	}
	p.Line = strings.Join(places, " ")
	last := points[len(points)-1]
	unit := w.say(map[bool]string{true: "unit.celsius", false: "unit.fahrenheit"}[w.units == "metric"])
	p.Unit = unit
	p.Last = pictureMark{X: s.x(last.minute), Y: s.y(last.degrees) - 12, Text: decimal(last.degrees) + noBreak + unit, Anchor: "end"}
	if p.Last.X < plotLeft+80 {
		p.Last.Anchor = "start"
	}
	if p.Last.Y < plotTop {
		p.Last.Y = s.y(last.degrees) + 26
	}
	minutes, _ := w.minutes(int(last.minute))
	p.Desc = w.say("kettle_page.picture_desc", "Last", p.Last.Text, "Minutes", minutes)
}

// timedWord is an event of the log as a word.
type timedWord struct {
	minute float64
	word   string
}

// eventsOf are the words of a log that are no temperatures, in order of time.
func (w words) eventsOf(log records.BoilLog) []timedWord {
	var events []timedWord
	add := func(at time.Time, word string) {
		events = append(events, timedWord{at.Sub(log.Run.FireLitAt).Minutes(), word})
	}
	for _, e := range log.Entries {
		if e.What != records.EntryTemperature {
			add(e.At, w.say("boil_entry.what."+e.What))
		}
	}
	for _, r := range log.Readings {
		add(r.At, plainNumber(r.Reading)+noBreak+w.say(scales[string(r.Scale)]))
	}
	for _, d := range log.Additions {
		add(d.At, d.Substance)
	}
	for _, l := range log.Into {
		if l.At.After(log.Run.FireLitAt) {
			add(l.At, w.say("kettle_page.juice"))
		}
	}
	slices.SortStableFunc(events, func(a, b timedWord) int { return cmp.Compare(a.minute, b.minute) })
	return events
}

// longestWord is how many letters of an event's word stand on the strip.
const longestWord = 22

// strip puts the events on as few rows as they need. The same word again before there is room for it is counted.
func (p *boilPicture) strip(s scale, events []timedWord) {
	var rows []int // where each row is taken up to
	latest := map[string]int{}
	for _, e := range events {
		word := shortened(e.word)
		x := s.x(e.minute)
		if i, ok := latest[word]; ok && p.Events[i].row >= 0 && x <= p.Events[i].to {
			p.Events[i].times++
			p.Events = append(p.Events, pictureEvent{X: x, Tick: x, row: -1})
			p.Events[i].Text = word + " ×" + strconv.Itoa(p.Events[i].times)
			continue
		}
		event := pictureEvent{X: x, Tick: x, Text: word, Anchor: "start", word: word, times: 1}
		width := (utf8.RuneCountInString(word) + 3) * letterWidth // room to count
		event.from, event.to = x, x+width
		if event.to > pictureWidth {
			event.Anchor, event.from, event.to = "end", x-width, x
		}
		if event.row = freeRow(&rows, event); event.row < 0 {
			event.Text = ""
		}
		latest[word] = len(p.Events)
		p.Events = append(p.Events, event)
	}
	for i := range p.Events {
		p.Events[i].Y = stripTop + p.Events[i].row*stripRow + stripRow - 7
	}
	for r := range len(rows) + 1 {
		p.Rules = append(p.Rules, stripTop+r*stripRow)
	}
	p.Height = stripTop + len(rows)*stripRow + 4
}

// freeRow is the first row with room for an event, or a new one; -1 when there are enough, and only the tick is drawn.
func freeRow(rows *[]int, e pictureEvent) int {
	for r, taken := range *rows {
		if e.from >= taken+letterWidth {
			(*rows)[r] = e.to
			return r
		}
	}
	if len(*rows) == mostStripRows {
		return -1
	}
	*rows = append(*rows, e.to)
	return len(*rows) - 1
}

// shortened cuts a long word with a mark.
func shortened(word string) string {
	letters := []rune(word)
	if len(letters) <= longestWord {
		return word
	}
	return string(letters[:longestWord-1]) + "…"
}

// How many past boils make the shaded band, and how few are too few.
const (
	pastBoils     = 12
	leastPast     = 4
	pastEach      = 10.0 // minutes between its corners
	quarter, rest = 0.25, 0.75
)

// pastBand is the middle half of past boils in the same kettle, minute by minute, as corners of a shape.
func (w words) pastBand(s scale, past []records.BoilLog) (string, int) {
	var curves [][]point
	for _, log := range past {
		slices.SortFunc(log.Entries, func(a, b records.BoilEntry) int { return a.At.Compare(b.At) })
		if points := w.pointsOf(log); len(points) > 1 {
			curves = append(curves, points)
		}
	}
	var upper, lower []string
	for minute := 0.0; minute <= s.minutes; minute += pastEach {
		var at []float64
		for _, points := range curves {
			if d, ok := between(points, minute); ok {
				at = append(at, d)
			}
		}
		if len(at) < leastPast {
			continue
		}
		slices.Sort(at)
		if quantile(at, rest) <= s.low {
			continue // below the axis: nothing to see
		}
		x := strconv.Itoa(s.x(minute))
		upper = append(upper, x+","+strconv.Itoa(s.y(quantile(at, rest))))
		lower = append(lower, x+","+strconv.Itoa(s.y(quantile(at, quarter))))
	}
	if len(upper) < 2 {
		return "", 0
	}
	slices.Reverse(lower)
	return strings.Join(append(upper, lower...), " "), len(curves)
}

// between is the temperature at a minute, on the straight line between two entries; false outside them.
func between(points []point, minute float64) (float64, bool) {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if minute >= a.minute && minute <= b.minute {
			if b.minute == a.minute {
				return b.degrees, true
			}
			return a.degrees + (b.degrees-a.degrees)*(minute-a.minute)/(b.minute-a.minute), true
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

// PlotWidth is the width of the plot between its axes.
func (p *boilPicture) PlotWidth() int { return p.Right - p.Left }

// BandX is where the word of the band begins.
func (p *boilPicture) BandX() int { return p.Left + 6 }

// UnitX is where the unit of the temperature axis ends.
func (p *boilPicture) UnitX() int { return p.Left - 6 }

// TickFoot is where the marks of the minutes end.
func (p *boilPicture) TickFoot() int { return p.Bottom + 6 }

// EventTop and EventFoot are the ends of the ticks of the events, at the head of the strip.
func (p *boilPicture) EventTop() int { return stripTop - 10 }

// EventFoot is EventTop's other end.
func (p *boilPicture) EventFoot() int { return stripTop }
