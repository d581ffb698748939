package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// labelsPage asks what is printed, on which stock, from which cell and how many, and shows it as it will come out.
type labelsPage struct {
	Page
	Code, Product, Preview, Lot, Show, NewStock string
	Sorts                                       []Step      // labels, case labels, shelf cards
	Refused                                     string      // why nothing can be printed at all
	Says                                        []line      // what the label says
	Check                                       *labelCheck // what the label checker finds, drawn by its own partial
	MayPrint                                    bool
	Form                                        *form
	Picture                                     *labelPicture
	Balance                                     []line
	Count                                       *form // what became of the labels; nil for a reader
	Tests                                       []Step
	Match                                       string // where tray tags are held against labels
}

// labelPrint is what the form takes.
type labelPrint struct {
	what, stockID, why string
	start, count       int
}

// labelSorts are what is printed for a lot, in the order of their links.
var labelSorts = []string{records.PrintLabels, records.PrintCaseLabels, records.PrintShelfCards}

// labelPrintForm binds what is asked for. What is printed is carried along from the link that led here; asked without it
// means bottle labels.
func labelPrintForm(f *form, p *labelPrint, again bool) {
	if f.Hidden("what", &p.what); p.what == "" {
		p.what = records.PrintLabels
		f.named("what").Value = p.what
	}
	f.Pick("stock", &p.stockID, f.choices(records.KindLabelStock), required)
	f.Whole("start", &p.start, 1, 9999)
	f.Whole("count", &p.count, 1, 2000)
	if again {
		f.Text("why", &p.why, 0, 200)
	}
}

// newLabelPrint offers as many as the lot needs on the stock used last for them, from the cell after the last one used.
func (a *App) newLabelPrint(ctx context.Context, f *form, lot records.Lot, what string) (*labelPrint, error) {
	p := &labelPrint{what: what, stockID: f.only(records.KindLabelStock), start: 1}
	b, err := records.LabelBalanceOf(ctx, a.store, lot.ID)
	if err != nil {
		return nil, err
	}
	container, err := records.Get[records.Container](ctx, a.store, lot.ContainerID)
	if err != nil {
		return nil, err
	}
	switch {
	case what == records.PrintShelfCards:
		p.count = 1
	case what == records.PrintCaseLabels && container.UnitsPerCase != nil:
		p.count = (b.ToLabel + *container.UnitsPerCase - 1) / *container.UnitsPerCase
	case what == records.PrintLabels && b.Printed < b.ToLabel:
		p.count = b.ToLabel - b.Printed
	case what == records.PrintLabels:
		p.count = b.ToLabel
	}
	return p, a.stockUsedLast(ctx, p, lot)
}

// stockUsedLast chooses the stock the owner set for the product in its container, else the one that was printed on last for
// the same use, and goes on after the last cell used of it.
func (a *App) stockUsedLast(ctx context.Context, p *labelPrint, lot records.Lot) error {
	stocks, err := records.List[records.LabelStock](ctx, a.store, "")
	if err != nil {
		return err
	}
	prints, err := records.List[records.Print](ctx, a.store, "what IN ('labels', 'case_labels', 'shelf_cards') ORDER BY at DESC, id DESC LIMIT 50")
	if err != nil {
		return err
	}
	for _, print := range prints {
		if stock, _, ok := printedOn(print, stocks); ok && print.What == p.what {
			p.stockID = stock.ID
			break
		}
	}
	if item, err := records.TradeItemOf(ctx, a.store, lot.ProductID, lot.ContainerID); err != nil {
		return err
	} else if item != nil && item.LabelStockID != nil && p.what == records.PrintLabels {
		p.stockID = *item.LabelStockID
	}
	for _, print := range prints {
		if stock, start, ok := printedOn(print, stocks); ok && stock.ID == p.stockID {
			p.start = (start-1+print.Copies)%stock.Stock().Cells() + 1
			break
		}
	}
	return nil
}

