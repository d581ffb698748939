package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

func TestJudgeBoil(t *testing.T) {
	fahrenheit := func(f syrup.Fahrenheit, typed string) BoilFacts {
		return BoilFacts{ID: "e" + typed, Name: "25341K2", Temperature: f.Celsius(), TemperatureEntered: typed}
	}
	tests := []struct {
		name          string
		before, entry BoilFacts
		want          string
	}{
		{"a steady boil", fahrenheit(212, "212 F"), fahrenheit(216, "216 F"), ""},
		{"just 60 F apart", fahrenheit(150, "150 F"), fahrenheit(210, "210 F"), ""},
		{"more than 60 F up", fahrenheit(149, "149 F"), fahrenheit(210, "210 F"), "boil.jump"},
		{"more than 60 F down", fahrenheit(221, "221 F"), fahrenheit(160, "160 F"), "boil.jump"},
		{"Celsius typed as Fahrenheit", fahrenheit(221, "221 F"), fahrenheit(104, "104 F"), "boil.slip_celsius_as_fahrenheit"},
		{"104 F while warming up", fahrenheit(80, "80 F"), fahrenheit(104, "104 F"), ""},
		{"Celsius typed as Celsius", fahrenheit(221, "221 F"), BoilFacts{ID: "e", Temperature: 104, TemperatureEntered: "104 C"}, ""},
		{"at the limit", fahrenheit(226, "226 F"), fahrenheit(232, "232 F"), ""},
		{"hotter than syrup gets", fahrenheit(226, "226 F"), fahrenheit(233, "233 F"), "reading.temperature_high"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			findings := JudgeBoil([]BoilFacts{test.before, test.entry}, Rules{})
			if test.want == "" {
				assert.Empty(t, findings)
				return
			}
			if assert.Len(t, findings, 1) {
				assert.Equal(t, test.want, findings[0].Code)
				assert.Equal(t, Note, findings[0].Level)
				assert.Equal(t, test.entry.ID, findings[0].About)
				for _, lang := range text.Languages() {
					words := findings[0].Words(lang, US)
					assert.NotContains(t, words.What+words.Why+words.Next, "⟦")
				}
			}
		})
	}
}

// boilExamples are the findings of a boil log with every slip in it.
func boilExamples() []Finding {
	entries := []BoilFacts{{ID: "e1", Name: "25341K2", Temperature: 105, TemperatureEntered: "221 F"},
		{ID: "e2", Name: "25341K2", Temperature: 40, TemperatureEntered: "104 F"},
		{ID: "e3", Name: "25341K2", Temperature: 105, TemperatureEntered: "221 F"}}
	return JudgeBoil(entries, Rules{})
}
