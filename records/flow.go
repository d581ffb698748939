package records

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/records/lineage"
)

// flow is one step of material from node to node. The table is a cache, rebuilt from the facts by the door: a trace is one
// recursive query over it. A node is a record's id, or, for a tank, id#k: its contents after the k-th of its fillings and
// wash-outs, so that what left before a filling never reaches it. A run is one node but where runStates splits it.
type flow struct {
	FromNode  string
	ToNode    string
	SourceID  string // the fact that made it: the link, the cut, the lot …; the tank itself for what stays in it
	At        *time.Time
	Mass      *syrup.Kilograms
	Solids    *syrup.Kilograms
	Units     *int
	Estimated bool
	Beside    bool // bottles, closures, cloths, additives: reached both ways, but no part of the syrup's shares
}

func (flow) TableName() string { return "flow" }

type flower interface{ flows(tx *Tx) ([]flow, error) }

// RecordOf is the record a node belongs to.
func RecordOf(node string) string {
	id, _, _ := strings.Cut(node, "#")
	return id
}

// flow brings the cache up to date with a fact just written.
func (tx *Tx) flow(fact Fact) error {
	if err := tx.flowOf(fact); err != nil {
		return err
	}
	runs, err := tx.splits(fact)
	for i := 0; err == nil && i < len(runs); i++ {
		err = tx.flowRun(runs[i])
	}
	return err
}

func (tx *Tx) flowOf(fact Fact) error {
	switch f := fact.(type) {
	case *Link:
		return tx.flowLink(f)
	case *WashOut:
		return tx.flowTank(f.VesselID)
	case flower:
		return tx.flowPlain(fact, f)
	}
	return nil
}

func (tx *Tx) flowPlain(fact Fact, f flower) error {
	if err := tx.dropFlows(fact.row().ID); err != nil || fact.row().Struck {
		return err
	}
	flows, err := f.flows(tx)
	if err != nil {
		return err
	}
	return tx.addFlows(fact.row().ID, flows)
}

func (tx *Tx) dropFlows(source string) error {
	return tx.db.Exec("DELETE FROM flow WHERE source_id = ?", source).Error
}

func (tx *Tx) addFlows(source string, flows []flow) error {
	for _, f := range flows {
		f.SourceID = source
		if closes, err := tx.reaches(f.ToNode, f.FromNode); err != nil {
			return err
		} else if closes {
			return Conflict{Key: "link.closes_circle", ID: RecordOf(f.FromNode)}
		}
		if err := tx.db.Create(&f).Error; err != nil {
			return fmt.Errorf("flow %s to %s: %w", f.FromNode, f.ToNode, err)
		}
	}
	return nil
}

// reaches says whether material at one node has come to the other.
func (tx *Tx) reaches(from, to string) (bool, error) {
	var found []int
	err := tx.db.Raw(`WITH RECURSIVE down(node) AS (SELECT CAST(? AS TEXT) UNION SELECT f.to_node FROM down JOIN flow f ON f.from_node = down.node)
		SELECT 1 FROM down WHERE node = ? LIMIT 1`, from, to).Scan(&found).Error
	return len(found) > 0, err
}

// flowLink rebuilds what a link touches: itself, and the tanks at its ends, now and before an amendment.
func (tx *Tx) flowLink(link *Link) error {
	if err := tx.dropFlows(link.ID); err != nil {
		return err
	}
	ends := []string{link.FromID, link.ToID}
	before, err := Revisions[Link](tx.ctx, tx, link.ID)
	if err != nil {
		return err
	}
	for _, b := range before {
		ends = append(ends, b.FromID, b.ToID)
	}
	slices.Sort(ends)
	for _, id := range slices.Compact(ends) {
		if err := tx.flowTank(id); err != nil {
			return err
		}
	}
	if tank, err := tx.tankAt(*link); err != nil || tank != "" || link.Struck {
		return err
	}
	return tx.flowAsIs(*link)
}

func linkFlow(l Link, from, to string) flow {
	return flow{FromNode: from, ToNode: to, At: &l.At, Mass: l.Mass, Solids: l.Solids, Units: l.Units, Estimated: l.Estimated}
}

