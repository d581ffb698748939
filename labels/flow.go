package labels

import (
	"strings"

	"canewright/hazards/text"
)

// The look of flowing documents: a ledger on good paper. Fine rules, one face, generous figures, no colour.
const (
	marginSide   Millimeters = 18
	marginTop    Millimeters = 18
	marginBottom Millimeters = 25 // holds the standing line, the head and the page number

	hairline   Millimeters = 0.1
	fineRule   Millimeters = 0.2
	strongRule Millimeters = 0.5

	titleSize   Points = 20
	headingSize Points = 12
	bodySize    Points = 9.5
	figureSize  Points = 11
	smallSize   Points = 7.5
	footSize    Points = 6.5
)

// figureSize is the size of a field's value.
func (d *Document) figureSize() Points {
	if d.dense {
		return 9
	}
	return figureSize
}

// bodySize is the size of running text.
func (d *Document) bodySize() Points {
	if d.dense {
		return 8.5
	}
	return bodySize
}

// titleSize is the size of the title.
func (d *Document) titleSize() Points {
	if d.dense {
		return 15
	}
	return titleSize
}

// gap is white between pieces, less on a dense sheet.
func (d *Document) gap(wide Millimeters) Millimeters {
	if d.dense {
		return wide * 0.4
	}
	return wide
}

// leading is the distance of baselines.
func leading(size Points) Millimeters { return size.em() * lineHeight }

// left, right and bottom are the edges of the flowing text.
func (d *Document) left() Millimeters   { return marginSide }
func (d *Document) right() Millimeters  { return d.paper.Width - marginSide }
func (d *Document) bottom() Millimeters { return d.paper.Height - marginBottom }

// ContentWidth is the width between the margins of a flowing document.
func (d *Document) ContentWidth() Millimeters { return d.right() - d.left() }

// need makes sure that so much height is left on the page, beginning a page if not.
func (d *Document) need(height Millimeters) {
	d.flows = true
	if d.PageCount() == 0 || d.y+height > d.bottom() {
		d.PageBreak()
	}
}

// PageBreak begins a page of a flowing document.
func (d *Document) PageBreak() {
	d.flows = true
	d.AddPage()
	d.y = marginTop
	if d.PageCount() > 1 {
		d.Text(d.left(), marginTop-5, Italic, smallSize, d.meta.Title)
		d.Line(d.left(), marginTop-3.5, d.right(), marginTop-3.5, hairline)
		d.y += 2
	}
}

// Space leaves height empty.
func (d *Document) Space(height Millimeters) {
	d.need(0)
	d.y += height
}

// Title writes the document's name with a line beneath, and a QR symbol at its right when qr is not empty.
func (d *Document) Title(title, subtitle, qr string) {
	d.need(30)
	top, width, below := d.y, d.ContentWidth(), Millimeters(0)
	if qr != "" {
		side, err := QRSide(qr, defaultModule)
		if err != nil {
			d.Fail(err)
		}
		d.QR(d.right()-side, top, qr, defaultModule)
		width -= side
		below = top + side
	}
	for _, line := range d.wrap(Bold, d.titleSize(), title, width) {
		d.y += leading(d.titleSize())
		d.Text(d.left(), d.y-1.5, Bold, d.titleSize(), line)
	}
	if subtitle != "" {
		d.lines(d.left(), width, Regular, figureSize, subtitle)
	}
	d.y = max(d.y, below) + 2
	d.Line(d.left(), d.y, d.right(), d.y, strongRule)
	d.y += 3
}

// Heading begins a section. It keeps some height of what follows on its page.
func (d *Document) Heading(heading string) {
	d.need(leading(headingSize) + d.gap(22))
	d.y += leading(headingSize) + d.gap(2)
	d.Text(d.left(), d.y, Bold, headingSize, heading)
	d.y += 1.6
	d.Line(d.left(), d.y, d.right(), d.y, strongRule)
	d.y += 1.5
	d.ruledAt, d.ruledPage = d.y, d.PageCount()
}

// Paragraph writes running text.
func (d *Document) Paragraph(s string) {
	d.need(leading(d.bodySize()))
	d.lines(d.left(), d.ContentWidth(), Regular, d.bodySize(), s)
	d.y += d.gap(1.5)
}

// Small writes running text in small italics: sources, cautions, remarks.
func (d *Document) Small(s string) {
	d.need(leading(smallSize))
	d.lines(d.left(), d.ContentWidth(), Italic, smallSize, s)
	d.y += 1.2
}

// lines writes wrapped lines from d.y down, breaking pages.
func (d *Document) lines(x, width Millimeters, style Style, size Points, s string) {
	for _, line := range d.wrap(style, size, s, width) {
		d.need(leading(size))
		d.y += leading(size)
		d.Text(x, d.y-size.em()*descent, style, size, line)
	}
}

// Field is one named value.
type Field struct{ Name, Value string }

