package hazards

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

var wholeAction = CorrectiveAction{Code: "fill.below_limit", About: "f1", Problem: "reheated", Recurrence: "hotter tank",
	Evaluation: "12 bottles opened", Commerce: "none left the house"}

func TestBlocking(t *testing.T) {
	hold := Finding{Code: "fill.below_limit", About: "f1", Level: Hold}
	stop := Finding{Code: "fill.below_limit", About: "f1", Level: Stop}
	check := Finding{Code: "fill.below_limit", About: "f1", Level: Check}
	change := func(do func(*CorrectiveAction)) Answers {
		a := wholeAction
		do(&a)
		return Answers{Actions: []CorrectiveAction{a}}
	}
	whole := change(func(*CorrectiveAction) {})
	tests := []struct {
		name    string
		finding Finding
		answers Answers
		blocks  bool
	}{
		{"within", Finding{Level: Within}, Answers{}, false},
		{"note", Finding{Level: Note}, Answers{}, false},
		{"check without a reason", check, Answers{}, true},
		{"check with a blank reason", check, Answers{Reason: "  "}, true},
		{"check with the reason", check, Answers{Reason: "looked at six bottles"}, false},
		{"check with its own action", check, whole, false},
		{"hold", hold, Answers{}, true},
		{"hold is not answered by the reason", hold, Answers{Reason: "fine"}, true},
		{"hold with its action", hold, whole, false},
		{"action for another code", hold, change(func(a *CorrectiveAction) { a.Code = "fill.closure" }), true},
		{"action for another record", hold, change(func(a *CorrectiveAction) { a.About = "f2" }), true},
		{"problem blank", hold, change(func(a *CorrectiveAction) { a.Problem = " " }), true},
		{"recurrence blank", hold, change(func(a *CorrectiveAction) { a.Recurrence = "" }), true},
		{"evaluation blank", hold, change(func(a *CorrectiveAction) { a.Evaluation = "" }), true},
		{"commerce blank", hold, change(func(a *CorrectiveAction) { a.Commerce = "\n" }), true},
		{"stop is never answered", stop, Answers{Actions: whole.Actions, Reason: "fine"}, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.blocks, len(Blocking([]Finding{test.finding}, test.answers)) == 1)
		})
	}
}

func TestCanRelease(t *testing.T) {
	ready := ReleaseFacts{State: StateHeld, MayRelease: true, Units: ptr(140), Findings: []Finding{{Level: Note}}}
	said := func(do func(*ReleaseFacts)) []string {
		f := ready
		do(&f)
		var keys []string
		for _, m := range CanRelease(f) {
			key := m.Key
			if m.Finding != nil {
				key = m.Finding.Code
			}
			keys = append(keys, key)
			for _, lang := range text.Languages() {
				assert.NotContains(t, m.Words(lang, US), "⟦")
				assert.NotEmpty(t, m.Words(lang, US))
			}
		}
		return keys
	}
	assert.Empty(t, said(func(*ReleaseFacts) {}))
	assert.Empty(t, said(func(f *ReleaseFacts) { f.State = StateRecalled }))
	assert.Equal(t, []string{"release_missing.right"}, said(func(f *ReleaseFacts) { f.MayRelease = false }))
	assert.Equal(t, []string{"release_missing.filling"}, said(func(f *ReleaseFacts) { f.State, f.Units = StateFilling, nil }))
	assert.Equal(t, []string{"release_missing.count"}, said(func(f *ReleaseFacts) { f.Units = nil }))
	for _, state := range []string{StateReleased, StateReworked, StateDestroyed} {
		assert.Equal(t, []string{"release_missing.state"}, said(func(f *ReleaseFacts) { f.State = state }))
	}
	checks := func(f *ReleaseFacts) {
		f.Findings = []Finding{{Code: "a", Level: Check}, missing("lot_count", "lot", "26341K2B1"), {Code: "b", Level: Check}}
	}
	assert.Equal(t, []string{"required.lot_count", "release_missing.reason"}, said(checks), "one reason answers all checks")
	assert.Equal(t, []string{"required.lot_count"}, said(func(f *ReleaseFacts) { checks(f); f.Answers.Reason = "looked" }))
}

func advise(r ReadingFacts, volume *syrup.Liters) Advice {
	return Advise(AdviceFacts{Reading: r, Volume: volume, Target: 74.5}, rules)
}

