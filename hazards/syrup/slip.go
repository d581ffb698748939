package syrup

import (
	"math"
	"strconv"
	"strings"
)

// ParsePercent reads a share in percent, "74" or "74%". A number between 0 and 1 without the sign is refused as a share
// typed by mistake (0.74 for 74 %); "0.5%" is half a percent.
func ParsePercent(text string) (float64, error) {
	trimmed := strings.TrimSpace(text)
	digits, signed := strings.CutSuffix(trimmed, "%")
	number, err := ParseNumber(digits)
	if err != nil {
		return 0, err
	}
	if !signed && number > 0 && number < 1 {
		return 0, InputError{Problem: InputFraction, Text: trimmed, Meant: plainNumber(number * 100)}
	}
	return number, nil
}

// ParseSolids reads solids or Brix in percent, as ParsePercent, 0 to 85.
func ParseSolids(text string) (Brix, error) {
	number, err := ParsePercent(text)
	if err != nil {
		return 0, err
	}
	return Brix(number), solidsRange(WhatSolids, Brix(number))
}

// MeantTemperature guesses what a refused temperature was meant to be: the same number in the other unit, where that one
// lies in the range that was asked for. "220C" at a kettle is 220F. False when the guess would be refused as well.
func MeantTemperature(typed string, refused RangeError) (string, bool) {
	digits, unit := splitQuantity(typed)
	number, err := ParseNumber(digits)
	if err != nil || refused.Unit != "C" {
		return "", false
	}
	other, as := "F", Fahrenheit(number).Celsius()
	switch plain := plainUnit(unit); {
	case strings.EqualFold(plain, "F"):
		other, as = "C", Celsius(number)
	case !strings.EqualFold(plain, "C"):
		return "", false
	}
	if !(float64(as) >= refused.Min && float64(as) <= refused.Max) {
		return "", false
	}
	return digits + other, true
}

// MeantBrix tells whether a refused Baume reading looks like Brix typed as Baume: past the Baume scale, on the Brix one.
func MeantBrix(refused RangeError) bool {
	onBaume := refused.What == WhatReading && refused.Unit == string(ScaleBaume)
	return onBaume && refused.Got > float64(MaxBaume) && refused.Got <= float64(MaxSolids)
}

// The readings past which the scale of a hydrometer is asked about: trade.md 2.7, common practice without a source.
const (
	oddBaume       = 45.0
	oddBrixHot     = 25.0
	hotReadingFrom = Celsius(70) // a kettle or a tank of finished syrup, not a cooled cup
)

// DoubtfulScale tells whether a reading that can be used was likely read on the other scale: above 45 Be, or below 25 Bx
// in something as hot as finished syrup.
func DoubtfulScale(scale Scale, reading float64, t Celsius) bool {
	if scale == ScaleBaume {
		return reading > oddBaume
	}
	return reading < oddBrixHot && t >= hotReadingFrom
}

func plainNumber(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e6)/1e6, 'f', -1, 64)
}
