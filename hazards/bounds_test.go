package hazards

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// canonical turns a number of the trade into the unit of its bound.
func canonical(x float64, as string) float64 {
	switch as {
	case "F":
		return float64(syrup.Fahrenheit(x).Celsius())
	case "F apart":
		return float64(syrup.FahrenheitDelta(x).Celsius())
	case "gal":
		return float64(syrup.USGallons(x).Liters())
	}
	return x
}

// stepOf is one step past an end: far less than anybody types, far more than a float64 loses.
const stepOf = 1e-4

// Every end of every bound, at it and one step to each side, against the table of the trade. A bound that is not in the
// file, or an end that is open in one and not in the other, fails.
func TestBoundsAtTheirEnds(t *testing.T) {
	rows := csvRows(t, "bounds.csv")
	require.Len(t, rows, len(Bounds()), "every bound has its row")
	for _, r := range rows {
		t.Run(r["code"], func(t *testing.T) {
			b, ok := BoundOf(r["code"])
			require.True(t, ok)
			for _, end := range []struct {
				column string
				have   *float64
				least  bool
				beyond Level
			}{
				{"warn_low", b.Warn.Low, true, Check}, {"warn_high", b.Warn.High, false, Check},
				{"hard_low", b.Hard.Low, true, Stop}, {"hard_high", b.Hard.High, false, Stop},
			} {
				cell, asks := strings.CutSuffix(r[end.column], " asks")
				if cell == "" {
					assert.Nil(t, end.have, end.column)
					continue
				}
				require.NotNil(t, end.have, end.column)
				x, err := syrup.ParseNumber(cell)
				require.NoError(t, err)
				out := stepOf
				if end.least {
					out = -stepOf
				}
				level := func(x float64) Level { l, _ := Plausible(b.Code, canonical(x, r["as"]), ""); return l }
				assert.Equal(t, end.beyond, level(x+out), "%s: one step past %v", end.column, x)
				if asks {
					assert.Equal(t, end.beyond, level(x), "%s: the end %v asks", end.column, x)
				} else {
					assert.Less(t, level(x), end.beyond, "%s: the end %v itself", end.column, x)
				}
				if r["code"] != BoundCountDiffering { // its two ends are one number
					assert.Less(t, level(x-out), end.beyond, "%s: one step inside %v", end.column, x)
				}
			}
		})
	}
}

func TestBoundsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range Bounds() {
		assert.False(t, seen[b.Code], b.Code)
		seen[b.Code] = true
		assert.NotEmpty(t, b.Source, b.Code)
		for _, lang := range text.Languages() {
			for _, key := range []string{"bound." + b.Code, "bound_means." + b.Code} {
				assert.True(t, text.Has(lang, key), "%s in %s", key, lang)
			}
		}
		for _, r := range []Range{b.Usual, b.Warn, b.Hard} {
			assert.True(t, !r.closed() || *r.Low <= *r.High, b.Code)
		}
		for _, end := range []*float64{b.Warn.Low, b.Warn.High} {
			assert.True(t, end == nil || b.Hard.holds(*end), "%s: what warns is not refused", b.Code)
		}
		for _, end := range []*float64{b.Usual.Low, b.Usual.High} {
			if end != nil {
				assert.Equal(t, Within, b.level(*end), "%s: the usual %v", b.Code, *end)
			}
		}
		value := number(1, b.Unit)
		for _, units := range []string{US, Metric} {
			assert.NotContains(t, value.Words(text.English, units), "⟦", b.Code)
			assert.NotContains(t, value.Words(text.Spanish, units), "⟦", b.Code)
		}
	}
	for _, key := range text.Keys(text.English) {
		code, of := strings.CutPrefix(key, "bound.")
		assert.True(t, !of || seen[code], "%s names no bound", key)
	}
	for _, slip := range Slips() {
		for _, lang := range text.Languages() {
			assert.True(t, text.Has(lang, "slip."+string(slip)), "%s in %s", slip, lang)
		}
	}
}

func TestPlausibleNamesTheSlip(t *testing.T) {
	named := map[Slip]bool{}
	for _, r := range csvRows(t, "slips.csv") {
		t.Run(r["code"]+" "+r["typed"]+r["unit"], func(t *testing.T) {
			x := r.must(t, "typed")
			unit := bounds[r["code"]].Unit
			if r["unit"] == "F" {
				x = canonical(x, map[Unit]string{UnitCelsius: "F", UnitCelsiusDelta: "F apart"}[unit])
			}
			level, slip := Plausible(r["code"], x, strings.TrimSpace(r["typed"]+" "+r["unit"]))
			assert.Equal(t, r["level"], level.String())
			assert.Equal(t, Slip(r["slip"]), slip)
			named[slip] = true
		})
	}
	for _, b := range Bounds() {
		for _, rule := range b.slips {
			assert.Contains(t, Slips(), rule.slip, b.Code)
			if rule.slip != SlipGallonsAndLiters {
				assert.True(t, named[rule.slip], "%s is in no row", rule.slip)
			}
		}
	}
}

func TestPlausibleRefusesWhatIsNoNumber(t *testing.T) {
	for _, b := range Bounds() {
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			level, slip := Plausible(b.Code, x, "")
			assert.Equal(t, Stop, level, b.Code)
			assert.Empty(t, slip, b.Code)
		}
	}
	level, slip := Plausible("kettle.colour", 1, "")
	assert.Equal(t, Stop, level)
	assert.Empty(t, slip)
	_, ok := BoundOf("kettle.colour")
	assert.False(t, ok)
}

// A number inside its bound never has a slip, whatever was typed; and no input panics or gives a level that is none.
func FuzzPlausible(f *testing.F) {
	f.Add(BoundFinishTemp, 41.1, "106 F")
	f.Add(BoundBaume, math.NaN(), "")
	f.Add("", math.Inf(1), "C")
	f.Fuzz(func(t *testing.T, code string, x float64, entered string) {
		level, slip := Plausible(code, x, entered)
		require.Contains(t, []Level{Within, Check, Stop}, level)
		if level == Within {
			require.Empty(t, slip)
		}
	})
}

func TestHardRange(t *testing.T) {
	low, high := HardRange(BoundJuicePH)
	assert.Equal(t, []float64{3, 9}, []float64{low, high})
}

// The rates of the trade in metric. Worked by hand: 1 gal/acre = 3.785411784/0.40468564224 L/ha.
func TestRatesInMetric(t *testing.T) {
	for unit, want := range map[Unit]string{
		UnitAcres: "4.0 ha", UnitTonsPerAcre: "22.4 t/ha", UnitGallonsPerAcre: "93.5 L/ha", UnitGallonsPerTon: "41.7 L/t", UnitGallonsPerHour: "37.9 L/h",
	} {
		v := number(10, unit)
		assert.Equal(t, want, v.Words(text.English, Metric), unit)
		assert.True(t, strings.HasPrefix(v.Words(text.English, US), "10.0 "), unit)
	}
	for _, c := range []struct {
		x    float64
		unit Unit
		want string
	}{{5, UnitCount, "5"}, {0.85, UnitActivity, "0.850"}, {4.7, UnitPH, "4.7"}, {5.96, UnitRatio, "5.96"}, {250, UnitPPB, "250.0 ppb"}} {
		v := number(c.x, c.unit)
		assert.Equal(t, c.want, v.Words(text.English, US))
	}
}
