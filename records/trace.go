package records

import (
	"context"
	"slices"
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/records/lineage"
)

// Step is a record a trace has reached.
type Step struct {
	ID        string
	Kind      Kind
	Name      string
	Share     *syrup.Fraction // of the traced lot; nil beside the syrup, and forward
	Estimated bool            // the share was worked out from less than the solids of everything
	Unknown   bool            // a tank drawn from before any filling since its wash-out was recorded
}

// Trace is everything that went into a record, or came of it. Reach is exact: nothing is left out for being little.
type Trace struct {
	Of    Step
	Steps []Step // nearest first
	Edges []lineage.Edge
}

// OfKind lists the steps of some kinds, in the order reached.
func (t Trace) OfKind(kinds ...Kind) []Step {
	var steps []Step
	for _, s := range t.Steps {
		if slices.Contains(kinds, s.Kind) {
			steps = append(steps, s)
		}
	}
	return steps
}

// IDs lists the ids of the steps of a kind.
func (t Trace) IDs(kinds ...Kind) []string {
	var ids []string
	for _, s := range t.OfKind(kinds...) {
		ids = append(ids, s.ID)
	}
	return ids
}

// TraceBack follows a record back to plantings and supply lots, with the share of it that passed through each. The share
// is taken on soluble solids up to the lot, on units after.
func TraceBack(ctx context.Context, src Source, id string) (Trace, error) {
	return trace(ctx, src, id, up)
}

// TraceForward follows a record to every part and shipment it reached.
func TraceForward(ctx context.Context, src Source, id string) (Trace, error) {
	return trace(ctx, src, id, down)
}

// The two directions: one recursive query each, which never visits a node twice.
const (
	up = `WITH RECURSIVE reach(node) AS (SELECT node FROM (%s) start UNION
		SELECT f.from_node FROM reach JOIN flow f ON f.to_node = reach.node)
		SELECT f.* FROM reach JOIN flow f ON f.to_node = reach.node`
	down = `WITH RECURSIVE reach(node) AS (SELECT node FROM (%s) start UNION
		SELECT f.to_node FROM reach JOIN flow f ON f.from_node = reach.node)
		SELECT f.* FROM reach JOIN flow f ON f.from_node = reach.node`
	// startNodes are the nodes of the record asked for: itself, or every content of a tank.
	startNodes = `SELECT CAST(? AS TEXT) AS node UNION SELECT from_node FROM flow WHERE from_node LIKE ? UNION SELECT to_node FROM flow WHERE to_node LIKE ?`
)

func trace(ctx context.Context, src Source, id, direction string) (Trace, error) {
	edges, err := flowEdges(ctx, src, id, direction)
	if err != nil {
		return Trace{}, err
	}
	graph := lineage.New(edges)
	reach := graph.Forward
	shares := map[string]lineage.Share{}
	if direction == up {
		reach = graph.Back
		if shares, err = graph.Through(id); err != nil {
			return Trace{}, err
		}
	}
	nodes := reachAll(graph, id, reach)
	names, err := namesOf(ctx, src, append([]string{id}, nodes...))
	if err != nil {
		return Trace{}, err
	}
	t := Trace{Of: names.step(id), Edges: edges}
	at := map[string]int{}
	for _, node := range nodes {
		step := names.step(node)
		if step.ID == id { // other contents of the same record
			continue
		}
		if share, ok := shares[node]; ok {
			step.Share, step.Estimated = &share.Fraction, share.Estimated
		}
		if i, seen := at[step.ID]; seen { // another content of the same tank: the largest share passed through it
			t.Steps[i].merge(step)
			continue
		}
		at[step.ID] = len(t.Steps)
		t.Steps = append(t.Steps, step)
	}
	return t, nil
}

// reachAll is what the contents of a record reached, whichever of them; nearest first for the record itself.
func reachAll(graph *lineage.Graph, id string, reach func(string) []string) []string {
	nodes := reach(id)
	seen := map[string]bool{}
	for _, n := range nodes {
		seen[n] = true
	}
	for _, start := range graph.IDs() {
		if RecordOf(start) != id || start == id {
			continue
		}
		for _, n := range reach(start) {
			if !seen[n] {
				seen[n] = true
				nodes = append(nodes, n)
			}
		}
	}
	return nodes
}

func (s *Step) merge(other Step) {
	if s.Share == nil || other.Share != nil && *other.Share > *s.Share {
		s.Share = other.Share
	}
	s.Estimated = s.Estimated || other.Estimated
	s.Unknown = s.Unknown || other.Unknown
}

