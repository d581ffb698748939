package app

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"canewright/hazards/syrup"
	"canewright/records"
	"canewright/records/boilchart"
)

// onScreen is the sheet of the boil picture, in units that are at least a pixel each on a phone of 390 pixels: its letters are
// 15 to 20 of them high.
var onScreen = boilchart.Sheet{Width: 350, Left: 36, Right: 6, Title: 28, Rise: 150, Solids: 150, Foot: 26, Row: 24, Rows: 8,
	Marks: 6, MinuteMarks: 6, Gap: 7, Figure: 18,
	Wide:       func(word string) float64 { return 9.6 * float64(utf8.RuneCountInString(word)) },
	WideFigure: func(word string) float64 { return 14 * float64(utf8.RuneCountInString(word)) }}

// boilPicture is a boil laid out, with its lines as SVG writes them and what is to be said under it.
type boilPicture struct {
	boilchart.Chart
	Desc     string
	Drawn    []drawnPanel
	Captions []string
}

// drawnPanel is a panel with its shapes as SVG writes them.
type drawnPanel struct {
	boilchart.Panel
	Past    string
	Strokes []drawnStroke
	Right   float64
}

// drawnStroke is one line with the name of its look.
type drawnStroke struct{ Points, Look string }

// boilPictureOf draws a run; nil before its first temperature or usable reading.
func (a *App) boilPictureOf(ctx context.Context, v *visitor, log records.BoilLog) (*boilPicture, error) {
	curve, err := records.BoilCurveOf(ctx, a.store, log, a.store.Now())
	if err != nil || curve.Empty() {
		return nil, err
	}
	w := v.words()
	curve.Events = w.eventsOf(log)
	p := &boilPicture{Chart: boilchart.Draw(curve.Boil, w.ofPicture(), onScreen), Desc: w.pictureDesc(curve)}
	for _, panel := range p.Panels {
		p.Drawn = append(p.Drawn, drawnOf(panel))
	}
	p.Captions = w.captions(curve, p.PastRuns)
	return p, nil
}

// ofPicture are the words on the picture.
func (w words) ofPicture() boilchart.Words {
	unit := w.say("unit.fahrenheit")
	if w.units == "metric" {
		unit = w.say("unit.celsius")
	}
	return boilchart.Words{Metric: w.units == "metric", AboveTitle: w.say("boil_picture.above", "Unit", unit), SolidsTitle: w.say("boil_picture.solids"),
		Target: w.say("kettle_page.picture_band"), Degrees: w.rise,
		Percent: func(s syrup.Brix) string { said, _ := w.percent(s); return said }}
}

// rise writes a difference of temperatures.
func (w words) rise(d syrup.CelsiusDelta) string {
	return w.figure(float64(d)*9/5, float64(d), "unit.fahrenheit", "unit.celsius")
}

func drawnOf(panel boilchart.Panel) drawnPanel {
	d := drawnPanel{Panel: panel, Past: corners(panel.Past), Right: panel.Field.X + panel.Field.Width}
	for _, s := range panel.Strokes {
		look := "boil-line"
		switch {
		case s.Dashed:
			look = "boil-estimate"
		case s.Faint:
			look = "boil-logged"
		}
		d.Strokes = append(d.Strokes, drawnStroke{corners(s.Places), look})
	}
	return d
}

// corners writes places as SVG does.
func corners(places []boilchart.Place) string {
	list := make([]string, len(places))
	for i, p := range places {
		list[i] = strconv.FormatFloat(p.X, 'f', -1, 64) + "," + strconv.FormatFloat(p.Y, 'f', -1, 64)
	}
	return strings.Join(list, " ")
}

// pictureDesc says the picture in a sentence, for whoever does not see it.
func (w words) pictureDesc(c records.BoilCurve) string {
	said := []string{w.say("boil_picture.desc")}
	if n := len(c.Rises); n > 0 {
		minutes, _ := w.minutes(int(c.Rises[n-1].Minute))
		said = append(said, w.say("boil_picture.desc_rise", "Rise", w.rise(c.Rises[n-1].Above), "Minutes", minutes))
	}
	if n := len(c.Solids); n > 0 {
		minutes, _ := w.minutes(int(c.Solids[n-1].Minute))
		solids, _ := w.percent(c.Solids[n-1].Solids)
		said = append(said, w.say("boil_picture.desc_solids", "Solids", solids, "Minutes", minutes))
	}
	return strings.Join(said, " ")
}

// captions say what the picture rests on.
func (w words) captions(c records.BoilCurve, past int) []string {
	return append([]string{w.say("kettle_page.picture_axis")}, c.Captions(past, records.Telling{Say: w.say, Difference: w.signed,
		Temperature: func(t syrup.Celsius) string { said, _ := w.temperature(t); return said },
		Height:      func(m syrup.Meters) string { said, _ := w.length(m); return said },
		Clock:       func(t time.Time) string { said, _ := w.clock(t); return said }})...)
}

// signed writes a difference of temperatures with its sign.
func (w words) signed(d syrup.CelsiusDelta) string {
	if d > 0 {
		return "+" + w.rise(d)
	}
	return w.rise(d)
}

// eventsOf are the words of a log that are no temperatures, in order of time.
func (w words) eventsOf(log records.BoilLog) []boilchart.Event {
	var events []boilchart.Event
	add := func(at time.Time, word string) {
		events = append(events, boilchart.Event{Minute: at.Sub(log.Run.FireLitAt).Minutes(), Word: word})
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
	slices.SortStableFunc(events, func(a, b boilchart.Event) int { return cmp.Compare(a.Minute, b.Minute) })
	return events
}

// Foot is where the field of a panel ends.
func (d drawnPanel) Foot() float64 { return d.Field.Y + d.Field.Height }

// TickFoot is where the ticks of the minutes end.
func (p *boilPicture) TickFoot() float64 { return p.Foot + 5 }

// TickTop is where the ticks of the events begin, over the strip.
func (p *boilPicture) TickTop() float64 { return p.Strip.Top - 8 }
