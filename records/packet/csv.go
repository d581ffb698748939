package packet

import (
	"bytes"
	"encoding/csv"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"canewright/records"
)

// csvFile writes RFC 4180 with a head line and guarded cells, UTF-8 without a byte order mark.
func csvFile(head []string, rows [][]string) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	for _, row := range append([][]string{head}, rows...) {
		guarded := make([]string, len(row))
		for i, cell := range row {
			guarded[i] = guard(cell)
		}
		if err := w.Write(guarded); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

var plainNumber = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)

// guard keeps a spreadsheet from reading a cell as a formula: one that begins with = + - @, a tab, a line end or an
// apostrophe gets an apostrophe before it. A plain number with its minus sign stays a number. Unguard takes it off again.
func guard(cell string) string {
	if cell == "" || plainNumber.MatchString(cell) || !strings.ContainsRune("=+-@\t\r\n'", rune(cell[0])) {
		return cell
	}
	return "'" + cell
}

// Unguard gives back a cell of a packet's CSV as it was recorded: it takes off the apostrophe that keeps a spreadsheet from
// reading it as a formula.
func Unguard(cell string) string { return strings.TrimPrefix(cell, "'") }

// stamp is a moment as RFC 3339 with the house's offset; blank when there is none.
func stamp(t time.Time, zone *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return t.In(zone).Format(time.RFC3339)
}

// plainTable writes one record table: identity first, every column of the fact after it, the unit beside each canonical
// quantity. Times carry the house's offset.
func (c *chain) plainTable(t table, w words) (head []string, rows [][]string) {
	for _, f := range c.of(t.Kind) {
		columns := c.columns(f, w)
		if head == nil {
			head = columnOrder(columns)
		}
		row := make([]string, len(head))
		for i, name := range head {
			row[i] = columns[name]
		}
		rows = append(rows, row)
	}
	return head, rows
}

// columns gives the cells of a record by column.
func (c *chain) columns(f records.Fact, w words) map[string]string {
	cells := map[string]string{}
	for column, value := range records.Columns(f) {
		if slices.Contains(omitted[f.Kind()], column) {
			continue
		}
		cells[column] = cell(value, w)
		if unit := unitOfColumn[string(f.Kind())+"."+column]; unit != "" {
			cells[column+"_unit"] = unit
			if value == nil {
				cells[column+"_unit"] = ""
			}
		}
	}
	if customer, ok := f.(*records.Customer); ok {
		contact := traced(*customer)
		cells["firm"], cells["address"], cells["telephone"] = contact.Name, contact.Address, contact.Telephone
	}
	return cells
}

// traced is what the trace needs of a customer: firm, address and telephone of a business, the place of a market, nothing
// of a person.
func traced(k records.Customer) records.Contact {
	switch k.Sort {
	case records.CustomerBusiness:
		return records.Contact{Name: k.Contact.Name, Address: k.Contact.Address, Telephone: k.Contact.Telephone}
	case records.CustomerMarket:
		return records.Contact{Name: k.Contact.Name, Address: k.Contact.Address}
	}
	return records.Contact{}
}

func cell(value any, w words) string {
	switch v := value.(type) {
	case nil:
		return ""
	case bool:
		if v {
			return "true"
		}
		return "false"
	case string:
		if t, err := time.Parse(time.RFC3339Nano, v); err == nil {
			return stamp(t, w.zone)
		}
		return v
	}
	return ""
}

var firstColumns = []string{"id", "revision", "struck"}
var lastColumns = []string{"written_at", "written_by", "done_by", "why"}

// columnOrder puts the identity first and the writing last; the others follow the alphabet, which keeps a quantity, what
// was typed and its unit together.
func columnOrder(columns map[string]string) []string {
	var middle []string
	for _, name := range slices.Sorted(maps.Keys(columns)) {
		if !slices.Contains(firstColumns, name) && !slices.Contains(lastColumns, name) {
			middle = append(middle, name)
		}
	}
	return slices.Concat(firstColumns, middle, lastColumns)
}
