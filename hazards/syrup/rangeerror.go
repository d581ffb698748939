package syrup

import (
	"fmt"
	"math"
	"strconv"
)

// The things a RangeError can be about. They are keys as well as words: a screen in another language looks its own
// word up by them.
const (
	WhatSolids      = "solids"
	WhatJuiceSolids = "juice solids"
	WhatSyrupSolids = "syrup solids"
	WhatTemperature = "temperature"
	WhatDensity     = "density"
	WhatGravity     = "specific gravity"
	WhatReading     = "reading"
	WhatBaume       = "Baume"
	WhatModulus     = "modulus"
	WhatPressure    = "pressure"
	WhatAltitude    = "altitude"
	WhatInverted    = "inverted share of the sugars"
	WhatAsh         = "ash share of the syrup"
	WhatVolume      = "volume"
	WhatMass        = "mass"
	WhatLength      = "length"
	WhatRatio       = "juice per syrup"

	WhatIndex         = "refractive index"
	WhatInvertOfSyrup = "invert in the syrup"
	WhatOtherSolids   = "other solids in the syrup"
	WhatGlucose       = "glucose"
	WhatFructose      = "fructose"
	WhatBrim          = "volume to the brim"
	WhatHeadspace     = "headspace"
	WhatReference     = "reference temperature"
	WhatSlope         = "z value"
	WhatReadings      = "number of readings"
	WhatMinutes       = "minutes"
	WhatDecimal       = "d value"
	WhatPurity        = "purity"
	WhatTarget        = "target solids"
	WhatFirstShare    = "share of the first lot"
	WhatRise          = "boiling rise"
	WhatLoss          = "loss"
	WhatDifference    = "temperature difference"
)

// RangeError says that a value lies outside what a model was checked for, or outside what is possible. It is
// returned instead of an extrapolated number. Got is NaN or Inf when such a value was handed in.
type RangeError struct {
	What     string
	Got      float64
	Min, Max float64
	Unit     string
}

// Error names the value, what it was and the range that is accepted.
func (e RangeError) Error() string {
	unit := e.Unit
	if unit != "" {
		unit = " " + unit
	}
	if math.IsInf(e.Max, 1) {
		return fmt.Sprintf("%s %s%s: expected at least %s%s", e.What, short(e.Got), unit, short(e.Min), unit)
	}
	return fmt.Sprintf("%s %s%s: expected %s to %s%s", e.What, short(e.Got), unit, short(e.Min), short(e.Max), unit)
}

// short writes a number with at most three decimals and no trailing zeros.
func short(x float64) string {
	if math.Abs(x) < 1e9 {
		x = math.Round(x*1000) / 1000
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// inRange returns a RangeError unless min <= got <= max. NaN fails every comparison and is refused with the rest.
func inRange(what string, got, min, max float64, unit string) error {
	if got >= min && got <= max {
		return nil
	}
	return RangeError{What: what, Got: got, Min: min, Max: max, Unit: unit}
}

// most bounds every quantity a model takes, so that no product of two overflows.
const most = 1e12

// positive returns a RangeError unless got is at least 0 and no more than a model can take.
func positive(what string, got float64, unit string) error {
	if got > most {
		return inRange(what, got, 0, most, unit)
	}
	if got >= 0 {
		return nil
	}
	return RangeError{What: what, Got: got, Min: 0, Max: math.Inf(1), Unit: unit}
}
