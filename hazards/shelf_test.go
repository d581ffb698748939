package hazards

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

func TestFoodCodeTables(t *testing.T) {
	cells := map[string]int{}
	for _, r := range csvRows(t, "food_code.csv") {
		cells[r["table"]+" "+r["cell"]]++
		got, err := ShelfClass(r.must(t, "water_activity"), r.must(t, "ph"), r["table"] == "A")
		require.NoError(t, err)
		assert.Equal(t, ShelfResult(r["result"]), got, "%v", r)
	}
	assert.Len(t, cells, 25)
	for cell, corners := range cells {
		assert.Equal(t, 4, corners, cell)
	}
}

// Vector 5 of standards.md 14, from the Food Code.
func TestFoodCodeVectors(t *testing.T) {
	for _, c := range []struct {
		aw, ph float64
		want   ShelfResult
	}{{0.92, 6.0, NonTCS}, {0.93, 5.7, ProductAssessment}, {0.96, 4.6, NonTCS}, {0.96, 4.7, ProductAssessment}} {
		got, err := ShelfClass(c.aw, c.ph, true)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%v", c)
	}
}

func TestShelfClassRefuses(t *testing.T) {
	for _, c := range [][2]float64{{-0.001, 5}, {1.001, 5}, {math.NaN(), 5}, {0.8, -0.1}, {0.8, 14.1}, {0.8, math.NaN()}, {math.Inf(1), 5}, {85, 5}} {
		_, err := ShelfClass(c[0], c[1], true)
		assert.ErrorContains(t, err, "expected", "%v", c)
	}
	for _, c := range [][2]float64{{0, 0}, {1, 14}} {
		_, err := ShelfClass(c[0], c[1], false)
		assert.NoError(t, err)
	}
}

// More water or less acid never makes a food need less looking at.
func TestShelfClassIsMonotone(t *testing.T) {
	for _, packaged := range []bool{true, false} {
		for aw := 0.80; aw < 0.996; aw += 0.003 {
			for ph := 3.0; ph < 7; ph += 0.05 {
				here, _ := ShelfClass(aw, ph, packaged)
				wetter, _ := ShelfClass(aw+0.003, ph, packaged)
				softer, _ := ShelfClass(aw, ph+0.05, packaged)
				if here == ProductAssessment {
					assert.Equal(t, ProductAssessment, wetter)
					assert.Equal(t, ProductAssessment, softer)
				}
			}
		}
	}
}

// Vector 6 of standards.md 14.
func TestCannedFood(t *testing.T) {
	assert.Equal(t, NoCannedFoodRule, CannedFood(0.85, ptr(5.0)))
	assert.Equal(t, LowAcidFood, CannedFood(0.851, ptr(5.0)))
	assert.Equal(t, LowAcidFood, CannedFood(0.851, nil))
	assert.Equal(t, AcidifiedFood, CannedFood(0.851, ptr(4.6)))
	assert.Equal(t, LowAcidFood, CannedFood(0.851, ptr(4.61)))
}

