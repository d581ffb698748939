package labels

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// codePath is where a code stands in the house's own address.
const codePath = "/L/"

// AddressContent is a QR symbol's content: the owner's public address, the path of codes and the code, all upper case,
// which makes the symbol a size smaller. The address is http or https and a host, such as "https://example.org".
func AddressContent(address string, code LotCode) (string, error) {
	stem, err := addressStem(address)
	if err != nil {
		return "", err
	}
	content := strings.ToUpper(stem + codePath + code.String())
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

// CodeInScan finds the lot code in what a symbol held: an address with /L/, a GS1 Digital Link, the element string of a
// GS1-128 symbol, or plain text that begins with the code. The error is that of ParseLotCode.
func CodeInScan(content string) (LotCode, error) {
	upper := strings.ToUpper(strings.TrimSpace(content))
	if _, after, found := strings.Cut(upper, codePath); found {
		end := strings.IndexAny(after, "/?#")
		if end < 0 {
			end = len(after)
		}
		return ParseLotCode(after[:end])
	}
	if elements, err := ReadDigitalLink(upper); err == nil {
		return lotIn(elements, content)
	}
	first, _, _ := strings.Cut(upper, " / ")
	code, err := ParseLotCode(first)
	if err == nil {
		return code, nil
	}
	if elements, wrong := ReadElements(upper); wrong == nil {
		return lotIn(elements, content)
	}
	return code, err
}

// lotIn is the lot code among GS1 elements.
func lotIn(elements []Element, content string) (LotCode, error) {
	for _, e := range elements {
		if e.AI == AILot {
			return ParseLotCode(e.Value)
		}
	}
	return LotCode{}, MalformedCode{content}
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
