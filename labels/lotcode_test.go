package labels

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func day(year, month, d int) time.Time {
	return time.Date(year, time.Month(month), d, 0, 0, 0, 0, time.UTC)
}

func mustCode(t testing.TB, text string) LotCode {
	t.Helper()
	code, err := ParseLotCode(text)
	require.NoError(t, err)
	return code
}

func TestNewLotCode(t *testing.T) {
	code, err := NewLotCode(day(2025, 12, 7), 2, 1)
	require.NoError(t, err)
	// standards.md vector 41: body 25341K2B1, check P; vector 43: ordinal days.
	assert.Equal(t, "25341K2B1P", code.String())
	assert.Equal(t, "25341K2B1-P", code.Printed())
	assert.Equal(t, day(2025, 12, 7), code.Day())
	assert.Equal(t, 2, code.Kettle())
	assert.Equal(t, 1, code.Bottling())
	leap, err := NewLotCode(day(2024, 2, 29), 1, 1)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(leap.String(), "24060K1B1"), leap)

	t.Run("the day is the house's own", func(t *testing.T) {
		farm := time.FixedZone("farm", -6*3600)
		late, err := NewLotCode(time.Date(2025, 12, 7, 23, 30, 0, 0, farm), 2, 1)
		require.NoError(t, err)
		assert.Equal(t, code, late)
	})
	t.Run("longest", func(t *testing.T) {
		longest, err := NewLotCode(day(2025, 12, 7), 99, 999)
		require.NoError(t, err)
		assert.Len(t, longest.String(), 13)
	})
	t.Run("mixed kettles", func(t *testing.T) {
		mixed, err := NewLotCode(day(2025, 12, 7), 0, 1)
		require.NoError(t, err)
		assert.Contains(t, mixed.String(), "K0B1")
	})
	for _, bad := range []struct{ year, kettle, bottling int }{
		{1999, 1, 1}, {2100, 1, 1}, {2025, -1, 1}, {2025, 100, 1}, {2025, 1, 0}, {2025, 1, 1000},
	} {
		_, err := NewLotCode(day(bad.year, 1, 1), bad.kettle, bad.bottling)
		assert.Error(t, err, bad)
	}
	assert.True(t, LotCode{}.IsZero())
	assert.False(t, code.IsZero())
}

// The check systems of standards.md vectors 41 and 42 other than ours are recomputed here, so that the vector's own
// figures stand on more than our own function.
func TestCheckCharacterVectors(t *testing.T) {
	assert.Equal(t, byte('P'), checkCharacter("25341K2B1"))
	const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"
	for number, want := range map[int]string{32: "10*", 1234: "16JD", 253410201: "7HNEWSD"} {
		encoded := ""
		for n := number; n > 0; n /= 32 {
			encoded = string(crockford[n%32]) + encoded
		}
		assert.Equal(t, want, encoded+string(crockford[number%37]))
	}
	for i := range len(codeAlphabet) {
		assert.NotContains(t, "ILOUZ", string(codeAlphabet[i]))
	}
	assert.Len(t, codeAlphabet, 31)
}

func TestParseLotCode(t *testing.T) {
	want := mustCode(t, "25341K2B1P")
	for _, typed := range []string{"25341K2B1P", "25341K2B1-P", " 25341k2b1-p ", "2534l K2 Bi P", "25341-K2-B1–P", "25 341 K2 B1 P"} {
		code, err := ParseLotCode(typed)
		assert.NoError(t, err, typed)
		assert.Equal(t, want, code, typed)
	}
	for _, typed := range []string{"", "P", "-", "hello", "25341K2B1", "25341K2BP", "25341K02B1P", "25341K2B01P", "25366K1B1A",
		"25000K1B1A", "25341K100B1A", "25341K2B1000A", "25341K2B1P9999999", "25341K2B1U", "25341K2B1é", "é", "+5341K2B1P", "25341K+2B1P", "25341K2B-0P"} {
		_, err := ParseLotCode(typed)
		var malformed MalformedCode
		assert.ErrorAs(t, err, &malformed, typed)
		assert.Contains(t, err.Error(), typed)
	}
	_, err := ParseLotCode("25341K2B2P")
	var wrong WrongCheck
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, "25341K2B2P", wrong.Typed)
	assert.Contains(t, err.Error(), "25341K2B2P")
}

