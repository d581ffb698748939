package labels

import (
	"fmt"
	"slices"
	"strings"

	"canewright/hazards/text"
)

// GTINs identify a product in its packing by keys of GS1, the body that issues them. A house has them only with a GS1
// Company Prefix that was issued to it; none is ever made up here (standards.md section 8a).

// MalformedGTIN says that a text is no GTIN at all.
type MalformedGTIN struct{ Typed string }

// Say explains it to a person.
func (e MalformedGTIN) Say(lang text.Language) string {
	return text.Say(lang, "labels.gtin_malformed", "Typed", e.Typed)
}

// Error is Say in English.
func (e MalformedGTIN) Error() string { return e.Say(text.English) }

// WrongGTINDigit says which the last digit of a GTIN should be.
type WrongGTINDigit struct {
	Typed         string
	Found, Should byte
}

// Say explains it to a person.
func (e WrongGTINDigit) Say(lang text.Language) string {
	return text.Say(lang, "labels.gtin_digit", "Typed", e.Typed, "Found", string(e.Found), "Should", string(e.Should))
}

// Error is Say in English.
func (e WrongGTINDigit) Error() string { return e.Say(text.English) }

// GTIN gives a GTIN of 8, 12, 13 or 14 digits as the 14 it is kept and scanned as. Spaces and hyphens are forgiven. The
// error is a MalformedGTIN or a WrongGTINDigit.
func GTIN(typed string) (string, error) {
	digits := strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' {
			return -1
		}
		return r
	}, typed)
	if !slices.Contains([]int{8, 12, 13, 14}, len(digits)) || !allDigits(digits) {
		return "", MalformedGTIN{Typed: typed}
	}
	last := len(digits) - 1
	if should := CheckDigit(digits[:last]); digits[last] != should {
		return "", WrongGTINDigit{Typed: typed, Found: digits[last], Should: should}
	}
	return strings.Repeat("0", 14-len(digits)) + digits, nil
}

// CheckDigit is the digit that ends a GS1 key of these digits: from the right weights 3 and 1 in turn, and the digit that
// makes the sum a multiple of ten. 0 where the text is not of digits.
func CheckDigit(digits string) byte {
	if !allDigits(digits) || digits == "" {
		return 0
	}
	sum := 0
	for i := range len(digits) {
		weight := 3
		if (len(digits)-i)%2 == 0 {
			weight = 1
		}
		sum += weight * int(digits[i]-'0')
	}
	return byte('0' + (10-sum%10)%10)
}

// PrefixFits tells whether a GTIN of 14 digits was made from a GS1 Company Prefix. A prefix for the 12 digits of U.P.C.
// begins with a 0 that is often left off. GTINs of 8 digits are issued one by one, from no company's prefix.
func PrefixFits(prefix, gtin string) bool {
	if len(gtin) != 14 {
		return false
	}
	if strings.HasPrefix(gtin, "000000") {
		return true
	}
	return strings.HasPrefix(gtin[1:], prefix) || strings.HasPrefix(gtin, "00") && strings.HasPrefix(gtin[2:], prefix)
}