// printedOn is the stock something was printed on and its first cell. Records of the first release hold both in the note.
func printedOn(print records.Print, stocks []records.LabelStock) (records.LabelStock, int, bool) {
	for _, s := range stocks {
		if print.LabelStockID != nil && print.StartCell != nil && *print.LabelStockID == s.ID {
			return s, *print.StartCell, true
		}
		if start, ok := cellOfNote(print.Note, s.Name); ok && print.LabelStockID == nil {
			return s, start, true
		}
	}
	return records.LabelStock{}, 0, false
}

// stockNote says on a print which stock was used and from which cell; cellOfNote reads it back.
func stockNote(stock string, start int) string { return fmt.Sprintf("%s, from cell %d", stock, start) }

func cellOfNote(note, stock string) (int, bool) {
	var start int
	rest, ok := strings.CutPrefix(note, stock+", from cell ")
	_, err := fmt.Sscanf(rest, "%d", &start)
	return start, ok && err == nil && start > 0
}

// stockNoted finds what stockNote wrote, and what was written after it.
var stockNoted = regexp.MustCompile(`^(.+), from cell (\d+)(; .*)?$`)

// printNote is the note of a print in the reader's words: the stock and the first cell are kept in English.
func (w words) printNote(note string) string {
	found := stockNoted.FindStringSubmatch(note)
	if found == nil {
		return note
	}
	return w.say("lot_page.print_on", "Stock", found[1], "Start", found[2]) + found[3]
}

// showLabels shows the form: a fresh one, or what the button Show asks for in the address.
func (a *App) showLabels(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	if c.Query("stock") != "" || c.Query("start") != "" {
		return a.showAskedLabels(c, lot)
	}
	what := c.Query("what")
	if what == "" {
		what = records.PrintLabels
	}
	f := a.newForm(c, "label_print", lotURL(lot.ID)+"/labels")
	p, err := a.newLabelPrint(c.Request.Context(), f, lot, what)
	if err != nil {
		return err
	}
	again, err := records.Printings(c.Request.Context(), a.store, lot.ID, what)
	if err != nil {
		return err
	}
	labelPrintForm(f, p, again > 0)
	if err := f.Err(); err != nil {
		return err
	}
	return a.renderLabels(c, http.StatusOK, lot, f, p)
}

// showAskedLabels shows the form again with the pictures of what is asked for.
func (a *App) showAskedLabels(c *gin.Context, lot records.Lot) error {
	f, p, err := a.askedLabels(c, lot)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if !f.OK() {
		status = http.StatusUnprocessableEntity
	}
	return a.renderLabels(c, status, lot, f, p)
}

// askedLabels reads what the address asks for.
func (a *App) askedLabels(c *gin.Context, lot records.Lot) (*form, *labelPrint, error) {
	f := a.newForm(c, "label_print", lotURL(lot.ID)+"/labels")
	f.raw = c.Request.URL.Query()
	return a.readLabels(c, f, lot)
}

// readLabels reads a form of labels. What is wrong stands at its field.
func (a *App) readLabels(c *gin.Context, f *form, lot records.Lot) (*form, *labelPrint, error) {
	p := &labelPrint{}
	what := f.raw.Get("what")
	if what == "" {
		what = records.PrintLabels
	}
	again, err := records.Printings(c.Request.Context(), a.store, lot.ID, what)
	if err != nil {
		return nil, nil, err
	}
	labelPrintForm(f, p, again > 0)
	return f, p, f.Err()
}

func (a *App) renderLabels(c *gin.Context, status int, lot records.Lot, f *form, p *labelPrint) error {
	return a.renderLabelsWith(c, status, lot, f, p, nil)
}

