package records

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"canewright/hazards"
)

// JudgeRun judges a run and what went into it, gravest first.
func JudgeRun(ctx context.Context, src Source, runID string) ([]hazards.Finding, error) {
	g, err := gather(ctx, src, runID)
	if err != nil {
		return nil, err
	}
	if _, ok := g.names.facts[runID].(*Run); !ok {
		return nil, fmt.Errorf("run %s: %w", runID, ErrNotFound)
	}
	return hazards.JudgeRun(g.run(runID), g.rules), nil
}

// LotFacts gives everything a lot is judged on.
func LotFacts(ctx context.Context, src Source, lotID string) (hazards.LotFacts, hazards.Rules, error) {
	g, err := gather(ctx, src, lotID)
	if err != nil {
		return hazards.LotFacts{}, hazards.Rules{}, err
	}
	if _, ok := g.names.facts[lotID].(*Lot); !ok {
		return hazards.LotFacts{}, g.rules, fmt.Errorf("lot %s: %w", lotID, ErrNotFound)
	}
	facts, err := g.lot(lotID)
	return facts, g.rules, err
}

// JudgeLot judges a lot and everything upstream of it, gravest first.
func JudgeLot(ctx context.Context, src Source, lotID string) ([]hazards.Finding, error) {
	facts, rules, err := LotFacts(ctx, src, lotID)
	if err != nil {
		return nil, err
	}
	return hazards.JudgeLot(facts, rules), nil
}

// Judged is a part as judged now: its state, its findings and what the owner has answered.
type Judged struct {
	Shelf    PartShelf
	Findings []hazards.Finding
	Actions  []CorrectiveAction
}

// JudgePart judges a part of a lot with the answers given for it, and for the part it was divided from until then. What a
// fill check found counts for the bottles it speaks for. A part of returned bottles asks what was looked at.
func JudgePart(ctx context.Context, src Source, partID string) (Judged, error) {
	part, err := Get[Part](ctx, src, partID)
	if err != nil {
		return Judged{}, err
	}
	facts, rules, err := LotFacts(ctx, src, part.LotID)
	if err != nil {
		return Judged{}, err
	}
	judged, err := JudgeParts(ctx, src, part.LotID, facts, rules)
	if err != nil {
		return Judged{}, err
	}
	i := slices.IndexFunc(judged, func(j Judged) bool { return j.Shelf.ID == partID })
	if i < 0 {
		return Judged{}, fmt.Errorf("part %s: %w", partID, ErrNotFound)
	}
	return judged[i], nil
}

// JudgeParts judges every part of a lot, in order of their numbers, by the facts of the lot.
func JudgeParts(ctx context.Context, src Source, lotID string, facts hazards.LotFacts, rules hazards.Rules) ([]Judged, error) {
	parts, err := List[Part](ctx, src, "lot_id = ? ORDER BY number, id", lotID)
	if err != nil {
		return nil, err
	}
	shelves, err := Shelves(ctx, src, parts)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(parts))
	for i, p := range parts {
		ids[i] = p.ID
	}
	actions, err := ListIDs[CorrectiveAction](ctx, src, "part_id", ids)
	if err != nil {
		return nil, err
	}
	slices.SortFunc(actions, func(a, b CorrectiveAction) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.ID, b.ID)) })
	findings := hazards.JudgeLot(facts, rules)
	judged := make([]Judged, len(shelves))
	for i, s := range shelves {
		judged[i] = Judged{Shelf: s, Findings: hazards.OfBottles(findings, facts, rules, s.FirstBottle, s.LastBottle), Actions: answersFor(s.Part, parts, actions)}
		if s.CameBack {
			judged[i].Findings = append(judged[i].Findings, hazards.JudgeReturned(s.ID, PrintedCode(s.LotCode), s.Filled))
		}
	}
	return judged, nil
}

// answersFor lists the answers written for a part, and those written for the part it was divided from before it was.
func answersFor(part Part, parts []Part, actions []CorrectiveAction) []CorrectiveAction {
	var list []CorrectiveAction
	before := "" // ids are in order of time; blank: no bound
	for id := part.ID; id != ""; {
		for _, action := range actions {
			if action.PartID == id && (before == "" || action.ID < before) {
				list = append(list, action)
			}
		}
		i := slices.IndexFunc(parts, func(p Part) bool { return p.ID == id })
		if i < 0 || parts[i].OfPartID == nil {
			break
		}
		if before == "" || id < before {
			before = id
		}
		id = *parts[i].OfPartID
	}
	return list
}