func allDigits(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

// Element is one GS1 datum: its application identifier and value, as AI 10 and a lot.
type Element struct{ AI, Value string }

// Application identifiers that labels carry.
const (
	AIGTIN       = "01"
	AILot        = "10"
	AIBestBefore = "15"
)

// fnc1 stands for Function 1: at the start it says that the symbol holds GS1 data, later it ends a value of no fixed
// length. Readers send it as this character (GS, ASCII 29).
const fnc1 = '\x1d'

// identifier describes the values of an application identifier.
type identifier struct {
	least, most int
	digits      bool
	date        bool // YYMMDD
	key         bool // ends in a check digit
}

// fixed tells that the value ends by its length: the identifiers of fixed length that GS1 lists need no separator.
func (i identifier) fixed() bool { return i.least == i.most }

// identifierOf finds what values an identifier has. The list is that of standards.md section 8a.
func identifierOf(ai string) (identifier, bool) {
	number := func(n int) identifier { return identifier{least: n, most: n, digits: true} }
	switch ai {
	case "00":
		return identifier{least: 18, most: 18, digits: true, key: true}, true
	case "01", "02":
		return identifier{least: 14, most: 14, digits: true, key: true}, true
	case "10", "21":
		return identifier{least: 1, most: 20}, true
	case "11", "12", "13", "15", "16", "17":
		return identifier{least: 6, most: 6, digits: true, date: true}, true
	case "20":
		return number(2), true
	case "22":
		return identifier{least: 1, most: 20}, true
	case "37":
		return identifier{least: 1, most: 8, digits: true}, true
	case "414":
		return identifier{least: 13, most: 13, digits: true, key: true}, true
	case "240", "241", "400":
		return identifier{least: 1, most: 30}, true
	}
	if len(ai) == 4 && ai[3] >= '0' && ai[3] <= '5' {
		switch ai[:3] {
		case "310", "315", "320":
			return number(6), true
		case "392":
			return identifier{least: 1, most: 15, digits: true}, true
		}
	}
	return identifier{}, false
}

// check refuses a value its identifier does not allow.
func (e Element) check() error {
	id, known := identifierOf(e.AI)
	wrong := func(why string) error { return fmt.Errorf("GS1 (%s)%s: %s", e.AI, e.Value, why) }
	switch {
	case !known:
		return wrong("this application identifier is not known here")
	case len(e.Value) < id.least || len(e.Value) > id.most:
		return wrong(fmt.Sprintf("%d to %d characters, not %d", id.least, id.most, len(e.Value)))
	case id.digits && !allDigits(e.Value):
		return wrong("digits only")
	case !id.digits && !inSet82(e.Value):
		return wrong("a character GS1 does not allow")
	case id.date && !gs1Date(e.Value):
		return wrong("not a day written YYMMDD")
	case id.key && e.Value[len(e.Value)-1] != CheckDigit(e.Value[:len(e.Value)-1]):
		return wrong("wrong check digit")
	}
	return nil
}

// inSet82 tells whether a text holds only characters of GS1's set 82 for data.
func inSet82(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool {
		return !(r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || strings.ContainsRune(`!"%&'()*+,-./:;<=>?_`, r))
	}) < 0
}

// gs1Date tells whether six digits are a day YYMMDD of this century; day 00 is the last of its month.
func gs1Date(s string) bool {
	year, month, day := int(s[0]-'0')*10+int(s[1]-'0'), int(s[2]-'0')*10+int(s[3]-'0'), int(s[4]-'0')*10+int(s[5]-'0')
	if month < 1 || month > 12 {
		return false
	}
	days := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
	if month == 2 && year%4 == 0 { // 2000 was a leap year; years here are 2000 to 2099
		days = 29
	}
	return day <= days
}

// ElementString writes elements one after another as a GS1-128 symbol holds them, without the Function 1 at its start.
// Those of fixed length go best first: only a value of no fixed length that another follows needs the separator.
func ElementString(elements []Element) (string, error) {
	var out strings.Builder
	for i, e := range elements {
		if err := e.check(); err != nil {
			return "", err
		}
		out.WriteString(e.AI + e.Value)
		if id, _ := identifierOf(e.AI); !id.fixed() && i < len(elements)-1 {
			out.WriteRune(fnc1)
		}
	}
	return out.String(), nil
}

// Bracketed writes elements as people read them beneath the bars, with brackets that are not in the symbol.
func Bracketed(elements []Element) string {
	var out strings.Builder
	for _, e := range elements {
		out.WriteString("(" + e.AI + ")" + e.Value)
	}
	return out.String()
}

// ReadElements takes apart what a reader sent for a GS1-128 symbol: with or without its mark ]C1, and with Function 1 as
// the character GS.
func ReadElements(scan string) ([]Element, error) {
	rest := strings.TrimLeft(strings.TrimPrefix(scan, "]C1"), string(fnc1))
	var elements []Element
	for rest != "" {
		e, after, ok := cutElement(rest)
		if !ok {
			return nil, fmt.Errorf("GS1 %q: no application identifier known here", rest)
		}
		if err := e.check(); err != nil {
			return nil, err
		}
		elements, rest = append(elements, e), after
	}
	if len(elements) == 0 {
		return nil, fmt.Errorf("GS1 %q: nothing in it", scan)
	}
	return elements, nil
}

// cutElement cuts the first element off.
func cutElement(s string) (Element, string, bool) {
	for _, n := range []int{2, 3, 4} {
		if len(s) < n || !allDigits(s[:n]) {
			return Element{}, "", false
		}
		id, known := identifierOf(s[:n])
		if !known {
			continue
		}
		value, rest := s[n:], ""
		if id.fixed() {
			value, rest = value[:min(len(value), id.most)], value[min(len(value), id.most):]
			rest = strings.TrimPrefix(rest, string(fnc1))
		} else {
			value, rest, _ = strings.Cut(value, string(fnc1))
		}
		return Element{AI: s[:n], Value: value}, rest, true
	}
	return Element{}, "", false
}
