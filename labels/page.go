package labels

import (
	"bytes"
	"fmt"
	"time"

	"github.com/jung-kurt/gofpdf"

	"canewright/hazards/text"
)

// Meta is what a document says of itself. It is all given: no clock is read, so the same record draws the same bytes.
type Meta struct {
	Title    string
	Author   string        // the house
	At       time.Time     // the record's time, in UTC, written as the PDF's dates
	Language text.Language // of the running lines; English when empty
	Head     string        // the journal head printed in the foot of flowing documents; none when empty
}

// Document draws one PDF. Errors stay in it: after the first one nothing more is drawn and Bytes gives it. Lengths are
// from the paper's top left corner.
//
// The drawing methods here (Text, Line, Box, QR) put things at a place; those in flow.go (Title, Heading, Fields, Table,
// Room and so on) follow one another down the page and break pages themselves.
type Document struct {
	pdf    *gofpdf.Fpdf
	paper  Paper
	meta   Meta
	loaded [styleCount]bool
	style  Style
	size   Points      // with style, the face selected for drawing; 0 for none
	y      Millimeters // where the next flowing piece begins
	flows  bool        // pages have running head and foot
	dense  bool        // tables and figures are set closer

	ruledAt   Millimeters // where the last heading's rule left off, so that a table does not double it
	ruledPage int
	err       error
}

// Dense sets tables and figures closer, for a sheet that would not fit its pages otherwise. Call it before drawing.
func (d *Document) Dense() { d.dense = true }

// NewDocument begins a document without pages.
func NewDocument(paper Paper, meta Meta) *Document {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{
		OrientationStr: "P",
		UnitStr:        "mm",
		Size:           gofpdf.SizeType{Wd: float64(paper.Width), Ht: float64(paper.Height)},
	})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(meta.At.UTC())
	pdf.SetModificationDate(meta.At.UTC())
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	pdf.SetTitle(visible(meta.Title), true)
	pdf.SetAuthor(visible(meta.Author), true)
	pdf.SetProducer("Canewright", true)
	if meta.Language == "" {
		meta.Language = text.English
	}
	return &Document{pdf: pdf, paper: paper, meta: meta}
}

// draw runs a piece of drawing unless an error came before; what gofpdf panics with becomes the document's error.
func (d *Document) draw(piece func()) {
	if d.err != nil {
		return
	}
	defer func() {
		if r := recover(); r != nil {
			d.err = fmt.Errorf("document %q: drawing failed: %v", d.meta.Title, r)
		} else if err := d.pdf.Error(); err != nil && d.err == nil {
			d.err = fmt.Errorf("document %q: %w", d.meta.Title, err)
		}
	}()
	piece()
}

// Fail puts an error into the document, unless it has one.
func (d *Document) Fail(err error) {
	if d.err == nil {
		d.err = err
	}
}

// Err is the document's first error so far.
func (d *Document) Err() error { return d.err }

// Paper is the size of its pages.
func (d *Document) Paper() Paper { return d.paper }

// AddPage begins a page.
func (d *Document) AddPage() {
	d.draw(d.pdf.AddPage)
}

// PageCount is the number of pages begun.
func (d *Document) PageCount() int { return d.pdf.PageCount() }

// Bytes ends the document and gives the PDF.
func (d *Document) Bytes() ([]byte, error) {
	if d.err == nil && d.PageCount() == 0 {
		d.AddPage()
	}
	if d.flows {
		d.runningLines()
	}
	var out bytes.Buffer
	d.draw(func() {
		if err := d.pdf.Output(&out); err != nil {
			d.Fail(fmt.Errorf("document %q: %w", d.meta.Title, err))
		}
	})
	if d.err != nil {
		return nil, d.err
	}
	return out.Bytes(), nil
}

// use selects the face and size for drawing, loading the face the first time.
func (d *Document) use(style Style, size Points) {
	if !d.loaded[style] {
		d.pdf.AddUTF8FontFromBytes(style.family(), "", style.ttf())
		d.loaded[style] = true
	}
	if d.style != style || d.size != size {
		d.pdf.SetFont(style.family(), "", float64(size))
		d.style, d.size = style, size
	}
}

// Width measures a text on one line. Nothing is drawn and no page is needed.
func (d *Document) Width(style Style, size Points, s string) Millimeters {
	return style.width(visible(s)) * size.em()
}

// Text writes one line whose baseline begins at x, y.
func (d *Document) Text(x, y Millimeters, style Style, size Points, s string) {
	d.draw(func() {
		if s = visible(s); s == "" {
			return
		}
		d.use(style, size)
		d.pdf.Text(float64(x), float64(y), s)
	})
}

// TextRight writes one line whose baseline ends at x, y.
func (d *Document) TextRight(x, y Millimeters, style Style, size Points, s string) {
	d.Text(x-d.Width(style, size, s), y, style, size, s)
}

// TextCenter writes one line whose baseline is centred on x, y.
func (d *Document) TextCenter(x, y Millimeters, style Style, size Points, s string) {
	d.Text(x-d.Width(style, size, s)/2, y, style, size, s)
}

// Line draws a line of the given weight.
func (d *Document) Line(x1, y1, x2, y2, weight Millimeters) {
	d.draw(func() {
		d.pdf.SetLineWidth(float64(weight))
		d.pdf.Line(float64(x1), float64(y1), float64(x2), float64(y2))
	})
}

// fine draws the finest rule, grey as in a ledger, between the rows of documents.
func (d *Document) fine(x1, y1, x2, y2 Millimeters) {
	d.draw(func() { d.pdf.SetDrawColor(140, 140, 140) })
	d.Line(x1, y1, x2, y2, hairline)
	d.draw(func() { d.pdf.SetDrawColor(0, 0, 0) })
}

// Dashes draws a fine dashed line.
func (d *Document) Dashes(x1, y1, x2, y2 Millimeters) {
	d.draw(func() { d.pdf.SetDashPattern([]float64{0.8, 0.8}, 0) })
	d.Line(x1, y1, x2, y2, hairline)
	d.draw(func() { d.pdf.SetDashPattern([]float64{}, 0) })
}

// Box draws the outline of a rectangle.
func (d *Document) Box(x, y, width, height, weight Millimeters) {
	d.draw(func() {
		d.pdf.SetLineWidth(float64(weight))
		d.pdf.Rect(float64(x), float64(y), float64(width), float64(height), "D")
	})
}

// Bar fills a rectangle in black.
func (d *Document) Bar(x, y, width, height Millimeters) {
	d.draw(func() {
		d.pdf.SetFillColor(0, 0, 0)
		d.pdf.Rect(float64(x), float64(y), float64(width), float64(height), "F")
	})
}
