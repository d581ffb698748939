package hazards

import (
	"math"
	"strings"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// BoundsVersion names the plausibility bounds as they stand in this program; findings keep it.
const BoundsVersion = "bounds/1"

// Range is a span of plausible numbers, both ends included. A nil end is open.
type Range struct{ Low, High *float64 }

// holds tells whether x lies in the range; NaN never does.
func (r Range) holds(x float64) bool {
	return !math.IsNaN(x) && (r.Low == nil || x >= *r.Low) && (r.High == nil || x <= *r.High)
}

// Words is the range in a language and "us" or "metric" units: "10 to 24 °Brix", "at most 3"; blank when both ends are open.
func (r Range) Words(lang text.Language, units string, unit Unit) string {
	end := func(x *float64) string { return (&Value{Number: *x, Unit: unit}).exact(lang, units) }
	switch {
	case r.closed():
		low, high := end(r.Low), end(r.High)
		number, lowUnit, _ := strings.Cut(low, " ")
		if _, highUnit, _ := strings.Cut(high, " "); lowUnit == highUnit {
			low = number // the unit once
		}
		return text.Say(lang, "range.between", "Low", low, "High", high)
	case r.Low != nil:
		return text.Say(lang, "range.from", "Low", end(r.Low))
	case r.High != nil:
		return text.Say(lang, "range.to", "High", end(r.High))
	}
	return ""
}

// SourceWords is where the warning is from; one written as a catalogue key is looked up.
func (b Bound) SourceWords(lang text.Language) string { return sourceWords(lang, b.Source) }

// closed tells whether the range has both ends.
func (r Range) closed() bool { return r.Low != nil && r.High != nil }

// Bound is what one number on a batch sheet may plausibly be. What lies outside Warn is accepted with a reason; what
// lies outside Hard is refused as a slip. The catalogue names the number ("bound.CODE") and says what out of range means
// ("bound_means.CODE").
type Bound struct {
	Code        string
	Unit        Unit
	Usual       Range // what is typical
	Warn        Range // open at both ends where the warning depends on another record, as a house limit or a label
	Hard        Range
	WarnAt      bool   // the end of Warn itself already asks
	Source      string // of the warning; the hard ends are ours
	UsualSource string // of what is usual; blank where it is common practice too
	slips       []slipRule
}

// Codes of the bounds, by the section of the batch sheet.
const (
	BoundArea           = "field.area"
	BoundRatoon         = "field.ratoon"
	BoundInterval       = "field.pre_harvest_days"
	BoundReentry        = "field.reentry"
	BoundDaysToCut      = "field.days_to_cut"
	BoundStalkBrix      = "field.stalk_brix"
	BoundTopBottom      = "field.top_bottom"
	BoundOvernightLow   = "field.overnight_low"
	BoundCutToMill      = "field.cut_to_mill"
	BoundTrash          = "field.trash"
	BoundCanePerAcre    = "field.cane_per_acre"
	BoundSyrupPerAcre   = "field.syrup_per_acre"
	BoundJuicePerTon    = "mill.juice_per_ton"
	BoundExtraction     = "mill.extraction"
	BoundJuiceBrix      = "mill.juice_brix"
	BoundJuicePH        = "mill.juice_ph"
	BoundJuiceTemp      = "mill.juice_temperature"
	BoundJuiceHold      = "mill.juice_hold"
	BoundTankVolume     = "mill.tank_volume"
	BoundCharge         = "kettle.charge"
	BoundTimeToBoil     = "kettle.time_to_boil"
	BoundCook           = "kettle.cook"
	BoundEvaporation    = "kettle.evaporation"
	BoundWaterBoils     = "kettle.water_boils"
	BoundFinishTemp     = "kettle.finish_temperature"
	BoundFinishRise     = "kettle.finish_rise"
	BoundBaume          = "kettle.baume"
	BoundReadingTemp    = "kettle.reading_temperature"
	BoundSolids         = "kettle.solids"
	BoundRefractometer  = "kettle.refractometer"
	BoundJuicePerSyrup  = "kettle.juice_per_syrup"
	BoundImpliedBrix    = "kettle.implied_brix"
	BoundSolidsBalance  = "kettle.solids_balance"
	BoundClarifier      = "kettle.clarifier"
	BoundSyrupPH        = "syrup.ph"
	BoundWaterActivity  = "syrup.water_activity"
	BoundReducing       = "syrup.reducing_sugars"
	BoundAsh            = "syrup.ash"
	BoundSulfite        = "syrup.sulfite"
	BoundLead           = "syrup.lead"
	BoundTankAtFill     = "bottling.tank_temperature"
	BoundBottleAtCap    = "bottling.bottle_temperature"
	BoundCheckInterval  = "bottling.check_interval"
	BoundInverted       = "bottling.inverted"
	BoundFillWeight     = "bottling.fill_weight"
	BoundBottlesOff     = "bottling.bottles_off"
	BoundCapsOff        = "bottling.caps_off"
	BoundCooling        = "bottling.cooling"
	BoundDaysHeld       = "bottling.days_held"
	BoundChlorine       = "cleaning.chlorine"
	BoundHotWater       = "cleaning.hot_water"
	BoundNitrate        = "cleaning.nitrate"
	BoundCountDiffering = "cleaning.count_differing"
)

func between(low, high float64) Range { return Range{&low, &high} }
func from(low float64) Range          { return Range{Low: &low} }
func upTo(high float64) Range         { return Range{High: &high} }

// fahrenheits is a range of temperatures the trade gives in F, in C.
func fahrenheits(low, high syrup.Fahrenheit) Range { return between(fahrenheit(low), fahrenheit(high)) }

// fahrenheitDeltas is a range of differences the trade gives in F, in C.
func fahrenheitDeltas(low, high syrup.FahrenheitDelta) Range {
	return between(float64(low.Celsius()), float64(high.Celsius()))
}

// gallons is a range of volumes the trade gives in gallons, in liters.
func gallons(low, high syrup.USGallons) Range {
	return between(float64(low.Liters()), float64(high.Liters()))
}

// Bounds lists the bound of every number on a batch sheet: trade.md, section 2. The hard ends are common
// practice, without a source.
func Bounds() []Bound {
	var list []Bound
	for _, part := range [][]Bound{fieldBounds(), millBounds(), kettleBounds(), boilBounds(), syrupBounds(), bottlingBounds(), cleaningBounds()} {
		list = append(list, part...)
	}
	return list
}

// BoundOf finds a bound by its code.
func BoundOf(code string) (Bound, bool) {
	b, ok := bounds[code]
	return b, ok
}

// HardRange gives the hard ends of a bound, for the checks at entry; it is for codes that have both.
func HardRange(code string) (low, high float64) {
	b := bounds[code]
	return *b.Hard.Low, *b.Hard.High
}

// bounds is Bounds by code; it is made once and never changed.
var bounds = func() map[string]Bound {
	m := map[string]Bound{}
	for _, b := range Bounds() {
		m[b.Code] = b
	}
	return m
}()

// Plausible judges one number, in the bound's unit: Within, Check where it wants a reason, Stop where it is to be refused.
// entered is the number as typed, with its unit, such as "105 F"; blank when not known. The slip is the likeliest mistake
// that would explain a number out of range, blank when none fits. A number that is not one, or a code that is not in the
// table, is a Stop.
func Plausible(code string, value float64, entered string) (Level, Slip) {
	b, ok := bounds[code]
	if !ok || math.IsInf(value, 0) {
		return Stop, ""
	}
	level := b.level(value)
	if level == Within {
		return Within, ""
	}
	return level, b.likely(value, entered)
}

func (b Bound) level(x float64) Level {
	switch {
	case !b.Hard.holds(x):
		return Stop
	case !b.Warn.holds(x), b.WarnAt && b.Warn.ends(x):
		return Check
	}
	return Within
}

// ends tells whether x is one of the ends.
func (r Range) ends(x float64) bool {
	return r.Low != nil && x == *r.Low || r.High != nil && x == *r.High
}

// expected is where a number that was meant differently would lie: inside the warning, or what is usual.
func (b Bound) expected() Range {
	switch {
	case b.Warn.closed():
		return b.Warn
	case b.Usual.closed():
		return b.Usual
	}
	return b.Hard
}

// passed is the end of the range that x lies past, and whether it is the least allowed.
func (r Range) passed(x float64) (end float64, least, ok bool) {
	switch {
	case r.Low != nil && x <= *r.Low:
		return *r.Low, true, true
	case r.High != nil && x >= *r.High:
		return *r.High, false, true
	}
	return 0, false, false
}
