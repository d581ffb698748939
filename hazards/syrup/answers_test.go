package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The answers that take more than a line.

func composition(t *testing.T, r row) Composition {
	t.Helper()
	return Composition{
		Solids:   r.solids(t),
		Inverted: Fraction(r.number(t, "inverted_percent") / 100),
		Ash:      Fraction(r.number(t, "ash_percent") / 100),
	}
}

// Two rows lie past the public limit of 65 kPa on purpose: the curve itself is checked there.
func boilingWater(t *testing.T, r row) []measured {
	at := r.number(t, "at")
	var p Kilopascals
	var err error
	switch unit := r.text(t, "unit"); unit {
	case "ft", "m":
		var h Meters
		h, err = LengthFrom(at, unit)
		p = pressureAtAltitude(h)
	default:
		p, err = PressureFrom(at, unit)
	}
	require.NoError(t, err)
	got := float64(waterBoiling(p))
	if r.text(t, "expected_unit") == "F" {
		got = float64(waterBoiling(p).Fahrenheit())
	}
	return []measured{{r.number(t, "expected"), got, r.number(t, "tolerance")}}
}

func yieldWater(t *testing.T, r row) []measured {
	y, err := SyrupFromJuice(100, Brix(r.number(t, "juice_percent")), 74)
	require.NoError(t, err)
	gallon, err := WeightPerGallon(74)
	require.NoError(t, err)
	tolerance := r.number(t, "tolerance")
	return []measured{
		{r.number(t, "volume_gone_percent"), 100 - float64(y.SyrupVolume), tolerance},
		{r.number(t, "mass_gone_percent"), 100 * float64(y.WaterOff/y.Juice), tolerance},
		{r.number(t, "water_lb_per_gal"), float64(gallon) * float64(y.WaterOff/y.Syrup), tolerance},
	}
}

func waterAdjustment(t *testing.T, r row) []measured {
	model := WaterToAdd
	if r.text(t, "direction") == "off" {
		model = WaterToGo
	}
	batch := USGallons(r.number(t, "batch_gal")).Liters()
	a, err := model(batch, 20, Brix(r.number(t, "now_percent")), Brix(r.number(t, "target_percent")))
	require.NoError(t, err)
	return []measured{
		{r.number(t, "water_lb"), float64(a.Water.Pounds()), r.number(t, "tolerance")},
		{r.number(t, "water_gal"), float64(a.WaterVolume.USGallons()), 0.006},
		{r.number(t, "after_gal"), float64(a.AfterVolume.USGallons()), 0.06},
	}
}

func yieldTon(t *testing.T, r row) []measured {
	ton, err := ParseMass("1ton")
	require.NoError(t, err)
	solids := Brix(r.number(t, "juice_percent"))
	rho, err := Density(solids, ReferenceTemperature)
	require.NoError(t, err)
	juice := Liters(float64(ton) * r.number(t, "extraction_percent") / 100 / float64(rho) * 1000)
	y, err := SyrupFromJuice(juice, solids, Brix(r.number(t, "syrup_percent")))
	require.NoError(t, err)
	return []measured{
		{r.number(t, "juice_gal"), float64(juice.USGallons()), r.number(t, "tolerance")},
		{r.number(t, "syrup_gal"), float64(y.SyrupVolume.USGallons()), r.number(t, "tolerance")},
	}
}

// cooling is the record of a straight ramp, or of Newton's cooling over ten time constants.
func cooling(t *testing.T, r row) []Moment {
	start, end := r.number(t, "start_c"), r.number(t, "end_c")
	minutes, step := r.number(t, "minutes"), r.number(t, "step")
	long, at := minutes, func(m float64) float64 { return start + (end-start)*m/minutes }
	if r.text(t, "kind") == "cooling" {
		long, at = 10*minutes, func(m float64) float64 { return end + (start-end)*math.Exp(-m/minutes) }
	}
	var record []Moment
	for i := range int(math.Round(long/step)) + 1 {
		m := float64(i) * step
		record = append(record, Moment{Minutes: m, Temperature: Celsius(at(m))})
	}
	return record
}
