package labels

import (
	"encoding/csv"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// The wording of the net contents against the CFR's own examples of liquids.
func TestNetWordingOfTheCFR(t *testing.T) {
	content, err := os.ReadFile("../testdata/net_wording.csv")
	require.NoError(t, err)
	reader := csv.NewReader(strings.NewReader(string(content)))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	for _, row := range rows[1:] {
		ounces, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		net, err := NetContents(syrup.USFluidOunces(ounces).Milliliters())
		require.NoError(t, err)
		assert.Contains(t, strings.Split(row[2], ";"), net.US, "example (%s)", row[0])
		assert.NotContains(t, strings.Split(row[3], ";"), net.US, "example (%s)", row[0])
	}
}

// Of units only the abbreviations of 101.7(n) are used, a decimal has at most two places (d), ounces stand before the
// brackets and no pint within the largest whole units is as much as a quart.
func TestNetWordingEverywhere(t *testing.T) {
	units := regexp.MustCompile(`[a-z]+`)
	decimals := regexp.MustCompile(`\.\d{3,}`)
	for tenths := 10; tenths < 20000; tenths += 7 {
		net, err := NetContents((syrup.USFluidOunces(tenths) / 10).Milliliters())
		require.NoError(t, err)
		for _, unit := range units.FindAllString(net.US, -1) {
			assert.Contains(t, []string{"fl", "oz", "pt", "qt", "gal"}, unit, net.US)
		}
		assert.NotRegexp(t, decimals, net.US)
		assert.NotRegexp(t, `\b([2-9]|\d\d) pt\b`, net.US)
		assert.Equal(t, tenths >= 160 && tenths < 1280, strings.Contains(net.US, "("), "%s: brackets from a pint up to a gallon", net.US)
	}
}

// The letters of the net contents are at most three times as high as wide (101.7(h)(1)) and bold.
func TestNetLettersAreWide(t *testing.T) {
	for _, r := range "NETflozptqgamL0123456789" {
		if strings.ContainsRune("lftI", r) {
			continue // strokes by their nature
		}
		assert.GreaterOrEqual(t, float64(Bold.width(string(r)))*3, capHeight, string(r))
	}
	drawing, err := Measure(smallLabel("25341K2B1-P"), Stocks()[0])
	require.NoError(t, err)
	d := NewDocument(Letter(), testMeta())
	laid, err := arrange(d, smallLabel("25341K2B1-P"), Stocks()[0])
	require.NoError(t, err)
	require.NotNil(t, drawing.Net)
	for _, line := range laid.lines {
		if line.key == "labels.line.net" {
			assert.Equal(t, Bold, line.style)
		}
	}
}
