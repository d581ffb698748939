package labels

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// Wording of standards.md vectors 20 and 21: 21 CFR 101.7(m)(3), (4), (6) and the brief's examples; figures of vector 22.
func TestNetContents(t *testing.T) {
	tests := []struct {
		ounces     syrup.USFluidOunces
		us, metric string
	}{
		{1, "1 fl oz", "29 mL"},
		{8.5, "8.5 fl oz", "251 mL"},
		{12, "12 fl oz", "354 mL"},
		{15.99, "15.99 fl oz", "472 mL"},
		{16, "16 fl oz (1 pt)", "473 mL"},
		{32, "32 fl oz (1 qt)", "946 mL"},
		{33.8, "33.8 fl oz (1 qt 1.8 oz)", "999 mL"},
		{56, "56 fl oz (1 qt 1 pt 8 oz)", "1.65 L"},
		{64, "64 fl oz (2 qt)", "1.89 L"},
		{128, "1 gal", "3.78 L"},
		{2.5 * 128, "2 gal 2 qt", "9.46 L"},
	}
	for _, test := range tests {
		net, err := NetContents(test.ounces.Milliliters())
		require.NoError(t, err)
		assert.Equal(t, Net{test.us, test.metric}, net)
		assert.NotContains(t, net.US, "4 pt", "2.5 gallons are not 2 gallons 4 pints (101.7(m)(6))")
		assert.NotContains(t, net.US, "24 oz", "56 ounces are not 1 quart 24 ounces (101.7(m)(4))")
	}
}

func TestNetContentsFromMetric(t *testing.T) {
	for volume, want := range map[syrup.Milliliters]string{
		354.88:  "12 fl oz (354 mL)", // 12 fl oz kept to a hundredth of a milliliter
		355:     "12 fl oz (355 mL)",
		250:     "8.45 fl oz (250 mL)",
		500:     "16.9 fl oz (1 pt 0.9 oz) 500 mL",
		1000:    "33.81 fl oz (1 qt 1.81 oz) 1 L",
		999.999: "33.81 fl oz (1 qt 1.81 oz) 999 mL",
		0.5:     "0.01 fl oz (0.5 mL)",
	} {
		net, err := NetContents(volume)
		require.NoError(t, err)
		assert.Equal(t, want, net.String())
	}
}

// standards.md vector 22, computed there from 231 cubic inches to the gallon.
func TestFluidOunceFigures(t *testing.T) {
	for ounces, want := range map[syrup.USFluidOunces]float64{12: 354.882, 16: 473.176, 33.8: 999.585} {
		assert.InDelta(t, want, float64(ounces.Milliliters()), 0.0005)
	}
	assert.InDelta(t, 29.5735295625, float64(syrup.USFluidOunces(1).Milliliters()), 1e-12)
}

// Neither figure promises more than the bottle holds, beyond the forgiven rounding.
func TestNetContentsNeverPromisesMore(t *testing.T) {
	for ml := 1.0; ml < 5000; ml += 7.3 {
		ounces := roundDown(float64(syrup.Milliliters(ml).USFluidOunces()), 100)
		assert.LessOrEqual(t, ounces, float64(syrup.Milliliters(ml).USFluidOunces())+0.0003)
	}
}

func TestNetContentsRefuses(t *testing.T) {
	for _, bad := range []float64{0, -1, 0.1, 100_001, math.NaN(), math.Inf(1)} {
		_, err := NetContents(syrup.Milliliters(bad))
		assert.ErrorContains(t, err, "net contents", bad)
	}
}

// standards.md vectors 18 and 19: 21 CFR 101.1 and 101.7(i).
func TestNetTypeHeight(t *testing.T) {
	assert.InDelta(t, 14.137, float64(CylinderPanel(4.5*25.4, 2.5*25.4)), 0.0005)
	assert.InDelta(t, 2.513, float64(CylinderPanel(2*25.4, 25.4)), 0.0005)
	assert.InDelta(t, 20, float64(CylinderPanel(5*25.4, 10*25.4/math.Pi)), 1e-9)
	for panel, inches := range map[SquareInches]float64{2.513: 1. / 16, 5: 1. / 16, 5.01: 1. / 8, 14.137: 1. / 8, 25: 1. / 8,
		100: 3. / 16, 400: 1. / 4, 400.1: 1. / 2} {
		assert.InDelta(t, inches*25.4, float64(NetTypeHeight(panel)), 1e-9, panel)
	}
}

// TestPanelRows holds the display panel and its letters to the rows of testdata/panel.csv.
func TestPanelRows(t *testing.T) {
	content, err := os.ReadFile("../testdata/panel.csv")
	require.NoError(t, err)
	lines := strings.SplitN(string(content), "\n", 3)
	require.True(t, strings.HasPrefix(lines[0], "# source: ") && strings.HasPrefix(lines[1], "# units: "))
	rows, err := csv.NewReader(strings.NewReader(lines[2])).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 10)
	const height, diameter, panel, tolerance, letters, moulded = 0, 1, 2, 3, 4, 5
	for _, row := range rows[1:] {
		number := func(column int) float64 {
			x, err := strconv.ParseFloat(row[column], 64)
			require.NoError(t, err, row)
			return x
		}
		if row[height] != "" {
			assert.InDelta(t, number(panel), float64(CylinderPanel(Millimeters(number(height)*25.4), Millimeters(number(diameter)*25.4))), number(tolerance), row)
		}
		area := SquareInches(number(panel))
		assert.InDelta(t, number(letters)*25.4, float64(ContentsHeight(area, false)), 1e-9, row)
		assert.InDelta(t, number(moulded)*25.4, float64(ContentsHeight(area, true)), 1e-9, row)
	}
}
