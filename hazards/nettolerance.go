package hazards

import (
	"fmt"
	"math"
	"slices"
)

// R87Tolerance is the tolerable deficiency T of OIML R 87 for a nominal content in mL or g, as printed in the Saint Lucia
// Metrology Act, Schedule 5. Percentages are rounded up to 0.1 up to 1000, to 1 above (from memory). Two bands give the
// same at the end they share. The error names the range.
func R87Tolerance(nominal float64) (float64, error) {
	switch {
	case !(nominal > 0) || math.IsInf(nominal, 1):
		return 0, fmt.Errorf("nominal content %v: expected more than 0", nominal)
	case nominal <= 50:
		return roundUp(nominal*0.09, 10), nil
	case nominal <= 100:
		return 4.5, nil
	case nominal <= 200:
		return roundUp(nominal*0.045, 10), nil
	case nominal <= 300:
		return 9, nil
	case nominal <= 500:
		return roundUp(nominal*0.03, 10), nil
	case nominal <= 1000:
		return 15, nil
	case nominal <= 10_000:
		return roundUp(nominal*0.015, 1), nil
	case nominal <= 15_000:
		return 150, nil
	}
	return roundUp(nominal*0.01, 1), nil
}

// roundUp rounds up to 1/parts, forgiving what a float64 adds to a figure that is exact in decimals.
func roundUp(x, parts float64) float64 { return math.Ceil(x*parts-1e-9) / parts }

// MAVRow is one line of a table of maximum allowable variations: for labels over Over up to UpTo, both in the table's unit.
type MAVRow struct {
	Over, UpTo float64
	MAV        float64
	Share      float64 // of the label, where the table gives a percentage in place of a variation; else 0
	Least      bool    // the lower end belongs to the row
	FromMemory bool    // not looked up: check the printed handbook before it is used as a US limit
}

// MAVTable is a table of maximum allowable variations with the edition it was taken from.
type MAVTable struct {
	Edition string
	Unit    Unit
	rows    []MAVRow
}

// NewMAVTable makes a table somebody entered. The error says which row does not fit: rows rise and do not overlap, and an
// edition is named.
func NewMAVTable(edition string, unit Unit, rows ...MAVRow) (MAVTable, error) {
	if edition == "" {
		return MAVTable{}, fmt.Errorf("table of variations: name the edition it is taken from")
	}
	last := 0.0
	for i, r := range rows {
		allowed := r.MAV > 0 && r.MAV < r.UpTo || r.MAV == 0 && r.Share > 0 && r.Share < 1
		if !(r.Over >= last && r.UpTo > r.Over && allowed) || math.IsInf(r.UpTo, 1) {
			return MAVTable{}, fmt.Errorf("table of variations, row %d: expected labels over %v up to more, and a variation between 0 and the label", i+1, last)
		}
		last = r.UpTo
	}
	return MAVTable{Edition: edition, Unit: unit, rows: rows}, nil
}

// Of finds the variation allowed for a label, worked out where the table gives a share; false where the table has no row for
// it.
func (t MAVTable) Of(label float64) (MAVRow, bool) {
	for _, r := range t.rows {
		if (label > r.Over || r.Least && label == r.Over) && label <= r.UpTo {
			if r.Share > 0 {
				r.MAV = r.Share * label
			}
			return r, true
		}
	}
	return MAVRow{}, false
}

// WeightMAV is Handbook 133, Table 2-5, for labels by weight in g. All of it is from memory; of its rows only 7 g at 113 g
// was confirmed elsewhere (metric-association mailing list).
func WeightMAV() MAVTable {
	rows := []MAVRow{{Over: 81, UpTo: 117, MAV: 7.2, Least: true}}
	for _, r := range [][2]float64{{154, 9.0}, {208, 10.8}, {263, 12.7}, {317, 14.5}, {381, 16.3}, {426, 18.1}, {489, 19.9}, {571, 21.7},
		{635, 23.5}, {698, 25.4}, {771, 27.2}, {852, 29.0}, {971, 31.7}, {1120, 35.3}} {
		rows = append(rows, MAVRow{Over: rows[len(rows)-1].UpTo, UpTo: r[0], MAV: r[1], FromMemory: true})
	}
	return MAVTable{Edition: "NIST Handbook 133, Table 2-5 (from memory)", Unit: UnitGrams, rows: rows}
}

// Rows lists the rows of a table.
func (t MAVTable) Rows() []MAVRow { return slices.Clone(t.rows) }

// VolumeMAV is Handbook 133, Table 2-6, for labels by volume: not given here, so the table is empty. The owner enters the
// row of the edition in force; until then R 87's tolerance is the maker's own action limit.
func VolumeMAV() MAVTable { return MAVTable{Unit: UnitMilliliters} }
