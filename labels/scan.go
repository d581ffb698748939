package labels

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// codePath is where a code stands in the house's own address.
const codePath = "/L/"

// AddressContent is a QR symbol's content: the owner's public address, the path of codes and the code, all upper case,
// which makes the symbol a size smaller. The address is http or https and a host, such as "https://example.org".
func AddressContent(address string, code LotCode) (string, error) {
	u, err := url.Parse(strings.TrimSpace(address))
	if err != nil || u.Host == "" || (u.Scheme != "http" && u.Scheme != "https") || u.RawQuery != "" || u.Fragment != "" {
		return "", fmt.Errorf("public address %q: write it like https://example.org", address)
	}
	content := strings.ToUpper(u.Scheme + "://" + u.Host + strings.TrimRight(u.EscapedPath(), "/") + codePath + code.String())
	if !compact(content) {
		return "", fmt.Errorf("public address %q: use only letters, digits and . - / in it", address)
	}
	return content, nil
}

// PlainContent is a QR symbol's content for a house without an address: code, maker and telephone, folded to the
// characters that keep the symbol small.
func PlainContent(code LotCode, maker, telephone string) string {
	var parts []string
	for _, part := range []string{code.String(), maker, telephone} {
		if part = foldCompact(part); part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, " / ")
}

// DigitalLinkContent is a GS1 Digital Link URI with the product's GTIN and the lot, for an owner who holds a GS1 Company
// Prefix (AI 01 and 10 as path; standards.md section 8). The host is the owner's own or id.gs1.org.
func DigitalLinkContent(host, gtin string, code LotCode) (string, error) {
	padded := strings.Repeat("0", max(0, 14-len(gtin))) + gtin
	if !slices.Contains([]int{8, 12, 13, 14}, len(gtin)) || !gtinCheck(padded) {
		return "", fmt.Errorf("GTIN %q: write its 8, 12, 13 or 14 digits; the last must agree with the others", gtin)
	}
	if host = strings.TrimSpace(host); host == "" || !compact(strings.ToUpper(host)) || strings.ContainsAny(host, "/ ") {
		return "", fmt.Errorf("host %q: write it like id.gs1.org", host)
	}
	return "HTTPS://" + strings.ToUpper(host) + "/01/" + padded + "/10/" + code.String(), nil
}

// gtinCheck tests the last of 14 digits: weights 3 and 1 in turn, the sum a multiple of ten.
func gtinCheck(digits string) bool {
	sum := 0
	for i, r := range digits {
		if r < '0' || r > '9' {
			return false
		}
		sum += int(r-'0') * (3 - 2*(i%2))
	}
	return sum%10 == 0
}

// CodeInScan finds the lot code in what a QR symbol held: an address with /L/, a Digital Link with /10/, or plain text
// that begins with the code. The error is that of ParseLotCode.
func CodeInScan(content string) (LotCode, error) {
	upper := strings.ToUpper(strings.TrimSpace(content))
	for _, path := range []string{codePath, "/10/"} {
		if _, after, found := strings.Cut(upper, path); found {
			end := strings.IndexAny(after, "/?#")
			if end < 0 {
				end = len(after)
			}
			return ParseLotCode(after[:end])
		}
	}
	first, _, _ := strings.Cut(upper, " / ")
	return ParseLotCode(first)
}

// compact tells whether a content is in the QR alphabet of 45 characters.
func compact(content string) bool {
	return strings.IndexFunc(content, func(r rune) bool { return !compactRune(r) }) < 0
}

func compactRune(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || strings.ContainsRune(" $%*+-./:", r)
}

// foldCompact writes a text in the QR alphabet: capitals, no accents, & as +, anything else a space.
func foldCompact(s string) string {
	folded := strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case r == '&':
			return '+'
		case !compactRune(r):
			return ' '
		}
		return r
	}, strings.ToUpper(norm.NFD.String(strings.ToValidUTF8(s, " "))))
	return strings.Join(strings.Fields(folded), " ")
}
