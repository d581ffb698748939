package syrup

import "math"

// The heights at which the standard atmosphere stays inside the pressures of the boiling model.
const (
	MinAltitude Meters = -500
	MaxAltitude Meters = 3500
)

// StandardPressure is one standard atmosphere, the pressure assumed at sea level.
const StandardPressure Kilopascals = 101.325

// PressureAtAltitude is the pressure of the standard atmosphere at a height, -500 to 3500 m: ICAO, from memory;
// p = 101.325 (1 - 2.25577e-5 h)^5.25588. Weather moves the true pressure by about +-3 kPa (+-0.9 C of boiling
// water), so a barometer, or the boiling water of the day, is better.
func PressureAtAltitude(h Meters) (Kilopascals, error) {
	if err := inRange(WhatAltitude, float64(h), float64(MinAltitude), float64(MaxAltitude), "m"); err != nil {
		return 0, err
	}
	return pressureAtAltitude(h), nil
}

func pressureAtAltitude(h Meters) Kilopascals {
	return StandardPressure * Kilopascals(math.Pow(1-2.25577e-5*float64(h), 5.25588))
}
