package packet

import (
	"strconv"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
	"canewright/records/boilchart"
)

// The lines of the picture on paper, in millimeters.
const (
	boilLine  labels.Millimeters = 0.4
	faintLine labels.Millimeters = 0.2
	boilDot   labels.Millimeters = 0.9
	boilRule  labels.Millimeters = 0.15
)

// picture draws the boil, with what it rests on below.
func (s *sheet) picture(f runFile) {
	if f.Curve.Empty() {
		s.Paragraph(say("word.not_recorded"))
		return
	}
	boil := f.Curve.Boil
	boil.Events = s.events(f)
	chart := boilchart.Draw(boil, s.pictureWords(), s.pictureSheet())
	x, y := s.Room(labels.Millimeters(chart.Height) + 2)
	d := drawing{s.Document, x, y}
	for _, out := range chart.Out {
		d.out(out)
	}
	for _, p := range chart.Panels {
		d.panel(p)
	}
	d.minutes(chart)
	d.strip(chart.Strip)
	s.Small(strings.Join(append([]string{say("boil_picture.minutes")}, f.Curve.Captions(chart.PastRuns, s.telling(f))...), " "))
}

// pictureSheet is the room for the picture, in millimeters.
func (s *sheet) pictureSheet() boilchart.Sheet {
	size, em := labels.SmallSize()
	wide := func(word string) float64 { return float64(s.Width(labels.Italic, size, word)) }
	sheet := boilchart.Sheet{Width: float64(s.ContentWidth()), Left: 9, Right: 1, Title: float64(em) * 1.7, Rise: 19, Solids: 15, Foot: float64(em) * 2,
		Row: float64(em) * 1.3, Rows: 3, Marks: 4, MinuteMarks: 13, Gap: 1.2, Figure: float64(em), Wide: wide, WideFigure: wide}
	switch s.set {
	case tight:
		sheet.Rise, sheet.Solids, sheet.Title, sheet.Foot = 15, 12, float64(em)*1.5, float64(em)*1.8
	case tightest:
		sheet.Rise, sheet.Solids, sheet.Title, sheet.Foot, sheet.Gap, sheet.Rows = 11, 9, float64(em)*1.4, float64(em)*1.8, 0.8, 2
	}
	return sheet
}

func (s *sheet) pictureWords() boilchart.Words {
	unit := say("unit.fahrenheit")
	if s.w.units == hazards.Metric {
		unit = say("unit.celsius")
	}
	return boilchart.Words{Metric: s.w.units == hazards.Metric, AboveTitle: say("boil_picture.above", "Unit", unit), SolidsTitle: say("boil_picture.solids"),
		Target: say("kettle_page.picture_band"), Degrees: func(d syrup.CelsiusDelta) string { return s.w.value(float64(d), hazards.UnitCelsiusDelta) },
		Percent: func(b syrup.Brix) string { return strconv.FormatFloat(float64(b), 'f', 1, 64) + " %" }}
}

// telling says the captions as this sheet does.
func (s *sheet) telling(f runFile) records.Telling {
	return records.Telling{Say: say,
		Temperature: func(t syrup.Celsius) string { return s.w.value(float64(t), hazards.UnitCelsius) },
		Difference: func(d syrup.CelsiusDelta) string {
			sign := ""
			if d > 0 {
				sign = "+"
			}
			return sign + s.w.value(float64(d), hazards.UnitCelsiusDelta)
		},
		Height: func(m syrup.Meters) string {
			if s.w.units == hazards.Metric {
				return strconv.FormatFloat(float64(m), 'f', 0, 64) + " " + say("unit.meter")
			}
			return strconv.FormatFloat(float64(m)/0.3048, 'f', 0, 64) + " " + say("unit.foot")
		},
		Clock: func(t time.Time) string { return s.w.clock(t, f.FireLitAt) }}
}

// value is a number with its unit.
func (w words) value(x float64, unit hazards.Unit) string {
	v := hazards.Value{Number: x, Unit: unit}
	return v.Words(language, w.units)
}

// events are the words of the strip; what is no event, and what was struck, has none.
func (s *sheet) events(f runFile) []boilchart.Event {
	var events []boilchart.Event
	for _, l := range f.Log {
		if l.Row.Struck || l.WashOut != nil {
			continue
		}
		if word := markWord(l); word != "" {
			events = append(events, boilchart.Event{Minute: l.At.Sub(f.FireLitAt).Minutes(), Word: word})
		}
	}
	return events
}

