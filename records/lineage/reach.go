package lineage

// Back lists everything that went into id, directly or through others, nearest first, without id itself. It is exact:
// nothing is left out for being little.
func (g *Graph) Back(id string) []string {
	return g.names(g.reach(id, g.in, func(e Edge) string { return e.From }))
}

// Forward lists everything that id went into, directly or through others, nearest first, without id itself.
func (g *Graph) Forward(id string) []string {
	return g.names(g.reach(id, g.out, func(e Edge) string { return e.To }))
}

// WouldClose tells whether adding the edge would make records feed each other in a circle.
func (g *Graph) WouldClose(e Edge) bool {
	if e.From == e.To {
		return true
	}
	from, ok := g.index[e.From]
	if !ok {
		return false
	}
	for _, n := range g.reach(e.To, g.out, func(e Edge) string { return e.To }) {
		if n == from {
			return true
		}
	}
	return false
}

// reach walks breadth first along one side and gives the nodes met, without the start.
func (g *Graph) reach(id string, side [][]int, next func(Edge) string) []int {
	start, ok := g.index[id]
	if !ok {
		return nil
	}
	seen := make([]bool, len(g.ids))
	seen[start] = true
	queue := []int{start}
	for head := 0; head < len(queue); head++ {
		for _, i := range side[queue[head]] {
			if n := g.index[next(g.edges[i])]; !seen[n] {
				seen[n] = true
				queue = append(queue, n)
			}
		}
	}
	return queue[1:]
}

func (g *Graph) names(nodes []int) []string {
	names := make([]string, 0, len(nodes))
	for _, n := range nodes {
		names = append(names, g.ids[n])
	}
	return names
}
