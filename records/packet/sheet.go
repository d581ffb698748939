package packet

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"canewright/hazards"
	"canewright/labels"
	"canewright/records"
)

// sheet is a batch sheet being drawn.
type sheet struct {
	*labels.Document
	r     *reader
	w     words
	house records.House
	said  map[string]bool // findings already on the sheet
	about string          // the run or lot the sheet is of: its block needs no heading of its own
	was   map[string][]amendment
	set   setting
}

// BatchSheet draws everything about one run and its lots, or about one lot and each of the runs it was made from, as a
// PDF. What is not recorded says so; what was amended shows what it was. The same records give the same bytes. Errors:
// records.ErrNotFound when the id is neither a run's nor a lot's.
func BatchSheet(ctx context.Context, src records.Source, id string, opt Options) ([]byte, error) {
	r := newReader(ctx, src)
	house := r.house()
	runs, lots, title, err := r.subjects(id)
	if err != nil {
		return nil, err
	}
	var runFiles []runFile
	for _, run := range runs {
		runFiles = append(runFiles, r.runFile(run))
	}
	var lotFiles []lotFile
	for _, lot := range lots {
		lotFiles = append(lotFiles, r.lotFile(lot))
	}
	r.readNames(runFiles, lotFiles)
	head := r.head()
	if r.err != nil {
		return nil, fmt.Errorf("batch sheet of %s: %w", id, r.err)
	}
	meta := labels.Meta{Title: title, Author: house.Name, At: head.At, Language: language, Head: head.Short()}
	var s *sheet
	for _, set := range []setting{roomy, tight, tightest, tight} {
		s = &sheet{Document: labels.NewDocument(labels.Letter(), meta), r: r, w: words{opt.units(), opt.zone(house)}, house: house,
			said: map[string]bool{}, about: id, set: set}
		if set != roomy {
			s.Dense()
		}
		s.readAmendments()
		s.draw(title, runFiles, lotFiles)
		if r.err != nil {
			return nil, fmt.Errorf("batch sheet of %s: %w", id, r.err)
		}
		if s.PageCount() <= sheetPages {
			break
		}
	}
	return s.Bytes()
}

// setting is how close a sheet is set: the next closer one is taken when it needs too many pages; where none is close enough,
// the picture need not be low.
type setting int

const (
	roomy setting = iota
	tight
	tightest // the picture of the boil is low as well
)

// sheetPages is how many pages a batch sheet has; one that needs more is set closer.
const sheetPages = 2

// subjects are the runs and lots of a sheet, and its title.
func (r *reader) subjects(id string) (runs, lots []string, title string, err error) {
	kind, err := records.KindOf(r.ctx, r.src, id)
	if err != nil {
		return nil, nil, "", fmt.Errorf("batch sheet: %w", err)
	}
	switch kind {
	case records.KindRun:
		run := get[records.Run](r, id)
		return []string{id}, r.lotsOf(id), say("packet.sheet.title_run", "Code", run.Code), r.err
	case records.KindLot:
		lot := get[records.Lot](r, id)
		back, err := records.TraceBack(r.ctx, r.src, id)
		r.fail(err)
		runs := ofKind(near(back, id, true, records.KindRun), records.KindRun)
		slices.SortFunc(runs, func(a, b string) int { return strings.Compare(r.name(a), r.name(b)) })
		return runs, []string{id}, say("packet.sheet.title_lot", "Code", records.PrintedCode(lot.Code)), r.err
	}
	return nil, nil, "", fmt.Errorf("batch sheet: record %s is a %s, give a run or a lot: %w", id, kind, records.ErrNotFound)
}

