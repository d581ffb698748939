package packet

import (
	"strconv"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

// language of every document: inspectors' papers are in English.
const language = text.English

func say(key string, args ...any) string { return text.Say(language, key, args...) }

// words prints times in a zone and quantities in a system of units.
type words struct {
	units string
	zone  *time.Location
}

func (w words) day(d records.Day) string {
	if !d.Valid() {
		return ""
	}
	v := hazards.Value{Text: string(d), Unit: hazards.UnitDay}
	return v.Words(language, w.units)
}

func (w words) moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	v := hazards.Value{Text: t.In(w.zone).Format(time.RFC3339), Unit: hazards.UnitMoment}
	return v.Words(language, w.units)
}

// clock is the hour and minute, with the day where it is not the day of since.
func (w words) clock(t, since time.Time) string {
	clock := t.In(w.zone).Format("15:04")
	if records.DayOf(t, w.zone) != records.DayOf(since, w.zone) {
		return strings.TrimSuffix(w.day(records.DayOf(t, w.zone)), t.In(w.zone).Format(" 2006")) + " " + clock
	}
	return clock
}

// quantity is what was typed, with the value in the chosen units behind it where those are others. Nothing typed and
// no value is blank.
func quantity[F ~float64](w words, typed string, x *F, unit hazards.Unit) string {
	if x == nil {
		return typed
	}
	v := hazards.Value{Number: float64(*x), Unit: unit}
	return beside(typed, v.Words(language, w.units))
}

// beside puts a value as shown behind what was typed, unless both are in the same unit.
func beside(typed, shown string) string {
	if typed = strings.TrimSpace(typed); typed == "" {
		return shown
	}
	if sameUnit(typed, shown) {
		return typed
	}
	return typed + " (" + shown + ")"
}

// sameUnit compares the units two quantities end with.
func sameUnit(a, b string) bool {
	return strings.EqualFold(unitOf(a), unitOf(b))
}

func unitOf(s string) string {
	return strings.Trim(strings.TrimLeft(s, "0123456789.,-+ "), "° .")
}

func (w words) temperature(typed string, t *syrup.Celsius) string {
	return quantity(w, typed, t, hazards.UnitCelsius)
}

func (w words) volume(typed string, v *syrup.Liters) string {
	return quantity(w, typed, v, hazards.UnitLiters)
}

func (w words) mass(typed string, m *syrup.Kilograms) string {
	return quantity(w, typed, m, hazards.UnitKilograms)
}

// contents is a bottle's declared contents in both systems: a label carries both.
func (w words) contents(typed string, v syrup.Milliliters) string {
	metric := strconv.FormatFloat(float64(v), 'f', 0, 64) + " " + say("unit.milliliter")
	us := strconv.FormatFloat(float64(v.USFluidOunces()), 'f', 1, 64) + " " + say("unit.fluid_ounce")
	if w.units == hazards.Metric {
		return beside(typed, metric)
	}
	return beside(typed, us)
}

func (w words) solids(s *syrup.Solids) string {
	if s == nil {
		return ""
	}
	u := float64(s.Uncertainty)
	v := hazards.Value{Number: float64(s.Percent), Unit: hazards.UnitSolids, Uncertainty: &u}
	return estimated(v.Words(language, w.units))
}

// estimated marks a figure that a model made, or that somebody estimated.
func estimated(s string) string {
	if s == "" {
		return ""
	}
	return s + " (" + say("word.estimated") + ")"
}

func estimatedIf(s string, isEstimated bool) string {
	if isEstimated {
		return estimated(s)
	}
	return s
}

func yesNo(b *bool) string {
	switch {
	case b == nil:
		return ""
	case *b:
		return say("word.yes")
	}
	return say("word.no")
}

func decimal[F ~float64](x *F, decimals int) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(float64(*x), 'f', decimals, 64)
}

// orMissing says "not recorded" for a blank.
func orMissing(s string) string {
	if strings.TrimSpace(s) == "" {
		return say("word.not_recorded")
	}
	return s
}

// joined puts the parts that are not blank behind one another.
func joined(sep string, parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, sep)
}

// oneLine brings the lines of an address behind one another.
func oneLine(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\r' }), ", ")
}

// word looks a stored word up under a catalogue key; a word the catalogue lacks is shown as stored.
func word(area, stored string) string {
	if stored == "" {
		return ""
	}
	key := area + "." + stored
	if !text.Has(language, key) {
		return strings.ReplaceAll(stored, "_", " ")
	}
	return say(key)
}
