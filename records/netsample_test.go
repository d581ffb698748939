package records

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// sampleOf is a check of a lot of 24 by Handbook 133: 12 bottles, each so many mL off its label at these solids.
func sampleOf(t *testing.T, lotID string, at time.Time, contents syrup.Milliliters, solids syrup.Brix, off float64) *NetSample {
	t.Helper()
	full, err := syrup.NetWeight(contents, solids)
	require.NoError(t, err)
	var weights []string
	for i := range 12 {
		weights = append(weights, fmt.Sprintf("%.2f", float64(full)*(1+(off+0.1*float64(i%3))/float64(contents))))
	}
	return &NetSample{LotID: lotID, At: at, Scheme: SchemeHB133, Edition: "-", LotSize: 24, Seed: "seed", Picked: "1 2 3 4 5 6 7 8 9 10 11 12",
		Unit: "g", Weights: strings.Join(weights, " "), Contents: contents, Solids: solids}
}

func TestNetSampleValidate(t *testing.T) {
	tare := syrup.Grams(250)
	good := func() *NetSample { return sampleOf(t, "lot", time.Now(), 473, 75, 0.5) }
	gross := func(change func(*NetSample)) func(*NetSample) {
		return func(n *NetSample) {
			n.Gross, n.Tare = true, &tare
			var weights []string
			for range 12 {
				weights = append(weights, "902")
			}
			n.Weights = strings.Join(weights, " ")
			change(n)
		}
	}
	require.NoError(t, good().Validate())
	full := good()
	gross(func(*NetSample) {})(full)
	require.NoError(t, full.Validate())
	ounces := good()
	ounces.Unit, ounces.Weights = "oz", strings.Repeat("23.0 ", 12)
	require.NoError(t, ounces.Validate(), "23 oz are 652 g")
	for name, c := range map[string]struct {
		field, key string
		change     func(*NetSample)
	}{
		"one weight too few":       {"weights", "net_sample.wrong.weights", func(n *NetSample) { n.Weights = strings.Join(strings.Fields(n.Weights)[1:], " ") }},
		"one bottle too few":       {"picked", "net_sample.wrong.bottles", func(n *NetSample) { n.Picked = "1 2 3" }},
		"a bottle the lot lacks":   {"picked", "net_sample.wrong.range", func(n *NetSample) { n.Picked = strings.Replace(n.Picked, "12", "25", 1) }},
		"negative":                 {"weights", "net_sample.wrong.zero", func(n *NetSample) { n.Weights = "-5 " + n.Weights }},
		"decimal comma":            {"weights", "net_sample.wrong.comma", func(n *NetSample) { n.Weights = strings.ReplaceAll(n.Weights, ".", ",") }},
		"grams that are ounces":    {"weights", "net_sample.wrong.size", func(n *NetSample) { n.Weights = strings.Repeat("23 ", 12) }},
		"just under half full":     {"weights", "net_sample.wrong.size", func(n *NetSample) { n.Weights = strings.Repeat("325 ", 12) }},
		"just over half as much":   {"weights", "net_sample.wrong.size", func(n *NetSample) { n.Weights = strings.Repeat("978 ", 12) }},
		"tare heavier than gross":  {"weights", "net_sample.wrong.tare_heavier", gross(func(n *NetSample) { n.Weights = strings.Replace(n.Weights, "902", "240", 1) })},
		"no tare":                  {"tare", "net_sample.wrong.no_tare", func(n *NetSample) { n.Gross = true }},
		"r87 has no plan so small": {"scheme", "net_sample.wrong.lot_small", func(n *NetSample) { n.Scheme = SchemeR87 }},
		"a scheme that is none":    {"scheme", "invalid.choice", func(n *NetSample) { n.Scheme = "x" }},
	} {
		t.Run(name, func(t *testing.T) {
			n := good()
			c.change(n)
			var invalid Invalid
			require.True(t, errors.As(n.Validate(), &invalid))
			assert.True(t, slices.ContainsFunc(invalid, func(f FieldError) bool { return f.Field == c.field && f.Key == c.key }), "%v", invalid)
		})
	}
}

// A check is worked out and kept; it judges the lot, holds a released part, and a later one that passes governs.
func TestNetSampleJudgesTheLot(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, lot, part := h.released(g)
		facts, _, err := LotFacts(h.ctx, h, lot.ID)
		require.NoError(t, err)
		solids := hazards.LotSolids(facts).Percent
		weigh := func(off float64, minute int) *NetSample {
			n := sampleOf(t, lot.ID, h.at(11, minute), *facts.Fill.Contents, solids, off)
			_, err := WorkNet(h.ctx, h, n)
			require.NoError(t, err)
			return n
		}
		state := func() string {
			shelves, err := Shelves(h.ctx, h, []Part{part})
			require.NoError(t, err)
			return shelves[0].State
		}
		passing := weigh(0.5, 52)
		assert.True(t, passing.Passed)
		assert.Contains(t, passing.Result, "Result: passes.")
		assert.Contains(t, passing.Edition, "US MAV not entered")
		h.put(passing)
		assert.Equal(t, StateReleased, state())

		short := weigh(-6, 54)
		assert.False(t, short.Passed)
		h.put(short)
		assert.Equal(t, StateHeld, state(), "a failed check holds a released part again")
		assert.Contains(t, lotCodes(t, h, lot.ID), "net.average_short")

		h.put(weigh(0.5, 56))
		assert.NotContains(t, lotCodes(t, h, lot.ID), "net.average_short", "the later check governs")
		assert.Contains(t, lotCodes(t, h, lot.ID), "net.met")

		steps, same, err := NetSteps(h.ctx, h, *short, text.Spanish)
		require.NoError(t, err)
		assert.True(t, same)
		assert.Contains(t, strings.Join(steps, "\n"), "Resultado: no pasa.")

		h.put(&NetTable{Name: TableMAVVolume, Edition: "test edition", Source: "ours", AsOf: "2025-10-01", Lines: "0 1000 0.1"})
		assert.Contains(t, lotCodes(t, h, lot.ID), "net.met", "nobody is below")
		_, same, err = NetSteps(h.ctx, h, *short, text.Spanish)
		require.NoError(t, err)
		assert.False(t, same, "the table is another now: the steps are those kept")
		assert.NotContains(t, lotCodes(t, h, lot.ID), "net.variation_not_entered")
	})
}

