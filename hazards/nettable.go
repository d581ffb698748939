package hazards

import (
	"fmt"
	"strings"

	"canewright/hazards/syrup"
)

// TableProblem is what is wrong with a line of a table of tolerances.
type TableProblem string

// The problems of such a line.
const (
	TableEmpty     TableProblem = "empty"     // no line at all
	TableColumns   TableProblem = "columns"   // not three numbers
	TableComma     TableProblem = "comma"     // a comma in a number
	TableFalls     TableProblem = "falls"     // up to is not more than over
	TableOverlap   TableProblem = "overlap"   // over is below the end of the line before
	TableGap       TableProblem = "gap"       // over is above the end of the line before
	TableTolerance TableProblem = "tolerance" // not more than 0, or not less than the label
)

// TableError names the line of a table that cannot be taken, from 1.
type TableError struct {
	Problem TableProblem
	Line    int
	Text    string
	Before  float64 // where the line before ends
}

func (e TableError) Error() string { return fmt.Sprintf("line %d, %q: %s", e.Line, e.Text, e.Problem) }

// ParseMAVLines reads a table as an owner types it: a line for each row with over, up to, and the tolerance, a number or a
// share as "10 %". Rows rise and follow each other without gap or overlap. Errors: TableError.
func ParseMAVLines(typed string) ([]MAVRow, error) {
	var rows []MAVRow
	number := 0
	for line := range strings.Lines(typed) {
		number++
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		row, problem := parseMAVLine(line)
		before := 0.0
		if n := len(rows); n > 0 && problem == "" {
			before = rows[n-1].UpTo
			switch {
			case row.Over < before:
				problem = TableOverlap
			case row.Over > before:
				problem = TableGap
			}
		}
		if problem != "" {
			return nil, TableError{Problem: problem, Line: number, Text: line, Before: before}
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, TableError{Problem: TableEmpty, Line: 1}
	}
	return rows, nil
}

// parseMAVLine reads one row.
func parseMAVLine(line string) (MAVRow, TableProblem) {
	share := strings.HasSuffix(line, "%")
	fields := strings.Fields(strings.TrimSuffix(line, "%"))
	if strings.ContainsRune(line, ',') {
		return MAVRow{}, TableComma
	}
	if len(fields) != 3 {
		return MAVRow{}, TableColumns
	}
	var x [3]float64
	for i, field := range fields {
		var err error
		if x[i], err = syrup.ParseNumber(field); err != nil {
			return MAVRow{}, TableColumns
		}
	}
	row := MAVRow{Over: x[0], UpTo: x[1], MAV: x[2]}
	if share {
		row.MAV, row.Share = 0, x[2]/100
	}
	switch {
	case !(row.Over >= 0 && row.UpTo > row.Over):
		return row, TableFalls
	case share && !(row.Share > 0 && row.Share < 1), !share && !(row.MAV > 0 && row.MAV < row.UpTo):
		return row, TableTolerance
	}
	return row, ""
}
