package labels

import (
	"slices"

	"canewright/hazards/text"
)

// Align is the side a column's cells stand on.
type Align int

// The sides. The zero value is left.
const (
	AlignLeft Align = iota
	AlignRight
	AlignCenter
)

// Column is one column of a table. Width is its share of the table's width: columns of width 1 and 3 take a quarter and
// three quarters.
type Column struct {
	Title string
	Width float64
	Align Align
}

// Cell is one cell of a table. Text wraps; an empty text is an empty cell, and "not recorded" is set in italics.
type Cell struct {
	Text   string
	Style  Style
	Struck bool // drawn through: what an amendment replaced
}

// Row makes a row of plain cells.
func Row(texts ...string) []Cell {
	row := make([]Cell, len(texts))
	for i, t := range texts {
		row[i] = Cell{Text: t}
	}
	return row
}

const cellInset Millimeters = 1.2

// cellSize is the size of type in tables.
func (d *Document) cellSize() Points {
	if d.dense {
		return 7.2
	}
	return 8.5
}

// cellAround is the room above and below the lines of a cell.
func (d *Document) cellAround() Millimeters {
	if d.dense {
		return 0.25
	}
	return 0.8
}

// Table writes a ruled table. Its head is repeated on every page; a row stays on one page unless it is higher than a
// page. A table without rows says "none".
func (d *Document) Table(columns []Column, rows [][]Cell) {
	if len(columns) == 0 {
		return
	}
	widths := d.columnWidths(columns)
	head := make([]Cell, len(columns))
	for i, column := range columns {
		head[i] = Cell{Text: column.Title, Style: Bold}
	}
	if len(rows) == 0 {
		rows = [][]Cell{{{Text: text.Say(d.meta.Language, "word.none"), Style: Italic}}}
	}
	headLines := d.cellLines(head, widths)
	d.need(d.rowHeight(headLines) + d.rowHeight(d.cellLines(rows[0], widths)))
	d.tableHead(columns, head, widths, headLines)
	for _, row := range rows {
		d.tableRow(columns, row, widths, func() { d.tableHead(columns, head, widths, headLines) })
	}
	d.Line(d.left(), d.y, d.right(), d.y, fineRule)
	d.y += d.gap(3)
}

// columnWidths shares the width of the page.
func (d *Document) columnWidths(columns []Column) []Millimeters {
	total := 0.0
	for _, column := range columns {
		total += max(column.Width, 0.1)
	}
	widths := make([]Millimeters, len(columns))
	for i, column := range columns {
		widths[i] = d.ContentWidth() * Millimeters(max(column.Width, 0.1)/total)
	}
	return widths
}

// tableHead writes the titles between two rules.
func (d *Document) tableHead(columns []Column, head []Cell, widths []Millimeters, lines [][]string) {
	if d.y == d.ruledAt && d.PageCount() == d.ruledPage {
		d.y -= 1.5 // the heading's rule is the table's first
	} else {
		d.Line(d.left(), d.y, d.right(), d.y, strongRule)
	}
	d.cells(columns, head, widths, lines)
	d.Line(d.left(), d.y, d.right(), d.y, fineRule)
}

// tableRow writes one row, on a new page with a new head when it does not fit, in pieces when no page holds it.
func (d *Document) tableRow(columns []Column, row []Cell, widths []Millimeters, head func()) {
	row = row[:min(len(row), len(columns))]
	lines := d.cellLines(row, widths)
	if d.y+d.rowHeight(lines) > d.bottom() && d.y > marginTop+30 {
		d.PageBreak()
		head()
	}
	for d.rowHeight(lines) > d.bottom()-d.y {
		first, rest := splitLines(lines, int((d.bottom()-d.y-2*d.cellAround())/leading(d.cellSize())))
		d.cells(columns, row, widths, first)
		d.PageBreak()
		head()
		lines = rest
	}
	d.cells(columns, row, widths, lines)
	d.fine(d.left(), d.y, d.right(), d.y)
}

// cellLines wraps the cells of a row.
func (d *Document) cellLines(row []Cell, widths []Millimeters) [][]string {
	lines := make([][]string, min(len(row), len(widths)))
	for i := range lines {
		width := widths[i] - 2*cellInset
		if len(row) == 1 {
			width = d.ContentWidth() - 2*cellInset
		}
		lines[i] = d.wrap(d.cellStyle(row[i]), d.cellSize(), row[i].Text, width)
	}
	return lines
}

// splitLines parts the lines of a row after n of each cell.
func splitLines(lines [][]string, n int) (first, rest [][]string) {
	n = max(n, 1)
	for _, cell := range lines {
		at := min(n, len(cell))
		first, rest = append(first, cell[:at]), append(rest, cell[at:])
	}
	return first, rest
}

// rowHeight is the height of the highest cell.
func (d *Document) rowHeight(lines [][]string) Millimeters {
	most := 1
	for _, cell := range lines {
		most = max(most, len(cell))
	}
	return Millimeters(most)*leading(d.cellSize()) + 2*d.cellAround()
}

func (d *Document) cellStyle(cell Cell) Style {
	if cell.Style == Regular && cell.Text == d.missing() {
		return Italic
	}
	return cell.Style
}

// cells writes the wrapped cells of a row and moves below it.
func (d *Document) cells(columns []Column, row []Cell, widths []Millimeters, lines [][]string) {
	x := d.left()
	for i, cell := range row {
		align, width := columns[i].Align, widths[i]
		for n, line := range lines[i] {
			style := d.cellStyle(cell)
			baseline := d.y + d.cellAround() + Millimeters(n+1)*leading(d.cellSize()) - d.cellSize().em()*descent
			at, wide := x+cellInset, d.Width(style, d.cellSize(), line)
			switch align {
			case AlignRight:
				at = x + width - cellInset - wide
			case AlignCenter:
				at = x + (width-wide)/2
			}
			d.Text(at, baseline, style, d.cellSize(), line)
			if cell.Struck {
				middle := baseline - d.cellSize().em()*xHeight/2
				d.Line(at, middle, at+wide, middle, fineRule)
			}
		}
		x += width
	}
	d.y += d.rowHeight(lines)
}

// Keep writes the piece on one page: when it does not fit in what is left of this page it begins on the next.
func (d *Document) Keep(height Millimeters) { d.need(height) }

// Notes writes short lines with a hanging dash, such as amendments or cautions.
func (d *Document) Notes(notes ...string) {
	for _, note := range slices.DeleteFunc(slices.Clone(notes), func(s string) bool { return s == "" }) {
		d.need(leading(d.bodySize()))
		d.Text(d.left(), d.y+leading(d.bodySize())-d.bodySize().em()*descent, Regular, d.bodySize(), "–")
		d.lines(d.left()+5, d.ContentWidth()-5, Regular, d.bodySize(), note)
	}
	d.y += 1.5
}
