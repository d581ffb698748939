package labels

import "math"

// canvas is what a label is drawn on: a page of a PDF, or a picture of it in the printer's dots.
type canvas interface {
	Text(x, y Millimeters, style Style, size Points, s string)
	Line(x1, y1, x2, y2, weight Millimeters)
	mask(x, y, width, height Millimeters, bitmap [][]bool)
}

// Face is one printed face: a bottle's label, a case's, or a shelf card. The same face is drawn into the PDF and into its
// picture.
type Face interface {
	// arrange lays the face out on its stock; the document only measures.
	arrange(d *Document, stock Stock) (artwork, error)
}

// artwork is a face laid out: a label's layout, and bars where it has any.
type artwork struct {
	layout
	bars []placedBars
}

// placedBars is one row of a linear symbol, without its quiet zones, from its top left corner.
type placedBars struct {
	x, y, module, height Millimeters
	bits                 []bool
}

// draw puts an artwork at its place. Symbols are moved by less than a dot, so that their modules fall on whole dots of
// the printer.
func (a artwork) draw(c canvas, at Place, dotsPerInch int) {
	for _, line := range a.lines {
		c.Text(at.X+line.x, at.Y+line.y, line.style, line.size, line.text)
	}
	for _, r := range a.rules {
		c.Line(at.X+r.x1, at.Y+r.y1, at.X+r.x2, at.Y+r.y2, r.weight)
	}
	if q := a.qr; q != nil {
		x, y := onDot(at.X+q.x+quietZone*q.module, dotsPerInch), onDot(at.Y+q.y+quietZone*q.module, dotsPerInch)
		side := q.module * Millimeters(len(q.bitmap))
		c.mask(x, y, side, side, q.bitmap)
	}
	for _, b := range a.bars {
		width := b.module * Millimeters(len(b.bits))
		c.mask(onDot(at.X+b.x, dotsPerInch), onDot(at.Y+b.y, dotsPerInch), width, b.height, [][]bool{b.bits})
	}
}

// onDot is the edge of the printer's dot nearest a place.
func onDot(m Millimeters, dotsPerInch int) Millimeters {
	dot := Millimeters(25.4 / float64(dotsPerInch))
	return Millimeters(math.Round(float64(m/dot))) * dot
}

// arrange lays out a bottle's label after checking its texts.
func (l Label) arrange(d *Document, stock Stock) (artwork, error) {
	laid, err := arrangeChecked(d, l, stock)
	return artwork{layout: laid}, err
}