// answers are the owner's, with one reason for all checks.
func (j Judged) answers(reason string) hazards.Answers {
	a := hazards.Answers{Reason: reason}
	for _, c := range j.Actions {
		a.Actions = append(a.Actions, hazards.CorrectiveAction{Code: c.Finding, About: c.AboutID, Problem: c.Problem,
			Recurrence: c.Recurrence, Evaluation: c.Evaluation, Commerce: c.Commerce})
	}
	return a
}

// Answered says whether a corrective action answers a finding.
func (j Judged) Answered(f hazards.Finding) bool {
	return len(hazards.Blocking([]hazards.Finding{f}, j.answers(""))) == 0
}

// Missing lists exactly what stands between the part and its release with this reason, by whom has the right or not.
func (j Judged) Missing(mayRelease bool, reason string) []hazards.Missing {
	return hazards.CanRelease(hazards.ReleaseFacts{State: j.Shelf.State, MayRelease: mayRelease, Units: j.Shelf.Units,
		Findings: j.Findings, Answers: j.answers(reason)})
}

// judgeTouched judges again every released part that the writing reached: one that now falls short is held again, in the
// same transaction.
func (tx *Tx) judgeTouched() error {
	if tx.judging || len(tx.touched) == 0 {
		return nil
	}
	tx.judging = true
	lots, err := tx.touchedLots()
	if err != nil || len(lots) == 0 {
		return err
	}
	parts, err := ListIDs[Part](tx.ctx, tx, "lot_id", lots)
	if err != nil {
		return err
	}
	shelves, err := Shelves(tx.ctx, tx, parts)
	if err != nil {
		return err
	}
	done := map[string]bool{}
	for _, p := range shelves {
		if p.State != StateReleased || done[p.LotID] {
			continue
		}
		done[p.LotID] = true
		if err := tx.holdAgainOf(p.LotID); err != nil {
			return err
		}
	}
	return nil
}

// holdAgainOf judges the released parts of a lot by one reading of its facts.
func (tx *Tx) holdAgainOf(lotID string) error {
	facts, rules, err := LotFacts(tx.ctx, tx, lotID)
	if err != nil {
		return err
	}
	judged, err := JudgeParts(tx.ctx, tx, lotID, facts, rules)
	for i := 0; err == nil && i < len(judged); i++ {
		if judged[i].Shelf.State == StateReleased {
			err = tx.holdAgain(judged[i])
		}
	}
	return err
}

