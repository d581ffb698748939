package labels

import "canewright/hazards/text"

// TrayTag is the tag of a tray of cooling bottles, which have no labels yet. Every text is the caller's.
type TrayTag struct {
	Product string
	LotCode string // as printed, "25341K2B1-P"
	State   string // "HELD – not released" when empty
	Count   string // "48 bottles of 12 fl oz"
	Time    string // when filled
	Extra   string // kettle, tank, tray number
	QR      string
}

// PrintTrayTag draws one tag: the whole page when the paper is small, the top left quarter with cut lines on a sheet.
func PrintTrayTag(tag TrayTag, paper Paper, meta Meta) ([]byte, error) {
	for _, field := range []*string{&tag.Product, &tag.LotCode, &tag.State, &tag.Count, &tag.Time, &tag.Extra} {
		cleaned, err := Printable(*field)
		if err != nil {
			return nil, err
		}
		*field = cleaned
	}
	if tag.State == "" {
		tag.State = text.Say(text.English, "labels.held")
	}
	d := NewDocument(paper, meta)
	d.AddPage()
	area := frame{0, 0, paper.Width, paper.Height}
	if paper.Width > 150 && paper.Height > 200 {
		area.right, area.bottom = paper.Width/2, paper.Height/2
		d.Dashes(area.right, 0, area.right, area.bottom)
		d.Dashes(0, area.bottom, area.right, area.bottom)
	}
	if err := d.trayTag(tag, area); err != nil {
		return nil, err
	}
	return d.Bytes()
}

// trayTag draws the tag: the state in a heavy frame, the code as large as the width allows, the QR symbol, the rest.
func (d *Document) trayTag(tag TrayTag, area frame) error {
	unit := min(area.width(), area.height()*1.4)
	pad := unit * 0.05
	free := frame{area.left + pad, area.top + pad, area.right - pad, area.bottom - pad}

	inset := unit * 0.02
	state := d.fitSize(Bold, (unit * 0.085).points(), 8, tag.State, free.width()-2*inset)
	code := d.fitSize(MonoBold, (unit * 0.15).points(), 9, tag.LotCode, free.width())
	switch {
	case state == 0:
		return NoRoom{Line: "labels.line.state"}
	case code == 0:
		return NoRoom{Line: "labels.line.lot"}
	}
	height := state.em() * 1.35
	d.Box(free.left, free.top, free.width(), height, unit*0.01)
	d.TextCenter((free.left+free.right)/2, free.top+height/2+state.em()*capHeight/2, Bold, state, tag.State)
	free.top += height + code.em()*(capHeight+0.2)
	d.Text(free.left, free.top, MonoBold, code, tag.LotCode)
	free.top += code.em() * descent

	side, err := d.trayQR(tag, free)
	if err != nil {
		return err
	}
	free.left += side
	return d.trayLines(tag, free, unit)
}

// trayQR draws the symbol at the left of what is free, as large as it fits up to 1.5 mm a module.
func (d *Document) trayQR(tag TrayTag, free frame) (Millimeters, error) {
	if tag.QR == "" {
		return 0, nil
	}
	const dpi = 203 // the coarsest printer in use
	most := min(free.height()+quietZone*defaultModule, free.width()*0.5)
	bitmap, err := qrBitmap(tag.QR)
	if err != nil {
		return 0, err
	}
	module, err := fittingModule(bitmap, most, dpi, 1.5, 1.25, 1, 0.75, defaultModule)
	if err != nil {
		return 0, err
	}
	d.symbol(free.left-quietZone*module/2, free.top, module, bitmap)
	return symbolSide(bitmap, module), nil
}

// trayLines writes count, product, time and the extra line beneath one another.
func (d *Document) trayLines(tag TrayTag, free frame, unit Millimeters) error {
	y := free.top
	for _, line := range []struct {
		key, text string
		style     Style
		share     Millimeters
	}{
		{"labels.line.count", tag.Count, Bold, 0.062},
		{"labels.line.name", tag.Product, Regular, 0.05},
		{"labels.line.time", tag.Time, Regular, 0.05},
		{"labels.line.extra", tag.Extra, Regular, 0.042},
	} {
		if line.text == "" {
			continue
		}
		size := max((unit * line.share).points(), 7)
		if one := d.fitSize(line.style, size, size*0.7, line.text, free.width()); one > 0 {
			size = one
		}
		for _, piece := range d.wrap(line.style, size, line.text, free.width()) {
			y += size.em() * 1.2
			if y > free.bottom+size.em()*descent {
				return NoRoom{Line: line.key}
			}
			d.Text(free.left, y, line.style, size, piece)
		}
	}
	return d.Err()
}
