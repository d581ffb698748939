package labels

import (
	"fmt"
	"slices"
	"strings"

	"canewright/hazards/text"
)

// Stock is label stock, given by its dimensions alone: a grid on a sheet, or one label a page on a roll.
type Stock struct {
	Name                    string
	Paper                   Paper
	Rows, Columns           int
	MarginTop, MarginLeft   Millimeters // from the paper's edges to the first label
	PitchX, PitchY          Millimeters // from one label's edge to the same edge of the next; unused where there is one
	LabelWidth, LabelHeight Millimeters
	DotsPerInch             int         // of the printer
	OffsetX, OffsetY        Millimeters // by which everything is moved right and down, where the printer draws it too far left or up
}

// Place is a label's rectangle on a page; pages count from 0.
type Place struct {
	Page                int
	X, Y, Width, Height Millimeters
}

// StartBeyond says that the first label to print is not on the sheet.
type StartBeyond struct{ Start, Cells int }

// Say explains it to a person.
func (e StartBeyond) Say(lang text.Language) string {
	return text.Say(lang, "labels.start", "Start", e.Start, "Cells", e.Cells)
}

// Error is Say in English.
func (e StartBeyond) Error() string { return e.Say(text.English) }

// Validate says which figure of the stock cannot be.
func (s Stock) Validate() error {
	const touching Millimeters = 0.05 // figures in inches rounded to millimeters
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("label stock %q: %s", s.Name, fmt.Sprintf(format, args...))
	}
	for _, figure := range []struct {
		name        string
		value       Millimeters
		least, most Millimeters
	}{
		{"paper width", s.Paper.Width, 10, 1000}, {"paper height", s.Paper.Height, 10, 1000},
		{"label width", s.LabelWidth, 10, 1000}, {"label height", s.LabelHeight, 8, 1000},
		{"margin left", s.MarginLeft, 0, 1000}, {"margin top", s.MarginTop, 0, 1000},
		{"columns", Millimeters(s.Columns), 1, 50}, {"rows", Millimeters(s.Rows), 1, 50},
		{"dots per inch", Millimeters(s.DotsPerInch), 150, 4800},
		{"offset to the right", s.OffsetX, -mostOffset, mostOffset}, {"offset down", s.OffsetY, -mostOffset, mostOffset},
	} {
		if !(figure.value >= figure.least && figure.value <= figure.most) {
			return wrong("%s must be %v to %v, not %v", figure.name, figure.least, figure.most, figure.value)
		}
	}
	switch {
	case s.Columns > 1 && !(s.PitchX >= s.LabelWidth-touching):
		return wrong("pitch across is %v mm, less than the label's width of %v mm", s.PitchX, s.LabelWidth)
	case s.Rows > 1 && !(s.PitchY >= s.LabelHeight-touching):
		return wrong("pitch down is %v mm, less than the label's height of %v mm", s.PitchY, s.LabelHeight)
	}
	last := s.grid(s.Cells() - 1)
	if over := last.X + s.LabelWidth - s.Paper.Width; over > touching {
		return wrong("%d columns end %.1f mm beyond the paper's width of %v mm", s.Columns, over, s.Paper.Width)
	}
	if over := last.Y + s.LabelHeight - s.Paper.Height; over > touching {
		return wrong("%d rows end %.1f mm beyond the paper's height of %v mm", s.Rows, over, s.Paper.Height)
	}
	return s.offsetFits(last, wrong)
}

// mostOffset is the furthest a printer is corrected; one that is further out is loaded or set wrongly.
const mostOffset Millimeters = 10

// offsetFits refuses an offset that moves print over the edge of the paper, where it would be cut off. Within a label's
// edge labelPadding stays white.
func (s Stock) offsetFits(last Place, wrong func(string, ...any) error) error {
	const touching Millimeters = 0.05
	for _, side := range []struct {
		name string
		over Millimeters
	}{
		{"left", -(s.MarginLeft + s.OffsetX + labelPadding)}, {"upper", -(s.MarginTop + s.OffsetY + labelPadding)},
		{"right", last.X + s.LabelWidth + s.OffsetX - labelPadding - s.Paper.Width},
		{"lower", last.Y + s.LabelHeight + s.OffsetY - labelPadding - s.Paper.Height},
	} {
		if side.over > touching {
			return wrong("the offset moves print %.1f mm over the paper's %s edge", side.over, side.name)
		}
	}
	return nil
}

// Cells is the number of labels on a page.
func (s Stock) Cells() int { return s.Rows * s.Columns }

