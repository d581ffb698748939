package hazards

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// weighedAs makes net weights that are so far off the label, in mL, by the model's own density.
func weighedAs(contents syrup.Milliliters, solids syrup.Brix, off ...float64) []syrup.Grams {
	full, err := syrup.NetWeight(contents, solids)
	if err != nil {
		panic(err)
	}
	weights := make([]syrup.Grams, len(off))
	for i, e := range off {
		weights[i] = full * syrup.Grams(1+e/float64(contents))
	}
	return weights
}

// exampleErrors are those of the worked example of standards.md 6c.
var exampleErrors = []float64{-1.2, 0.4, -0.8, 1.1, -2.0, 0.3, -0.5, 0.9, -1.6, 0.2, -0.7, -0.4}

// netOf is a check of 240 bottles of 355 mL by Handbook 133 with these errors.
func netOf(off ...float64) NetFacts {
	n := NetFacts{ID: "net", Name: "25341K2B1-P", At: time.Date(2025, 12, 8, 14, 0, 0, 0, time.UTC), Scheme: SchemeHB133, Lot: 240, Contents: 355, Solids: 75,
		Weights: weighedAs(355, 75, off...)}
	for i := range off {
		n.Bottles = append(n.Bottles, 10*(i+1))
	}
	return n
}

// Worked example, standards.md 6c (numbers of the project, computed): average -0.3583, s 0.96809, limit 0.61474, sum +0.2564.
func TestNetWorkedByMass(t *testing.T) {
	w, err := netOf(exampleErrors...).Work()
	require.NoError(t, err)
	assert.InDelta(t, -0.3583, w.Average, 0.00005)
	assert.InDelta(t, 0.96809, *w.SD, 0.000005)
	assert.InDelta(t, 0.61474, *w.Limit, 0.000005)
	assert.InDelta(t, 0.2564, w.Average+*w.Limit, 0.00005)
	assert.Equal(t, 10.7, w.Tolerance, "R 87 for 355 mL (standards.md 14, vector 24)")
	assert.True(t, w.Pass)
	assert.True(t, w.Action, "no US variation is given here")
	assert.Equal(t, 50, w.Lowest)
	said := strings.Join(w.Steps(text.English), "\n")
	for _, want := range []string{"12 of 240 bottles", "0.635 × 0.968 = 0.615 mL", "−0.358 + 0.615 = 0.256 mL, not below 0", "US MAV not entered", "bottle 50, −2.000 mL", "Result: passes."} {
		assert.Contains(t, said, want)
	}
	for _, lang := range text.Languages() {
		for _, step := range w.Steps(lang) {
			assert.NotContains(t, step, "⟦")
			assert.NotContains(t, step, "<no value>")
		}
	}
}

// 473.176 mL of 74 % weigh 649 g (physics.md 9: 22.90 oz): such a bottle has no error.
func TestNetByMassAgreesWithWeightPerGallon(t *testing.T) {
	n := NetFacts{Scheme: SchemeHB133, Lot: 1, Contents: syrup.USFluidOunces(16).Milliliters(), Solids: 74, Weights: []syrup.Grams{22.90 * 28.349523125}}
	w, err := n.Work()
	require.NoError(t, err)
	assert.InDelta(t, 0, w.Average, 0.15)
}

// R 87: T1 15 mL for 500 mL, none over twice that (OIML R 87 as printed in the Saint Lucia Metrology Act, Schedule 5).
func r87Of(off func(i int) float64) NetFacts {
	n := NetFacts{ID: "net", Name: "25341K2B1-P", At: time.Date(2025, 12, 8, 14, 0, 0, 0, time.UTC), Scheme: SchemeR87, Lot: 400, Contents: 500, Solids: 75}
	errs := make([]float64, 50)
	for i := range errs {
		errs[i] = off(i)
		n.Bottles = append(n.Bottles, i+1)
	}
	n.Weights = weighedAs(500, 75, errs...)
	return n
}

