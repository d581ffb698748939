package packet

import (
	"slices"

	"canewright/records"
)

// near walks a trace from a record and does not pass through records of one kind: the pressings of a run are those it
// reaches without going through the run before it, whose heel it took. Records come nearest first, once each.
func near(t records.Trace, from string, back bool, stop records.Kind) []records.Step {
	next := map[string][]string{}
	for _, e := range t.Edges {
		a, b := e.From, e.To
		if back {
			a, b = b, a
		}
		next[a] = append(next[a], b)
	}
	steps := map[string]records.Step{}
	for _, s := range t.Steps {
		steps[s.ID] = s
	}
	var found []records.Step
	seen, starts := map[string]bool{}, []string{from}
	for _, e := range t.Edges {
		for _, node := range []string{e.From, e.To} {
			if node != from && records.RecordOf(node) == from {
				starts = append(starts, node)
			}
		}
	}
	for _, node := range starts {
		seen[node] = true
	}
	for queue := starts; len(queue) > 0; queue = queue[1:] {
		for _, node := range next[queue[0]] {
			if seen[node] {
				continue
			}
			seen[node] = true
			step := steps[records.RecordOf(node)]
			if !slices.ContainsFunc(found, func(s records.Step) bool { return s.ID == step.ID }) {
				found = append(found, step)
			}
			if step.Kind != stop {
				queue = append(queue, node)
			}
		}
	}
	return found
}

// ofKind lists the ids of the steps of a kind.
func ofKind(steps []records.Step, kinds ...records.Kind) []string {
	var ids []string
	for _, s := range steps {
		if slices.Contains(kinds, s.Kind) {
			ids = append(ids, s.ID)
		}
	}
	return ids
}
