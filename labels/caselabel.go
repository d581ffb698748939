package labels

import "canewright/hazards/text"

// CaseLabel is what stands on a case of bottles. Every text is the caller's; an empty one is left off.
type CaseLabel struct {
	ProductName string
	Contents    string // "12 bottles of 12 fl oz (354 mL)"
	LotCode     string // as printed, "25341K2B1-P"
	BestBy      string
	Storage     string
	Maker       string
	Address     string
	QR          string
	// Elements are the case's GTIN, best-before day and lot, for an owner who holds a GS1 Company Prefix; none: no bars.
	Elements []Element
}

// printable checks every text of the label and gives it cleaned.
func (l CaseLabel) printable() (CaseLabel, error) {
	for _, field := range []*string{&l.ProductName, &l.Contents, &l.LotCode, &l.BestBy, &l.Storage, &l.Maker, &l.Address} {
		cleaned, err := Printable(*field)
		if err != nil {
			return CaseLabel{}, err
		}
		*field = cleaned
	}
	return l, nil
}

// arrange puts the bars across the foot, the QR symbol at the right of the rest, and the lines at its left.
func (l CaseLabel) arrange(d *Document, stock Stock) (artwork, error) {
	l, err := l.printable()
	if err != nil {
		return artwork{}, err
	}
	pad := max(labelPadding, min(5, 0.035*min(stock.LabelWidth, stock.LabelHeight)))
	free := frame{pad, pad, stock.LabelWidth - pad, stock.LabelHeight - pad}
	var art artwork
	if free, err = art.caseBars(d, l, stock, free); err != nil {
		return artwork{}, err
	}
	if free, err = art.cornerQR(l.QR, stock, free); err != nil {
		return artwork{}, err
	}
	art.lines, err = appendStack(d, art.lines, free, l.lines(), "labels.line.storage", "labels.line.address")
	return art, err
}

// appendStack adds stacked lines to those that stand already.
func appendStack(d *Document, lines []placed, area frame, more []faceLine, wraps ...string) ([]placed, error) {
	set, err := stack(d, area, more, wraps...)
	return append(lines, set...), err
}

func (l CaseLabel) lines() []faceLine {
	lot, best := "", ""
	if l.LotCode != "" {
		lot = text.Say(text.English, "labels.lot", "Code", l.LotCode)
	}
	if l.BestBy != "" {
		best = text.Say(text.English, "labels.best_by", "Day", l.BestBy)
	}
	return []faceLine{
		{"labels.line.name", l.ProductName, Bold, 1.5, leastCode},
		{"labels.line.count", l.Contents, Bold, 1, leastCode},
		{"labels.line.lot", lot, MonoBold, 1.3, leastCode},
		{"labels.line.best_by", best, Regular, 0.9, leastCode},
		{"labels.line.maker", l.Maker, Regular, 0.7, leastOther},
		{"labels.line.address", l.Address, Regular, 0.6, leastOther},
		{"labels.line.storage", l.Storage, Regular, 0.6, leastOther},
	}
}

// cornerQR puts a QR symbol at the right of what is free, and gives what is free beside it.
func (art *artwork) cornerQR(content string, stock Stock, free frame) (frame, error) {
	if content == "" {
		return free, nil
	}
	bitmap, err := qrBitmap(content)
	if err != nil {
		return frame{}, err
	}
	most := min(free.height()+labelPadding+labelGutter, stock.LabelWidth*0.4)
	module, err := fittingModule(bitmap, most, stock.DotsPerInch, 1.5, 1.25, 1, 0.75, defaultModule, 0.42)
	if err != nil {
		return frame{}, err
	}
	side := symbolSide(bitmap, module)
	art.qr = &placedQR{x: stock.LabelWidth - side, y: free.top - labelPadding, module: module, bitmap: bitmap}
	free.right = art.qr.x
	return free, nil
}

// caseBars puts the bars of a case across the foot, in one row where they fit so, else in two: GTIN and best-before day,
// then the lot. What a person reads stands beneath each row in brackets.
func (art *artwork) caseBars(d *Document, l CaseLabel, stock Stock, free frame) (frame, error) {
	if len(l.Elements) == 0 {
		return free, nil
	}
	rows, module, err := barRows(l.Elements, stock)
	if err != nil {
		return frame{}, err
	}
	share := free.height() * 0.5 / Millimeters(len(rows))
	letters := min(10, max(leastCode, (share*0.16).points()))
	height := min(barHeight, share-letters.em()*(lineHeight+0.3))
	if height < leastBarHeight {
		return frame{}, NoRoom{Line: "labels.line.bars"}
	}
	y := free.bottom
	for i := len(rows) - 1; i >= 0; i-- {
		row := rows[i]
		wide := module * Millimeters(len(row.bits))
		x := (stock.LabelWidth - wide) / 2
		said := Bracketed(row.elements)
		size := d.fitSize(Regular, letters, leastOther, said, stock.LabelWidth-2*labelPadding)
		if size == 0 {
			return frame{}, NoRoom{Line: "labels.line.bars"}
		}
		baseline := y - size.em()*descent
		art.lines = append(art.lines, placed{key: "labels.line.bars", x: (stock.LabelWidth - d.Width(Regular, size, said)) / 2, y: baseline, size: size, text: said})
		top := baseline - size.em()*(capHeight+0.25) - height
		art.bars = append(art.bars, placedBars{x: x, y: top, module: module, height: height, bits: row.bits})
		y = top - labelGutter
	}
	free.bottom = y
	return free, nil
}

// barRow is one row of bars with what it says.
type barRow struct {
	elements []Element
	bits     []bool
}

// barRows chooses one row or two, whichever has the wider bars; a tie goes to one. The error is a NoRoom when not even two
// rows of the narrowest bars fit.
func barRows(elements []Element, stock Stock) ([]barRow, Millimeters, error) {
	one, wide, err := rowsOf(stock, elements)
	if err != nil {
		return nil, 0, err
	}
	last := len(elements) - 1
	if wide >= generalBar || last < 1 {
		return one, wide, noBars(wide)
	}
	two, wider, err := rowsOf(stock, elements[:last], elements[last:])
	if err != nil {
		return nil, 0, err
	}
	if wider > wide {
		return two, wider, nil
	}
	return one, wide, noBars(wide)
}

func noBars(module Millimeters) error {
	if module == 0 {
		return NoRoom{Line: "labels.line.bars"}
	}
	return nil
}

// rowsOf makes the bars of rows and the widest module all of them fit with; zero for none.
func rowsOf(stock Stock, sets ...[]Element) ([]barRow, Millimeters, error) {
	var rows []barRow
	most := 0
	for _, set := range sets {
		bits, err := gs1Bars(set)
		if err != nil {
			return nil, 0, err
		}
		rows, most = append(rows, barRow{set, bits}), max(most, len(bits))
	}
	return rows, barModule(most, stock.LabelWidth, stock.DotsPerInch), nil
}

// NarrowBars gives the module of a case label's bars where it is narrower than GS1 asks of cases that warehouses scan;
// zero where it is not, or there are none.
func (l CaseLabel) NarrowBars(stock Stock) Millimeters {
	if len(l.Elements) == 0 {
		return 0
	}
	_, module, err := barRows(l.Elements, stock)
	if err != nil || module >= generalBar {
		return 0
	}
	return module
}
