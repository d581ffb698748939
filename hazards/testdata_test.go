package hazards

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// csvRow is one line of a file of testdata by column name.
type csvRow map[string]string

// number reads a cell; false when it is blank.
func (r csvRow) number(t *testing.T, column string) (float64, bool) {
	t.Helper()
	cell, ok := r[column]
	require.True(t, ok, "no column %s", column)
	if cell == "" {
		return 0, false
	}
	x, err := syrup.ParseNumber(cell)
	require.NoError(t, err, "%v", r)
	return x, true
}

// must reads a cell that is not blank.
func (r csvRow) must(t *testing.T, column string) float64 {
	t.Helper()
	x, ok := r.number(t, column)
	require.True(t, ok, "%s is blank in %v", column, r)
	return x
}

// csvRows reads a file of testdata and holds it to its rules: sources and units in the first two lines, a basis and a
// source in every row.
func csvRows(t *testing.T, file string) []csvRow {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("../testdata", file))
	require.NoError(t, err)
	lines := strings.SplitN(string(content), "\n", 3)
	require.Len(t, lines, 3)
	require.True(t, strings.HasPrefix(lines[0], "# source: "), file)
	require.True(t, strings.HasPrefix(lines[1], "# units: "), file)
	records, err := csv.NewReader(strings.NewReader(lines[2])).ReadAll()
	require.NoError(t, err, file)
	require.Greater(t, len(records), 1, file)
	var rows []csvRow
	for _, record := range records[1:] {
		r := csvRow{}
		for i, name := range records[0] {
			r[name] = record[i]
		}
		require.True(t, slices.Contains([]string{"published", "from memory", "regression"}, r["basis"]), "%s %v", file, r)
		require.Contains(t, lines[0], r["source"]+" = ", "%s %v", file, r)
		rows = append(rows, r)
	}
	return rows
}
