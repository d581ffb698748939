package packet

import (
	"strconv"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// lot writes the block of one lot.
func (s *sheet) lot(f lotFile) {
	s.Heading(say("packet.sheet.lot", "Code", records.PrintedCode(f.Code)))
	s.Fields(4, s.lotFields(f))
	if f.Note != "" {
		s.Small(f.Note)
	}
	s.sources(f)
	s.fillChecks(f)
	s.lotReadings(f)
	s.parts(f)
	s.findings(f.Findings)
	s.actions(f)
}

func (s *sheet) lotFields(f lotFile) []labels.Field {
	ended, count := "", ""
	if f.End != nil {
		ended = s.w.moment(f.End.At)
		count = estimatedIf(say("count.bottles", "Count", f.End.Count), f.End.Estimated)
	}
	limit := ""
	if f.Container.FillLimit != nil {
		limit = joined(", ", s.w.temperature(f.Container.FillLimitEntered, f.Container.FillLimit), f.Container.FillLimitSource)
	}
	return []labels.Field{
		{Name: say("packet.field.product"), Value: f.Product.Name},
		{Name: say("packet.field.container"), Value: joined(", ", f.Container.Name, s.w.contents(f.Container.ContentsEntered, f.Container.Contents))},
		{Name: say("packet.field.started"), Value: s.w.moment(f.StartedAt)},
		{Name: say("packet.field.ended"), Value: ended},
		{Name: say("packet.field.count"), Value: count},
		{Name: say("packet.field.bottles"), Value: s.supply(f.Bottles)},
		{Name: say("packet.field.closures"), Value: s.supply(f.Closures)},
		{Name: say("packet.field.written_by"), Value: s.r.name(f.DoneBy)},
		{Name: say("packet.field.fill_limit"), Value: limit},
	}
}

// supply names a supply lot: what, whose, its lot number, when received.
func (s *sheet) supply(lot *records.SupplyLot) string {
	if lot == nil {
		return ""
	}
	return joined(", ", lot.Description, say("packet.sheet.their_lot", "Lot", orMissing(lot.TheirLot)), s.r.name(lot.SupplierID),
		say("packet.sheet.received", "Day", s.w.day(lot.ReceivedOn)))
}

func (s *sheet) sources(f lotFile) {
	rows := [][]labels.Cell{}
	for _, l := range f.Sources {
		share := f.Shares[l.FromID]
		rows = append(rows, labels.Row(s.w.moment(l.At), s.r.name(l.FromID), orMissing(s.linkQuantity(l)),
			orMissing(estimated(s.w.mass("", l.Solids))), shareOf(share, false), s.r.name(l.DoneBy)))
	}
	if len(rows) == 0 {
		rows = append(rows, labels.Row(say("word.not_recorded")))
	}
	s.Table([]labels.Column{column("at", 2.4), column("filled_from", 3.4), column("quantity", 3), column("solids", 2.4), column("share", 1.4),
		column("who", 2)}, rows)
}

func (s *sheet) fillChecks(f lotFile) {
	rows := [][]labels.Cell{}
	for _, c := range f.Checks {
		inverted := ""
		if c.InvertedSeconds != nil {
			inverted = strconv.Itoa(*c.InvertedSeconds) + " " + say("unit.second")
		}
		weight := quantity(s.w, c.NetWeightEntered, c.NetWeight, hazards.UnitGrams)
		if c.NetWeight != nil {
			weight = joined(", ", weight, s.r.optionalName(c.ScaleID))
		}
		row := labels.Row(s.w.clock(c.At, f.StartedAt), orMissing(s.w.temperature(c.BottleEntered, c.Bottle)),
			s.w.temperature(c.TankEntered, c.TankReading), orMissing(s.r.optionalName(c.InstrumentID)), inverted, yesNo(c.ClosureOK), weight,
			joined(" · ", c.Note, s.late(c.Row, c.At)), s.r.name(c.DoneBy))
		if c.Bottle == nil { // a weighing alone has no thermometer to name
			row[1].Text, row[3].Text = "", s.r.optionalName(c.InstrumentID)
		}
		if c.Struck {
			row = s.strike(row, c.Row)
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		rows = append(rows, labels.Row(say("word.not_recorded")))
	}
	s.Table([]labels.Column{column("fill_check", 1.6), column("bottle", 1.7), column("tank", 1.7), column("instrument", 1.9), column("inverted", 1.6),
		column("closure", 1.6), column("net_weight", 2.2), column("note", 2.2), column("who", 2)}, rows)
}

func (s *sheet) lotReadings(f lotFile) {
	if len(f.Readings) == 0 {
		return
	}
	rows := [][]labels.Cell{}
	for _, d := range f.Readings {
		row := labels.Row(s.w.moment(d.At), s.readingLine(d.DensityReading, logEntry{Solids: d.Solids}), s.r.name(d.DoneBy))
		if d.Struck {
			row = s.strike(row, d.Row)
		}
		rows = append(rows, row)
	}
	s.Table([]labels.Column{column("at", 2.4), column("lot_reading", 8), column("who", 2)}, rows)
}

// parts writes the bottles that share one fate each, and where they are.
func (s *sheet) parts(f lotFile) {
	rows := [][]labels.Cell{}
	for _, p := range f.Parts {
		act, who, reason := say("packet.sheet.no_disposition"), "", ""
		if p.Last != nil {
			act = joined(" ", word("packet.act", p.Last.Act), s.w.moment(p.Last.At))
			who, reason = s.r.name(p.Last.DoneBy), p.Last.Reason
			if p.Last.Automatic {
				who = say("packet.sheet.by_rule", "Who", who)
			}
		}
		filled := ""
		if p.Units != nil {
			filled = strconv.Itoa(*p.Units)
		}
		rows = append(rows, labels.Row(strconv.Itoa(p.Number), word("life", p.State), orMissing(filled), strconv.Itoa(p.Shipped),
			strconv.Itoa(p.Returned), strconv.Itoa(p.Samples+p.Broken), strconv.Itoa(p.OnHand), act, who, reason))
	}
	columns := []labels.Column{column("part", 1), column("state", 1.7), column("units", 1.5), column("shipped", 1.6), column("back", 1.2),
		column("samples_broken", 1.8), column("on_hand", 1.4), column("disposition", 2.6), column("who", 2), column("reason", 2.8)}
	s.Table(columns, rows)
}

// actions writes the owner's four-part texts.
func (s *sheet) actions(f lotFile) {
	for _, a := range f.Actions {
		s.Paragraph(say("packet.sheet.action", "Finding", a.Finding, "At", s.w.moment(a.At), "Who", s.r.name(a.DoneBy)))
		s.Notes(say("packet.sheet.action_problem", "Text", a.Problem), say("packet.sheet.action_recurrence", "Text", a.Recurrence),
			say("packet.sheet.action_evaluation", "Text", a.Evaluation), say("packet.sheet.action_commerce", "Text", a.Commerce))
	}
}
