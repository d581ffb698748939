package lineage

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func in(from string, when time.Time, x float64) Edge {
	return Edge{From: from, To: "T", At: when, Solids: kg(x), Mass: kg(4 * x)}
}

func out(to string, when time.Time, x float64) Edge {
	return Edge{From: "T", To: to, At: when, Solids: kg(x), Mass: kg(4 * x)}
}

func tankGraph(t *testing.T, ins, outs []Edge, washouts ...time.Time) *Graph {
	t.Helper()
	edges, err := TankStates("T", ins, outs, washouts)
	require.NoError(t, err)
	return New(edges)
}

func TestTankVersions(t *testing.T) {
	g := tankGraph(t, []Edge{in("p1", at(8, 0), 30), in("p2", at(10, 0), 10)},
		[]Edge{out("r1", at(9, 0), 20), out("r2", at(11, 0), 15)})
	assert.Equal(t, []string{"T#1", "p1"}, g.Back("r1"), "what came in later is no part of what was drawn before")
	shares := sharesOf(t, g, "r2")
	assert.InDelta(t, 0.5, float64(shares["p1"].Fraction), 1e-12, "10 left of the first, 10 of the second")
	assert.InDelta(t, 0.5, float64(shares["p2"].Fraction), 1e-12)
	assert.False(t, shares["p1"].Estimated)
}

func TestTankLateEntry(t *testing.T) {
	first := []Edge{in("p1", at(8, 0), 30), in("p3", at(12, 0), 10)}
	late := append(first, in("p2", at(9, 0), 10)) // written down afterwards
	draws := []Edge{out("r", at(10, 0), 20)}
	assert.NotContains(t, tankGraph(t, first, draws).Back("r"), "p2")
	g := tankGraph(t, late, draws)
	assert.ElementsMatch(t, []string{"T#2", "T#1", "p2", "p1"}, g.Back("r"))
	assert.InDelta(t, 0.25, float64(sharesOf(t, g, "r")["p2"].Fraction), 1e-12)
}

func TestTankWashOut(t *testing.T) {
	ins := []Edge{in("p1", at(8, 0), 30), in("p2", at(10, 0), 10)}
	g := tankGraph(t, ins, []Edge{out("r1", at(9, 0), 30), out("r2", at(11, 0), 5)}, at(9, 30))
	assert.Equal(t, []string{"T#2", "p2"}, g.Back("r2"), "nothing before the wash-out is upstream of what comes after")
	assert.Equal(t, []string{"T#1", "r1"}, g.Forward("p1"))

	t.Run("drawn before any inflow", func(t *testing.T) {
		g := tankGraph(t, ins, []Edge{out("r0", at(7, 0), 1), out("r9", at(9, 45), 1)}, at(9, 30))
		assert.Equal(t, []string{"T#0"}, g.Back("r0"))
		assert.Equal(t, []string{"T#0"}, g.Back("r9"))
	})
	t.Run("drawn, washed and filled in one minute", func(t *testing.T) {
		g := tankGraph(t, []Edge{in("p1", at(8, 0), 30), in("p2", at(9, 0), 10)}, []Edge{out("r", at(9, 0), 30)}, at(9, 0))
		assert.Equal(t, []string{"T#1", "p1"}, g.Back("r"))
		assert.Equal(t, []string{"T#2"}, g.Forward("p2"))
	})
	t.Run("washed, filled and drawn in one minute", func(t *testing.T) {
		g := tankGraph(t, []Edge{in("p2", at(9, 0), 10)}, []Edge{out("r", at(9, 0), 3)}, at(9, 0))
		assert.Equal(t, []string{"T#1", "p2"}, g.Back("r"))
	})
	t.Run("filled and drawn in one minute", func(t *testing.T) {
		g := tankGraph(t, []Edge{in("p2", at(9, 0), 10)}, []Edge{out("r", at(9, 0), 3)})
		assert.Equal(t, []string{"T#1", "p2"}, g.Back("r"))
	})
}

func TestTankOverdrawn(t *testing.T) {
	g := tankGraph(t, []Edge{in("p1", at(8, 0), 10), in("p2", at(10, 0), 10)}, []Edge{out("r1", at(9, 0), 12), out("r2", at(11, 0), 5)})
	assert.Contains(t, g.Back("r2"), "p1", "reach stays though nothing computes to be left")
	shares := sharesOf(t, g, "r2")
	assert.Zero(t, shares["p1"].Fraction)
	assert.InDelta(t, 1, float64(shares["p2"].Fraction), 1e-12)
	assert.True(t, shares["p2"].Estimated, "a tank that gave more than it had is estimated")
}

func TestTankEmptied(t *testing.T) {
	g := tankGraph(t, []Edge{in("p1", at(8, 0), 10), in("p2", at(10, 0), 10), in("p3", at(12, 0), 5)},
		[]Edge{out("r1", at(9, 0), 10), out("r2", at(13, 0), 5)})
	shares := sharesOf(t, g, "r2")
	assert.Zero(t, shares["p1"].Fraction)
	assert.False(t, shares["p2"].Estimated, "drawn to the last drop is as measured as any")

	more := out("r3", at(9, 30), 0) // from an empty tank, by mass only
	more.Solids, more.Mass = nil, kg(8)
	edges, err := TankStates("T", []Edge{in("p1", at(8, 0), 10), in("p2", at(10, 0), 10)}, []Edge{out("r1", at(9, 0), 10), more}, nil)
	require.NoError(t, err)
	assert.Nil(t, edges[0].Solids, "not known, and no number made of nothing by nothing")
	assert.InDelta(t, 1, float64(sharesOf(t, New(edges), "T#2")["p2"].Fraction), 1e-12)
}