func shelfCases() []judgeCase {
	solids := func(w syrup.Brix) *syrup.Solids { return &syrup.Solids{Percent: w, Uncertainty: 0.5} }
	lab := func(do func(*LabFacts)) []Finding {
		l := LabFacts{ID: "lab", Name: "26341K2B1"}
		do(&l)
		return JudgeLab(l, false, solids(76), rules)
	}
	active := func(aw float64, ph *float64) []Finding {
		return lab(func(l *LabFacts) { l.WaterActivity, l.PH = &aw, ph })
	}
	estimated := func(aw float64) []Finding { return JudgeEstimatedActivity(aw, "lot", "26341K2B1", rules) }
	sulfite := func(ppm float64, declares bool) []Finding {
		return JudgeSulfite(ppm, declares, "lab", "26341K2B1", rules)
	}
	sugar := func(w syrup.Brix, percent float64) []Finding {
		return JudgeLab(LabFacts{ID: "lab", Name: "x", ReducingSugar: &percent}, false, solids(w), rules)
	}
	measured := func(do func(*LotFacts)) []Finding {
		l := lot()
		do(&l)
		return l.laboratory(LotSolids(l), rules)
	}
	strict, _ := NewLimits(Limit{Code: LimitWaterActivity, Value: 0.84, Unit: UnitActivity}, Limit{Code: LimitSulfite, Value: 8, Unit: UnitPPM})
	loose, _ := NewLimits(Limit{Code: LimitWaterActivity, Value: 0.88, Unit: UnitActivity, Source: "a cousin"},
		Limit{Code: LimitSulfite, Value: 20, Unit: UnitPPM, Source: "a cousin"})
	over, house := ptr(0.845), Rules{Limits: strict}
	return []judgeCase{
		{"shelf/nothing looked for", lab(func(*LabFacts) {}), levels{}},
		{"shelf/measured at 0.82", active(0.82, nil), levels{}},
		{"shelf/measured over 0.82", active(0.821, nil), levels{"bounds.unusual": Check}},
		{"shelf/measured at 0.85", active(0.85, ptr(5.0)), levels{"bounds.unusual": Check}},
		{"shelf/measured over 0.85", active(0.851, ptr(5.0)), levels{"shelf.activity_over": Hold}},
		{"shelf/measured over 0.85, acid", active(0.851, ptr(4.6)), levels{"shelf.activity_over": Hold}},
		{"shelf/measured over 0.85, pH not known", active(0.851, nil), levels{"shelf.activity_over": Hold}},
		{"shelf/activity in percent", active(78, nil), levels{"bounds.impossible_slip": Hold}},
		{"shelf/activity that is none", active(0.2, nil), levels{"bounds.impossible": Hold}},
		{"shelf/stricter house", JudgeLab(LabFacts{WaterActivity: over}, false, nil, house), levels{"shelf.activity_over": Hold}},
		{"shelf/looser house", JudgeLab(LabFacts{WaterActivity: ptr(0.86)}, false, nil, Rules{Limits: loose}), levels{"shelf.activity_over": Hold}},
		{"shelf/estimated at 0.82", estimated(0.82), levels{}},
		{"shelf/estimated over 0.82", estimated(0.821), levels{"shelf.estimated_high": Note}},
		{"shelf/estimated at 0.85", estimated(0.85), levels{"shelf.estimated_high": Note}},
		{"shelf/estimated over 0.85 is never more than a check", estimated(0.851), levels{"shelf.estimated_over": Check}},
		{"shelf/estimated as water", estimated(1), levels{"shelf.estimated_over": Check}},
		{"shelf/sugar at 12 in thick syrup", sugar(76, 12), levels{}},
		{"shelf/sugar under 12 in thick syrup", sugar(76, 11.9), levels{"shelf.will_sugar": Check}},
		{"shelf/sugar under 12 at 75", sugar(75, 11.9), levels{}},
		{"shelf/sugar under 12 over 75", sugar(75.1, 11.9), levels{"shelf.will_sugar": Check}},
		{"shelf/solids not known", JudgeLab(LabFacts{ReducingSugar: ptr(5.0)}, false, nil, rules), levels{}},
		{"shelf/lead at 100", lab(func(l *LabFacts) { l.LeadPPB = ptr(100.0) }), levels{}},
		{"shelf/lead over 100", lab(func(l *LabFacts) { l.LeadPPB = ptr(100.1) }), levels{"bounds.unusual": Check}},
		{"shelf/ash over 3", lab(func(l *LabFacts) { l.Ash = ptr(3.1) }), levels{"bounds.unusual": Check}},
		{"shelf/sour syrup", lab(func(l *LabFacts) { l.PH = ptr(4.1) }), levels{"bounds.unusual": Check}},
		{"sulfite/under 10", sulfite(9.9, false), levels{}},
		{"sulfite/at 10", sulfite(10, false), levels{"sulfite.not_declared": Hold}},
		{"sulfite/over 10", sulfite(10.1, false), levels{"sulfite.not_declared": Hold}},
		{"sulfite/at 10, declared", sulfite(10, true), levels{"sulfite.declared": Note}},
		{"sulfite/under 10, declared", sulfite(9.9, true), levels{}},
		{"sulfite/negative", sulfite(-1, false), levels{"bounds.impossible": Hold}},
		{"sulfite/stricter house", JudgeSulfite(8, false, "lab", "x", house), levels{"sulfite.not_declared": Hold}},
		{"sulfite/looser house", JudgeSulfite(10, false, "lab", "x", Rules{Limits: loose}), levels{"sulfite.not_declared": Hold}},
		{"shelf/lot with nothing measured", measured(func(*LotFacts) {}), levels{}},
		{"shelf/thin lot with nothing measured", measured(func(l *LotFacts) { l.Readings = []ReadingFacts{refracted(StageLot, 66)} }),
			levels{"shelf.estimated_over": Check}},
		{"shelf/thin lot measured", measured(func(l *LotFacts) {
			l.Readings, l.Labs = []ReadingFacts{refracted(StageLot, 66)}, []LabFacts{{ID: "lab", WaterActivity: ptr(0.81)}}
		}), levels{}},
		{"shelf/lot whose addition carries sulfites", measured(func(l *LotFacts) {
			sulfured := answered(UsePreservative)
			sulfured.Sulfites = ptr(true)
			l.Additions, l.Labs = []AdditionFacts{sulfured}, []LabFacts{{ID: "lab", SulfitePPM: ptr(40.0)}}
		}), levels{"sulfite.declared": Note}},
		{"shelf/lot without solids", measured(func(l *LotFacts) { l.Runs = nil }), levels{}},
		{"identity/evaporated cane juice", JudgeProductName("Evaporated cane juice", "lot"), levels{"identity.juice_name": Check}},
		{"identity/cane juice as a name", JudgeProductName("Old Sugarcane Juice", "lot"), levels{"identity.juice_name": Check}},
		{"identity/cane syrup as a name", JudgeProductName("Cane syrup", "lot"), levels{}},
		{"identity/in a whole lot", JudgeLot(func() LotFacts { l := lot(); l.Product = "Evaporated cane juice"; return l }(), rules),
			levels{"identity.juice_name": Check, "identity.cane_met": Within, "fill.met": Within}},
	}
}

