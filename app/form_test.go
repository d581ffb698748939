package app

import (
	"net/url"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/records"
)

// formOf is a form outside a request: shown, or read from names and values in turn.
func formOf(t *testing.T, units string, pairs ...string) *form {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	w := words{lang: text.English, units: units, zone: func() *time.Location { return zone }}
	f := &form{ID: "cut", kind: "cut", words: w, now: testNow, list: func(records.Kind) ([]Choice, error) {
		return []Choice{{Value: "P1", Name: "Creek side, Home Green"}, {Value: "P2", Name: "Hill, Home Green"}}, nil
	}}
	if len(pairs) > 0 {
		f.raw = url.Values{}
		for i := 0; i < len(pairs); i += 2 {
			f.raw.Set(pairs[i], pairs[i+1])
		}
	}
	return f
}

// typedFrom is what a browser sends back of a form shown and not touched.
func typedFrom(f *form) []string {
	pairs := []string{"submission", "s"}
	for _, field := range f.Fields {
		pairs = append(pairs, field.Name, field.Value)
		for _, unit := range field.Units {
			if unit.Chosen {
				pairs = append(pairs, field.Name+"_unit", unit.Value)
			}
		}
		if field.Kind == "daytime" {
			for _, turn := range field.Choices {
				if turn.Chosen {
					pairs = append(pairs, field.Name+"_turn", turn.Value)
				}
			}
		}
	}
	return pairs
}

func at[T any](x T) *T { return &x }

// TestFormRoundTrip: a record shown in its form and sent back untouched is the same record, in either system of units.
func TestFormRoundTrip(t *testing.T) {
	cuts := map[string]records.Cut{
		"full": {PlantingID: "P1", CutOn: "2025-12-06", FinishedAt: at(time.Date(2025, 12, 6, 21, 5, 42, 0, time.UTC)), Harvester: "Marisol Vega",
			HarvesterPhone: "229 555 0101", WaitsAt: "mill yard", Mass: at(syrup.Pounds(1850).Kilograms()), MassEntered: "1850 lb", Estimated: true,
			Counted: "two loads", DayHigh: at(syrup.Fahrenheit(61).Celsius()), DayHighEntered: "61 F", FrozenStalks: records.StalksSound},
		"empty": {PlantingID: "P2", CutOn: "2025-12-06", Harvester: "Odell"},
	}
	for name, cut := range cuts {
		for _, units := range []string{"us", "metric"} {
			t.Run(name+" "+units, func(t *testing.T) {
				shown, want, got := formOf(t, units), cut, cut
				shown.Revision = 1
				cutForm(shown, &cut)
				read := formOf(t, units, typedFrom(shown)...)
				cutForm(read, &got)
				assert.Empty(t, read.Wrong)
				assert.Equal(t, want, got)
			})
		}
	}
}

// TestFormFreshIsBlank: what nobody measured is not zero on a new form.
func TestFormFreshIsBlank(t *testing.T) {
	f := formOf(t, "us")
	freezeForm(f, &records.Freeze{})
	assert.Empty(t, f.named("low").Value)
	f = formOf(t, "us")
	plantingForm(f, &records.Planting{})
	assert.Empty(t, f.named("ratoon").Value)
}

func TestNumbersTyped(t *testing.T) {
	tests := []struct{ typed, key string }{
		{"22.5", ""}, {"+22.5", ""}, {" 40 ", ""}, {"0", ""},
		{"22,5", "invalid.comma"}, {"1,850", "invalid.comma"}, {"NaN", "invalid.number"}, {"Inf", "invalid.number"},
		{"0x1p4", "invalid.number"}, {"1e3", "invalid.number"}, {"twenty", "invalid.number"}, {".5", "invalid.number"}, {"5.", "invalid.number"},
		{"1234567890123456789012345", "invalid.too_large"},
	}
	for _, test := range tests {
		t.Run(test.typed, func(t *testing.T) {
			f := formOf(t, "us", "mass", test.typed, "mass_unit", "lb")
			var mass *syrup.Kilograms
			var entered string
			field := f.Mass("mass", &mass, &entered, optional)
			if test.key == "" {
				require.Empty(t, f.Wrong)
				require.NotNil(t, mass)
				return
			}
			assert.Equal(t, text.Say(text.English, test.key), field.Error)
			assert.Equal(t, test.typed, field.Value, "what was typed stays")
			assert.Nil(t, mass)
			assert.Empty(t, entered)
		})
	}
}

