package labels

import (
	"errors"
	"slices"
	"strings"
)

const (
	labelPadding Millimeters = 1.6 // kept white inside a label's edge, more on large labels
	labelGutter  Millimeters = 1.2

	leastOther  Points = 5    // of telephone, storage, extra, best by
	leastCode   Points = 6    // of the lot code
	mostBody    Points = 14   // of running lines, on stock with room to spare
	mostName    Points = 36   // of the product name
	sizeStep    Points = 0.25 // by which letters grow smaller until all fits
	labelSpread        = 1.14 // from baseline to baseline on a label
)

// layout is a drawn label: what stands where, from the label's top left corner.
type layout struct {
	lines []placed
	rules []rule
	qr    *placedQR
	face  frame // the label without the column of a nutrition panel
}

// placed is one line of text at its baseline.
type placed struct {
	key   string // catalogue key of what it is a line of
	x, y  Millimeters
	style Style
	size  Points
	text  string
}

// nameRule is the weight of the rule under a product name.
const nameRule Millimeters = 0.15

// rule is a straight line, level or upright.
type rule struct{ x1, y1, x2, y2, weight Millimeters }

// placedQR is a symbol whose quiet zone has its top left corner at x, y.
type placedQR struct {
	x, y, module Millimeters
	bitmap       [][]bool
}

func (q placedQR) side() Millimeters { return symbolSide(q.bitmap, q.module) }

// frame is the part of the label still free.
type frame struct{ left, top, right, bottom Millimeters }

func (f frame) width() Millimeters  { return f.right - f.left }
func (f frame) height() Millimeters { return f.bottom - f.top }

// setter lays out one label; the document only measures.
type setter struct {
	d        *Document
	label    Label
	stock    Stock
	share    Millimeters // of its most that the symbol takes
	netLines int         // most that the net contents take
	layout
}

// arrange lays a label out on its stock, with the nutrition panel where it has one.
func arrange(d *Document, label Label, stock Stock) (layout, error) {
	if label.Nutrition != nil {
		return arrangeWithPanel(d, label, stock)
	}
	return arrangeFront(d, label, stock, nil)
}

// symbolShares are how much of its most a QR symbol takes; where the lines find no room beside the largest, it steps down.
var symbolShares = []Millimeters{1, 0.75, 0.5}

// arrangeFront lays out everything but the nutrition panel: the QR symbol with code and best-by day at the right (or at the
// foot of a label higher than wide), name on top, net contents at the bottom, the rest between in the largest letters that
// fit. A panel, if given, stands between them under the rest. Where that finds no room, a smaller symbol is tried, then the
// other place for it, and then a third line for the net contents; the error is the first one's.
func arrangeFront(d *Document, label Label, stock Stock, panel func(width Millimeters) block) (layout, error) {
	places := []func(*setter, frame) (frame, error){(*setter).band}
	if label.QR != "" {
		places = append(places, (*setter).side)
		if stock.LabelWidth > 1.25*stock.LabelHeight {
			slices.Reverse(places)
		}
	}
	var refused error
	for netLines := 2; netLines <= max(2, len(label.netLines())+1); netLines++ {
		for _, place := range places {
			for _, share := range symbolShares {
				s := &setter{d: d, label: label, stock: stock, share: share, netLines: netLines}
				err := s.front(place, panel)
				if err == nil || !tooSmall(err) {
					return s.layout, errors.Join(err, d.Err())
				}
				if refused == nil {
					refused = err
				}
				if label.QR == "" || errors.As(err, new(NoRoomQR)) {
					break
				}
			}
		}
	}
	return layout{}, refused
}

// front lays out the front with the symbol at one place.
func (s *setter) front(place func(*setter, frame) (frame, error), panel func(width Millimeters) block) error {
	pad := s.stock.padding()
	s.face = frame{0, 0, s.stock.LabelWidth, s.stock.LabelHeight}
	free, err := place(s, frame{pad, pad, s.stock.LabelWidth - pad, s.stock.LabelHeight - pad})
	if err != nil {
		return err
	}
	if free, err = s.name(free); err != nil {
		return err
	}
	if panel != nil {
		b := panel(free.width() - labelGutter)
		free.bottom -= b.height + labelGutter
		if free.bottom < free.top {
			return NoRoom{Line: nutritionKey}
		}
		s.add(b, free.left, free.bottom+labelGutter/2)
	}
	return s.body(free)
}

// padding is what stays white inside a label's edge.
func (s Stock) padding() Millimeters {
	return max(labelPadding, min(5, 0.035*min(s.LabelWidth, s.LabelHeight)))
}

// put adds one line.
func (s *setter) put(key string, x, y Millimeters, style Style, size Points, text string) {
	s.lines = append(s.lines, placed{key, x, y, style, size, text})
}

