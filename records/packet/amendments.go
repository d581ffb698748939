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
	records.KindAddition, records.KindWashOut, records.KindLink, records.KindLot, records.KindPart, records.KindFillCheck, records.KindFillEnd,
	records.KindSupplyLot, records.KindCorrectiveAction, records.KindApplication, records.KindShelfEntry}

// amendments writes every amended or struck record of the sheet: what it was, drawn through, and what it is.
func (s *sheet) amendments() {
	s.Heading(say("packet.sheet.amendments"))
	rows := [][]labels.Cell{}
	for _, a := range s.r.amendments(s.r.facts()) {
		if a.counted() || a.personal() || !slices.Contains(aboutSheet, a.Fact.Kind()) {
			continue
		}
		name := joined(" ", word("kind", string(a.Fact.Kind())), s.r.name(records.Head(a.Fact).ID))
		now := labels.Cell{Text: orMissing(s.r.value(s.w, a.Fact.Kind(), a.Field, a.New))}
		was := labels.Cell{Text: orMissing(s.r.value(s.w, a.Fact.Kind(), a.Field, a.Old)), Struck: a.Old != ""}
		field := fieldWord(a.Fact.Kind(), a.Field)
		if a.Field == "struck" {
			field, was, now = say("packet.sheet.taken_back"), labels.Cell{}, labels.Cell{Text: say("word.struck")}
		}
		if a.Field == "" {
			was, now = labels.Cell{}, labels.Cell{}
		}
		rows = append(rows, []labels.Cell{{Text: name}, {Text: field}, was, now, {Text: s.r.name(a.By)}, {Text: s.w.moment(a.At)}, {Text: a.Why}})
	}
	s.Table([]labels.Column{column("record", 2.6), column("what", 1.8), column("was", 2.2), column("now", 2.2), column("who", 1.8),
		column("written", 2.2), column("why", 2.8)}, rows)
}

// fieldWord is what a form calls a column, where it calls it anything.
func fieldWord(kind records.Kind, field string) string {
	if key := string(kind) + "." + field; text.Has(language, key) {
		return say(key)
	}
	return strings.ReplaceAll(field, "_", " ")
}
