package app

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// lotRoutes are the page of a lot with the acts on its parts, its labels, the batch sheet, and what the QR leads to.
func (a *App) lotRoutes() []route {
	return []route{
		{"GET", "/lot/:id", reader, a.showLot},
		{"GET", "/lot/:id/labels", reader, a.showLabels},
		{"GET", "/lot/:id/labels/preview", reader, a.previewLabels},
		{"POST", "/lot/:id/labels", crew, a.printLabels},
		{"GET", "/sheet/:id", reader, a.previewSheet},
		{"POST", "/sheet/:id", crew, a.printSheet},
		{"POST", "/part/:id/hold", crew, a.holdLotPart},
		{"POST", "/part/:id/release", crew, a.releasePart},
		{"POST", "/part/:id/dispose", crew, a.disposePart},
		{"GET", "/part/:id/answer", crew, a.showAnswer},
		{"POST", "/part/:id/answer", crew, a.answerFinding},
	}
}

// lotPage is everything about a lot on one page.
type lotPage struct {
	Page
	Code, Product, Container string
	Struck, Open             bool
	Filler, Labels           string // addresses
	Trace, Sheet, History    string
	Net                      string // net contents
	Public                   string // what strangers see
	Amend                    string
	Sheets                   []string // addresses of photos of paper sheets
	SheetPhoto               string   // address to add one; empty for a reader
	SheetPrint               *form    // nil for a reader
	Facts                    []line
	Parts                    []shownPart
	Divide                   *divideOffer
	Findings                 []shownAnswerable
	Within                   []shownFinding
	Sources                  Table
	Taken                    []sourceLine // what was drawn into it, with quantities
	Checks                   []shownCheck
	Complaints, Prints       []ledgerLine
	LabelSigned              []signedLabel // reasons signed for a label the records contradict
}

// shownAnswerable is a finding with the answers written for it and the parts it still keeps from release.
type shownAnswerable struct {
	Finding shownFinding
	Record  string       // of the record it is about, where that is another than the lot
	Answers []ledgerLine // corrective actions
	Ask     []Step       // answer it for a part
}

// lotPageOf is the page of a lot, also for one of its parts; empty for other records.
func lotPageOf(fact records.Fact) string {
	switch f := fact.(type) {
	case *records.Lot:
		return lotURL(f.ID)
	case *records.Part:
		return lotURL(f.LotID) + "#" + partAnchor(f.Number)
	}
	return ""
}

func (a *App) showLot(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	return a.renderLot(c, http.StatusOK, lot, nil)
}

// renderLot draws the page of a lot. A form that was posted wrongly comes back in its place.
func (a *App) renderLot(c *gin.Context, status int, lot records.Lot, posted *postedAct) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w, url := v.words(), lotURL(lot.ID)
	facts, rules, err := records.LotFacts(ctx, a.store, lot.ID)
	if err != nil {
		return err
	}
	findings := hazards.JudgeLot(facts, rules)
	page := &lotPage{Code: records.PrintedCode(lot.Code), Product: records.Name(ctx, a.store, lot.ProductID), Struck: lot.Struck, Open: facts.Open,
		Container: records.Name(ctx, a.store, lot.ContainerID), Filler: "/filler/" + lot.ID, Labels: url + "/labels", Sheet: "/sheet/" + lot.ID,
		Net: url + "/net", Public: url + "/public", History: recordURL(lot.ID) + "/history"}
	if _, ok := a.routed["/trace/:id"]; ok {
		page.Trace = "/trace/" + lot.ID
	}
	if a.mayAmend(v, &lot) {
		page.Amend = recordURL(lot.ID) + "/amend"
	}
	if v.may(crew) && !lot.Struck {
		page.SheetPhoto = "/paper/photo/" + lot.ID
	}
	if page.Sheets, err = a.sheetsOf(ctx, lot.ID); err != nil {
		return err
	}
	if v.may(crew) {
		page.SheetPrint = a.newForm(c, "sheet_print", page.Sheet)
	}
	if page.Trail, err = a.trail(ctx, w, &lot); err != nil {
		return err
	}
	page.Facts = a.lotFacts(ctx, w, lot, facts)
	judged, err := records.JudgeParts(ctx, a.store, lot.ID, facts, rules)
	if err != nil {
		return err
	}
	if page.Parts, err = a.shownParts(c, lot, judged, posted); err != nil {
		return err
	}
	if v.may(crew) && !lot.Struck {
		if page.Divide, err = a.divideOffer(c, lot, nil); err != nil {
			return err
		}
	}
	if err := a.findingsOfLot(ctx, v, page, lot.ID, findings, judged); err != nil {
		return err
	}
	if err := a.aroundLot(ctx, v, page, lot, findings); err != nil {
		return err
	}
	return a.render(c, status, "lot/show", page)
}