// renderLabelsWith draws the page; a count that was posted wrongly comes back in its place.
func (a *App) renderLabelsWith(c *gin.Context, status int, lot records.Lot, f *form, p *labelPrint, count *form) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	url := lotURL(lot.ID) + "/labels"
	f.Cancel = lotURL(lot.ID)
	page := &labelsPage{Code: records.PrintedCode(lot.Code), Product: records.Name(ctx, a.store, lot.ProductID), Lot: lotURL(lot.ID), Form: f,
		Show: url, Preview: url + "/preview", MayPrint: v.may(crew), Count: count}
	for _, sort := range labelSorts {
		page.Sorts = append(page.Sorts, Step{Name: v.words().say("print.what." + sort), URL: url + "?what=" + sort, Here: sort == p.what})
	}
	if len(f.choices(records.KindLabelStock)) == 0 && v.may(owner) {
		page.NewStock = a.kinds.of[records.KindLabelStock].path() + "/new"
	}
	for _, stock := range f.choices(records.KindLabelStock) {
		page.Tests = append(page.Tests, Step{Name: stock.Name, URL: "/stock/" + stock.Value + "/test-page"})
	}
	if v.may(crew) {
		page.Match = "/filler/match"
	}
	if err := a.whatLabelsSay(c, page, lot, p); err != nil {
		return err
	}
	if err := a.labelBalance(c, page, lot); err != nil {
		return err
	}
	var err error
	if page.Check, err = a.labelCheckOf(c, lot.ID); err != nil {
		return err
	}
	if page.Trail, err = a.trail(ctx, v.words(), &lot); err != nil {
		return err
	}
	return a.render(c, status, "lot/labels", page)
}

// whatLabelsSay puts the lines of the label and the pictures on the page, or why there are none.
func (a *App) whatLabelsSay(c *gin.Context, page *labelsPage, lot records.Lot, p *labelPrint) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	label, err := records.LabelOf(ctx, a.store, lot.ID)
	if err == nil {
		err = records.MayLabel(ctx, a.store, lot.ID)
	}
	var refused refusal
	var invalid records.Invalid
	switch {
	case errors.As(err, &refused):
		page.Refused = refused.Say(v.lang)
		return nil
	case errors.As(err, &invalid):
		page.Refused = v.words().say(invalid[0].Key, invalid[0].Args...)
		return nil
	case err != nil:
		return err
	}
	page.Says = labelLines(v.words(), label)
	page.Picture, err = a.pictureOf(c, lot, p)
	return err
}

// labelLines are the lines of a label as a person checks them before printing.
func labelLines(w words, l labels.Label) []line {
	var lines []line
	for _, field := range []struct{ key, text string }{
		{"labels.line.name", l.ProductName}, {"labels.line.ingredients", l.Ingredients}, {"labels.line.allergens", l.Allergens},
		{"labels.line.net", strings.Trim(l.NetUS+", "+l.NetMetric, ", ")}, {"labels.line.maker", l.Maker}, {"labels.line.address", l.Address},
		{"labels.line.telephone", l.Telephone}, {"labels.line.lot", l.LotCode}, {"labels.line.best_by", l.BestBy},
		{"labels.line.claims", l.Claims}, {"labels.line.caution", l.Caution}, {"labels.line.storage", l.Storage}, {"labels.line.statement", l.Statement}, {"label_print.qr", l.QR},
	} {
		if field.text != "" {
			lines = append(lines, line{Label: w.say(field.key), Text: field.text})
		}
	}
	if l.Nutrition != nil {
		lines = append(lines, line{Label: w.say("labels.line.nutrition"), Text: l.Nutrition.String()})
	}
	return lines
}

// faceOf makes the face of a lot that is asked for. Errors: refusals, records.Invalid, ErrNotFound for another sort.
func (a *App) faceOf(ctx context.Context, lot records.Lot, what string) (labels.Face, error) {
	if err := records.MayLabel(ctx, a.store, lot.ID); err != nil {
		return nil, err
	}
	switch what {
	case records.PrintLabels:
		return asFace(records.LabelOf(ctx, a.store, lot.ID))
	case records.PrintCaseLabels:
		return asFace(records.CaseLabelOf(ctx, a.store, lot.ID))
	case records.PrintShelfCards:
		return asFace(records.ShelfCardOf(ctx, a.store, lot.ID))
	}
	return nil, fmt.Errorf("labels %q: %w", what, records.ErrNotFound)
}

