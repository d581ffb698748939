package syrup

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParsePercent(t *testing.T) {
	for text, want := range map[string]float64{"74": 74, "74%": 74, " 74 % ": 74, "0": 0, "1": 1, "0.5%": 0.5, "1.2": 1.2, "-3": -3} {
		got, err := ParsePercent(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, meant := range map[string]string{"0.74": "74", "0.999": "99.9", "0.001": "0.1"} {
		_, err := ParsePercent(text)
		assertProblem(t, err, InputFraction, text)
		var input InputError
		require.ErrorAs(t, err, &input)
		assert.Equal(t, meant, input.Meant)
		assert.ErrorContains(t, err, "did you mean "+meant+" %")
	}
	for text, problem := range map[string]InputProblem{
		"": InputEmpty, "%": InputEmpty, "7,4": InputComma, "NaN": InputNotNumber, "Inf%": InputNotNumber, "74%%": InputNotNumber,
		"74 F": InputNotNumber,
	} {
		_, err := ParsePercent(text)
		assertProblem(t, err, problem, text)
	}
}

func TestParseSolids(t *testing.T) {
	for text, what := range map[string]string{"0": "", "85": "", "85.01": WhatSolids, "95": WhatSolids, "-0.01%": WhatSolids} {
		_, err := ParseSolids(text)
		assertRange(t, err, what)
	}
	_, err := ParseSolids("0.74")
	assertProblem(t, err, InputFraction, "0.74")
}

func TestMeantTemperature(t *testing.T) {
	kettle := RangeError{What: WhatTemperature, Min: 0, Max: 110, Unit: "C"}
	bottle := RangeError{What: WhatTemperature, Min: float64(MinFillTemperature), Max: float64(MaxFillTemperature), Unit: "C"}
	for _, c := range []struct {
		typed   string
		refused RangeError
		meant   string
	}{
		{"220C", kettle, "220F"}, {"220 °C", kettle, "220F"}, {"230C", kettle, "230F"}, {"231C", kettle, ""}, {"32C", kettle, "32F"}, {"31C", kettle, ""},
		{"300F", kettle, ""}, {"20F", kettle, "20C"}, {"40F", bottle, "40C"}, {"185C", bottle, "185F"}, {"59F", bottle, "59C"},
		{"220K", kettle, ""}, {"220", kettle, ""}, {"warm", kettle, ""}, {"C", kettle, ""},
		{"220C", RangeError{What: WhatSolids, Max: 85, Unit: "%"}, ""},
	} {
		meant, ok := MeantTemperature(c.typed, c.refused)
		assert.Equal(t, c.meant, meant, c.typed)
		assert.Equal(t, c.meant != "", ok, c.typed)
	}
}

func TestMeantBrix(t *testing.T) {
	for got, want := range map[float64]bool{50: false, 50.1: true, 66: true, 85: true, 85.1: false, -1: false} {
		assert.Equal(t, want, MeantBrix(RangeError{What: WhatReading, Got: got, Unit: "Be"}), got)
	}
	assert.False(t, MeantBrix(RangeError{What: WhatReading, Got: 66, Unit: "Bx"}))
	assert.False(t, MeantBrix(RangeError{What: WhatSolids, Got: 66, Unit: "Be"}))
}

func TestDoubtfulScale(t *testing.T) {
	assert.False(t, DoubtfulScale(ScaleBaume, 45, 20))
	assert.True(t, DoubtfulScale(ScaleBaume, 45.1, 20))
	assert.False(t, DoubtfulScale(ScaleBrix, 25, 100))
	assert.True(t, DoubtfulScale(ScaleBrix, 24.9, 70))
	assert.False(t, DoubtfulScale(ScaleBrix, 24.9, 69.9), "a cooled cup may hold juice")
}

func TestParseDifference(t *testing.T) {
	for text, want := range map[string]float64{"23F": 23.0 * 5 / 9, "12.8C": 12.8, "0F": 0, "10 °C": 10} {
		got, err := ParseDifference(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, float64(got), 1e-12, text)
	}
	for text, problem := range map[string]InputProblem{"23": InputNoUnit, "23K": InputUnknownUnit, "": InputEmpty, "2,3F": InputComma} {
		_, err := ParseDifference(text)
		assertProblem(t, err, problem, text)
	}
	for _, text := range []string{"-1F", "-0.1C", "1001F", "1001C"} {
		_, err := ParseDifference(text)
		assertRange(t, err, WhatDifference)
	}
	_, err := DifferenceFrom(1, "")
	assertProblem(t, err, InputNoUnit, "")
}

// There and back gives the same number, for every unit that has both ways.
func TestUnitsRoundTrip(t *testing.T) {
	for _, x := range []float64{-40, -1e-3, 0, 1e-6, 0.74, 1, 33.5, 104.4, 220, 1e6} {
		assert.InDelta(t, x, float64(Celsius(x).Fahrenheit().Celsius()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Fahrenheit(x).Celsius().Fahrenheit()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(CelsiusDelta(x).Fahrenheit().Celsius()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Kilograms(x).Pounds().Kilograms()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Kilograms(x).Grams().Kilograms()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Liters(x).USGallons().Liters()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Liters(x).Milliliters().Liters()), 1e-9*max(1, x))
		assert.InDelta(t, x, float64(Milliliters(x).USFluidOunces().Milliliters()), 1e-9*max(1, x))
	}
}