func flowEdges(ctx context.Context, src Source, id, direction string) ([]lineage.Edge, error) {
	var flows []flow
	query := strings.Replace(direction, "%s", startNodes, 1)
	if err := src.conn(ctx).Raw(query, id, id+"#%", id+"#%").Scan(&flows).Error; err != nil {
		return nil, err
	}
	edges := make([]lineage.Edge, len(flows))
	for i, f := range flows {
		edges[i] = lineage.Edge{From: f.FromNode, To: f.ToNode, Solids: f.Solids, Mass: f.Mass, Units: f.Units,
			Estimated: f.Estimated, Beside: f.Beside}
		if f.At != nil {
			edges[i].At = *f.At
		}
	}
	return edges, nil
}

// Holding is what one customer received of a lot, and what came back.
type Holding struct {
	Shipment Shipment
	Customer Customer
	PartID   string
	Units    int
	Back     int // returned, or unsold from a market day
}

// WhoHas lists who received bottles of a lot, in order of time.
func WhoHas(ctx context.Context, src Source, lotID string) ([]Holding, error) {
	parts, err := List[Part](ctx, src, "lot_id = ?", lotID)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(parts))
	for i, p := range parts {
		ids[i] = p.ID
	}
	links, err := ListIDs[Link](ctx, src, "from_id", ids)
	if err != nil {
		return nil, err
	}
	var shipmentIDs []string
	for _, l := range links {
		shipmentIDs = append(shipmentIDs, l.ToID)
	}
	shipments, err := mapIDs[Shipment](ctx, src, shipmentIDs)
	if err != nil {
		return nil, err
	}
	var customerIDs []string
	for _, s := range shipments {
		customerIDs = append(customerIDs, s.CustomerID)
	}
	customers, err := mapIDs[Customer](ctx, src, customerIDs)
	if err != nil {
		return nil, err
	}
	back, err := ListIDs[ShelfEntry](ctx, src, "part_id", ids)
	if err != nil {
		return nil, err
	}
	var list []Holding
	for _, l := range links {
		shipment, ok := shipments[l.ToID]
		if !ok || l.Units == nil {
			continue
		}
		h := Holding{Shipment: shipment, Customer: customers[shipment.CustomerID], PartID: l.FromID, Units: *l.Units}
		list = append(list, h)
	}
	slices.SortStableFunc(list, func(a, b Holding) int { return a.Shipment.At.Compare(b.Shipment.At) })
	bookBack(list, back)
	return list, nil
}

// bookBack sets what came back against what that shipment took, part by part.
func bookBack(list []Holding, entries []ShelfEntry) {
	for _, e := range entries {
		if e.ShipmentID == nil || e.What != ShelfReturn && e.What != ShelfBack {
			continue
		}
		left := e.Units
		for i := range list {
			if list[i].Shipment.ID == *e.ShipmentID && left > 0 {
				n := min(left, list[i].Units-list[i].Back)
				list[i].Back += n
				left -= n
			}
		}
	}
}

func mapIDs[T any](ctx context.Context, src Source, ids []string) (map[string]T, error) {
	slices.Sort(ids)
	rows, err := ListIDs[T](ctx, src, "id", slices.Compact(ids))
	byID := make(map[string]T, len(rows))
	for i := range rows {
		byID[factOf(&rows[i]).row().ID] = rows[i]
	}
	return byID, err
}

// Beside is a lot that shares something with the traced one, and what they share.
type Beside struct {
	Lot  Step
	By   []Step // runs, pressings, cuts, supply lots, instruments they share
	Same bool   // filled on the same day, whatever else
}

// Sideways lists the other lots that touched the same run, tank, pressing, cut, supply lot, instrument or day.
func Sideways(ctx context.Context, src Source, lotID string) ([]Beside, error) {
	lot, err := Get[Lot](ctx, src, lotID)
	if err != nil {
		return nil, err
	}
	back, err := TraceBack(ctx, src, lotID)
	if err != nil {
		return nil, err
	}
	shared := map[string][]Step{}
	upstream := back.OfKind(KindRun, KindPressing, KindCut, KindSupplyLot)
	lotsOf, err := lotsDownstream(ctx, src, back.IDs(KindRun, KindPressing, KindCut, KindSupplyLot))
	if err != nil {
		return nil, err
	}
	for _, s := range upstream {
		for _, other := range lotsOf[s.ID] {
			shared[other] = append(shared[other], s)
		}
	}
	if err := sharedInstruments(ctx, src, back, lotID, shared); err != nil {
		return nil, err
	}
	sameDay, err := List[Lot](ctx, src, "day = ?", lot.Day)
	if err != nil {
		return nil, err
	}
	same := map[string]bool{}
	for _, l := range sameDay {
		same[l.ID] = true
		shared[l.ID] = append(shared[l.ID], []Step{}...)
	}
	delete(shared, lotID)
	ids := make([]string, 0, len(shared))
	for id := range shared {
		ids = append(ids, id)
	}
	names, err := namesOf(ctx, src, ids)
	if err != nil {
		return nil, err
	}
	list := make([]Beside, 0, len(ids))
	for _, id := range ids {
		list = append(list, Beside{Lot: names.step(id), By: shared[id], Same: same[id]})
	}
	slices.SortFunc(list, func(a, b Beside) int { // most shared first, then by code
		if d := len(b.By) - len(a.By); d != 0 {
			return d
		}
		if a.Lot.Name < b.Lot.Name {
			return -1
		}
		return 1
	})
	return list, nil
}

