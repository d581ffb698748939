package lineage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

func kg(x float64) *syrup.Kilograms { m := syrup.Kilograms(x); return &m }
func units(n int) *int              { return &n }

// solids is an edge that carries dissolved solids.
func solids(from, to string, x float64) Edge { return Edge{From: from, To: to, Solids: kg(x)} }

func sharesOf(t *testing.T, g *Graph, id string) map[string]Share {
	t.Helper()
	shares, err := g.Shares(id)
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(Total(shares)), 1e-9, "shares of %s add up to 1", id)
	return shares
}

func TestReach(t *testing.T) {
	g := New([]Edge{solids("cut1", "p1", 1), solids("p1", "run1", 1), solids("p1", "run2", 1), solids("run1", "lot", 1),
		solids("run2", "lot", 1), solids("cut2", "p2", 1), {From: "bottles", To: "lot", Beside: true}})
	assert.Equal(t, []string{"run1", "run2", "bottles", "p1", "cut1"}, g.Back("lot"))
	assert.Equal(t, []string{"p1", "run1", "run2", "lot"}, g.Forward("cut1"))
	assert.Equal(t, []string{"lot"}, g.Forward("bottles"))
	assert.Empty(t, g.Back("cut1"))
	assert.Empty(t, g.Forward("lot"))
	assert.Empty(t, g.Back("nobody"))
	assert.True(t, g.Has("p2"))
	assert.False(t, g.Has("nobody"))
	assert.Len(t, g.In("lot"), 3)
	assert.Len(t, g.Out("p1"), 2)
	assert.Nil(t, g.In("nobody"))
	assert.Equal(t, []string{"cut1", "p1", "run1", "run2", "lot", "cut2", "p2", "bottles"}, g.IDs())
}

func TestShares(t *testing.T) {
	tests := []struct {
		name  string
		edges []Edge
		of    string
		want  map[string]Share
	}{
		{"orphan is its own origin", nil, "lot", map[string]Share{"lot": {Fraction: 1}}},
		{"origin among others", []Edge{solids("a", "b", 1)}, "a", map[string]Share{"a": {Fraction: 1}}},
		{"one source is all of it, estimated or not", []Edge{{From: "a", To: "b", Estimated: true}}, "b",
			map[string]Share{"a": {Fraction: 1}}},
		{"blend", []Edge{solids("a", "lot", 30), solids("b", "lot", 10)}, "lot",
			map[string]Share{"a": {Fraction: 0.75}, "b": {Fraction: 0.25}}},
		{"split keeps the proportions", []Edge{solids("a", "tank", 30), solids("b", "tank", 10), solids("tank", "x", 5),
			solids("tank", "y", 35)}, "x", map[string]Share{"a": {Fraction: 0.75}, "b": {Fraction: 0.25}}},
		{"diamond", []Edge{solids("cut", "r1", 8), solids("cut", "r2", 2), solids("r1", "lot", 8), solids("r2", "lot", 2),
			solids("other", "r2", 6)}, "lot", map[string]Share{"cut": {Fraction: 0.85}, "other": {Fraction: 0.15}}},
		{"solids decide, not mass", []Edge{{From: "juice", To: "run", Solids: kg(18), Mass: kg(100)},
			{From: "heel", To: "run", Solids: kg(2), Mass: kg(3)}}, "run",
			map[string]Share{"juice": {Fraction: 0.9}, "heel": {Fraction: 0.1}}},
		{"solids missing on one: mass, estimated", []Edge{{From: "a", To: "n", Solids: kg(9), Mass: kg(30)},
			{From: "b", To: "n", Mass: kg(10)}}, "n",
			map[string]Share{"a": {0.75, true}, "b": {0.25, true}}},
		{"mass missing too: equal parts, estimated", []Edge{{From: "a", To: "n", Solids: kg(9), Mass: kg(30)},
			{From: "b", To: "n"}}, "n", map[string]Share{"a": {0.5, true}, "b": {0.5, true}}},
		{"units after the lot", []Edge{{From: "part1", To: "ship", Units: units(36)}, {From: "part2", To: "ship", Units: units(12)}},
			"ship", map[string]Share{"part1": {Fraction: 0.75}, "part2": {Fraction: 0.25}}},
		{"estimated amount says so", []Edge{{From: "a", To: "n", Solids: kg(3), Estimated: true}, solids("b", "n", 1)}, "n",
			map[string]Share{"a": {0.75, true}, "b": {0.25, true}}},
		{"estimate stays on its own branch", []Edge{{From: "a", To: "m", Solids: kg(1), Estimated: true}, solids("b", "m", 1),
			solids("m", "n", 1), solids("c", "n", 1)}, "n",
			map[string]Share{"a": {0.25, true}, "b": {0.25, true}, "c": {Fraction: 0.5}}},
		{"negative counts as nothing", []Edge{solids("a", "n", -2), solids("b", "n", 4)}, "n",
			map[string]Share{"a": {}, "b": {Fraction: 1}}},
		{"nothing at all: equal parts", []Edge{solids("a", "n", 0), solids("b", "n", -1)}, "n",
			map[string]Share{"a": {0.5, true}, "b": {0.5, true}}},
		{"no number counts as missing", []Edge{solids("a", "n", math.NaN()), solids("b", "n", math.Inf(1))}, "n",
			map[string]Share{"a": {0.5, true}, "b": {0.5, true}}},
		{"bottles have no share", []Edge{solids("run", "lot", 5), {From: "bottles", To: "lot", Units: units(148), Beside: true}},
			"lot", map[string]Share{"run": {Fraction: 1}}},
		{"only bottles known: the lot is its own origin", []Edge{{From: "bottles", To: "lot", Beside: true}}, "lot",
			map[string]Share{"lot": {Fraction: 1}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := sharesOf(t, New(test.edges), test.of)
			require.Len(t, got, len(test.want))
			for id, want := range test.want {
				assert.InDelta(t, float64(want.Fraction), float64(got[id].Fraction), 1e-12, id)
				assert.Equal(t, want.Estimated, got[id].Estimated, id)
			}
		})
	}
}

