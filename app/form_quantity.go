package app

import (
	"math"
	"slices"
	"strings"

	"canewright/hazards/syrup"
)

// measure is how a quantity is typed: the units offered, US and metric first choice, and the way to its canonical unit.
type measure[T ~float64] struct {
	units      []string
	us, metric string
	from       func(float64, string) (T, error)
	signed     bool
}

// unitKeys are the texts of the units a form may offer.
var unitKeys = map[string]string{
	"F": "unit.fahrenheit", "C": "unit.celsius", "gal": "unit.gallon", "qt": "unit.quart", "pt": "unit.pint",
	"floz": "unit.fluid_ounce", "L": "unit.liter", "mL": "unit.milliliter", "lb": "unit.pound", "oz": "unit.ounce",
	"kg": "unit.kilogram", "g": "unit.gram", "ton": "unit.ton", "ft": "unit.foot", "m": "unit.meter",
	"acre": "unit.acre", "ha": "unit.hectare",
	"in": "unit.inch", "mm": "unit.millimeter", "cm": "unit.centimeter",
	"kPa": "unit.kilopascal", "hPa": "unit.hectopascal", "inHg": "unit.inch_mercury", "psi": "unit.psi",
	"g/mL": "unit.gram_per_milliliter", "kg/L": "unit.kilogram_per_liter", "kg/m3": "unit.kilogram_per_cubic_meter", "lb/gal": "unit.pound_per_gallon",
}

// acresPerHectare: 10,000 square meters over the international acre of 4046.8564224, exact by definition.
const acresPerHectare = 10000 / 4046.8564224

// Temperature binds a temperature and the text as entered ("220 F").
func (f *form) Temperature(name string, to **syrup.Celsius, entered *string, n need) *Field {
	return quantityField(f, name, measure[syrup.Celsius]{[]string{"F", "C"}, "F", "C", syrup.TemperatureFrom, true}, to, entered, n)
}

// Volume binds a volume of juice or syrup.
func (f *form) Volume(name string, to **syrup.Liters, entered *string, n need) *Field {
	return quantityField(f, name, measure[syrup.Liters]{[]string{"gal", "qt", "pt", "floz", "L", "mL"}, "gal", "L", syrup.VolumeFrom, false}, to, entered, n)
}

// Contents binds the volume a bottle holds.
func (f *form) Contents(name string, to **syrup.Milliliters, entered *string, n need) *Field {
	from := func(x float64, unit string) (syrup.Milliliters, error) {
		v, err := syrup.VolumeFrom(x, unit)
		return v.Milliliters(), err
	}
	return quantityField(f, name, measure[syrup.Milliliters]{[]string{"floz", "pt", "qt", "gal", "mL", "L"}, "floz", "mL", from, false}, to, entered, n)
}

// Mass binds the mass of cane or syrup.
func (f *form) Mass(name string, to **syrup.Kilograms, entered *string, n need) *Field {
	return quantityField(f, name, measure[syrup.Kilograms]{[]string{"lb", "ton", "kg"}, "lb", "kg", syrup.MassFrom, false}, to, entered, n)
}

// Grams binds a small mass: a bottle's net weight, an addition.
func (f *form) Grams(name string, to **syrup.Grams, entered *string, n need) *Field {
	from := func(x float64, unit string) (syrup.Grams, error) {
		m, err := syrup.MassFrom(x, unit)
		return m.Grams(), err
	}
	return quantityField(f, name, measure[syrup.Grams]{[]string{"g", "oz", "lb", "kg"}, "oz", "g", from, false}, to, entered, n)
}

// Length binds a length or a height above the sea.
func (f *form) Length(name string, to **syrup.Meters, entered *string, n need) *Field {
	return quantityField(f, name, measure[syrup.Meters]{[]string{"ft", "m"}, "ft", "m", syrup.LengthFrom, true}, to, entered, n)
}

// Area binds a piece of field in acres.
func (f *form) Area(name string, to **float64, entered *string, n need) *Field {
	from := func(x float64, unit string) (float64, error) {
		if unit == "ha" {
			x *= acresPerHectare
		}
		if x < 0 {
			return 0, syrup.RangeError{Got: x, Min: 0, Max: math.Inf(1)}
		}
		return x, nil
	}
	return quantityField(f, name, measure[float64]{[]string{"acre", "ha"}, "acre", "ha", from, false}, to, entered, n)
}

// quantityField binds a number and its unit: the canonical value to to, what was typed to entered (nil: not kept).
func quantityField[T ~float64](f *form, name string, m measure[T], to **T, entered *string, n need) *Field {
	field := f.field(name, "quantity", n)
	field.Signed = m.signed
	unit := m.us
	if f.words.units == "metric" {
		unit = m.metric
	}
	if f.reading() {
		unit = f.raw.Get(name + "_unit")
		readQuantity(f, field, m, unit, to, entered)
	} else if *to != nil {
		field.Value, unit = m.write(**to, entered, unit)
		field.Shown = field.Value + noBreak + f.words.say(unitKeys[unit])
	}
	for _, u := range m.units {
		field.Units = append(field.Units, Choice{Value: u, Name: f.words.say(unitKeys[u]), Chosen: u == unit})
	}
	return field
}

// readQuantity parses number and unit; nothing typed is nil, not zero.
func readQuantity[T ~float64](f *form, field *Field, m measure[T], unit string, to **T, entered *string) {
	*to = nil
	if entered == nil {
		entered = new(string)
	}
	*entered = ""
	if f.blank(field) {
		return
	}
	x, err := syrup.ParseNumber(field.Value)
	if err != nil {
		f.wrongNumber(field, err)
		return
	}
	if !slices.Contains(m.units, unit) {
		f.wrong(field, "invalid.unit")
		return
	}
	value, err := m.from(x, unit)
	if err != nil {
		f.wrongNumber(field, err)
		return
	}
	*to, *entered = &value, field.Value+" "+unit
}

// write gives number and unit to show: as entered where that is known, else worked out in the person's unit.
func (m measure[T]) write(value T, entered *string, unit string) (string, string) {
	if entered != nil {
		number, typed, ok := strings.Cut(*entered, " ")
		if ok && slices.Contains(m.units, typed) {
			return number, typed
		}
	}
	zero, _ := m.from(0, unit)
	one, _ := m.from(1, unit)
	return plainNumber(math.Round(float64((value-zero)/(one-zero))*100) / 100), unit
}
