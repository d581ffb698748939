package records

import (
	"bytes"
	"errors"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// What a logger's file cannot be, before a line of it is read.
var (
	ErrLoggerEmpty    = errors.New("the file is empty")
	ErrLoggerWorkbook = errors.New("the file is a workbook, not text")
	ErrLoggerBinary   = errors.New("the file is not text")
)

// longestLine is more than any logger writes into a line (our choice, no source).
const longestLine = 16 << 10

// loggerLines gives the lines of a logger's file as text. It may be UTF-8, UTF-16 with its mark, or one of the Western
// alphabets of one byte a letter: figures are the same in all of them.
func loggerLines(raw []byte) ([]string, error) {
	text, err := loggerText(raw)
	if err != nil {
		return nil, err
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(strings.TrimRight(text, "\n\x1a"), "\n")
	if len(lines) == 1 && strings.TrimSpace(lines[0]) == "" {
		return nil, ErrLoggerEmpty
	}
	for _, line := range lines {
		if len(line) > longestLine {
			return nil, ErrLoggerBinary
		}
	}
	return lines, nil
}

func loggerText(raw []byte) (string, error) {
	switch {
	case len(bytes.TrimSpace(raw)) == 0:
		return "", ErrLoggerEmpty
	case bytes.HasPrefix(raw, []byte("PK\x03\x04")) || bytes.HasPrefix(raw, []byte{0xD0, 0xCF, 0x11, 0xE0}):
		return "", ErrLoggerWorkbook
	case bytes.HasPrefix(raw, []byte{0xFF, 0xFE}):
		return fromUTF16(raw[2:], false)
	case bytes.HasPrefix(raw, []byte{0xFE, 0xFF}):
		return fromUTF16(raw[2:], true)
	}
	raw = bytes.TrimPrefix(raw, []byte{0xEF, 0xBB, 0xBF})
	if !looksText(raw) {
		return "", ErrLoggerBinary
	}
	if utf8.Valid(raw) {
		return string(raw), nil
	}
	runes := make([]rune, len(raw))
	for i, b := range raw {
		runes[i] = rune(b)
	}
	return string(runes), nil
}

// fromUTF16 decodes text of two bytes a letter.
func fromUTF16(raw []byte, bigEndian bool) (string, error) {
	if len(raw)%2 != 0 {
		return "", ErrLoggerBinary
	}
	units := make([]uint16, len(raw)/2)
	for i := range units {
		low, high := raw[2*i], raw[2*i+1]
		if bigEndian {
			low, high = high, low
		}
		units[i] = uint16(low) | uint16(high)<<8
	}
	text := string(utf16.Decode(units))
	if !looksText([]byte(text)) {
		return "", ErrLoggerBinary
	}
	return text, nil
}

// looksText tells whether bytes hold no control character but those that shape lines, and a last mark of old systems.
func looksText(raw []byte) bool {
	for i, b := range raw {
		if b < ' ' && b != '\n' && b != '\r' && b != '\t' && b != '\f' && !(b == 0x1a && i >= len(raw)-2) || b == 0x7f {
			return false
		}
	}
	return true
}

// loggerCells splits a line at its separator. A cell in double quotes may hold the separator, and two quotes for one.
func loggerCells(line, separator string) []string {
	if !strings.Contains(line, `"`) {
		cells := strings.Split(line, separator)
		for i := range cells {
			cells[i] = trimCell(cells[i])
		}
		return cells
	}
	var cells []string
	var cell strings.Builder
	quoted := false
	for i := 0; i < len(line); i++ {
		switch {
		case line[i] == '"' && quoted && i+1 < len(line) && line[i+1] == '"':
			cell.WriteByte('"')
			i++
		case line[i] == '"':
			quoted = !quoted
		case !quoted && strings.HasPrefix(line[i:], separator):
			cells = append(cells, trimCell(cell.String()))
			cell.Reset()
		default:
			cell.WriteByte(line[i])
		}
	}
	return append(cells, trimCell(cell.String()))
}

// plainWhite makes plain spaces of the narrow and the unbreakable ones.
var plainWhite = strings.NewReplacer("\u00a0", " ", "\u202f", " ")

// trimCell takes the white around a cell off, also the narrow and the unbreakable ones.
func trimCell(cell string) string {
	return strings.TrimSpace(plainWhite.Replace(cell))
}
