package packet

import (
	"fmt"
	"strconv"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// index draws what is in the packet, with the state of every lot.
func (m *maker) index(house records.House) ([]byte, error) {
	title := say("packet.index.title")
	d := labels.NewDocument(labels.Letter(), labels.Meta{Title: title, Author: house.Name, At: m.opt.MadeAt, Language: language, Head: m.head.Short()})
	d.Title(title, joined(" · ", house.Name, oneLine(house.Address), house.Telephone), "")
	d.Fields(3, []labels.Field{
		{Name: say("packet.index.range"), Value: m.w.day(m.between.From) + " – " + m.w.day(m.between.To)},
		{Name: say("packet.index.made"), Value: m.w.moment(m.opt.MadeAt)},
		{Name: say("packet.index.by"), Value: m.opt.By},
	})
	d.Paragraph(say("packet.index.scope"))
	m.lotTable(d)
	m.statement(d, house)
	m.contents(d)
	d.Heading(say("packet.index.checking"))
	d.Paragraph(say("packet.index.check_how"))
	d.Fields(1, []labels.Field{{Name: say("packet.index.head"), Value: strconv.FormatInt(m.head.Seq, 10) + " " + m.head.Hash}})
	d.Notes(say("packet.index.personal"), say("packet.index.guard"), say("packet.index.units"), say("packet.index.times", "Zone", m.w.zone.String()))
	if m.r.err != nil {
		return nil, m.r.err
	}
	return d.Bytes()
}

func (m *maker) lotTable(d *labels.Document) {
	d.Heading(say("count.lots", "Count", len(m.lots)))
	rows := [][]labels.Cell{}
	for _, f := range m.lots {
		count := ""
		if f.End != nil {
			count = strconv.Itoa(f.End.Count)
		}
		worst := hazards.Worst(f.Findings)
		level := labels.Cell{Text: say("level." + worst.String())}
		if worst >= hazards.Hold {
			level.Style = labels.Bold
		}
		rows = append(rows, []labels.Cell{{Text: records.PrintedCode(f.Code), Style: labels.Mono}, {Text: joined(", ", f.Product.Name, f.Container.Name)},
			{Text: m.w.day(f.Day)}, {Text: orMissing(count)}, level, {Text: states(f.Parts)}, {Text: m.whoHas(f)}})
	}
	for _, lot := range m.c.Taken {
		rows = append(rows, []labels.Cell{{Text: records.PrintedCode(lot.Code), Style: labels.Mono}, {}, {Text: m.w.day(lot.Day)}, {}, {},
			{Text: say("word.struck")}, {Text: lot.Why}})
	}
	units := column("units", 1.3)
	units.Align = labels.AlignRight
	d.Table([]labels.Column{column("lot", 2.3), column("product", 2.8), column("filled_on", 2), units, column("worst", 1.3), column("state", 1.9),
		column("who_has", 4.4)}, rows)
}

// states tells the parts of a lot with their units.
func states(parts []records.PartShelf) string {
	var said string
	for _, p := range parts {
		state := word("life", p.State)
		if len(parts) > 1 && p.Units != nil {
			state += " " + strconv.Itoa(*p.Units)
		}
		said = joined(", ", said, state)
	}
	return said
}

// whoHas sums the bottles out by customer; private persons are one line, without names.
func (m *maker) whoHas(f lotFile) string {
	var order []string
	out := map[string]int{}
	for _, h := range f.Holders {
		name := traced(h.Customer).Name
		if name == "" {
			name = say("packet.index.consumers")
		}
		if _, seen := out[name]; !seen {
			order = append(order, name)
		}
		out[name] += h.Units - h.Back
	}
	onHand := 0
	for _, p := range f.Parts {
		onHand += p.OnHand
	}
	var said string
	for _, name := range order {
		said = joined("; ", said, fmt.Sprintf("%s %d", name, out[name]))
	}
	return joined("; ", said, say("packet.index.on_hand", "Units", onHand))
}

// statement is the jurisdiction's rule as the owner entered it; the program does not know whether it holds.
func (m *maker) statement(d *labels.Document, house records.House) {
	d.Heading(say("packet.index.statement"))
	if house.Statement == "" {
		d.Paragraph(say("word.not_recorded"))
		return
	}
	d.Paragraph(house.Statement)
	d.Small(joined(" ", say("packet.index.statement_source", "Source", orMissing(house.StatementSource)),
		say("packet.index.statement_by", "Day", orMissing(m.w.day(house.StatementDay)))))
}

// contents lists the files with what each holds.
func (m *maker) contents(d *labels.Document) {
	d.Heading(say("packet.index.contents"))
	rows := [][]labels.Cell{labels.Row("index.pdf", say("packet.file.index")),
		labels.Row("sheets/ ("+strconv.Itoa(m.sheets)+")", say("packet.file.sheets")),
		labels.Row("logs/boil_log.csv", say("packet.file.boil_log")), labels.Row("logs/fill_log.csv", say("packet.file.fill_log")),
		labels.Row("amendments.csv", say("packet.file.amendments"))}
	for _, t := range eventTables {
		rows = append(rows, labels.Row("tables/"+t.Name+".csv", say("packet.file."+t.Name)))
	}
	kinds := ""
	for _, t := range tables {
		if _, there := m.files["tables/records/"+string(t.Kind)+".csv"]; there {
			kinds = joined(", ", kinds, string(t.Kind))
		}
	}
	rows = append(rows, labels.Row("tables/records/", say("packet.file.records", "Kinds", kinds)),
		labels.Row(manifestName, say("packet.file.manifest")), labels.Row(sumsName, say("packet.file.sums")))
	d.Table([]labels.Column{column("file", 2), column("holds", 5)}, rows)
}