func netCases() []judgeCase {
	judge := func(units int, nets ...NetFacts) []Finding { return LotFacts{Units: &units, Nets: nets}.judgeNets() }
	short := func(by float64) []float64 {
		errs := slices.Repeat([]float64{0.5, 1.5}, 6)
		errs[3] = -by
		return errs
	}
	mav := func(n NetFacts, x float64) NetFacts { n.MAV, n.Edition = &x, "edition of the test"; return n }
	many := func(short int, by float64) NetFacts {
		return r87Of(func(i int) float64 {
			if i < short {
				return -by
			}
			return 2 + float64(i%2)
		})
	}
	later := func(n NetFacts) NetFacts { n.ID, n.At = "net2", n.At.Add(2*time.Hour); return n }
	below := netOf(slices.Repeat([]float64{-1, -1.2}, 6)...)
	scale := netOf(exampleErrors...)
	scale.Scale = &InstrumentFacts{ID: "s", Name: "bench scale", Measures: MeasuresWeight, Error: ptr(2.0)}
	grown := netOf(exampleErrors...)
	small := r87Of(func(int) float64 { return 1 })
	small.Lot = 99
	return []judgeCase{
		{"net/none", judge(240), levels{}},
		{"net/worked example", judge(240, netOf(exampleErrors...)), levels{"net.variation_not_entered": Note, "net.met": Within}},
		{"net/variation entered", judge(240, mav(netOf(exampleErrors...), 12)), levels{"net.met": Within}},
		{"net/average short", judge(240, mav(below, 12)), levels{"net.average_short": Hold}},
		{"net/one bottle at the variation", judge(240, mav(netOf(short(11.999)...), 12)), levels{"net.met": Within}},
		{"net/one bottle past the variation", judge(240, mav(netOf(short(12.001)...), 12)), levels{"net.package_short": Hold}},
		{"net/one bottle past the action limit", judge(240, netOf(short(10.701)...)), levels{"net.package_short": Hold, "net.variation_not_entered": Note}},
		{"net/a later check governs", judge(240, mav(below, 12), later(mav(netOf(exampleErrors...), 12))), levels{"net.met": Within}},
		{"net/an earlier check does not", judge(240, later(mav(below, 12)), mav(netOf(exampleErrors...), 12)), levels{"net.average_short": Hold}},
		{"net/each scheme by itself", judge(400, mav(below, 12), later(many(0, 0))), levels{"net.average_short": Hold, "net.met": Within, "net.sample_small": Check}},
		{"net/r87 three over", judge(400, many(3, 15.01)), levels{"net.met": Within}},
		{"net/r87 four at the tolerance", judge(400, many(4, 14.999)), levels{"net.met": Within}},
		{"net/r87 four over", judge(400, many(4, 15.01)), levels{"net.package_short": Hold}},
		{"net/r87 one at twice", judge(400, many(1, 29.999)), levels{"net.met": Within}},
		{"net/r87 one over twice", judge(400, many(1, 30.01)), levels{"net.package_far_short": Hold}},
		{"net/a scale that failed", judge(240, mav(scale, 12)), levels{"instrument.failed_check": Check, "net.average_short": Hold}},
		{"net/lot grew within the plan", judge(250, mav(grown, 12)), levels{"net.met": Within}},
		{"net/lot grew past the plan", judge(251, mav(grown, 12)), levels{"net.met": Within, "net.sample_small": Check}},
		{"net/no plan", judge(99, small), levels{"net.not_worked": Check}},
	}
}

// The solids known now judge: 76 % in place of 75 makes the same weights 0.5 % short.
func TestNetFollowsTheSolids(t *testing.T) {
	n := netOf(slices.Repeat([]float64{0.4, 0.6}, 6)...)
	reading := refracted(StageLot, 75)
	thicker := refracted(StageLot, 76)
	with := func(r ReadingFacts) []Finding {
		return LotFacts{Units: ptr(240), Nets: []NetFacts{n}, Readings: []ReadingFacts{r}}.judgeNets()
	}
	assert.True(t, slices.ContainsFunc(with(reading), func(f Finding) bool { return f.Code == "net.met" }))
	assert.True(t, slices.ContainsFunc(with(thicker), func(f Finding) bool { return f.Code == "net.average_short" }))
}

