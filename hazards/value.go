package hazards

import (
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// Unit says what the number or the text of a value is.
type Unit string

// The units of values. Numbers are in these units whatever was typed.
const (
	UnitSolids       Unit = "percent_solids"
	UnitPercent      Unit = "percent"
	UnitCelsius      Unit = "celsius"
	UnitCelsiusDelta Unit = "celsius_delta"
	UnitFahrenheit   Unit = "fahrenheit" // only as a limit is written
	UnitLiters       Unit = "liters"
	UnitKilograms    Unit = "kilograms"
	UnitGrams        Unit = "grams"
	UnitBaume        Unit = "baume"
	UnitBrix         Unit = "brix"
	UnitHours        Unit = "hours"
	UnitMinutes      Unit = "minutes"
	UnitSeconds      Unit = "seconds"
	UnitDays         Unit = "days"
	UnitBottles      Unit = "bottles"
	UnitDay          Unit = "day"    // text, 2006-01-02
	UnitMoment       Unit = "moment" // text, RFC 3339 with the house's offset
	UnitClock        Unit = "clock"  // the same, of which the time of day is shown
	UnitName         Unit = "name"   // text as somebody wrote it
	UnitKeys         Unit = "keys"   // text, catalogue keys apart by spaces
)

// Value is a measured or set value: a number, or a text for days, moments and names.
type Value struct {
	Number      float64  `json:"number,omitempty"`
	Text        string   `json:"text,omitempty"`
	Unit        Unit     `json:"unit"`
	Uncertainty *float64 `json:"uncertainty,omitempty"` // in the same unit
}

func number(x float64, unit Unit) Value { return Value{Number: x, Unit: unit} }
func degrees(t syrup.Celsius) Value     { return Value{Number: float64(t), Unit: UnitCelsius} }
func named(name string) Value           { return Value{Text: name, Unit: UnitName} }
func keys(keys ...string) Value         { return Value{Text: strings.Join(keys, " "), Unit: UnitKeys} }
func day(d Day) Value                   { return Value{Text: string(d), Unit: UnitDay} }
func moment(t time.Time, z *time.Location) Value {
	return Value{Text: t.In(z).Format(time.RFC3339), Unit: UnitMoment}
}

// clockOf is a moment of which the time of day is enough.
func clockOf(t time.Time, z *time.Location) Value {
	v := moment(t, z)
	v.Unit = UnitClock
	return v
}

// solidsValue is a percentage with its uncertainty.
func solidsValue(s syrup.Solids) Value {
	u := float64(s.Uncertainty)
	return Value{Number: float64(s.Percent), Unit: UnitSolids, Uncertainty: &u}
}

// scaleUnit is the unit of a hydrometer or refractometer scale.
func scaleUnit(s syrup.Scale) Unit {
	if s == syrup.ScaleBrix {
		return UnitBrix
	}
	return UnitBaume
}

// Words is the value in a language, in "us" or "metric" units, with one decimal; a value that is not there says "not
// recorded".
func (v *Value) Words(lang text.Language, units string) string { return v.words(lang, units, 1) }
