package hazards

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
)

// unusualCases: the warnings of the batch sheet where a judgement has the facts.
func unusualCases() []judgeCase {
	juice := func(do func(*PressingFacts)) []Finding {
		p := PressingFacts{ID: "p", Name: "pressing 1"}
		do(&p)
		return p.unusual()
	}
	boiled := func(do func(*RunFacts)) []Finding {
		r := RunFacts{ID: "run", Name: "26341K2", FireLitAt: clockAt(8, 0), DrawnOffAt: clockAt(12, 0)}
		do(&r)
		return r.unusual()
	}
	hours := func(h float64) []Finding {
		return boiled(func(r *RunFacts) { r.DrawnOffAt = ptr(r.FireLitAt.Add(time.Duration(h * float64(time.Hour)))) })
	}
	stood := func(end *time.Time) []Finding {
		return boiled(func(r *RunFacts) { r.Pressings = []PressingFacts{{ID: "p", EndedAt: end}} })
	}
	gallonsOf := func(in, out syrup.USGallons) []Finding {
		return boiled(func(r *RunFacts) { r.JuiceIn, r.VolumeOut = ptr(in.Liters()), ptr(out.Liters()) })
	}
	grown := func(ratoon, interval int) []Finding {
		c := cane()
		c.Planting.Ratoon = &ratoon
		c.Applications = []ApplicationFacts{sprayed("2026-01-01", interval)}
		return c.unusual()
	}
	applied := func(on Day) []Finding {
		c := cane()
		c.Applications = []ApplicationFacts{sprayed(on, 130)}
		return c.unusual()
	}
	ask, slip := levels{"bounds.unusual": Check}, levels{"bounds.unusual_slip": Check}
	return []judgeCase{
		{"unusual/juice not measured", juice(func(*PressingFacts) {}), levels{}},
		{"unusual/juice at 11 Brix", juice(func(p *PressingFacts) { p.Brix = ptr(syrup.Brix(11)) }), levels{}},
		{"unusual/juice under 11 Brix may be Baume", juice(func(p *PressingFacts) { p.Brix = ptr(syrup.Brix(10.9)) }), slip},
		{"unusual/thin juice", juice(func(p *PressingFacts) { p.Brix = ptr(syrup.Brix(4)) }), ask},
		{"unusual/juice at 23 Brix", juice(func(p *PressingFacts) { p.Brix = ptr(syrup.Brix(23)) }), levels{}},
		{"unusual/juice over 23 Brix", juice(func(p *PressingFacts) { p.Brix = ptr(syrup.Brix(23.1)) }), ask},
		{"unusual/juice at pH 4.8", juice(func(p *PressingFacts) { p.PH = ptr(4.8) }), levels{}},
		{"unusual/sour juice", juice(func(p *PressingFacts) { p.PH = ptr(4.79) }), ask},
		{"unusual/limed juice", juice(func(p *PressingFacts) { p.PH = ptr(5.81) }), ask},
		{"unusual/juice at 90 F", juice(func(p *PressingFacts) { p.Temperature = degF(90) }), levels{}},
		{"unusual/warm juice", juice(func(p *PressingFacts) { p.Temperature = degF(90.1) }), ask},
		{"unusual/cook of 2 h", hours(2), levels{}},
		{"unusual/cook under 2 h", hours(1.99), ask},
		{"unusual/cook of 9 h", hours(9), levels{}},
		{"unusual/cook over 9 h", hours(9.01), ask},
		{"unusual/cook of 30 h", hours(30), ask},
		{"unusual/cook over 30 h", hours(30.01), levels{"bounds.impossible": Hold}},
		{"unusual/cook of minutes", hours(0.19), levels{"bounds.impossible": Hold}},
		{"unusual/still on the fire", boiled(func(r *RunFacts) { r.DrawnOffAt = nil }), levels{}},
		{"unusual/fire not written", boiled(func(r *RunFacts) { r.FireLitAt = nil }), levels{}},
		{"unusual/drawn off before the fire is another finding", hours(-1), levels{}},
		{"unusual/juice stood 4 h", stood(clockAt(4, 0)), levels{}},
		{"unusual/juice stood longer", stood(clockAt(3, 59)), ask},
		{"unusual/pressing went on while lit", stood(clockAt(9, 0)), levels{}},
		{"unusual/pressing without times", stood(nil), levels{}},
		{"unusual/80 gallons to 13", gallonsOf(80, 13), levels{}},
		{"unusual/little boiled off", gallonsOf(40, 11), ask},
		{"unusual/kettle of a thimble", gallonsOf(0.9, 0.2), levels{"bounds.impossible": Hold, "bounds.unusual": Check}},
		{"unusual/nothing came out", gallonsOf(80, 0), levels{}},
		{"unusual/nothing boiled off", gallonsOf(80, 80), levels{"bounds.impossible": Hold}},
		{"unusual/drawn off as the fire was lit", boiled(func(r *RunFacts) {
			r.DrawnOffAt, r.JuiceIn, r.VolumeOut = r.FireLitAt, ptr(syrup.Liters(300)), ptr(syrup.Liters(50))
		}), levels{"bounds.impossible": Hold}},
		{"unusual/volume out not written", boiled(func(r *RunFacts) { r.JuiceIn = ptr(syrup.Liters(300)) }), levels{}},
		{"unusual/third ratoon", grown(3, 120), levels{}},
		{"unusual/fourth ratoon", grown(4, 120), ask},
		{"unusual/sprayed on the day of the cut", applied("2026-12-06"), slip},
		{"unusual/sprayed after the cut", applied("2026-12-07"), levels{}},
		{"unusual/sprayed 400 days before", applied("2025-11-01"), slip},
		{"unusual/sprayed longer before", applied("2025-10-31"), levels{}},
		{"unusual/an end that itself asks has its limit", append(unusual(BoundOvernightLow, fahrenheit(28), "28 F", "fr", "x"),
			unusual(BoundSulfite, 10, "", "lab", "x")...), ask},
		{"unusual/interval over 120 days", grown(0, 121), slip},
		{"unusual/in a whole run", JudgeRun(func() RunFacts { r := run(); r.Pressings[0].PH = ptr(4.7); return r }(), rules),
			levels{"bounds.unusual": Check, "identity.cane_met": Within}},
	}
}

