package main

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

func TestParseRecord(t *testing.T) {
	want := []syrup.Moment{{Minutes: 0, Temperature: 85}, {Minutes: 2.5, Temperature: 80}}
	for name, text := range map[string]string{
		"Celsius on the number":    "0,85C\n2.5,80C\n",
		"Fahrenheit on the number": "0,185F\n2.5,176F\n",
		"a heading":                "minutes,temperature\n0,185F\n2.5,176F\n",
		"a heading with the unit":  "minutes,temperature_f\n0,185\n2.5,176\n",
		"a unit in brackets":       "min,T (°C)\n0,85\n2.5,80\n",
		"spaces and a last blank":  " 0, 185 °F\n2.5, 176 °F\n\n",
		"a comment":                "# bottle 3\n0,85C\n2.5,80C\n",
		"as a spreadsheet saves":   "\ufeffminutes,temperature_c\r\n0,85\r\n2.5,80\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			got, err := syrup.ParseRecord(strings.NewReader(text))
			require.NoError(t, err)
			require.Len(t, got, len(want))
			for i := range want {
				assert.Equal(t, want[i].Minutes, got[i].Minutes)
				assert.InDelta(t, float64(want[i].Temperature), float64(got[i].Temperature), 1e-9)
			}
		})
	}
}

func TestParseRecordRefuses(t *testing.T) {
	for text, wants := range map[string][]string{
		"0,85\n":                      {"line 1", "“85”", "F, C"},
		"minutes,temperature\n0,85\n": {"line 2", "write the unit"},
		"0,85C\n1,176F\n":             {"line 2", "F after ones in C", "one unit"},
		"0,85C\n1\n":                  {"line 2", "1 values"},
		"0,85C,x\n":                   {"3 values"},
		"NaN,85C\n":                   {"line 1", "“NaN”"},
		"0,NaNC\n":                    {"line 1"},
		"NaN,NaN\n":                   {"line 1", "“NaN”"},
		"0,1e2C\n":                    {"line 1"},
		"0,-300C\n":                   {"line 1", "Temperature"},
		"\"0,85C\n":                   {"quotation mark"},
		",85C\n":                      {"line 1", "Nothing typed"},
	} {
		_, err := syrup.ParseRecord(strings.NewReader(text))
		if assert.Error(t, err, text) {
			for _, want := range wants {
				assert.Contains(t, sayProblem(err), want, text)
			}
		}
	}
	_, err := syrup.ParseRecord(strings.NewReader(strings.Repeat("0,85C\n", syrup.LongestRecord+1)))
	require.Error(t, err)
	assert.Contains(t, sayProblem(err), "86400")
	empty, err := syrup.ParseRecord(strings.NewReader(""))
	require.NoError(t, err)
	assert.Empty(t, empty, "nothing is told by the integral: it wants two readings")
}

// What is not a record is refused in words; what is one gives a finite sum or a refusal.
func FuzzParseRecord(f *testing.F) {
	for _, seed := range []string{"0,85C\n1,80C\n", "minutes,temperature_f\n0,185\n", "NaN,NaN\n", "\"", "\ufeff", ",", "0,85C\n0,85C\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		record, err := syrup.ParseRecord(strings.NewReader(text))
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		minutes, err := syrup.Lethality(record, 82.2, 12.8)
		if err != nil {
			require.NotEmpty(t, sayProblem(err))
			return
		}
		require.False(t, math.IsNaN(minutes) || math.IsInf(minutes, 0))
	})
}

func TestCalcTellsStepsOfARecord(t *testing.T) {
	for text, want := range map[string]string{
		"0,85C\n6,80C\n": "Reading 2 at 6 min: expected at most 5 min after the one before, at 0 min.",
		"2,85C\n1,80C\n": "Reading 2 at 1 min: expected a time after 2 min.",
	} {
		record, err := syrup.ParseRecord(strings.NewReader(text))
		require.NoError(t, err)
		_, err = syrup.Lethality(record, 82.2, 12.8)
		assert.Equal(t, want, sayProblem(err))
	}
}

// No typed line makes a calculation panic or print a text that is not there.
func FuzzCalc(f *testing.F) {
	for _, seed := range []string{"74", "0.74", "220C", "NaN", "22,5", "-1", "80gal", "1e9F", "", "٧٤", "0.5%", "16 fl oz", "99999999999999999999"} {
		f.Add(seed)
	}
	forms := []string{
		"solids --baume %s --at 220F", "solids --brix 60 --at %s", "reading --solids %s --at 220F", "boil --solids 74 --altitude %s",
		"boil --solids 74 --invert %s", "boil --solids 74 --pressure %s", "refractometer --index %s", "refractometer --brix 70 --at %s",
		"compare --baume 35 --at 220F --boiled %s", "aw --solids %s", "aw --glucose %s", "crystal --at 20C --solids %s",
		"weight --solids %s", "yield --juice %s --juice-brix 18 --solids 74", "yield --juice 80gal --juice-brix %s --solids 74",
		"implied --juice %s --syrup 10gal --solids 74", "thin --volume %s --solids 78 --to 75", "thicken --volume 20gal --solids 70 --to %s",
		"blend --solids 70 --with 78 --to %s", "fill --volume %s --solids 74 --at 185F", "headspace --brim %s --volume 355mL --solids 74 --at 185F",
		"lethality --ref %s --z 23F --csv testdata/cooling.csv", "lethality --ref 180F --z %s --csv testdata/cooling.csv",
		"viscosity --solids %s --at 20C", "lotcode --check %s",
	}
	f.Fuzz(func(t *testing.T, typed string) {
		for _, form := range forms {
			args := strings.Fields(form)
			for i := range args {
				if args[i] == "%s" {
					args[i] = typed
				}
			}
			var out, errs strings.Builder
			code := calc(append(args, "--json"), &out, &errs)
			require.Contains(t, []int{calcDone, calcWrong, calcUsage}, code)
			said := out.String() + errs.String()
			require.NotContains(t, strings.ReplaceAll(said, typed, ""), "⟦", "%s with %q", form, typed)
			if code == calcDone {
				require.NotContains(t, out.String(), "NaN")
			}
		}
	})
}

// The cost of going on to 74 % is told below 74 % and not from there on.
func TestLostTo74(t *testing.T) {
	assert.Nil(t, lostTo74(74))
	assert.Nil(t, lostTo74(75))
	assert.Nil(t, lostTo74(0.05), "next to nothing in the water")
	below := lostTo74(73.99)
	require.NotNil(t, below)
	assert.Positive(t, *below)
	seventy := lostTo74(70)
	require.NotNil(t, seventy)
	assert.InDelta(t, 7.2, *seventy, 0.06)
}
