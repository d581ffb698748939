package syrup

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write testdata/CHECKS.md again")

// checksFile is the table of what the models were held to.
const checksFile = testdata + "/CHECKS.md"

const checksHead = `# What the physics is held to

Written by a test (` + "`go test ./hazards/syrup -run Checks -update`" + `), which fails when this page is stale. The rows are those of the
CSV files beside it, the models those of ` + "`hazards/syrup`" + `. Largest deviation and tolerance are of the row that comes nearest to its
tolerance. Values of the rules (net contents, shelf tables, bounds) are held by the tests of ` + "`hazards`" + `.

## Programs of others that compute the same for themselves

Compared in ` + "`hazards/syrup/outside_test.go`" + `; skipped with the reason where the program is missing, required in CI.

| quantity | program | points | allowed |
| --- | --- | --- | --- |
| volumes, masses, lengths, temperatures, differences, hPa | GNU units | 20 | 1e-12 of the value, temperatures 1e-9 C |
| inch of mercury, pound per square inch (rounded in our source) | GNU units | 2 | 1e-5 and 1e-6 of the value |
| vapour pressure of water, 0 to 110 C | IAPWS-IF97 region 4, python3-iapws | 23 | 0.011 % |
| boiling point of water, 65 to 108 kPa | IAPWS-IF97 region 4, python3-iapws | 44 | 0.002 C |
| density of water, 0 to 110 C | IAPWS-IF97 region 1, python3-iapws | 23 | 0.03 kg/m3 |
`

// line is one line of the table: all rows of one source and basis in one file.
type line struct {
	source, unit string
	points       int
	worst        measured
}

// take keeps the number that uses up most of its tolerance.
func (l *line) take(m measured) {
	if l.points == 0 || m.deviation()/m.tolerance > l.worst.deviation()/l.worst.tolerance {
		l.worst = m
	}
	l.points++
}

// linesOf gathers the rows of one basis in one file by their source.
func linesOf(t *testing.T, file, basis string) []*line {
	t.Helper()
	bySource := map[string]*line{}
	for _, r := range readRows(t, file) {
		if r.cells["basis"] != basis {
			continue
		}
		source := r.cells["source"]
		if bySource[source] == nil {
			bySource[source] = &line{source: source, unit: tables[file].unit}
		}
		for _, m := range tables[file].answer(t, r) {
			bySource[source].take(m)
		}
	}
	var lines []*line
	for _, source := range slices.Sorted(maps.Keys(bySource)) {
		lines = append(lines, bySource[source])
	}
	return lines
}

// checks writes the whole page.
func checks(t *testing.T) string {
	var b strings.Builder
	b.WriteString(checksHead)
	for _, section := range []struct{ basis, head string }{
		{"published", "Published by others"},
		{"from memory", "From memory, not looked up"},
		{"misprint", "Printed, and shown wrong: the model must miss them"},
		{"regression", "Regression values: our own computing, no evidence that a model is right"},
	} {
		fmt.Fprintf(&b, "\n## %s\n\n| quantity | source | points | largest deviation | tolerance | unit |\n| --- | --- | --- | --- | --- | --- |\n",
			section.head)
		for _, file := range slices.Sorted(maps.Keys(tables)) {
			for _, l := range linesOf(t, file, section.basis) {
				fmt.Fprintf(&b, "| %s | %s | %d | %s | %s | %s |\n", tables[file].what, l.source, l.points,
					digits(l.worst.deviation()), digits(l.worst.tolerance), l.unit)
			}
		}
	}
	b.WriteString("\n## Only a relation is tested\n\n| file | rows | what is tested |\n| --- | --- | --- |\n")
	for _, file := range slices.Sorted(maps.Keys(relations)) {
		fmt.Fprintf(&b, "| %s | %d | %s |\n", file, len(readRows(t, file)), relations[file])
	}
	b.WriteString("\n## Sources\n\n")
	for _, source := range sources(t) {
		fmt.Fprintf(&b, "- %s\n", source)
	}
	return b.String()
}

// digits writes two significant digits: enough to see how near a tolerance is, and the same on every machine.
func digits(x float64) string {
	if x < 1e-6 {
		return "0"
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
	if err != nil {
		return "?"
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// sources lists every source of every file as its first line explains it, with the file.
func sources(t *testing.T) []string {
	var list []string
	for _, file := range slices.Sorted(maps.Keys(files())) {
		content, err := os.ReadFile(filepath.Join(testdata, file))
		require.NoError(t, err)
		first, _, _ := strings.Cut(string(content), "\n")
		list = append(list, "`"+file+"`: "+strings.TrimPrefix(first, "# source: "))
	}
	return list
}

// files are all files this package reads.
func files() map[string]bool {
	all := map[string]bool{}
	for file := range tables {
		all[file] = true
	}
	for file := range relations {
		all[file] = true
	}
	return all
}

func TestChecksPageIsFresh(t *testing.T) {
	page := checks(t)
	if *update {
		require.NoError(t, os.WriteFile(checksFile, []byte(page), 0o644))
	}
	want, err := os.ReadFile(checksFile)
	require.NoError(t, err)
	assert.Equal(t, string(want), page, "run go test ./hazards/syrup -run Checks -update after reading the difference")
}

// No file of values lies unread: it is one of ours, or a test of another package names it.
func TestEveryFileIsRead(t *testing.T) {
	found, err := filepath.Glob(filepath.Join(testdata, "*.csv"))
	require.NoError(t, err)
	require.NotEmpty(t, found)
	tests, err := filepath.Glob("../../*/*_test.go")
	require.NoError(t, err)
	deeper, err := filepath.Glob("../../*/*/*_test.go")
	require.NoError(t, err)
	var all strings.Builder
	for _, name := range append(tests, deeper...) {
		content, err := os.ReadFile(name)
		require.NoError(t, err)
		all.Write(content)
	}
	for _, path := range found {
		assert.Contains(t, all.String(), filepath.Base(path), "%s is read by no test", path)
	}
}