func TestPickPackages(t *testing.T) {
	first := PickPackages("a seed", 240, 12)
	assert.Equal(t, first, PickPackages("a seed", 240, 12), "the same seed picks the same")
	assert.Equal(t, first, PickPackages("a seed", 240, 15)[:12], "a longer draw begins with the shorter")
	assert.NotEqual(t, first, PickPackages("another", 240, 12))
	all := PickPackages("a seed", 50, 50)
	slices.Sort(all)
	for i, n := range all {
		assert.Equal(t, i+1, n, "every bottle once")
	}
	assert.Nil(t, PickPackages("a seed", 5, 6))
	assert.Empty(t, PickPackages("a seed", 5, 0))
	// Fair: each of 10 bottles in about 3 of 10 draws; 4 sigma of a binomial with n 4000, p 0.3 is 116.
	counts := make([]int, 11)
	for i := range 4000 {
		for _, n := range PickPackages(string(rune('a'+i%26))+strings.Repeat("x", i/26), 10, 3) {
			counts[n]++
		}
	}
	for n := 1; n <= 10; n++ {
		assert.InDelta(t, 1200, counts[n], 116, n)
	}
}

func TestParseWeights(t *testing.T) {
	for typed, want := range map[string][]float64{"651.2 650\n\t649.5": {651.2, 650, 649.5}, "651, 650, 649": {651, 650, 649}, "651.2,650.9": {651.2, 650.9},
		"651;650;": {651, 650}, "": {}} {
		got, err := ParseWeights(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, want, got, typed)
	}
	for typed, want := range map[string]ListProblem{"651,2 650,9": ListComma, "651,650": ListComma, "651 x": ListNumber, "651 -3": ListZero, "0": ListZero,
		"1e3": ListNumber, "NaN": ListNumber} {
		_, err := ParseWeights(typed)
		var wrong ListError
		require.True(t, errors.As(err, &wrong), typed)
		assert.Equal(t, want, wrong.Problem, typed)
	}
}

func TestParseBottles(t *testing.T) {
	got, err := ParseBottles("3,17 4", 20)
	require.NoError(t, err)
	assert.Equal(t, []int{3, 17, 4}, got)
	for typed, want := range map[string]ListProblem{"0": ListRange, "21": ListRange, "3 3": ListTwice, "3.5": ListWhole, "x": ListWhole} {
		_, err := ParseBottles(typed, 20)
		var wrong ListError
		require.True(t, errors.As(err, &wrong), typed)
		assert.Equal(t, want, wrong.Problem, typed)
	}
}

func TestParseMAVLines(t *testing.T) {
	rows, err := ParseMAVLines("0 36 10 %\n36 54 3.6\n\n54 81 5.4\n")
	require.NoError(t, err)
	table, err := NewMAVTable("test", UnitGrams, rows...)
	require.NoError(t, err)
	for label, want := range map[float64]float64{30: 3, 36: 3.6, 36.1: 3.6, 54: 3.6, 54.1: 5.4, 81: 5.4} {
		row, ok := table.Of(label)
		require.True(t, ok, label)
		assert.InDelta(t, want, row.MAV, 1e-12, label)
	}
	_, ok := table.Of(81.1)
	assert.False(t, ok)
	for typed, want := range map[string]TableError{
		"":                     {Problem: TableEmpty, Line: 1},
		"0 100 5\n90 200 9":    {Problem: TableOverlap, Line: 2, Text: "90 200 9", Before: 100},
		"0 100 5\n\n110 200 9": {Problem: TableGap, Line: 3, Text: "110 200 9", Before: 100},
		"100 100 5":            {Problem: TableFalls, Line: 1, Text: "100 100 5"},
		"0 100 0":              {Problem: TableTolerance, Line: 1, Text: "0 100 0"},
		"0 100 100":            {Problem: TableTolerance, Line: 1, Text: "0 100 100"},
		"0 100 100 %":          {Problem: TableTolerance, Line: 1, Text: "0 100 100 %"},
		"0 100":                {Problem: TableColumns, Line: 1, Text: "0 100"},
		"0 100 5,4":            {Problem: TableComma, Line: 1, Text: "0 100 5,4"},
		"over up to\n0 100 5":  {Problem: TableColumns, Line: 1, Text: "over up to"},
		"0 100 5\n100 200 x":   {Problem: TableColumns, Line: 2, Text: "100 200 x"},
	} {
		_, err := ParseMAVLines(typed)
		assert.Equal(t, want, err, typed)
	}
}
