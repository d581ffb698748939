package records

import (
	"context"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// MethodBoilingWater is the check that gives a thermometer its zero of the day for hot work. A check in ice gives none: it
// is 180 F away from the work.
const MethodBoilingWater = "boiling_water"

// zeroOf is what a boiling-water check of a thermometer says; false for any other check.
func (k InstrumentCheck) zeroOf() (hazards.ZeroFacts, bool) {
	if k.Method != MethodBoilingWater || k.Unit != "F" && k.Unit != "C" {
		return hazards.ZeroFacts{}, false
	}
	expected, read := syrup.Celsius(k.Expected), syrup.Celsius(k.Read)
	if k.Unit == "F" {
		expected, read = syrup.Fahrenheit(k.Expected).Celsius(), syrup.Fahrenheit(k.Read).Celsius()
	}
	return hazards.ZeroFacts{CheckID: k.ID, At: k.At, Water: expected, Off: read.Sub(expected)}, true
}

// zero is the zero of a thermometer for a reading at a moment: of the boiling-water checks it passed that house day the
// latest not after the reading, else the first after it (our choice). The latest before, because that is how the
// thermometer stood as it was read; a later one only where the day began without, since a probe that is checked after the
// work is still better known than one that is not. Another day's check says nothing: the water boils otherwise, and a probe
// drifts. A check that failed gives no zero: its whole error is taken off instead (see instrument).
func (g *gathered) zero(id string, at time.Time) *hazards.ZeroFacts {
	var zero *hazards.ZeroFacts
	for _, k := range g.checks[id] { // in order of time
		z, ok := k.zeroOf()
		if !ok || !k.Passed || DayOf(k.At, g.zone()) != DayOf(at, g.zone()) {
			continue
		}
		if zero != nil && k.At.After(at) {
			break
		}
		zero = &z
	}
	return zero
}

// zone is the house's; read when a judgement of one reading did not read the rules.
func (g *gathered) zone() *time.Location {
	if g.rules.Zone == nil {
		g.rules.Zone = zoneOf(g.ctx, g.src)
	}
	return g.rules.Zone
}

// asFound is the error a reading at a moment is judged with: found by the next check at or after it, or by the last one
// before it where none has passed in between (trade.md 4.5). Nil when neither failed.
func (g *gathered) asFound(id string, at time.Time) *float64 {
	var before *InstrumentCheck
	for i, k := range g.checks[id] { // in order of time
		if k.At.Before(at) {
			before = &g.checks[id][i]
			continue
		}
		if !k.Passed {
			return k.error()
		}
		break
	}
	if before != nil && !before.Passed {
		return before.error()
	}
	return nil
}

// waterThatDay is what the same thermometer read in boiling water on the day of an entry; nil when nobody looked, or when
// the look failed.
func (g *gathered) waterThatDay(e *BoilEntry) *syrup.Celsius {
	if e.InstrumentID == nil {
		return nil
	}
	zero := g.zero(*e.InstrumentID, e.At)
	if zero == nil {
		return nil
	}
	read := zero.Water + syrup.Celsius(zero.Off)
	return &read
}

// pressureThatDay is the pressure at the house on the day of an entry: what the day's boiling-water check says of it, else
// that of the height; nil when neither is known.
func (g *gathered) pressureThatDay(e *BoilEntry) *syrup.Kilopascals {
	if e.InstrumentID != nil {
		if zero := g.zero(*e.InstrumentID, e.At); zero != nil {
			if p, err := syrup.SaturationPressure(zero.Water); err == nil {
				return &p
			}
		}
	}
	if g.house.Altitude == nil {
		return nil
	}
	p, err := syrup.PressureAtAltitude(*g.house.Altitude)
	if err != nil {
		return nil
	}
	return &p
}

// ThermometersChecked lists which thermometers passed a check in boiling water on the house day of a moment.
func ThermometersChecked(ctx context.Context, src Source, at time.Time) (map[string]bool, error) {
	start, end := dayAround(at, zoneOf(ctx, src))
	checks, err := List[InstrumentCheck](ctx, src, "method = ? AND at >= ? AND at < ? AND passed", MethodBoilingWater, start, end)
	checked := map[string]bool{}
	for _, k := range checks {
		checked[k.InstrumentID] = true
	}
	return checked, err
}

// dayAround is the first moment of the house day of a moment, and of the next.
func dayAround(at time.Time, zone *time.Location) (start, end time.Time) {
	y, m, d := at.In(zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, zone).UTC(), time.Date(y, m, d+1, 0, 0, 0, 0, zone).UTC()
}
