package labels

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAddressContent(t *testing.T) {
	code := mustCode(t, "25341K2B1P")
	for address, want := range map[string]string{
		"https://alderslough.example":   scanContent,
		" https://alderslough.example/": scanContent,
		"http://farm.lan:8080/syrup/":   "HTTP://FARM.LAN:8080/SYRUP/L/25341K2B1P",
	} {
		got, err := AddressContent(address, code)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, bad := range []string{"", "alderslough.example", "ftp://a.example", "https://", "https://a.example?x=1", "https://a.example/#x", "https://ñandú.example", "://"} {
		_, err := AddressContent(bad, code)
		assert.ErrorContains(t, err, "public address", bad)
	}
}

func TestPlainContent(t *testing.T) {
	code := mustCode(t, "25341K2B1P")
	content := PlainContent(code, "Peña & Sons' Farm\xff", "(555) 555-0142")
	assert.Equal(t, "25341K2B1P / PENA + SONS FARM / 555 555-0142", content)
	assert.True(t, compact(content))
	assert.Equal(t, "25341K2B1P", PlainContent(code, "", ""))
}

func TestDigitalLinkContent(t *testing.T) {
	code := mustCode(t, "25341K2B1P")
	// GTIN 0952123454321 has check digit 3 before padding: 9521234543213 (standards.md vector 31).
	link, err := DigitalLinkContent("id.gs1.org", "9521234543213", code)
	require.NoError(t, err)
	assert.Equal(t, "HTTPS://ID.GS1.ORG/01/09521234543213/10/25341K2B1P", link)
	for _, bad := range []string{"", "9521234543214", "952123454321X", "123456789012345"} {
		_, err := DigitalLinkContent("id.gs1.org", bad, code)
		assert.ErrorContains(t, err, "GTIN", bad)
	}
	for _, bad := range []string{"", "a b", "a/b", "é"} {
		_, err := DigitalLinkContent(bad, "9521234543213", code)
		assert.ErrorContains(t, err, "host", bad)
	}
}

// standards.md vector 30: which of these check digits agree.
func TestGTINCheck(t *testing.T) {
	for digits, want := range map[string]bool{"00000002345673": true, "00416000336108": true, "01234567890128": true,
		"12345678901231": true, "00000012345673": false, "00416000336109": false} {
		assert.Equal(t, want, gtinCheck(digits), digits)
	}
}

func TestCodeInScan(t *testing.T) {
	want := mustCode(t, "25341K2B1P")
	for _, content := range []string{scanContent, "https://alderslough.example/l/25341k2b1p", scanContent + "?x=1", scanContent + "/",
		"HTTPS://ID.GS1.ORG/01/09521234543213/10/25341K2B1P?17=271207", "25341K2B1P / ALDER SLOUGH FARM / 555-0142", " 25341K2B1-P\n"} {
		code, err := CodeInScan(content)
		assert.NoError(t, err, content)
		assert.Equal(t, want, code, content)
	}
	for _, content := range []string{"", "https://alderslough.example", "HTTPS://X.EXAMPLE/L/", "WIFI:S:FARM;;"} {
		_, err := CodeInScan(content)
		assert.ErrorAs(t, err, new(MalformedCode), content)
	}
}