func TestThrough(t *testing.T) {
	g := New([]Edge{solids("cut", "r1", 1), solids("cut", "r2", 1), solids("r1", "lot", 3), solids("r2", "lot", 1)})
	through, err := g.Through("lot")
	require.NoError(t, err)
	assert.Equal(t, map[string]Share{"lot": {Fraction: 1}, "r1": {Fraction: 0.75}, "r2": {Fraction: 0.25}, "cut": {Fraction: 1}}, through)
}

func TestCycle(t *testing.T) {
	edges := []Edge{solids("a", "b", 1), solids("b", "c", 1)}
	g := New(edges)
	assert.True(t, g.WouldClose(solids("c", "a", 1)))
	assert.True(t, g.WouldClose(solids("b", "a", 1)))
	assert.True(t, g.WouldClose(solids("new", "new", 1)), "itself")
	assert.False(t, g.WouldClose(solids("a", "c", 1)), "a second way is no circle")
	assert.False(t, g.WouldClose(solids("new", "a", 1)))
	assert.False(t, g.WouldClose(solids("c", "new", 1)))

	closed := New(append(edges, solids("c", "a", 1), solids("c", "lot", 1)))
	for _, id := range []string{"a", "lot"} {
		_, err := closed.Shares(id)
		var cycle CycleError
		require.ErrorAs(t, err, &cycle, id)
		assert.Contains(t, err.Error(), "take one of the links back")
		assert.NotEmpty(t, cycle.IDs)
	}
	assert.ElementsMatch(t, []string{"b", "c"}, closed.Back("a")[:2], "reach ends all the same")
}

// A heel of a fiftieth each time: the first run stays in reach however little of it is left.
func TestHeelChain(t *testing.T) {
	g := New(heelChain(300))
	shares := sharesOf(t, g, "run300")
	assert.Len(t, shares, 300)
	assert.InDelta(t, 0.98, float64(shares["juice300"].Fraction), 1e-12)
	assert.InDelta(t, 0.98*0.02, float64(shares["juice299"].Fraction), 1e-12)
	assert.InDelta(t, 0.98*0.02*0.02, float64(shares["juice298"].Fraction), 1e-12)
	assert.Contains(t, g.Back("run300"), "juice1")
	assert.Contains(t, g.Forward("juice1"), "run300")
}

// heelChain is n runs, each with fresh juice and a fiftieth of solids left from the run before.
func heelChain(n int) []Edge {
	var edges []Edge
	for i := 1; i <= n; i++ {
		run := fmt.Sprintf("run%d", i)
		edges = append(edges, solids(fmt.Sprintf("juice%d", i), run, 98))
		if i > 1 {
			edges = append(edges, solids(fmt.Sprintf("run%d", i-1), run, 2))
		}
	}
	return edges
}

