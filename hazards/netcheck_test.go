package hazards

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// correction is t(p, n-1)/sqrt(n) by a statistics library, independent of the tables.
func correction(p float64, n int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(p) / math.Sqrt(float64(n))
}

func TestSamplingPlans(t *testing.T) {
	for _, r := range csvRows(t, "net_plans.csv") {
		plan, err := Plan(NetScheme(r["scheme"]), int(r.must(t, "lot")))
		require.NoError(t, err)
		factor, _ := r.number(t, "factor")
		assert.Equal(t, SamplingPlan{int(r.must(t, "packages")), factor, int(r.must(t, "allowed"))}, plan, "%v", r)
		if plan.Packages > 1 {
			p := map[string]float64{"hb133": 0.975, "r87": 0.995}[r["scheme"]]
			assert.InDelta(t, correction(p, plan.Packages), plan.Factor, 0.001, "%v", r)
		}
	}
	for _, r := range csvRows(t, "net_factors.csv") {
		assert.InDelta(t, r.must(t, "expected"), correction(r.must(t, "probability"), int(r.must(t, "n"))), r.must(t, "tolerance"), "%v", r)
	}
}

func TestPlanRefuses(t *testing.T) {
	for _, c := range []struct {
		scheme NetScheme
		lot    int
		least  int
	}{{SchemeHB133, 0, 1}, {SchemeHB133, -5, 1}, {SchemeR87, 99, 100}} {
		_, err := Plan(c.scheme, c.lot)
		assert.Equal(t, LotTooSmall{Lot: c.lot, Least: c.least}, err)
		assert.ErrorContains(t, err, "expected at least")
	}
	_, err := Plan("e", 100)
	assert.ErrorContains(t, err, "hb133 or r87")
}

func TestR87Tolerance(t *testing.T) {
	for _, r := range csvRows(t, "r87_tolerance.csv") {
		got, err := R87Tolerance(r.must(t, "nominal"))
		require.NoError(t, err)
		assert.InDelta(t, r.must(t, "expected"), got, 1e-9, "%v", r)
	}
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := R87Tolerance(x)
		assert.Error(t, err, x)
	}
	last := 0.0
	for q := 1.0; q < 30000; q += 7.3 {
		got, err := R87Tolerance(q)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, got, last, "a larger package never has less room")
		last = got
	}
}

func TestWeightMAV(t *testing.T) {
	table := WeightMAV()
	for _, r := range csvRows(t, "mav_weight.csv") {
		row, ok := table.Of(r.must(t, "label"))
		want, known := r.number(t, "expected")
		assert.Equal(t, known, ok, "%v", r)
		assert.InDelta(t, want, row.MAV, r.must(t, "tolerance"), "%v", r)
		assert.Equal(t, known && row.MAV != 7.2, row.FromMemory, "only the row confirmed elsewhere is not marked: %v", r)
	}
	_, ok := VolumeMAV().Of(355)
	assert.False(t, ok, "no row of the volume table is given")
}

func TestNewMAVTable(t *testing.T) {
	table, err := NewMAVTable("NIST HB 133-2023, Table 2-6, read by Ada Quill", UnitMilliliters, MAVRow{Over: 100, UpTo: 200, MAV: 9}, MAVRow{Over: 200, UpTo: 400, MAV: 15})
	require.NoError(t, err)
	for label, want := range map[float64]float64{100.1: 9, 200: 9, 200.1: 15, 400: 15} {
		row, ok := table.Of(label)
		assert.True(t, ok)
		assert.Equal(t, want, row.MAV, label)
	}
	for _, label := range []float64{100, 400.1} {
		_, ok := table.Of(label)
		assert.False(t, ok, label)
	}
	for name, rows := range map[string][]MAVRow{
		"overlap": {{Over: 100, UpTo: 200, MAV: 9}, {Over: 199, UpTo: 300, MAV: 10}}, "backwards": {{Over: 200, UpTo: 100, MAV: 9}},
		"nothing": {{Over: 100, UpTo: 200}}, "all of it": {{Over: 0, UpTo: 10, MAV: 10}}, "no room": {{Over: 100, UpTo: 100, MAV: 9}}, "endless": {{Over: 1, UpTo: math.Inf(1), MAV: 3}},
		"no number": {{Over: math.NaN(), UpTo: 100, MAV: 3}},
	} {
		_, err := NewMAVTable("an edition", UnitMilliliters, rows...)
		assert.ErrorContains(t, err, "row", name)
	}
	_, err = NewMAVTable("", UnitMilliliters)
	assert.ErrorContains(t, err, "edition")
}

