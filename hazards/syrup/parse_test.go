package syrup

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"74": 74, " 33.5 ": 33.5, "-0.4": -0.4, "+7": 7, "0": 0, "007": 7, "0.30000000000000004": 0.30000000000000004,
	} {
		got, err := ParseNumber(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	zero, err := ParseNumber("-0")
	require.NoError(t, err)
	assert.False(t, math.Signbit(zero))
	for text, problem := range map[string]InputProblem{
		"":                      InputEmpty,
		"   ":                   InputEmpty,
		"22,5":                  InputComma,
		"1,200":                 InputComma,
		"1.200,5":               InputComma,
		"NaN":                   InputNotNumber,
		"Inf":                   InputNotNumber,
		"-inf":                  InputNotNumber,
		"0x1p4":                 InputNotNumber,
		"1e3":                   InputNotNumber,
		"1_000":                 InputNotNumber,
		".5":                    InputNotNumber,
		"5.":                    InputNotNumber,
		"1.2.3":                 InputNotNumber,
		"--1":                   InputNotNumber,
		"+":                     InputNotNumber,
		"74 5":                  InputNotNumber,
		"٧٤":                    InputNotNumber,
		"a,b":                   InputNotNumber,
		"123456789012345678901": InputTooLarge,
	} {
		_, err := ParseNumber(text)
		assertProblem(t, err, problem, text)
	}
}

func assertProblem(t *testing.T, err error, problem InputProblem, text string) {
	t.Helper()
	var input InputError
	if assert.ErrorAs(t, err, &input, "%q", text) {
		assert.Equal(t, problem, input.Problem, "%q", text)
		assert.NotEmpty(t, input.Error())
	}
}

func TestCommaMessageShowsTheExpectedForm(t *testing.T) {
	_, err := ParseNumber("22,5")
	assert.ErrorContains(t, err, "22.5")
	_, err = ParseTemperature("104,4C")
	assertProblem(t, err, InputComma, "104,4C")
}

func TestParseTemperature(t *testing.T) {
	for text, want := range map[string]Celsius{
		"220F": Fahrenheit(220).Celsius(), "104.4C": 104.4, "220 °F": Fahrenheit(220).Celsius(), "-4f": -20, "100 ºC": 100, "32 F": 0,
	} {
		got, err := ParseTemperature(text)
		require.NoError(t, err, text)
		assert.InDelta(t, float64(want), float64(got), 1e-12, text)
	}
	for text, problem := range map[string]InputProblem{
		"":      InputEmpty,
		"220":   InputNoUnit,
		"220 °": InputNoUnit,
		"220K":  InputUnknownUnit,
		"220FF": InputUnknownUnit,
		"F":     InputNotNumber,
		"NaNF":  InputNotNumber,
		"1e2F":  InputUnknownUnit,
		"22,5C": InputComma,
	} {
		_, err := ParseTemperature(text)
		assertProblem(t, err, problem, text)
	}
	_, err := ParseTemperature("-500F")
	assertRange(t, err, WhatTemperature)
	_, err = ParseTemperature("-273.15C")
	assert.NoError(t, err)
	_, err = TemperatureFrom(math.NaN(), "C")
	assertRange(t, err, WhatTemperature)
}

func TestMissingUnitNamesTheAcceptedOnes(t *testing.T) {
	_, err := ParseTemperature("220")
	assert.ErrorContains(t, err, "F, C")
	_, err = ParseVolume("80")
	assert.ErrorContains(t, err, "gal, qt, pt, floz, L, mL")
	_, err = ParseMass("80")
	assert.ErrorContains(t, err, "lb, oz, kg, g, ton")
	_, err = ParsePressure("80")
	assert.ErrorContains(t, err, "kPa, hPa, inHg, psi")
	_, err = ParseLength("80mile")
	assert.ErrorContains(t, err, "ft, m, in")
}

// Exact by definition of the units, but for the two pressure factors (conventional inch of mercury and psi).
func TestParseQuantities(t *testing.T) {
	parsers := map[string]func(string) (float64, error){
		"volume":   func(s string) (float64, error) { v, err := ParseVolume(s); return float64(v), err },
		"mass":     func(s string) (float64, error) { v, err := ParseMass(s); return float64(v), err },
		"pressure": func(s string) (float64, error) { v, err := ParsePressure(s); return float64(v), err },
		"length":   func(s string) (float64, error) { v, err := ParseLength(s); return float64(v), err },
	}
	for _, c := range []struct {
		kind, text string
		want       float64
	}{
		{"volume", "80gal", 302.83294272}, {"volume", "1qt", 0.946352946}, {"volume", "2pt", 0.946352946},
		{"volume", "16 fl oz", 0.473176473}, {"volume", "16 fl. oz.", 0.473176473}, {"volume", "355mL", 0.355},
		{"volume", "355ML", 0.355}, {"volume", "2L", 2}, {"volume", "0gal", 0},
		{"mass", "1lb", 0.45359237}, {"mass", "16oz", 0.45359237}, {"mass", "5kg", 5}, {"mass", "350 g", 0.35},
		{"mass", "1ton", 907.18474},
		{"pressure", "101.325kPa", 101.325}, {"pressure", "1013.25hPa", 101.325}, {"pressure", "29.9213inHg", 101.325},
		{"pressure", "14.69595psi", 101.325},
		{"length", "1000ft", 304.8}, {"length", "300m", 300}, {"length", "12in", 0.3048}, {"length", "-50m", -50},
	} {
		got, err := parsers[c.kind](c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.want, got, 1e-4*max(1e-6, c.want*0.1), c.text)
	}
	for _, kind := range []string{"volume", "mass", "pressure"} {
		_, err := parsers[kind]("-1" + map[string]string{"volume": "L", "mass": "kg", "pressure": "kPa"}[kind])
		assertRange(t, err, kind)
	}
	_, err := ParseVolume("9999999999999gal")
	assertRange(t, err, WhatVolume)
	_, err = VolumeFrom(math.Inf(1), "gal")
	assertRange(t, err, WhatVolume)
	_, err = LengthFrom(math.NaN(), "m")
	assertRange(t, err, WhatLength)
	_, err = MassFrom(1, "")
	assertProblem(t, err, InputNoUnit, "")
}

// Every listed unit is accepted by its parser, so a form can offer the list as it stands.
func TestListedUnitsAreAccepted(t *testing.T) {
	for _, unit := range TemperatureUnits {
		_, err := TemperatureFrom(100, unit)
		assert.NoError(t, err, unit)
	}
	for _, unit := range VolumeUnits {
		_, err := VolumeFrom(1, unit)
		assert.NoError(t, err, unit)
	}
	for _, unit := range MassUnits {
		_, err := MassFrom(1, unit)
		assert.NoError(t, err, unit)
	}
	for _, unit := range PressureUnits {
		_, err := PressureFrom(1, unit)
		assert.NoError(t, err, unit)
	}
	for _, unit := range LengthUnits {
		_, err := LengthFrom(1, unit)
		assert.NoError(t, err, unit)
	}
}

func FuzzParseNumber(f *testing.F) {
	for _, seed := range []string{"74", "-0.4", "22,5", "NaN", "0x1p4", "1e3", ".5", "", "+", "99999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		number, err := ParseNumber(text)
		if err != nil {
			assert.Zero(t, number)
			assert.NotEmpty(t, err.Error())
			return
		}
		require.False(t, math.IsNaN(number) || math.IsInf(number, 0), "%q", text)
		again, err := ParseNumber(strconv.FormatFloat(number, 'f', -1, 64))
		if err == nil {
			assert.Equal(t, number, again, "%q", text)
		}
	})
}