func TestQuantities(t *testing.T) {
	t.Run("kept as entered", func(t *testing.T) {
		f := formOf(t, "us", "fill_limit", "185", "fill_limit_unit", "F")
		var limit *syrup.Celsius
		var entered string
		f.Temperature("fill_limit", &limit, &entered, optional)
		assert.InDelta(t, 85, float64(*limit), 1e-9)
		assert.Equal(t, "185 F", entered)
	})
	t.Run("below absolute zero", func(t *testing.T) {
		f := formOf(t, "us", "fill_limit", "-500", "fill_limit_unit", "F")
		var limit *syrup.Celsius
		f.Temperature("fill_limit", &limit, nil, optional)
		require.Len(t, f.Wrong, 1)
		assert.Contains(t, f.Wrong[0].Message, "-459.67")
	})
	t.Run("a unit of another quantity", func(t *testing.T) {
		f := formOf(t, "us", "mass", "12", "mass_unit", "gal")
		var mass *syrup.Kilograms
		f.Mass("mass", &mass, nil, optional)
		require.Len(t, f.Wrong, 1)
		assert.Equal(t, text.Say(text.English, "invalid.unit"), f.Wrong[0].Message)
	})
	t.Run("negative", func(t *testing.T) {
		f := formOf(t, "us", "mass", "-1", "mass_unit", "kg")
		var mass *syrup.Kilograms
		f.Mass("mass", &mass, nil, optional)
		assert.Len(t, f.Wrong, 1)
	})
	t.Run("hectares", func(t *testing.T) {
		f := formOf(t, "metric", "acres", "1", "acres_unit", "ha")
		var acres *float64
		var entered string
		f.Area("acres", &acres, &entered, optional)
		assert.InDelta(t, 2.4710538, *acres, 1e-6)
	})
	t.Run("never entered, shown in the person's unit", func(t *testing.T) {
		f := formOf(t, "us")
		f.Revision = 1
		field := f.Mass("mass", at(at(syrup.Kilograms(453.59237))), new(string), optional)
		assert.Equal(t, "1000", field.Value)
	})
}

// TestClockChanges: the night the clocks go forward has an hour that does not exist, the night they go back one that
// comes twice (United States, 9 March and 2 November 2025).
func TestClockChanges(t *testing.T) {
	tests := []struct {
		name, typed, turn, want, key string
	}{
		{"plain", "2025-12-06T14:05", "", "2025-12-06T19:05:00Z", ""},
		{"skipped", "2025-03-09T02:30", "", "", "invalid.moment_missing"},
		{"before the skip", "2025-03-09T01:59", "", "2025-03-09T06:59:00Z", ""},
		{"after the skip", "2025-03-09T03:00", "", "2025-03-09T07:00:00Z", ""},
		{"twice asks", "2025-11-02T01:30", "", "", "invalid.moment_twice"},
		{"first", "2025-11-02T01:30", "first", "2025-11-02T05:30:00Z", ""},
		{"second", "2025-11-02T01:30", "second", "2025-11-02T06:30:00Z", ""},
		{"once after", "2025-11-02T02:00", "", "2025-11-02T07:00:00Z", ""},
		{"nonsense", "yesterday", "", "", "invalid.moment"},
		{"no such day", "2025-02-30T01:00", "", "", "invalid.moment"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f := formOf(t, "us", "finished_at", test.typed, "finished_at_turn", test.turn)
			var when time.Time
			field := f.DayTime("finished_at", &when, required)
			if test.key != "" {
				assert.Equal(t, text.Say(text.English, test.key), field.Error)
				assert.True(t, when.IsZero())
				return
			}
			require.Empty(t, f.Wrong)
			assert.Equal(t, test.want, when.Format(time.RFC3339))
			assert.Equal(t, time.UTC, when.Location())
		})
	}
}

func TestYesNoHasThreeStates(t *testing.T) {
	for typed, want := range map[string]*bool{"yes": at(true), "no": at(false), "": nil} {
		f := formOf(t, "us", "for_sugarcane", typed)
		got := at(true)
		f.YesNo("for_sugarcane", &got, optional)
		assert.Equal(t, want, got, typed)
		assert.Empty(t, f.Wrong)
	}
	f := formOf(t, "us", "x", "")
	var got *bool
	f.YesNo("passed", &got, required)
	assert.Len(t, f.Wrong, 1, "needed and not answered")
}

// TestTextBounds tries each bound at, below and above.
func TestTextBounds(t *testing.T) {
	tests := []struct {
		typed string
		wrong bool
	}{{"", true}, {"a", true}, {"ab", false}, {"ñandú", false}, {"abcdef", true}, {"ab\x00", true}, {"a🍬b", true}}
	for _, test := range tests {
		f := formOf(t, "us", "harvester", test.typed)
		var got string
		f.Text("harvester", &got, 2, 5)
		assert.Equal(t, test.wrong, len(f.Wrong) > 0, "%q", test.typed)
	}
}

func TestPickRefusesWhatIsNotListed(t *testing.T) {
	f := formOf(t, "us", "planting", "P3")
	var id string
	f.Pick("planting", &id, f.choices(records.KindPlanting), required)
	require.Len(t, f.Wrong, 1)
	f = formOf(t, "us", "planting", "P1")
	f.Pick("planting", &id, f.choices(records.KindPlanting), required)
	assert.Empty(t, f.Wrong)
	assert.Equal(t, "P1", id)
}

// TestTakePutsFaultsAtTheirFields: the store names columns, the form fields.
func TestTakePutsFaultsAtTheirFields(t *testing.T) {
	f := formOf(t, "us", "planting", "P1")
	var id string
	f.Pick("planting", &id, f.choices(records.KindPlanting), required)
	require.True(t, f.take(records.Invalid{{Field: "planting_id", Key: "invalid.pick"}, {Field: "elsewhere", Key: "invalid.required"}}))
	assert.Equal(t, text.Say(text.English, "invalid.pick"), f.named("planting").Error)
	assert.Equal(t, "cut-planting", f.Wrong[0].Target)
	assert.Empty(t, f.Wrong[1].Target, "at the top of the form")
	assert.False(t, f.take(records.ErrNotFound))
}
