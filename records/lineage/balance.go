package lineage

import "canewright/hazards/syrup"

// Sum is what the edges on one side of a record add up to. A total is nil as soon as one edge lacks the figure: an
// unknown amount is not nothing.
type Sum struct {
	Edges     int
	Solids    *syrup.Kilograms
	Mass      *syrup.Kilograms
	Units     *int
	Estimated bool
}

// Balance adds up what went into a record and what went out of it. What came in beside the syrup is not counted.
func (g *Graph) Balance(id string) (in, out Sum) { return add(g.In(id)), add(g.Out(id)) }

func add(edges []Edge) Sum {
	solids, mass, units := syrup.Kilograms(0), syrup.Kilograms(0), 0
	total := Sum{Solids: &solids, Mass: &mass, Units: &units}
	for _, e := range edges {
		if e.Beside {
			continue
		}
		total.Edges++
		total.Estimated = total.Estimated || e.Estimated
		total.Solids, total.Mass = sum(total.Solids, e.Solids), sum(total.Mass, e.Mass)
		if total.Units == nil || e.Units == nil {
			total.Units = nil
		} else {
			n := *total.Units + *e.Units
			total.Units = &n
		}
	}
	if total.Edges == 0 {
		return Sum{}
	}
	return total
}
