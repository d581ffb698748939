package hazards

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
)

// levels is a set of findings as code to level.
type levels map[string]Level

func levelsOf(findings []Finding) levels {
	got := levels{}
	for _, f := range findings {
		got[f.Code] = max(got[f.Code], f.Level)
	}
	return got
}

// judgeCase is one judgement and exactly the findings it must give.
type judgeCase struct {
	name string
	got  []Finding
	want levels
}

func TestJudgements(t *testing.T) {
	for _, group := range judgeCases() {
		t.Run(group.name, func(t *testing.T) { assert.Equal(t, group.want, levelsOf(group.got)) })
	}
}

// judgeCases lists every judgement under test; the golden words are made from the same list.
func judgeCases() []judgeCase {
	var all []judgeCase
	for _, cases := range [][]judgeCase{readingCases(), identityCases(), additionCases(), fillCases(), fillLimitCases(),
		applicationCases(), ageCases(), freezeCases(), dateCases(), drawCases(), balanceCases(), labelCountCases(), requiredCases(), runCases(), lotCases(),
		unusualCases(), shelfCases(), netCases()} {
		all = append(all, cases...)
	}
	return all
}

func readingCases() []judgeCase {
	judge := func(r ReadingFacts) []Finding { return JudgeReading(r, rules) }
	change := func(r ReadingFacts, do func(*ReadingFacts)) ReadingFacts { do(&r); return r }
	brix := func(x float64) ReadingFacts {
		return change(spindled(StageLot, x, ptr(syrup.Celsius(20))), func(r *ReadingFacts) { r.Scale = syrup.ScaleBrix })
	}
	entered := func(f syrup.Fahrenheit, as string) ReadingFacts {
		return change(spindled(StageFinish, 36, degF(f)), func(r *ReadingFacts) { r.TemperatureEntered = as })
	}
	hot := refracted(StageFinish, 75)
	hot.Temperature = ptr(syrup.Celsius(30))
	hotter := refracted(StageFinish, 75)
	hotter.Temperature = ptr(syrup.Celsius(30.1))
	stemless := spindled(StageFinish, 36, degF(220))
	stemless.Instrument = &InstrumentFacts{ID: "i-x", Name: "old spindle", Measures: MeasuresDensity}
	failed := spindled(StageFinish, 36, degF(220))
	failed.Instrument = &InstrumentFacts{ID: "i-f", Name: "spindle F", Measures: MeasuresDensity, Stem: syrup.Stem60F, Error: ptr(0.4)}
	return []judgeCase{
		{"reading/good", judge(spindled(StageFinish, 36, degF(220))), levels{}},
		{"reading/no temperature", judge(spindled(StageFinish, 36, nil)), levels{"reading.no_temperature": Hold}},
		{"reading/no temperature in the boil", judge(spindled(StageBoil, 36, nil)), levels{"reading.no_temperature": Note}},
		{"reading/too hot for the model", judge(spindled(StageFinish, 36, degF(231))), levels{"reading.outside_model": Hold}},
		{"reading/past the scale", judge(spindled(StageLot, 51, ptr(syrup.Celsius(20)))),
			levels{"reading.outside_model": Hold, "reading.slip_brix_as_baume": Check}},
		{"reading/Baume at the slip limit", judge(spindled(StageFinish, 45, ptr(syrup.Celsius(20)))),
			levels{"reading.outside_model": Hold}},
		{"reading/Baume just under it", judge(spindled(StageFinish, 44.5, ptr(syrup.Celsius(20)))), levels{}},
		{"reading/Baume past it", judge(spindled(StageFinish, 45.1, ptr(syrup.Celsius(20)))),
			levels{"reading.outside_model": Hold, "reading.slip_brix_as_baume": Check}},
		{"reading/Brix at the slip limit", judge(brix(25)), levels{}},
		{"reading/Brix under it", judge(brix(24.9)), levels{"reading.slip_baume_as_brix": Check}},
		{"reading/Brix over it", judge(brix(25.1)), levels{}},
		{"reading/thin Brix in the boil is as it should be", judge(change(brix(18), func(r *ReadingFacts) { r.Stage = StageBoil })), levels{}},
		{"reading/Celsius typed as F", judge(entered(106, "106 F")), levels{"reading.slip_celsius_as_fahrenheit": Check}},
		{"reading/the same said in Celsius", judge(entered(106, "41.1 C")), levels{}},
		{"reading/usual F", judge(entered(222, "222 F")), levels{}},
		{"reading/slip band at 95", judge(entered(95, "95 F")), levels{"reading.slip_celsius_as_fahrenheit": Check}},
		{"reading/slip band under 95", judge(entered(94.9, "94.9 F")), levels{}},
		{"reading/slip band at 115", judge(entered(115, "115 F")), levels{"reading.slip_celsius_as_fahrenheit": Check}},
		{"reading/slip band over 115", judge(entered(115.1, "115.1 F")), levels{}},
		{"reading/hottest usual", judge(entered(232, "232 F")), levels{"reading.outside_model": Hold}},
		{"reading/hotter", judge(entered(232.1, "232.1 F")), levels{"reading.outside_model": Hold, "reading.temperature_high": Check}},
		{"reading/refractometer at 30 C", judge(hot), levels{}},
		{"reading/refractometer over 30 C", judge(hotter), levels{"reading.refractometer_hot": Hold}},
		{"reading/refractometer off scale", judge(refracted(StageLot, 86)), levels{"reading.outside_model": Hold}},
		{"reading/refractometer at the ends of its scale", append(judge(refracted(StageLot, 85)), judge(refracted(StageBoil, 0))...), levels{}},
		{"reading/stem not known", judge(stemless), levels{"reading.stem_assumed": Note}},
		{"reading/instrument failed later", judge(failed), levels{"instrument.failed_check": Check}},
		{"reading/held only while no other can be used",
			judgeReadings([]ReadingFacts{spindled(StageFinish, 36, nil), refracted(StageFinish, 75)}, rules),
			levels{"reading.no_temperature": Note}},
		{"reading/a reading of another stage does not stand in",
			judgeReadings([]ReadingFacts{spindled(StageFinish, 36, nil), refracted(StageBoil, 75)}, rules),
			levels{"reading.no_temperature": Hold}},
	}
}

