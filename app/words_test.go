package app

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

func TestWords(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	us := words{lang: text.English, units: "us", zone: func() *time.Location { return zone }}
	metric := words{lang: text.Spanish, units: "metric", zone: us.zone}
	noon := time.Date(2025, 12, 6, 19, 5, 0, 0, time.UTC)
	tests := []struct {
		name, us, metric string
		say              func(words) (string, error)
	}{
		{"temperature", "185.0\u00a0°F", "85.0\u00a0°C", func(w words) (string, error) { return w.temperature(syrup.Celsius(85)) }},
		{"no temperature", "not recorded", "sin anotar", func(w words) (string, error) { return w.temperature((*syrup.Celsius)(nil)) }},
		{"volume", "1.0\u00a0gal", "3.8\u00a0L", func(w words) (string, error) { return w.volume(at(syrup.Liters(3.785411784))) }},
		{"contents", "12.0\u00a0fl oz", "354.9\u00a0mL", func(w words) (string, error) { return w.volume(syrup.USFluidOunces(12).Milliliters()) }},
		{"mass", "1.0\u00a0lb", "0.5\u00a0kg", func(w words) (string, error) { return w.mass(syrup.Kilograms(0.45359237)) }},
		{"small mass", "1.0\u00a0oz", "28.3\u00a0g", func(w words) (string, error) { return w.mass(at(syrup.Grams(28.349523125))) }},
		{"no mass", "not recorded", "sin anotar", func(w words) (string, error) { return w.mass((*syrup.Grams)(nil)) }},
		{"height", "1000.0\u00a0ft", "304.8\u00a0m", func(w words) (string, error) { return w.length(syrup.Meters(304.8)) }},
		{"solids", "74.0\u00a0%", "74.0\u00a0%", func(w words) (string, error) { return w.percent(syrup.Brix(74)) }},
		{"share", "25.0\u00a0%", "25.0\u00a0%", func(w words) (string, error) { return w.percent(syrup.Fraction(0.25)) }},
		{"day", "Sat 6 Dec 2025", "sáb 6 dic 2025", func(w words) (string, error) { return w.day(records.Day("2025-12-06")) }},
		{"no day", "not recorded", "sin anotar", func(w words) (string, error) { return w.day(records.Day("")) }},
		{"house day of a moment", "Sat 6 Dec 2025", "sáb 6 dic 2025", func(w words) (string, error) { return w.day(noon.Add(9 * time.Hour)) }},
		{"clock", "2:05\u00a0pm", "14:05", func(w words) (string, error) { return w.clock(noon) }},
		{"moment", "Sat 6 Dec 2025, 2:05\u00a0pm", "sáb 6 dic 2025, 14:05", func(w words) (string, error) { return w.moment(&noon) }},
		{"no moment", "not recorded", "sin anotar", func(w words) (string, error) { return w.moment((*time.Time)(nil)) }},
		{"minutes", "42\u00a0min", "42\u00a0min", func(w words) (string, error) { return w.minutes(42*time.Minute + 59*time.Second) }},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			said, err := test.say(us)
			assert.NoError(t, err)
			assert.Equal(t, test.us, said)
			said, err = test.say(metric)
			assert.NoError(t, err)
			assert.Equal(t, test.metric, said)
		})
	}
	_, err = us.temperature("hot")
	assert.Error(t, err, "a wrong type stops the page")
}

func TestSameFigure(t *testing.T) {
	w := words{lang: text.English, units: "us"}
	assert.True(t, sameFigure(w, "1850 lb", "1850.0\u00a0lb"))
	assert.False(t, sameFigure(w, "1850.25 lb", "1850.3\u00a0lb"), "it was typed more exactly")
	assert.False(t, sameFigure(w, "839 kg", "1850.0\u00a0lb"))
	assert.True(t, sameFigure(w, "", "1850.0\u00a0lb"), "nothing typed")
}
