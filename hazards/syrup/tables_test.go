package syrup

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// measured is one number of a row beside what the model makes of it.
type measured struct {
	expected, got, tolerance float64
}

func (m measured) deviation() float64 { return max(m.got-m.expected, m.expected-m.got) }

// table is a file of testdata: what it holds, in which unit, and how the model answers a row.
type table struct {
	what, unit string
	answer     func(t *testing.T, r row) []measured
}

// one is a row with a single expected value.
func one[T ~float64](model func(t *testing.T, r row) (T, error)) func(t *testing.T, r row) []measured {
	return func(t *testing.T, r row) []measured {
		t.Helper()
		got, err := model(t, r)
		require.NoError(t, err, "%s %v", r.file, r.cells)
		return []measured{{r.number(t, "expected"), float64(got), r.number(t, "tolerance")}}
	}
}

// TestTables holds every model to every row: within tolerance, or clearly outside it where the row is a misprint.
func TestTables(t *testing.T) {
	for file, table := range tables {
		eachRow(t, file, func(t *testing.T, r row) {
			if r.cells["basis"] == "disputed" {
				return // only the stated relation is tested, in relations_test.go
			}
			for _, m := range table.answer(t, r) {
				if r.cells["basis"] == "misprint" {
					assert.Greater(t, m.deviation(), m.tolerance, "%s %v is marked a misprint but fits", r.file, r.cells)
					continue
				}
				assert.InDelta(t, m.expected, m.got, m.tolerance, "%s %v", r.file, r.cells)
			}
		})
	}
}

func (r row) solids(t *testing.T) Brix { return Brix(r.number(t, "solids_percent")) }

