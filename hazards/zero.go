package hazards

import (
	"math"
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// ZeroFacts is a thermometer's zero of a day: what it read in boiling water less what boiling water was that day.
type ZeroFacts struct {
	CheckID string
	At      time.Time
	Water   syrup.Celsius      // where water boiled, as the check expected it
	Off     syrup.CelsiusDelta // read minus expected
}

// zeroFrom is the temperature from which on a zero found in boiling water is taken off: nearer to boiling water than to ice
// (our choice, no source). Below it a reading stands as read.
const zeroFrom syrup.Celsius = 50

// Temperature is a thermometer's reading as judged: the error of a failed check taken off when that makes it lower; where no
// check failed, the zero of the day taken off a hot reading, whichever way it goes. A failed check replaces the zero, it is
// never added to it. The record keeps what was read.
func (i *InstrumentFacts) Temperature(read syrup.Celsius) syrup.Celsius {
	switch {
	case i == nil:
		return read
	case i.Error != nil:
		return settled(syrup.Celsius(i.unfavourable(float64(read))))
	case i.Zero != nil && read >= zeroFrom:
		return settled(read - syrup.Celsius(i.Zero.Off))
	}
	return read
}

// settled takes the noise of arithmetic off a difference of temperatures: 182 F less 2 F is 180 F, and not a hair below its
// limit. Only what lies within a billionth of a degree of a round figure is moved.
func settled(t syrup.Celsius) syrup.Celsius {
	const round, noise = 1e4, 1e-9
	f := syrup.Fahrenheit(math.Round(float64(t.Fahrenheit())*round) / round).Celsius()
	c := syrup.Celsius(math.Round(float64(t)*round) / round)
	for _, figure := range []syrup.Celsius{f, c} {
		if math.Abs(float64(figure-t)) < noise {
			return figure
		}
	}
	return t
}

// Shows is what the thermometer shows at a temperature: the inverse of Temperature, for a mark to watch for. A thermometer
// whose check failed has no such mark of its own.
func (i *InstrumentFacts) Shows(at syrup.Celsius) syrup.Celsius {
	if i == nil || i.Error != nil || i.Zero == nil {
		return at
	}
	return at + syrup.Celsius(i.Zero.Off)
}

// settledDelta takes the noise of arithmetic off a difference of temperatures.
func settledDelta(d syrup.CelsiusDelta) syrup.CelsiusDelta {
	const round, noise = 1e4, 1e-9
	f := syrup.FahrenheitDelta(math.Round(float64(d)*9/5*round) / round).Celsius()
	if math.Abs(float64(f-d)) < noise {
		return f
	}
	return d
}

// Reasons of a correction.
const (
	CorrectedFailed = "failed" // the whole error a later check found, in the unfavourable direction
	CorrectedZero   = "zero"   // the thermometer's zero of the day
)

// Correction is what a judgement took off a reading. The record keeps the reading.
type Correction struct {
	Instrument string `json:"instrument,omitempty"`
	Read       Value  `json:"read"`
	By         Value  `json:"by"`
	Why        string `json:"why"`
}

// Words says the correction in a sentence.
func (c Correction) Words(lang text.Language, units string) string {
	name := c.Instrument
	if name == "" {
		name = text.Say(lang, "correction.thermometer")
	}
	by := c.By.words(lang, units, 1)
	if c.By.Number > 0 {
		by = "+" + by
	}
	return text.Say(lang, "correction."+c.Why, "Instrument", name, "Read", c.Read.words(lang, units, 1), "By", by)
}

// Correction says what Temperature does to a reading; nil when nothing.
func (i *InstrumentFacts) Correction(read syrup.Celsius) *Correction {
	off := i.Temperature(read).Sub(read)
	if off == 0 {
		return nil
	}
	c := Correction{Instrument: i.Name, Read: degrees(read), By: number(float64(off), UnitCelsiusDelta), Why: CorrectedZero}
	if i.Error != nil {
		c.Why = CorrectedFailed
	}
	return &c
}

// corrected adds what was taken off a reading to a finding.
func (f Finding) corrected(corrections ...Correction) Finding {
	f.Corrections = append(f.Corrections[:len(f.Corrections):len(f.Corrections)], corrections...)
	return f
}

// correctedAt adds what was taken off a temperature to a finding, where anything was.
func (f Finding) correctedAt(i *InstrumentFacts, read syrup.Celsius) Finding {
	if c := i.Correction(read); c != nil {
		return f.corrected(*c)
	}
	return f
}

// at is the temperature of a reading as judged; the reading has one.
func (r ReadingFacts) at() syrup.Celsius { return r.Thermometer.Temperature(*r.Temperature) }

// Correction says what was taken off the temperature of a hydrometer's reading; nil when nothing. A refractometer's drop is
// cold and read as it is.
func (r ReadingFacts) Correction() *Correction {
	if r.Temperature == nil || r.Instrument.refractometer() {
		return nil
	}
	return r.Thermometer.Correction(*r.Temperature)
}
