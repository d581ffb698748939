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
	link, err := DigitalLinkContent("", "9521234543213", code)
	require.NoError(t, err)
	assert.Equal(t, "HTTPS://ID.GS1.ORG/01/09521234543213/10/25341K2B1P", link)
	link, err = DigitalLinkContent("https://alderslough.example/farm/", "09521234543213", code)
	require.NoError(t, err)
	assert.Equal(t, "HTTPS://ALDERSLOUGH.EXAMPLE/FARM/01/09521234543213/10/25341K2B1P", link)
	for _, bad := range []string{"", "9521234543214", "952123454321X", "123456789012345"} {
		_, err := DigitalLinkContent("", bad, code)
		assert.Error(t, err, bad)
	}
	for _, bad := range []string{"alderslough.example", "ftp://x.example", "https://", "https://x.example/?a", "https://x.example/é_"} {
		_, err := DigitalLinkContent(bad, "9521234543213", code)
		assert.ErrorContains(t, err, "address", bad)
	}
}

func TestCodeInScan(t *testing.T) {
	want := mustCode(t, "25341K2B1P")
	for _, content := range []string{scanContent, "https://alderslough.example/l/25341k2b1p", scanContent + "?x=1", scanContent + "/",
		"HTTPS://ID.GS1.ORG/01/09521234543213/10/25341K2B1P?17=271207",
		"010952123454321315271207" + "1025341K2B1P", "]C11025341K2B1P", "25341K2B1P / ALDER SLOUGH FARM / 555-0142", " 25341K2B1-P\n"} {
		code, err := CodeInScan(content)
		assert.NoError(t, err, content)
		assert.Equal(t, want, code, content)
	}
	for _, content := range []string{"", "https://alderslough.example", "HTTPS://X.EXAMPLE/L/", "WIFI:S:FARM;;", "0109521234543213", "https://x.example/01/09521234543213"} {
		_, err := CodeInScan(content)
		assert.ErrorAs(t, err, new(MalformedCode), content)
	}
}