func identityCases() []judgeCase {
	judge := func(names string, readings ...ReadingFacts) []Finding {
		return JudgeIdentity(IdentityFacts{ID: "run", Name: "26341K2", Names: names, Stage: StageFinish, Readings: readings}, rules)
	}
	at := func(percent float64) ReadingFacts { return refracted(StageFinish, percent) }
	again := func(percent float64, change func(*ReadingFacts)) ReadingFacts {
		r := at(percent)
		r.ID, r.At = "again", clock(12, 30)
		change(&r)
		return r
	}
	other := func(r *ReadingFacts) { r.Instrument = &InstrumentFacts{ID: "i-2", Measures: MeasuresRefraction} }
	same := func(*ReadingFacts) {}
	strict, _ := NewLimits(Limit{Code: LimitCane, Value: 75, Unit: UnitSolids})
	return []judgeCase{
		{"identity/at 74 a cane name is just inside", judge(NamesCane, at(74)), levels{"identity.near_limit": Check}},
		{"identity/one step under 74", judge(NamesCane, at(73.99)), levels{"identity.below_cane": Hold}},
		{"identity/one step over 74", judge(NamesCane, at(74.01)), levels{"identity.near_limit": Check}},
		{"identity/inside by its whole uncertainty", judge(NamesCane, at(74.5)), levels{"identity.cane_met": Within}},
		{"identity/inside by a step less", judge(NamesCane, at(74.49)), levels{"identity.near_limit": Check}},
		{"identity/blank names are cane", judge("", at(73.99)), levels{"identity.below_cane": Hold}},
		{"identity/no reading says nothing here", judge(NamesCane), levels{}},
		{"identity/readings in the boil open nothing", judge(NamesCane, refracted(StageBoil, 60)), levels{}},
		{"identity/unusable reading is not judged", judge(NamesCane, spindled(StageFinish, 36, nil)), levels{}},
		{"identity/cane at 65", judge(NamesCane, at(65)), levels{"identity.below_cane": Hold}},
		{"identity/cane under 65", judge(NamesCane, at(64.99)), levels{"identity.below_table": Hold}},
		{"identity/table at 65", judge(NamesTable, at(65)), levels{"identity.near_limit": Check}},
		{"identity/table under 65", judge(NamesTable, at(64.99)), levels{"identity.below_table": Hold}},
		{"identity/table well inside", judge(NamesTable, at(65.5)), levels{"identity.table_met": Within}},
		{"identity/table may be thin for cane", judge(NamesTable, at(73.99)), levels{"identity.table_met": Within}},
		{"identity/other name under 65", judge(NamesOther, at(64.99)), levels{"identity.below_table": Hold}},
		{"identity/at 76", judge(NamesCane, at(76)), levels{"identity.cane_met": Within}},
		{"identity/over 76", judge(NamesCane, at(76.01)), levels{"identity.cane_met": Within, "identity.thick": Note}},
		{"identity/at 80", judge(NamesCane, at(80)), levels{"identity.cane_met": Within, "identity.thick": Note}},
		{"identity/over 80", judge(NamesCane, at(80.01)), levels{"identity.cane_met": Within, "identity.very_thick": Check}},
		{"identity/second reading, other instrument, lifts", judge(NamesCane, at(74.2), again(74, other)), levels{"identity.cane_met": Within}},
		{"identity/second reading outside does not lift", judge(NamesCane, at(74.2), again(73.99, other)), levels{"identity.near_limit": Check}},
		{"identity/same instrument does not lift", judge(NamesCane, at(74.2), again(74.3, same)), levels{"identity.near_limit": Check}},
		{"identity/no instrument does not lift", judge(NamesCane, at(74.2), again(74.3, func(r *ReadingFacts) { r.Instrument = nil })),
			levels{"identity.near_limit": Check}},
		{"identity/reading in the boil does not lift", judge(NamesCane, at(74.2), again(75, func(r *ReadingFacts) { other(r); r.Stage = StageBoil })),
			levels{"identity.near_limit": Check}},
		{"identity/the lot's reading lifts", judge(NamesCane, at(74.2), again(74.3, func(r *ReadingFacts) { r.Stage = StageLot })),
			levels{"identity.cane_met": Within}},
		{"identity/the latest reading governs", judge(NamesCane, again(72, other), at(75)), levels{"identity.cane_met": Within}},
		{"identity/thin later reading governs", judge(NamesCane, again(75, other), at(73)), levels{"identity.below_cane": Hold}},
		{"identity/house limit beside the reference", JudgeIdentity(IdentityFacts{ID: "run", Stage: StageFinish,
			Readings: []ReadingFacts{at(74.99)}}, Rules{Limits: strict}), levels{"identity.below_house": Hold}},
		{"identity/at the house limit", JudgeIdentity(IdentityFacts{ID: "run", Stage: StageFinish,
			Readings: []ReadingFacts{at(75.5)}}, Rules{Limits: strict}), levels{"identity.cane_met": Within}},
		{"identity/hot hydrometer thin by the 74 rule", judge(NamesCane, spindled(StageFinish, 33.5, degF(220))), levels{"identity.below_cane": Hold}},
	}
}

func additionCases() []judgeCase {
	change := func(a AdditionFacts, do func(*AdditionFacts)) AdditionFacts { do(&a); return a }
	leaves := func(a *AdditionFacts) { a.Stays = ptr(false) }
	return []judgeCase{
		{"returned/bottles", []Finding{JudgeReturned("p", "25341K2B1-P", 6)}, levels{"shelf.returned": Check}},
		{"addition/defoamer", JudgeAddition(answered(UseDefoamer), NamesCane), levels{}},
		{"addition/salt", JudgeAddition(answered(UseSalt), NamesCane), levels{}},
		{"addition/preservative", JudgeAddition(answered(UsePreservative), NamesCane), levels{}},
		{"addition/water to adjust, 168.130(a)", JudgeAddition(answered(UseWater), NamesCane), levels{}},
		{"addition/sweetener", JudgeAddition(answered(UseSweetener), NamesCane), levels{"identity.addition_bars": Hold}},
		{"addition/sweetener in table syrup", JudgeAddition(answered(UseSweetener), NamesTable), levels{}},
		{"addition/enzyme, though it leaves", JudgeAddition(change(answered(UseEnzyme), leaves), NamesCane), levels{"identity.addition_bars": Hold}},
		{"addition/acid, though it leaves", JudgeAddition(change(answered(UseAcid), leaves), NamesCane), levels{"identity.addition_bars": Hold}},
		{"addition/lime that leaves", JudgeAddition(change(answered(UseLime), leaves), NamesCane), levels{"identity.processing_aid": Check}},
		{"addition/lime that stays", JudgeAddition(answered(UseLime), NamesCane), levels{"identity.addition_bars": Hold}},
		{"addition/lime not answered", JudgeAddition(change(answered(UseLime), func(a *AdditionFacts) { a.Stays = nil }), NamesCane),
			levels{"identity.addition_bars": Hold, "identity.not_answered": Hold}},
		{"addition/allergens not answered", JudgeAddition(change(answered(UseDefoamer), func(a *AdditionFacts) { a.Allergens = nil }), NamesTable),
			levels{"identity.not_answered": Hold}},
		{"addition/sulfites not answered", JudgeAddition(change(answered(UseSalt), func(a *AdditionFacts) { a.Sulfites = nil }), NamesCane),
			levels{"identity.not_answered": Hold}},
	}
}