func TestAdvise(t *testing.T) {
	tests := []struct {
		name    string
		reading ReadingFacts
		want    string
	}{
		{"no temperature", spindled(StageBoil, 33, nil), AdviceNoTemperature},
		{"not usable", spindled(StageBoil, 51, degF(220)), AdviceNotUsable},
		{"thin in the boil", refracted(StageBoil, 60), AdviceBoilOn},
		{"a step under the target", refracted(StageBoil, 74.49), AdviceBoilOn},
		{"at the target", refracted(StageBoil, 74.5), AdviceTarget},
		{"at 76", refracted(StageFinish, 76), AdviceTarget},
		{"over 76", refracted(StageFinish, 76.01), AdviceAddWater},
		{"thin finish", refracted(StageFinish, 73.99), AdviceHold},
		{"finish at 74, under the house's target", refracted(StageFinish, 74), AdviceBoilOn},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := advise(test.reading, nil)
			assert.Equal(t, test.want, a.Code)
			for _, lang := range text.Languages() {
				for _, units := range []string{US, Metric} {
					assert.NotContains(t, a.Words(lang, units), "⟦")
				}
			}
		})
	}
}

func TestAdviceFigures(t *testing.T) {
	volume := syrup.USGallons(20).Liters()
	thin := refracted(StageFinish, 70)
	a := Advise(AdviceFacts{Reading: thin, Volume: &volume, Target: 74}, rules)
	require.NotNil(t, a.Water)
	// trade 7.6: 20 gal at 70 % to 74 %: 12.16 lb of water off, 18.57 gal left.
	assert.InDelta(t, 12.16, float64(a.Water.Water.Pounds()), 0.02)
	assert.InDelta(t, 18.57, float64(a.Water.AfterVolume.USGallons()), 0.01)
	assert.False(t, a.PerGallon)
	assert.Equal(t, "About 70.0 ± 0.5 % solids, estimated. Too thin for cane syrup. Boil more to 74.0 %, blend, or hold. "+
		"Water still to go: 12.16 lb (1.46 gal). Syrup left: 18.57 gal when cool.", a.Words(text.English, US))

	thick := Advise(AdviceFacts{Reading: refracted(StageFinish, 78), Volume: &volume, Target: 75}, rules)
	// trade 7.5: 20 gal at 78 % to 75 %: 9.34 lb of water.
	assert.InDelta(t, 9.34, float64(thick.Water.Water.Pounds()), 0.02)
	assert.Contains(t, thick.Words(text.Spanish, Metric), "Agregue 4.24 kg")

	per := Advise(AdviceFacts{Reading: thin, Target: 74}, rules)
	assert.True(t, per.PerGallon)
	assert.Contains(t, per.Words(text.English, US), "0.61 lb (0.07 gal)")
	assert.Contains(t, per.Words(text.English, US), "each gallon")
	assert.Contains(t, per.Words(text.English, Metric), "each liter")
	assert.Contains(t, per.Words(text.English, Metric), "0.07 kg")
}

func TestTargetReading(t *testing.T) {
	// physics 3, target reading for 74.0 %, stem 60F (computed, regression values).
	for f, want := range map[syrup.Fahrenheit]float64{220: 35.56, 180: 36.66, 68: 39.41} {
		got, err := TargetReading(spindle, syrup.ScaleBaume, 74, f.Celsius())
		require.NoError(t, err)
		assert.InDelta(t, want, got, 0.01)
	}
	got, err := TargetReading(refractometer, syrup.ScaleBrix, 74, 20)
	require.NoError(t, err)
	assert.Equal(t, 74.0, got)
	_, err = TargetReading(nil, syrup.ScaleBaume, 74, 120)
	assert.ErrorAs(t, err, &syrup.RangeError{})
	reading := advise(spindled(StageBoil, 33.5, degF(220)), nil).TargetReading
	require.NotNil(t, reading)
	assert.InDelta(t, 35.8, *reading, 0.1)
	assert.Nil(t, advise(spindled(StageBoil, 33.5, nil), nil).TargetReading)
	assert.Nil(t, advise(spindled(StageBoil, 33.5, ptr(syrup.Celsius(120))), nil).TargetReading)
}