// The zero reading of O and the digits survive any day: what is made is read back, through every forgiveness.
func TestLotCodeRoundTrip(t *testing.T) {
	for d := day(2024, 1, 1); d.Year() < 2026; d = d.AddDate(0, 0, 1) {
		for _, numbers := range [][2]int{{0, 1}, {1, 9}, {9, 10}, {10, 99}, {99, 999}} {
			code, err := NewLotCode(d, numbers[0], numbers[1])
			require.NoError(t, err)
			for _, typed := range []string{code.String(), code.Printed(), strings.ToLower(strings.ReplaceAll(code.Printed(), "0", "o"))} {
				back, err := ParseLotCode(typed)
				require.NoError(t, err, typed)
				require.Equal(t, code, back)
			}
		}
	}
}

// Every single wrong character in every place, the check character included, is refused; so is every swap of neighbours.
func TestSingleSlipsAreCaught(t *testing.T) {
	tried, swaps := 0, 0
	for _, numbers := range [][3]int{{1, 0, 1}, {60, 2, 1}, {341, 2, 1}, {341, 11, 12}, {355, 1, 2}, {366, 99, 999}} {
		code, err := NewLotCode(time.Date(2024, 1, numbers[0], 0, 0, 0, 0, time.UTC), numbers[1], numbers[2])
		require.NoError(t, err)
		right := code.String()
		for i := range len(right) {
			for _, other := range codeAlphabet {
				if byte(other) == right[i] {
					continue
				}
				wrong := right[:i] + string(other) + right[i+1:]
				_, err := ParseLotCode(wrong)
				require.Error(t, err, "%s for %s", wrong, right)
				require.NotEqual(t, wrong[len(wrong)-1], checkCharacter(wrong[:len(wrong)-1]), "the check itself misses %s", wrong)
				tried++
			}
			if i > 0 && right[i] != right[i-1] {
				swapped := right[:i-1] + string(right[i]) + string(right[i-1]) + right[i+1:]
				_, err := ParseLotCode(swapped)
				require.Error(t, err, swapped)
				swaps++
			}
		}
	}
	assert.Greater(t, tried, 1900)
	assert.Greater(t, swaps, 40)
}

func TestFoldCode(t *testing.T) {
	assert.Equal(t, "25341K2B1P", FoldCode(" 2534i k2\tbl–p\n"))
	assert.Equal(t, "0011", FoldCode("oOiL"))
}

func TestNearest(t *testing.T) {
	existing := []string{"25341K2B1P", "25341K1B1S", "25340K2B1A", "24001K9B9X", "junk"}
	assert.Equal(t, "25341K2B1P", Nearest("25341K2B7P", existing, 3)[0], "one wrong")
	assert.Equal(t, "25341K2B1P", Nearest("2534K2B1P", existing, 1)[0], "one missing")
	assert.Equal(t, "25341K2B1P", Nearest("25314K2B1-p", existing, 1)[0], "swapped")
	assert.NotContains(t, Nearest("25341K2B1P", existing, 5), "24001K9B9X", "too far to be a slip")
	assert.Empty(t, Nearest("25341K2B1P", existing, 0))
	assert.Empty(t, Nearest("25341K2B1P", existing, -1))
	assert.Empty(t, Nearest("hello there", existing, 5))
	assert.Equal(t, []string{"B2", "B1"}, Nearest("B3", []string{"B1", "B2"}, 5), "newest first among equals")
}

func TestEditDistance(t *testing.T) {
	// Textbook pairs, from memory: kitten and sitting are 3 apart, "ca" and "ac" one swap.
	for _, test := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "ac", 1}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "abc", 0}} {
		assert.Equal(t, test.want, editDistance([]rune(test.a), []rune(test.b)), fmt.Sprint(test))
	}
}

func FuzzParseLotCode(f *testing.F) {
	for _, seed := range []string{"25341K2B1P", "25341-k2-b1-p", "2534lKOBlP", "", "é\xff", "25341K2B1\u2013P"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		code, err := ParseLotCode(typed)
		if err != nil {
			return
		}
		if code.String() != FoldCode(typed) || len(code.String()) > 13 {
			t.Fatalf("%q was read as %s", typed, code)
		}
		if back, err := ParseLotCode(code.Printed()); err != nil || back != code {
			t.Fatalf("%s is not read back: %v", code, err)
		}
	})
}
