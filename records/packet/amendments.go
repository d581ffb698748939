package packet

import (
	"cmp"
	"slices"
	"strings"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
)

// amendment is one changed field of one record.
type amendment struct {
	records.Change
	Fact records.Fact // as it stands now
}

// amendments lists what changed in records, oldest change first.
func (r *reader) amendments(facts []records.Fact) []amendment {
	var list []amendment
	for _, f := range facts {
		row := records.Head(f)
		if row.Revision < 2 || r.err != nil {
			continue
		}
		changes, err := records.Changes(r.ctx, r.src, row.ID)
		r.fail(err)
		for _, c := range changes {
			list = append(list, amendment{c, f})
		}
	}
	slices.SortStableFunc(list, func(a, b amendment) int {
		return cmp.Or(a.At.Compare(b.At), strings.Compare(records.Head(a.Fact).ID, records.Head(b.Fact).ID))
	})
	return list
}

// counted tells whether this is the count that ends a filling, which is no correction.
func (a amendment) counted() bool {
	return a.Fact.Kind() == records.KindPart && a.Field == "units" && a.Old == ""
}

// personal tells whether a field belongs to the sign-in or to a private person, and is shown nowhere.
func (a amendment) personal() bool {
	return slices.Contains(omitted[a.Fact.Kind()], a.Field)
}

// aboutSheet are the kinds whose amendments a batch sheet shows: the work itself, not people and settings.
var aboutSheet = []records.Kind{records.KindCut, records.KindPressing, records.KindRun, records.KindBoilEntry, records.KindDensityReading,
	records.KindAddition, records.KindWashOut, records.KindLink, records.KindLot, records.KindPart, records.KindFillCheck, records.KindFillEvent, records.KindFillEnd,
	records.KindSupplyLot, records.KindCorrectiveAction, records.KindApplication, records.KindShelfEntry}

// readAmendments lists the amendments of what the sheet shows, by record. The text typed and the value it means change
// together and are one line.
func (s *sheet) readAmendments() {
	s.was = map[string][]amendment{}
	for _, a := range s.r.amendments(s.r.facts()) {
		if a.counted() || a.personal() || !slices.Contains(aboutSheet, a.Fact.Kind()) {
			continue
		}
		id := records.Head(a.Fact).ID
		s.was[id] = append(s.was[id], a)
	}
	for id, all := range s.was {
		s.was[id] = slices.DeleteFunc(slices.Clone(all), func(a amendment) bool { return a.typedBeside(all) })
	}
}

const typedSuffix = "_entered"

// typedBeside tells whether this is the typed text of a value that the same amendment changed.
func (a amendment) typedBeside(list []amendment) bool {
	value, ok := strings.CutSuffix(a.Field, typedSuffix)
	return ok && slices.ContainsFunc(list, func(b amendment) bool { return b.Revision == a.Revision && b.Field == value })
}

// amended says in a record's own row what it was.
func (s *sheet) amended(r records.Row) string {
	said := ""
	for _, a := range s.was[r.ID] {
		if a.Field != "" && a.Field != "struck" {
			said = joined("; ", said, say("packet.sheet.was", "Field", fieldWord(a.Fact.Kind(), a.Field), "Old", orMissing(s.oldValue(a))))
		}
	}
	return said
}

func (s *sheet) oldValue(a amendment) string { return s.r.value(s.w, a.Fact.Kind(), a.Field, a.Old) }

// amendments writes every amended or struck record of the sheet: what it was, drawn through, and what it is.
func (s *sheet) amendments() {
	s.Heading(say("packet.sheet.amendments"))
	if len(s.was) == 0 {
		s.Paragraph(say("packet.sheet.no_amendments"))
		return
	}
	rows := [][]labels.Cell{}
	for _, id := range sortedKeys(s.was) {
		for _, a := range s.was[id] {
			rows = append(rows, s.amendmentRow(a))
		}
	}
	s.Table([]labels.Column{column("record", 2.8), column("what", 2), column("was", 1.8), column("now", 1.8), column("who", 1.6),
		column("written", 2.2), column("why", 2.8)}, rows)
}

func (s *sheet) amendmentRow(a amendment) []labels.Cell {
	name := joined(" ", word("kind", string(a.Fact.Kind())), s.r.name(records.Head(a.Fact).ID))
	if at, ok := records.Columns(a.Fact)["at"].(string); ok { // which of many entries
		name = joined(", ", name, s.r.value(s.w, a.Fact.Kind(), "at", at))
	}
	field := fieldWord(a.Fact.Kind(), a.Field)
	was := labels.Cell{Text: orMissing(s.oldValue(a)), Struck: a.Old != ""}
	now := labels.Cell{Text: orMissing(s.r.value(s.w, a.Fact.Kind(), a.Field, a.New))}
	switch a.Field {
	case "struck":
		field, was, now = say("packet.sheet.taken_back"), labels.Cell{}, labels.Cell{Text: say("word.struck")}
	case "":
		was, now = labels.Cell{}, labels.Cell{}
	}
	return []labels.Cell{{Text: name}, {Text: field}, was, now, {Text: s.r.name(a.By)}, {Text: s.w.moment(a.At)}, {Text: a.Why}}
}

// fieldWord is what a form calls a column, where it calls it anything.
func fieldWord(kind records.Kind, field string) string {
	for _, key := range []string{string(kind) + "." + field, string(kind) + "." + strings.TrimSuffix(field, "_id")} {
		if text.Has(language, key) {
			return say(key)
		}
	}
	return strings.ReplaceAll(field, "_", " ")
}