// readNames reads every person, instrument and record the lines will name, so that the head counts them too.
func (r *reader) readNames(runs []runFile, lots []lotFile) {
	for _, f := range r.facts() {
		row := records.Head(f)
		r.name(row.DoneBy)
		r.name(row.WrittenBy)
	}
	for _, run := range runs {
		for _, l := range run.Into {
			r.name(l.FromID)
		}
		for _, l := range run.Log {
			if l.Entry != nil {
				r.instrument(l.Entry.InstrumentID)
				r.optionalName(l.Entry.SupplyLotID)
			}
			if l.Moved != nil {
				r.name(l.Moved.ToID)
			}
		}
		for _, p := range run.Pressings {
			r.instrument(p.InstrumentID)
		}
		r.readAdditions(run.Additions)
	}
	for _, lot := range lots {
		r.readAdditions(lot.Additions)
		for _, l := range lot.Sources {
			r.name(l.FromID)
		}
		for _, c := range lot.Checks {
			r.instrument(c.InstrumentID)
			r.instrument(c.ScaleID)
		}
		for _, supply := range []*records.SupplyLot{lot.Bottles, lot.Closures} {
			if supply != nil {
				r.name(supply.SupplierID)
			}
		}
	}
}

func (r *reader) readAdditions(list []records.Addition) {
	for _, a := range list {
		r.name(a.ToID)
		r.optionalName(a.SupplyLotID)
	}
}

// facts lists what was read, in order of id.
func (r *reader) facts() []records.Fact {
	facts := make([]records.Fact, 0, len(r.seen))
	for _, f := range r.seen {
		facts = append(facts, f)
	}
	slices.SortFunc(facts, func(a, b records.Fact) int { return strings.Compare(records.Head(a).ID, records.Head(b).ID) })
	return facts
}

func (s *sheet) draw(title string, runs []runFile, lots []lotFile) {
	place := ""
	if len(runs) > 0 {
		place = runs[0].Site.Name
	} else if len(lots) > 0 {
		place = lots[0].Site.Name
	}
	s.Title(title, joined(" · ", s.house.Name, place, oneLine(s.house.Address), s.house.Telephone), "")
	if len(lots) == 1 && lots[0].ID == s.about {
		s.lot(lots[0])
		for _, run := range runs {
			s.run(run)
		}
	} else {
		for _, run := range runs {
			s.run(run)
		}
		if len(lots) == 0 {
			s.Heading(say("packet.sheet.lots"))
			s.Paragraph(say("packet.sheet.no_lots"))
		}
		for _, lot := range lots {
			s.lot(lot)
		}
	}
	s.amendments()
}

// ownSources stand for what this program or the trade asks without a text to cite.
var ownSources = []string{"source.own_rule", "source.common_practice"}

// block begins the block of a run or lot, unless the title has said it.
func (s *sheet) block(id, heading string) {
	if id != s.about {
		s.Heading(heading)
	}
}

// findings writes what was judged, the gravest first, each by the weight of its rule. What the sheet has said is not
// said again.
func (s *sheet) findings(findings []hazards.Finding) {
	var fresh []hazards.Finding
	for _, f := range findings {
		if key := f.Level.String() + s.findingLine(f); !s.said[key] {
			s.said[key] = true
			fresh = append(fresh, f)
		}
	}
	if len(findings) > 0 && len(fresh) == 0 {
		return
	}
	s.Heading(say("packet.sheet.findings"))
	if len(findings) == 0 {
		s.Paragraph(say("packet.sheet.no_findings"))
	}
	for _, f := range fresh {
		s.Flag(labels.Weight(f.Level), say("level."+f.Level.String()), s.findingLine(f))
	}
}

// findingLine is what was found, about what, what to do where something is asked, and the source where there is one
// outside this program.
func (s *sheet) findingLine(f hazards.Finding) string {
	w := f.Words(language, s.w.units)
	line := w.What
	if f.AboutName != "" && !strings.HasPrefix(w.What, f.AboutName) {
		line = f.AboutName + ": " + line
	}
	if f.Level >= hazards.Check {
		line = joined(" ", line, w.Next)
	}
	if f.Level > hazards.Within && w.Source != "" && !slices.Contains(ownSources, f.Source) {
		line += " [" + w.Source + "]"
	}
	return line
}
