package app

import (
	"context"
	"slices"
	"strings"

	"canewright/records"
)

// suppliesFor stands before a sort of supplies, in place of a kind, when a form lists only those.
const suppliesFor = "supply/"

// supplies lists the supply lots of one sort, newest first. The one in chosen stays in the list whatever it is.
func (f *form) supplies(sort string, chosen *string) []Choice {
	choices := f.choices(records.Kind(suppliesFor + sort))
	if chosen == nil || slices.ContainsFunc(choices, func(c Choice) bool { return c.Value == *chosen }) {
		return choices
	}
	for _, c := range f.choices(records.KindSupplyLot) {
		if c.Value == *chosen {
			choices = append(slices.Clone(choices), c)
		}
	}
	return choices
}

// suppliesOf reads the supply lots a pseudo kind of suppliesFor asks for; false for any other kind.
func (a *App) suppliesOf(ctx context.Context, kind records.Kind) ([]Choice, bool, error) {
	sort, ok := strings.CutPrefix(string(kind), suppliesFor)
	if !ok {
		return nil, false, nil
	}
	list, err := records.List[records.SupplyLot](ctx, a.store, "sort = ? ORDER BY received_on DESC, id DESC", sort)
	choices := make([]Choice, len(list))
	for i := range list {
		choices[i] = Choice{Value: list[i].ID, Name: records.NameOf(ctx, a.store, &list[i])}
	}
	return choices, true, err
}