func asFace[T labels.Face](face T, err error) (labels.Face, error) { return face, err }

// sheetOfLabels draws what a read form asks for; what is wrong with it stands at its field, and pdf is then nil.
func (a *App) sheetOfLabels(ctx context.Context, v *visitor, f *form, p *labelPrint, lot records.Lot) (pdf []byte, stock records.LabelStock, err error) {
	if stock, err = records.Get[records.LabelStock](ctx, a.store, p.stockID); err != nil {
		return nil, stock, err
	}
	face, err := a.faceOf(ctx, lot, p.what)
	var refused refusal
	if errors.As(err, &refused) {
		f.Wrong = append(f.Wrong, Wrong{Message: refused.Say(v.lang)})
		return nil, stock, nil
	}
	if err != nil {
		if f.take(err) {
			err = nil
		}
		return nil, stock, err
	}
	pdf, err = labels.PrintFaces(stock.Stock(), p.start, labels.Repeated(face, p.count), labels.Meta{Title: records.PrintedCode(lot.Code), Author: v.house.Name, At: lot.StartedAt})
	if errors.As(err, &refused) {
		f.refuseAt(f.named(labelField(err)), refused.Say(v.lang))
		return nil, stock, nil
	}
	return pdf, stock, err
}

// labelField is the field a refusal of the label room is about.
func labelField(err error) string {
	if errors.As(err, new(labels.StartBeyond)) {
		return "start"
	}
	return "stock"
}

// refuseAt notes a refusal that is in words already.
func (f *form) refuseAt(field *Field, message string) {
	if field.Error == "" {
		field.Error = message
		f.Wrong = append(f.Wrong, Wrong{Label: field.Label, Message: message, Target: field.ID})
	}
}

// previewLabels draws the sheet without printing it. What is asked for stands in the address.
func (a *App) previewLabels(c *gin.Context) error {
	f := a.newForm(c, "label_print", "")
	f.raw = c.Request.URL.Query()
	return a.drawLabels(c, f, nil)
}

// printLabels draws the sheet and writes that it was printed; the store marks what is printed again.
func (a *App) printLabels(c *gin.Context) error {
	f, err := a.readForm(c, "label_print", "")
	if err != nil {
		return err
	}
	return a.drawLabels(c, f, func(p *labelPrint, stock records.LabelStock, lot records.Lot) error {
		note := stockNote(stock.Name, p.start)
		if p.why != "" {
			note += "; " + p.why
		}
		return a.keepPrint(c, &records.Print{OfID: lot.ID, What: p.what, Copies: p.count, Note: note, LabelStockID: &stock.ID, StartCell: &p.start})
	})
}

func (a *App) drawLabels(c *gin.Context, f *form, keep func(*labelPrint, records.LabelStock, records.Lot) error) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f.Action = lotURL(lot.ID) + "/labels"
	_, p, err := a.readLabels(c, f, lot)
	if err != nil {
		return err
	}
	if f.OK() {
		pdf, stock, err := a.sheetOfLabels(c.Request.Context(), visitorOf(c), f, p, lot)
		if err != nil {
			return err
		}
		if pdf != nil && keep != nil {
			if err := keep(p, stock, lot); err != nil {
				return err
			}
		}
		if pdf != nil {
			return sendPDF(c, strings.ReplaceAll(p.what, "_", "-")+"-"+lot.Code, pdf)
		}
	}
	return a.renderLabels(c, http.StatusUnprocessableEntity, lot, f, p)
}

// lotURL is the page of a lot.
func lotURL(id string) string { return "/lot/" + url.PathEscape(id) }
