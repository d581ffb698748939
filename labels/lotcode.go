package labels

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"canewright/hazards/text"
)

// codeAlphabet is Crockford's base 32 without Z, which looks like 2: 31 characters, none of I L O U.
const codeAlphabet = "0123456789ABCDEFGHJKMNPQRSTVWXY"

// checkRadix is r of the pure system mod 31; with it every single wrong character and every swap of neighbours is
// caught (standards.md section 11: 0 of 54000, 0 of 1742, recomputed exhaustively in the tests).
const checkRadix = 3

// The bounds of a lot code's numbers. Three digits for the bottling leave room after a restore, when a day's numbers
// go on at the next hundred, and keep the longest code at 13 characters.
const (
	maxKettle   = 99
	maxBottling = 999
)

// LotCode is the code of one bottling: the house's day of the first bottle, the kettle (0 when runs of several kettles
// were mixed) and that day's bottling number for that kettle. Make one with NewLotCode or ParseLotCode; two codes are
// equal when they are ==.
type LotCode struct {
	year, ordinal    int
	kettle, bottling int
}

// NewLotCode makes the code of a bottling. Of day only the calendar date counts, in the time zone it carries.
func NewLotCode(day time.Time, kettle, bottling int) (LotCode, error) {
	c := LotCode{year: day.Year(), ordinal: day.YearDay(), kettle: kettle, bottling: bottling}
	switch {
	case c.year < 2000 || c.year > 2099:
		return LotCode{}, fmt.Errorf("lot code: the year must be 2000 to 2099, not %d", c.year)
	case kettle < 0 || kettle > maxKettle:
		return LotCode{}, fmt.Errorf("lot code: the kettle must be 0 (mixed) to %d, not %d", maxKettle, kettle)
	case bottling < 1 || bottling > maxBottling:
		return LotCode{}, fmt.Errorf("lot code: the bottling must be 1 to %d, not %d", maxBottling, bottling)
	}
	return c, nil
}

// String is the code as stored and as in the QR symbol, such as 25341K2B1P.
func (c LotCode) String() string {
	body := c.body()
	return body + string(checkCharacter(body))
}

// Printed is the code as people read it, the check character set apart: 25341K2B1-P.
func (c LotCode) Printed() string {
	body := c.body()
	return body + "-" + string(checkCharacter(body))
}

// Day is the house's day of the first bottle, at midnight UTC.
func (c LotCode) Day() time.Time { return time.Date(c.year, 1, c.ordinal, 0, 0, 0, 0, time.UTC) }

// Kettle is the kettle's number, 0 when runs of several kettles were mixed.
func (c LotCode) Kettle() int { return c.kettle }

// Bottling is the day's bottling number for the kettle, from 1.
func (c LotCode) Bottling() int { return c.bottling }

// IsZero tells that the code was never made.
func (c LotCode) IsZero() bool { return c == LotCode{} }

func (c LotCode) body() string {
	return fmt.Sprintf("%02d%03dK%dB%d", c.year%100, c.ordinal, c.kettle, c.bottling)
}

// checkCharacter is the check of a body whose characters are all in the alphabet: p = (p + v) r mod 31 for each
// character, then 1 - p mod 31.
func checkCharacter(body string) byte {
	p := 0
	for i := range len(body) {
		p = (p + strings.IndexByte(codeAlphabet, body[i])) * checkRadix % len(codeAlphabet)
	}
	return codeAlphabet[(1-p+len(codeAlphabet))%len(codeAlphabet)]
}

// MalformedCode says that a text does not have the form of a lot code.
type MalformedCode struct{ Typed string }

// Say explains it to a person.
func (e MalformedCode) Say(lang text.Language) string {
	return text.Say(lang, "labels.code_malformed", "Typed", e.Typed)
}

// Error is Say in English.
func (e MalformedCode) Error() string { return e.Say(text.English) }

// WrongCheck says that a text has the form of a lot code but a character in it is wrong; which one cannot be known, so
// offer Nearest.
type WrongCheck struct{ Typed string }

// Say explains it to a person.
func (e WrongCheck) Say(lang text.Language) string {
	return text.Say(lang, "labels.code_wrong_check", "Typed", e.Typed)
}

// Error is Say in English.
func (e WrongCheck) Error() string { return e.Say(text.English) }

// ParseLotCode reads a code as typed or scanned. Small letters, spaces and hyphens are forgiven, and I or L for 1 and O
// for 0. The error is a MalformedCode or, when the form is right and the check character disagrees, a WrongCheck.
func ParseLotCode(typed string) (LotCode, error) {
	folded := FoldCode(typed)
	if len(folded) < 2 {
		return LotCode{}, MalformedCode{Typed: typed}
	}
	body, check := folded[:len(folded)-1], folded[len(folded)-1]
	code, ok := parseBody(body)
	if !ok || strings.IndexByte(codeAlphabet, check) < 0 {
		return LotCode{}, MalformedCode{Typed: typed}
	}
	if check != checkCharacter(body) {
		return LotCode{}, WrongCheck{Typed: typed}
	}
	return code, nil
}

// parseBody reads YYDDD K kettle B bottling, in the one way body writes it.
func parseBody(body string) (LotCode, bool) {
	if len(body) < len("25341K2B1") || body[5] != 'K' {
		return LotCode{}, false
	}
	kettleText, bottlingText, found := strings.Cut(body[6:], "B")
	date, err1 := strconv.Atoi(body[:5])
	kettle, err2 := strconv.Atoi(kettleText)
	bottling, err3 := strconv.Atoi(bottlingText)
	if !found || err1 != nil || err2 != nil || err3 != nil || date < 0 {
		return LotCode{}, false
	}
	day := time.Date(2000+date/1000, 1, date%1000, 0, 0, 0, 0, time.UTC)
	code, err := NewLotCode(day, kettle, bottling)
	return code, err == nil && code.body() == body
}

// FoldCode writes a typed code the one way codes are stored: capitals, no spaces or hyphens, 1 for I and L, 0 for O.
// It checks nothing.
func FoldCode(typed string) string {
	var folded strings.Builder
	for _, r := range strings.ToUpper(typed) {
		switch {
		case r == 'I' || r == 'L':
			folded.WriteByte('1')
		case r == 'O':
			folded.WriteByte('0')
		case strings.ContainsRune(" \t\r\n\u00a0\u202f-\u2010\u2011\u2012\u2013\u2014\u2212", r):
		default:
			folded.WriteRune(r)
		}
	}
	return folded.String()
}