func fillCases() []judgeCase {
	judge := func(f FillFacts) []Finding { return JudgeFill(f, rules) }
	one := func(t *syrup.Celsius) FillFacts { return filling(bottle("f1", clock(13, 30), t)) }
	changed := func(do func(*FillCheckFacts)) FillFacts {
		c := bottle("f1", clock(13, 30), degF(190))
		do(&c)
		return filling(c)
	}
	near := func(other FillCheckFacts) FillFacts { return filling(bottle("f1", clock(13, 30), degF(185.5)), other) }
	second := func(at time.Time, t *syrup.Celsius, id string) FillCheckFacts {
		c := bottle("f2", at, t)
		c.Instrument = &InstrumentFacts{ID: id, Uncertainty: ptr(0.1)}
		return c
	}
	unknown := bottle("f1", clock(13, 30), degF(186.9))
	unknown.Instrument = &InstrumentFacts{ID: "i-n"}
	unknownFar := bottle("f1", clock(13, 30), degF(187.1))
	unknownFar.Instrument = nil
	high := changed(func(c *FillCheckFacts) {
		c.Bottle = degF(187)
		c.Instrument = &InstrumentFacts{ID: "i-h", Name: "probe 3", Uncertainty: ptr(0.1), Error: ptr(float64(syrup.FahrenheitDelta(3).Celsius()))}
	})
	low := changed(func(c *FillCheckFacts) {
		c.Bottle = degF(184)
		c.Instrument = &InstrumentFacts{ID: "i-l", Name: "probe 4", Uncertainty: ptr(0.1), Error: ptr(-2.0)}
	})
	weight, _ := syrup.NetWeight(355, 75)
	ok := levels{"fill.met": Within}
	met := func(more levels) levels {
		l := levels{"fill.met": Within}
		for c, v := range more {
			l[c] = v
		}
		return l
	}
	return []judgeCase{
		{"fill/no checks", judge(filling()), levels{}},
		{"fill/well inside", judge(one(degF(190))), ok},
		{"fill/at the house limit", judge(one(degF(185))), met(levels{"fill.near_limit": Check})},
		{"fill/one step under it", judge(one(degF(184.99))), levels{"fill.below_limit": Hold}},
		{"fill/one step over it", judge(one(degF(185.01))), met(levels{"fill.near_limit": Check})},
		{"fill/inside by more than the thermometer's own", judge(one(degF(185.91))), ok},
		{"fill/inside by the whole of the thermometer's own", judge(one(ptr(syrup.Celsius(85.5)))), ok},
		{"fill/no checks in two hours are missing records", judge(func() FillFacts { f := filling(); f.EndedAt = clockAt(15, 0); return f }()), levels{}},
		{"fill/thermometer not known: 2 F", judge(filling(unknown)), met(levels{"fill.near_limit": Check})},
		{"fill/no thermometer: past 2 F", judge(filling(unknownFar)), ok},
		{"fill/another thermometer close by lifts", judge(near(second(clock(13, 40), degF(186), "i-2"))), ok},
		{"fill/too late to lift", judge(near(second(clock(13, 41), degF(186), "i-2"))), met(levels{"fill.near_limit": Check})},
		{"fill/same thermometer does not lift", judge(near(second(clock(13, 35), degF(186), "i-probe"))), met(levels{"fill.near_limit": Check})},
		{"fill/only weighed", judge(changed(func(c *FillCheckFacts) { c.Bottle, c.NetWeight = nil, ptr(syrup.Grams(700)) })), levels{}},
		{"fill/bottle not measured", judge(one(nil)), levels{"fill.bottle_not_recorded": Check}},
		{"fill/tank is never the bottle", judge(changed(func(c *FillCheckFacts) { c.Bottle, c.Tank = nil, degF(190) })),
			levels{"fill.bottle_not_recorded": Check}},
		{"fill/hot tank does not lift a cool bottle", judge(changed(func(c *FillCheckFacts) { c.Bottle, c.Tank = degF(170), degF(195) })),
			levels{"fill.below_limit": Hold}},
		{"fill/tank at 180", judge(changed(func(c *FillCheckFacts) { c.Tank = degF(180) })), ok},
		{"fill/tank under 180", judge(changed(func(c *FillCheckFacts) { c.Tank = degF(179.99) })), met(levels{"fill.tank_unusual": Note})},
		{"fill/tank at 205", judge(changed(func(c *FillCheckFacts) { c.Tank = degF(205) })), ok},
		{"fill/tank over 205", judge(changed(func(c *FillCheckFacts) { c.Tank = degF(205.01) })), met(levels{"fill.tank_unusual": Note})},
		{"fill/closure not good", judge(changed(func(c *FillCheckFacts) { c.ClosureOK = ptr(false) })), met(levels{"fill.closure": Hold})},
		{"fill/closure not looked at", judge(changed(func(c *FillCheckFacts) { c.ClosureOK = nil })), ok},
		{"fill/turned 30 s", judge(changed(func(c *FillCheckFacts) { c.InvertedSeconds = ptr(30) })), ok},
		{"fill/turned 29 s", judge(changed(func(c *FillCheckFacts) { c.InvertedSeconds = ptr(29) })), met(levels{"fill.inverted_short": Check})},
		{"fill/turned 31 s", judge(changed(func(c *FillCheckFacts) { c.InvertedSeconds = ptr(31) })), ok},
		{"fill/turning not recorded", judge(changed(func(c *FillCheckFacts) { c.InvertedSeconds = nil })), ok},
		{"fill/weight as declared", judge(changed(func(c *FillCheckFacts) { c.NetWeight = ptr(weight) })), ok},
		{"fill/weight a tenth of a gram short", judge(changed(func(c *FillCheckFacts) { c.NetWeight = ptr(weight - 0.1) })), met(levels{"fill.weight_short": Check})},
		{"fill/weight a tenth of a gram over", judge(changed(func(c *FillCheckFacts) { c.NetWeight = ptr(weight + 0.1) })), ok},
		{"fill/Celsius typed as F", judge(changed(func(c *FillCheckFacts) { c.Bottle, c.BottleEntered = degF(87), "87 F" })),
			levels{"fill.below_limit": Hold, "fill.slip_celsius_as_fahrenheit": Note}},
		{"fill/thermometer that read high", judge(high), levels{"fill.below_limit": Hold, "instrument.failed_check": Check}},
		{"fill/thermometer that read low gets no credit", judge(low), levels{"fill.below_limit": Hold, "instrument.failed_check": Check}},
		{"fill/60 min apart", judge(filling(bottle("a", clock(13, 0), degF(190)), bottle("b", clock(14, 0), degF(190)))), ok},
		{"fill/61 min apart", judge(filling(bottle("a", clock(12, 59), degF(190)), bottle("b", clock(14, 0), degF(190)))), met(levels{"fill.interval_long": Check})},
		{"fill/59 min apart", judge(filling(bottle("a", clock(13, 1), degF(190)), bottle("b", clock(14, 0), degF(190)))), ok},
		{"fill/first check late", judge(func() FillFacts {
			f := filling(bottle("a", clock(14, 1), degF(190)))
			f.EndedAt = nil
			return f
		}()), met(levels{"fill.interval_long": Check})},
		{"fill/nobody looked after a stop", judge(func() FillFacts {
			f := filling(bottle("a", clock(13, 5), degF(190)))
			f.Stops = []FillStop{{ID: "s", From: clock(13, 20), To: clockAt(13, 40)}}
			return f
		}()), met(levels{"fill.no_check_after_stop": Check})},
		{"fill/looked at after a stop", judge(func() FillFacts {
			f := filling(bottle("a", clock(13, 5), degF(190)), bottle("b", clock(13, 41), degF(190)))
			f.Stops = []FillStop{{ID: "s", From: clock(13, 20), To: clockAt(13, 40)}}
			return f
		}()), ok},
		{"fill/last bottle long after the last check", judge(func() FillFacts {
			f := filling(bottle("a", clock(13, 1), degF(190)))
			f.EndedAt = clockAt(14, 2)
			return f
		}()), met(levels{"fill.interval_long": Check})},
	}
}

