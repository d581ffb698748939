package app

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"canewright/records"
)

// spoiling are the complaints that one cause brings about: something grew in the bottle or got into it.
var spoiling = []string{"fizzy", "mould", "leak"}

// alike tells whether two complaints are about the same thing.
func alike(a, b records.Complaint) bool {
	return a.About == b.About || slices.Contains(spoiling, a.About) && slices.Contains(spoiling, b.About)
}

// similarComplaint is another complaint and what it has in common with this one.
type similarComplaint struct {
	ledgerLine
	Why string

	shared int
}

// mostSimilar is how many similar complaints are shown.
const mostSimilar = 12

// similarTo finds complaints about the same lot, a lot of the same run or supply lot, or the same matter; those with
// most in common first.
func (a *App) similarTo(ctx context.Context, w words, k records.Complaint, back *records.Trace) ([]similarComplaint, error) {
	all, err := records.List[records.Complaint](ctx, a.store, "id <> ? ORDER BY received_at DESC, id DESC", k.ID)
	if err != nil {
		return nil, err
	}
	codes, err := a.codesOf(ctx, all)
	if err != nil {
		return nil, err
	}
	var list []similarComplaint
	for _, other := range all {
		s, err := a.inCommon(ctx, w, k, other, back)
		if err != nil {
			return nil, err
		}
		if s.shared == 0 {
			continue
		}
		code := w.say("complaint.no_lot")
		if other.LotID != nil {
			code = codes[*other.LotID]
		}
		if s.ledgerLine, err = complaintLine(w, other, code); err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	slices.SortStableFunc(list, func(a, b similarComplaint) int { return cmp.Compare(b.shared, a.shared) })
	return list[:min(mostSimilar, len(list))], nil
}

// inCommon weighs what two complaints share: the lot most, then a run, a supply lot, the matter.
func (a *App) inCommon(ctx context.Context, w words, k, other records.Complaint, back *records.Trace) (similarComplaint, error) {
	var s similarComplaint
	var why []string
	add := func(weight int, said string) { s.shared, why = s.shared+weight, append(why, said) }
	if k.LotID != nil && other.LotID != nil && *k.LotID == *other.LotID {
		add(8, w.say("complaint.same_lot"))
	} else if back != nil && other.LotID != nil {
		theirs, err := records.TraceBack(ctx, a.store, *other.LotID)
		if err != nil {
			return s, err
		}
		for _, shared := range []struct {
			kind   records.Kind
			weight int
		}{{records.KindRun, 3}, {records.KindSupplyLot, 2}} {
			if names := sharedNames(*back, theirs, shared.kind); len(names) > 0 {
				add(shared.weight, w.say("kind."+string(shared.kind))+" "+strings.Join(names, ", "))
			}
		}
	}
	if alike(k, other) {
		add(4, w.say("complaint.same_matter"))
	}
	s.Why = strings.Join(why, " · ")
	return s, nil
}

func sharedNames(a, b records.Trace, kind records.Kind) []string {
	theirs := b.IDs(kind)
	var names []string
	for _, s := range a.OfKind(kind) {
		if slices.Contains(theirs, s.ID) {
			names = append(names, s.Name)
		}
	}
	return names
}

// holdQuestions asks about every lot with two complaints alike, one of them open, whose bottles may still leave.
func (a *App) holdQuestions(ctx context.Context, w words, all []records.Complaint) ([]ledgerLine, error) {
	byLot := map[string][]records.Complaint{}
	var order []string
	for _, k := range all {
		if k.LotID == nil {
			continue
		}
		if byLot[*k.LotID] == nil {
			order = append(order, *k.LotID)
		}
		byLot[*k.LotID] = append(byLot[*k.LotID], k)
	}
	var lines []ledgerLine
	for _, lotID := range order {
		open, count := twoAlike(byLot[lotID])
		if open == "" {
			continue
		}
		parts, err := records.ShelfList(ctx, a.store, "lot_id = ?", lotID)
		if err != nil {
			return nil, err
		}
		released := slices.ContainsFunc(parts, func(p records.OnShelf) bool { return p.State == records.StateReleased })
		if released {
			lines = append(lines, ledgerLine{Name: w.say("complaint.hold_question", "Code", records.PrintedCode(parts[0].LotCode)),
				Word: w.say("complaint.alike", "Count", count), URL: complaintURL(open)})
		}
	}
	return lines, nil
}

// twoAlike gives an open complaint that another one of the same lot is like, and how many are alike with it; empty when
// there is none.
func twoAlike(of []records.Complaint) (string, int) {
	for _, k := range of {
		if k.ClosedAt != nil {
			continue
		}
		count := 0
		for _, other := range of {
			if alike(k, other) {
				count++
			}
		}
		if count > 1 {
			return k.ID, count
		}
	}
	return "", 0
}
