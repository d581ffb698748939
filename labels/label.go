package labels

import (
	"fmt"
	"strings"

	"canewright/hazards/text"
)

// Label is what one label says. Every text is already decided by the caller: the product name is one that the findings
// allow, the ingredients and allergens those of Ingredients and AllergenLine. An empty text is left off.
type Label struct {
	ProductName string
	Ingredients string // "Ingredients: cane juice, salt."
	Allergens   string // "Contains: milk."
	NetUS       string // "12 fl oz"
	NetMetric   string // "354 mL"
	Maker       string
	Address     string
	Telephone   string
	LotCode     string // as printed, "25341K2B1-P"
	BestBy      string // the day alone
	Storage     string
	Statement   string // what the jurisdiction asks for, word for word
	Claims      string // what else the owner says of the food, a line each
	Caution     string // a line of caution the owner wants
	Extra       string
	QR          string // content of the symbol; none when empty

	Nutrition *Nutrition // Nutrition Facts; no panel when nil

	// SmallestLetter is the least height of a letter of the name, ingredients, allergens, net contents, maker, address
	// and statement: of the lower-case o, or of the capital where all are capitals. Zero is 1/16 inch (21 CFR 101.2(c),
	// from memory, high confidence); small packages may be allowed less, which the owner's house rules decide.
	SmallestLetter Millimeters
	// NetHeight is the least height of the net contents' letters, from NetTypeHeight; zero is SmallestLetter.
	NetHeight Millimeters
	// StatementHeight is the least height of the statement's letters that the jurisdiction asks for; zero is SmallestLetter.
	StatementHeight Millimeters
}

// sixteenthInch is the least letter height unless the house sets another.
const sixteenthInch Millimeters = 25.4 / 16

// legible is the least letter height whatever the house sets: below it a thermal printer of 203 dpi has under seven
// dots for a letter (our choice).
const legible Millimeters = 0.8

// NoRoom says which line does not fit on the label; the line is never clipped or left off.
type NoRoom struct {
	Line string // the catalogue key of the line's name
}

// Say explains it to a person. What is worked out from the records cannot be shortened.
func (e NoRoom) Say(lang text.Language) string {
	key := "labels.no_room"
	switch e.Line {
	case netKey, "labels.line.lot", "labels.line.best_by", "labels.line.ingredients", "labels.line.allergens", "labels.line.count", "labels.line.bars":
		key = "labels.no_room_fixed"
	}
	return text.Say(lang, key, "Line", text.Say(lang, e.Line))
}

// Error is Say in English.
func (e NoRoom) Error() string { return e.Say(text.English) }

// NoRoomQR says that the QR symbol would be too small to read.
type NoRoomQR struct{ Need, Have Millimeters }

// Say explains it to a person.
func (e NoRoomQR) Say(lang text.Language) string {
	return text.Say(lang, "labels.no_room_qr", "Need", fmt.Sprintf("%.1f", e.Need), "Have", fmt.Sprintf("%.1f", max(e.Have, 0)))
}

// Error is Say in English.
func (e NoRoomQR) Error() string { return e.Say(text.English) }

// printable checks every text of the label and gives it cleaned.
func (l Label) printable() (Label, error) {
	for _, field := range []*string{&l.ProductName, &l.Ingredients, &l.Allergens, &l.NetUS, &l.NetMetric, &l.Maker,
		&l.Address, &l.Telephone, &l.LotCode, &l.BestBy, &l.Storage, &l.Statement, &l.Caution, &l.Extra} {
		cleaned, err := Printable(*field)
		if err != nil {
			return Label{}, err
		}
		*field = cleaned
	}
	var err error
	if l.Claims, err = printableLines(l.Claims); err != nil {
		return Label{}, err
	}
	if l.SmallestLetter == 0 {
		l.SmallestLetter = sixteenthInch
	}
	l.SmallestLetter = max(l.SmallestLetter, legible)
	l.NetHeight = max(l.NetHeight, l.SmallestLetter)
	l.StatementHeight = max(l.StatementHeight, l.SmallestLetter)
	return l, nil
}

// net is the net contents line.
func (l Label) net() string {
	if l.NetUS == "" || l.NetMetric == "" {
		if l.NetUS+l.NetMetric == "" {
			return ""
		}
		return text.Say(text.English, "labels.net", "Net", l.NetUS+l.NetMetric)
	}
	return text.Say(text.English, "labels.net", "Net", Net{US: l.NetUS, Metric: l.NetMetric}.String())
}

// netLines are the ways to write the net contents on more than one line, fewest lines first: the metric figure on its own,
// and then the largest units in brackets, too. None where one of the figures is missing.
func (l Label) netLines() [][]string {
	net := l.net()
	i := strings.LastIndex(net, l.NetMetric)
	if l.NetUS == "" || l.NetMetric == "" || i < 1 {
		return nil
	}
	if net[i-1] == '(' {
		i--
	}
	us, metric := strings.TrimSpace(net[:i]), net[i:]
	ways := [][]string{{us, metric}}
	if ounces, largest, ok := strings.Cut(us, " ("); ok {
		ways = append(ways, []string{ounces, "(" + largest, metric})
	}
	return ways
}

// lot is the line of the lot code.
func (l Label) lot() string {
	if l.LotCode == "" {
		return ""
	}
	return text.Say(text.English, "labels.lot", "Code", l.LotCode)
}

// bestBy is the line of the best-by day.
func (l Label) bestBy() string {
	if l.BestBy == "" {
		return ""
	}
	return text.Say(text.English, "labels.best_by", "Day", l.BestBy)
}