func fillLimitCases() []judgeCase {
	judge := func(f FillFacts) []Finding { return JudgeFill(f, rules) }
	low := func(t *syrup.Celsius, do func(*FillFacts)) FillFacts {
		f := filling(bottle("f1", clock(13, 30), t))
		f.HouseLimit = degF(160)
		do(&f)
		return f
	}
	keep := func(*FillFacts) {}
	solids := func(p syrup.Brix) func(*FillFacts) {
		return func(f *FillFacts) { f.Solids = &syrup.Solids{Percent: p, Uncertainty: 0.5} }
	}
	noSource := func(f *FillFacts) { f.LimitSource = "" }
	stricter, _ := NewLimits(Limit{Code: LimitCapping, Value: fahrenheit(183), Unit: UnitCelsius})
	return []judgeCase{
		{"limit/no house limit, at 180", judge(referenceFilling(bottle("f1", clock(13, 30), degF(180)))),
			levels{"fill.met": Within, "fill.near_limit": Check}},
		{"limit/no house limit, under 180", judge(referenceFilling(bottle("f1", clock(13, 30), degF(179.99)))), levels{"fill.below_no_house_limit": Hold}},
		{"limit/no house limit, over 180", judge(referenceFilling(bottle("f1", clock(13, 30), degF(181)))), levels{"fill.met": Within}},
		{"limit/the house's for all bottles", JudgeFill(referenceFilling(bottle("f1", clock(13, 30), degF(182))), Rules{Limits: stricter}),
			levels{"fill.below_limit": Hold}},
		{"limit/160 with source and thick syrup", judge(low(degF(161), keep)), levels{"fill.met": Within}},
		{"limit/160, bottle under it", judge(low(degF(159.99), keep)), levels{"fill.below_limit": Hold}},
		{"limit/160 without a source", judge(low(degF(161), noSource)), levels{"fill.below_reference": Hold, "fill.low_limit_source": Note}},
		{"limit/160 without a source, hot bottle", judge(low(degF(190), noSource)), levels{"fill.met": Within, "fill.low_limit_source": Note}},
		{"limit/160 at 74 %", judge(low(degF(161), solids(74))), levels{"fill.met": Within}},
		{"limit/160 under 74 %", judge(low(degF(161), solids(73.99))), levels{"fill.below_reference": Hold, "fill.low_limit_solids": Note}},
		{"limit/160 over 74 %", judge(low(degF(161), solids(74.01))), levels{"fill.met": Within}},
		{"limit/160, solids not known", judge(low(degF(161), func(f *FillFacts) { f.Solids = nil })),
			levels{"fill.below_reference": Hold, "fill.low_limit_solids": Note}},
		{"limit/180 needs no source", judge(low(degF(181), func(f *FillFacts) { f.HouseLimit, f.LimitSource, f.Solids = degF(180), "", nil })),
			levels{"fill.met": Within}},
		{"limit/under 180 needs one", judge(low(degF(181), func(f *FillFacts) { f.HouseLimit, f.LimitSource = degF(179.99), "" })),
			levels{"fill.met": Within, "fill.low_limit_source": Note}},
	}
}

func applicationCases() []judgeCase {
	judge := func(apps ...ApplicationFacts) []Finding {
		return JudgeCut(with(cane(), func(c *CutFacts) { c.Applications = apps }), rules)
	}
	label := func(listed *bool) ApplicationFacts {
		a := sprayed("2026-08-01", 30)
		a.ForSugarcane = listed
		return a
	}
	return []judgeCase{
		{"interval/on the last day of it", judge(sprayed("2026-11-07", 30)), levels{"harvest.inside_interval": Hold}},
		{"interval/on the first day after", judge(sprayed("2026-11-06", 30)), levels{}},
		{"interval/a day later", judge(sprayed("2026-11-05", 30)), levels{}},
		{"interval/none asked, same day", judge(sprayed("2026-12-06", 0)), levels{}},
		{"interval/sprayed the day of the cut", judge(sprayed("2026-12-06", 5)), levels{"harvest.inside_interval": Hold}},
		{"interval/sprayed after the cut", judge(sprayed("2026-12-07", 30)), levels{}},
		{"interval/day not recorded", judge(sprayed("", 30)), levels{}},
		{"interval/nothing sprayed", judge(), levels{}},
		{"label/lists sugarcane", judge(label(ptr(true))), levels{}},
		{"label/does not", judge(label(ptr(false))), levels{"harvest.label_not_sugarcane": Check}},
		{"label/nobody looked", judge(label(nil)), levels{"harvest.label_not_looked": Check}},
		{"label/400 days ago", judge(func() ApplicationFacts { a := label(nil); a.AppliedOn = "2025-11-01"; return a }()),
			levels{"harvest.label_not_looked": Check}},
		{"label/401 days ago", judge(func() ApplicationFacts { a := label(nil); a.AppliedOn = "2025-10-31"; return a }()), levels{}},
	}
}

func ageCases() []judgeCase {
	cutAt := *cane().FinishedAt
	judge := func(hours float64, do func(*CutFacts)) []Finding {
		return JudgeCane(with(cane(), do), cutAt.Add(time.Duration(hours*float64(time.Hour))), rules)
	}
	cool := func(*CutFacts) {}
	warm := func(c *CutFacts) { c.DayHigh = degF(70) }
	frozen := func(c *CutFacts) { c.FrozenStalks = "some_damage" }
	none := func(c *CutFacts) { c.DayHigh = nil }
	hourless := func(c *CutFacts) { c.FinishedAt = nil }
	return []judgeCase{
		{"age/24 h warm", judge(24, warm), levels{}},
		{"age/past 24 h warm", judge(24.1, warm), levels{"harvest.age_warm": Check}},
		{"age/under 24 h warm", judge(23.9, warm), levels{}},
		{"age/past 24 h just under 70 F", judge(24.1, func(c *CutFacts) { c.DayHigh = degF(69.9) }), levels{}},
		{"age/past 24 h over 70 F", judge(24.1, func(c *CutFacts) { c.DayHigh = degF(70.1) }), levels{"harvest.age_warm": Check}},
		{"age/past 24 h, high not recorded", judge(24.1, none), levels{"harvest.age_no_high": Note}},
		{"age/24 h, high not recorded", judge(24, none), levels{}},
		{"age/48 h cool", judge(48, cool), levels{}},
		{"age/past 48 h", judge(48.1, cool), levels{"harvest.age_long": Check}},
		{"age/past 48 h warm", judge(48.1, warm), levels{"harvest.age_long": Check}},
		{"age/96 h", judge(96, cool), levels{"harvest.age_long": Check}},
		{"age/past 96 h", judge(96.1, cool), levels{"harvest.age_over": Hold}},
		{"age/frozen 48 h", judge(48, frozen), levels{"harvest.stalks_damaged": Check}},
		{"age/frozen past 48 h", judge(48.1, frozen), levels{"harvest.stalks_damaged": Check, "harvest.age_frozen": Hold}},
		{"age/frozen under 48 h", judge(47.9, frozen), levels{"harvest.stalks_damaged": Check}},
		{"age/hour not written: from the start of the day", judge(36.1, hourless), levels{"harvest.age_long": Check}},
		{"age/hour not written, 48 h from the start of the day", judge(36, hourless), levels{}},
		{"age/no day at all", judge(200, func(c *CutFacts) { c.FinishedAt, c.CutOn = nil, "" }), levels{}},
		{"age/pressed before it was cut is a matter of dates", judge(-1, cool), levels{}},
	}
}

