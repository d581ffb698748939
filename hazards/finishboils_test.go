package hazards

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// finishBoils keeps what the estimate said of every simulated boil, an answer a line. A plain run of the tests simulates and
// holds all of them against it, a race build each fourth of every fire; the table is made from it in both.
const finishBoils = "testdata/finish_boils.csv"

const finishBoilsHead = `# regression: answers of EstimateFinish on simulated boils (go test ./hazards -run FinishSimulated -update)
# units: hours from fire lit to the target; minutes before the finish when asked; minutes off and wide
boil,fire,hours,history,asked,told,off,covered,wide
`

// simulatedHere tells whether this run simulates a boil. Where the last bits of the exponential are others nothing can be
// taken from the file, so there all are.
func simulatedHere(number int) bool {
	return !raceEnabled || !writtenHere() || number/len(simFires)%4 == 0
}

// writtenHere tells whether this processor's exponential is the one the files were written with.
func writtenHere() bool { return runtime.GOARCH == "amd64" }

// thousandths is a value as the file keeps it.
func thousandths(x float64) float64 { return math.Round(x*1000) / 1000 }

func writeBoils(t *testing.T, cases map[int]simCase) {
	t.Helper()
	var out strings.Builder
	out.WriteString(finishBoilsHead)
	for _, number := range slices.Sorted(maps.Keys(cases)) {
		c := cases[number]
		for _, known := range []bool{false, true} {
			for at, a := range c.answers[known] {
				fmt.Fprintf(&out, "%d,%s,%g,%t,%.0f,%t,%g,%t,%g\n", number, strconv.Quote(c.fire), c.took, known, asked[at].Minutes(), a.told, a.off, a.covered, a.width)
			}
		}
	}
	require.NoError(t, os.WriteFile(finishBoils, []byte(out.String()), 0o644))
}

// readBoils gives the boils of the file by their number.
func readBoils(t *testing.T) map[int]simCase {
	t.Helper()
	f, err := os.Open(finishBoils)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	cases := map[int]simCase{}
	for _, l := range lines[1:] {
		number, err := strconv.Atoi(l[0])
		require.NoError(t, err)
		c, ok := cases[number]
		if !ok {
			c = simCase{fire: l[1], took: readNumber(t, l[2]), answers: map[bool][]simAnswer{}}
			cases[number] = c
		}
		known := l[3] == "true"
		c.answers[known] = append(c.answers[known],
			simAnswer{told: l[5] == "true", off: readNumber(t, l[6]), covered: l[7] == "true", width: readNumber(t, l[8])})
	}
	return cases
}

func readNumber(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err, s)
	return x
}