// A modelled activity says that it is estimated and names its model; a measured one does neither.
func TestEstimatedActivitySaysSo(t *testing.T) {
	f := JudgeEstimatedActivity(0.9, "lot", "26341K2B1", rules)[0]
	assert.Equal(t, syrup.ModelWaterActivity, f.Model)
	assert.Contains(t, f.Words("en", US).What, "0.900 (estimated)")
	for ph, rule := range map[float64]string{4.6: "21 CFR 114", 4.61: "21 CFR 113"} {
		measured := JudgeLab(LabFacts{WaterActivity: ptr(0.9), PH: &ph}, false, nil, rules)[0]
		assert.Contains(t, measured.Words("en", US).What, rule)
	}
	m := JudgeLab(LabFacts{WaterActivity: ptr(0.9)}, false, nil, rules)[0]
	assert.Empty(t, m.Model)
	assert.Contains(t, m.Words("en", US).What, "21 CFR 113")
}

// Vectors 1 to 4 of standards.md 14: 21 CFR 168.130, 168.180, FDA's guidance on evaporated cane juice.
func TestNamesOfIngredientLists(t *testing.T) {
	cane := []string{"Cane syrup", "Cane sirup", "Sugar cane syrup", "Sugar cane sirup"}
	table := []string{"Table syrup", "Table sirup", "Syrup", "Sirup"}
	both := append(append([]string{}, cane...), table...)
	for _, c := range []struct {
		solids syrup.Brix
		list   []string
		want   []string
	}{
		{74, []string{"cane juice"}, both}, {73.99, []string{"cane juice"}, table}, {74.01, []string{"cane juice"}, both},
		{65, []string{"cane juice"}, table}, {64.99, []string{"cane juice"}, nil}, {65.01, nil, table},
		{76, []string{"Sugarcane Juice", "invertase"}, table}, {76, []string{"cane juice", "salt"}, both},
		{76, []string{"cane juice", "defoamer"}, both}, {76, []string{"cane juice", "potassium sorbate"}, both},
		{76, []string{"cane juice", "citric acid"}, table}, {76, []string{"cane juice", "corn  syrup"}, table},
		{76, []string{"cane juice", "unsalted butter"}, both}, {76, []string{"cane juice", "water"}, both},
		{76, []string{"cane juice", "sorbic acid"}, both}, {76, []string{"sorghum juice"}, table}, {76, []string{"pecans"}, table},
		{76, []string{"cane juice", "lime juice"}, table}, {76, []string{"cane juice", "brown sugar"}, table},
	} {
		assert.Equal(t, c.want, AllowedNames(&c.solids, IngredientAdditions(c.list)), "%v %v", c.solids, c.list)
	}
	assert.Nil(t, AllowedNames(nil, nil))
	assert.Equal(t, []string{"invertase"}, BarCane(IngredientAdditions([]string{"cane juice", "salt", "invertase"})))
	for _, name := range []string{"Evaporated cane juice", "organic EVAPORATED  sugarcane juice", "dried cane juice", "crystallised cane juice"} {
		assert.True(t, NamesEvaporatedJuice(name), name)
	}
	assert.False(t, NamesEvaporatedJuice("cane juice"))
}