func freezeCases() []judgeCase {
	judge := func(stalks string, freezes ...FreezeFacts) []Finding {
		c := with(cane(), func(c *CutFacts) { c.FrozenStalks, c.Freezes = stalks, freezes })
		return JudgeCane(c, clock(7, 0), rules)
	}
	return []judgeCase{
		{"freeze/28 F, not looked", judge(StalksNotLooked, frost("2026-12-03", 28, StalksNotLooked)), levels{"harvest.freeze_inspect": Check}},
		{"freeze/over 28 F", judge(StalksNotLooked, frost("2026-12-03", 28.1, "")), levels{}},
		{"freeze/under 28 F", judge("", frost("2026-12-03", 27.9, "")), levels{"harvest.freeze_inspect": Check}},
		{"freeze/25 F", judge("", frost("2026-12-03", 25, "")), levels{"harvest.freeze_damaged": Check}},
		{"freeze/over 25 F", judge("", frost("2026-12-03", 25.1, "")), levels{"harvest.freeze_inspect": Check}},
		{"freeze/under 25 F", judge("", frost("2026-12-03", 24.9, "")), levels{"harvest.freeze_damaged": Check}},
		{"freeze/25 F but stalks sound", judge(StalksSound, frost("2026-12-03", 25, "")), levels{}},
		{"freeze/stalks sound where the night was looked at", judge(StalksNotLooked, frost("2026-12-03", 24, "sound")), levels{}},
		{"freeze/the cut's own stalks count first", judge(StalksKilled, frost("2026-12-03", 27, StalksSound)), levels{"harvest.freeze_damaged": Check}},
		{"freeze/damage after a mild night", judge(StalksDamaged, frost("2026-12-03", 30, "")), levels{"harvest.freeze_damaged": Check}},
		{"freeze/after cutting, before pressing", judge("", frost("2026-12-07", 27, "")), levels{"harvest.freeze_inspect": Check}},
		{"freeze/after pressing", judge("", frost("2026-12-08", 20, "")), levels{}},
		{"freeze/90 days back", judge("", frost("2026-09-08", 27, "")), levels{"harvest.freeze_inspect": Check}},
		{"freeze/last winter", judge("", frost("2026-09-07", 20, "")), levels{}},
		{"freeze/the coldest counts", judge("", frost("2026-12-03", 27, ""), frost("2026-12-04", 24, "")), levels{"harvest.freeze_damaged": Check}},
		{"freeze/none", judge(""), levels{}},
	}
}

func dateCases() []judgeCase {
	at := func(h, m int) *time.Time { return clockAt(h, m) }
	source := func(start, end *time.Time) StepFacts {
		return StepFacts{ID: "p", Name: "pressing 1", Start: start, End: end}
	}
	taker := func(start, end *time.Time) StepFacts {
		return StepFacts{ID: "run", Name: "26341K2", Start: start, End: end}
	}
	order := func(s, t StepFacts, link *time.Time) []Finding { return JudgeOrder(s, t, link, rules) }
	return []judgeCase{
		{"dates/in order", order(source(at(7, 0), at(8, 0)), taker(at(9, 0), at(12, 0)), at(9, 0)), levels{}},
		{"dates/overlap", order(source(at(9, 30), at(11, 0)), taker(at(9, 0), at(12, 0)), at(10, 0)), levels{}},
		{"dates/source begins as the taker ends", order(source(at(12, 0), nil), taker(at(9, 0), at(12, 0)), nil), levels{}},
		{"dates/source begins a minute after", order(source(at(12, 1), nil), taker(at(9, 0), at(12, 0)), nil), levels{"dates.source_after_taker": Stop}},
		{"dates/source begins a minute before", order(source(at(11, 59), nil), taker(at(9, 0), at(12, 0)), nil), levels{}},
		{"dates/taker not over", order(source(at(12, 1), nil), taker(at(9, 0), nil), nil), levels{}},
		{"dates/source not known", order(source(nil, nil), taker(at(9, 0), at(12, 0)), at(10, 0)), levels{}},
		{"dates/link as the source begins", order(source(at(9, 0), nil), taker(at(8, 0), at(12, 0)), at(9, 0)), levels{}},
		{"dates/link a minute before the source", order(source(at(9, 0), nil), taker(at(8, 0), at(12, 0)), at(8, 59)), levels{"dates.link_outside": Hold}},
		{"dates/link as the taker ends", order(source(at(9, 0), nil), taker(at(8, 0), at(12, 0)), at(12, 0)), levels{}},
		{"dates/link a minute after the taker", order(source(at(9, 0), nil), taker(at(8, 0), at(12, 0)), at(12, 1)), levels{"dates.link_outside": Hold}},
		{"dates/ends as it starts", JudgeStep(taker(at(9, 0), at(9, 0)), rules), levels{}},
		{"dates/ends before it starts", JudgeStep(taker(at(9, 0), at(8, 59)), rules), levels{"dates.end_before_start": Hold}},
		{"dates/ends after it starts", JudgeStep(taker(at(9, 0), at(9, 1)), rules), levels{}},
		{"dates/no end", JudgeStep(taker(at(9, 0), nil), rules), levels{}},
	}
}

func drawCases() []judgeCase {
	judge := func(juice bool, drawn float64) []Finding {
		held := number(100, UnitKilograms)
		return JudgeDraw(DrawFacts{ID: "t", Name: "tank A", Juice: juice, Held: &held, Drawn: number(drawn, UnitKilograms)}, rules)
	}
	empty, bottles := number(0, UnitKilograms), number(100, UnitBottles)
	return []judgeCase{
		{"draw/juice 3 % over", judge(true, 103), levels{}},
		{"draw/juice past 3 %", judge(true, 103.01), levels{"overdraw.over": Check}},
		{"draw/juice under 3 %", judge(true, 102.99), levels{}},
		{"draw/syrup 2 % over", judge(false, 102), levels{}},
		{"draw/syrup past 2 %", judge(false, 102.01), levels{"overdraw.over": Check}},
		{"draw/syrup under 2 %", judge(false, 101.99), levels{}},
		{"draw/20 % over", judge(false, 120), levels{"overdraw.over": Check}},
		{"draw/past 20 %", judge(false, 120.01), levels{"overdraw.refused": Stop}},
		{"draw/all of it", judge(false, 100), levels{}},
		{"draw/from nothing", JudgeDraw(DrawFacts{ID: "t", Held: &empty, Drawn: number(1, UnitKilograms)}, rules), levels{"overdraw.refused": Stop}},
		{"draw/what was there is not recorded", JudgeDraw(DrawFacts{ID: "t", Drawn: number(1, UnitKilograms)}, rules), levels{}},
		{"draw/other units are not compared", JudgeDraw(DrawFacts{ID: "t", Held: &bottles, Drawn: number(500, UnitKilograms)}, rules), levels{}},
	}
}