func FuzzParseQuantities(f *testing.F) {
	for _, seed := range []string{"220F", "104.4 °C", "80gal", "16 fl oz", "1ton", "29.92inHg", "1000ft", "-1L", "5", "F", "1,5L"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		temperature, err := ParseTemperature(text)
		requireFinite(t, text, float64(temperature), err)
		volume, err := ParseVolume(text)
		requireFinite(t, text, float64(volume), err)
		mass, err := ParseMass(text)
		requireFinite(t, text, float64(mass), err)
		pressure, err := ParsePressure(text)
		requireFinite(t, text, float64(pressure), err)
		length, err := ParseLength(text)
		requireFinite(t, text, float64(length), err)
	})
}

// requireFinite: an accepted text is a finite number, a refused one has a message.
func requireFinite(t *testing.T, text string, got float64, err error) {
	t.Helper()
	if err != nil {
		require.NotEmpty(t, err.Error(), "%q", text)
		return
	}
	require.False(t, math.IsNaN(got) || math.IsInf(got, 0), "%q", text)
}

// No input to the physics gives a number that is not one, or solids outside the model, without an error.
func FuzzPhysicsNeverNaN(f *testing.F) {
	f.Add(33.5, 104.4, 74.0)
	f.Add(math.NaN(), math.Inf(1), -1.0)
	f.Add(0.0, 0.0, 85.0)
	f.Fuzz(func(t *testing.T, reading, temperature, solids float64) {
		for _, stem := range Stems {
			for _, scale := range []Scale{ScaleBaume, ScaleBrix} {
				h := Hydrometer{Stem: stem}
				got, err := h.TrueSolids(scale, reading, Celsius(temperature))
				if err == nil {
					require.GreaterOrEqual(t, got.Percent, MinSolids)
					require.LessOrEqual(t, got.Percent, MaxSolids)
				}
				shown, err := h.Reading(scale, Brix(solids), Celsius(temperature))
				requireFinite(t, "reading", shown, err)
			}
		}
		b, err := SyrupBoiling(Composition{Solids: Brix(solids)}, Kilopascals(temperature))
		requireFinite(t, "boiling", float64(b.Syrup), err)
		y, err := SyrupFromJuice(Liters(temperature), Brix(reading), Brix(solids))
		requireFinite(t, "yield", float64(y.Syrup), err)
		hot, err := HotVolume(Milliliters(reading), Brix(solids), Celsius(temperature))
		requireFinite(t, "fill", float64(hot), err)
	})
}
