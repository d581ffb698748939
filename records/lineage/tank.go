package lineage

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// Tank is one vessel with everything that happened to its contents, in any order: a late entry just recomputes.
type Tank struct {
	ID       string
	Inflows  []Edge // To is the tank
	Outflows []Edge // From is the tank
	WashOuts []time.Time
}

// StateID names the contents of a tank after its k-th inflow in time, k from 1; 0 is what was in it before any inflow
// since the last wash-out, of which nothing is known.
func StateID(tank string, k int) string { return tank + "#" + strconv.Itoa(k) }

// TankOf gives the tank of a state's id, and false when the id is no state.
func TankOf(id string) (tank string, k int, ok bool) {
	at := strings.LastIndexByte(id, '#')
	if at < 0 {
		return id, 0, false
	}
	k, err := strconv.Atoi(id[at+1:])
	if err != nil || k < 0 {
		return id, 0, false
	}
	return id[:at], k, true
}

// TankStates turns a tank into one node per inflow. Each state is fed by the inflow and by what was left of the state
// before it; whoever draws, draws from the state at that moment. A wash-out ends the chain. An outflow before any inflow
// since the last wash-out comes from state 0. Reach through earlier inflows stays even when nothing computes to be left.
// The error names an edge that is not the tank's, or has no time.
func TankStates(tank string, inflows, outflows []Edge, washouts []time.Time) ([]Edge, error) {
	t := Tank{ID: tank, Inflows: inflows, Outflows: outflows, WashOuts: washouts}
	if err := t.check(); err != nil {
		return nil, err
	}
	states := t.states()
	edges := slices.Clone(states.carry)
	for i, e := range inflows {
		e.To = StateID(tank, states.inflow[i])
		edges = append(edges, e)
	}
	for i, e := range outflows {
		e.From = StateID(tank, states.outflow[i])
		edges = append(edges, e)
	}
	return edges, nil
}

// Expand replaces every tank in a list of edges by its states, also where one tank was drawn into another. The map gives
// the wash-outs of each tank, none for a tank that was never washed; what is not in the map is no tank.
func Expand(edges []Edge, tanks map[string][]time.Time) ([]Edge, error) {
	result := slices.Clone(edges)
	for _, id := range sortedKeys(tanks) {
		tank := Tank{ID: id, WashOuts: tanks[id]}
		var ins, outs []int
		for i, e := range edges {
			if e.To == id {
				tank.Inflows, ins = append(tank.Inflows, e), append(ins, i)
			}
			if e.From == id {
				tank.Outflows, outs = append(tank.Outflows, e), append(outs, i)
			}
		}
		if err := tank.check(); err != nil {
			return nil, err
		}
		states := tank.states()
		for n, i := range ins {
			result[i].To = StateID(id, states.inflow[n])
		}
		for n, i := range outs {
			result[i].From = StateID(id, states.outflow[n])
		}
		result = append(result, states.carry...)
	}
	return result, nil
}

// StateAt is the id of the contents at a moment, inflows and wash-outs of that moment included.
func (t Tank) StateAt(at time.Time) string {
	state, washed := 0, time.Time{}
	for _, w := range t.WashOuts {
		if !w.After(at) && w.After(washed) {
			washed = w
		}
	}
	for k, i := range t.inTime() {
		if in := t.Inflows[i].At; !in.After(at) && !in.Before(washed) {
			state = k + 1
		}
	}
	return StateID(t.ID, state)
}

func (t Tank) check() error {
	for _, e := range t.Inflows {
		if e.To != t.ID || e.At.IsZero() {
			return fmt.Errorf("lineage: inflow %s to %s: give the tank %s and the time", e.From, e.To, t.ID)
		}
	}
	for _, e := range t.Outflows {
		if e.From != t.ID || e.At.IsZero() {
			return fmt.Errorf("lineage: outflow %s to %s: give the tank %s and the time", e.From, e.To, t.ID)
		}
	}
	return nil
}

// inTime lists the inflows' positions in order of time; entries of one moment keep the order given.
func (t Tank) inTime() []int { return byTime(t.Inflows) }

func byTime(edges []Edge) []int {
	order := make([]int, len(edges))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return edges[a].At.Compare(edges[b].At) })
	return order
}

func sortedKeys(m map[string][]time.Time) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// contents is what a tank computes to hold; nil is not known.
type contents struct {
	solids, mass *syrup.Kilograms
	estimated    bool
}