func balanceCases() []judgeCase {
	judge := func(stage string, out float64) []Finding {
		return JudgeBalance(BalanceFacts{ID: "run", Name: "26341K2", Stage: stage, Unit: UnitKilograms, In: ptr(100.0), Out: &out}, rules)
	}
	return []judgeCase{
		{"balance/boil even", judge(BalanceBoil, 100), levels{}},
		{"balance/boil 85 %", judge(BalanceBoil, 85), levels{"balance.unaccounted": Note}},
		{"balance/boil under 85 %", judge(BalanceBoil, 84.99), levels{"balance.short": Check}},
		{"balance/boil over 85 %", judge(BalanceBoil, 85.01), levels{"balance.unaccounted": Note}},
		{"balance/boil 102 %", judge(BalanceBoil, 102), levels{"balance.unaccounted": Note}},
		{"balance/boil over 102 %", judge(BalanceBoil, 102.01), levels{"balance.over": Check}},
		{"balance/boil under 102 %", judge(BalanceBoil, 101.99), levels{"balance.unaccounted": Note}},
		{"balance/bottled 97 %", judge(BalanceBottled, 97), levels{"balance.unaccounted": Note}},
		{"balance/bottled under 97 %", judge(BalanceBottled, 96.99), levels{"balance.short": Check}},
		{"balance/bottled 103 %", judge(BalanceBottled, 103), levels{"balance.unaccounted": Note}},
		{"balance/bottled over 103 %", judge(BalanceBottled, 103.01), levels{"balance.over": Check}},
		{"balance/skimmings count", JudgeBalance(BalanceFacts{Stage: BalanceBoil, Unit: UnitKilograms, In: ptr(100.0), Out: ptr(80.0),
			Skimmings: ptr(12.0), Samples: ptr(1.0), Loss: ptr(3.0), OnHand: ptr(4.0)}, rules), levels{}},
		{"balance/nothing in", JudgeBalance(BalanceFacts{Stage: BalanceBoil, Unit: UnitKilograms, In: ptr(0.0), Out: ptr(5.0)}, rules),
			levels{"balance.unaccounted": Note}},
		{"balance/out not recorded", JudgeBalance(BalanceFacts{Stage: BalanceBoil, In: ptr(100.0)}, rules), levels{}},
		{"balance/count differs", JudgeBalance(BalanceFacts{ID: "part", Name: "part 1", Stage: BalanceUnits, Unit: UnitBottles, In: ptr(148.0),
			Out: ptr(120.0), Estimated: true}, rules), levels{"balance.count_differs": Note}},
	}
}

func requiredCases() []judgeCase {
	all := []judgeCase{
		{"required/cut whole", RequiredOfCut(cane()), levels{}},
		{"required/cut bare", RequiredOfCut(CutFacts{ID: "cut", Name: "cut"}),
			levels{"required.cut_planting": Hold, "required.cut_day": Hold, "required.cut_person": Hold}},
		{"required/pressing whole", RequiredOfPressing(pressing()), levels{}},
		{"required/pressing bare", RequiredOfPressing(PressingFacts{ID: "p", Name: "pressing"}), levels{"required.pressing_cuts": Hold,
			"required.pressing_volume": Hold, "required.pressing_brix": Hold, "required.pressing_start": Hold, "required.pressing_person": Hold}},
		{"required/run whole", RequiredOfRun(run()), levels{}},
		{"required/run bare", RequiredOfRun(RunFacts{ID: "run", Name: "run"}), levels{"required.run_juice": Hold, "required.run_fire_lit": Hold,
			"required.run_drawn_off": Hold, "required.run_volume_out": Hold, "required.run_finish_reading": Hold, "required.run_person": Hold}},
		{"required/open run", RequiredOfRun(RunFacts{ID: "run", Open: true, Person: "Ana", FireLitAt: clockAt(8, 0), Sources: []LinkFacts{{}}}), levels{}},
		{"required/reading in the boil is no finish reading", RequiredOfRun(func() RunFacts {
			r := run()
			r.Readings = []ReadingFacts{refracted(StageBoil, 75)}
			return r
		}()), levels{"required.run_finish_reading": Hold}},
		{"required/finish reading without instrument", RequiredOfRun(func() RunFacts {
			r := run()
			r.Readings = []ReadingFacts{spindled(StageFinish, 36, degF(220))}
			r.Readings[0].Instrument = nil
			return r
		}()), levels{"required.run_finish_instrument": Hold}},
		{"required/semi-syrup without a reading", RequiredOfRun(ended(OutcomeSemiSyrup)), levels{"required.run_semi_reading": Hold}},
		{"required/semi-syrup asks for any reading", RequiredOfRun(ended(OutcomeSemiSyrup, refracted(StageBoil, 45))), levels{}},
		{"required/moved or given up asks for none", append(RequiredOfRun(ended(OutcomeMoved)), RequiredOfRun(ended(OutcomeGivenUp))...), levels{}},
		{"required/lot whole", RequiredOfLot(lot()), levels{}},
		{"required/lot from tanks", RequiredOfLot(func() LotFacts { l := lot(); l.Runs, l.FromTanks = nil, true; return l }()), levels{}},
		{"required/lot bare", RequiredOfLot(LotFacts{ID: "lot", Name: "lot"}), levels{"required.lot_sources": Hold, "required.lot_bottles": Hold,
			"required.lot_closures": Hold, "required.lot_person": Hold, "required.lot_first_check": Hold, "required.lot_last_check": Hold,
			"required.lot_count": Hold, "required.lot_net_weight": Hold}},
		{"required/lot still filling", RequiredOfLot(func() LotFacts { l := lot(); l.Open, l.Units, l.Fill.Checks = true, nil, nil; return l }()), levels{}},
		{"required/one check is not two", RequiredOfLot(func() LotFacts { l := lot(); l.Fill.Checks = l.Fill.Checks[:1]; return l }()),
			levels{"required.lot_last_check": Hold}},
	}
	bare := lot()
	bare.Fill.Checks = []FillCheckFacts{{ID: "a", NetWeight: ptr(syrup.Grams(500))}, {ID: "b"}}
	return append(all, judgeCase{"required/checks bare", RequiredOfLot(bare), levels{"required.lot_first_temperature": Hold,
		"required.lot_first_time": Hold, "required.lot_first_instrument": Hold, "required.lot_last_temperature": Hold,
		"required.lot_last_time": Hold, "required.lot_last_instrument": Hold}})
}

func runCases() []judgeCase {
	judge := func(do func(*RunFacts)) []Finding {
		r := run()
		do(&r)
		return JudgeRun(r, rules)
	}
	ok := levels{"identity.cane_met": Within}
	met := func(code string, level Level) levels { return levels{"identity.cane_met": Within, code: level} }
	tenKilograms := number(10, UnitKilograms)
	sweetHeel := RunFacts{ID: "heel", Name: "26340K2", Additions: []AdditionFacts{answered(UseSweetener)}}
	return []judgeCase{
		{"run/as it should be", judge(func(*RunFacts) {}), ok},
		{"run/cane cut after it was pressed", judge(func(r *RunFacts) { r.Pressings[0].Cuts[0].CutOn = "2026-12-08" }), met("dates.source_after_taker", Stop)},
		{"run/cut the day it was pressed", judge(func(r *RunFacts) { r.Pressings[0].Cuts[0].CutOn, r.Pressings[0].Cuts[0].FinishedAt = "2026-12-07", nil }), ok},
		{"run/planted after it was cut", judge(func(r *RunFacts) {
			r.Pressings[0].Cuts[0].Planting = &PlantingFacts{ID: "pl", Name: "B3", PlantedOn: "2026-12-08"}
		}), met("dates.source_after_taker", Stop)},
		{"run/sprayed cane", judge(func(r *RunFacts) { r.Pressings[0].Cuts[0].Applications = []ApplicationFacts{sprayed("2026-12-01", 14)} }),
			met("harvest.inside_interval", Hold)},
		{"run/heel brings what was added before", judge(func(r *RunFacts) { r.Heels = []RunFacts{sweetHeel} }), met("identity.addition_bars", Hold)},
		{"run/juice overdrawn", judge(func(r *RunFacts) {
			r.Pressings[0].Draws = []DrawFacts{{ID: "p", Juice: true, Held: &tenKilograms, Drawn: number(11, UnitKilograms)}}
		}), met("overdraw.over", Check)},
		{"run/addition at the press", judge(func(r *RunFacts) { r.Pressings[0].Additions = []AdditionFacts{answered(UseEnzyme)} }),
			met("identity.addition_bars", Hold)},
		{"run/pressing ends before it starts", judge(func(r *RunFacts) { r.Pressings[0].EndedAt = clockAt(6, 59) }), met("dates.end_before_start", Hold)},
		{"run/balance", judge(func(r *RunFacts) {
			r.Balances = []BalanceFacts{{ID: "run", Stage: BalanceBoil, Unit: UnitKilograms, In: ptr(50.0), Out: ptr(30.0)}}
		}), met("balance.short", Check)},
		{"run/overdrawn syrup", judge(func(r *RunFacts) {
			r.Draws = []DrawFacts{{ID: "run", Held: &tenKilograms, Drawn: number(10.3, UnitKilograms)}}
		}), met("overdraw.over", Check)},
	}
}