// Pages is how many pages so many labels take from a cell on.
func (s Stock) Pages(start, count int) int { return (start - 1 + count + s.Cells() - 1) / s.Cells() }

// cell is where the i-th label from 0, along the rows, is drawn.
func (s Stock) cell(i int) Place {
	at := s.grid(i)
	at.X, at.Y = at.X+s.OffsetX, at.Y+s.OffsetY
	return at
}

// grid is where the i-th label lies on the paper.
func (s Stock) grid(i int) Place {
	return Place{
		Page:  i / s.Cells(),
		X:     s.MarginLeft + Millimeters(i%s.Columns)*s.PitchX,
		Y:     s.MarginTop + Millimeters(i%s.Cells()/s.Columns)*s.PitchY,
		Width: s.LabelWidth, Height: s.LabelHeight,
	}
}

// Places gives the places of so many labels, the first on cell start of the first page; cells are counted from 1, along
// the rows. The error is a StartBeyond when the page has no such cell.
func (s Stock) Places(start, count int) ([]Place, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if start < 1 || start > s.Cells() {
		return nil, StartBeyond{Start: start, Cells: s.Cells()}
	}
	places := make([]Place, max(count, 0))
	for i := range places {
		places[i] = s.cell(start - 1 + i)
	}
	return places, nil
}

// RollStock is stock of single labels on a roll.
func RollStock(name string, width, height Millimeters, dotsPerInch int) Stock {
	return Stock{Name: name, Paper: Roll(width, height), Rows: 1, Columns: 1,
		LabelWidth: width, LabelHeight: height, DotsPerInch: dotsPerInch}
}

// Stocks lists examples of stock as it is commonly cut (common practice, no source), named by their dimensions. A house
// measures its own.
func Stocks() []Stock {
	const inch Millimeters = 25.4
	return []Stock{
		{Name: "letter-2x5", Paper: Letter(), Columns: 2, Rows: 5, MarginLeft: 5 * inch / 32, MarginTop: inch / 2,
			PitchX: 67 * inch / 16, PitchY: 2 * inch, LabelWidth: 4 * inch, LabelHeight: 2 * inch, DotsPerInch: 600},
		{Name: "letter-2x3", Paper: Letter(), Columns: 2, Rows: 3, MarginLeft: 5 * inch / 32, MarginTop: inch / 2,
			PitchX: 67 * inch / 16, PitchY: 10 * inch / 3, LabelWidth: 4 * inch, LabelHeight: 10 * inch / 3, DotsPerInch: 600},
		{Name: "letter-3x10", Paper: Letter(), Columns: 3, Rows: 10, MarginLeft: 3 * inch / 16, MarginTop: inch / 2,
			PitchX: 11 * inch / 4, PitchY: inch, LabelWidth: 21 * inch / 8, LabelHeight: inch, DotsPerInch: 600},
		{Name: "a4-2x7", Paper: A4(), Columns: 2, Rows: 7, MarginLeft: 4.7, MarginTop: 15.1,
			PitchX: 101.6, PitchY: 38.1, LabelWidth: 99.1, LabelHeight: 38.1, DotsPerInch: 600},
		{Name: "a4-3x8", Paper: A4(), Columns: 3, Rows: 8, MarginLeft: 7.2, MarginTop: 12.9,
			PitchX: 66, PitchY: 33.9, LabelWidth: 63.5, LabelHeight: 33.9, DotsPerInch: 600},
		RollStock("roll-100x50", 100, 50, 203),
		RollStock("roll-60x40", 60, 40, 203),
		RollStock("roll-100x150", 100, 150, 203),
	}
}

// StockByName finds one of the stocks given, in any case.
func StockByName(stocks []Stock, name string) (Stock, error) {
	for _, s := range stocks {
		if strings.EqualFold(s.Name, strings.TrimSpace(name)) {
			return s, nil
		}
	}
	var known []string
	for _, s := range stocks {
		known = append(known, s.Name)
	}
	slices.Sort(known)
	return Stock{}, UnknownStock{Name: name, Known: known}
}

// UnknownStock says that no stock has the name asked for.
type UnknownStock struct {
	Name  string
	Known []string
}

// Say explains it to a person.
func (e UnknownStock) Say(lang text.Language) string {
	return text.Say(lang, "labels.stock_unknown", "Name", e.Name, "Known", strings.Join(e.Known, ", "))
}

// Error is Say in English.
func (e UnknownStock) Error() string { return e.Say(text.English) }