// example is the sample of standards.md 6c: a lot of 240, label 355 mL.
func example() NetSample {
	return NetSample{Scheme: SchemeHB133, Lot: 240, Label: 355, Unit: UnitMilliliters,
		Errors: []float64{-1.2, 0.4, -0.8, 1.1, -2.0, 0.3, -0.5, 0.9, -1.6, 0.2, -0.7, -0.4}}
}

// Vector 23 of standards.md 14 (the numbers were computed there).
func TestCheckNetExample(t *testing.T) {
	r, err := CheckNet(example())
	require.NoError(t, err)
	assert.True(t, r.Pass && r.AverageOK)
	assert.InDelta(t, -0.3583, r.Average, 0.00005)
	assert.InDelta(t, 0.96809, *r.SD, 0.000005)
	assert.InDelta(t, 0.61474, *r.Limit, 0.000005)
	assert.InDelta(t, 0.2564, r.Average+*r.Limit, 0.00005)
	assert.Equal(t, -2.0, r.Worst)
	assert.Equal(t, 10.7, r.Tolerance)
	assert.True(t, r.Action, "the US variation by volume was not entered")
	assert.Zero(t, r.Short)
}

// each is n packages alike, the first ones as given.
func each(n int, all float64, first ...float64) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = all
	}
	copy(list, first)
	return list
}

func TestCheckNet(t *testing.T) {
	sample := func(do func(*NetSample)) NetSample { s := example(); do(&s); return s }
	of := func(errors []float64) NetSample { return sample(func(s *NetSample) { s.Errors = errors }) }
	r87 := func(errors []float64) NetSample {
		return sample(func(s *NetSample) { s.Scheme, s.Lot, s.Errors = SchemeR87, 500, errors })
	}
	big := func(errors []float64) NetSample { return sample(func(s *NetSample) { s.Lot, s.Errors = 5000, errors }) }
	single := func(e float64) NetSample { return sample(func(s *NetSample) { s.Lot, s.Errors = 1, []float64{e} }) }
	entered := func(mav float64, e float64) NetSample {
		return sample(func(s *NetSample) { s.MAV, s.Errors = &mav, each(12, 5, e) })
	}
	weighed := func(e float64) NetSample {
		return sample(func(s *NetSample) { s.Label, s.Unit, s.Errors = 340, UnitGrams, each(12, 5, e) })
	}
	for name, c := range map[string]struct {
		sample         NetSample
		pass, average  bool
		short          int
		action, memory bool
	}{
		"all at the label":                          {of(each(12, 0)), true, true, 0, true, false},
		"all a hair under":                          {of(each(12, -0.001)), false, false, 0, true, false},
		"average under by more than sampling":       {of(each(12, -1, 0)), false, false, 0, true, false},
		"one short by the whole limit":              {of(each(12, 5, -10.7)), true, true, 0, true, false},
		"one short by a step more":                  {of(each(12, 5, -10.71)), false, true, 1, true, false},
		"one in 48 may be short":                    {big(each(48, 5, -10.71)), true, true, 1, true, false},
		"two in 48 may not":                         {big(each(48, 5, -10.71, -10.71)), false, true, 2, true, false},
		"lot of two has an average":                 {sample(func(s *NetSample) { s.Lot, s.Errors = 2, []float64{-0.1, -0.1} }), false, false, 0, true, false},
		"lot of one at the limit":                   {single(-10.7), true, true, 0, true, false},
		"lot of one past it":                        {single(-10.71), false, true, 1, true, false},
		"variation entered, at it":                  {entered(3, -3), true, true, 0, false, false},
		"variation entered, past it":                {entered(3, -3.01), false, true, 1, false, false},
		"by weight, at the table":                   {weighed(-16.3), true, true, 0, false, true},
		"by weight, past the table":                 {weighed(-16.31), false, true, 1, false, true},
		"R 87, three of fifty over T":               {r87(each(50, 5, -11, -11, -11)), true, true, 3, false, false},
		"R 87, four of fifty over T":                {r87(each(50, 5, -11, -11, -11, -11)), false, true, 4, false, false},
		"R 87, one at twice T":                      {r87(each(50, 5, -21.4)), true, true, 1, false, false},
		"R 87, one past twice T":                    {r87(each(50, 5, -21.41)), false, true, 1, false, false},
		"R 87 has no use for the US variation":      {sample(func(s *NetSample) { s.Scheme, s.Lot, s.Errors, s.MAV = SchemeR87, 100, each(50, 0), ptr(1.0) }), true, true, 0, false, false},
		"past twice T is no matter to Handbook 133": {big(each(48, 5, -30)), true, true, 1, true, false},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := CheckNet(c.sample)
			require.NoError(t, err)
			assert.Equal(t, c.pass, r.Pass, "pass")
			assert.Equal(t, c.average, r.AverageOK, "average")
			assert.Equal(t, c.short, r.Short, "short")
			assert.Equal(t, c.action, r.Action, "action limit")
			assert.Equal(t, c.memory, r.Memory, "from memory")
			assert.Equal(t, len(c.sample.Errors) > 1, r.SD != nil)
		})
	}
}