// symbol chooses the largest module whose symbol fits the side given, a whole number of printer dots. The quiet zone may
// reach into the label's padding, which is white anyway.
func (s *setter) symbol(most Millimeters) (placedQR, error) {
	bitmap, err := qrBitmap(s.label.QR)
	if err != nil {
		return placedQR{}, err
	}
	module, err := fittingModule(bitmap, most, s.stock.DotsPerInch, 1, 0.75, defaultModule, 0.42)
	return placedQR{module: module, bitmap: bitmap}, err
}

// side puts the QR symbol at the top right with the lot code and best-by day beneath it, and the net contents at the
// foot of the rest.
func (s *setter) side(free frame) (frame, error) {
	under := Millimeters(0)
	for _, line := range []string{s.label.lot(), s.label.bestBy()} {
		if line != "" {
			under += leastCode.em() * labelSpread * 1.1
		}
	}
	symbol, err := s.symbol(s.share * min(free.bottom-under, s.stock.LabelWidth*0.36))
	if err != nil {
		return frame{}, err
	}
	side := symbol.side()
	// The column is as wide as the symbol, or as the code and the best-by line in their least letters.
	least := max(s.d.Width(MonoBold, leastCode, s.label.LotCode), s.d.Width(Regular, leastOther, s.label.bestBy()))
	width := max(side, least+free.left+labelGutter+0.1)
	left := s.stock.LabelWidth - width
	symbol.x = left + (width-side)/2
	s.qr = &symbol
	if err := s.codes(frame{left + labelGutter, side, free.right, free.bottom}, true); err != nil {
		return frame{}, err
	}
	free.right = left
	return s.net(free)
}

// band puts the QR symbol, if any, at the bottom right and at its left lot code, best-by day and, lowest, the net contents.
func (s *setter) band(free frame) (frame, error) {
	band := free
	if s.label.QR != "" {
		symbol, err := s.symbol(s.share * min(s.stock.LabelWidth*0.45, s.stock.LabelHeight*0.5))
		if err != nil {
			return frame{}, err
		}
		symbol.x, symbol.y = s.stock.LabelWidth-symbol.side(), s.stock.LabelHeight-symbol.side()
		s.qr = &symbol
		band.right, band.top = s.qr.x, s.qr.y
	}
	rest, err := s.net(band)
	if s.qr != nil && tooSmall(err) { // no room beside the symbol: across the label's foot, the symbol above
		rest, err = s.net(free)
		s.qr.y = rest.bottom - s.qr.side()
		band.top = s.qr.y
	}
	if err != nil {
		return frame{}, err
	}
	codes := frame{band.left, rest.bottom, band.right, rest.bottom}
	for _, line := range []string{s.label.lot(), s.label.bestBy()} {
		if line != "" {
			codes.top -= max(Points(8).em()*labelSpread, s.stock.LabelHeight*0.035)
		}
	}
	if err := s.codes(codes, false); err != nil {
		return frame{}, err
	}
	rest.bottom = codes.top
	bottom := rest.bottom
	if s.label.QR != "" {
		bottom = min(bottom, band.top)
	}
	return frame{free.left, free.top, free.right, bottom}, nil
}

// codes writes the lot code and the best-by day under one another in the column, centred or from its left.
func (s *setter) codes(column frame, centred bool) error {
	y := column.top
	for _, line := range []struct {
		text, key   string
		style       Style
		most, least Points
	}{
		{s.label.lot(), "labels.line.lot", MonoBold, 14, leastCode},
		{s.label.bestBy(), "labels.line.best_by", Regular, 11, leastOther},
	} {
		if line.text == "" {
			continue
		}
		most := min(line.most, (column.height() / 2 / labelSpread).points(), (s.stock.LabelHeight * 0.065).points())
		size := s.d.fitSize(line.style, max(most, line.least), line.least, line.text, column.width())
		if size == 0 && line.key == "labels.line.lot" {
			line.text = s.label.LotCode // the code without its word
			size = s.d.fitSize(line.style, max(most, line.least), line.least, line.text, column.width())
		}
		if size == 0 || y+size.em()*labelSpread > column.bottom+0.5 {
			return NoRoom{Line: line.key}
		}
		x := column.left
		if centred {
			x += (column.width() - s.d.Width(line.style, size, line.text)) / 2
		}
		y += size.em() * labelSpread
		s.put(line.key, x, y-size.em()*descent, line.style, size, line.text)
	}
	return nil
}

// net writes the net contents at the bottom of the frame with white above as high as its letters and beside as wide as
// two capitals N of its own size (21 CFR 101.7(f)).
func (s *setter) net(free frame) (frame, error) {
	net := s.label.net()
	if net == "" {
		return free, nil
	}
	least := (s.label.NetHeight / xHeight).points()
	most := max(least, min(18, (s.stock.LabelHeight*0.085).points()))
	var lines []string
	var size Points
	ways := append([][]string{{net}}, s.label.netLines()...) // in more than one line, 101.7(j)(3)
	for _, lines = range ways[:min(len(ways), s.netLines)] {
		if size = s.d.fitSize(Bold, most, least, s.d.longer(Bold, lines)+"NN", free.width()); size > 0 {
			break
		}
	}
	if size == 0 || size.em()*(capHeight+1+labelSpread*Millimeters(len(lines)-1))*2 > free.height() {
		return frame{}, NoRoom{Line: netKey}
	}
	baseline := free.bottom - size.em()*descent
	for i := range lines {
		s.put(netKey, free.left, baseline-Millimeters(len(lines)-1-i)*size.em()*labelSpread, Bold, size, lines[i])
	}
	free.bottom = baseline - size.em()*(ascent+capHeight+Millimeters(len(lines)-1)*labelSpread)
	return free, nil
}