func TestTankUnknownAmounts(t *testing.T) {
	blank := Edge{From: "p1", To: "T", At: at(8, 0)}
	g := tankGraph(t, []Edge{blank, in("p2", at(9, 0), 10)}, []Edge{out("r", at(10, 0), 5)})
	assert.Equal(t, map[string]Share{"p1": {0.5, true}, "p2": {0.5, true}}, sharesOf(t, g, "r"))

	t.Run("solids drawn follow from the mass", func(t *testing.T) {
		drawn := out("r1", at(9, 0), 0)
		drawn.Solids, drawn.Mass = nil, kg(80) // of 120 kg with 30 kg of solids
		g := tankGraph(t, []Edge{in("p1", at(8, 0), 30), in("p2", at(10, 0), 10)}, []Edge{drawn, out("r2", at(11, 0), 1)})
		shares := sharesOf(t, g, "r2")
		assert.InDelta(t, 0.5, float64(shares["p1"].Fraction), 1e-12)
		assert.True(t, shares["p1"].Estimated)
	})
	t.Run("mass drawn follows from the solids", func(t *testing.T) {
		drawn := out("r1", at(9, 0), 20)
		drawn.Mass = nil
		edges, err := TankStates("T", []Edge{in("p1", at(8, 0), 30), in("p2", at(10, 0), 10)}, []Edge{drawn}, nil)
		require.NoError(t, err)
		assert.InDelta(t, 40, float64(*edges[0].Mass), 1e-9)
		assert.InDelta(t, 10, float64(*edges[0].Solids), 1e-9)
	})
}

func TestTankRefuses(t *testing.T) {
	_, err := TankStates("T", []Edge{{From: "p", To: "other", At: at(8, 0)}}, nil, nil)
	assert.ErrorContains(t, err, "give the tank T and the time")
	_, err = TankStates("T", nil, []Edge{{From: "T", To: "r"}}, nil)
	assert.ErrorContains(t, err, "give the tank T and the time")
	_, err = Expand([]Edge{{From: "p", To: "T"}}, map[string][]time.Time{"T": nil})
	assert.ErrorContains(t, err, "the time")
}

func TestExpandTankIntoTank(t *testing.T) {
	edges := []Edge{
		{From: "p1", To: "A", At: at(8, 0), Solids: kg(10)},
		{From: "A", To: "B", At: at(9, 0), Solids: kg(4)},
		{From: "p2", To: "A", At: at(10, 0), Solids: kg(6)},
		{From: "B", To: "A", At: at(11, 0), Solids: kg(4)}, // back again: no circle, since each state has its time
		{From: "A", To: "run", At: at(12, 0), Solids: kg(16)},
		{From: "run", To: "lot", At: at(14, 0), Solids: kg(15)},
	}
	expanded, err := Expand(edges, map[string][]time.Time{"A": nil, "B": nil})
	require.NoError(t, err)
	assert.Equal(t, "A", edges[1].From, "the list given is not changed")
	g := New(expanded)
	assert.False(t, g.Has("A"))
	shares := sharesOf(t, g, "lot")
	assert.InDelta(t, 10.0/16, float64(shares["p1"].Fraction), 1e-12)
	assert.InDelta(t, 6.0/16, float64(shares["p2"].Fraction), 1e-12)
	assert.Equal(t, []string{"run", "A#3", "B#1", "A#2", "A#1", "p2", "p1"}, g.Back("lot"))
}

func TestStateAt(t *testing.T) {
	tank := Tank{ID: "T", Inflows: []Edge{in("p2", at(10, 0), 1), in("p1", at(8, 0), 1)}, WashOuts: []time.Time{at(9, 0)}}
	for when, want := range map[time.Time]string{at(7, 59): "T#0", at(8, 0): "T#1", at(8, 59): "T#1", at(9, 0): "T#0",
		at(9, 59): "T#0", at(10, 0): "T#2", at(23, 0): "T#2"} {
		assert.Equal(t, want, tank.StateAt(when), when)
	}
}

func TestTankOf(t *testing.T) {
	tank, k, ok := TankOf(StateID("01K#A", 12))
	assert.True(t, ok)
	assert.Equal(t, "01K#A", tank)
	assert.Equal(t, 12, k)
	tank, k, ok = TankOf("T#0")
	assert.True(t, ok && tank == "T" && k == 0)
	for _, id := range []string{"run1", "T#", "T#-1", "T#x"} {
		_, _, ok := TankOf(id)
		assert.False(t, ok, id)
	}
}

func TestHeldAt(t *testing.T) {
	tank := Tank{ID: "T", Inflows: []Edge{in("p1", at(8, 0), 30), in("p2", at(10, 0), 10)},
		Outflows: []Edge{out("r1", at(9, 0), 20)}, WashOuts: []time.Time{at(12, 0)}}
	for when, want := range map[time.Time]float64{at(7, 59): 0, at(8, 0): 30, at(9, 0): 10, at(10, 0): 20, at(11, 59): 20, at(12, 0): 0} {
		solids, mass := tank.HeldAt(when)
		require.NotNil(t, solids)
		assert.InDelta(t, want, float64(*solids), 1e-12, when)
		assert.InDelta(t, 4*want, float64(*mass), 1e-12, when)
	}
	tank.Inflows[1].Solids = nil
	solids, mass := tank.HeldAt(at(11, 0))
	assert.Nil(t, solids, "one inflow not known leaves the whole not known")
	assert.InDelta(t, 80, float64(*mass), 1e-12)
}
