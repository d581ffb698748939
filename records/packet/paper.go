package packet

import (
	"fmt"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
)

// The blank sheets for when all else fails.
const (
	PaperBoil = "boil"
	PaperFill = "fill"
	PaperCut  = "cut"
)

// Papers lists the blank sheets.
func Papers() []string { return []string{PaperBoil, PaperFill, PaperCut} }

// handRow is the height of a row for wet hands (our choice, no source).
const handRow labels.Millimeters = 9.5

// blankSheet is a blank sheet being drawn.
type blankSheet struct {
	*labels.Document
	lang text.Language
	name string
}

// BlankSheet draws a sheet of ruled paper to be filled in by hand: what has to be recorded is marked, units stand to be
// circled. The same house gives the same bytes.
func BlankSheet(house records.House, name string, paper labels.Paper, lang text.Language) ([]byte, error) {
	draw := map[string]func(*blankSheet){PaperBoil: (*blankSheet).boil, PaperFill: (*blankSheet).fill, PaperCut: (*blankSheet).cut}[name]
	if draw == nil {
		return nil, fmt.Errorf("blank sheet %q: %w", name, records.ErrNotFound)
	}
	title := text.Say(lang, "paper."+name)
	s := &blankSheet{lang: lang, name: name, Document: labels.NewDocument(paper, labels.Meta{Title: title + " · " + house.Name, Author: house.Name,
		At: records.Head(&house).WrittenAt, Language: lang})}
	s.Dense()
	s.Title(title, house.Name, "")
	draw(s)
	return s.Bytes()
}

func (s *blankSheet) say(key string) string { return text.Say(s.lang, key) }

// blank is a box; must marks a required record.
func (s *blankSheet) blank(key, units string, width float64, must bool) labels.Blank {
	if units != "" {
		units = s.say("paper.unit." + units)
	}
	return labels.Blank{Name: s.say("paper.box." + key), Units: units, Width: width, Must: must}
}

// head is a column of the rows.
func (s *blankSheet) head(key string, width float64, must bool) labels.Column {
	title := s.say("paper.column." + key)
	if must {
		title += " *"
	}
	return labels.Column{Title: title, Width: width}
}

const must, may = true, false

// boil is the boil log of one run, and how it ended.
func (s *blankSheet) boil() {
	s.Blanks(s.blank("run", "", 2, may), s.blank("day", "", 2, must), s.blank("kettle", "", 1.6, must), s.blank("fire_lit", "ampm", 2, must), s.blank("person", "", 2.6, must))
	s.Blanks(s.blank("juice_from", "", 3, must), s.blank("volume", "volume", 2.4, must), s.blank("brix", "brix", 1.6, may), s.blank("heel", "volume", 2.2, may))
	s.Blanks(s.blank("thermometer", "", 2.4, must), s.blank("water", "degrees", 2, may), s.blank("hydrometer", "", 2.4, must), s.blank("scale", "scale", 1.6, must))
	s.Small(s.say("caution.syrup") + " " + s.say("caution.fire") + " " + s.say("paper.star"))
	s.Small(s.say("paper.boil_words"))
	s.rows(32)
	s.Blanks(s.blank("drawn_off", "ampm", 2, must), s.blank("drawn_volume", "volume_estimated", 3, must), s.blank("into", "", 2, may), s.blank("heel_left", "volume", 2, may))
	s.Blanks(s.blank("finish", "scale", 2.2, must), s.blank("finish_temperature", "degrees", 2, must), s.blank("finish_instrument", "", 2.4, must), s.blank("finish_time", "ampm", 1.8, must))
	s.PageBreak()
	s.Blanks(s.blank("run", "", 2, may), s.blank("day", "", 2, must), s.blank("person", "", 3, must))
	s.rows(0)
}

// rows are the lines of the boil log.
func (s *blankSheet) rows(keep labels.Millimeters) {
	s.Ruled([]labels.Column{s.head("time", 1.3, must), s.head("what", 2.1, may), s.head("temperature", 1.4, may), s.head("reading", 1.5, may), s.head("left", 1.4, may),
		s.head("note", 3.6, may), s.head("who", 1, may)}, handRow, keep)
}

// fill is one lot: its checks, and the count.
func (s *blankSheet) fill() {
	s.Blanks(s.blank("lot", "", 2.4, may), s.blank("day", "", 1.8, must), s.blank("from", "", 2.6, must), s.blank("person", "", 2.2, must))
	s.Blanks(s.blank("product", "", 2, must), s.blank("container", "", 2, must), s.blank("bottles_lot", "", 2.2, must), s.blank("closures_lot", "", 2.2, must))
	s.Blanks(s.blank("first_bottle", "ampm", 1.6, must), s.blank("thermometer", "", 2.2, must), s.blank("scale_used", "", 2.2, must), s.blank("tare", "weight", 1.8, may))
	s.Small(s.say("caution.syrup") + " " + s.say("caution.taste") + " " + s.say("paper.star"))
	s.Small(s.say("paper.fill_words"))
	s.Ruled([]labels.Column{s.head("time", 1.3, must), s.head("bottle_number", 1.1, may), s.head("capping", 1.6, must), s.head("closure", 1.2, may), s.head("turned", 1.2, may),
		s.head("gross", 1.4, may), s.head("net", 1.4, must), s.head("tank", 1.2, may), s.head("note", 2.3, may), s.head("who", 0.9, may)}, handRow, 16)
	s.Blanks(s.blank("last_bottle", "ampm", 2, must), s.blank("count", "estimated", 2.4, must), s.blank("broken", "", 1.4, may), s.blank("left_over", "volume", 2, may))
}

// cut is a day or more of cutting, one cut a row.
func (s *blankSheet) cut() {
	s.Small(s.say("caution.mill") + " " + s.say("paper.star"))
	s.Small(s.say("paper.cut_words"))
	s.Ruled([]labels.Column{s.head("day", 1.5, must), s.head("planting", 2.2, must), s.head("weight", 1.8, may), s.head("counted", 1.8, may), s.head("harvester", 1.8, must),
		s.head("finished", 1.3, may), s.head("waits", 1.7, may), s.head("high", 1.4, may), s.head("frozen", 1.5, may), s.head("note", 1.7, may)}, 12, 0)
}