func lotCases() []judgeCase {
	judge := func(do func(*LotFacts)) []Finding {
		l := lot()
		do(&l)
		return JudgeLot(l, rules)
	}
	ok := levels{"identity.cane_met": Within, "fill.met": Within}
	met := func(code string, level Level) levels {
		return levels{"identity.cane_met": Within, "fill.met": Within, code: level}
	}
	own := func(percent float64) func(*LotFacts) {
		return func(l *LotFacts) {
			l.Runs[0].Readings = []ReadingFacts{refracted(StageFinish, 72)}
			l.Readings = []ReadingFacts{refracted(StageLot, percent)}
		}
	}
	tenBottles := number(10, UnitBottles)
	return []judgeCase{
		{"lot/as it should be", judge(func(*LotFacts) {}), ok},
		{"lot/thin run, no reading of its own", judge(func(l *LotFacts) { l.Runs[0].Readings = []ReadingFacts{refracted(StageFinish, 72)} }),
			levels{"identity.below_cane": Hold, "fill.met": Within}},
		{"lot/thin run, thick by its own reading", judge(own(75)), met("identity.below_cane", Note)},
		{"lot/thin by its own reading", judge(own(73.9)), levels{"identity.below_cane": Hold, "fill.met": Within}},
		{"lot/near by its own reading, run confirms", judge(func(l *LotFacts) { l.Readings = []ReadingFacts{refracted(StageLot, 74.2)} }), ok},
		{"lot/table syrup from a thin run", judge(func(l *LotFacts) {
			l.Names = NamesTable
			l.Runs[0].Readings = []ReadingFacts{refracted(StageFinish, 72)}
		}), levels{"identity.table_met": Within, "fill.met": Within}},
		{"lot/filled from semi-syrup", judge(func(l *LotFacts) {
			l.Runs[0] = ended(OutcomeSemiSyrup, refracted(StageBoil, 45))
			l.Readings = []ReadingFacts{refracted(StageLot, 75)}
		}), met("identity.semi_syrup", Hold)},
		{"lot/run still open", judge(func(l *LotFacts) { l.Runs[0].Open, l.Runs[0].DrawnOffAt = true, nil }), met("required.run_drawn_off", Hold)},
		{"lot/filled before it was boiled", judge(func(l *LotFacts) {
			l.Sources = []LinkFacts{{From: StepFacts{ID: "run", Name: "26342K2", Start: clockAt(14, 1)}}}
		}), met("dates.source_after_taker", Stop)},
		{"lot/bottles received the day after", judge(func(l *LotFacts) { l.Supplies = []SupplyFacts{{ID: "b", Name: "bottles", ReceivedOn: "2026-12-08"}} }),
			met("dates.source_after_taker", Stop)},
		{"lot/bottles received that day", judge(func(l *LotFacts) { l.Supplies = []SupplyFacts{{ID: "b", Name: "bottles", ReceivedOn: "2026-12-07"}} }), ok},
		{"lot/addition in the tank", judge(func(l *LotFacts) { l.Additions = []AdditionFacts{answered(UseSyrup)} }), met("identity.addition_bars", Hold)},
		{"lot/more shipped than filled", judge(func(l *LotFacts) {
			l.Draws = []DrawFacts{{ID: "lot", Name: "part 1", Held: &tenBottles, Drawn: number(11, UnitBottles)}}
		}), met("overdraw.over", Check)},
		{"lot/count differs", judge(func(l *LotFacts) {
			l.Balances = []BalanceFacts{{ID: "lot", Stage: BalanceUnits, Unit: UnitBottles, In: ptr(140.0), Out: ptr(139.0)}}
		}), met("balance.count_differs", Note)},
	}
}

func TestWindowOfHeldBottles(t *testing.T) {
	f := filling(bottle("a", clock(13, 10), degF(190)), bottle("b", clock(13, 30), degF(180)), bottle("c", clock(13, 45), degF(178)),
		bottle("d", clock(13, 55), degF(191)))
	window := func(about string, f FillFacts) (from, to string) {
		for _, finding := range JudgeFill(f, rules) {
			if finding.About == about && finding.Level == Hold {
				return finding.Values["From"].Text, finding.Values["To"].Text
			}
		}
		return "none", "none"
	}
	from, to := window("b", f)
	assert.Equal(t, "2026-12-07T13:10:00-06:00", from, "since the last good check")
	assert.Equal(t, "2026-12-07T13:55:00-06:00", to, "until the next good one, past a second bad one")
	from, _ = window("c", f)
	assert.Equal(t, "2026-12-07T13:10:00-06:00", from)

	only := filling(bottle("b", clock(13, 30), degF(180)))
	from, to = window("b", only)
	assert.Equal(t, "2026-12-07T13:00:00-06:00", from, "from the first bottle")
	assert.Equal(t, "2026-12-07T14:00:00-06:00", to, "to the last")
	only.StartedAt, only.EndedAt = nil, nil
	from, to = window("b", only)
	assert.Equal(t, "fill_window.first_bottle", from)
	assert.Equal(t, "fill_window.last_bottle", to)
}

