package syrup

import (
	"bufio"
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Programs made by others that compute the same things for themselves: GNU units (Debian's units), and the IAPWS-IF97
// formulation of water and steam (Debian's python3-iapws), whose equations are not the ones the models use.

// gnuUnits asks GNU units for one conversion.
func gnuUnits(t *testing.T, from, to string) float64 {
	t.Helper()
	out, err := exec.Command("units", "--terse", "--digits", "15", from, to).CombinedOutput()
	require.NoError(t, err, "units %s %s: %s", from, to, out)
	number, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	require.NoError(t, err, "units %s %s: %s", from, to, out)
	return number
}

func TestUnitsAgainstGNUUnits(t *testing.T) {
	if _, err := exec.LookPath("units"); err != nil {
		toolcheck.Missing(t, "GNU units is not installed")
	}
	for _, c := range []struct {
		typed, theirs, canonical string
		parse                    func(string) (float64, error)
		relative                 float64
	}{
		{"80gal", "80 usgallon", "liter", asNumber(ParseVolume), 1e-12},
		{"7qt", "7 usquart", "liter", asNumber(ParseVolume), 1e-12},
		{"3pt", "3 uspint", "liter", asNumber(ParseVolume), 1e-12},
		{"16 fl oz", "16 usfluidounce", "liter", asNumber(ParseVolume), 1e-12},
		{"355mL", "355 milliliter", "liter", asNumber(ParseVolume), 1e-12},
		{"233.5lb", "233.5 pound", "kilogram", asNumber(ParseMass), 1e-12},
		{"6oz", "6 ounce", "kilogram", asNumber(ParseMass), 1e-12},
		{"1.5ton", "1.5 shortton", "kilogram", asNumber(ParseMass), 1e-12},
		{"350g", "350 gram", "kilogram", asNumber(ParseMass), 1e-12},
		{"1000ft", "1000 foot", "meter", asNumber(ParseLength), 1e-12},
		{"6in", "6 inch", "meter", asNumber(ParseLength), 1e-12},
		// The inch of mercury and the pound per square inch are rounded in the source we use.
		{"29.92inHg", "29.92 inHg", "kilopascal", asNumber(ParsePressure), 1e-5},
		{"14.7psi", "14.7 psi", "kilopascal", asNumber(ParsePressure), 1e-6},
		{"1013hPa", "1013 hectopascal", "kilopascal", asNumber(ParsePressure), 1e-12},
		{"23F", "23 degF", "kelvin", asNumber(ParseDifference), 1e-12},
	} {
		ours, err := c.parse(c.typed)
		require.NoError(t, err, c.typed)
		theirs := gnuUnits(t, c.theirs, c.canonical)
		assert.InEpsilon(t, theirs, ours, c.relative, c.typed)
	}
	for _, f := range []float64{-40, 0, 32, 180, 212, 226} {
		theirs := gnuUnits(t, fmt.Sprintf("tempF(%v)", f), "tempC")
		assert.InDelta(t, theirs, float64(Fahrenheit(f).Celsius()), 1e-9, "%v F", f)
	}
	gallon := USGallons(1).Liters()
	assert.InEpsilon(t, gnuUnits(t, "231 inch^3", "liter"), float64(gallon), 1e-12)
}

// asNumber hides the unit type of a parser.
func asNumber[T ~float64](parse func(string) (T, error)) func(string) (float64, error) {
	return func(text string) (float64, error) {
		v, err := parse(text)
		return float64(v), err
	}
}

// steamProgram prints, from 0 to 110 C by 5: C, vapour pressure in kPa, density of the liquid at 1 atm in kg/m3 (blank
// where it would be steam); then, from 65 to 108 kPa by 1: kPa and boiling point in C.
const steamProgram = `
from iapws.iapws97 import _PSat_T, _TSat_P, _Region1
for t in range(0, 111, 5):
    k = t + 273.15
    rho = 1/_Region1(k, max(0.101325, _PSat_T(k)))["v"]
    print("t", t, repr(_PSat_T(k)*1000), repr(rho))
for p in range(65, 109):
    print("p", p, repr(_TSat_P(p/1000) - 273.15), 0)
`

// TestWaterAgainstIF97: vapour pressure (Wagner & Pruss here, IF97's region 4 there) within 0.011 %, boiling point
// within 0.002 C, density of water (Kell here, IF97's region 1 there) within 0.03 kg/m3 up to 110 C.
func TestWaterAgainstIF97(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import iapws.iapws97").Run(); err != nil {
		toolcheck.Missing(t, "python3-iapws is not installed")
	}
	out, err := exec.Command(python, "-c", steamProgram).Output()
	require.NoError(t, err)
	rows := 0
	for lines := bufio.NewScanner(strings.NewReader(string(out))); lines.Scan(); rows++ {
		fields := strings.Fields(lines.Text())
		require.Len(t, fields, 4, lines.Text())
		var n [3]float64
		for i := range n {
			n[i], err = strconv.ParseFloat(strings.TrimSuffix(strings.TrimPrefix(fields[i+1], "np.float64("), ")"), 64)
			require.NoError(t, err, lines.Text())
		}
		if fields[0] == "p" {
			boils, err := WaterBoiling(Kilopascals(n[0]))
			require.NoError(t, err)
			assert.InDelta(t, n[1], float64(boils), 0.002, "%v kPa", n[0])
			continue
		}
		p, err := SaturationPressure(Celsius(n[0]))
		require.NoError(t, err)
		assert.InEpsilon(t, n[1], float64(p), 1.1e-4, "%v C", n[0])
		rho, err := WaterDensity(Celsius(n[0]))
		require.NoError(t, err)
		assert.InDelta(t, n[2], float64(rho), 0.03, "%v C", n[0])
	}
	assert.Equal(t, 23+44, rows)
}