// An average that the sampling error just reaches passes; a step less fails.
func TestCheckNetAverageAtItsLimit(t *testing.T) {
	spread := []float64{1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 1, -1}
	shifted := func(by float64) NetSample {
		s := example()
		s.Errors = make([]float64, 12)
		for i, e := range spread {
			s.Errors[i] = e + by
		}
		return s
	}
	r, err := CheckNet(shifted(0))
	require.NoError(t, err)
	inside, _ := CheckNet(shifted(-*r.Limit + 1e-6))
	past, _ := CheckNet(shifted(-*r.Limit - 1e-6))
	assert.True(t, inside.Pass)
	assert.False(t, past.Pass)
}

func TestCheckNetRefuses(t *testing.T) {
	change := func(do func(*NetSample)) error { s := example(); do(&s); _, err := CheckNet(s); return err }
	assert.Equal(t, WrongSample{Lot: 240, Want: 12, Got: 11}, change(func(s *NetSample) { s.Errors = s.Errors[1:] }))
	assert.Equal(t, WrongSample{Lot: 240, Want: 12, Got: 0}, change(func(s *NetSample) { s.Errors = nil }))
	assert.ErrorContains(t, WrongSample{240, 12, 11}, "240 needs 12")
	assert.NoError(t, change(func(s *NetSample) { s.Errors[0] = -355 }), "an empty package is possible")
	for name, do := range map[string]func(*NetSample){
		"no number": func(s *NetSample) { s.Errors[0] = math.NaN() }, "endless": func(s *NetSample) { s.Errors[0] = math.Inf(1) },
		"emptier than empty": func(s *NetSample) { s.Errors[0] = -355.1 }, "no label": func(s *NetSample) { s.Label = 0 },
		"label no number": func(s *NetSample) { s.Label = math.NaN() }, "scheme": func(s *NetSample) { s.Scheme = "x" },
		"variation": func(s *NetSample) { s.MAV = ptr(0.0) }, "variation as large as the label": func(s *NetSample) { s.MAV = ptr(355.0) },
	} {
		assert.Error(t, change(do), name)
	}
}

// Filling every package a little more never fails a sample that passed.
func TestMoreIsNeverWorse(t *testing.T) {
	for by := -3.0; by < 3; by += 0.05 {
		less, more := example(), example()
		less.Errors, more.Errors = each(0, 0), each(0, 0)
		for _, e := range example().Errors {
			less.Errors, more.Errors = append(less.Errors, e+by), append(more.Errors, e+by+0.05)
		}
		a, err := CheckNet(less)
		require.NoError(t, err)
		b, err := CheckNet(more)
		require.NoError(t, err)
		assert.True(t, !a.Pass || b.Pass, by)
	}
}

// The formula of Handbook 133 (from memory): a bottle that holds its label has no error.
func TestGravimetricError(t *testing.T) {
	density := 1.3724 // g/mL, CRC, sucrose 74 %
	for _, c := range []struct{ label, tare, over float64 }{{355, 250, 0}, {355, 250, -2.5}, {473.176473, 310, 4}} {
		got, err := GravimetricError(c.label, density, c.tare, c.tare+density*(c.label+c.over))
		require.NoError(t, err)
		assert.InDelta(t, c.over, got, 1e-9)
	}
	for _, c := range [][4]float64{{0, 1.37, 1, 2}, {355, 0, 1, 2}, {355, -1, 1, 2}, {355, 1.37, -1, 2}, {355, 1.37, 3, 2}, {355, 1.37, 1, math.Inf(1)},
		{math.NaN(), 1.37, 1, 2}, {355, math.NaN(), 1, 2}, {355, 1.37, math.NaN(), 2}, {355, 1.37, 1, math.NaN()}, {355, math.Inf(1), 1, 2}} {
		_, err := GravimetricError(c[0], c[1], c[2], c[3])
		assert.ErrorContains(t, err, "expected", "%v", c)
	}
	_, err := GravimetricError(355, 1.37, 0, 0)
	assert.NoError(t, err, "an empty bag of no weight")
}
