package labels

import (
	"fmt"
	"strconv"

	"canewright/hazards/text"
)

// PrintTestPage draws a page that shows how far off a printer lays its labels: the outline of every label as it would be
// printed, a scale across the edges of the first and the last one, an arrow to the page's top, and rulers in millimeters
// and sixteenths of an inch that show whether the printer changes the size. Print it on plain paper and hold it against
// the stock, or print it on the stock itself.
func PrintTestPage(stock Stock, meta Meta) ([]byte, error) {
	if err := stock.Validate(); err != nil {
		return nil, err
	}
	d := NewDocument(stock.Paper, meta)
	d.AddPage()
	for i := range stock.Cells() {
		at := stock.cell(i)
		d.Box(at.X, at.Y, at.Width, at.Height, 0.1)
		d.TextRight(at.X+at.Width-1, at.Y+at.Height-1, Regular, 6, strconv.Itoa(i+1))
	}
	d.edgeScale(stock.cell(0), false)
	d.edgeScale(stock.cell(stock.Cells()-1), true)
	d.testRulers(stock)
	d.testWords(stock)
	return d.Bytes()
}

// edgeScale marks every millimeter of five on both sides of a label's upper and left edge, or of its lower and right one.
func (d *Document) edgeScale(at Place, farEdges bool) {
	x, y := at.X, at.Y
	alongX, alongY := at.X+at.Width*0.93, at.Y+at.Height*0.93
	if farEdges {
		x, y = at.X+at.Width, at.Y+at.Height
		alongX, alongY = at.X+at.Width*0.5, at.Y+at.Height*0.6
	}
	for i := -5; i <= 5; i++ {
		long := Millimeters(1.2)
		if i%5 == 0 {
			long = 2.4
		}
		off := Millimeters(i)
		d.Line(x+off, alongY-long, x+off, alongY+long, 0.1)
		d.Line(alongX-long, y+off, alongX+long, y+off, 0.1)
	}
	d.Text(x+0.3, alongY-3, Regular, 5, "0")
	d.Text(alongX+3, y+0.7, Regular, 5, "0")
}

// The rulers cross the page here, in shares of its height and width; the words stand in the corner they leave free.
const (
	rulerAcross = 0.78
	rulerDown   = 0.12
)

// testRulers draws a ruler of millimeters and one of sixteenths across the page, and the millimeters down it.
func (d *Document) testRulers(stock Stock) {
	paper := stock.Paper
	edge := max(2, paper.Width*0.06)
	long := Millimeters(int((paper.Width-2*edge)/10) * 10)
	high := Millimeters(int((paper.Height-2*edge)/10) * 10)
	left, top := (paper.Width-long)/2, (paper.Height-high)/2
	middle := paper.Height * rulerAcross
	d.ruler(long, func(at, tick Millimeters) { d.Line(left+at, middle, left+at, middle-tick, 0.1) },
		func(at Millimeters, n string) { d.TextCenter(left+at, middle-3.4, Regular, 5, n) })
	d.Line(left, middle, left+long, middle, 0.1)
	for i := 0; Millimeters(i)*sixteenthInch <= long; i++ {
		tick := []Millimeters{3, 1, 1.5, 1, 2, 1, 1.5, 1, 2.5, 1, 1.5, 1, 2, 1, 1.5, 1}[i%16]
		at := left + Millimeters(i)*sixteenthInch
		d.Line(at, middle, at, middle+tick, 0.1)
		if i%16 == 0 {
			d.TextCenter(at, middle+5, Regular, 5, strconv.Itoa(i/16))
		}
	}
	across := paper.Width * rulerDown
	d.ruler(high, func(at, tick Millimeters) { d.Line(across, top+at, across+tick, top+at, 0.1) },
		func(at Millimeters, n string) { d.Text(across+3.4, top+at+0.7, Regular, 5, n) })
	d.Line(across, top, across, top+high, 0.1)
}

// ruler marks every millimeter of a length and writes every ten.
func (d *Document) ruler(long Millimeters, mark func(at, tick Millimeters), write func(at Millimeters, n string)) {
	for i := 0; i <= int(long); i++ {
		tick := Millimeters(1)
		switch {
		case i%10 == 0:
			tick = 3
			write(Millimeters(i), strconv.Itoa(i))
		case i%5 == 0:
			tick = 2
		}
		mark(Millimeters(i), tick)
	}
}

// testWords says what the page is for, and which way is up.
func (d *Document) testWords(stock Stock) {
	say := func(key string, args ...any) string { return text.Say(d.meta.Language, key, args...) }
	paper := stock.Paper
	size := min(9, max(4.5, (paper.Height*0.03).points()))
	left, width := paper.Width*(rulerDown+0.2), paper.Width*(0.78-rulerDown)
	y := max(5, paper.Height*0.12)
	if stock.Cells() > 1 {
		y = paper.Height * 0.42 // clear of the first and the last label
	}
	var pieces []string
	for _, line := range []string{
		say("labels.test.up"),
		say("labels.test.stock", "Name", stock.Name, "Width", plainMM(stock.LabelWidth), "Height", plainMM(stock.LabelHeight)),
		say("labels.test.offset", "X", plainMM(stock.OffsetX), "Y", plainMM(stock.OffsetY)),
		say("labels.test.size"), say("labels.test.shift"),
	} {
		pieces = append(pieces, d.wrap(Regular, size, line, width)...)
	}
	step := size.em() * lineHeight
	d.blank(left-4, y-size.em()-1, width+4, step*Millimeters(len(pieces))+size.em()+1)
	d.Line(left-2, y+3, left-2, y-3, 0.4) // the arrow
	d.Line(left-3.2, y-1, left-2, y-3, 0.4)
	d.Line(left-0.8, y-1, left-2, y-3, 0.4)
	for i, piece := range pieces {
		d.Text(left, y+step*Millimeters(i), Regular, size, piece)
	}
}

// blank makes a rectangle white again, so that words stand clear of the lines beneath.
func (d *Document) blank(x, y, width, height Millimeters) {
	d.draw(func() {
		d.pdf.SetFillColor(255, 255, 255)
		d.pdf.Rect(float64(x), float64(y), float64(width), float64(height), "F")
		d.pdf.SetFillColor(0, 0, 0)
	})
}

// plainMM writes a length without needless zeros.
func plainMM(m Millimeters) string { return strconv.FormatFloat(float64(m), 'f', -1, 64) }

// TestPageNote says for the journal what a test page was printed with.
func TestPageNote(stock Stock) string {
	return fmt.Sprintf("%s, offset %s mm right, %s mm down", stock.Name, plainMM(stock.OffsetX), plainMM(stock.OffsetY))
}