func TestReadingSolids(t *testing.T) {
	// physics 3: 33.5 Be at 220 F on the 60 F stem is 70.19 % (computed, a regression value).
	solids, err := spindled(StageFinish, 33.5, degF(220)).Solids()
	assert.NoError(t, err)
	assert.InDelta(t, 70.19, float64(solids.Percent), 0.01)
	assert.Equal(t, syrup.HotUncertainty, solids.Uncertainty)
	cold, _ := spindled(StageLot, 39.4, ptr(syrup.Celsius(20))).Solids()
	assert.Equal(t, syrup.ColdUncertainty, cold.Uncertainty)

	_, err = spindled(StageFinish, 33.5, nil).Solids()
	assert.ErrorIs(t, err, ErrNoTemperature)

	coarse := spindled(StageFinish, 33.5, degF(220))
	coarse.Instrument = &InstrumentFacts{Stem: syrup.Stem60F, Uncertainty: ptr(1.0)}
	solids, _ = coarse.Solids()
	assert.InDelta(t, 1.85, float64(solids.Uncertainty), 0.1, "1 Be hot is about 1.85 % (trade 4.2)")

	heavy := spindled(StageFinish, 33.5, degF(220))
	heavy.Instrument = &InstrumentFacts{Stem: syrup.Stem60F, Error: ptr(0.5)}
	corrected, _ := heavy.Solids()
	right, _ := spindled(StageFinish, 33, degF(220)).Solids()
	assert.Equal(t, right.Percent, corrected.Percent, "a hydrometer that reads heavy is judged with the whole error off")
	light := spindled(StageFinish, 33.5, degF(220))
	light.Instrument = &InstrumentFacts{Stem: syrup.Stem60F, Error: ptr(-0.5)}
	uncredited, _ := light.Solids()
	assert.InDelta(t, 70.19, float64(uncredited.Percent), 0.01, "one that reads light is given no credit")
	_, err = refracted(StageLot, math.Nextafter(85, 86)).Solids()
	assert.ErrorAs(t, err, &syrup.RangeError{})
}

func TestCorrectionIsNamed(t *testing.T) {
	c := bottle("f1", clock(13, 30), degF(187))
	c.Instrument = &InstrumentFacts{ID: "i-h", Uncertainty: ptr(0.1), Error: ptr(2.0)}
	f := ordered(JudgeFill(filling(c), rules))[0]
	assert.Equal(t, "fill.below_limit", f.Code)
	assert.Len(t, f.Corrections, 1)
	assert.Equal(t, degrees(*degF(187)), f.Corrections[0].Read, "raw stays raw")
	assert.InDelta(t, -2, f.Corrections[0].By.Number, 1e-9)
	assert.Equal(t, CorrectedFailed, f.Corrections[0].Why)
	assert.InDelta(t, float64(*degF(187))-2, f.Measured.Number, 1e-12)

	r := spindled(StageFinish, 33.5, degF(220))
	r.Instrument = &InstrumentFacts{Stem: syrup.Stem60F, Error: ptr(0.5)}
	f = JudgeIdentity(IdentityFacts{ID: "run", Stage: StageFinish, Readings: []ReadingFacts{r}}, rules)[0]
	assert.Len(t, f.Corrections, 1)
	assert.Equal(t, number(-0.5, UnitBaume), f.Corrections[0].By)
	r.Instrument = spindle
	f = JudgeIdentity(IdentityFacts{ID: "run", Stage: StageFinish, Readings: []ReadingFacts{r}}, rules)[0]
	assert.Empty(t, f.Corrections)
}

// A tank that kept its heel all season: every run is reached from the lot and through every later run's heel.
func TestLongHeelChainIsWalkedOnce(t *testing.T) {
	var chain []RunFacts
	for i := range 300 {
		r := run()
		r.ID, r.Pressings[0].ID = fmt.Sprint("run", i), fmt.Sprint("p", i)
		if i > 0 {
			r.Heels = []RunFacts{chain[i-1]}
		}
		chain = append(chain, r)
	}
	chain[0].Additions = []AdditionFacts{answered(UseSweetener)}
	for i := 1; i < len(chain); i++ {
		chain[i].Heels = []RunFacts{chain[i-1]}
	}
	l := lot()
	l.Runs = chain
	start := time.Now()
	findings := JudgeLot(l, rules)
	assert.Contains(t, levelsOf(findings), "identity.addition_bars", "the first run's sweetener reaches the last lot")
	assert.Len(t, LotAdditions(l), 1)
	assert.Less(t, time.Since(start), 2*time.Second)
	l.Runs = chain[299:]
	assert.Contains(t, levelsOf(JudgeLot(l, rules)), "identity.addition_bars")
}

func TestAllowedNames(t *testing.T) {
	percent := func(x syrup.Brix) *syrup.Brix { return &x }
	// standards.md test vectors 1 to 3 (21 CFR 168.130, 168.180).
	all := []string{"Cane syrup", "Cane sirup", "Sugar cane syrup", "Sugar cane sirup", "Table syrup", "Table sirup", "Syrup", "Sirup"}
	assert.Equal(t, all, AllowedNames(percent(74), nil))
	assert.Equal(t, all, AllowedNames(percent(74.01), nil))
	assert.Equal(t, all[4:], AllowedNames(percent(73.99), nil))
	assert.Equal(t, all[4:], AllowedNames(percent(65), nil))
	assert.Empty(t, AllowedNames(percent(64.99), nil))
	assert.Empty(t, AllowedNames(nil, nil), "solids not recorded")
	assert.Equal(t, all[4:], AllowedNames(percent(76), []AdditionFacts{answered(UseEnzyme)}), "invertase")
	assert.Equal(t, all, AllowedNames(percent(76), []AdditionFacts{answered(UseSalt), answered(UseDefoamer)}))
	assert.Equal(t, all, LotNames(lot()))
}

func TestLotSolids(t *testing.T) {
	l := lot()
	l.Runs = append(l.Runs, run())
	l.Runs[1].Readings = []ReadingFacts{refracted(StageFinish, 74.6)}
	assert.Equal(t, syrup.Brix(74.6), LotSolids(l).Percent, "the thinnest run")
	l.Runs[1].Readings = nil
	assert.Nil(t, LotSolids(l), "a run without a reading")
	l.Readings = []ReadingFacts{refracted(StageLot, 76)}
	assert.Equal(t, syrup.Brix(76), LotSolids(l).Percent, "its own first")
	assert.Nil(t, LotSolids(LotFacts{}))
	assert.Nil(t, LotNames(LotFacts{}))

	l.Additions = []AdditionFacts{answered(UseSalt)}
	l.Runs[0].Heels = []RunFacts{{Additions: []AdditionFacts{answered(UseSalt), {ID: "add2"}}}}
	assert.Len(t, LotAdditions(l), 2, "once each, heels too")
}

func TestOnHand(t *testing.T) {
	// trade 7.8: bottled 148 = shipped 60 + 48 + 20, on hand 16, retained 2, broken 2.
	assert.Equal(t, 16, UnitsFacts{Filled: 148, Shipped: 128, Samples: 2, Broken: 2}.OnHand())
	assert.Equal(t, 5, UnitsFacts{Filled: 10, Returned: 3, Shipped: 4, Reworked: 1, Destroyed: 3}.OnHand())
	rest, ok := BalanceFacts{In: ptr(10.0), Out: ptr(12.0)}.Unaccounted()
	assert.True(t, ok)
	assert.Equal(t, -2.0, rest)
	_, ok = BalanceFacts{Out: ptr(12.0)}.Unaccounted()
	assert.False(t, ok)
}

func TestDay(t *testing.T) {
	days, ok := Day("2026-03-09").daysAfter("2026-03-07")
	assert.True(t, ok)
	assert.Equal(t, 2, days)
	_, ok = Day("2026-02-30").daysAfter("2026-03-07")
	assert.False(t, ok)
	assert.Equal(t, Day("2028-03-01"), Day("2028-02-28").plus(2))
	assert.Equal(t, Day(""), Day("soon").plus(2))
	assert.Equal(t, Day("2026-12-06"), dayOf(time.Date(2026, 12, 7, 5, 59, 0, 0, time.UTC), house))
	assert.Nil(t, Day("").Start(house))
}
