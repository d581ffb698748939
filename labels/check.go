package labels

import (
	"strings"

	"canewright/hazards"
)

// Drawing is what a finished label measures: taken from where the lines were put, not from what was asked for.
type Drawing struct {
	Lines []DrawnLine
	Net   *NetPlace // nil when the label has no net contents
}

// DrawnLine is one line's height of letters: of the lower-case o, or of the capital where all are capitals (21 CFR 101.2(c)).
type DrawnLine struct {
	Line   string // catalogue key of the line's name
	Text   string
	Size   Points
	Height Millimeters
	Least  Millimeters // what is asked of it; zero: nothing
}

// NetPlace is the white around the net contents and where they stand.
type NetPlace struct {
	Letter       Millimeters // height of their capitals
	Capital      Millimeters // width of their N
	Above, Below Millimeters // to the nearest print; the label's height where there is none
	Beside       Millimeters
	FromTop      float64 // where their letters begin, as a part of the front's height
}

// netKey names the line of the net contents.
const netKey = "labels.line.net"

// footPanel is how far down a front the net contents begin at the earliest: its lowest 30 percent (21 CFR 101.7(f)).
const footPanel = 0.7

// smallFront is the display panel up to which they may stand anywhere.
const smallFront SquareInches = 5

// Measure draws a label on stock and measures it. Errors are those of Print.
func Measure(label Label, stock Stock) (Drawing, error) {
	printable, err := label.printable()
	if err != nil {
		return Drawing{}, err
	}
	d := NewDocument(stock.Paper, Meta{})
	laid, err := arrange(d, printable, stock)
	if err != nil {
		return Drawing{}, err
	}
	var drawing Drawing
	for _, line := range laid.lines {
		drawing.Lines = append(drawing.Lines, DrawnLine{Line: line.key, Text: line.text, Size: line.size, Height: line.letter(), Least: printable.leastOf(line.key)})
	}
	drawing.Net = laid.netPlace(d)
	return drawing, nil
}

// letter is the height of a line's letters.
func (p placed) letter() Millimeters {
	if strings.ToUpper(p.text) == p.text {
		return p.size.em() * capHeight
	}
	return p.size.em() * xHeight
}

// leastOf is the height asked of a line.
func (l Label) leastOf(key string) Millimeters {
	switch key {
	case netKey:
		return l.NetHeight
	case "labels.line.statement":
		return l.StatementHeight
	case "labels.line.name", "labels.line.ingredients", "labels.line.allergens", "labels.line.maker", "labels.line.address", "labels.line.caution":
		return l.SmallestLetter
	}
	return 0
}

// edges is the rectangle a thing prints into.
func (p placed) edges(d *Document) frame {
	return frame{p.x, p.y - p.size.em()*ascent, p.x + d.Width(p.style, p.size, p.text), p.y + p.size.em()*descent}
}

// dark is the printed part of a symbol, without its quiet zone.
func (q placedQR) dark() frame {
	quiet := 4 * q.module
	return frame{q.x + quiet, q.y + quiet, q.x + q.side() - quiet, q.y + q.side() - quiet}
}

// netPlace measures around the net contents, which may take up to three lines.
func (l layout) netPlace(d *Document) *NetPlace {
	var own *frame
	high := l.face.height()
	n := &NetPlace{Above: high, Below: high, Beside: l.face.width()}
	for _, line := range l.lines {
		if line.key != netKey {
			continue
		}
		e := line.edges(d)
		n.Letter, n.Capital = line.size.em()*capHeight, d.Width(line.style, line.size, "N")
		if own == nil {
			own = &e
		} else {
			own = &frame{min(own.left, e.left), min(own.top, e.top), max(own.right, e.right), max(own.bottom, e.bottom)}
		}
	}
	if own == nil {
		return nil
	}
	n.FromTop = float64((own.top - l.face.top) / high)
	for _, other := range l.lines {
		if other.key != netKey {
			n.near(*own, other.edges(d))
		}
	}
	for _, r := range l.rules {
		n.near(*own, frame{min(r.x1, r.x2), min(r.y1, r.y2), max(r.x1, r.x2), max(r.y1, r.y2)})
	}
	if l.qr != nil {
		n.near(*own, l.qr.dark())
	}
	return n
}

// near takes another print into account: above or below where it stands over the same width, beside where on the same height.
func (n *NetPlace) near(own, other frame) {
	across := other.left < own.right && other.right > own.left
	level := other.top < own.bottom && other.bottom > own.top
	switch {
	case across && other.bottom <= own.top+0.01:
		n.Above = min(n.Above, own.top-other.bottom)
	case across && other.top >= own.bottom-0.01:
		n.Below = min(n.Below, other.top-own.bottom)
	case level && other.left >= own.right:
		n.Beside = min(n.Beside, other.left-own.right)
	case level && other.right <= own.left:
		n.Beside = min(n.Beside, own.left-other.right)
	}
}

// rounding is what adding up lengths may lose.
const rounding Millimeters = 1e-6

// Facts are the measures as the label checker judges them. panel is the container's display panel, nil when not measured.
func (d Drawing) Facts(stock string, panel *SquareInches) []hazards.LabelDrawn {
	var facts []hazards.LabelDrawn
	add := func(line string, what hazards.DrawnWhat, have, least Millimeters) {
		facts = append(facts, hazards.LabelDrawn{Line: line, Stock: stock, What: what, Have: float64(have), Least: float64(least), Enough: have >= least-rounding})
	}
	for _, l := range d.Lines {
		if l.Least > 0 {
			add(l.Line, hazards.DrawnLetter, l.Height, l.Least)
		}
	}
	if d.Net == nil {
		return facts
	}
	add(netKey, hazards.DrawnSpace, min(d.Net.Above, d.Net.Below), d.Net.Letter)
	add(netKey, hazards.DrawnSpace, d.Net.Beside, 2*d.Net.Capital)
	if panel != nil && *panel > smallFront {
		add(netKey, hazards.DrawnPlace, Millimeters(d.Net.FromTop), footPanel)
	}
	return facts
}

// Smallest is the least high letters of a line that something is asked of; nil when there is none.
func (d Drawing) Smallest() *DrawnLine {
	var smallest *DrawnLine
	for i, l := range d.Lines {
		if l.Least > 0 && (smallest == nil || l.Height < smallest.Height) {
			smallest = &d.Lines[i]
		}
	}
	return smallest
}
