package app

import (
	"errors"
	"math"
	"strconv"

	"canewright/hazards/syrup"
)

// Number binds a number that may be unknown, within lo and hi.
func (f *form) Number(name string, to **float64, lo, hi float64, n need) *Field {
	return numberOf(f, name, to, lo, hi, n)
}

// numberOf is Number for a unit type, as syrup.Brix.
func numberOf[T ~float64](f *form, name string, to **T, lo, hi float64, n need) *Field {
	field := f.field(name, "number", n)
	field.Signed = lo < 0
	if !f.reading() {
		if *to != nil {
			field.Value = plainNumber(float64(**to))
			field.Shown = field.Value
		}
		return field
	}
	*to = nil
	if f.blank(field) {
		return field
	}
	x, err := syrup.ParseNumber(field.Value)
	switch {
	case err != nil:
		f.wrongNumber(field, err)
	case x < lo || x > hi:
		f.wrong(field, "invalid.between", "Min", plainNumber(lo), "Max", plainNumber(hi))
	default:
		value := T(x)
		*to = &value
	}
	return field
}

// Count binds a whole number of things that may be unknown.
func (f *form) Count(name string, to **int, lo, hi int, n need) *Field {
	var x *float64
	if *to != nil {
		whole := float64(**to)
		x = &whole
	}
	field := f.Number(name, &x, float64(lo), float64(hi), n)
	if x != nil && *x != math.Trunc(*x) {
		f.wrong(field, "invalid.whole")
		x = nil
	}
	*to = nil
	if x != nil {
		whole := int(*x)
		*to = &whole
	}
	return field
}

// Whole binds a whole number that is always known. A new form starts blank unless the struct holds something.
func (f *form) Whole(name string, to *int, lo, hi int) *Field {
	var field *Field
	needed(f, to, func(p **int) { field = f.Count(name, p, lo, hi, required) })
	return field
}

// needed lends a plain value to a method for values that may be unknown: blank on a new form while it is zero.
func needed[T comparable](f *form, to *T, bind func(**T)) {
	var zero T
	var p *T
	if !f.fresh() || *to != zero {
		value := *to
		p = &value
	}
	bind(&p)
	if p != nil {
		*to = *p
	}
}

// wrongNumber says what is wrong with a number or a quantity, and the form expected.
func (f *form) wrongNumber(field *Field, err error) {
	var input syrup.InputError
	var limit syrup.RangeError
	switch {
	case errors.As(err, &input) && input.Problem == syrup.InputComma:
		f.wrong(field, "invalid.comma")
	case errors.As(err, &input) && (input.Problem == syrup.InputNoUnit || input.Problem == syrup.InputUnknownUnit):
		f.wrong(field, "invalid.unit")
	case errors.As(err, &input) && input.Problem == syrup.InputTooLarge:
		f.wrong(field, "invalid.too_large")
	case errors.As(err, &limit) && limit.Min == 0 && limit.Got < 0:
		f.wrong(field, "invalid.negative")
	case errors.As(err, &limit) && (math.IsInf(limit.Max, 0) || limit.Max == math.MaxFloat64):
		f.wrong(field, "invalid.least", "Min", plainNumber(limit.Min), "Unit", limit.Unit)
	case errors.As(err, &limit):
		f.wrong(field, "invalid.range", "Min", plainNumber(limit.Min), "Max", plainNumber(limit.Max), "Unit", limit.Unit)
	default:
		f.wrong(field, "invalid.number")
	}
}

// plainNumber writes a number as a person would type it, without an exponent.
func plainNumber(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e6)/1e6, 'f', -1, 64)
}
