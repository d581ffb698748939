package app

import (
	"context"

	"canewright/records"
)

// firstStep is something a house needs before its first bottle: a record of a kind, and where to enter it.
type firstStep struct {
	kind records.Kind
	only string // a condition on the kind's columns; empty for any
	key  string // of its words
}

// firstSteps are in the order of the work.
var firstSteps = []firstStep{
	{records.KindBlock, "", "block"},
	{records.KindPlanting, "", "planting"},
	{records.KindKettle, "", "kettle"},
	{records.KindInstrument, "measures = 'temperature'", "thermometer"},
	{records.KindInstrument, "measures IN ('density', 'refraction')", "hydrometer"},
	{records.KindProduct, "", "product"},
	{records.KindContainer, "", "container"},
	{records.KindSupplier, "", "supplier"},
	{records.KindSupplyLot, "sort = 'bottles'", "bottles"},
	{records.KindSupplyLot, "sort = 'closures'", "closures"},
	{records.KindLabelStock, "", "label_stock"},
}

// toSetUp lists for the owner what a house still lacks, each with the page where it is entered. A house that has it all
// sees nothing.
func (a *App) toSetUp(ctx context.Context, v *visitor) ([]ledgerLine, error) {
	if !v.may(owner) {
		return nil, nil
	}
	var lines []ledgerLine
	for _, step := range firstSteps {
		has, err := records.Any(ctx, a.store, step.kind, step.only)
		if err != nil {
			return nil, err
		}
		if !has {
			lines = append(lines, ledgerLine{Name: v.words().say("first_step." + step.key), URL: a.kinds.of[step.kind].path() + "/new"})
		}
	}
	return lines, nil
}