// aroundLot fills in where the lot came from, its checks, complaints and prints.
func (a *App) aroundLot(ctx context.Context, v *visitor, page *lotPage, lot records.Lot, findings []hazards.Finding) (err error) {
	w := v.words()
	if page.Sources, err = a.sourcesOf(ctx, w, lot.ID); err != nil {
		return err
	}
	if page.Taken, err = a.sourceLines(ctx, v, lot.ID); err != nil {
		return err
	}
	if page.Checks, err = a.checksOf(ctx, v, lot.ID, findings, &fillingPage{}); err != nil {
		return err
	}
	if page.Complaints, err = a.complaintsOf(ctx, w, lot.ID); err != nil {
		return err
	}
	if page.LabelSigned, err = a.signedLabels(ctx, w, lot.ID); err != nil {
		return err
	}
	page.Prints, err = a.printsOf(ctx, w, lot.ID)
	return err
}

// lotFacts are the lot's own fields in words, its count and the solids it is judged by.
func (a *App) lotFacts(ctx context.Context, w words, lot records.Lot, facts hazards.LotFacts) []line {
	var lines []line
	for _, l := range a.named(ctx, linesOf(w, &lot)) {
		switch l.column {
		case "code", "product_id", "container_id", "ordinal", "site_id":
			continue
		case "kettle_number":
			if lot.KettleNumber == 0 {
				l.Text = w.say("lot_page.mixed")
			}
		case "note":
			if l.Missing {
				continue
			}
		}
		lines = append(lines, l)
	}
	count := line{Label: w.say("lot_page.count"), Text: w.notRecorded(), Missing: true}
	if facts.Units != nil {
		count.Text, count.Missing = w.say("count.bottles", "Count", *facts.Units), false
	}
	if ends, err := records.List[records.FillEnd](ctx, a.store, "lot_id = ?", lot.ID); err == nil && len(ends) > 0 {
		count.URL = recordURL(ends[0].ID)
	}
	solids := line{Label: w.say("lot_page.solids"), Text: w.notRecorded(), Missing: true}
	if s := hazards.LotSolids(facts); s != nil {
		solids.Text = w.say("lot_page.solids_figure", "Percent", decimal(float64(s.Percent)), "Uncertainty", decimal(float64(s.Uncertainty)))
		solids.Missing = false
	}
	who := line{Label: w.say("lot_page.who"), Text: a.writers(ctx, w, records.Head(&lot))}
	return append(lines, count, solids, who)
}

// sourcesOf lists what the syrup came through, with the share of this lot that passed through each.
func (a *App) sourcesOf(ctx context.Context, w words, lotID string) (Table, error) {
	back, err := records.TraceBack(ctx, a.store, lotID)
	if err != nil {
		return Table{}, err
	}
	table := Table{Heads: []string{w.say("lot_page.came_through"), w.say("lot_page.sort"), w.say("lot_page.share")}}
	for _, s := range back.Steps {
		if s.Kind == records.KindSupplyLot && s.Share == nil {
			continue // bottles and closures stand among the facts
		}
		share := w.notRecorded()
		if s.Share != nil {
			if share, err = w.percent(*s.Share); err != nil {
				return table, err
			}
		}
		if s.Estimated {
			share += ", " + w.say("word.estimated")
		}
		if s.Unknown {
			share += ", " + w.say("lot_page.unknown_contents")
		}
		table.Rows = append(table.Rows, TableRow{URL: recordURL(s.ID), Cells: []Cell{{Text: s.Name}, {Text: w.say("kind." + string(s.Kind))}, {Text: share, Figure: true}}})
	}
	return table, nil
}