// Fields writes named values in so many columns: the name small, its value beneath in generous figures. An empty value
// is "not recorded".
func (d *Document) Fields(columns int, fields []Field) {
	const gutter Millimeters = 5
	columns = max(columns, 1)
	width := (d.ContentWidth() - gutter*Millimeters(columns-1)) / Millimeters(columns)
	for from := 0; from < len(fields); from += columns {
		row := fields[from:min(from+columns, len(fields))]
		names, values := make([][]string, len(row)), make([][]string, len(row))
		nameLines, valueLines := 0, 0
		for i, field := range row {
			names[i] = d.wrap(Italic, smallSize, field.Name, width)
			values[i] = d.wrap(d.valueStyle(field.Value), d.figureSize(), d.orMissing(field.Value), width)
			nameLines, valueLines = max(nameLines, len(names[i])), max(valueLines, len(values[i]))
		}
		height := Millimeters(nameLines)*leading(smallSize) + Millimeters(valueLines)*leading(d.figureSize()) + max(d.gap(2), 1.3)
		d.need(min(height, d.bottom()-marginTop-2))
		for i := range row {
			x := d.left() + Millimeters(i)*(width+gutter)
			d.stack(x, d.y, Italic, smallSize, names[i])
			d.stack(x, d.y+Millimeters(nameLines)*leading(smallSize), d.valueStyle(row[i].Value), d.figureSize(), values[i])
			d.fine(x, d.y+height-1, x+width, d.y+height-1)
		}
		d.y += height
	}
	d.y += 1
}

// stack writes lines under one another from y down, without page breaks.
func (d *Document) stack(x, y Millimeters, style Style, size Points, lines []string) {
	for i, line := range lines {
		d.Text(x, y+Millimeters(i+1)*leading(size)-size.em()*descent, style, size, line)
	}
}

// missing is how the document says that something was not written down.
func (d *Document) missing() string { return text.Say(d.meta.Language, "word.not_recorded") }

func (d *Document) orMissing(value string) string {
	if strings.TrimSpace(value) == "" {
		return d.missing()
	}
	return value
}

// valueStyle sets what is not recorded in italics, wherever it stands.
func (d *Document) valueStyle(value string) Style {
	if value = strings.TrimSpace(value); value == "" || value == d.missing() {
		return Italic
	}
	return Regular
}

// Weight is how much a judgement weighs, shown by the rule beside it and not by colour.
type Weight int

// The weights, for the levels within, note, check, hold and stop.
const (
	WeightWithin Weight = iota
	WeightNote
	WeightCheck
	WeightHold
	WeightStop
)

// Flag writes a judged fact: the rule at its left grows with the weight (none, fine, strong, bar, hatched bar), the word
// of the level in bold before it.
func (d *Document) Flag(weight Weight, word, s string) {
	const indent Millimeters = 26
	lines := d.wrap(Regular, d.bodySize(), s, d.ContentWidth()-indent)
	height := Millimeters(len(lines)) * leading(d.bodySize())
	d.need(min(height+1, d.bottom()-marginTop-2))
	d.weightRule(weight, d.left(), d.y+0.4, height)
	d.Text(d.left()+5, d.y+leading(d.bodySize())-d.bodySize().em()*descent, Bold, d.bodySize(), word)
	d.lines(d.left()+indent, d.ContentWidth()-indent, Regular, d.bodySize(), s)
	d.y += d.gap(1.5)
}

// weightRule draws the rule of a weight.
func (d *Document) weightRule(weight Weight, x, y, height Millimeters) {
	switch weight {
	case WeightNote:
		d.Line(x+1.5, y, x+1.5, y+height, fineRule)
	case WeightCheck:
		d.Line(x+1.5, y, x+1.5, y+height, 0.8)
	case WeightHold:
		d.Bar(x, y, 3, height)
	case WeightStop:
		d.Box(x, y, 3, height, strongRule)
		for step := Millimeters(0); step+1.5 <= height; step += 1 {
			d.Line(x, y+step+1.5, x+3, y+step, strongRule)
		}
	}
}

// runningLines writes the foot of every page, once their number is known.
func (d *Document) runningLines() {
	pages := d.PageCount()
	for page := 1; page <= pages && d.err == nil; page++ {
		d.draw(func() { d.pdf.SetPage(page) })
		d.size = 0 // the page remembers another face
		y := d.paper.Height - marginBottom + 5
		d.Line(d.left(), y, d.right(), y, hairline)
		d.TextRight(d.right(), y+4, Regular, smallSize,
			text.Say(d.meta.Language, "document.page", "Page", page, "Pages", pages))
		lines := d.wrap(Italic, footSize, text.Say(d.meta.Language, "document.line"), d.ContentWidth()-25)
		d.stack(d.left(), y+1, Italic, footSize, lines)
		if d.meta.Head != "" {
			d.Text(d.left(), y+3.2+Millimeters(len(lines))*leading(footSize), Mono, footSize,
				text.Say(d.meta.Language, "document.head", "Head", d.meta.Head))
		}
	}
}
