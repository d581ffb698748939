package labels

import "fmt"

// Print draws labels on stock, the first on cell start of the first page (cells count from 1, along the rows). Nothing
// is clipped or left off: a label whose lines do not fit is refused with the line's name.
func Print(stock Stock, start int, labels []Label, meta Meta) ([]byte, error) {
	places, err := stock.Places(start, len(labels))
	if err != nil {
		return nil, err
	}
	if len(labels) == 0 {
		return nil, fmt.Errorf("label sheet %q: there are no labels to print", meta.Title)
	}
	d := NewDocument(stock.Paper, meta)
	arranged := map[Label]layout{} // the labels of a sheet are mostly the same
	for i, label := range labels {
		laid, done := arranged[label]
		if !done {
			if laid, err = arrangeChecked(d, label, stock); err != nil {
				return nil, err
			}
			arranged[label] = laid
		}
		for d.PageCount() <= places[i].Page {
			d.AddPage()
		}
		d.label(laid, places[i])
	}
	return d.Bytes()
}

// arrangeChecked lays out a label after checking its texts.
func arrangeChecked(d *Document, label Label, stock Stock) (layout, error) {
	printable, err := label.printable()
	if err != nil {
		return layout{}, err
	}
	return arrange(d, printable, stock)
}

// label draws a layout at its place.
func (d *Document) label(laid layout, at Place) {
	for _, line := range laid.lines {
		d.Text(at.X+line.x, at.Y+line.y, line.style, line.size, line.text)
	}
	for _, r := range laid.rules {
		d.Line(at.X+r.x1, at.Y+r.y1, at.X+r.x2, at.Y+r.y2, r.weight)
	}
	if laid.qr != nil {
		d.symbol(at.X+laid.qr.x, at.Y+laid.qr.y, laid.qr.module, laid.qr.bitmap)
	}
}