func TestTenThousandNodes(t *testing.T) {
	g := New(heelChain(5000))
	require.Len(t, g.IDs(), 10000)
	assert.Len(t, sharesOf(t, g, "run5000"), 5000)
	assert.Len(t, g.Back("run5000"), 9999)
	assert.Len(t, g.Forward("juice1"), 5000)
}

// randomGraph makes edges that only go forward, some figures missing.
func randomGraph(seed uint64) []Edge {
	r := rand.New(rand.NewPCG(seed, 7))
	nodes := 2 + r.IntN(40)
	var edges []Edge
	for range r.IntN(4 * nodes) {
		a, b := r.IntN(nodes), r.IntN(nodes)
		if a == b {
			continue
		}
		e := Edge{From: fmt.Sprint("n", min(a, b)), To: fmt.Sprint("n", max(a, b)), Estimated: r.IntN(5) == 0}
		if r.IntN(4) > 0 {
			e.Solids = kg(r.Float64()*100 - 10)
		}
		if r.IntN(4) > 0 {
			e.Mass = kg(r.Float64() * 500)
		}
		if r.IntN(6) == 0 {
			e.Units, e.Beside = units(r.IntN(200)), r.IntN(2) == 0
		}
		edges = append(edges, e)
	}
	return edges
}

func TestBackAndForwardAreInverses(t *testing.T) {
	for seed := range uint64(200) {
		g := New(randomGraph(seed))
		for _, a := range g.IDs() {
			for _, b := range g.IDs() {
				require.Equal(t, slices.Contains(g.Back(a), b), slices.Contains(g.Forward(b), a), "seed %d: %s, %s", seed, a, b)
			}
		}
	}
}

func FuzzSharesAddUpToOne(f *testing.F) {
	for seed := range uint64(300) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		g := New(randomGraph(seed))
		for _, id := range g.IDs() {
			shares, err := g.Shares(id)
			require.NoError(t, err)
			require.InDelta(t, 1, float64(Total(shares)), 1e-9)
			for origin, share := range shares {
				require.GreaterOrEqual(t, float64(share.Fraction), 0.0)
				if origin != id {
					require.Contains(t, g.Back(id), origin)
				}
			}
		}
	})
}

func TestBalance(t *testing.T) {
	g := New([]Edge{{From: "a", To: "tank", Solids: kg(10), Mass: kg(50)}, {From: "b", To: "tank", Solids: kg(5), Estimated: true},
		{From: "cloth", To: "tank", Beside: true}, solids("tank", "run", 14)})
	in, out := g.Balance("tank")
	assert.Equal(t, Sum{Edges: 2, Solids: kg(15), Estimated: true}, in, "a mass that is not known leaves the sum unknown")
	assert.Equal(t, Sum{Edges: 1, Solids: kg(14)}, out)
	none, _ := g.Balance("a")
	assert.Equal(t, Sum{}, none, "nothing recorded is not zero")
}

func TestListed(t *testing.T) {
	shares := map[string]Share{"a": {Fraction: 0.5}, "b": {0.3, true}, "c": {Fraction: 0.1}, "d": {0.06, true}, "e": {Fraction: 0.04}}
	lines, tail := Listed(shares, 2)
	assert.Equal(t, []Line{{"a", Share{Fraction: 0.5}}, {"b", Share{0.3, true}}}, lines)
	assert.Equal(t, 3, tail.Count)
	assert.InDelta(t, 0.2, float64(tail.Fraction), 1e-12)
	assert.True(t, tail.Estimated)

	lines, tail = Listed(shares, 4)
	assert.Len(t, lines, 5, "a tail of one is a line")
	assert.Zero(t, tail)
	lines, tail = Listed(shares, 3)
	assert.Len(t, lines, 3)
	assert.Equal(t, 2, tail.Count)
	lines, _ = Listed(map[string]Share{"y": {Fraction: 0.5}, "x": {Fraction: 0.5}}, 9)
	assert.Equal(t, "x", lines[0].ID, "equal shares by id")
	lines, tail = Listed(nil, 3)
	assert.Empty(t, lines)
	assert.Zero(t, tail)
}

func BenchmarkSharesOfThousandNodes(b *testing.B) {
	g := New(heelChain(500))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := g.Shares("run500"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReachOfThousandNodes(b *testing.B) {
	g := New(heelChain(500))
	b.ReportAllocs()
	for b.Loop() {
		g.Back("run500")
		g.Forward("juice1")
	}
}

// at is a moment of a day in December.
func at(hour, minute int) time.Time { return time.Date(2026, 12, 7, hour, minute, 0, 0, time.UTC) }
