package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// Entry takes the hard ends of the batch sheet's numbers and refuses one step past them: the figures of trade.md section 2.
func TestHardBoundsAtEntry(t *testing.T) {
	refused := func(f Fact, field string) bool {
		wrong, _ := f.Validate().(Invalid)
		for _, e := range wrong {
			if e.Field == field {
				return true
			}
		}
		return false
	}
	for _, c := range []struct {
		field     string
		low, high float64
		step      float64
		fact      func(x float64) Fact
	}{
		{"acres", 0.001, 2000, 0.0001, func(x float64) Fact { return &Block{Acres: &x} }},
		{"ratoon", 0, 20, 1, func(x float64) Fact { return &Planting{Ratoon: int(x)} }},
		{"pre_harvest_days", 0, 400, 1, func(x float64) Fact { return &Application{PreHarvestDays: int(x)} }},
		{"brix", 2, 30, 0.01, func(x float64) Fact { return &Pressing{Brix: ptr(syrup.Brix(x))} }},
		{"ph", 3, 9, 0.01, func(x float64) Fact { return &Pressing{PH: &x} }},
		{"reading", 0, 70, 0.01, func(x float64) Fact { return &DensityReading{Reading: x, Scale: syrup.ScaleBaume} }},
		{"reading", 0, 95, 0.01, func(x float64) Fact { return &DensityReading{Reading: x, Scale: syrup.ScaleBrix} }},
		{"inverted_seconds", 0, 3600, 1, func(x float64) Fact { return &FillCheck{InvertedSeconds: ptr(int(x))} }},
	} {
		assert.False(t, refused(c.fact(c.low), c.field), "%s %v", c.field, c.low)
		assert.False(t, refused(c.fact(c.high), c.field), "%s %v", c.field, c.high)
		assert.True(t, refused(c.fact(c.low-c.step), c.field), "%s under %v", c.field, c.low)
		assert.True(t, refused(c.fact(c.high+c.step), c.field), "%s over %v", c.field, c.high)
	}
}

// What is unusual on a pressing, a planting and a boil is asked about where the run is judged.
func TestUnusualNumbersAreAskedAbout(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	planting := Planting{BlockID: g.block.ID, Variety: "Ribbon", PlantedOn: "2019-09-20", Ratoon: 5}
	h.put(&planting)
	cut := h.cutOf(planting.ID, 900)
	pressing := Pressing{SiteID: h.site.ID, StartedAt: h.at(0, 30), Volume: ptr(syrup.Liters(340)), Brix: ptr(syrup.Brix(17)), PH: ptr(4.7),
		Temperature: ptr(syrup.Fahrenheit(95).Celsius()), TemperatureEntered: "95 F"}
	require.NoError(t, h.RecordPressing(h.ctx, h.owner, &pressing, []Draw{{FromID: cut.ID}}))
	run := h.run(g.kettle, h.at(7, 0), Draw{FromID: pressing.ID})
	h.drawOff(run, h.at(8, 0), 36.1, 30, "")

	findings, err := JudgeRun(h.ctx, h, run.ID)
	require.NoError(t, err)
	asked := map[string]hazards.Level{}
	for _, f := range findings {
		if what, ok := f.Values["What"]; ok {
			asked[what.Text] = f.Level
		}
	}
	assert.Equal(t, map[string]hazards.Level{"bound.field.ratoon": hazards.Check, "bound.mill.juice_ph": hazards.Check,
		"bound.mill.juice_temperature": hazards.Check, "bound.mill.juice_hold": hazards.Check, "bound.kettle.cook": hazards.Check,
		"bound.kettle.juice_per_syrup": hazards.Check, "bound.kettle.evaporation": hazards.Check}, asked)
}
