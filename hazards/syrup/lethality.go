package syrup

import (
	"fmt"
	"math"
)

// The ranges of the lethality integral.
const (
	MinLethalTemperature Celsius = -20
	MaxLethalTemperature Celsius = 150

	MinSlope CelsiusDelta = 1
	MaxSlope CelsiusDelta = 50

	// LongestStep is the longest time between two readings that may be joined by a straight line, in minutes.
	LongestStep = 5.0
)

// Moment is a temperature at a time, in minutes from any start.
type Moment struct {
	Minutes     float64
	Temperature Celsius
}

// StepError says that two readings do not follow each other closely enough to be summed: more than 5 minutes apart, or
// not forward in time. Row counts the readings from 1 and is the later one.
type StepError struct {
	Row    int
	Before float64 // minutes
	At     float64 // minutes
}

// Error says what is wrong and what is expected.
func (e StepError) Error() string {
	if !(e.At > e.Before) {
		return fmt.Sprintf("reading %d at %s min: expected a time after %s min", e.Row, short(e.At), short(e.Before))
	}
	return fmt.Sprintf("reading %d at %s min: expected at most %s min after the reading at %s min", e.Row, short(e.At),
		short(LongestStep), short(e.Before))
}

// LethalRate is how many minutes at the reference temperature one minute at t is worth, 10^((t - ref)/z). Temperatures
// -20 to 150 C, z 1 to 50 C. Definition; published point 0.077 at 110 C for 121.11 C and z 10 C.
func LethalRate(t, ref Celsius, z CelsiusDelta) (float64, error) {
	if err := lethalTemperature(WhatTemperature, t); err != nil {
		return 0, err
	}
	if err := lethalTemperature(WhatReference, ref); err != nil {
		return 0, err
	}
	if err := inRange(WhatSlope, float64(z), float64(MinSlope), float64(MaxSlope), "C"); err != nil {
		return 0, err
	}
	return lethalRate(t, ref, z), nil
}

func lethalRate(t, ref Celsius, z CelsiusDelta) float64 {
	return math.Pow(10, float64(t.Sub(ref))/float64(z))
}

func lethalTemperature(what string, t Celsius) error {
	return inRange(what, float64(t), float64(MinLethalTemperature), float64(MaxLethalTemperature), "C")
}

// Lethality sums the lethal rate over a record of temperatures, in minutes at the reference temperature: trapezoids,
// at least two readings, each at most 5 minutes after the one before (else a StepError). Against the exact
// value of a straight ramp the sum is too high by up to 0.1 % at one-minute steps and 3 % at five-minute ones (85 to 65
// C in 30 min). Ranges as LethalRate. What a value means for an organism is poorly known: information only.
func Lethality(record []Moment, ref Celsius, z CelsiusDelta) (minutes float64, err error) {
	if err := inRange(WhatReadings, float64(len(record)), 2, math.Inf(1), ""); err != nil {
		return 0, err
	}
	var before float64
	for i, m := range record {
		rate, err := LethalRate(m.Temperature, ref, z)
		if err != nil {
			return 0, err
		}
		if err := finite(WhatMinutes, m.Minutes); err != nil {
			return 0, err
		}
		if i > 0 {
			step := m.Minutes - record[i-1].Minutes
			if !(step > 0 && step <= LongestStep) {
				return 0, StepError{Row: i + 1, Before: record[i-1].Minutes, At: m.Minutes}
			}
			minutes += step * (before + rate) / 2
		}
		before = rate
	}
	return minutes, nil
}

// LogKill is the decimal reductions of a lethality for an organism whose D at the reference temperature is given,
// 0.001 to 1000 minutes: F/D.
func LogKill(minutes, decimal float64) (float64, error) {
	if err := positive(WhatMinutes, minutes, "min"); err != nil {
		return 0, err
	}
	if err := inRange(WhatDecimal, decimal, 0.001, 1000, "min"); err != nil {
		return 0, err
	}
	return minutes / decimal, nil
}

// finite returns a RangeError for NaN and Inf and for times no bottle takes.
func finite(what string, x float64) error { return inRange(what, x, -1e6, 1e6, "min") }
