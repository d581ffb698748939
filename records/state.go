package records

import (
	"context"
	"slices"
	"time"

	"github.com/oklog/ulid/v2"
)

// States of a part. The state is the latest signed disposition, never a stored column.
const (
	StateFilling   = "filling"
	StateHeld      = "held"
	StateReleased  = "released"
	StateRecalled  = "recalled"
	StateReworked  = "reworked"
	StateDestroyed = "destroyed"
)

var stateAfter = map[string]string{ActHold: StateHeld, ActRelease: StateReleased, ActRecall: StateRecalled,
	ActRework: StateReworked, ActDestroy: StateDestroyed}

// mayFollow is the life of a part (design 3).
var mayFollow = map[string][]string{
	StateHeld:     {ActRelease, ActRecall, ActRework, ActDestroy, ActHold},
	StateReleased: {ActHold, ActRecall},
	StateRecalled: {ActRelease, ActRework, ActDestroy},
}

// PartShelf is a part with its state and its units.
type PartShelf struct {
	Part
	LotCode   string
	State     string
	Last      *Disposition // nil: none yet
	Filled    int          // 0 while filling
	Shipped   int
	Returned  int // back from a market day; other returns become a part of their own
	Samples   int
	Broken    int
	OnHand    int
	CameBack  bool       // its bottles are returned ones, counted in another part at filling
	Counted   *int       // the latest count on the shelf
	CountedAt *time.Time // when that was
	CountOff  int        // counted minus on hand at that count
}

// ShelfOf gives a part with its state and units. Errors: ErrNotFound.
func ShelfOf(ctx context.Context, src Source, partID string) (PartShelf, error) {
	part, err := Get[Part](ctx, src, partID)
	if err != nil {
		return PartShelf{}, err
	}
	shelves, err := Shelves(ctx, src, []Part{part})
	if err != nil {
		return PartShelf{}, err
	}
	return shelves[0], nil
}

// Shelves gives parts with their states and units, in a few queries however many they are.
func Shelves(ctx context.Context, src Source, parts []Part) ([]PartShelf, error) {
	ids, lots := make([]string, len(parts)), make([]string, len(parts))
	for i, p := range parts {
		ids[i], lots[i] = p.ID, p.LotID
	}
	dispositions, err := ListIDs[Disposition](ctx, src, "part_id", ids)
	if err != nil {
		return nil, err
	}
	entries, err := ListIDs[ShelfEntry](ctx, src, "part_id", ids)
	if err != nil {
		return nil, err
	}
	back, err := cameBack(ctx, src, parts)
	if err != nil {
		return nil, err
	}
	shipped, err := ListIDs[Link](ctx, src, "from_id", ids)
	if err != nil {
		return nil, err
	}
	byLot := map[string]Lot{}
	found, err := ListIDs[Lot](ctx, src, "id", lots)
	if err != nil {
		return nil, err
	}
	for _, l := range found {
		byLot[l.ID] = l
	}
	ended, err := ListIDs[FillEnd](ctx, src, "lot_id", lots)
	if err != nil {
		return nil, err
	}
	pieces, err := ListIDs[Part](ctx, src, "of_part_id", ids)
	if err != nil {
		return nil, err
	}
	endOf := map[string]bool{}
	for _, e := range ended {
		endOf[e.LotID] = true
	}
	shelves := make([]PartShelf, len(parts))
	at := map[string]*PartShelf{}
	for i, p := range parts {
		shelves[i] = PartShelf{Part: p, LotCode: byLot[p.LotID].Code, State: StateFilling, CameBack: back[p.ID]}
		if endOf[p.LotID] {
			shelves[i].State = StateHeld
		}
		if p.Units != nil {
			shelves[i].Filled = *p.Units
		}
		at[p.ID] = &shelves[i]
	}
	for _, d := range dispositions {
		at[d.PartID].apply(d)
	}
	for i := range shelves {
		shelves[i].move(shipped, entries, pieces)
	}
	return shelves, nil
}

// cameBack tells which parts are of returned bottles: those made at a return, and the pieces they were divided into.
func cameBack(ctx context.Context, src Source, parts []Part) (map[string]bool, error) {
	known, ids := map[string]Part{}, []string{}
	for next := parts; len(next) > 0; {
		var above []string
		for _, p := range next {
			known[p.ID] = p
			ids = append(ids, p.ID)
			if p.OfPartID != nil {
				above = append(above, *p.OfPartID)
			}
		}
		slices.Sort(above)
		above = slices.DeleteFunc(slices.Compact(above), func(id string) bool { return known[id].ID != "" })
		var err error
		if next, err = ListIDs[Part](ctx, src, "id", above); err != nil {
			return nil, err
		}
	}
	returns, err := ListIDs[ShelfEntry](ctx, src, "what = '"+ShelfReturn+"' AND part_id", ids)
	made := map[string]bool{}
	for _, e := range returns {
		made[e.PartID] = true
	}
	back := map[string]bool{}
	for _, p := range parts {
		for of := p; ; of = known[*of.OfPartID] {
			back[p.ID] = back[p.ID] || made[of.ID]
			if of.OfPartID == nil {
				break
			}
		}
	}
	return back, err
}

func (p *PartShelf) apply(d Disposition) {
	if p.Last == nil || d.At.After(p.Last.At) || d.At.Equal(p.Last.At) && d.ID > p.Last.ID {
		p.Last, p.State = &d, stateAfter[d.Act]
	}
}

// move counts what happened to the units of this part: on hand = filled + back - shipped - samples - broken; a part
// reworked or destroyed has nothing on hand.
func (p *PartShelf) move(shipped []Link, entries []ShelfEntry, pieces []Part) {
	var count *ShelfEntry
	for i, e := range entries {
		if e.PartID == p.ID && e.What == ShelfCount && (count == nil || !e.At.Before(count.At)) {
			count = &entries[i]
		}
	}
	if count != nil {
		p.tally(shipped, entries, count.At)
		since := p.dividedSince(pieces, count.At)
		p.Counted, p.CountedAt, p.CountOff = &count.Units, &count.At, count.Units-p.OnHand-since
		if since > 0 && p.CountOff == 0 { // it was right, and counted bottles that are another part now
			p.Counted = nil
		}
	}
	p.tally(shipped, entries, endOfTime)
	if p.State == StateReworked || p.State == StateDestroyed {
		p.OnHand = 0
	}
}

// dividedSince is how many of the part's bottles became parts of their own after a moment.
func (p *PartShelf) dividedSince(pieces []Part, at time.Time) int {
	units := 0
	for _, piece := range pieces {
		born, err := ulid.ParseStrict(piece.ID)
		if err == nil && *piece.OfPartID == p.ID && piece.Units != nil && ulid.Time(born.Time()).After(at) {
			units += *piece.Units
		}
	}
	return units
}

// endOfTime stands after every record.
var endOfTime = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// tally sums the movements up to a moment.
func (p *PartShelf) tally(shipped []Link, entries []ShelfEntry, until time.Time) {
	p.Shipped, p.Returned, p.Samples, p.Broken = 0, 0, 0, 0
	for _, l := range shipped {
		if l.FromID == p.ID && l.Units != nil && !l.At.After(until) {
			p.Shipped += *l.Units
		}
	}
	for _, e := range entries {
		if e.PartID != p.ID || e.At.After(until) {
			continue
		}
		switch e.What {
		case ShelfBack:
			p.Returned += e.Units
		case ShelfSample:
			p.Samples += e.Units
		case ShelfBreakage:
			p.Broken += e.Units
		}
	}
	p.OnHand = p.Filled + p.Returned - p.Shipped - p.Samples - p.Broken
}
