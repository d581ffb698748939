package hazards

import (
	"fmt"
	"time"

	"canewright/hazards/syrup"
)

// house is the zone of the tests' house.
var house = time.FixedZone("house", -6*3600)

var rules = Rules{Zone: house}

func ptr[T any](x T) *T { return &x }

func degF(f syrup.Fahrenheit) *syrup.Celsius { return ptr(f.Celsius()) }

// clock is a moment of 7 December 2026 in the house.
func clock(hour, minute int) time.Time { return time.Date(2026, 12, 7, hour, minute, 0, 0, house) }

func clockAt(hour, minute int) *time.Time { return ptr(clock(hour, minute)) }

var (
	spindle       = &InstrumentFacts{ID: "i-spindle", Name: "spindle A", Measures: MeasuresDensity, Stem: syrup.Stem60F}
	refractometer = &InstrumentFacts{ID: "i-refr", Name: "refractometer", Measures: MeasuresRefraction}
	probe         = &InstrumentFacts{ID: "i-probe", Name: "probe 2", Measures: MeasuresTemperature, Uncertainty: ptr(0.5)}
)

// refracted is a reading whose solids are exactly the number read, with 0.5 % uncertainty.
func refracted(stage string, percent float64) ReadingFacts {
	return ReadingFacts{ID: fmt.Sprint("r-", stage, "-", percent), Name: "reading 12:40", At: clock(12, 40), Stage: stage,
		Reading: percent, Scale: syrup.ScaleBrix, Temperature: ptr(syrup.Celsius(20)), TemperatureEntered: "20 C",
		Instrument: refractometer, Person: "Ana"}
}

// spindled is a hydrometer reading in Baume at a temperature in F; nil is not recorded.
func spindled(stage string, baume float64, t *syrup.Celsius) ReadingFacts {
	r := ReadingFacts{ID: "r-spindle", Name: "reading 12:40", At: clock(12, 40), Stage: stage, Reading: baume,
		Scale: syrup.ScaleBaume, Temperature: t, Instrument: spindle, Person: "Ana"}
	if t != nil {
		r.TemperatureEntered = fmt.Sprintf("%g F", t.Fahrenheit())
	}
	return r
}

// bottle is a fill check at a temperature in F, all else as it should be.
func bottle(id string, at time.Time, t *syrup.Celsius) FillCheckFacts {
	return FillCheckFacts{ID: id, Name: "check " + at.Format("15:04"), At: at, Bottle: t, BottleEntered: "x", Instrument: probe,
		InvertedSeconds: ptr(120), ClosureOK: ptr(true), Person: "Ana"}
}

// filling is a lot of thick syrup in a container with a house limit of 185 F, filled 13:00 to 14:00.
func filling(checks ...FillCheckFacts) FillFacts {
	return FillFacts{ID: "lot", Name: "26341K2B1", ContainerID: "c12", Container: "12 oz glass", HouseLimit: degF(185),
		LimitSource: "our trial, 2025", Contents: ptr(syrup.Milliliters(355)),
		Solids:    &syrup.Solids{Percent: 75, Uncertainty: 0.5},
		StartedAt: clockAt(13, 0), EndedAt: clockAt(14, 0), Checks: checks}
}

// reference is the same filling without a house limit.
func referenceFilling(checks ...FillCheckFacts) FillFacts {
	f := filling(checks...)
	f.HouseLimit, f.LimitSource = nil, ""
	return f
}

// cane is a cut of 6 December finished at 12:00.
func cane() CutFacts {
	return CutFacts{ID: "cut", Name: "cut 6 Dec", Person: "Ana", CutOn: "2026-12-06",
		FinishedAt: ptr(time.Date(2026, 12, 6, 12, 0, 0, 0, house)), DayHigh: degF(60), FrozenStalks: StalksNotLooked,
		Planting: &PlantingFacts{ID: "pl", Name: "B3, Green German", PlantedOn: "2025-09-01"}}
}

func with(c CutFacts, change func(*CutFacts)) CutFacts {
	change(&c)
	return c
}

func sprayed(on Day, interval int) ApplicationFacts {
	return ApplicationFacts{ID: "app", Name: "borer spray", AppliedOn: on, PreHarvestDays: interval, ForSugarcane: ptr(true)}
}

func frost(night Day, low syrup.Fahrenheit, found string) FreezeFacts {
	return FreezeFacts{ID: "fr", Name: "freeze 3 Dec", Night: night, Low: low.Celsius(), Found: found}
}

func pressing() PressingFacts {
	return PressingFacts{ID: "p", Name: "pressing 1", Person: "Ana", StartedAt: clockAt(7, 0), EndedAt: clockAt(8, 30),
		Volume: ptr(syrup.Liters(300)), Brix: ptr(syrup.Brix(17)), Cuts: []CutFacts{cane()}}
}

func run() RunFacts {
	return RunFacts{ID: "run", Name: "26341K2", Person: "Ana", FireLitAt: clockAt(8, 0), DrawnOffAt: clockAt(12, 45),
		VolumeOut: ptr(syrup.Liters(60)), Readings: []ReadingFacts{refracted(StageFinish, 75)}, Pressings: []PressingFacts{pressing()},
		Sources: []LinkFacts{{From: pressing().step(), At: clockAt(8, 15)}}}
}

func lot() LotFacts {
	fill := filling(bottle("f1", clock(13, 5), degF(190)), bottle("f2", clock(13, 55), degF(190)))
	fill.Checks[0].NetWeight = ptr(syrup.Grams(500))
	return LotFacts{ID: "lot", Name: "26341K2B1", Person: "Ana", BottlesLotID: ptr("b"), ClosuresLotID: ptr("c"), Units: ptr(140),
		Runs: []RunFacts{run()}, Sources: []LinkFacts{{From: run().step(), At: clockAt(13, 0)}}, Fill: fill}
}

func answered(use string) AdditionFacts {
	return AdditionFacts{ID: "add", Name: "cornstarch", Use: use, Stays: ptr(true), Allergens: ptr(""), Sulfites: ptr(false)}
}
