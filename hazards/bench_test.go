package hazards

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"canewright/hazards/syrup"
)

// longLot is a lot with 200 density readings: 194 of the boil, three at the finish, three of its own, by hydrometers and a
// refractometer, hot and cold.
func longLot() LotFacts {
	l := lot()
	run := &l.Runs[0]
	run.Readings = nil
	for i := range 194 {
		at := 205 + 20*float64(i)/194
		r := spindled(StageBoil, 12+22*float64(i)/194, degF(syrup.Fahrenheit(at)))
		r.ID, r.At = fmt.Sprint("boil-", i), clock(8, 30).Add(time.Duration(i)*time.Minute)
		run.Readings = append(run.Readings, r)
	}
	add := func(to *[]ReadingFacts, stage string, i int) {
		r := spindled(stage, 36.2, degF(224))
		if i == 1 {
			r = refracted(stage, 75)
		}
		r.ID, r.At = fmt.Sprint(stage, "-", i), clock(12, 40+i)
		*to = append(*to, r)
	}
	for i := range 3 {
		add(&run.Readings, StageFinish, i)
		add(&l.Readings, StageLot, i)
	}
	return l
}

func TestLongLotIsJudged(t *testing.T) {
	l := longLot()
	assert.Equal(t, 200, len(l.Readings)+len(l.Runs[0].Readings))
	got := levelsOf(JudgeLot(l, rules))
	assert.Equal(t, Within, got["identity.cane_met"])
	assert.Equal(t, Within, got["fill.met"])
}

// BenchmarkJudgeLot is one full judgement of a lot with 200 readings. Aim: under 200 microseconds.
func BenchmarkJudgeLot(b *testing.B) {
	finish := longLot()
	for i := range finish.Runs[0].Readings {
		finish.Runs[0].Readings[i].Stage, finish.Runs[0].Readings[i].Reading = StageFinish, 36.2
	}
	for name, l := range map[string]LotFacts{"boil log": longLot(), "all at the finish": finish} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				JudgeLot(l, rules)
			}
		})
	}
}

// A reading that is called surely usable can be worked out: every stem and scale, the whole of the model's temperatures.
func TestSurelyUsableIsUsable(t *testing.T) {
	told := 0
	for _, stem := range append([]syrup.Stem{""}, syrup.Stems...) {
		for _, scale := range []syrup.Scale{syrup.ScaleBaume, syrup.ScaleBrix} {
			for at := -5.0; at <= 115; at += 0.5 {
				for read := -1.0; read <= 90; read += 0.25 {
					r := ReadingFacts{Reading: read, Scale: scale, Temperature: ptr(syrup.Celsius(at)), Instrument: &InstrumentFacts{Stem: stem}}
					if !r.surelyUsable() {
						continue
					}
					told++
					if _, err := r.Solids(); err != nil {
						t.Fatalf("%s %s %v at %v C: %v", stem, scale, read, at, err)
					}
				}
			}
		}
	}
	assert.Greater(t, told, 100_000)
	for name, r := range map[string]ReadingFacts{
		"no temperature": {Reading: 30, Scale: syrup.ScaleBaume}, "refractometer": {Reading: 30, Scale: syrup.ScaleBrix, Temperature: degF(70), Instrument: refractometer},
		"scale": {Reading: 30, Scale: "x", Temperature: degF(70)}, "stem": {Reading: 30, Scale: syrup.ScaleBaume, Temperature: degF(70), Instrument: &InstrumentFacts{Stem: "72F"}},
		"failed":  {Reading: 30, Scale: syrup.ScaleBaume, Temperature: degF(70), Instrument: &InstrumentFacts{Error: ptr(1.0)}},
		"modulus": {Reading: 30, Scale: syrup.ScaleBaume, Temperature: degF(70), Instrument: &InstrumentFacts{Modulus: ptr(144.3)}},
	} {
		assert.False(t, r.surelyUsable(), name)
	}
}
