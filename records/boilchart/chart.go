package boilchart

// Sheet is what a picture is laid out on, in the drawer's own unit of length; down is more.
type Sheet struct {
	Width       float64
	Left, Right float64 // gutters of the plot: figures of the axes at the left
	Title       float64 // room over each panel for its words
	Rise        float64 // height of the upper panel
	Solids      float64 // height of the lower one
	Foot        float64 // room below the panels for the minutes
	Row         float64 // of the strip
	Rows        int     // most rows of the strip
	Marks       int     // about so many figures on an axis of values
	MinuteMarks int     // and on the minutes
	Gap         float64 // between two words
	Wide        func(word string) float64
	WideFigure  func(word string) float64 // of the last value, set larger
	Figure      float64                   // its height
}

// Place is a place on the sheet.
type Place struct{ X, Y float64 }

// Box is an upright rectangle.
type Box struct{ X, Y, Width, Height float64 }

// Mark is a word or figure at a place: its left, middle or right end.
type Mark struct {
	Place
	Text string
	End  End
}

// End is the part of a word that stands at its place.
type End string

// The ends, in the words of SVG.
const (
	Left   End = "start"
	Middle End = "middle"
	Right  End = "end"
)

// Stroke is a line through places.
type Stroke struct {
	Places []Place
	Faint  bool // an estimate, or a logger's: thinner, or dashed
	Dashed bool
}

// Panel is one quantity over the minutes.
type Panel struct {
	Title   Mark
	Field   Box
	Marks   []Mark // figures of the axis, each with its rule across the field
	Target  *Box
	Word    Mark    // of the target
	Past    []Place // corners of the band of past boils; none when there are too few
	Strokes []Stroke
	Dots    []Place
	Last    *Mark
}

// Chart is a boil laid out.
type Chart struct {
	Width, Height float64
	Panels        []Panel
	Minutes       []Mark // each with its tick below the last field
	Foot          float64
	Out           []Box // the fire was out
	Strip         Strip
	PastRuns      int // how many boils the bands are made of; 0 when there is no band
}

// Strip is the ruled strip of words.
type Strip struct {
	Top, Left, Right float64
	Rules            []float64
	Words            []Word
}

// Word is an event on the strip: its tick at the head, and its word where there was room.
type Word struct {
	Mark
	Tick float64
	Row  int // -1 when only the tick stands

	from, to float64
	word     string
	times    int
}

// Draw lays a boil out. Nothing is drawn of an empty one.
func Draw(b Boil, w Words, s Sheet) Chart {
	c := Chart{Width: s.Width}
	if b.Empty() {
		return c
	}
	minutes := span(b)
	y := 0.0
	for _, q := range quantities(b, w, s) {
		y += s.Title
		q.scale = scale{minutes: minutes, low: q.low, high: q.high, left: s.Left, right: s.Width - s.Right, top: y, bottom: y + q.height}
		panel, runs := q.panel(b, s)
		c.Panels = append(c.Panels, panel)
		c.PastRuns = max(c.PastRuns, runs)
		y += q.height
	}
	c.Foot = y
	across := scale{minutes: minutes, left: s.Left, right: s.Width - s.Right}
	c.Minutes = across.minuteMarks(y, s)
	for _, out := range b.Out {
		from, to := across.x(out.From), across.x(out.To)
		c.Out = append(c.Out, Box{from, c.Panels[0].Field.Y, to - from, y - c.Panels[0].Field.Y})
	}
	c.Strip = strip(b.Events, across, y+s.Foot, s)
	c.Height = c.Strip.Rules[len(c.Strip.Rules)-1]
	return c
}
