package app

import (
	"context"
	"slices"
	"strings"

	"canewright/records"
)

// instrumentsFor stands before what an instrument measures, in place of a kind, when a form lists only those.
const instrumentsFor = "instrument/"

// instruments lists the instruments that measure one thing, as records.MeasuresTemperature. The one in chosen stays in
// the list whatever it measures, so that an amendment never loses it.
func (f *form) instruments(measures string, chosen *string) []Choice {
	choices := f.choices(records.Kind(instrumentsFor + measures))
	if chosen == nil || slices.ContainsFunc(choices, func(c Choice) bool { return c.Value == *chosen }) {
		return choices
	}
	for _, c := range f.choices(records.KindInstrument) {
		if c.Value == *chosen {
			choices = append(slices.Clone(choices), c)
		}
	}
	return choices
}

// instrumentChoices reads the instruments a pseudo kind of instrumentsFor asks for; false for any other kind.
func (a *App) instrumentChoices(ctx context.Context, kind records.Kind) ([]Choice, bool, error) {
	measures, ok := strings.CutPrefix(string(kind), instrumentsFor)
	if !ok {
		return nil, false, nil
	}
	list, err := records.List[records.Instrument](ctx, a.store, "measures = ? ORDER BY name, id", measures)
	choices := make([]Choice, len(list))
	for i, instrument := range list {
		choices[i] = Choice{Value: instrument.ID, Name: instrument.Name}
	}
	return choices, true, err
}
