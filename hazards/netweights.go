package hazards

import (
	"fmt"
	"strconv"
	"strings"

	"canewright/hazards/syrup"
)

// ListProblem is what is wrong with a list of weights or bottle numbers somebody typed or pasted.
type ListProblem string

// The problems of lists.
const (
	ListNumber ListProblem = "number" // no number
	ListComma  ListProblem = "comma"  // decimal comma, or a comma between two numbers
	ListZero   ListProblem = "zero"   // not more than nothing
	ListRange  ListProblem = "range"  // a bottle the lot does not have
	ListTwice  ListProblem = "twice"  // a bottle twice
	ListWhole  ListProblem = "whole"  // a bottle number that is not whole
)

// ListError names the entry of a list that cannot be taken; Row counts from 1.
type ListError struct {
	Problem ListProblem
	Row     int
	Text    string
	Most    int // the last bottle, for ListRange
}

func (e ListError) Error() string { return fmt.Sprintf("entry %d, %q: %s", e.Row, e.Text, e.Problem) }

// ListEntries takes a list apart at blanks, line ends, semicolons, and commas that cannot be decimal commas. The error is a
// ListError of a comma that might be either: it is asked, not guessed.
func ListEntries(typed string) ([]string, error) {
	var entries []string
	for _, field := range strings.FieldsFunc(typed, func(r rune) bool { return r == ';' || r == ' ' || r == '\t' || r == '\n' || r == '\r' || r == '\u00a0' }) {
		parts := strings.Split(strings.Trim(field, ","), ",")
		for i := 1; i < len(parts); i++ {
			if !strings.Contains(parts[i-1], ".") && !strings.Contains(parts[i], ".") {
				return nil, ListError{Problem: ListComma, Row: len(entries) + i, Text: field}
			}
		}
		for _, part := range parts {
			if part != "" {
				entries = append(entries, part)
			}
		}
	}
	return entries, nil
}

// ParseWeights reads weights, each more than nothing. Errors: ListError.
func ParseWeights(typed string) ([]float64, error) {
	entries, err := ListEntries(typed)
	if err != nil {
		return nil, err
	}
	weights := make([]float64, len(entries))
	for i, entry := range entries {
		if weights[i], err = syrup.ParseNumber(entry); err != nil {
			return nil, ListError{Problem: ListNumber, Row: i + 1, Text: entry}
		}
		if weights[i] <= 0 {
			return nil, ListError{Problem: ListZero, Row: i + 1, Text: entry}
		}
	}
	return weights, nil
}

// ParseBottles reads the numbers of bottles of a lot, each once. A comma needs no blank after it: a bottle has no decimals.
// Errors: ListError.
func ParseBottles(typed string, lot int) ([]int, error) {
	seen := map[int]bool{}
	var bottles []int
	for i, entry := range strings.FieldsFunc(typed, func(r rune) bool { return strings.ContainsRune(" \t\r\n,;\u00a0", r) }) {
		n, err := strconv.Atoi(entry)
		switch {
		case err != nil:
			return nil, ListError{Problem: ListWhole, Row: i + 1, Text: entry}
		case n < 1 || n > lot:
			return nil, ListError{Problem: ListRange, Row: i + 1, Text: entry, Most: lot}
		case seen[n]:
			return nil, ListError{Problem: ListTwice, Row: i + 1, Text: entry}
		}
		seen[n] = true
		bottles = append(bottles, n)
	}
	return bottles, nil
}
