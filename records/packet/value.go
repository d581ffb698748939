package packet

import (
	"strconv"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// value shows a stored column to a reader: records by name, times in the house's zone, quantities in the chosen units.
func (r *reader) value(w words, kind records.Kind, column, stored string) string {
	switch {
	case stored == "":
		return ""
	case stored == "true" || stored == "false":
		b := stored == "true"
		return yesNo(&b)
	case strings.HasSuffix(column, "_id"):
		return r.name(stored)
	}
	if t, err := time.Parse(time.RFC3339Nano, stored); err == nil {
		return w.moment(t)
	}
	unit, ok := unitOfColumn[string(kind)+"."+column]
	x, err := strconv.ParseFloat(stored, 64)
	if !ok || err != nil {
		return stored
	}
	switch unit {
	case "C":
		return quantity(w, "", &x, hazards.UnitCelsius)
	case "L":
		return quantity(w, "", &x, hazards.UnitLiters)
	case "kg":
		return quantity(w, "", &x, hazards.UnitKilograms)
	case "g":
		return quantity(w, "", &x, hazards.UnitGrams)
	case "mL":
		return w.contents("", syrup.Milliliters(x))
	}
	return stored + " " + unit
}