// sharedInstruments adds the lots whose fill checks or readings used an instrument this lot's checks or readings used.
func sharedInstruments(ctx context.Context, src Source, back Trace, lotID string, shared map[string][]Step) error {
	instruments := map[string]bool{}
	for _, of := range append(back.IDs(KindRun), lotID) {
		ids, err := instrumentsOf(ctx, src, of)
		if err != nil {
			return err
		}
		for _, id := range ids {
			instruments[id] = true
		}
	}
	ids := make([]string, 0, len(instruments))
	for id := range instruments {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	names, err := namesOf(ctx, src, ids)
	if err != nil {
		return err
	}
	for _, id := range ids {
		lots, err := LotsUsing(ctx, src, id, time.Time{})
		if err != nil {
			return err
		}
		for _, l := range lots {
			shared[l] = append(shared[l], names.step(id))
		}
	}
	return nil
}

// lotsDownstream lists for each of some records, whichever of its contents, the lots it reached, in one recursive query for
// all of them.
func lotsDownstream(ctx context.Context, src Source, ids []string) (map[string][]string, error) {
	lots := map[string][]string{}
	for batch := range slices.Chunk(ids, inBatch) {
		var rows []struct{ Root, Node string }
		err := src.conn(ctx).Raw(`WITH RECURSIVE reach(root, node) AS (SELECT id, id FROM record WHERE id IN ?
			UNION SELECT source_id, from_node FROM flow WHERE source_id IN ? AND from_node LIKE source_id || '#%'
			UNION SELECT reach.root, f.to_node FROM reach JOIN flow f ON f.from_node = reach.node)
			SELECT root, node FROM reach JOIN record r ON r.id = reach.node AND r.kind = 'lot' ORDER BY root, node`, batch, batch).Scan(&rows).Error
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			lots[r.Root] = append(lots[r.Root], r.Node)
		}
	}
	return lots, nil
}

func instrumentsOf(ctx context.Context, src Source, id string) ([]string, error) {
	var ids []string
	err := src.conn(ctx).Raw(`SELECT DISTINCT i FROM (
		SELECT instrument_id AS i FROM density_reading_now WHERE of_id = ?
		UNION SELECT thermometer_id FROM density_reading_now WHERE of_id = ?
		UNION SELECT instrument_id FROM fill_check_now WHERE lot_id = ?
		UNION SELECT scale_id FROM fill_check_now WHERE lot_id = ?
		UNION SELECT instrument_id FROM boil_entry_now WHERE run_id = ?) used WHERE i IS NOT NULL`, id, id, id, id, id).Scan(&ids).Error
	return ids, err
}

// LotsUsing lists the ids of lots with a reading, or a run with a reading, taken with an instrument after a moment.
func LotsUsing(ctx context.Context, src Source, instrumentID string, after time.Time) ([]string, error) {
	var of []string
	err := src.conn(ctx).Raw(`SELECT DISTINCT id FROM (
		SELECT of_id AS id FROM density_reading_now WHERE (instrument_id = ? OR thermometer_id = ?) AND at > ?
		UNION SELECT lot_id FROM fill_check_now WHERE (instrument_id = ? OR scale_id = ?) AND at > ?
		UNION SELECT lot_id FROM net_sample_now WHERE scale_id = ? AND at > ?
		UNION SELECT run_id FROM boil_entry_now WHERE instrument_id = ? AND at > ?) used`,
		instrumentID, instrumentID, after, instrumentID, instrumentID, after, instrumentID, after, instrumentID, after).Scan(&of).Error
	if err != nil {
		return nil, err
	}
	reached, err := lotsDownstream(ctx, src, of) // a lot reaches itself
	if err != nil {
		return nil, err
	}
	var lots []string
	for _, list := range reached {
		lots = append(lots, list...)
	}
	slices.Sort(lots)
	return slices.Compact(lots), nil
}
