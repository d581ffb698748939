package packet

import (
	"context"
	"slices"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

type judge func(ctx context.Context, src records.Source, id string) ([]hazards.Finding, error)

// lotFile is everything about one lot, read once.
type lotFile struct {
	records.Lot
	Site      records.Site
	Product   records.Product
	Container records.Container
	Bottles   *records.SupplyLot
	Closures  *records.SupplyLot
	Sources   []records.Link
	Shares    map[string]records.Step // what part of the lot came through each record, by its id
	Runs      []records.Step          // nearest upstream, through tanks
	FromTank  bool
	Additions []records.Addition // to the tanks between the runs and the lot
	Checks    []records.FillCheck
	Events    []records.FillEvent
	Readings  []reading
	End       *records.FillEnd
	Parts     []records.PartShelf
	Actions   []records.CorrectiveAction
	Findings  []hazards.Finding
	Holders   []records.Holding
}

// reading is a density reading with what it means.
type reading struct {
	records.DensityReading
	Solids     *syrup.Solids
	Correction *hazards.Correction // taken off its temperature; nil when nothing
}

func (r *reader) lotFile(id string) lotFile {
	lot := get[records.Lot](r, id)
	f := lotFile{Lot: lot, Site: get[records.Site](r, lot.SiteID), Product: get[records.Product](r, lot.ProductID),
		Container: get[records.Container](r, lot.ContainerID), Bottles: optional[records.SupplyLot](r, lot.BottlesLotID),
		Closures: optional[records.SupplyLot](r, lot.ClosuresLotID), Shares: map[string]records.Step{}}
	if r.err != nil {
		return f
	}
	f.readSources(r)
	f.Checks = list[records.FillCheck](r, "lot_id = ? ORDER BY at, id", id)
	f.Checks = append(f.Checks, struck[records.FillCheck](r, "lot_id", id)...)
	f.Events = append(list[records.FillEvent](r, "lot_id = ? ORDER BY at, id", id), struck[records.FillEvent](r, "lot_id", id)...)
	for _, d := range append(list[records.DensityReading](r, "of_id = ? ORDER BY at, id", id), struck[records.DensityReading](r, "of_id", id)...) {
		solids, correction := r.solids(d)
		f.Readings = append(f.Readings, reading{d, solids, correction})
	}
	if ends := list[records.FillEnd](r, "lot_id = ?", id); len(ends) > 0 {
		f.End = &ends[0]
	}
	f.readParts(r)
	f.Findings = r.judged(records.JudgeLot, id)
	return f
}

func (f *lotFile) readSources(r *reader) {
	back, err := records.TraceBack(r.ctx, r.src, f.ID)
	r.fail(err)
	for _, s := range back.Steps {
		f.Shares[s.ID] = s
	}
	for _, s := range near(back, f.ID, true, records.KindRun) {
		switch s.Kind {
		case records.KindRun:
			f.Runs = append(f.Runs, s)
		case records.KindTank:
			f.FromTank = true
			f.Additions = append(f.Additions, list[records.Addition](r, "to_id = ? ORDER BY at, id", s.ID)...)
		}
	}
	slices.SortStableFunc(f.Runs, func(a, b records.Step) int { return strings.Compare(a.Name, b.Name) })
	f.Sources = list[records.Link](r, "to_id = ? ORDER BY at, id", f.ID)
}

func (f *lotFile) readParts(r *reader) {
	parts := list[records.Part](r, "lot_id = ? ORDER BY number", f.ID)
	if r.err != nil {
		return
	}
	shelves, err := records.Shelves(r.ctx, r.src, parts)
	r.fail(err)
	f.Parts = shelves
	for _, p := range parts {
		list[records.Disposition](r, "part_id = ?", p.ID)
		list[records.ShelfEntry](r, "part_id = ?", p.ID)
		list[records.Link](r, "from_id = ?", p.ID)
		f.Actions = append(f.Actions, list[records.CorrectiveAction](r, "part_id = ? ORDER BY at, id", p.ID)...)
	}
	holders, err := records.WhoHas(r.ctx, r.src, f.ID)
	r.fail(err)
	f.Holders = holders
}

// lotsOf lists the lots nearest downstream of a run: those that hold its syrup without another run between.
func (r *reader) lotsOf(runID string) []string {
	if r.err != nil {
		return nil
	}
	forward, err := records.TraceForward(r.ctx, r.src, runID)
	r.fail(err)
	steps := near(forward, runID, false, records.KindRun)
	lots := map[string]bool{}
	for _, id := range ofKind(steps, records.KindLot) {
		lots[id] = true
	}
	var ids []string
	for _, l := range list[records.Lot](r, "ORDER BY code") {
		if lots[l.ID] {
			ids = append(ids, l.ID)
		}
	}
	return ids
}
