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
		difference, err := ParseDifference(text)
		requireFinite(t, text, float64(difference), err)
		percent, err := ParsePercent(text)
		requireFinite(t, text, percent, err)
		solids, err := ParseSolids(text)
		requireFinite(t, text, float64(solids), err)
		if err == nil {
			require.True(t, solids >= MinSolids && solids <= MaxSolids, "%q", text)
		}
		_, _ = MeantTemperature(text, RangeError{What: WhatTemperature, Min: 0, Max: 110, Unit: "C"})
		if stem, err := ParseStem(text); err == nil {
			require.NoError(t, Hydrometer{Stem: stem}.Validate())
		}
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
	f.Add(16.0, 1.7e308, 74.0)
	f.Add(1.7e308, 85.0, 74.0)
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

// The same of the models of two or three numbers each.
func FuzzOtherModelsNeverNaN(f *testing.F) {
	f.Add(74.0, 70.0, 20.0)
	f.Add(math.NaN(), math.Inf(1), -1.0)
	f.Add(0.0, 0.0, 0.0)
	f.Add(85.0, 85.0, 110.0)
	f.Add(1.4419, 60.0, 1e300)
	f.Add(74.0, 70.0, 1.7e308)
	f.Add(1.7e308, 1e-300, 74.0)
	f.Add(1.7e308, 20.0, 60.0)
	f.Fuzz(func(t *testing.T, a, b, c float64) {
		for name, model := range otherModels {
			got, err := model(a, b, c)
			requireFinite(t, name, got, err)
		}
	})
}

// otherModels take any three numbers in the order that comes nearest to their ranges.
var otherModels = map[string]func(a, b, c float64) (float64, error){
	"index": func(a, b, c float64) (float64, error) {
		w, err := SolidsFromIndex(RefractiveIndex(a))
		return float64(w), err
	},
	"solids to index": func(a, b, c float64) (float64, error) {
		n, err := IndexFromSolids(Brix(a))
		return float64(n), err
	},
	"refractometer": func(a, b, c float64) (float64, error) {
		w, err := RefractometerAt20(Brix(a), Celsius(c))
		return float64(w), err
	},
	"solubility": func(a, b, c float64) (float64, error) { w, err := Solubility(Celsius(c)); return float64(w), err },
	"supersaturation": func(a, b, c float64) (float64, error) {
		return Supersaturation(CrystalMix{Solids: Brix(a), Invert: Brix(b), Other: Brix(c)}, Celsius(b))
	},
	"activity": func(a, b, c float64) (float64, error) {
		mix, err := Sugars{Solids: Brix(a), Glucose: Brix(b), Fructose: Brix(c)}.Composition()
		if err != nil {
			return 0, err
		}
		aw, err := ActivityOf(mix, Celsius(c))
		return float64(aw), err
	},
	"rise": func(a, b, c float64) (float64, error) {
		s, err := SolidsFromRise(CelsiusDelta(a), Fraction(b), Fraction(c), Kilopascals(a+b))
		return float64(s.Percent), err
	},
	"density": func(a, b, c float64) (float64, error) { r, err := Density(Brix(a), Celsius(b)); return float64(r), err },
	"solids of density": func(a, b, c float64) (float64, error) {
		w, err := SolidsFromDensity(KilogramsPerCubicMeter(a), Celsius(b))
		return float64(w), err
	},
	"weight": func(a, b, c float64) (float64, error) { w, err := WeightPerGallon(Brix(a)); return float64(w), err },
	"baume":  func(a, b, c float64) (float64, error) { w, err := SolidsFromBaume(Baume(a), b); return float64(w), err },
	"implied": func(a, b, c float64) (float64, error) {
		w, err := ImpliedJuiceSolids(Liters(a), Liters(b), Brix(c))
		return float64(w), err
	},
	"thicken": func(a, b, c float64) (float64, error) {
		w, err := WaterToGo(Liters(a), Celsius(b), Brix(c), Brix(a))
		return float64(w.AfterVolume), err
	},
	"thin": func(a, b, c float64) (float64, error) {
		w, err := WaterToAdd(Liters(a), Celsius(b), Brix(a), Brix(c))
		return float64(w.AfterVolume), err
	},
	"blend": func(a, b, c float64) (float64, error) {
		m, err := BlendTo(Liters(c), Brix(a), Brix(b), Brix((a+b)/2))
		return float64(m.FirstVolume), err
	},
	"blend all": func(a, b, c float64) (float64, error) {
		m, err := BlendAll(Liters(c), Brix(a), Brix(b), Brix((a+b)/2))
		return float64(m.SecondVolume), err
	},
	"kept": func(a, b, c float64) (float64, error) { k, err := VolumeKept(Brix(a), Brix(b)); return float64(k), err },
	"loss": func(a, b, c float64) (float64, error) {
		y, err := SyrupFromJuice(Liters(a), 16, 74)
		if err != nil {
			return 0, err
		}
		y, err = y.Less(Fraction(b))
		return float64(y.SyrupVolume), err
	},
	"headspace": func(a, b, c float64) (float64, error) {
		h, err := HeadspaceOf(Milliliters(a), Milliliters(b), 74, Celsius(c))
		return float64(h.Hot), err
	},
	"vacuum": func(a, b, c float64) (float64, error) {
		v, err := VacuumBound(Composition{Solids: Brix(a)}, Fraction(b), Celsius(c))
		return float64(v), err
	},
	"lethal rate": func(a, b, c float64) (float64, error) { return LethalRate(Celsius(a), Celsius(b), CelsiusDelta(c)) },
	"lethality": func(a, b, c float64) (float64, error) {
		return Lethality([]Moment{{a, Celsius(b)}, {c, Celsius(b)}}, Celsius(a), CelsiusDelta(c))
	},
	"log kill": logKillOfThree,
	"viscosity": func(a, b, c float64) (float64, error) {
		v, _, err := Viscosity(Brix(a), Celsius(b), Fraction(c))
		return float64(v), err
	},
}

func logKillOfThree(a, b, _ float64) (float64, error) { return LogKill(a, b) }