// holdAgain holds a released part for every hold or stop that neither its release knew nor an answer covers.
func (tx *Tx) holdAgain(judged Judged) error {
	var fresh []hazards.Finding
	for _, f := range judged.Findings {
		if f.Level >= hazards.Hold && !judged.Answered(f) {
			fresh = append(fresh, f)
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	return tx.dispose(judged.Shelf.ID, ActHold, wordsOf(fresh), judged.Findings, true)
}

// touchedLots lists the lots that what was written bears on: downstream of it, or read with an instrument just checked.
func (tx *Tx) touchedLots() ([]string, error) {
	lots := map[string]bool{}
	for id := range maps.Keys(tx.touched) {
		abouts, err := tx.bearsOn(id)
		if err != nil {
			return nil, err
		}
		for _, about := range abouts {
			if err := tx.lotsFrom(about, lots); err != nil {
				return nil, err
			}
		}
	}
	return slices.Sorted(maps.Keys(lots)), nil
}

func (tx *Tx) lotsFrom(id string, lots map[string]bool) error {
	kind, err := KindOf(tx.ctx, tx, id)
	if err != nil {
		return err
	}
	if kind == KindLot {
		lots[id] = true
		return nil
	}
	forward, err := TraceForward(tx.ctx, tx, id)
	for _, lot := range forward.IDs(KindLot) {
		lots[lot] = true
	}
	return err
}

// bearsOn lists the records of the chain that a fact just written says something about.
func (tx *Tx) bearsOn(id string) ([]string, error) {
	fact, err := Load(tx.ctx, tx, id)
	if err != nil {
		return nil, err
	}
	switch f := fact.(type) {
	case *Cut, *Pressing, *Run, *Lot, *SupplyLot:
		return []string{id}, nil
	case *BoilEntry:
		return []string{f.RunID}, nil
	case *DensityReading:
		return []string{f.OfID}, nil
	case *Addition:
		return []string{f.ToID}, nil
	case *FillCheck:
		return []string{f.LotID}, nil
	case *FillEnd:
		return []string{f.LotID}, nil
	case *FillEvent:
		return []string{f.LotID}, nil
	case *NetSample:
		return []string{f.LotID}, nil
	case *CoolingTest:
		return tx.lotsOf("container_id IN (SELECT id FROM container_now WHERE cooling_test_id = ?)", id)
	case *NetTable:
		return tx.lotsOf("id IN (SELECT lot_id FROM net_sample_now)")
	case *Link:
		if kind, err := KindOf(tx.ctx, tx, f.FromID); err != nil || kind == KindPart {
			return nil, err
		}
		return []string{f.ToID}, nil
	case *WashOut:
		return []string{f.VesselID}, nil
	case *Application:
		return tx.cutsOf("planting_id IN (SELECT id FROM planting_now WHERE block_id = ?)", f.BlockID)
	case *Freeze:
		return tx.cutsOf("planting_id IN (SELECT p.id FROM planting_now p JOIN block_now b ON b.id = p.block_id WHERE b.site_id = ?)", f.SiteID)
	case *Planting:
		return tx.cutsOf("planting_id = ?", id)
	case *InstrumentCheck:
		return tx.usedSincePass(f)
	case *Instrument:
		return LotsUsing(tx.ctx, tx, id, firstDay)
	case *Container:
		return tx.lotsOf("container_id = ?", id)
	case *Product:
		return tx.lotsOf("product_id = ?", id)
	case *HouseLimit:
		return tx.lotsOf("id IN (SELECT lot_id FROM part_now)")
	}
	return nil, nil
}

func (tx *Tx) cutsOf(where string, arg string) ([]string, error) {
	cuts, err := List[Cut](tx.ctx, tx, where, arg)
	var ids []string
	for _, k := range cuts {
		ids = append(ids, k.ID)
	}
	return ids, err
}

func (tx *Tx) lotsOf(where string, args ...any) ([]string, error) {
	lots, err := List[Lot](tx.ctx, tx, where, args...)
	var ids []string
	for _, l := range lots {
		ids = append(ids, l.ID)
	}
	return ids, err
}

// usedSincePass lists the lots an instrument touched since its last pass before this check, the window of trade.md 4.5, and
// on the check's own day, whose zero it may be. A check that was amended counts as it is and as it was.
func (tx *Tx) usedSincePass(k *InstrumentCheck) ([]string, error) {
	revisions, err := Revisions[InstrumentCheck](tx.ctx, tx, k.ID)
	if err != nil {
		return nil, err
	}
	var lots []string
	for _, r := range revisions {
		since, err := LastPass(tx.ctx, tx, r.InstrumentID, r.At)
		if err != nil {
			return nil, err
		}
		if start, _ := dayAround(r.At, zoneOf(tx.ctx, tx)); start.Before(since) {
			since = start.Add(-time.Microsecond)
		}
		used, err := LotsUsing(tx.ctx, tx, r.InstrumentID, since)
		if err != nil {
			return nil, err
		}
		lots = append(lots, used...)
	}
	return lots, nil
}

// JudgeCut judges a cut by itself, as far as that can be said before it is pressed: sprays, freezes, and how long the cane
// has waited until now.
func JudgeCut(ctx context.Context, src Source, id string, now time.Time) ([]hazards.Finding, error) {
	g, err := gather(ctx, src, id)
	if err != nil {
		return nil, err
	}
	cut, ok := g.names.facts[id].(*Cut)
	if !ok {
		return nil, fmt.Errorf("cut %s: %w", id, ErrNotFound)
	}
	facts := g.cut(cut)
	findings := append(hazards.RequiredOfCut(facts), hazards.JudgeCut(facts, g.rules)...)
	pressed, err := List[Link](ctx, src, "from_id = ?", id)
	if err != nil || len(pressed) > 0 { // pressed cane is judged with its pressing
		return findings, err
	}
	return append(findings, hazards.JudgeCane(facts, now, g.rules)...), nil
}
