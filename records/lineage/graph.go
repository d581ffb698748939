package lineage

import (
	"fmt"
	"strings"
)

// Graph holds edges so that they can be walked both ways. It is not changed after New.
type Graph struct {
	ids   []string
	index map[string]int
	edges []Edge
	in    [][]int // by node: edges that end there
	out   [][]int // by node: edges that start there
}

// New makes a graph of the edges, in the order given.
func New(edges []Edge) *Graph {
	g := &Graph{index: make(map[string]int, len(edges)+1), edges: edges}
	for i, e := range edges {
		from, to := g.node(e.From), g.node(e.To)
		g.out[from] = append(g.out[from], i)
		g.in[to] = append(g.in[to], i)
	}
	return g
}

// node gives the number of an id, making one for a new id.
func (g *Graph) node(id string) int {
	if n, ok := g.index[id]; ok {
		return n
	}
	n := len(g.ids)
	g.index[id] = n
	g.ids = append(g.ids, id)
	g.in, g.out = append(g.in, nil), append(g.out, nil)
	return n
}

// IDs lists every node in the order in which the edges name them.
func (g *Graph) IDs() []string { return append([]string(nil), g.ids...) }

// Has tells whether any edge names the id.
func (g *Graph) Has(id string) bool {
	_, ok := g.index[id]
	return ok
}

// In lists the edges that end at id.
func (g *Graph) In(id string) []Edge { return g.at(id, g.in) }

// Out lists the edges that start at id.
func (g *Graph) Out(id string) []Edge { return g.at(id, g.out) }

func (g *Graph) at(id string, side [][]int) []Edge {
	n, ok := g.index[id]
	if !ok {
		return nil
	}
	edges := make([]Edge, 0, len(side[n]))
	for _, i := range side[n] {
		edges = append(edges, g.edges[i])
	}
	return edges
}

// CycleError says that records feed each other in a circle, which no chain of real things can.
type CycleError struct{ IDs []string }

func (e CycleError) Error() string {
	return fmt.Sprintf("lineage: %s feed each other in a circle; take one of the links back", strings.Join(e.IDs, ", "))
}
