package packet

import (
	"slices"
	"strconv"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// lot writes the block of one lot.
func (s *sheet) lot(f lotFile) {
	s.block(f.ID, say("packet.sheet.lot", "Code", records.PrintedCode(f.Code)))
	s.Fields(4, s.lotFields(f))
	if f.Note != "" {
		s.Small(f.Note)
	}
	s.sources(f)
	s.fillChecks(f)
	s.fillEvents(f)
	s.lotReadings(f)
	s.parts(f)
	s.findings(f.Findings)
	s.actions(f)
	s.netChecks(f)
	s.labelAnswers(f)
}

func (s *sheet) lotFields(f lotFile) []labels.Field {
	ended, count := say("word.not_recorded"), ""
	if f.End != nil {
		ended = s.w.clock(f.End.At, f.StartedAt)
		count = estimatedIf(say("count.bottles", "Count", f.End.Count), f.End.Estimated)
	}
	limit := ""
	if f.Container.FillLimit != nil {
		limit = joined(", ", s.w.temperature(f.Container.FillLimitEntered, f.Container.FillLimit), f.Container.FillLimitSource, s.coolingTest(f.Container))
	}
	return []labels.Field{
		{Name: say("packet.field.product"), Value: f.Product.Name},
		{Name: say("packet.field.container"), Value: joined(", ", f.Container.Name, s.w.contents(f.Container.ContentsEntered, f.Container.Contents))},
		{Name: say("packet.field.filled"), Value: s.w.moment(f.StartedAt) + " – " + ended},
		{Name: say("packet.field.count"), Value: count},
		{Name: say("packet.field.bottles"), Value: s.supply(f.Bottles)},
		{Name: say("packet.field.closures"), Value: s.supply(f.Closures)},
		{Name: say("packet.field.written_by"), Value: s.r.doer(f.Row)},
		{Name: say("packet.field.fill_limit"), Value: limit},
	}
}

// supply names a supply lot: what, its maker's lot number, from whom.
func (s *sheet) supply(lot *records.SupplyLot) string {
	if lot == nil {
		return ""
	}
	return joined(", ", lot.Description, say("packet.sheet.their_lot", "Lot", orMissing(lot.TheirLot)), s.r.name(lot.SupplierID))
}

func (s *sheet) sources(f lotFile) {
	rows := [][]labels.Cell{}
	for _, l := range f.Sources {
		step := f.Shares[l.FromID]
		rows = append(rows, labels.Row(s.w.moment(l.At), s.r.name(l.FromID), orMissing(s.linkQuantity(l)),
			orMissing(estimated(s.w.mass("", l.Solids))), shareOf(step.Share, step.Estimated), s.r.doer(l.Row)))
	}
	if len(rows) == 0 {
		rows = append(rows, labels.Row(say("word.not_recorded")))
	}
	s.Table([]labels.Column{column("at", 2.4), column("filled_from", 3.4), column("quantity", 3), column("solids", 2.4), column("share", 1.6),
		column("who", 2)}, rows)
	if f.FromTank {
		s.Paragraph(say("packet.sheet.through_tanks", "Runs", runShares(f.Runs)))
	}
	if len(f.Additions) > 0 {
		s.additions("", f.StartedAt, f.Additions)
	}
}

// runShares names the runs whose syrup met in a tank, with what part of the lot each is.
func runShares(runs []records.Step) string {
	said := ""
	for _, run := range runs {
		said = joined("; ", said, joined(" ", run.Name, orMissing(shareOf(run.Share, run.Estimated))))
	}
	return orMissing(said)
}

// fillChecks writes every look at a bottle. A weight is asked for once a lot, the other readings at every check.
func (s *sheet) fillChecks(f lotFile) {
	weighed := slices.ContainsFunc(f.Checks, func(c records.FillCheck) bool { return c.NetWeight != nil && !c.Struck })
	notes := false
	rows := [][]labels.Cell{}
	for _, c := range f.Checks {
		note := joined(" · ", bottleOf(c), s.grossWeight(c), c.Note, s.late(c.Row, c.At), s.amended(c.Row))
		notes = notes || note != ""
		row := labels.Row(s.w.clock(c.At, f.StartedAt), orMissing(s.w.temperature(c.BottleEntered, c.Bottle)),
			orMissing(s.w.temperature(c.TankEntered, c.TankReading)), orMissing(s.r.optionalName(c.InstrumentID)), orMissing(seconds(c.InvertedSeconds)),
			orMissing(yesNo(c.ClosureOK)), s.netWeight(c, weighed), s.r.doer(c.Row), note)
		if c.Struck {
			row, notes = s.strike(row, len(row)-1, c.Row), true
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		rows = append(rows, labels.Row(say("word.not_recorded")))
	}
	columns := []labels.Column{column("fill_check", 1.6), column("bottle", 1.9), column("tank", 1.9), column("instrument", 1.9), column("inverted", 1.8),
		column("closure", 1.8), column("net_weight", 2.2), column("who", 1.8)}
	if notes {
		columns = append(columns, column("note", 2.6))
	}
	s.Table(columns, rows)
}

// bottleOf says which bottle was looked at, where that was counted.
func bottleOf(c records.FillCheck) string {
	said := ""
	if c.BottleNumber != nil {
		said = say("packet.sheet.bottle", "Number", *c.BottleNumber)
	}
	if c.CaseNumber != nil {
		said = joined(", ", said, say("packet.sheet.case", "Number", *c.CaseNumber))
	}
	return said
}

// grossWeight says what the net weight was worked out from, where the full bottle was weighed.
func (s *sheet) grossWeight(c records.FillCheck) string {
	if c.Gross == nil || c.Tare == nil {
		return ""
	}
	return say("packet.sheet.gross", "Gross", quantity(s.w, c.GrossEntered, c.Gross, hazards.UnitGrams), "Tare", quantity(s.w, "", c.Tare, hazards.UnitGrams))
}

// fillEvents writes what happened between the checks: broken bottles, stops, notes.
func (s *sheet) fillEvents(f lotFile) {
	rows := [][]labels.Cell{}
	for _, e := range f.Events {
		what := word("packet.fill_event", e.What)
		if e.Count != nil {
			what += ": " + strconv.Itoa(*e.Count)
		}
		if e.BottleNumber != nil {
			what = joined(", ", what, say("packet.sheet.bottle", "Number", *e.BottleNumber))
		}
		row := labels.Row(s.w.clock(e.At, f.StartedAt), what, s.r.doer(e.Row), joined(" · ", e.Note, s.late(e.Row, e.At), s.amended(e.Row)))
		if e.Struck {
			row = s.strike(row, len(row)-1, e.Row)
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		s.Table([]labels.Column{column("fill_check", 1.6), column("fill_event", 4), column("who", 2), column("note", 6)}, rows)
	}
}

func (s *sheet) netWeight(c records.FillCheck, weighed bool) string {
	weight := quantity(s.w, c.NetWeightEntered, c.NetWeight, hazards.UnitGrams)
	if c.NetWeight != nil {
		return joined(", ", weight, orMissing(s.r.optionalName(c.ScaleID)))
	}
	if !weighed {
		return orMissing(weight)
	}
	return weight
}

func seconds(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n) + " " + say("unit.second")
}

func (s *sheet) lotReadings(f lotFile) {
	if len(f.Readings) == 0 {
		return
	}
	rows := [][]labels.Cell{}
	for _, d := range f.Readings {
		row := labels.Row(s.w.moment(d.At), joined(" · ", s.readingLine(d.DensityReading, logEntry{Solids: d.Solids, Correction: d.Correction}), s.amended(d.Row)), s.r.doer(d.Row))
		if d.Struck {
			row = s.strike(row, len(row)-1, d.Row)
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
			who, reason = s.r.doer(p.Last.Row), p.Last.Reason
			if p.Last.Automatic {
				who = say("packet.sheet.by_rule", "Who", who)
			}
		}
		filled := ""
		if p.Units != nil {
			filled = strconv.Itoa(*p.Units) + numbersOf(p)
		}
		rows = append(rows, labels.Row(strconv.Itoa(p.Number), word("life", p.State), orMissing(filled), strconv.Itoa(p.Shipped),
			strconv.Itoa(p.Returned), strconv.Itoa(p.Samples+p.Broken), strconv.Itoa(p.OnHand), act, who, reason))
	}
	columns := []labels.Column{column("part", 0.8), column("state", 1.5), column("units", 2), column("shipped", 1.4), column("back", 1),
		column("samples_broken", 1.5), column("on_hand", 1.1), column("disposition", 3), column("who", 1.8), column("reason", 5)}
	s.Table(columns, rows)
}

// numbersOf says which bottles of a divided lot a part is.
func numbersOf(p records.PartShelf) string {
	if p.FirstBottle == nil || p.LastBottle == nil {
		return ""
	}
	key := "packet.sheet.numbers"
	if _, _, exact := p.Numbers(); !exact {
		key = "packet.sheet.some_of"
	}
	return " " + say(key, "First", *p.FirstBottle, "Last", *p.LastBottle)
}

// answered says the finding a text answers as it reads now; its code where it is no longer found.
func (s *sheet) answered(f lotFile, a records.CorrectiveAction) string {
	for _, finding := range f.Findings {
		if finding.Code == a.Finding && finding.About == a.AboutID {
			return finding.Words(language, s.w.units).What
		}
	}
	return a.Finding
}

// actions writes the owner's four-part texts.
func (s *sheet) actions(f lotFile) {
	for _, a := range f.Actions {
		s.Paragraph(say("packet.sheet.action", "Finding", s.answered(f, a), "At", s.w.moment(a.At), "Who", s.r.doer(a.Row)))
		s.Notes(say("packet.sheet.action_problem", "Text", a.Problem), say("packet.sheet.action_recurrence", "Text", a.Recurrence),
			say("packet.sheet.action_evaluation", "Text", a.Evaluation), say("packet.sheet.action_commerce", "Text", a.Commerce))
	}
}
