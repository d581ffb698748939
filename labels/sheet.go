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

// StockWrong says which figure of a stock cannot be.
type StockWrong struct {
	Stock string
	Field string // as the record of the stock names it
	key   string
	args  []any
}

// Say explains it to a person.
func (e StockWrong) Say(lang text.Language) string {
	return text.Say(lang, "stock_wrong."+e.key, append([]any{"Figure", text.Say(lang, "stock_figure."+e.Field)}, e.args...)...)
}

// Error is Say in English, with the stock's name.
func (e StockWrong) Error() string {
	return fmt.Sprintf("label stock %q: %s", e.Stock, e.Say(text.English))
}

func (s Stock) wrong(field, key string, args ...any) error {
	return StockWrong{s.Name, field, key, args}
}

// touching is how far figures in inches rounded to millimeters may overlap.
const touching Millimeters = 0.05

// Validate says which figure of the stock cannot be. Errors: StockWrong.
func (s Stock) Validate() error {
	for _, figure := range []struct {
		field       string
		value       Millimeters
		least, most Millimeters
	}{
		{"paper_width", s.Paper.Width, 10, 1000}, {"paper_height", s.Paper.Height, 10, 1000},
		{"label_width", s.LabelWidth, 10, 1000}, {"label_height", s.LabelHeight, 8, 1000},
		{"margin_left", s.MarginLeft, 0, 1000}, {"margin_top", s.MarginTop, 0, 1000},
		{"columns", Millimeters(s.Columns), 1, 50}, {"rows", Millimeters(s.Rows), 1, 50},
		{"dots_per_inch", Millimeters(s.DotsPerInch), 150, 4800},
		{"offset_x", s.OffsetX, -mostOffset, mostOffset}, {"offset_y", s.OffsetY, -mostOffset, mostOffset},
	} {
		if !(figure.value >= figure.least && figure.value <= figure.most) {
			return s.wrong(figure.field, "figure", "Least", figure.least, "Most", figure.most, "Value", figure.value)
		}
	}
	switch {
	case s.Columns > 1 && !(s.PitchX >= s.LabelWidth-touching):
		return s.wrong("pitch_x", "pitch_x", "Pitch", s.PitchX, "Size", s.LabelWidth)
	case s.Rows > 1 && !(s.PitchY >= s.LabelHeight-touching):
		return s.wrong("pitch_y", "pitch_y", "Pitch", s.PitchY, "Size", s.LabelHeight)
	}
	last := s.grid(s.Cells() - 1)
	if over := last.X + s.LabelWidth - s.Paper.Width; over > touching {
		return s.wrong("columns", "columns", "Count", s.Columns, "Over", oneDecimal(over), "Size", s.Paper.Width)
	}
	if over := last.Y + s.LabelHeight - s.Paper.Height; over > touching {
		return s.wrong("rows", "rows", "Count", s.Rows, "Over", oneDecimal(over), "Size", s.Paper.Height)
	}
	return s.offsetFits(last)
}

func oneDecimal(x Millimeters) string { return fmt.Sprintf("%.1f", x) }

// mostOffset is the furthest a printer is corrected; one that is further out is loaded or set wrongly.
const mostOffset Millimeters = 10

// offsetFits refuses an offset that moves print over the edge of the paper, where it would be cut off. Within a label's
// edge labelPadding stays white.
func (s Stock) offsetFits(last Place) error {
	for _, side := range []struct {
		field, key string
		over       Millimeters
	}{
		{"offset_x", "over_left", -(s.MarginLeft + s.OffsetX + labelPadding)}, {"offset_y", "over_upper", -(s.MarginTop + s.OffsetY + labelPadding)},
		{"offset_x", "over_right", last.X + s.LabelWidth + s.OffsetX - labelPadding - s.Paper.Width},
		{"offset_y", "over_lower", last.Y + s.LabelHeight + s.OffsetY - labelPadding - s.Paper.Height},
	} {
		if side.over > touching {
			return s.wrong(side.field, side.key, "Over", oneDecimal(side.over))
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
