package labels

// Blank is one thing to write by hand: what it is, the units to circle, and how wide it is against the others of its line.
type Blank struct {
	Name  string
	Units string // printed at the right inside the box, to circle
	Width float64
	Must  bool // a required record: its name is bold, with a star
}

const (
	blankHeight Millimeters = 11
	blankGutter Millimeters = 2
	handSize    Points      = 8.5
)

// Blanks draws a line of boxes to write in, the name small above each.
func (d *Document) Blanks(blanks ...Blank) {
	total := 0.0
	for _, b := range blanks {
		total += b.Width
	}
	room := d.ContentWidth() - blankGutter*Millimeters(len(blanks)-1)
	d.need(blankHeight + leading(handSize) + 1)
	x := d.left()
	for _, b := range blanks {
		width := room * Millimeters(b.Width/total)
		style, name := Regular, b.Name
		if b.Must {
			style, name = Bold, b.Name+" *"
		}
		size := d.shrunk(style, handSize, name, width)
		d.Text(x, d.y+leading(handSize)-handSize.em()*descent, style, size, name)
		top := d.y + leading(handSize) + 0.6
		d.Box(x, top, width, blankHeight-2, fineRule)
		if b.Units != "" {
			d.TextRight(x+width-1.5, top+blankHeight-4, Regular, d.shrunk(Regular, handSize, b.Units, width-3), b.Units)
		}
		x += width + blankGutter
	}
	d.y += blankHeight + leading(handSize) + 0.4
}

// shrunk is a size of type at which a text fits a width, not under a floor that can be read.
func (d *Document) shrunk(style Style, size Points, s string, width Millimeters) Points {
	for size > 5.5 && d.Width(style, size, s) > width {
		size -= 0.25
	}
	if d.Width(style, size, s) > width {
		d.Fail(tooWide{d.meta.Title, s})
	}
	return size
}

// tooWide says that a text has no room.
type tooWide struct{ title, text string }

func (e tooWide) Error() string { return "document \"" + e.title + "\": no room for " + e.text }

// Ruled draws rows to write in by hand: a head, and empty rows of a height down to the foot of the page, less what is kept
// for what follows. A column whose title ends in a star is a required record and stands bold.
func (d *Document) Ruled(columns []Column, height, keep Millimeters) {
	d.need(3 * height)
	widths := d.columnWidths(columns)
	top := d.y
	x, lines := d.left(), 1
	wrapped := make([][]string, len(columns))
	for i, column := range columns {
		wrapped[i] = d.wrap(headStyle(column.Title), handSize, column.Title, widths[i]-1.6)
		lines = max(lines, len(wrapped[i]))
	}
	head := Millimeters(lines)*leading(handSize) + 1.6
	for i, column := range columns {
		d.stack(x+0.8, top+0.5, headStyle(column.Title), handSize, wrapped[i])
		x += widths[i]
	}
	rows := int((d.bottom() - keep - top - head) / height)
	foot := top + head + Millimeters(rows)*height
	d.Line(d.left(), top, d.right(), top, strongRule)
	for row := range rows + 1 {
		d.Line(d.left(), top+head+Millimeters(row)*height, d.right(), top+head+Millimeters(row)*height, fineRule)
	}
	x = d.left()
	for i := range len(columns) + 1 {
		d.Line(x, top, x, foot, hairline)
		if i < len(columns) {
			x += widths[i]
		}
	}
	d.y = foot + 3
}

func headStyle(title string) Style {
	if len(title) > 0 && title[len(title)-1] == '*' {
		return Bold
	}
	return Regular
}