// findingsOfLot words the findings. Under each that holds stand the answers written, and the way to answer it for every
// part it still keeps.
func (a *App) findingsOfLot(ctx context.Context, v *visitor, page *lotPage, lotID string, findings []hazards.Finding, judged []records.Judged) error {
	w := v.words()
	for _, f := range findings {
		if f.Level == hazards.Within {
			page.Within = append(page.Within, shownFindingOf(w, f))
			continue
		}
		shown := shownAnswerable{Finding: shownFindingOf(w, f)}
		if f.Level > hazards.Note && f.About != lotID {
			shown.Record = recordURL(f.About)
		}
		for _, j := range judged {
			for _, action := range j.Actions {
				if action.Finding == f.Code && action.AboutID == f.About {
					l, err := a.actionLine(ctx, w, j, action)
					if err != nil {
						return err
					}
					shown.Answers = append(shown.Answers, l)
				}
			}
			if mayAnswer(v) && f.Level == hazards.Hold && found(j, f) && !j.Answered(f) && openState(j.Shelf.State) {
				shown.Ask = append(shown.Ask, Step{Name: w.say("lot_page.answer", "Number", j.Shelf.Number), URL: answerURL(j.Shelf.ID, f)})
			}
		}
		page.Findings = append(page.Findings, shown)
	}
	return nil
}

// found tells whether a finding counts for a part.
func found(j records.Judged, f hazards.Finding) bool { return slices.ContainsFunc(j.Findings, f.Same) }

func (a *App) actionLine(ctx context.Context, w words, j records.Judged, action records.CorrectiveAction) (ledgerLine, error) {
	when, err := w.moment(action.At)
	return ledgerLine{Name: w.say("lot_page.answered", "Number", j.Shelf.Number), URL: recordURL(action.ID),
		Word: w.say("record.written", "Who", a.writers(ctx, w, records.Head(&action)), "When", when)}, err
}

// openState tells the states of a part that a release may still follow.
func openState(state string) bool {
	return state == records.StateHeld || state == records.StateRecalled || state == records.StateFilling
}

func (a *App) complaintsOf(ctx context.Context, w words, lotID string) ([]ledgerLine, error) {
	list, err := records.List[records.Complaint](ctx, a.store, "lot_id = ? ORDER BY received_at DESC, id DESC", lotID)
	if err != nil {
		return nil, err
	}
	lines := make([]ledgerLine, len(list))
	for i, k := range list {
		day, err := w.day(k.ReceivedAt)
		if err != nil {
			return nil, err
		}
		open := "lot_page.complaint_open"
		if k.ClosedAt != nil {
			open = "lot_page.complaint_closed"
		}
		lines[i] = ledgerLine{Name: w.say("lot_page.complaint", "Day", day, "About", w.say("lot_page.about."+k.About)), Word: w.say(open), URL: recordURL(k.ID)}
	}
	return lines, nil
}

func (a *App) printsOf(ctx context.Context, w words, lotID string) ([]ledgerLine, error) {
	list, err := records.List[records.Print](ctx, a.store, "of_id = ? ORDER BY at DESC, id DESC", lotID)
	if err != nil {
		return nil, err
	}
	lines := make([]ledgerLine, len(list))
	for i, p := range list {
		when, err := w.moment(p.At)
		if err != nil {
			return nil, err
		}
		said := strings.TrimSuffix(w.say("lot_page.print", "What", w.say("lot_page.print."+p.What), "Copies", p.Copies, "Note", w.printNote(p.Note)), ", ")
		if p.Reprint {
			said = w.say("lot_page.print_again", "Print", said)
		}
		lines[i] = ledgerLine{Name: said, Word: when, URL: recordURL(p.ID)}
	}
	return lines, nil
}
