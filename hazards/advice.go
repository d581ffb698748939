package hazards

import (
	"errors"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// AdviceFacts is a reading just taken and what it is taken for.
type AdviceFacts struct {
	Reading ReadingFacts
	Volume  *syrup.Liters // in the kettle, at the reading's temperature; nil: not known
	Target  syrup.Brix    // where the maker means to stop
}

// What to do after a reading.
const (
	AdviceNoTemperature = "advice.no_temperature"
	AdviceNotUsable     = "advice.not_usable"
	AdviceBoilOn        = "advice.boil_on"
	AdviceTarget        = "advice.at_target"
	AdviceAddWater      = "advice.add_water"
	AdviceHold          = "advice.hold"
	AdvicePerGallon     = "advice.per_gallon"
)

// Advice is what to do now, with the figures for it. Every figure is estimated.
type Advice struct {
	Code          string
	Solids        *syrup.Solids
	Target        syrup.Brix
	TargetReading *float64 // what the instrument in hand shows at this temperature when the target is reached
	Scale         syrup.Scale
	Water         *syrup.Adjustment // to boil off, or to add
	PerGallon     bool              // the volume is not known: the water is for one US gallon of syrup as it is now
}

// Advise says what to do after a reading: boil on and how much water is still to go, stop, add water, or hold. A thin
// finish reading is a hold, with the water that would still have to go.
func Advise(f AdviceFacts, rules Rules) Advice {
	a := Advice{Target: f.Target, Scale: f.Reading.Scale}
	a.TargetReading = f.targetReading()
	solids, err := f.Reading.Solids()
	if errors.Is(err, ErrNoTemperature) {
		a.Code = AdviceNoTemperature
		return a
	}
	if err != nil {
		a.Code = AdviceNotUsable
		return a
	}
	a.Solids = &solids
	cane := syrup.Brix(rules.Limits.Judged(LimitCane).Value)
	thick := max(syrup.Brix(rules.Limits.Judged(LimitThick).Value), f.Target)
	switch {
	case solids.Percent < cane && f.Reading.Stage != StageBoil:
		a.Code = AdviceHold
	case solids.Percent < f.Target:
		a.Code = AdviceBoilOn
	case solids.Percent <= thick:
		a.Code = AdviceTarget
		return a
	default:
		a.Code = AdviceAddWater
	}
	a.Water, a.PerGallon = f.water(solids.Percent)
	return a
}

// water is what has to go or to come to reach the target; nil when the model cannot say.
func (f AdviceFacts) water(now syrup.Brix) (*syrup.Adjustment, bool) {
	volume, per := syrup.USGallons(1).Liters(), true
	if f.Volume != nil {
		volume, per = *f.Volume, false
	}
	adjust := syrup.WaterToGo
	if now > f.Target {
		adjust = syrup.WaterToAdd
	}
	water, err := adjust(volume, f.Reading.at(), now, f.Target)
	if err != nil {
		return nil, false
	}
	return &water, per
}

// targetReading is nil without a temperature, or when the target is off the instrument's scale.
func (f AdviceFacts) targetReading() *float64 {
	if f.Reading.Temperature == nil {
		return nil
	}
	reading, err := TargetReading(f.Reading.Instrument, f.Reading.Scale, f.Target, f.Reading.at())
	if err != nil {
		return nil
	}
	return &reading
}

// TargetReading is what an instrument shows at a temperature when the syrup has the target solids: for a hydrometer the
// hot reading, for a refractometer the target itself. The error is a syrup.RangeError.
func TargetReading(i *InstrumentFacts, scale syrup.Scale, target syrup.Brix, t syrup.Celsius) (float64, error) {
	if i.refractometer() {
		return float64(target), nil
	}
	return i.hydrometer().Reading(scale, target, t)
}

// Words says the advice in one or two sentences.
func (a Advice) Words(lang text.Language, units string) string {
	args := []any{"Target", words(number(float64(a.Target), UnitSolids), lang, units)}
	if a.Solids != nil {
		args = append(args, "Solids", words(solidsValue(*a.Solids), lang, units))
	}
	said := text.Say(lang, a.Code, args...)
	if a.Water == nil {
		return said
	}
	per, scale := AdvicePerGallon, 1.0
	if a.PerGallon && units == Metric {
		per, scale = "advice.per_liter", 1/float64(syrup.USGallons(1).Liters())
	}
	mass := number(float64(a.Water.Water)*scale, UnitKilograms)
	volume, after := number(float64(a.Water.WaterVolume)*scale, UnitLiters), number(float64(a.Water.AfterVolume)*scale, UnitLiters)
	key := "advice.water_to_go"
	if a.Code == AdviceAddWater {
		key = "advice.water_to_add"
	}
	said += " " + text.Say(lang, key, "Mass", mass.words(lang, units, 2), "Volume", volume.words(lang, units, 2),
		"After", after.words(lang, units, 2))
	if a.PerGallon {
		said += " " + text.Say(lang, per)
	}
	return said
}

func words(v Value, lang text.Language, units string) string { return v.Words(lang, units) }
