package hazards

import "canewright/hazards/syrup"

// What an instrument measures.
const (
	MeasuresTemperature = "temperature"
	MeasuresDensity     = "density"
	MeasuresRefraction  = "refraction"
	MeasuresWeight      = "weight"
)

// InstrumentFacts is an instrument as a judgement needs it. Uncertainty and Error are in C for a thermometer, in the
// marks of its scale for a hydrometer or refractometer.
type InstrumentFacts struct {
	ID          string
	Name        string
	Measures    string
	Stem        syrup.Stem // hydrometers; blank is not known: judged as 60F, and said so
	Modulus     *float64   // nil is 145
	Uncertainty *float64   // its own; nil is not known
	Error       *float64   // as found by a failed check since its last pass: read minus true; nil when it passed
	Zero        *ZeroFacts // of a thermometer, that day; nil when nobody held it in boiling water
}

// hydrometer is the instrument for the physics; an instrument that is not known is the trade's stem.
func (i *InstrumentFacts) hydrometer() syrup.Hydrometer {
	if i == nil {
		return syrup.Hydrometer{}
	}
	h := syrup.Hydrometer{Stem: i.Stem}
	if i.Modulus != nil {
		h.Modulus = *i.Modulus
	}
	return h
}

// plainHydrometer tells whether the reading is a hydrometer's as read: one not known, or one with a stem we know, no
// failed check and no modulus of its own.
func (i *InstrumentFacts) plainHydrometer() bool {
	if i == nil {
		return true
	}
	known := i.Stem == "" || i.Stem == syrup.Stem60F || i.Stem == syrup.Stem68F || i.Stem == syrup.Stem6060
	return known && i.Measures != MeasuresRefraction && i.Error == nil && i.Modulus == nil
}

// refractometer tells whether the reading is of refraction.
func (i *InstrumentFacts) refractometer() bool { return i != nil && i.Measures == MeasuresRefraction }

// unfavourable takes the whole as-found error off a reading when that makes it lower. An instrument that read low is
// given no credit: it may have been right at first.
func (i *InstrumentFacts) unfavourable(read float64) float64 {
	if i == nil || i.Error == nil || *i.Error <= 0 {
		return read
	}
	return read - *i.Error
}

// corrected names in a finding the reading as read and the error that was taken off it, where any was.
func (i *InstrumentFacts) corrected(f Finding, read Value) Finding {
	off := i.unfavourable(read.Number) - read.Number
	if off == 0 {
		return f
	}
	return f.corrected(Correction{Instrument: i.Name, Read: read, By: number(off, differenceOf(read.Unit)), Why: CorrectedFailed})
}

// differenceOf is the unit of a difference of two values.
func differenceOf(u Unit) Unit {
	if u == UnitCelsius {
		return UnitCelsiusDelta
	}
	return u
}

// failed is the finding about an instrument whose check failed after it was used here; its error has been taken off.
func (i *InstrumentFacts) failed(unit Unit) []Finding {
	if i == nil || i.Error == nil {
		return nil
	}
	off := number(*i.Error, unit)
	return []Finding{{Code: "instrument.failed_check", Level: Check, About: i.ID, AboutName: i.Name, Measured: &off,
		Source: ourRule}}
}
