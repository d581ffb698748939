package app

import (
	"context"
	"errors"
	"slices"
	"strconv"

	"canewright/records"
)

// longestTrail is how many steps back a trail goes; the chain from lot to block has eight.
const longestTrail = 12

// trail is the chain in words from the field to this record, one step for each record. Where a record came from several,
// the first is named and the others counted; the trace shows them all.
func (a *App) trail(ctx context.Context, w words, fact records.Fact) ([]Step, error) {
	steps := []Step{{Name: a.stepName(ctx, w, fact), URL: recordURL(records.Head(fact).ID), Here: true}}
	seen := map[string]bool{records.Head(fact).ID: true}
	for len(steps) < longestTrail {
		id, others, err := a.before(ctx, fact)
		if err != nil {
			return nil, err
		}
		if id == "" || seen[id] {
			break
		}
		seen[id] = true
		if fact, err = records.Load(ctx, a.store, id); errors.Is(err, records.ErrNotFound) {
			break
		} else if err != nil {
			return nil, err
		}
		name := a.stepName(ctx, w, fact)
		if others > 0 {
			name = w.say("trail.and_more", "Name", name, "Others", others)
		}
		steps = append(steps, Step{Name: name, URL: recordURL(id)})
	}
	if len(steps) == 1 {
		return nil, nil
	}
	slices.Reverse(steps)
	return steps, nil
}

// before is the record a fact stands under or came from, and how many others there are.
func (a *App) before(ctx context.Context, fact records.Fact) (string, int, error) {
	switch f := fact.(type) {
	case *records.Planting:
		return f.BlockID, 0, nil
	case *records.Application:
		return f.BlockID, 0, nil
	case *records.Cut:
		return f.PlantingID, 0, nil
	case *records.InstrumentCheck:
		return f.InstrumentID, 0, nil
	case *records.BoilEntry:
		return f.RunID, 0, nil
	case *records.DensityReading:
		return f.OfID, 0, nil
	case *records.Addition:
		return f.ToID, 0, nil
	case *records.WashOut:
		return f.VesselID, 0, nil
	case *records.Part:
		return f.LotID, 0, nil
	case *records.FillCheck:
		return f.LotID, 0, nil
	case *records.FillEnd:
		return f.LotID, 0, nil
	case *records.FillEvent:
		return f.LotID, 0, nil
	case *records.NetSample:
		return f.LotID, 0, nil
	case *records.CoolingTest:
		return f.ContainerID, 0, nil
	case *records.LabelCount:
		return f.LotID, 0, nil
	case *records.TagMatch:
		return f.LotID, 0, nil
	case *records.Disposition:
		return f.PartID, 0, nil
	case *records.CorrectiveAction:
		return f.PartID, 0, nil
	case *records.ShelfEntry:
		return f.PartID, 0, nil
	case *records.SupplyLot:
		return f.SupplierID, 0, nil
	case *records.Pressing, *records.Run, *records.Tank, *records.Lot, *records.Shipment:
		links, err := records.List[records.Link](ctx, a.store, "to_id = ? ORDER BY heel, at, id", records.Head(fact).ID)
		if err != nil || len(links) == 0 {
			return "", 0, err
		}
		return links[0].FromID, len(links) - 1, nil
	}
	return "", 0, nil
}

// stepName is a record's word in the trail line, short: "cut Sun 6 Dec 2025".
func (a *App) stepName(ctx context.Context, w words, fact records.Fact) string {
	name := stepWords(w, records.Step{Name: records.NameOf(ctx, a.store, fact)})
	switch f := fact.(type) {
	case *records.Cut:
		name, _ = w.day(f.CutOn)
	case *records.Planting:
		name = f.Variety
	case *records.Pressing:
		name = strconv.Itoa(f.Number)
	case *records.Run:
		return a.runStep(ctx, w, f, name)
	case *records.Application:
		name = f.Product
	case *records.Freeze:
		name, _ = w.day(f.Night)
	case *records.HouseLimit:
		name = w.say("limit." + f.Code)
	}
	return w.say("trail."+string(fact.Kind()), "Name", name)
}
