package hazards

import (
	"strings"

	"canewright/hazards/syrup"
)

// Slip is a likely mistake in a typed number; the catalogue's "slip.NAME" says it as a question.
type Slip string

// The slips, each "what was meant" _as_ "what it was taken for".
const (
	SlipCelsiusAsFahrenheit Slip = "celsius_as_fahrenheit"
	SlipFahrenheitAsCelsius Slip = "fahrenheit_as_celsius"
	SlipBrixAsBaume         Slip = "brix_as_baume"
	SlipBaumeAsBrix         Slip = "baume_as_brix"
	SlipHoursAsDays         Slip = "hours_as_days"
	SlipDaysAsHours         Slip = "days_as_hours"
	SlipMinutesAsHours      Slip = "minutes_as_hours"
	SlipMinutesAsSeconds    Slip = "minutes_as_seconds"
	SlipFractionAsPercent   Slip = "fraction_as_percent"
	SlipPercentAsFraction   Slip = "percent_as_fraction"
	SlipSquareFeetAsAcres   Slip = "square_feet_as_acres"
	SlipGallonsAndLiters    Slip = "gallons_and_liters"
	SlipCountedTwice        Slip = "counted_twice"
	SlipUpsideDown          Slip = "upside_down"
	SlipDecimalPoint        Slip = "decimal_point"
)

// Slips lists every slip there is.
func Slips() []Slip {
	return []Slip{SlipCelsiusAsFahrenheit, SlipFahrenheitAsCelsius, SlipBrixAsBaume, SlipBaumeAsBrix, SlipHoursAsDays,
		SlipDaysAsHours, SlipMinutesAsHours, SlipMinutesAsSeconds, SlipFractionAsPercent, SlipPercentAsFraction,
		SlipSquareFeetAsAcres, SlipGallonsAndLiters, SlipCountedTwice, SlipUpsideDown, SlipDecimalPoint}
}

// slipRule is a slip with what it would make of a number: the number meant. When that lies where it is expected, the slip
// is likely. of names the bound it is expected in, where that is not the number's own.
type slipRule struct {
	slip  Slip
	meant func(value float64, entered string) (float64, bool)
	of    string
}

// likely is the first slip that explains x.
func (b Bound) likely(x float64, entered string) Slip {
	for _, rule := range b.slips {
		expected := b.expected()
		if rule.of != "" {
			expected = bounds[rule.of].expected()
		}
		if meant, ok := rule.meant(x, entered); ok && expected.holds(meant) {
			return rule.slip
		}
	}
	return ""
}

// times is a slip by a fixed factor: meant = typed x factor.
func times(slip Slip, factor float64) slipRule {
	return slipRule{slip: slip, meant: func(x float64, _ string) (float64, bool) { return x * factor, true }}
}

// The slips of temperatures; a value is in C whatever was typed.
func temperatureSlips() []slipRule {
	return []slipRule{
		{slip: SlipCelsiusAsFahrenheit, meant: func(x float64, entered string) (float64, bool) {
			return float64(syrup.Celsius(x).Fahrenheit()), endsIn(entered, "F")
		}},
		{slip: SlipFahrenheitAsCelsius, meant: func(x float64, entered string) (float64, bool) {
			return fahrenheit(syrup.Fahrenheit(x)), endsIn(entered, "C")
		}},
	}
}

// endsIn tells whether a number was typed with this unit.
func endsIn(entered, unit string) bool {
	return strings.HasSuffix(strings.ToUpper(strings.TrimSpace(entered)), unit)
}

// brixAsBaume is a Brix number taken for Baume: the mark that belongs to it in the tables.
func brixAsBaume() slipRule {
	return slipRule{slip: SlipBrixAsBaume, meant: func(x float64, _ string) (float64, bool) {
		be, err := syrup.BaumeFromSolids(syrup.Brix(x), syrup.DefaultModulus)
		return float64(be), err == nil
	}}
}

// baumeAsBrix is a Baume number of juice taken for Brix: 10 Be is 18 Brix.
func baumeAsBrix() slipRule {
	return slipRule{slip: SlipBaumeAsBrix, meant: func(x float64, _ string) (float64, bool) {
		w, err := syrup.SolidsFromBaume(syrup.Baume(x), syrup.DefaultModulus)
		return float64(w), err == nil
	}}
}

// syrupBaumeAsBrix is a Baume number of syrup taken for Brix, hot or cold.
func syrupBaumeAsBrix() slipRule {
	return slipRule{slip: SlipBaumeAsBrix, of: BoundBaume, meant: func(x float64, _ string) (float64, bool) { return x, true }}
}

// decimalPoint is a point left out or set one place off.
func decimalPoint() []slipRule {
	return []slipRule{times(SlipDecimalPoint, 0.1), times(SlipDecimalPoint, 10)}
}

// gallonsAndLiters is a volume in one unit taken for the other.
func gallonsAndLiters() []slipRule {
	return []slipRule{times(SlipGallonsAndLiters, 1/litersPerGallon), times(SlipGallonsAndLiters, litersPerGallon)}
}

func upsideDown() slipRule {
	return slipRule{slip: SlipUpsideDown, meant: func(x float64, _ string) (float64, bool) { return 1 / x, x != 0 }}
}