// tankOf gathers a tank's fillings, drawings and wash-outs. The links come beside it, in the same order.
func tankOf(ctx context.Context, src Source, id string, except string) (tank lineage.Tank, fillings, taken []Link, err error) {
	tank = lineage.Tank{ID: id}
	if fillings, err = List[Link](ctx, src, "to_id = ? ORDER BY at, id", id); err != nil {
		return tank, nil, nil, err
	}
	if taken, err = List[Link](ctx, src, "from_id = ? AND id <> ? ORDER BY at, id", id, except); err != nil {
		return tank, nil, nil, err
	}
	washes, err := List[WashOut](ctx, src, "vessel_id = ? ORDER BY at, id", id)
	if err != nil {
		return tank, nil, nil, err
	}
	for _, l := range fillings {
		tank.Inflows = append(tank.Inflows, edgeOf(l))
	}
	for _, l := range taken {
		tank.Outflows = append(tank.Outflows, edgeOf(l))
	}
	for _, w := range washes {
		tank.WashOuts = append(tank.WashOuts, w.At)
	}
	return tank, fillings, taken, nil
}

func edgeOf(l Link) lineage.Edge {
	return lineage.Edge{From: l.FromID, To: l.ToID, At: l.At, Solids: l.Solids, Mass: l.Mass, Units: l.Units, Estimated: l.Estimated}
}

// nodeAt is the node of a record at a moment: for a tank or a split run, its contents then.
func nodeAt(ctx context.Context, src Source, id string, at time.Time) (string, error) {
	kind, err := KindOf(ctx, src, id)
	if err != nil || kind != KindTank && kind != KindRun {
		return id, err
	}
	if kind == KindRun {
		states, err := statesOf(ctx, src, id)
		return states.at(at), err
	}
	tank, _, _, err := tankOf(ctx, src, id, "")
	return tank.StateAt(at), err
}

func (tx *Tx) nodeAt(id string, at time.Time) (string, error) { return nodeAt(tx.ctx, tx, id, at) }

// flowTank rebuilds everything that runs into, stays in, and runs out of a tank.
func (tx *Tx) flowTank(id string) error {
	if kind, err := KindOf(tx.ctx, tx, id); err != nil || kind != KindTank {
		return err
	}
	tank, fillings, taken, err := tankOf(tx.ctx, tx, id, "")
	if err != nil {
		return err
	}
	states, err := lineage.TankStates(id, tank.Inflows, tank.Outflows, tank.WashOuts)
	if err != nil {
		return err
	}
	stays := len(states) - len(fillings) - len(taken)
	links := append(slices.Clone(fillings), taken...)
	for _, source := range append([]string{id}, idsOf(links)...) {
		if err := tx.dropFlows(source); err != nil {
			return err
		}
	}
	for _, e := range states[:stays] {
		at := e.At
		carry := flow{FromNode: e.From, ToNode: e.To, At: &at, Mass: e.Mass, Solids: e.Solids, Estimated: e.Estimated}
		if err := tx.addFlows(id, []flow{carry}); err != nil {
			return err
		}
	}
	for i, l := range links {
		if err := tx.flowTankLink(l, states[stays+i], id); err != nil {
			return err
		}
	}
	return tx.flowAdditions(id)
}

// flowTankLink writes one link of a tank: this tank's end is known from its states, the other end may be a tank as well.
func (tx *Tx) flowTankLink(l Link, state lineage.Edge, tank string) error {
	from, into := state.From, state.To
	var err error
	if l.FromID != tank {
		from, err = tx.nodeAt(l.FromID, l.At)
	} else if l.ToID != tank {
		into, err = tx.nodeInto(l)
	}
	if err != nil {
		return err
	}
	return tx.addFlows(l.ID, []flow{linkFlow(l, from, into)})
}

// nodeInto is the node a link arrives at: the taker, or the tank's contents as this very filling begins them.
func (tx *Tx) nodeInto(l Link) (string, error) {
	kind, err := KindOf(tx.ctx, tx, l.ToID)
	if err != nil {
		return "", err
	}
	if kind != KindTank {
		return tx.nodeAt(l.ToID, l.At)
	}
	tank, fillings, _, err := tankOf(tx.ctx, tx, l.ToID, "")
	if err != nil {
		return "", err
	}
	states, err := lineage.TankStates(l.ToID, tank.Inflows, nil, tank.WashOuts)
	if err != nil {
		return "", err
	}
	stays := len(states) - len(fillings)
	return states[stays+slices.IndexFunc(fillings, func(f Link) bool { return f.ID == l.ID })].To, nil
}

// flowAdditions moves what was added to a tank to the contents it was added to.
func (tx *Tx) flowAdditions(tank string) error {
	additions, err := List[Addition](tx.ctx, tx, "to_id = ?", tank)
	for i := 0; err == nil && i < len(additions); i++ {
		err = tx.flowPlain(&additions[i], &additions[i])
	}
	return err
}

func idsOf(links []Link) []string {
	ids := make([]string, len(links))
	for i, l := range links {
		ids[i] = l.ID
	}
	return ids
}
