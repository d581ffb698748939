package hazards

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// ruleChecks are the files of rules and, for each row, how far the program is from it and how far it may be. Rows that are
// looked up are off by 0 or by 1.
var ruleChecks = []struct {
	file  string
	check func(t *testing.T, r csvRow) (off, may float64)
}{
	{"food_code.csv", func(t *testing.T, r csvRow) (float64, float64) {
		got, err := ShelfClass(r.must(t, "water_activity"), r.must(t, "ph"), r["table"] == "A")
		require.NoError(t, err)
		return differs(string(got) != r["result"]), 0
	}},
	{"net_plans.csv", func(t *testing.T, r csvRow) (float64, float64) {
		plan, err := Plan(NetScheme(r["scheme"]), int(r.must(t, "lot")))
		require.NoError(t, err)
		if plan.Packages < 2 {
			return differs(plan.Factor != 0), 0
		}
		p := map[string]float64{"hb133": 0.975, "r87": 0.995}[r["scheme"]]
		return math.Abs(correction(p, plan.Packages) - r.must(t, "factor")), 0.001
	}},
	{"net_factors.csv", func(t *testing.T, r csvRow) (float64, float64) {
		return math.Abs(correction(r.must(t, "probability"), int(r.must(t, "n"))) - r.must(t, "expected")), r.must(t, "tolerance")
	}},
	{"r87_tolerance.csv", func(t *testing.T, r csvRow) (float64, float64) {
		got, err := R87Tolerance(r.must(t, "nominal"))
		require.NoError(t, err)
		return math.Abs(got - r.must(t, "expected")), 1e-9
	}},
	{"mav_weight.csv", func(t *testing.T, r csvRow) (float64, float64) {
		want, _ := r.number(t, "expected")
		row, _ := WeightMAV().Of(r.must(t, "label"))
		return math.Abs(row.MAV - want), r.must(t, "tolerance")
	}},
	{"nutrition_panel.csv", func(t *testing.T, r csvRow) (float64, float64) {
		panel, err := PanelOf(41, 74, true)
		require.NoError(t, err)
		line, _ := panel.Line(r["nutrient"])
		return math.Abs(line.Raw - r.must(t, "raw")), 0.006
	}},
	{"nutrition_rounding.csv", func(t *testing.T, r csvRow) (float64, float64) {
		return differs(roundings[r["rule"]](r.must(t, "value")) != r["expected"]), 0
	}},
	{"limits.csv", func(t *testing.T, r csvRow) (float64, float64) {
		return referenceOff(t, r), 1e-9
	}},
	{"names.csv", func(t *testing.T, r csvRow) (float64, float64) {
		solids := syrup.Brix(r.must(t, "solids_percent"))
		want := map[string][]string{"cane": slices.Concat(caneNames, tableNames), "table": tableNames}[r["names"]]
		return differs(!slices.Equal(want, AllowedNames(&solids, IngredientAdditions(strings.Split(r["ingredients"], ";"))))), 0
	}},
	{"net_example.csv", func(t *testing.T, r csvRow) (float64, float64) {
		got, err := CheckNet(example())
		require.NoError(t, err)
		quantities := map[string]float64{"average": got.Average, "sd": *got.SD, "limit": *got.Limit, "average and limit": got.Average + *got.Limit, "worst": got.Worst}
		return math.Abs(quantities[r["quantity"]] - r.must(t, "expected")), r.must(t, "tolerance")
	}},
}

// referenceOff is how far a reference limit is from its published value, in the limit's own unit; the value itself is
// allowed, one step past it is not.
func referenceOff(t *testing.T, r csvRow) float64 {
	limit, ok := references[r["limit"]]
	require.True(t, ok, "%v", r)
	set, err := NewLimits(Limit{Code: limit.Code, Value: r.must(t, "value"), Unit: Unit(r["unit"])})
	require.NoError(t, err)
	_, published := set.Pair(limit.Code)
	assert.Equal(t, r["side"] == "least", limit.Least, "%v", r)
	step := 0.001
	if limit.Least {
		step = -step
	}
	assert.True(t, limit.Passed(limit.Value) && limit.Passed(limit.Value-step) && !limit.Passed(limit.Value+step), "%v", r)
	return math.Abs(limit.Value - published.Value)
}

func differs(wrong bool) float64 {
	if wrong {
		return 1
	}
	return 0
}

// ruleTally is what was seen of one source of one file.
type ruleTally struct {
	points         int
	largest, least float64
}

var rulesHead = [2]string{"| file | source | basis | points | largest deviation | tolerance |", "| --- | --- | --- | --- | --- | --- |"}

// rulesPage is the table of every published or remembered rule the program is held to.
func rulesPage(t *testing.T) string {
	lines := []string{"# Rules checked against the outside", "",
		"Written by `go test ./hazards -run RulesPage -update`; the test fails when it is stale. Deviations are absolute, in the file's unit.",
		"Sampling plans are compared with t quantiles of gonum, an independent statistics library.", "",
		rulesHead[0], rulesHead[1]}
	own := []string{"", "## Regression values: our own computing, no evidence that a rule is right", "", rulesHead[0], rulesHead[1]}
	for _, c := range ruleChecks {
		tallies, keys := map[string]*ruleTally{}, []string{}
		for _, r := range csvRows(t, c.file) {
			key := r["source"] + " | " + r["basis"]
			if tallies[key] == nil {
				tallies[key], keys = &ruleTally{}, append(keys, key)
			}
			off, may := c.check(t, r)
			assert.LessOrEqual(t, off, may, "%s %v", c.file, r)
			tallies[key].points++
			tallies[key].largest, tallies[key].least = max(tallies[key].largest, off), max(tallies[key].least, may)
		}
		slices.Sort(keys)
		for _, key := range keys {
			tally := tallies[key]
			line := fmt.Sprintf("| %s | %s | %d | %.4f | %.4f |", c.file, key, tally.points, tally.largest, tally.least)
			if strings.HasSuffix(key, "| regression") {
				own = append(own, line)
				continue
			}
			lines = append(lines, line)
		}
	}
	return strings.Join(append(lines, own...), "\n") + "\n"
}

func TestRulesPageIsFresh(t *testing.T) {
	const file = "../testdata/CHECKS_RULES.md"
	page := rulesPage(t)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), page, "run go test ./hazards -run RulesPage -update after reading the difference")
}
