package labels

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
)

// canonicalHost resolves GS1 Digital Links of anybody; a house with an address of its own uses that.
const canonicalHost = "https://id.gs1.org"

// qualifiers are the identifiers that follow a GTIN in the path of a Digital Link, in the order the standard asks:
// variant, lot, serial (standards.md section 8a).
var qualifiers = []string{"22", AILot, "21"}

// DigitalLink writes elements as a GS1 Digital Link URI: the GTIN and its qualifiers as path in their fixed order, all
// else in the query in the order given. stem is the address before it, as https://example.org.
func DigitalLink(stem string, elements []Element) (string, error) {
	stem, err := addressStem(stem)
	if err != nil {
		return "", err
	}
	value := map[string]string{}
	for _, e := range elements {
		if err := e.check(); err != nil {
			return "", err
		}
		value[e.AI] = e.Value
	}
	if value[AIGTIN] == "" {
		return "", fmt.Errorf("GS1 Digital Link of %s: a GTIN is needed", Bracketed(elements))
	}
	link := stem + "/01/" + value[AIGTIN]
	for _, ai := range qualifiers {
		if value[ai] != "" {
			link += "/" + ai + "/" + percentEncoded(value[ai])
		}
	}
	var query []string
	for _, e := range elements {
		if e.AI != AIGTIN && !slices.Contains(qualifiers, e.AI) {
			query = append(query, e.AI+"="+percentEncoded(e.Value))
		}
	}
	if len(query) > 0 {
		link += "?" + strings.Join(query, "&")
	}
	return link, nil
}

// percentEncoded escapes all but the unreserved characters of RFC 3986.
func percentEncoded(s string) string {
	return strings.ReplaceAll(url.QueryEscape(s), "+", "%20")
}

// addressStem checks an address that codes are written behind: http or https, a host, perhaps a path.
func addressStem(address string) (string, error) {
	u, err := url.Parse(strings.TrimSpace(address))
	if err != nil || u.Host == "" || (u.Scheme != "http" && u.Scheme != "https") || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return "", fmt.Errorf("public address %q: write it like https://example.org", address)
	}
	return u.Scheme + "://" + u.Host + strings.TrimRight(u.EscapedPath(), "/"), nil
}

// DigitalLinkContent is a QR symbol's content for an owner who holds a GS1 Company Prefix: a Digital Link with the
// product's GTIN and the lot, in capitals, which keep the symbol small. stem is the owner's confirmed address; blank is
// GS1's own.
func DigitalLinkContent(stem, gtin string, code LotCode) (string, error) {
	padded, err := GTIN(gtin)
	if err != nil {
		return "", err
	}
	if stem == "" {
		stem = canonicalHost
	}
	link, err := DigitalLink(stem, []Element{{AIGTIN, padded}, {AILot, code.String()}})
	if err != nil {
		return "", err
	}
	if link = strings.ToUpper(link); !compact(link) {
		return "", fmt.Errorf("public address %q: use only letters, digits and . - / in it", stem)
	}
	return link, nil
}

// ReadDigitalLink takes a Digital Link apart: the GTIN, its qualifiers in the order the standard asks, and what the query
// says with identifiers known here.
func ReadDigitalLink(link string) ([]Element, error) {
	u, err := url.Parse(strings.TrimSpace(link))
	wrong := fmt.Errorf("%q is no GS1 Digital Link", link)
	if err != nil || u.Host == "" {
		return nil, wrong
	}
	steps := strings.Split(strings.Trim(u.EscapedPath(), "/"), "/")
	from := slices.Index(steps, AIGTIN)
	if from < 0 || (len(steps)-from)%2 != 0 {
		return nil, wrong
	}
	var elements []Element
	last := -1
	for i := from; i < len(steps); i += 2 {
		place := slices.Index(qualifiers, steps[i])
		if i > from && place <= last {
			return nil, wrong
		}
		value, err := url.PathUnescape(steps[i+1])
		if err != nil {
			return nil, wrong
		}
		last, elements = place, append(elements, Element{steps[i], value})
	}
	for pair := range strings.SplitSeq(u.RawQuery, "&") {
		ai, raw, _ := strings.Cut(pair, "=")
		value, err := url.PathUnescape(raw)
		if _, known := identifierOf(ai); known && err == nil {
			elements = append(elements, Element{ai, value})
		}
	}
	for _, e := range elements {
		if err := e.check(); err != nil {
			return nil, err
		}
	}
	return elements, nil
}
