package packet

import (
	"strconv"
	"time"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// log writes the boil log: the fire, then every entry with its clock and the minutes since the fire was lit. A struck
// entry stays, struck through.
func (s *sheet) log(f runFile) {
	rows := [][]labels.Cell{labels.Row(s.w.clock(f.FireLitAt, f.FireLitAt), "0", say("packet.log.fire_lit"), "", s.r.doer(f.Row))}
	for _, l := range f.Log {
		what, value := s.logLine(l)
		value = joined(" · ", value, s.amended(l.Row), s.late(l.Row, l.At))
		row := labels.Row(s.w.clock(l.At, f.FireLitAt), minutes(f.FireLitAt, l.At), what, value, s.r.doer(l.Row))
		if l.Row.Struck {
			row = s.strike(row, 3, l.Row)
		}
		rows = append(rows, row)
	}
	if f.Drawn == nil {
		rows = append(rows, labels.Row("", "", say("packet.log.drawn_off"), say("word.not_recorded"), ""))
	}
	clock, since := column("clock", 1.7), column("minutes", 1.1)
	since.Align = labels.AlignRight
	s.Table([]labels.Column{clock, since, column("what", 3), column("reading", 7.5), column("who", 2.2)}, rows)
}

// minutes since the fire was lit.
func minutes(since, at time.Time) string { return strconv.Itoa(int(at.Sub(since).Minutes())) }

// strike draws a row through and says who took it back and why, in its roomiest cell where that is empty, else in the last.
func (s *sheet) strike(row []labels.Cell, roomiest int, r records.Row) []labels.Cell {
	for i := range row {
		row[i].Struck = row[i].Text != ""
	}
	at := roomiest
	note := say("packet.sheet.struck", "Who", s.r.name(r.DoneBy), "Why", r.Why)
	if row[at].Text != "" {
		at = len(row) - 1
		note = joined("; ", row[at].Text, note)
	}
	row[at] = labels.Cell{Text: note, Style: labels.Italic}
	return row
}

// lateAfter is how long after the event an entry counts as late (our choice, no source).
const lateAfter = 30 * time.Minute

// late says when a first entry was written long after what it records.
func (s *sheet) late(r records.Row, at time.Time) string {
	if r.Revision != 1 || r.WrittenAt.Sub(at) <= lateAfter {
		return ""
	}
	return say("packet.sheet.late", "At", s.w.moment(r.WrittenAt))
}

// logLine gives what a line of the log is and what was read.
func (s *sheet) logLine(l logEntry) (what, value string) {
	switch {
	case l.Reading != nil:
		return word("packet.log.stage", l.Reading.Stage), s.readingLine(*l.Reading, l)
	case l.Addition != nil:
		a := *l.Addition
		return say("packet.log.addition"), joined(" · ", a.Substance, orMissing(quantity(s.w, a.AmountEntered, a.Amount, hazards.UnitGrams)))
	case l.WashOut != nil:
		return say("packet.log.wash_out"), l.WashOut.Note
	case l.Moved != nil:
		return s.movedLine(*l.Moved)
	case l.Entry.What == records.EntryDrawnOff:
		return endedAs(l.Entry.Outcome), s.entryLine(*l.Entry)
	}
	return word("packet.log", l.Entry.What), s.entryLine(*l.Entry)
}

func (s *sheet) entryLine(e records.BoilEntry) string {
	value := s.w.temperature(e.TemperatureEntered, e.Temperature)
	if e.Temperature != nil {
		value = joined(" · ", value, orNone(s.r.optionalName(e.InstrumentID), "packet.log.no_instrument"))
	}
	if e.What == records.EntryDrawnOff {
		volume := estimatedIf(s.w.volume(e.VolumeEntered, e.Volume), e.Estimated && e.Volume != nil)
		if volume != "" || e.Outcome == records.OutcomeSyrup {
			value = joined(" · ", say("packet.log.volume", "Volume", orMissing(volume)), value)
		}
		if e.Heel != nil {
			value = joined(" · ", value, say("packet.log.heel_left", "Volume", s.w.volume(e.HeelEntered, e.Heel)))
		}
	}
	if e.SupplyLotID != nil {
		value = joined(" · ", value, s.r.optionalName(e.SupplyLotID))
	}
	return joined(" · ", value, e.Note)
}

// readingLine is a density reading as typed, its temperature and instrument, and the true solids it means.
func (s *sheet) readingLine(d records.DensityReading, l logEntry) string {
	typed := d.ReadingEntered
	if typed == "" {
		typed = strconv.FormatFloat(d.Reading, 'f', -1, 64) + " " + scaleWord(d)
	}
	at := ""
	if t := s.w.temperature(d.TemperatureEntered, d.Temperature); t != "" {
		at = say("packet.log.at_temperature", "Temperature", t)
	} else {
		typed = joined(" · ", typed, say("packet.log.no_temperature"))
	}
	means := say("packet.log.unusable")
	if l.Solids != nil {
		means = s.w.solids(l.Solids)
	}
	if l.Correction != nil {
		means = joined(" · ", means, l.Correction.Words(language, s.w.units))
	}
	return joined(" · ", joined(" ", typed, at), orNone(s.r.optionalName(d.InstrumentID), "packet.log.no_instrument"), means, d.Note)
}

// orNone says what is missing where it stands among other things.
func orNone(s, key string) string {
	if s == "" {
		return say(key)
	}
	return s
}

func scaleWord(d records.DensityReading) string {
	if d.Scale == "Be" {
		return say("unit.baume")
	}
	return say("unit.brix")
}

// additions writes what was put in and what was answered about it. Times count from the record's own beginning.
func (s *sheet) additions(of string, since time.Time, list []records.Addition) {
	rows := [][]labels.Cell{}
	for _, a := range list {
		allergens := ""
		if a.Allergens != nil {
			if allergens = *a.Allergens; allergens == "" {
				allergens = say("word.none")
			}
		}
		into := s.r.name(a.ToID)
		if a.ToID == of {
			into = say("packet.sheet.kettle_word")
		}
		rows = append(rows, labels.Row(s.w.clock(a.At, since), a.Substance, word("packet.use", a.Use), into,
			orMissing(quantity(s.w, a.AmountEntered, a.Amount, hazards.UnitGrams)), orMissing(s.r.optionalName(a.SupplyLotID)),
			orMissing(yesNo(a.Stays)), orMissing(allergens), orMissing(yesNo(a.Sulfites)), s.r.doer(a.Row)))
	}
	s.Table([]labels.Column{column("addition", 1.6), column("substance", 2), column("use", 1.7), column("into", 1.6), column("amount", 1.8),
		column("supply_lot", 2), column("stays", 1.7), column("allergens", 1.8), column("sulfites", 1.6), column("who", 1.8)}, rows)
}
