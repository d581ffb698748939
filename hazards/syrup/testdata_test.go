package syrup

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const testdata = "../../testdata"

// bases are the kinds of check a row can be; testdata/README.md explains them.
var bases = []string{"published", "from memory", "misprint", "disputed", "outside", "regression"}

// row is one line of a CSV by column name.
type row struct {
	file  string
	cells map[string]string
}

func (r row) text(t *testing.T, column string) string {
	t.Helper()
	cell, ok := r.cells[column]
	require.True(t, ok, "%s has no column %s", r.file, column)
	return cell
}

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	n, err := ParseNumber(r.text(t, column))
	require.NoError(t, err, "%s, column %s", r.file, column)
	return n
}

// readRows reads a file of testdata and checks its two header lines, the basis and the source of every row.
func readRows(t *testing.T, file string) []row {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(testdata, file))
	require.NoError(t, err)
	lines := strings.SplitN(string(content), "\n", 3)
	require.Len(t, lines, 3)
	require.True(t, strings.HasPrefix(lines[0], "# source: "), "%s: first line names the sources", file)
	require.True(t, strings.HasPrefix(lines[1], "# units: "), "%s: second line names the units", file)
	records, err := csv.NewReader(strings.NewReader(lines[2])).ReadAll()
	require.NoError(t, err, file)
	require.Greater(t, len(records), 1, "%s has no rows", file)
	rows := make([]row, 0, len(records)-1)
	for _, record := range records[1:] {
		r := row{file: file, cells: map[string]string{}}
		for i, name := range records[0] {
			r.cells[name] = record[i]
		}
		require.True(t, slices.Contains(bases, r.text(t, "basis")), "%s: basis %q", file, r.cells["basis"])
		require.Contains(t, lines[0], r.text(t, "source")+" = ", "%s: source %q is not explained", file, r.cells["source"])
		own := r.cells["source"] == "own model"
		require.Equal(t, own, r.cells["basis"] == "regression", "%s %v: own values are regression values", file, r.cells)
		rows = append(rows, r)
	}
	return rows
}

// eachRow runs a check on every row of a file.
func eachRow(t *testing.T, file string, check func(t *testing.T, r row)) {
	t.Helper()
	for i, r := range readRows(t, file) {
		t.Run(strings.TrimSuffix(file, ".csv")+"/"+strconv.Itoa(i+1), func(t *testing.T) { check(t, r) })
	}
}

func fahrenheit(t *testing.T, r row, column string) Celsius {
	return Fahrenheit(r.number(t, column)).Celsius()
}
