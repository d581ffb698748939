package hazards

import (
	"fmt"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// LimitsVersion names the reference limits as they stand in this program; findings keep it.
const LimitsVersion = "limits/1"

// checkedOn is the day the sources of the reference limits were last gone through.
const checkedOn Day = "2026-11-25"

// Limit is a number with unit, source, who set it and when.
type Limit struct {
	Code      string
	Value     float64
	Unit      Unit
	Least     bool // the least allowed; else the most allowed
	Own       bool // guidance: a house limit with a source may stand on either side of it
	Source    string
	CheckedOn Day
	Version   string
	House     bool // set by the house
}

// Codes of the limits.
const (
	LimitCane           = "solids.cane"
	LimitTable          = "solids.table"
	LimitThick          = "solids.thick"
	LimitVeryThick      = "solids.very_thick"
	LimitCapping        = "fill.capping"
	LimitTankLow        = "fill.tank_low"
	LimitTankHigh       = "fill.tank_high"
	LimitInterval       = "fill.interval"
	LimitInverted       = "fill.inverted"
	LimitHeadroom       = "fill.headroom"
	LimitTogether       = "fill.together"
	LimitThermometer    = "thermometer.unknown"
	LimitBaumeSlip      = "reading.baume_slip"
	LimitBrixSlip       = "reading.brix_slip"
	LimitReadingHot     = "reading.hot"
	LimitRefractometer  = "refractometer.hot"
	LimitCaneWarmHours  = "cane.warm_hours"
	LimitCaneWarm       = "cane.warm"
	LimitCaneHours      = "cane.hours"
	LimitCaneOver       = "cane.hours_over"
	LimitCaneFrozen     = "cane.frozen_hours"
	LimitFreezeInspect  = "freeze.inspect"
	LimitFreezeDamaged  = "freeze.damaged"
	LimitDrawJuice      = "draw.juice"
	LimitDrawSyrup      = "draw.syrup"
	LimitDrawRefuse     = "draw.refuse"
	LimitBalanceBottled = "balance.bottling"
	LimitBalanceLabels  = "balance.labels"
	LimitBalanceLow     = "balance.boil_low"
	LimitBalanceHigh    = "balance.boil_high"
	LimitCompare        = "compare.apart"
	LimitWaterActivity  = "shelf.water_activity"
	LimitUsualActivity  = "shelf.usual_activity"
	LimitSulfite        = "sulfite.declared_from"
	LimitSugaringSolids = "shelf.sugaring_solids"
	LimitReducingSugar  = "shelf.reducing_sugar"
)

// Citations used by more than one limit.
const (
	practice = "source.common_practice"
	ourRule  = "source.own_rule"
)

// fahrenheit is a limit's value in C of a temperature the trade gives in F.
func fahrenheit(f syrup.Fahrenheit) float64 { return float64(f.Celsius()) }

// Reference lists the reference limits, each with its source.
func Reference() []Limit {
	list := []Limit{
		{Code: LimitCane, Value: 74, Unit: UnitSolids, Least: true, Source: "21 CFR 168.130(a)"},
		{Code: LimitTable, Value: 65, Unit: UnitSolids, Least: true, Source: "21 CFR 168.180(a)"},
		// Above 75 Brix unless reducing sugars exceed 15 %; the 1 % more is our margin.
		{Code: LimitThick, Value: 76, Unit: UnitSolids, Own: true, Source: "FAO INPhO, Sugarcane Syrup (2007)"},
		{Code: LimitVeryThick, Value: 80, Unit: UnitSolids, Own: true, Source: practice},
		{Code: LimitCapping, Value: fahrenheit(180), Unit: UnitCelsius, Least: true, Own: true,
			Source: "Ontario maple manual D.6.3; OMAFRA 2014; CFIA, maple syrup packing"},
		{Code: LimitTankLow, Value: fahrenheit(180), Unit: UnitCelsius, Least: true, Own: true, Source: practice},
		{Code: LimitTankHigh, Value: fahrenheit(205), Unit: UnitCelsius, Own: true, Source: practice},
		{Code: LimitInterval, Value: 60, Unit: UnitMinutes, Own: true, Source: practice},
		// What a bottle is filled over the least weight: about what half a percent of solids would change (our choice).
		{Code: LimitHeadroom, Value: 0.5, Unit: UnitPercent, Least: true, Own: true, Source: ourRule},
		{Code: LimitInverted, Value: 30, Unit: UnitSeconds, Least: true, Own: true, Source: practice},
		{Code: LimitTogether, Value: 10, Unit: UnitMinutes, Own: true, Source: ourRule},
		// Within 2 F of true is what thermometer guides ask for; assumed where an instrument's own is not known.
		{Code: LimitThermometer, Value: float64(syrup.FahrenheitDelta(2).Celsius()), Unit: UnitCelsiusDelta, Own: true,
			Source: practice},
		{Code: LimitBaumeSlip, Value: 45, Unit: UnitBaume, Own: true, Source: practice},
		{Code: LimitBrixSlip, Value: 25, Unit: UnitBrix, Least: true, Own: true, Source: practice},
		{Code: LimitReadingHot, Value: fahrenheit(232), Unit: UnitCelsius, Own: true, Source: practice},
		{Code: LimitRefractometer, Value: 30, Unit: UnitCelsius, Source: "OIV, Table I"},
		{Code: LimitCaneWarmHours, Value: 24, Unit: UnitHours, Own: true, Source: "Saxena et al. 2010, AJCS 4(9):692"},
		{Code: LimitCaneWarm, Value: fahrenheit(70), Unit: UnitCelsius, Own: true, Source: practice},
		{Code: LimitCaneHours, Value: 48, Unit: UnitHours, Own: true, Source: "Saxena et al. 2010, AJCS 4(9):692"},
		{Code: LimitCaneOver, Value: 96, Unit: UnitHours, Own: true, Source: "dextran study on variety Co 6806"},
		{Code: LimitCaneFrozen, Value: 48, Unit: UnitHours, Own: true, Source: practice},
		{Code: LimitFreezeInspect, Value: fahrenheit(28), Unit: UnitCelsius, Least: true, Own: true,
			Source: "Legendre, LSU AgMag 2001; Legendre et al. 2007"},
		{Code: LimitFreezeDamaged, Value: fahrenheit(25), Unit: UnitCelsius, Least: true, Own: true,
			Source: "Legendre, LSU AgMag 2001; Legendre et al. 2007"},
		{Code: LimitDrawJuice, Value: 3, Unit: UnitPercent, Own: true, Source: ourRule},
		{Code: LimitDrawSyrup, Value: 2, Unit: UnitPercent, Own: true, Source: ourRule},
		{Code: LimitDrawRefuse, Value: 20, Unit: UnitPercent, Source: ourRule},
		{Code: LimitBalanceBottled, Value: 3, Unit: UnitPercent, Own: true, Source: practice},
		{Code: LimitBalanceLabels, Value: 2, Unit: UnitPercent, Own: true, Source: practice},
		{Code: LimitBalanceLow, Value: 85, Unit: UnitPercent, Least: true, Own: true, Source: practice},
		{Code: LimitBalanceHigh, Value: 102, Unit: UnitPercent, Own: true, Source: practice},
		{Code: LimitCompare, Value: 3, Unit: UnitSolids, Own: true, Source: practice},
		// At or under 0.85 a food is outside both parts; from memory, high confidence.
		{Code: LimitWaterActivity, Value: 0.85, Unit: UnitActivity, Source: "21 CFR 113.3(n), 114.3(b)"},
		{Code: LimitUsualActivity, Value: 0.82, Unit: UnitActivity, Own: true, Source: practice},
		// The limit itself is declared; see SulfiteDeclared.
		{Code: LimitSulfite, Value: 10, Unit: UnitPPM, Source: "21 CFR 130.9; 21 CFR 101.100(a)(4)"},
		{Code: LimitSugaringSolids, Value: 75, Unit: UnitSolids, Own: true, Source: "FAO INPhO, Sugarcane Syrup (2007)"},
		{Code: LimitReducingSugar, Value: 12, Unit: UnitPercent, Least: true, Own: true, Source: practice},
	}
	for i := range list {
		list[i].CheckedOn, list[i].Version = checkedOn, LimitsVersion
	}
	return list
}

// Limits holds the reference limits with the house's own beside them. The zero value has no house limit.
type Limits struct{ house map[string]Limit }

// NewLimits sets the house's limits beside the reference ones, brought to their units. Which side is the allowed one
// follows from the reference. The error names a limit that does not exist or is in another unit.
func NewLimits(house ...Limit) (Limits, error) {
	l := Limits{house: map[string]Limit{}}
	for _, h := range house {
		r, ok := l.reference(h.Code)
		if !ok {
			return Limits{}, fmt.Errorf("limit %s: not one of ours; pick from the list of limits", h.Code)
		}
		h, ok = h.in(r.Unit)
		if !ok {
			return Limits{}, fmt.Errorf("limit %s: is in %s, not %q", h.Code, r.Unit, h.Unit)
		}
		h.Least, h.Own, h.House = r.Least, r.Own, true
		l.house[h.Code] = h
	}
	return l, nil
}

// in brings a limit as the owner wrote it, 185 F or 74.5 %, to the unit it is judged in; false where it cannot be. Degrees
// are a difference where the limit is one.
func (l Limit) in(unit Unit) (Limit, bool) {
	switch {
	case l.Unit == unit:
		return l, true
	case l.Unit == UnitFahrenheit && unit == UnitCelsius:
		l.Value = fahrenheit(syrup.Fahrenheit(l.Value))
	case l.Unit == UnitFahrenheit && unit == UnitCelsiusDelta:
		l.Value = float64(syrup.FahrenheitDelta(l.Value).Celsius())
	case l.Unit == UnitCelsius && unit == UnitCelsiusDelta, l.Unit == UnitPercent && unit == UnitSolids:
	default:
		return l, false
	}
	l.Unit = unit
	return l, true
}

// Pair gives both limits of a code, the house's nil when there is none.
func (l Limits) Pair(code string) (reference Limit, house *Limit) {
	reference, _ = l.reference(code)
	if h, ok := l.house[code]; ok {
		house = &h
	}
	return reference, house
}

// Judged is the limit that judges: the house's where it is the stricter one, or where the reference is guidance and the
// house names a source; else the reference. A rule of law is never loosened.
func (l Limits) Judged(code string) Limit {
	reference, house := l.Pair(code)
	if house != nil && (house.stricter(reference) || reference.Own && house.Source != "") {
		return *house
	}
	return reference
}

// stricter tells whether l leaves less room than m.
func (l Limit) stricter(m Limit) bool {
	if l.Least {
		return l.Value > m.Value
	}
	return l.Value < m.Value
}

// Passed tells whether x is on the allowed side; the limit itself is allowed.
func (l Limit) Passed(x float64) bool {
	if l.Least {
		return x >= l.Value
	}
	return x <= l.Value
}

// value is the limit as a finding's value.
func (l Limit) value() *Value { return &Value{Number: l.Value, Unit: l.Unit} }

// Words is the limit's number with its unit, in a language and "us" or "metric" units.
func (l Limit) Words(lang text.Language, units string) string { return l.value().exact(lang, units) }

// SourceWords is where the limit is from; one written as a catalogue key is looked up.
func (l Limit) SourceWords(lang text.Language) string { return sourceWords(lang, l.Source) }

func (Limits) reference(code string) (Limit, bool) {
	r, ok := references[code]
	return r, ok
}

// references is Reference by code; it is made once and never changed.
var references = func() map[string]Limit {
	m := map[string]Limit{}
	for _, r := range Reference() {
		m[r.Code] = r
	}
	return m
}()
