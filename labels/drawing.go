package labels

import "github.com/jung-kurt/gofpdf"

// Spot is a place on the page.
type Spot struct{ X, Y Millimeters }

// Room keeps a space of the flowing document for a drawing, on one page, and gives its top left corner.
func (d *Document) Room(height Millimeters) (x, y Millimeters) {
	d.need(height)
	x, y = d.left(), d.y
	d.y += height
	return x, y
}

// SmallSize is the size of figures and small print in flowing documents, and its Em the height of a line of it.
func SmallSize() (size Points, em Millimeters) { return smallSize, smallSize.em() }

// Fine draws the finest rule, grey as in a ledger.
func (d *Document) Fine(x1, y1, x2, y2 Millimeters) { d.fine(x1, y1, x2, y2) }

// Shade fills a shape in a light grey that still shows what is drawn over it.
func (d *Document) Shade(corners []Spot) {
	if len(corners) < 3 {
		return
	}
	d.draw(func() {
		points := make([]gofpdf.PointType, len(corners))
		for i, c := range corners {
			points[i] = gofpdf.PointType{X: float64(c.X), Y: float64(c.Y)}
		}
		d.pdf.SetFillColor(222, 222, 222)
		d.pdf.Polygon(points, "F")
	})
}

// Path draws a line through spots, dashed where it is only estimated.
func (d *Document) Path(spots []Spot, weight Millimeters, dashed bool) {
	if dashed {
		d.draw(func() { d.pdf.SetDashPattern([]float64{1.2, 0.9}, 0) })
	}
	for i := 1; i < len(spots); i++ {
		d.Line(spots[i-1].X, spots[i-1].Y, spots[i].X, spots[i].Y, weight)
	}
	d.draw(func() { d.pdf.SetDashPattern([]float64{}, 0) })
}
