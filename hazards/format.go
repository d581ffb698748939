package hazards

import (
	"math"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// The two systems of units a person can choose.
const (
	US     = "us"
	Metric = "metric"
)

// most is how many decimals a number may be given to be told from its limit.
const most = 4

// decimals is how many decimals a measured value and its limit are printed with: one, two within 0.1 of each other, and
// more when they would otherwise look the same and are not.
func decimals(measured, limit *Value, units string) int {
	if measured == nil || limit == nil || measured.Unit != limit.Unit {
		return 1
	}
	a, _ := measured.shown(units)
	b, _ := limit.shown(units)
	if math.Abs(a-b) > 0.1 {
		return 1
	}
	for n := 2; n < most; n++ {
		if a == b || fixed(a, n) != fixed(b, n) {
			return n
		}
	}
	return most
}

func fixed(x float64, n int) string { return strconv.FormatFloat(x, 'f', n, 64) }

// shown is the number in the chosen units and the catalogue key of that unit.
func (v *Value) shown(units string) (float64, string) {
	us := units == US
	switch v.Unit {
	case UnitCelsius:
		if us {
			return float64(syrup.Celsius(v.Number).Fahrenheit()), "unit.fahrenheit"
		}
		return v.Number, "unit.celsius"
	case UnitCelsiusDelta:
		if us {
			return float64(syrup.CelsiusDelta(v.Number).Fahrenheit()), "unit.fahrenheit"
		}
		return v.Number, "unit.celsius"
	case UnitLiters:
		if us {
			return float64(syrup.Liters(v.Number).USGallons()), "unit.gallon"
		}
		return v.Number, "unit.liter"
	case UnitKilograms:
		if us {
			return float64(syrup.Kilograms(v.Number).Pounds()), "unit.pound"
		}
		return v.Number, "unit.kilogram"
	}
	if r, ok := rates[v.Unit]; ok {
		if us {
			return v.Number, r.us
		}
		return v.Number * r.factor, r.metric
	}
	return v.Number, unitKeys[v.Unit]
}

// exact is the value with as many decimals, up to four, as it takes to be true to a two-thousandth part of it.
func (v *Value) exact(lang text.Language, units string) string {
	x, _ := v.shown(units)
	n := 0
	for ; n < most; n++ {
		if scale := math.Pow10(n); math.Abs(math.Round(x*scale)/scale-x) <= math.Abs(x)/2000 {
			break
		}
	}
	return v.words(lang, units, n)
}

// unitKeys are the catalogue keys of units that are the same in both systems.
var unitKeys = map[Unit]string{
	UnitSolids: "unit.percent", UnitPercent: "unit.percent", UnitBaume: "unit.baume", UnitBrix: "unit.brix",
	UnitHours: "unit.hour", UnitMinutes: "unit.minute", UnitSeconds: "unit.second", UnitGrams: "unit.gram",
	UnitPPM: "unit.ppm", UnitPPB: "unit.ppb", UnitMilligramsPerLiter: "unit.milligram_per_liter", UnitMilliliters: "unit.milliliter",
	UnitMillimeters: "unit.millimeter",
}

// words is the value with so many decimals; counts of things have none.
func (v *Value) words(lang text.Language, units string, decimals int) string {
	if v == nil {
		return text.Say(lang, "word.not_recorded")
	}
	switch v.Unit {
	case UnitName:
		return v.Text
	case UnitKeys:
		return keyWords(lang, v.Text)
	case UnitDay:
		return dayWords(lang, v.Text)
	case UnitMoment:
		return momentWords(lang, v.Text)
	case UnitClock:
		said := momentWords(lang, v.Text)
		return said[strings.LastIndexByte(said, ' ')+1:]
	case UnitDays:
		return text.Say(lang, "count.days", text.Count(int(v.Number)))
	case UnitBottles:
		return text.Say(lang, "count.bottles", text.Count(int(v.Number)))
	}
	x, key := v.shown(units)
	if (v.Unit == UnitMinutes || v.Unit == UnitSeconds) && x == math.Trunc(x) {
		decimals = 0
	}
	if least, alone := bare[v.Unit]; alone {
		if least == 0 {
			return fixed(x, 0)
		}
		return fixed(x, max(least, decimals))
	}
	said := fixed(x, decimals)
	if v.Uncertainty != nil {
		said += " ± " + fixed(*v.Uncertainty*v.scaling(units), 1)
	}
	return said + " " + text.Say(lang, key)
}

// scaling turns a difference in the value's unit into one in the shown unit.
func (v *Value) scaling(units string) float64 {
	if v.Unit == UnitCelsius && units == US {
		return float64(syrup.CelsiusDelta(1).Fahrenheit())
	}
	return 1
}

func keyWords(lang text.Language, keys string) string {
	var words []string
	for key := range strings.FieldsSeq(keys) {
		words = append(words, text.Say(lang, key))
	}
	return strings.Join(words, ", ")
}

func dayWords(lang text.Language, day string) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return text.Say(lang, "word.not_recorded")
	}
	return strconv.Itoa(t.Day()) + " " + text.Say(lang, "month.short."+strconv.Itoa(int(t.Month()))) + " " + strconv.Itoa(t.Year())
}

// momentWords keeps the offset the moment was stored with, which is the house's.
func momentWords(lang text.Language, moment string) string {
	t, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		return text.Say(lang, "word.not_recorded")
	}
	return dayWords(lang, t.Format(time.DateOnly)) + " " + t.Format("15:04")
}
