package boilchart

import (
	"math/rand/v2"
	"strconv"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

var phone = Sheet{Width: 350, Left: 36, Right: 6, Title: 28, Rise: 150, Solids: 150, Foot: 26, Row: 24, Rows: 8, Marks: 6, MinuteMarks: 6, Gap: 7, Figure: 18,
	Wide:       func(word string) float64 { return 8.2 * float64(utf8.RuneCountInString(word)) },
	WideFigure: func(word string) float64 { return 12 * float64(utf8.RuneCountInString(word)) }}

func said(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

var us = Words{AboveTitle: "°F above boiling water", SolidsTitle: "% solids", Target: "target",
	Degrees: func(d syrup.CelsiusDelta) string { return said(float64(d) * 9 / 5) }, Percent: func(b syrup.Brix) string { return said(float64(b)) }}

// f is a difference of Fahrenheit degrees.
func f(d syrup.FahrenheitDelta) syrup.CelsiusDelta { return d.Celsius() }

// boilOf has a rise every half hour.
func boilOf(rises ...syrup.FahrenheitDelta) Boil {
	var b Boil
	for i, r := range rises {
		b.Rises = append(b.Rises, Rise{Minute: float64(30 * i), Above: f(r)})
	}
	return b
}

// The upper axis shows the boil once it boils, the whole way before, and hotter is higher.
func TestRiseAxis(t *testing.T) {
	c := Draw(boilOf(-142, -72, 0, 10), us, phone)
	require.Len(t, c.Panels, 1, "nothing says how thick it is")
	p := c.Panels[0]
	foot := p.Field.Y + p.Field.Height
	assert.Equal(t, foot, p.Dots[0].Y, "the warming up runs along the foot")
	assert.Less(t, p.Dots[3].Y, p.Dots[2].Y)
	assert.InDelta(t, foot-150*10/28.0, p.Dots[2].Y, 0.1, "boiling water: 10 of 28 F over the foot")
	assert.Equal(t, phone.Left, p.Dots[0].X)
	assert.Equal(t, phone.Width-phone.Right, p.Dots[3].X, "90 minutes are shown")
	require.NotNil(t, p.Last)
	assert.Equal(t, "10.0", p.Last.Text)

	cold := Draw(boilOf(-142, -120), us, phone).Panels[0]
	assert.Greater(t, cold.Field.Y+cold.Field.Height, cold.Dots[0].Y, "the whole range while it warms up")
	metric := us
	metric.Metric = true
	p = Draw(boilOf(-142, 0, 10), metric, phone).Panels[0]
	assert.Equal(t, []string{"-6", "-4", "-2", "0", "2", "4", "6", "8", "10"}, texts(Draw(boilOf(0), metric, Sheet{Width: 350, Rise: 150, Row: 24, Rows: 8, Marks: 9, MinuteMarks: 6, Wide: phone.Wide, WideFigure: phone.WideFigure}).Panels[0].Marks))
	assert.NotEmpty(t, p.Marks)
}

func texts(marks []Mark) []string {
	var list []string
	for _, m := range marks {
		list = append(list, m.Text)
	}
	return list
}

// A run left open does not squeeze its own picture, and a slip in a time does not stretch it past its last entry.
func TestSpan(t *testing.T) {
	b := boilOf(-142, -120)
	b.Until = 100 * 60
	assert.Equal(t, 120.0, span(b))
	b.Until = 20
	assert.Equal(t, 60.0, span(b))
	b.Logged = []Rise{{Minute: 200}}
	assert.Equal(t, 210.0, span(b))
}

func TestSolidsPanel(t *testing.T) {
	b := boilOf(-142, 0, 10)
	b.Solids = []Thick{{30, 20}, {60, 74.9}}
	b.Target = [2]syrup.Brix{75, 76}
	c := Draw(b, us, phone)
	require.Len(t, c.Panels, 2)
	p := c.Panels[1]
	assert.Less(t, c.Panels[0].Field.Y+c.Panels[0].Field.Height, p.Field.Y, "one over the other")
	require.NotNil(t, p.Target)
	assert.InDelta(t, p.Target.Y+p.Target.Height, p.Dots[1].Y, 3, "74.9 % is just under the target")
	assert.Equal(t, "74.9", p.Last.Text)
	require.Len(t, p.Strokes, 1)

	b.Solids, b.Estimated = nil, []Thick{{30, 55}, {60, 74}}
	p = Draw(b, us, phone).Panels[1]
	assert.Nil(t, p.Last, "an estimate is not set large")
	assert.Empty(t, p.Dots)
	require.Len(t, p.Strokes, 1)
	assert.True(t, p.Strokes[0].Dashed)
	assert.True(t, p.Strokes[0].Faint)

	b.RiseLow, b.RiseHigh = new(syrup.CelsiusDelta), new(syrup.CelsiusDelta)
	*b.RiseLow, *b.RiseHigh = f(12), f(14.6)
	p = Draw(b, us, phone).Panels[0]
	require.NotNil(t, p.Target)
	assert.Greater(t, p.Target.Height, 10.0)
	assert.GreaterOrEqual(t, p.Target.Y-p.Field.Y, phone.Figure, "its word has room over it")
}

// No line is drawn through the time the fire was out; what was read then stands as dots.
func TestFireOutGap(t *testing.T) {
	b := boilOf(-142, 0, 1, -10, 0, 5)
	b.Out = []Span{{61, 119}}
	p := Draw(b, us, phone)
	require.Len(t, p.Panels[0].Strokes, 2)
	assert.Len(t, p.Panels[0].Strokes[0].Places, 3)
	assert.Len(t, p.Panels[0].Strokes[1].Places, 2)
	assert.Len(t, p.Panels[0].Dots, 6)
	require.Len(t, p.Out, 1)
	assert.InDelta(t, p.Panels[0].Dots[2].X, p.Out[0].X, 3)
	b.Out = []Span{{62, 88}}
	p = Draw(b, us, phone)
	assert.Len(t, p.Panels[0].Strokes, 2, "nothing was read in the gap, and still it is one")
}

// The band is the middle half of past boils: at 60 minutes of 8, 10, 12, 14, 16 F it is 10 to 14 F.
func TestPastBand(t *testing.T) {
	b := boilOf(-142, 0, 1)
	for range 3 {
		b.Past = append(b.Past, boilOf(-142, 0, 2, 8).Curve)
	}
	c := Draw(b, us, phone)
	assert.Empty(t, c.Panels[0].Past, "three boils are too few")
	assert.Zero(t, c.PastRuns)
	b.Past = nil
	for i := range 5 {
		b.Past = append(b.Past, boilOf(-142, syrup.FahrenheitDelta(-8+2*i), syrup.FahrenheitDelta(8+2*i)).Curve)
	}
	c = Draw(b, us, phone)
	assert.Equal(t, 5, c.PastRuns)
	at := c.Panels[0]
	q := quantity{scale: scale{minutes: 60, low: footF, high: topF, left: phone.Left, right: phone.Width - phone.Right, top: at.Field.Y, bottom: at.Field.Y + at.Field.Height}}
	assert.Contains(t, at.Past, Place{q.x(60), q.y(14)}, "the upper quarter")
	assert.Contains(t, at.Past, Place{q.x(60), q.y(10)}, "the lower quarter")
	assert.Equal(t, 215.0, quantile([]float64{210, 220}, 0.5))
}

// Words never lie over each other, none leaves the sheet, and every event has its tick.
func TestStrip(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	kinds := []string{"skimmed", "cloth changed", "a very long name of something added", "36.1 °Baumé"}
	for range 50 {
		b := boilOf(0, 1)
		n := 1 + random.IntN(60)
		for range n {
			b.Events = append(b.Events, Event{random.Float64() * 240, kinds[random.IntN(len(kinds))]})
		}
		s := Draw(b, us, phone).Strip
		require.Len(t, s.Words, n)
		assert.LessOrEqual(t, len(s.Rules), phone.Rows+1)
		for i, w := range s.Words {
			if w.Text == "" {
				continue
			}
			assert.GreaterOrEqual(t, w.from, 0.0, w.Text)
			assert.LessOrEqual(t, w.to, phone.Width, w.Text)
			for _, o := range s.Words[i+1:] {
				if o.Text != "" && o.Row == w.Row {
					assert.True(t, w.to <= o.from || o.to <= w.from, "%q over %q", w.Text, o.Text)
				}
			}
		}
	}
}

// A word that comes again before there is room for it is counted.
func TestStripCounts(t *testing.T) {
	b := boilOf(0, 1)
	b.Events = []Event{{10, "skimmed"}, {11, "skimmed"}, {12, "skimmed"}, {55, "skimmed"}}
	s := Draw(b, us, phone).Strip
	assert.Equal(t, "skimmed ×3", s.Words[0].Text)
	assert.Equal(t, "skimmed", s.Words[3].Text)
}

// Everything stands on the sheet, whatever is drawn, and the same boil is laid out the same way.
func TestOnTheSheet(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		var b Boil
		for i := range 1 + random.IntN(20) {
			b.Rises = append(b.Rises, Rise{float64(i) * 17 * random.Float64(), syrup.CelsiusDelta(random.Float64()*160 - 120)})
			b.Solids = append(b.Solids, Thick{float64(i) * 17 * random.Float64(), syrup.Brix(random.Float64() * 85)})
		}
		b.Until = random.Float64() * 3000
		c := Draw(b, us, phone)
		assert.Equal(t, c, Draw(b, us, phone))
		for _, p := range c.Panels {
			for _, d := range p.Dots {
				assert.GreaterOrEqual(t, d.X, phone.Left)
				assert.LessOrEqual(t, d.X, phone.Width-phone.Right)
				assert.GreaterOrEqual(t, d.Y, p.Field.Y)
				assert.LessOrEqual(t, d.Y, p.Field.Y+p.Field.Height+0.1)
			}
			assert.LessOrEqual(t, p.Last.Y, c.Foot+phone.Foot)
		}
	}
	assert.Empty(t, Draw(Boil{}, us, phone).Panels)
}
