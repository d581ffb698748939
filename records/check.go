package records

import (
	"errors"
	"math"
	"slices"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/labels"
)

// checks gathers every wrong field of a fact, so that a person sees them all at once.
type checks struct{ wrong Invalid }

func (c *checks) add(field, key string, args ...any) {
	c.wrong = append(c.wrong, FieldError{field, key, args})
}

func (c *checks) err() error {
	if len(c.wrong) == 0 {
		return nil
	}
	return c.wrong
}

// need refuses a blank text, and any text the store cannot keep or the printer cannot draw.
func (c *checks) need(field, value string) {
	if strings.TrimSpace(value) == "" {
		c.add(field, "invalid.required")
		return
	}
	c.text(field, value)
}

const maxText = 4000

func (c *checks) text(field, value string) {
	if len(value) > maxText {
		c.add(field, "invalid.long", "Max", maxText)
	}
	for _, r := range value {
		if r > 0xFFFF || r == 0 || r == '\uFFFD' {
			c.add(field, "invalid.rune", "Rune", string(r))
			return
		}
	}
}

// printable refuses a text of a label that holds a character the printed font lacks, and names it.
func (c *checks) printable(field, value string) {
	if !c.has(field) {
		c.text(field, value)
	}
	var lacking labels.Unprintable
	for line := range strings.Lines(value) {
		if _, err := labels.Printable(line); !c.has(field) && errors.As(err, &lacking) {
			c.add(field, "invalid.rune", "Rune", string(lacking.Character))
		}
	}
}

// has tells whether something is wrong with a field already.
func (c *checks) has(field string) bool {
	return slices.ContainsFunc(c.wrong, func(w FieldError) bool { return w.Field == field })
}

func (c *checks) oneOf(field, value string, allowed ...string) {
	if !slices.Contains(allowed, value) {
		c.add(field, "invalid.choice")
	}
}

func (c *checks) day(field string, d Day) {
	if d == "" {
		c.add(field, "invalid.required")
	} else if !d.Valid() {
		c.add(field, "invalid.day")
	}
}

func (c *checks) optionalDay(field string, d Day) {
	if d != "" && !d.Valid() {
		c.add(field, "invalid.day")
	}
}

func (c *checks) moment(field string, t time.Time) {
	if t.IsZero() {
		c.add(field, "invalid.required")
	}
}

func (c *checks) whole(field string, n, lo, hi int) {
	if n < lo || n > hi {
		c.add(field, "invalid.between", "Min", lo, "Max", hi)
	}
}

// plausible refuses what lies outside the hard bound of a number of the batch sheet (package hazards).
func plausible[F ~float64](c *checks, field, code string, v *F, unit string) {
	low, high := hazards.HardRange(code)
	within(c, field, v, F(low), F(high), unit)
}

// plausibleWhole is plausible for a count.
func (c *checks) plausibleWhole(field, code string, n int) {
	low, high := hazards.HardRange(code)
	c.whole(field, n, int(low), int(high))
}

// within refuses what is not finite or lies outside the hard bounds of the trade (trade.md section 2).
func within[F ~float64](c *checks, field string, v *F, lo, hi F, unit string) {
	if v == nil {
		return
	}
	if math.IsNaN(float64(*v)) || *v < lo || *v > hi {
		if unit == "" {
			c.add(field, "invalid.between", "Min", float64(lo), "Max", float64(hi))
			return
		}
		c.add(field, "invalid.range", "Min", float64(lo), "Max", float64(hi), "Unit", unit)
	}
}