func lotCodes(t *testing.T, h *season, lotID string) []string {
	t.Helper()
	findings, err := JudgeLot(h.ctx, h, lotID)
	require.NoError(t, err)
	var codes []string
	for _, f := range findings {
		codes = append(codes, f.Code)
	}
	return codes
}

// A scale that fails its check reaches the lots it weighed for a net-contents check alone.
func TestNetSampleReachedByItsScale(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, lot, _ := h.released(g)
		facts, _, err := LotFacts(h.ctx, h, lot.ID)
		require.NoError(t, err)
		scale := &Instrument{Name: "Bench scale", Measures: MeasuresWeight}
		h.put(scale)
		n := sampleOf(t, lot.ID, h.at(11, 52), *facts.Fill.Contents, hazards.LotSolids(facts).Percent, 0.5)
		n.ScaleID = &scale.ID
		_, err = WorkNet(h.ctx, h, n)
		require.NoError(t, err)
		h.put(n)
		lots, err := LotsUsing(h.ctx, h, scale.ID, firstDay)
		require.NoError(t, err)
		assert.Equal(t, []string{lot.ID}, lots)
		h.put(&InstrumentCheck{InstrumentID: scale.ID, At: h.at(11, 58), Method: "check_weight", Expected: 500, Read: 503, Unit: "g", Passed: false})
		assert.Contains(t, lotCodes(t, h, lot.ID), "net.average_short", "3 g too high is 2.2 mL")
	})
}

func TestNetTable(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		table, own, err := MAVTable(h.ctx, h, TableMAVVolume)
		require.NoError(t, err)
		assert.Nil(t, own)
		assert.Empty(t, table.Rows(), "no row is invented")
		h.put(&NetTable{Name: TableMAVVolume, Edition: "older", Source: "ours", AsOf: "2025-09-01", Lines: "0 1000 20"},
			&NetTable{Name: TableMAVVolume, Edition: "newer", Source: "ours", AsOf: "2025-10-01", Lines: "0 400 10\n400 1000 15"})
		table, own, err = MAVTable(h.ctx, h, TableMAVVolume)
		require.NoError(t, err)
		assert.Equal(t, "newer", own.Edition)
		row, ok := table.Of(473)
		assert.True(t, ok)
		assert.Equal(t, 15.0, row.MAV)
		weights, own, err := MAVTable(h.ctx, h, TableMAVWeight)
		require.NoError(t, err)
		assert.Nil(t, own)
		assert.Equal(t, hazards.WeightMAV().Edition, weights.Edition)
		bad := &NetTable{Name: TableMAVVolume, Edition: "x", Source: "x", AsOf: "2025-10-01", Lines: "0 400 10\n410 1000 15"}
		assert.Equal(t, Invalid{{"lines", "net_table.wrong.gap", []any{"Line", 2, "Typed", "410 1000 15", "Before", 400.0}}}, bad.Validate())
	})
}

func TestCoolingTest(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		test := &CoolingTest{ContainerID: g.container.ID, At: h.at(9, 0), Unit: "F", Series: "0 185\n5 180\n10 175", Position: "inverted"}
		h.put(test)
		container := g.container
		container.CoolingTestID, container.FillLimitSource = &test.ID, ""
		require.NoError(t, h.Amend(h.ctx, h.owner, &container, "the test is the source"))
		_, lot, _ := h.released(g)
		facts, _, err := LotFacts(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, "our cooling test of "+string(DayOf(test.At, zoneOf(h.ctx, h))), facts.Fill.LimitSource)

		other := &Container{Name: "Quart", Contents: 946, ContentsEntered: "946 mL"}
		h.put(other)
		other.CoolingTestID = &test.ID
		var invalid Invalid
		require.True(t, errors.As(h.Amend(h.ctx, h.owner, other, "a slip"), &invalid))
		assert.Equal(t, "container.cooling_test.other", invalid[0].Key)

		found, record, err := CoolingOf(h.ctx, h, *test)
		require.NoError(t, err)
		assert.Len(t, record, 3)
		assert.InDelta(t, 5, found.Above[0].Minutes, 1e-9, "at 180 F until the fifth minute")
		for series, key := range map[string]string{"0 185\n5 180": "few", "0 185\n5 180\n3 175": "back", "0 85\n5 82\n10 80": "unit", "11:00 185\n11:05 180\n11:10 175": "columns"} {
			bad := &CoolingTest{ContainerID: g.container.ID, At: h.at(9, 0), Unit: "F", Series: series, Position: "inverted"}
			require.True(t, errors.As(bad.Validate(), &invalid), series)
			assert.Equal(t, "cooling_test.wrong."+key, invalid[0].Key, series)
		}
	})
}