// markWord is the word of an event on the strip below the picture; blank for what is no event.
func markWord(l logEntry) string {
	switch {
	case l.Addition != nil:
		return l.Addition.Substance
	case l.Reading != nil && l.Reading.Stage == records.StageFinish:
		return say("packet.mark.finish")
	case l.Moved != nil:
		return say("packet.log.moved")
	case l.Entry != nil && l.Entry.Outcome != records.OutcomeSyrup:
		return say("packet.mark.ended." + l.Entry.Outcome)
	case l.Entry != nil && l.Entry.What != records.EntryTemperature && l.Entry.What != records.EntryNote:
		return word("packet.mark", l.Entry.What)
	}
	return ""
}

// drawing puts a picture's places on the page.
type drawing struct {
	*labels.Document
	left, top labels.Millimeters
}

func (d drawing) at(p boilchart.Place) (x, y labels.Millimeters) {
	return d.left + labels.Millimeters(p.X), d.top + labels.Millimeters(p.Y)
}

func (d drawing) spots(places []boilchart.Place) []labels.Spot {
	spots := make([]labels.Spot, len(places))
	for i, p := range places {
		spots[i].X, spots[i].Y = d.at(p)
	}
	return spots
}

// mark writes a word at its place.
func (d drawing) mark(m boilchart.Mark, style labels.Style, down labels.Millimeters) {
	size, _ := labels.SmallSize()
	x, y := d.at(m.Place)
	switch m.End {
	case boilchart.Middle:
		d.TextCenter(x, y+down, style, size, m.Text)
	case boilchart.Right:
		d.TextRight(x, y+down, style, size, m.Text)
	default:
		d.Text(x, y+down, style, size, m.Text)
	}
}

// panel draws one quantity: the band of past boils first, the run over it.
func (d drawing) panel(p boilchart.Panel) {
	_, em := labels.SmallSize()
	x, y := d.at(boilchart.Place{X: p.Field.X, Y: p.Field.Y})
	width, height := labels.Millimeters(p.Field.Width), labels.Millimeters(p.Field.Height)
	d.Shade(d.spots(p.Past))
	for _, m := range p.Marks {
		_, at := d.at(m.Place)
		d.Fine(x, at, x+width, at)
		m.X -= 1.2
		d.mark(m, labels.Regular, em*0.35)
	}
	d.mark(p.Title, labels.Italic, 0)
	if t := p.Target; t != nil {
		_, top := d.at(boilchart.Place{Y: t.Y})
		d.Dashes(x, top, x+width, top)
		d.Dashes(x, top+labels.Millimeters(t.Height), x+width, top+labels.Millimeters(t.Height))
		d.mark(p.Word, labels.Italic, 0)
	}
	for _, stroke := range p.Strokes {
		weight := boilLine
		if stroke.Faint {
			weight = faintLine
		}
		d.Path(d.spots(stroke.Places), weight, stroke.Dashed)
	}
	for _, s := range d.spots(p.Dots) {
		d.Bar(s.X-boilDot/2, s.Y-boilDot/2, boilDot, boilDot)
	}
	if p.Last != nil {
		d.mark(*p.Last, labels.Bold, 0)
	}
	d.Box(x, y, width, height, boilRule)
}

// out frames the time the fire was out.
func (d drawing) out(b boilchart.Box) {
	x, y := d.at(boilchart.Place{X: b.X, Y: b.Y})
	foot := y + labels.Millimeters(b.Height)
	d.Dashes(x, y, x, foot)
	d.Dashes(x+labels.Millimeters(b.Width), y, x+labels.Millimeters(b.Width), foot)
}

func (d drawing) minutes(c boilchart.Chart) {
	_, em := labels.SmallSize()
	for _, m := range c.Minutes {
		x, y := d.at(m.Place)
		d.Line(x, y, x, y+0.8, boilRule)
		d.mark(m, labels.Regular, em*1.1)
	}
}

// strip writes the words of what happened on their rules, each under its tick.
func (d drawing) strip(s boilchart.Strip) {
	left, right := d.left+labels.Millimeters(s.Left), d.left+labels.Millimeters(s.Right)
	top := d.top + labels.Millimeters(s.Top)
	for _, y := range s.Rules {
		d.Fine(left, d.top+labels.Millimeters(y), right, d.top+labels.Millimeters(y))
	}
	for _, w := range s.Words {
		x := d.left + labels.Millimeters(w.Tick)
		d.Line(x, top-1, x, top, boilRule)
		d.mark(w.Mark, labels.Italic, 0)
	}
}
