package syrup

import (
	"fmt"
	"strconv"
	"strings"
)

// InputProblem says what is wrong with a typed quantity. It is also the key by which a screen in another language
// looks up its message.
type InputProblem string

// The problems a typed quantity can have.
const (
	InputEmpty       InputProblem = "empty"
	InputComma       InputProblem = "comma"
	InputNotNumber   InputProblem = "not_number"
	InputTooLarge    InputProblem = "too_large"
	InputNoUnit      InputProblem = "no_unit"
	InputUnknownUnit InputProblem = "unknown_unit"
	InputFraction    InputProblem = "fraction" // a share typed where percent is asked
)

// InputError is a typed quantity that cannot be read. Units lists the accepted units where a unit was the problem.
type InputError struct {
	Problem InputProblem
	Text    string
	Units   []string
	Meant   string // what was likely meant, blank when nothing is likely
}

// Error says what was typed and what is expected.
func (e InputError) Error() string {
	switch e.Problem {
	case InputEmpty:
		return "nothing typed: expected a number such as 74 or 33.5"
	case InputComma:
		return fmt.Sprintf("%q: write the decimals after a point and thousands without a mark, as in 22.5 or 1200", e.Text)
	case InputTooLarge:
		return fmt.Sprintf("%q: expected a number of at most %d digits", e.Text, longestNumber)
	case InputNoUnit:
		return fmt.Sprintf("%q: write the unit too, one of %s", e.Text, strings.Join(e.Units, ", "))
	case InputUnknownUnit:
		return fmt.Sprintf("%q: this unit is not known here, expected one of %s", e.Text, strings.Join(e.Units, ", "))
	case InputFraction:
		return fmt.Sprintf("%q: expected percent such as 74; did you mean %s %%? Write %s%% for less than one percent", e.Text, e.Meant,
			e.Text)
	default:
		return fmt.Sprintf("%q: expected a number such as 74 or 33.5", e.Text)
	}
}

// longestNumber is the most characters a number may have: far past any quantity on a farm, and short enough that a
// float64 holds it.
const longestNumber = 20

// ParseNumber reads a plain number: an optional sign, digits, and optionally a point with digits. A comma, an
// exponent, hexadecimal, NaN and Inf are refused with an InputError; spaces around it are forgiven.
func ParseNumber(text string) (float64, error) {
	trimmed := strings.TrimSpace(text)
	switch {
	case trimmed == "":
		return 0, InputError{Problem: InputEmpty}
	case strings.ContainsRune(trimmed, ',') && strings.Trim(trimmed, "+-0123456789.,") == "":
		return 0, InputError{Problem: InputComma, Text: trimmed}
	case !isPlainNumber(trimmed):
		return 0, InputError{Problem: InputNotNumber, Text: trimmed}
	case len(trimmed) > longestNumber:
		return 0, InputError{Problem: InputTooLarge, Text: trimmed}
	}
	number, err := strconv.ParseFloat(trimmed, 64)
	if err != nil {
		return 0, InputError{Problem: InputNotNumber, Text: trimmed}
	}
	if number == 0 {
		return 0, nil // "-0" is nothing with a sign, which would be printed
	}
	return number, nil
}

// isPlainNumber holds the grammar: [+-] digits [. digits].
func isPlainNumber(text string) bool {
	if text != "" && (text[0] == '+' || text[0] == '-') {
		text = text[1:]
	}
	whole, decimals, pointed := strings.Cut(text, ".")
	return isDigits(whole) && (!pointed || isDigits(decimals))
}

func isDigits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}

// unit is one accepted unit: how it is written, and the factor to the canonical unit.
type unit struct {
	name   string
	factor float64
}

func namesOf(units []unit) []string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return names
}

// splitQuantity parts "220 °F" into "220" and "F".
func splitQuantity(text string) (number, unit string) {
	trimmed := strings.TrimSpace(text)
	end := 0
	for end < len(trimmed) && strings.IndexByte("+-.,0123456789", trimmed[end]) >= 0 {
		end++
	}
	return trimmed[:end], strings.TrimSpace(trimmed[end:])
}

// parseQuantity reads a number with its unit behind it. The whole text stands in the error, so that the person sees
// what was typed.
func parseQuantity[T ~float64](text string, units []string, from func(float64, string) (T, error)) (T, error) {
	digits, unit := splitQuantity(text)
	if digits == "" && unit != "" {
		return 0, InputError{Problem: InputNotNumber, Text: strings.TrimSpace(text)}
	}
	number, err := ParseNumber(digits)
	if err != nil {
		return 0, err
	}
	if unit == "" {
		return 0, InputError{Problem: InputNoUnit, Text: strings.TrimSpace(text), Units: units}
	}
	return from(number, unit)
}

// factorOf finds a unit, forgiving case, spaces, points and the degree sign.
func factorOf(name string, units []unit) (float64, error) {
	plain := plainUnit(name)
	if plain == "" {
		return 0, InputError{Problem: InputNoUnit, Text: name, Units: namesOf(units)}
	}
	for _, u := range units {
		if strings.EqualFold(plain, u.name) {
			return u.factor, nil
		}
	}
	return 0, InputError{Problem: InputUnknownUnit, Text: name, Units: namesOf(units)}
}

func plainUnit(name string) string {
	return strings.NewReplacer(" ", "", ".", "", "°", "", "º", "").Replace(name)
}

// largestQuantity bounds every typed quantity, in its own unit: more is a slip.
const largestQuantity = 1e9

// scaled multiplies a number with its unit's factor and refuses what lies outside min to largestQuantity.
func scaled(what string, number float64, name string, units []unit, min float64) (float64, error) {
	factor, err := factorOf(name, units)
	if err != nil {
		return 0, err
	}
	if err := inRange(what, number, min, largestQuantity, plainUnit(name)); err != nil {
		return 0, err
	}
	return number * factor, nil
}
