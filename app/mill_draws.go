package app

import (
	"context"
	"errors"
	"slices"
	"strings"

	"canewright/hazards/syrup"
	"canewright/records"
)

// drawField is one cut, pressing or tank that something may be taken from: a tick, and how much. A blank amount is all
// of it.
type drawField struct {
	Stock      records.Stock
	Name       string // in words
	Tick, Take *Field

	taken   bool
	mass    *syrup.Kilograms
	volume  *syrup.Liters
	entered string
}

// draws binds a tick and an amount for each stock. Where there is just one it is ticked beforehand.
func (f *form) draws(stocks []records.Stock) []*drawField {
	w, list := f.words, make([]*drawField, len(stocks))
	for i, s := range stocks {
		d := &drawField{Stock: s, Name: w.stockName(s), taken: len(stocks) == 1}
		d.Tick = f.Flag("take_"+s.ID, &d.taken)
		f.relabel(d.Tick, d.Name)
		if s.Kind == records.KindCut {
			d.Take = f.Mass("much_"+s.ID, &d.mass, &d.entered, optional)
		} else {
			d.Take = f.Volume("much_"+s.ID, &d.volume, &d.entered, optional)
		}
		f.relabel(d.Take, f.words.say("kettle_page.take_of", "Name", d.Name)).Label = f.words.say("kettle_page.how_much")
		d.Take.Help = f.words.say("kettle_page.blank_all_unknown")
		if s.Left != nil || s.Counted != "" {
			d.Take.Help = f.words.say("kettle_page.blank_all", "Left", w.stockLeft(s))
		}
		list[i] = d
	}
	return list
}

// ticked are what was ticked, or given an amount.
func ticked(list []*drawField, estimated bool) []records.Draw {
	var draws []records.Draw
	for _, d := range list {
		typed := d.mass != nil || d.volume != nil
		if d.taken || typed {
			draws = append(draws, records.Draw{FromID: d.Stock.ID, Mass: d.mass, Volume: d.volume, Entered: d.entered, Estimated: estimated && typed})
		}
	}
	return draws
}

// offered adds to the stocks what was ticked on a form that stood open: it may be used up by now, and the store says so.
func (a *App) offered(ctx context.Context, f *form, stocks []records.Stock) ([]records.Stock, error) {
	var ids []string
	for name, values := range f.raw {
		id, ok := strings.CutPrefix(name, "take_")
		if ok && len(values) > 0 && values[0] != "" && !slices.ContainsFunc(stocks, func(s records.Stock) bool { return s.ID == id }) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		stock, err := a.store.StockOf(ctx, id, f.now)
		if errors.Is(err, records.ErrNotFound) {
			return nil, records.Invalid{{Field: "from_id", Key: "invalid.pick"}}
		}
		if err != nil {
			return nil, err
		}
		stocks = append(stocks, stock)
	}
	return stocks, nil
}

// takeDraws puts the store's refusals at the stock they name; others go the way of form.take. It tells whether it did.
func (f *form) takeDraws(list []*drawField, err error) bool {
	var faults, rest records.Invalid
	if !errors.As(err, &faults) {
		return false
	}
	for _, fault := range faults {
		if d := drawNamed(list, fault); d != nil {
			f.wrong(d.Take, fault.Key, fault.Args...)
		} else {
			rest = append(rest, fault)
		}
	}
	return len(rest) == 0 || f.take(rest)
}

// drawNamed finds the stock a refusal is about, where it is about an amount.
func drawNamed(list []*drawField, fault records.FieldError) *drawField {
	if fault.Field != "quantity" && fault.Field != "from_id" {
		return nil
	}
	for i := 0; i+1 < len(fault.Args); i += 2 {
		for _, d := range list {
			if fault.Args[i] == "Name" && fault.Args[i+1] == d.Stock.Name {
				return d
			}
		}
	}
	return nil
}

// stockName names a stock with its kind: "pressing 2025-12-07, 1".
func (w words) stockName(s records.Stock) string {
	if s.Kind == records.KindTank {
		return s.Name
	}
	return w.say("trail."+string(s.Kind), "Name", s.Name)
}

// stockLeft says what is left: cane by mass, juice and syrup by volume with their solids.
func (w words) stockLeft(s records.Stock) string {
	switch {
	case s.Left == nil && s.Counted != "":
		return s.Counted
	case s.Left == nil:
		return w.say("mill_page.amount_unknown")
	case s.Empty():
		return w.say("mill_page.nothing_left")
	}
	amount, _ := w.mass(*s.Left)
	if s.Volume != nil {
		amount, _ = w.volume(*s.Volume)
	}
	if s.Solids == nil {
		return amount
	}
	solids, _ := w.percent(*s.Solids)
	return w.say("mill_page.at_solids", "Amount", amount, "Solids", solids)
}