// name writes the product name on top, as large as fits its line, with a fine rule beneath.
func (s *setter) name(free frame) (frame, error) {
	name := s.label.ProductName
	if name == "" {
		return free, nil
	}
	least := (s.label.SmallestLetter / xHeight).points()
	most := max(least, min(mostName, (s.stock.LabelHeight*0.15).points()))
	size := s.d.fitSize(Bold, most, least, name, free.width()-labelGutter)
	if size == 0 || size.em()*(capHeight+descent)+0.6 > free.height() {
		return frame{}, NoRoom{Line: "labels.line.name"}
	}
	baseline := free.top + size.em()*capHeight
	s.put("labels.line.name", free.left, baseline, Bold, size, name)
	free.top = baseline + size.em()*descent + 0.3
	s.rules = append(s.rules, rule{free.left, free.top, free.right - labelGutter, free.top, nameRule})
	free.top += 0.3
	return free, nil
}

// running is one of the lines between name and net contents.
type running struct {
	key, text string
	style     Style
	required  bool        // of a letter height the law sets
	least     Millimeters // of its own, where more than the others'
}

// runningLines lists the lines between name and net contents. When joined, maker, address and telephone share a line.
func (s *setter) runningLines(capitals, joined bool) []running {
	l := s.label
	lines := []running{
		{key: "labels.line.ingredients", text: l.Ingredients, required: true},
		{key: "labels.line.allergens", text: l.Allergens, style: Bold, required: true},
		{key: "labels.line.maker", text: l.Maker, required: true},
		{key: "labels.line.address", text: l.Address, required: true},
		{key: "labels.line.telephone", text: l.Telephone},
		{key: "labels.line.statement", text: l.Statement, required: true, least: l.StatementHeight},
		{key: "labels.line.caution", text: l.Caution, required: true},
		{key: "labels.line.claims", text: l.Claims, style: Italic},
		{key: "labels.line.storage", text: l.Storage},
		{key: "labels.line.extra", text: l.Extra, style: Italic},
	}
	if joined {
		lines[2].text = strings.Trim(l.Maker+", "+l.Address, ", ")
		lines[3].text = ""
	}
	var written []running
	for _, line := range lines {
		if line.text == "" {
			continue
		}
		if capitals && line.required {
			line.text = strings.ToUpper(line.text)
		}
		written = append(written, line)
	}
	return written
}

// leastSize is the size that gives the line's own least height: of the lower-case o, or of the capital where it has none.
func (r running) leastSize() Points {
	if strings.ToUpper(r.text) == r.text {
		return (r.least / capHeight).points()
	}
	return (r.least / xHeight).points()
}

// body fits the running lines into the frame: in small letters down to the least height, then in capitals, which may be
// set smaller, with maker and address joined.
func (s *setter) body(free frame) error {
	free.right -= labelGutter
	least := (s.label.SmallestLetter / xHeight).points()
	leastCapitals := max((s.label.SmallestLetter / capHeight).points(), leastOther)
	var refused string
	for _, way := range []struct {
		capitals, joined bool
		least            Points
	}{{false, false, max(least, leastOther)}, {false, true, max(least, leastOther)}, {true, true, leastCapitals}} {
		lines := s.runningLines(way.capitals, way.joined)
		most := max(way.least, min(mostBody, (s.stock.LabelHeight*0.085).points()))
		for size := most; ; size = max(size-sizeStep, way.least) {
			if refused = s.try(free, lines, size, max(size*0.9, leastOther)); refused == "" {
				return nil
			}
			if size == way.least {
				break
			}
		}
		for other := way.least * 0.9; other > leastOther; {
			other = max(other-sizeStep, leastOther)
			if refused = s.try(free, lines, way.least, other); refused == "" {
				return nil
			}
		}
	}
	return NoRoom{Line: refused}
}

// try sets the lines in the sizes given and gives the key of the first line that does not fit; then nothing is set.
func (s *setter) try(free frame, lines []running, required, other Points) string {
	y := free.top
	before := len(s.lines)
	for _, line := range lines {
		size := other
		if line.required {
			size = max(required, line.leastSize())
		}
		for _, piece := range s.d.wrap(line.style, size, line.text, free.width()) {
			y += size.em() * labelSpread
			if y > free.bottom {
				s.lines = s.lines[:before]
				return line.key
			}
			s.put(line.key, free.left, y-size.em()*descent, line.style, size, piece)
		}
	}
	return ""
}
