package app

import (
	"slices"
	"strings"

	"canewright/records"
	"canewright/records/lineage"
)

// bandColumn is one stage of a trace: a ruled column of bands, each as wide as its share.
type bandColumn struct {
	Title string
	Bands []band
	Tail  string // what a long column folds, and how much it is
	Rest  string // address of the whole
}

// band is one record of a stage.
type band struct {
	Name, URL, Word string  // Word is its share, or its bottles
	Width           float64 // of hundred
	Plain           bool    // no share: it came beside the syrup
	Estimated       bool
	Unknown         bool // a tank drawn from before any filling was recorded
}

// mostBands is how many records a column shows before the rest is folded into one line.
const mostBands = 7

// hairline is the least width of a band: little is shown as little, never as nothing.
const hairline = 0.6

// stages is the order of the columns, from the field on. A tank stands before or after the kettle by what it holds.
var stages = []struct {
	key  string
	kind records.Kind
}{
	{"planting", records.KindPlanting}, {"cut", records.KindCut}, {"pressing", records.KindPressing}, {"juice_tank", records.KindTank},
	{"run", records.KindRun}, {"syrup_tank", records.KindTank}, {"lot", records.KindLot},
}

// backColumns draws what went into a record, stage by stage. tanks says what each tank holds.
func backColumns(w words, back records.Trace, tanks map[string]records.Tank, most int, whole string) ([]bandColumn, error) {
	var columns []bandColumn
	for _, stage := range stages {
		byID, shares := map[string]records.Step{}, map[string]lineage.Share{}
		for _, s := range back.OfKind(stage.kind) {
			if s.Share == nil || stage.kind == records.KindTank && stage.key != tanks[s.ID].Holds+"_tank" {
				continue
			}
			byID[s.ID], shares[s.ID] = s, lineage.Share{Fraction: *s.Share, Estimated: s.Estimated}
		}
		if len(shares) == 0 {
			continue
		}
		column, err := shareColumn(w, byID, shares, most, whole)
		if err != nil {
			return nil, err
		}
		column.Title = w.say("trace.stage." + stage.key)
		columns = append(columns, column)
	}
	if beside := besideColumn(w, back, most, whole); len(beside.Bands) > 0 {
		columns = append(columns, beside)
	}
	return columns, nil
}

func shareColumn(w words, steps map[string]records.Step, shares map[string]lineage.Share, most int, whole string) (bandColumn, error) {
	lines, tail := lineage.Listed(shares, most)
	var column bandColumn
	for _, l := range lines {
		percent, err := w.percent(l.Fraction)
		if err != nil {
			return column, err
		}
		s := steps[l.ID]
		column.Bands = append(column.Bands, band{Name: stepWords(w, s), URL: recordURL(s.ID), Word: percent,
			Width: max(hairline, float64(l.Fraction)*100), Estimated: l.Estimated, Unknown: s.Unknown})
	}
	if tail.Count > 0 {
		percent, err := w.percent(tail.Fraction)
		if err != nil {
			return column, err
		}
		column.Tail, column.Rest = w.say("trace.tail", "Others", tail.Count, "Share", percent), whole
	}
	return column, nil
}

// besideColumn lists what touched the syrup or holds it without being a share of it: bottles, closures, cloths, additives.
func besideColumn(w words, back records.Trace, most int, whole string) bandColumn {
	column := bandColumn{Title: w.say("trace.stage.beside")}
	steps := slices.DeleteFunc(back.OfKind(records.KindSupplyLot), func(s records.Step) bool { return s.Share != nil && *s.Share > 0 })
	for i, s := range steps {
		if i == most && len(steps) > most+1 {
			column.Tail, column.Rest = w.say("trace.tail_plain", "Others", len(steps)-most), whole
			break
		}
		column.Bands = append(column.Bands, band{Name: s.Name, URL: recordURL(s.ID), Plain: true})
	}
	return column
}

// stepWords names a step; a day at the head of its name is written as people here write days.
func stepWords(w words, s records.Step) string {
	if len(s.Name) < len("2006-01-02") || !records.Day(s.Name[:10]).Valid() {
		return s.Name
	}
	day, err := w.day(records.Day(s.Name[:10]))
	if err != nil {
		return s.Name
	}
	if s.Kind == records.KindPressing {
		return w.say("trace.pressing", "Day", day, "Number", strings.TrimPrefix(s.Name[10:], ", "))
	}
	return day + s.Name[10:]
}

// whereColumn draws where the bottles of a lot are now, each place as wide as its part of the count.
func whereColumn(w words, parts []records.OnShelf, holdings []records.Holding, most int, whole string) bandColumn {
	column := bandColumn{Title: w.say("trace.stage.where")}
	filled, samples, broken := 0, 0, 0
	for _, p := range parts {
		if !p.CameBack {
			filled += p.Filled
		}
		samples, broken = samples+p.Samples, broken+p.Broken
	}
	if filled == 0 {
		return column
	}
	add := func(name, url string, units int) {
		if units != 0 {
			width := min(100, max(hairline, float64(units)/float64(filled)*100))
			column.Bands = append(column.Bands, band{Name: name, URL: url, Word: w.say("count.bottles", "Count", units), Width: width})
		}
	}
	for _, p := range parts {
		add(w.say("trace.on_hand", "Part", partName(w, p), "State", w.say("life."+p.State)), partURL(p.ID), p.OnHand)
	}
	customers := byCustomer(holdings)
	rest := 0
	for i, k := range customers {
		if i >= most && len(customers) > most+1 {
			rest += k.with
			continue
		}
		add(customerWords(w, k.customer), customerURL(k.customer.ID), k.with)
	}
	if rest > 0 {
		column.Tail = w.say("trace.tail_customers", "Others", len(customers)-most, "Bottles", w.say("count.bottles", "Count", rest))
		column.Rest = whole
	}
	add(w.say("shelf_page.samples"), "", samples)
	add(w.say("shelf_page.broken"), "", broken)
	return column
}
