package records

import (
	"context"
	"fmt"
	"strings"

	"canewright/labels"
)

// Name is what people call a record: "Block B3", "cut 6 Dec", "run 25340K2", "lot 25341K2B1-P". It is plain enough to
// stand in any language; pages put the word for the kind before it where they need one.
func Name(ctx context.Context, src Source, id string) string {
	fact, err := Load(ctx, src, RecordOf(id))
	if err != nil {
		return id
	}
	return NameOf(ctx, src, fact)
}

// NameOf is Name of a fact already read.
func NameOf(ctx context.Context, src Source, fact Fact) string {
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
		return Name(ctx, src, f.BlockID) + ", " + f.Variety
	case *Application:
		return f.Product + " " + shortDay(f.AppliedOn)
	case *Freeze:
		return shortDay(f.Night)
	case *Cut:
		return shortDay(f.CutOn) + " " + Name(ctx, src, f.PlantingID)
	case *Pressing:
		return fmt.Sprintf("%s, %d", shortDay(DayOf(f.StartedAt, zoneOf(ctx, src))), f.Number)
	case *Run:
		return f.Code
	case *Lot:
		return PrintedCode(f.Code)
	case *Part:
		return fmt.Sprintf("%s / %d", Name(ctx, src, f.LotID), f.Number)
	case *Shipment:
		return shortDay(DayOf(f.At, zoneOf(ctx, src))) + " " + Name(ctx, src, f.CustomerID)
	case *Complaint:
		return shortDay(DayOf(f.ReceivedAt, zoneOf(ctx, src)))
	case *BoilEntry:
		return Name(ctx, src, f.RunID)
	case *DensityReading:
		return Name(ctx, src, f.OfID)
	case *Addition:
		return f.Substance
	case *FillCheck:
		return Name(ctx, src, f.LotID)
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

func shortDay(d Day) string { return string(d) }
