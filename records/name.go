package records

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"canewright/labels"
	"canewright/records/lineage"
)

// Name is what people call a record: "B3, Striped", "2025-12-06 B3", "25340K2", "25341K2B1-P". It is plain enough to stand
// in any language; pages put the word for the kind before it where they need one.
func Name(ctx context.Context, src Source, id string) string {
	return newNamer(ctx, src).name(RecordOf(id))
}

// NameOf is Name of a fact already read.
func NameOf(ctx context.Context, src Source, fact Fact) string { return newNamer(ctx, src).of(fact) }

// namer names many records with few queries: what it has read it keeps.
type namer struct {
	ctx   context.Context
	src   Source
	facts map[string]Fact
	kinds map[string]Kind
	zone  *time.Location
}

func newNamer(ctx context.Context, src Source) *namer {
	return &namer{ctx: ctx, src: src, facts: map[string]Fact{}, kinds: map[string]Kind{}}
}

// namesOf reads every record of the nodes, one query a kind and 500 records.
func namesOf(ctx context.Context, src Source, nodes []string) (*namer, error) {
	n := newNamer(ctx, src)
	var ids []string
	for _, node := range nodes {
		ids = append(ids, RecordOf(node))
	}
	return n, n.read(ids)
}

func (n *namer) read(ids []string) error {
	slices.Sort(ids)
	ids = slices.Compact(ids)
	byKind := map[Kind][]string{}
	for start := 0; start < len(ids); start += inBatch {
		var rows []struct{ ID, Kind string }
		batch := ids[start:min(start+inBatch, len(ids))]
		if err := n.src.conn(n.ctx).Raw("SELECT id, kind FROM record WHERE id IN ?", batch).Scan(&rows).Error; err != nil {
			return err
		}
		for _, r := range rows {
			n.kinds[r.ID] = Kind(r.Kind)
			byKind[Kind(r.Kind)] = append(byKind[Kind(r.Kind)], r.ID)
		}
	}
	for kind, of := range byKind {
		if err := n.readKind(kind, of); err != nil {
			return err
		}
	}
	return nil
}

// readKind reads the newest revisions of some records of a kind, struck ones too: they keep their name.
func (n *namer) readKind(kind Kind, ids []string) error {
	fresh, ok := newFact[kind]
	if !ok {
		return fmt.Errorf("unknown kind %q", kind)
	}
	for start := 0; start < len(ids); start += inBatch {
		table := string(kind)
		rows, err := n.src.conn(n.ctx).Raw(`SELECT t.* FROM `+table+` t WHERE t.id IN ? AND NOT EXISTS
			(SELECT 1 FROM `+table+` newer WHERE newer.id = t.id AND newer.revision > t.revision)`, ids[start:min(start+inBatch, len(ids))]).Rows()
		if err != nil {
			return err
		}
		var facts []Fact
		for rows.Next() && err == nil {
			fact := fresh()
			err = n.src.conn(n.ctx).ScanRows(rows, fact)
			facts = append(facts, fact)
		}
		if err := errors.Join(err, rows.Err(), rows.Close(), fillContacts(n.ctx, n.src, facts)); err != nil {
			return err
		}
		for _, f := range facts {
			n.facts[f.row().ID] = f
		}
	}
	return nil
}

// step is the record of a node as a trace shows it.
func (n *namer) step(node string) Step {
	id := RecordOf(node)
	_, state, tank := lineage.TankOf(node)
	return Step{ID: id, Kind: n.kinds[id], Name: n.name(id), Unknown: tank && state == 0}
}

func (n *namer) name(id string) string {
	fact, ok := n.facts[id]
	if !ok {
		var err error
		if fact, err = Load(n.ctx, n.src, id); err != nil {
			return id
		}
		n.facts[id] = fact
	}
	return n.of(fact)
}

func (n *namer) day(t time.Time) string {
	if n.zone == nil {
		n.zone = zoneOf(n.ctx, n.src)
	}
	return string(DayOf(t, n.zone))
}

func (n *namer) of(fact Fact) string {
	switch f := fact.(type) {
	case *House:
		return f.Name
	case *Site:
		return f.Name
	case *Person:
		return f.Name
	case *Kettle:
		return f.Name
	case *Tank:
		return f.Name
	case *Instrument:
		return f.Name
	case *Product:
		return f.Name
	case *Container:
		return f.Name
	case *LabelStock:
		return f.Name
	case *HouseLimit:
		return f.Code
	case *Supplier:
		return f.Firm
	case *Carrier:
		return f.Firm
	case *Customer:
		return f.Contact.Name
	case *SupplyLot:
		return strings.TrimSpace(f.Description + " " + f.TheirLot)
	case *Block:
		return f.Name
	case *Planting:
		return n.name(f.BlockID) + ", " + f.Variety
	case *Application:
		return f.Product + " " + string(f.AppliedOn)
	case *Freeze:
		return string(f.Night)
	case *Cut:
		return string(f.CutOn) + " " + n.name(f.PlantingID)
	case *Pressing:
		return fmt.Sprintf("%s, %d", n.day(f.StartedAt), f.Number)
	case *Run:
		return f.Code
	case *Lot:
		return PrintedCode(f.Code)
	case *Part:
		return fmt.Sprintf("%s / %d", n.name(f.LotID), f.Number)
	case *Shipment:
		return n.day(f.At) + " " + n.name(f.CustomerID)
	case *Complaint:
		return n.day(f.ReceivedAt)
	case *BoilEntry:
		return n.name(f.RunID)
	case *DensityReading:
		return n.name(f.OfID)
	case *Addition:
		return f.Substance
	case *FillCheck:
		return n.name(f.LotID)
	case *FillEvent:
		return n.name(f.LotID)
	case *FillEnd:
		return n.name(f.LotID)
	case *Disposition:
		return n.name(f.PartID)
	case *CorrectiveAction:
		return n.name(f.PartID)
	case *ShelfEntry:
		return n.name(f.PartID)
	case *WashOut:
		return n.name(f.VesselID)
	case *LabelAnswer:
		return n.name(f.LotID)
	case *TradeItem:
		return n.name(f.ProductID) + ", " + n.name(f.ContainerID)
	case *LabelCount:
		return n.name(f.LotID)
	case *TagMatch:
		return n.name(f.LotID)
	case *NetSample:
		return n.name(f.LotID)
	case *NetTable:
		return f.Edition
	case *CoolingTest:
		return n.name(f.ContainerID) + ", " + n.day(f.At)
	case *Attachment:
		return f.Name
	case *PhoneEntry:
		return n.name(f.RecordID)
	case *LoggerImport:
		return n.name(f.AttachmentID)
	}
	return fact.row().ID
}

// PrintedCode sets the check character of a stored lot code apart by a hyphen.
func PrintedCode(code string) string {
	parsed, err := labels.ParseLotCode(code)
	if err != nil {
		return code
	}
	return parsed.Printed()
}