// boundExamples are findings with values that the words need and no judgement above makes alone.
func boundExamples() []Finding {
	return unusual(BoundFinishTemp, float64(*degF(106)), "106 F", "x", "26341K2")
}

// The end that is passed is the finding's limit, on its side, also where the end itself asks.
func TestUnusualNamesItsEnd(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		end  float64
		side string
	}{
		{unusual(BoundOvernightLow, fahrenheit(28), "28 F", "fr", "x")[0], fahrenheit(28), "bound_side.least"},
		{unusual(BoundSulfite, 10, "", "lab", "x")[0], 10, "bound_side.most"},
		{unusual(BoundJuicePH, 4.7, "", "p", "x")[0], 4.8, "bound_side.least"},
		{unusual(BoundJuicePH, 9.1, "", "p", "x")[0], 9, "bound_side.most"},
	} {
		if assert.NotNil(t, c.f.Limit) {
			assert.Equal(t, c.end, c.f.Limit.Number)
		}
		assert.Equal(t, c.side, c.f.Values["Side"].Text)
	}
}

// A boil that took no time has no evaporation to ask about: a rate of no hours is no number.
func TestNoRateOfNoHours(t *testing.T) {
	r := RunFacts{ID: "run", Name: "x", FireLitAt: clockAt(8, 0), DrawnOffAt: clockAt(8, 0), JuiceIn: ptr(syrup.Liters(300)),
		VolumeOut: ptr(syrup.Liters(50))}
	findings := r.unusual()
	assert.Len(t, findings, 1)
	assert.Equal(t, "bound.kettle.cook", findings[0].Values["What"].Text)
}

// The two ends of JudgeBoil: 150 F counts as hot, and exactly 60 F apart is no jump.
func TestBoilAtItsEnds(t *testing.T) {
	codes := func(before, now syrup.Celsius, entered string) levels {
		return levelsOf(JudgeBoil([]BoilFacts{{ID: "a", Temperature: before}, {ID: "b", Temperature: now, TemperatureEntered: entered}}, rules))
	}
	assert.Equal(t, levels{"boil.slip_celsius_as_fahrenheit": Note}, codes(boilHot.Celsius(), *degF(105), "105 F"))
	assert.Equal(t, levels{}, codes(boilHot.Celsius()-1e-6, *degF(105), "105 F"))
	assert.Equal(t, levels{}, codes(0, syrup.Celsius(boilJump.Celsius()), ""))
	assert.Equal(t, levels{"boil.jump": Note}, codes(0, syrup.Celsius(boilJump.Celsius())+1e-6, ""))
}