// tables are the files whose rows say what a model should give.
var tables = map[string]table{
	"density.csv": {"density", "kg/m3", one(func(t *testing.T, r row) (KilogramsPerCubicMeter, error) {
		return Density(r.solids(t), Celsius(r.number(t, "temperature_c")))
	})},
	"gravity.csv": {"specific gravity 20/20 C", "", one(func(t *testing.T, r row) (SpecificGravity, error) {
		if r.text(t, "kind") == "apparent" {
			return ApparentGravity(r.solids(t))
		}
		return TrueGravity(r.solids(t))
	})},
	"baume.csv": {"Baume of solids", "Be", one(func(t *testing.T, r row) (Baume, error) {
		return BaumeFromSolids(r.solids(t), DefaultModulus)
	})},
	"baume_modulus.csv": {"Baume by modulus", "Be", one(func(t *testing.T, r row) (Baume, error) {
		return BaumeFromSolids(r.solids(t), r.number(t, "modulus"))
	})},
	"baume_to_solids.csv": {"solids of Baume", "%", one(func(t *testing.T, r row) (Brix, error) {
		return SolidsFromBaume(Baume(r.number(t, "baume")), DefaultModulus)
	})},
	"hydrometer_readings.csv": {"hydrometer reading hot", "Be or Bx", one(func(t *testing.T, r row) (float64, error) {
		h := Hydrometer{Stem: Stem(r.text(t, "stem"))}
		return h.Reading(Scale(r.text(t, "scale")), r.solids(t), fahrenheit(t, r, "temperature_f"))
	})},
	"hydrometer_solids.csv": {"solids from a hydrometer", "%", one(func(t *testing.T, r row) (Brix, error) {
		h := Hydrometer{Stem: Stem(r.text(t, "stem"))}
		got, err := h.TrueSolids(Scale(r.text(t, "scale")), r.number(t, "reading"), fahrenheit(t, r, "temperature_f"))
		return got.Percent, err
	})},
	"hydrometer_hot_cold.csv": {"hot to cold Baume", "Be", one(func(t *testing.T, r row) (float64, error) {
		h := Hydrometer{Stem: Stem(r.text(t, "stem"))}
		solids, err := h.TrueSolids(ScaleBaume, r.number(t, "baume_hot"), fahrenheit(t, r, "temperature_f"))
		require.NoError(t, err)
		return h.Reading(ScaleBaume, solids.Percent, fahrenheit(t, r, "cold_f"))
	})},
	"refractometer_index.csv": {"Brix of a refractive index", "%", one(func(t *testing.T, r row) (Brix, error) {
		return SolidsFromIndex(RefractiveIndex(r.number(t, "index")))
	})},
	"refractometer_temperature.csv": {"refractometer temperature correction", "Bx", one(func(t *testing.T, r row) (Brix, error) {
		read := Brix(r.number(t, "brix"))
		at20, err := RefractometerAt20(read, Celsius(r.number(t, "temperature_c")))
		return at20 - read, err
	})},
	"refractometer_invert.csv": {"refractometer low by invert", "Bx per %", one(func(t *testing.T, r row) (Brix, error) {
		invert := Brix(r.number(t, "invert_percent"))
		low, err := InvertReadsLow(invert)
		return low / invert, err
	})},
	"boiling_water.csv": {"boiling point of water", "C or F", boilingWater},
	"water_pressure.csv": {"vapour pressure of water", "Pa", one(func(t *testing.T, r row) (Kilopascals, error) {
		p, err := SaturationPressure(Celsius(r.number(t, "temperature_c")))
		return p * 1000, err
	})},
	"boiling_rise.csv": {"boiling rise, pure sucrose", "F", one(func(t *testing.T, r row) (FahrenheitDelta, error) {
		b, err := SyrupBoiling(Composition{Solids: r.solids(t)}, StandardPressure)
		return b.Rise.Fahrenheit(), err
	})},
	"boiling_finish.csv": {"finish temperature", "F", one(func(t *testing.T, r row) (Fahrenheit, error) {
		b, err := SyrupBoiling(composition(t, r), StandardPressure)
		return b.Syrup.Fahrenheit(), err
	})},
	"boiling_altitude.csv": {"boiling rise by height", "F", one(func(t *testing.T, r row) (FahrenheitDelta, error) {
		h, err := LengthFrom(r.number(t, "altitude_ft"), "ft")
		require.NoError(t, err)
		p, err := PressureAtAltitude(h)
		require.NoError(t, err)
		b, err := SyrupBoiling(Composition{Solids: 74, Inverted: 0.3, Ash: 0.015}, p)
		return b.Rise.Fahrenheit(), err
	})},
	"water_activity.csv": {"water activity", "", one(func(t *testing.T, r row) (WaterActivity, error) {
		return ActivityOf(composition(t, r), Celsius(r.number(t, "temperature_c")))
	})},
	// The curve itself: rows past 60 C lie outside the public limit.
	"solubility.csv": {"solubility of sucrose", "%", one(func(t *testing.T, r row) (Brix, error) {
		return Brix(solubility(r.number(t, "temperature_c"))), nil
	})},
	"solubility_ratio.csv": {"sucrose per water, saturated", "g/g", one(func(t *testing.T, r row) (Brix, error) {
		s, err := Solubility(Celsius(r.number(t, "temperature_c")))
		return s / (100 - s), err
	})},
	"cane_coefficient.csv": {"solubility left beside non-sucrose", "", one(func(t *testing.T, r row) (float64, error) {
		return caneCoefficient(r.number(t, "q")), nil
	})},
	"supersaturation.csv": {"supersaturation", "", one(func(t *testing.T, r row) (float64, error) {
		mix := CrystalMix{Solids: r.solids(t), Invert: Brix(r.number(t, "invert_percent")), Other: Brix(r.number(t, "other_percent"))}
		return Supersaturation(mix, Celsius(r.number(t, "temperature_c")))
	})},
	"yield_ratio.csv": {"juice per syrup", "vol/vol", one(func(t *testing.T, r row) (float64, error) {
		return JuicePerSyrup(Brix(r.number(t, "juice_percent")), Brix(r.number(t, "syrup_percent")))
	})},
	"yield_implied.csv": {"implied juice Brix", "%", one(func(t *testing.T, r row) (Brix, error) {
		return ImpliedJuiceSolids(Liters(r.number(t, "ratio")), 1, Brix(r.number(t, "syrup_percent")))
	})},
	"yield_loss.csv": {"syrup of juice after a loss", "gal", one(func(t *testing.T, r row) (USGallons, error) {
		juice := USGallons(r.number(t, "juice_gal")).Liters()
		y, err := SyrupFromJuice(juice, Brix(r.number(t, "juice_percent")), Brix(r.number(t, "syrup_percent")))
		require.NoError(t, err)
		y, err = y.Less(Fraction(r.number(t, "loss_percent") / 100))
		return y.SyrupVolume.USGallons(), err
	})},
	"yield_water.csv":      {"water to drive off", "% and lb/gal", yieldWater},
	"yield_ton.csv":        {"juice and syrup of a ton of cane", "gal", yieldTon},
	"water_adjustment.csv": {"water off or in", "lb and gal", waterAdjustment},
	"water_to_add.csv": {"water to add to a gallon", "fl oz", one(func(t *testing.T, r row) (USFluidOunces, error) {
		now, target := Brix(r.number(t, "now_percent")), Brix(r.number(t, "target_percent"))
		a, err := WaterToAdd(USGallons(1).Liters(), 20, now, target)
		return a.WaterVolume.Milliliters().USFluidOunces(), err
	})},
	"volume_kept.csv": {"volume kept when boiled thicker", "", one(func(t *testing.T, r row) (Fraction, error) {
		return VolumeKept(Brix(r.number(t, "now_percent")), Brix(r.number(t, "target_percent")))
	})},
	"blend.csv": {"share of the first lot", "%", one(func(t *testing.T, r row) (Fraction, error) {
		share, err := BlendShares(Brix(r.number(t, "first_percent")), Brix(r.number(t, "second_percent")), Brix(r.number(t, "target_percent")))
		return share * 100, err
	})},
	"weight_per_gallon.csv": {"weight of a gallon in air", "lb", one(func(t *testing.T, r row) (Pounds, error) {
		return WeightPerGallon(r.solids(t))
	})},
	"mass_per_gallon.csv": {"mass of a gallon", "lb", one(func(t *testing.T, r row) (Pounds, error) {
		grams, err := NetMass(USGallons(1).Liters().Milliliters(), r.solids(t))
		return grams.Kilograms().Pounds(), err
	})},
	"fill_ratio.csv": {"volume at 68 F per hot volume", "", one(func(t *testing.T, r row) (Fraction, error) {
		return FillRatio(r.solids(t), fahrenheit(t, r, "temperature_f"))
	})},
	"fill_volume.csv": {"volume to fill hot", "fl oz", one(func(t *testing.T, r row) (USFluidOunces, error) {
		declared := USFluidOunces(r.number(t, "declared_floz")).Milliliters()
		hot, err := HotVolume(declared, r.solids(t), fahrenheit(t, r, "temperature_f"))
		return hot.USFluidOunces(), err
	})},
	"fill_mass.csv": {"net mass", "g", one(func(t *testing.T, r row) (Grams, error) {
		declared := USFluidOunces(r.number(t, "declared_floz")).Milliliters()
		if r.text(t, "kind") == "weight" {
			return NetWeight(declared, r.solids(t))
		}
		return NetMass(declared, r.solids(t))
	})},
	"vacuum.csv": {"most vacuum in a jar", "inHg", one(func(t *testing.T, r row) (float64, error) {
		v, err := VacuumBound(Composition{Solids: 74, Inverted: 0.3, Ash: 0.015}, 0.05, fahrenheit(t, r, "closed_f"))
		return v.InchesOfMercury(), err
	})},
	"lethal_rate.csv": {"lethal rate", "", one(func(t *testing.T, r row) (float64, error) {
		return LethalRate(Celsius(r.number(t, "temperature_c")), Celsius(r.number(t, "reference_c")), CelsiusDelta(r.number(t, "z_c")))
	})},
	"lethality.csv": {"lethality of a cooling", "min", one(func(t *testing.T, r row) (float64, error) {
		return Lethality(cooling(t, r), Fahrenheit(180).Celsius(), FahrenheitDelta(23).Celsius())
	})},
	"viscosity.csv": {"viscosity", "mPa s", one(func(t *testing.T, r row) (MillipascalSeconds, error) {
		v, _, err := Viscosity(r.solids(t), Celsius(r.number(t, "temperature_c")), 1)
		return v, err
	})},
}
