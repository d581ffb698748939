package labels

import (
	"encoding/csv"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

// gs1Checks are the rows of testdata/gs1.csv and how each is asked. All but the digit and the strings answer pass or fail.
var gs1Checks = map[string]func(input string) (string, error){
	"key": func(input string) (string, error) {
		if len(input) == 18 { // an SSCC, with the same check digit
			return "pass", Element{"00", input}.check()
		}
		_, err := GTIN(input)
		return "pass", err
	},
	"digit": func(input string) (string, error) { return string(CheckDigit(input)), nil },
	"lot":   func(input string) (string, error) { return "pass", Element{AILot, input}.check() },
	"date":  func(input string) (string, error) { return "pass", Element{AIBestBefore, input}.check() },
	"string": func(input string) (string, error) {
		return ElementString(bracketed(input))
	},
	"read": func(input string) (string, error) { // written, read back, and written again
		said, err := ElementString(bracketed(input))
		if err != nil {
			return "", err
		}
		read, err := ReadElements(said)
		if err != nil || Bracketed(read) != input {
			return Bracketed(read), err
		}
		return said, nil
	},
	"link": func(input string) (string, error) { return DigitalLink(canonicalHost, bracketed(input)) },
	"path": func(input string) (string, error) {
		_, err := ReadDigitalLink(canonicalHost + input)
		return "pass", err
	},
	"lotclass": func(input string) (string, error) {
		parts := strings.Split(input, ".") // prefix, indicator and item, lot
		digits := parts[1][:1] + parts[0] + parts[1][1:]
		link, err := DigitalLink(canonicalHost, []Element{{AIGTIN, digits + string(CheckDigit(digits))}, {AILot, parts[2]}})
		return strings.TrimPrefix(link, canonicalHost), err
	},
}

// bracketed reads elements as people write them.
func bracketed(s string) []Element {
	var elements []Element
	for _, m := range regexp.MustCompile(`\((\d+)\)([^(]+)`).FindAllStringSubmatch(s, -1) {
		elements = append(elements, Element{m[1], m[2]})
	}
	return elements
}

func TestGS1AgainstPublished(t *testing.T) {
	content, err := os.ReadFile("../testdata/gs1.csv")
	require.NoError(t, err)
	lines := strings.SplitN(string(content), "\n", 3)
	require.True(t, strings.HasPrefix(lines[0], "# source: ") && strings.HasPrefix(lines[1], "# units: "))
	rows, err := csv.NewReader(strings.NewReader(lines[2])).ReadAll()
	require.NoError(t, err)
	asked := map[string]int{}
	for _, r := range rows[1:] {
		check, ok := gs1Checks[r[0]]
		require.True(t, ok, r)
		require.Contains(t, lines[0], r[4]+" = ", r)
		require.Equal(t, "published", r[3], r)
		got, err := check(r[1])
		if r[2] == "fail" {
			assert.Error(t, err, r)
		} else if assert.NoError(t, err, r) {
			assert.Equal(t, r[2], got, r)
		}
		asked[r[0]]++
	}
	assert.Len(t, asked, len(gs1Checks), "every check has a row")
}

// Only a value of no fixed length with another after it is ended by a separator.
func TestElementString(t *testing.T) {
	said, err := ElementString([]Element{{AIGTIN, "09521234543213"}, {AILot, "25341K2B1P"}, {AIBestBefore, "271207"}})
	require.NoError(t, err)
	assert.Equal(t, "01095212345432131025341K2B1P\x1d15271207", said)
	read, err := ReadElements("]C1" + said)
	require.NoError(t, err)
	assert.Equal(t, "(01)09521234543213(10)25341K2B1P(15)271207", Bracketed(read))
	for _, wrong := range [][]Element{{{AIGTIN, "09521234543214"}}, {{AILot, ""}}, {{AILot, "25341K2B1-P 25341K2B1-P 2"}}, {{"99", "x"}}, {{AIBestBefore, "2712071"}}, {{"37", "1x"}}} {
		_, err := ElementString(wrong)
		assert.Error(t, err, wrong)
	}
	for _, wrong := range []string{"", "]C1", "x", "0109521234543214", "01095212345432", "98ABC"} {
		_, err := ReadElements(wrong)
		assert.Error(t, err, wrong)
	}
}

func TestGTINRefusals(t *testing.T) {
	kept, err := GTIN("9521 2345 4321-3")
	require.NoError(t, err)
	assert.Equal(t, "09521234543213", kept)
	_, err = GTIN("9521234543214")
	assert.Equal(t, WrongGTINDigit{"9521234543214", '4', '3'}, err)
	assert.ErrorContains(t, err, "ends in 4; for the digits before it the last should be 3")
	assert.Contains(t, WrongGTINDigit{"9521234543214", '4', '3'}.Say(text.Spanish), "debe ser 3")
	for _, bad := range []string{"", "952123454321X", "123456789012345", "９５２１２３４５４３２１３"} {
		_, err := GTIN(bad)
		assert.Equal(t, MalformedGTIN{bad}, err)
	}
}

// A prefix fits the GTINs made from it, with any indicator before it; U.P.C. leaves its 0 off.
func TestPrefixFits(t *testing.T) {
	for _, test := range []struct {
		prefix, gtin string
		want         bool
	}{
		{"9521234", "09521234543213", true}, {"9521234", "19521234543210", true}, {"9521235", "09521234543213", false},
		{"0614141", "00614141777778", true}, {"614141", "00614141777778", true}, {"614141", "10614141777775", false},
		{"9521234", "00000012345670", true}, {"9521234", "9521234543213", false},
	} {
		assert.Equal(t, test.want, PrefixFits(test.prefix, test.gtin), test)
	}
}

func TestReadDigitalLinkRefuses(t *testing.T) {
	for _, wrong := range []string{"", "https://x.example", "https://x.example/01", "https://x.example/01/09521234543214/10/A",
		"https://x.example/01/09521234543213/10/%zz", "/01/09521234543213", "https://x.example/01/09521234543213/21/1/10/A"} {
		_, err := ReadDigitalLink(wrong)
		assert.Error(t, err, wrong)
	}
	read, err := ReadDigitalLink("https://x.example/farm/01/09521234543213/10/25341K2B1P?15=271207&utm=x")
	require.NoError(t, err)
	assert.Equal(t, "(01)09521234543213(10)25341K2B1P(15)271207", Bracketed(read))
}
