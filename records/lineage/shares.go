package lineage

import (
	"slices"

	"canewright/hazards/syrup"
)

// Share is how much of a thing came from one origin.
type Share struct {
	Fraction  syrup.Fraction
	Estimated bool // an amount on the way was estimated, or worked out on mass or equal parts for want of solids
}

// basis is what the in-edges of a node are shared on.
type basis int

const (
	bySolids basis = iota
	byUnits
	byMass  // stands in for solids that are missing: estimated
	byParts // equal parts, when nothing is known: estimated
)

// Shares gives the share of every origin of id, an origin being what nothing went into. They add up to 1. The in-edges
// of each node are shared on solids; on units where all are counted; on mass where a solids figure is missing; on equal
// parts where nothing better is known. The last two are marked estimated. An id without in-edges is its own origin. The
// error is a CycleError.
func (g *Graph) Shares(id string) (map[string]Share, error) {
	through, err := g.Through(id)
	if err != nil {
		return nil, err
	}
	for name := range through {
		if n, ok := g.index[name]; ok && !g.origin(n) {
			delete(through, name)
		}
	}
	return through, nil
}

// Through gives for id and every record upstream of it the share of id that passed through that record: 1 for id itself,
// 0.3 for a run that made three tenths of a lot. Shares of one stage add up to 1, those of several stages do not. What
// came in beside the syrup has no share. The error is a CycleError.
func (g *Graph) Through(id string) (map[string]Share, error) {
	start, ok := g.index[id]
	if !ok {
		return map[string]Share{id: {Fraction: 1}}, nil
	}
	order, err := g.takersFirst(start)
	if err != nil {
		return nil, err
	}
	shares := make([]Share, len(g.ids))
	shares[start].Fraction = 1
	for _, n := range order {
		g.pass(n, shares)
	}
	result := make(map[string]Share, len(order))
	for _, n := range order {
		result[g.ids[n]] = shares[n]
	}
	return result, nil
}

// pass hands the share of a node on to its sources.
func (g *Graph) pass(n int, shares []Share) {
	b, total, count := g.basisOf(n)
	for _, i := range g.in[n] {
		e := g.edges[i]
		if e.Beside {
			continue
		}
		part, estimated := 1.0, shares[n].Estimated
		if count > 1 {
			amount, _ := e.amount(b)
			if b == byParts {
				amount = 1
			}
			part = amount / total
			estimated = estimated || b == byMass || b == byParts || g.anyEstimated(n)
		}
		from := &shares[g.index[e.From]]
		from.Fraction += shares[n].Fraction * syrup.Fraction(part)
		from.Estimated = from.Estimated || estimated
	}
}

// basisOf picks what the in-edges of a node are shared on, with their total and number.
func (g *Graph) basisOf(n int) (basis, float64, int) {
	count := 0
	for _, i := range g.in[n] {
		if !g.edges[i].Beside {
			count++
		}
	}
	for _, b := range []basis{bySolids, byUnits, byMass} {
		if total, ok := g.total(n, b); ok && total > 0 {
			return b, total, count
		}
	}
	return byParts, float64(count), count
}

// total adds up one basis over the in-edges of a node; false when one of them lacks it or the sum is no number.
func (g *Graph) total(n int, b basis) (float64, bool) {
	var total float64
	for _, i := range g.in[n] {
		if g.edges[i].Beside {
			continue
		}
		amount, ok := g.edges[i].amount(b)
		if !ok {
			return 0, false
		}
		total += amount
	}
	return known(total)
}

func (g *Graph) anyEstimated(n int) bool {
	return slices.ContainsFunc(g.in[n], func(i int) bool { return g.edges[i].Estimated && !g.edges[i].Beside })
}

// origin tells whether nothing but things beside the syrup went into the node.
func (g *Graph) origin(n int) bool {
	return !slices.ContainsFunc(g.in[n], func(i int) bool { return !g.edges[i].Beside })
}

// takersFirst orders the upstream of start so that every node comes after all its takers within that upstream. Edges
// beside the syrup are left out.
func (g *Graph) takersFirst(start int) ([]int, error) {
	takers := g.countTakers(start)
	if takers[start] > 0 {
		return nil, CycleError{IDs: []string{g.ids[start]}}
	}
	order := []int{start}
	for head := 0; head < len(order); head++ {
		for _, i := range g.in[order[head]] {
			if g.edges[i].Beside {
				continue
			}
			from := g.index[g.edges[i].From]
			if takers[from]--; takers[from] == 0 {
				order = append(order, from)
			}
		}
	}
	var left []string
	for n, count := range takers {
		if count > 0 {
			left = append(left, g.ids[n])
		}
	}
	if len(left) > 0 {
		return nil, CycleError{IDs: left}
	}
	return order, nil
}

// countTakers counts for every node upstream of start the edges by which it feeds that upstream.
func (g *Graph) countTakers(start int) []int {
	takers := make([]int, len(g.ids))
	seen := make([]bool, len(g.ids))
	seen[start] = true
	queue := []int{start}
	for head := 0; head < len(queue); head++ {
		for _, i := range g.in[queue[head]] {
			if g.edges[i].Beside {
				continue
			}
			from := g.index[g.edges[i].From]
			takers[from]++
			if !seen[from] {
				seen[from] = true
				queue = append(queue, from)
			}
		}
	}
	return takers
}
