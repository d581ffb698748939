package app

import (
	"fmt"
	"html/template"
	"strconv"
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
	"canewright/templates"
)

// words writes texts, quantities and times in one setting. A nil quantity or an empty time is "not recorded".
type words struct {
	lang  text.Language
	units string
	zone  func() *time.Location
}

// functions are the template functions of one setting.
func (a *App) functions(set templates.Setting) template.FuncMap {
	w := words{lang: text.Language(set.Language), units: set.Units, zone: a.zone.Load}
	return template.FuncMap{
		"t": w.say, "temp": w.temperature, "volume": w.volume, "mass": w.mass, "length": w.length, "percent": w.percent,
		"day": w.day, "clock": w.clock, "moment": w.moment, "minutes": w.minutes,
		"asset": func(name string) (string, error) {
			if url, ok := a.assets[name]; ok {
				return url, nil
			}
			return "", fmt.Errorf("no static file %q", name)
		},
	}
}

// words of a visitor, for what handlers say themselves.
func (v *visitor) words() words {
	return words{lang: v.lang, units: v.units, zone: func() *time.Location { return v.zone }}
}

func (w words) say(key string, args ...any) string { return text.Say(w.lang, key, w.spoken(args)...) }

func (w words) notRecorded() string { return w.say("word.not_recorded") }

// noBreak keeps a figure and its unit on one line.
const noBreak = "\u00a0"

// figure writes one decimal with its unit.
func (w words) figure(us, metric float64, usUnit, metricUnit string) string {
	if w.units == "metric" {
		return decimal(metric) + noBreak + w.say(metricUnit)
	}
	return decimal(us) + noBreak + w.say(usUnit)
}

func decimal(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

// temperature writes a syrup.Celsius or a pointer to one.
func (w words) temperature(v any) (string, error) {
	t, ok, err := quantityOf[syrup.Celsius](v)
	if !ok {
		return w.notRecorded(), err
	}
	return w.figure(float64(t.Fahrenheit()), float64(t), "unit.fahrenheit", "unit.celsius"), nil
}

// volume writes liters (as gallons or liters) or milliliters (as fluid ounces or milliliters), or a pointer to them.
func (w words) volume(v any) (string, error) {
	if ml, ok, err := quantityOf[syrup.Milliliters](v); err == nil {
		if !ok {
			return w.notRecorded(), nil
		}
		return w.figure(float64(ml.USFluidOunces()), float64(ml), "unit.fluid_ounce", "unit.milliliter"), nil
	}
	l, ok, err := quantityOf[syrup.Liters](v)
	if !ok {
		return w.notRecorded(), err
	}
	return w.figure(float64(l.USGallons()), float64(l), "unit.gallon", "unit.liter"), nil
}

// gramsPerOunce is the avoirdupois ounce, exact by definition.
const gramsPerOunce = 28.349523125

// mass writes kilograms (as pounds or kilograms) or grams (as ounces or grams), or a pointer to them.
func (w words) mass(v any) (string, error) {
	if g, ok, err := quantityOf[syrup.Grams](v); err == nil {
		if !ok {
			return w.notRecorded(), nil
		}
		return w.figure(float64(g)/gramsPerOunce, float64(g), "unit.ounce", "unit.gram"), nil
	}
	m, ok, err := quantityOf[syrup.Kilograms](v)
	if !ok {
		return w.notRecorded(), err
	}
	return w.figure(float64(m.Pounds()), float64(m), "unit.pound", "unit.kilogram"), nil
}

// length writes a syrup.Meters, or a pointer to one, as feet or meters.
func (w words) length(v any) (string, error) {
	m, ok, err := quantityOf[syrup.Meters](v)
	if !ok {
		return w.notRecorded(), err
	}
	return w.figure(float64(m)/0.3048, float64(m), "unit.foot", "unit.meter"), nil
}

// percent writes a syrup.Brix as it is and a syrup.Fraction times hundred, or a pointer to them.
func (w words) percent(v any) (string, error) {
	if x, ok, err := quantityOf[syrup.Fraction](v); err == nil {
		if !ok {
			return w.notRecorded(), nil
		}
		return decimal(float64(x)*100) + noBreak + w.say("unit.percent"), nil
	}
	x, ok, err := quantityOf[syrup.Brix](v)
	if !ok {
		return w.notRecorded(), err
	}
	return decimal(float64(x)) + noBreak + w.say("unit.percent"), nil
}

// quantityOf takes a value or a pointer; ok is false for a nil pointer, and err names any other type.
func quantityOf[T ~float64](v any) (T, bool, error) {
	switch v := v.(type) {
	case T:
		return v, true, nil
	case *T:
		if v == nil {
			return 0, false, nil
		}
		return *v, true, nil
	}
	return 0, false, fmt.Errorf("%T is not a %T", v, T(0))
}

// minutes writes whole minutes of an int or a time.Duration.
func (w words) minutes(v any) (string, error) {
	switch v := v.(type) {
	case int:
		return strconv.Itoa(v) + noBreak + w.say("unit.minute"), nil
	case time.Duration:
		return w.minutes(int(v / time.Minute))
	case *time.Duration:
		if v == nil {
			return w.notRecorded(), nil
		}
		return w.minutes(*v)
	}
	return "", fmt.Errorf("minutes: %T is not a number of minutes", v)
}

// day writes a records.Day, or the house day of a time, as "Sun 6 Dec 2025".
func (w words) day(v any) (string, error) {
	if d, ok := v.(records.Day); ok {
		if !d.Valid() {
			return w.notRecorded(), nil
		}
		return w.calendar(d.Start(time.UTC)), nil
	}
	t, ok, err := timeOf(v)
	if !ok {
		return w.notRecorded(), err
	}
	return w.calendar(t.In(w.zone())), nil
}

func (w words) calendar(t time.Time) string {
	return fmt.Sprintf("%s %d %s %d", w.say("weekday.short."+strconv.Itoa(int(t.Weekday()))), t.Day(),
		w.say("month.short."+strconv.Itoa(int(t.Month()))), t.Year())
}

// clock writes the time of day in the house's zone: "2:05 pm" for US units, "14:05" for metric ones.
func (w words) clock(v any) (string, error) {
	t, ok, err := timeOf(v)
	if !ok {
		return w.notRecorded(), err
	}
	if w.units == "metric" {
		return t.In(w.zone()).Format("15:04"), nil
	}
	return t.In(w.zone()).Format("3:04" + noBreak + "pm"), nil
}

// moment writes day and time of day.
func (w words) moment(v any) (string, error) {
	day, err := w.day(v)
	if _, ok, _ := timeOf(v); !ok || err != nil {
		return day, err
	}
	clock, err := w.clock(v)
	return day + ", " + clock, err
}

// timeOf takes a time.Time or a pointer; ok is false for nil and for the zero time.
func timeOf(v any) (time.Time, bool, error) {
	switch v := v.(type) {
	case time.Time:
		return v, !v.IsZero(), nil
	case *time.Time:
		if v == nil {
			return time.Time{}, false, nil
		}
		return *v, !v.IsZero(), nil
	}
	return time.Time{}, false, fmt.Errorf("%T is not a time", v)
}
