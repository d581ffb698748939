package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// labelsPage asks on which stock, from which cell and how many labels are printed.
type labelsPage struct {
	Page
	Code, Product, Preview, Lot, NewStock string
	Refused                               string // why no label can be printed at all
	Says                                  []line // what the label says
	MayPrint                              bool
	Form                                  *form
}

// labelPrint is what the form takes.
type labelPrint struct {
	stockID      string
	start, count int
}

func labelPrintForm(f *form, p *labelPrint) {
	f.Pick("stock", &p.stockID, f.choices(records.KindLabelStock), required)
	f.Whole("start", &p.start, 1, 9999)
	f.Whole("count", &p.count, 1, 2000)
}

// newLabelPrint is one label for each bottle of the lot on the stock used last, from the cell after the last one used.
func (a *App) newLabelPrint(ctx context.Context, f *form, lot records.Lot) (*labelPrint, error) {
	p := &labelPrint{stockID: f.only(records.KindLabelStock), start: 1}
	ends, err := records.List[records.FillEnd](ctx, a.store, "lot_id = ?", lot.ID)
	if err != nil {
		return nil, err
	}
	if len(ends) > 0 {
		p.count = ends[0].Count
	}
	prints, err := records.List[records.Print](ctx, a.store, "what = 'labels' ORDER BY at DESC, id DESC LIMIT 1")
	if err != nil || len(prints) == 0 {
		return p, err
	}
	stocks, err := records.List[records.LabelStock](ctx, a.store, "")
	if err != nil {
		return nil, err
	}
	for _, s := range stocks {
		if start, ok := cellOfNote(prints[0].Note, s.Name); ok {
			p.stockID, p.start = s.ID, (start-1+prints[0].Copies)%s.Stock().Cells()+1
		}
	}
	return p, nil
}

// stockNote says on a print which stock was used and from which cell; cellOfNote reads it back.
func stockNote(stock string, start int) string { return fmt.Sprintf("%s, from cell %d", stock, start) }

func cellOfNote(note, stock string) (int, bool) {
	var start int
	rest, ok := strings.CutPrefix(note, stock+", from cell ")
	_, err := fmt.Sscanf(rest, "%d", &start)
	return start, ok && err == nil && start > 0
}

func (a *App) showLabels(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f := a.newForm(c, "label_print", lotURL(lot.ID)+"/labels")
	p, err := a.newLabelPrint(c.Request.Context(), f, lot)
	if err != nil {
		return err
	}
	labelPrintForm(f, p)
	if err := f.Err(); err != nil {
		return err
	}
	return a.renderLabels(c, http.StatusOK, lot, f)
}

func (a *App) renderLabels(c *gin.Context, status int, lot records.Lot, f *form) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	f.Cancel = lotURL(lot.ID)
	page := &labelsPage{Code: records.PrintedCode(lot.Code), Product: records.Name(ctx, a.store, lot.ProductID), Lot: lotURL(lot.ID), Form: f,
		Preview: lotURL(lot.ID) + "/labels/preview", MayPrint: v.may(crew)}
	if len(f.choices(records.KindLabelStock)) == 0 && v.may(owner) {
		page.NewStock = a.kinds.of[records.KindLabelStock].path() + "/new"
	}
	label, err := records.LabelOf(ctx, a.store, lot.ID)
	var refused refusal
	switch {
	case errors.As(err, &refused):
		page.Refused = refused.Say(v.lang)
	case err != nil:
		return err
	default:
		page.Says = labelLines(v.words(), label)
	}
	if page.Trail, err = a.trail(ctx, v.words(), &lot); err != nil {
		return err
	}
	return a.render(c, status, "lot/labels", page)
}

// labelLines are the lines of a label as a person checks them before printing.
func labelLines(w words, l labels.Label) []line {
	var lines []line
	for _, field := range []struct{ key, text string }{
		{"labels.line.name", l.ProductName}, {"labels.line.ingredients", l.Ingredients}, {"labels.line.allergens", l.Allergens},
		{"labels.line.net", strings.Trim(l.NetUS+", "+l.NetMetric, ", ")}, {"labels.line.maker", l.Maker}, {"labels.line.address", l.Address},
		{"labels.line.telephone", l.Telephone}, {"labels.line.lot", l.LotCode}, {"labels.line.best_by", l.BestBy},
		{"labels.line.storage", l.Storage}, {"labels.line.statement", l.Statement}, {"label_print.qr", l.QR},
	} {
		if field.text != "" {
			lines = append(lines, line{Label: w.say(field.key), Text: field.text})
		}
	}
	return lines
}

// sheetOfLabels draws what a read form asks for; what is wrong with it stands at its field, and pdf is then nil.
func (a *App) sheetOfLabels(ctx context.Context, v *visitor, f *form, p *labelPrint, lot records.Lot) (pdf []byte, stock records.LabelStock, err error) {
	if stock, err = records.Get[records.LabelStock](ctx, a.store, p.stockID); err != nil {
		return nil, stock, err
	}
	label, err := records.LabelOf(ctx, a.store, lot.ID)
	var refused refusal
	if errors.As(err, &refused) {
		f.Wrong = append(f.Wrong, Wrong{Message: refused.Say(v.lang)})
		return nil, stock, nil
	}
	if err != nil {
		return nil, stock, err
	}
	sheet := make([]labels.Label, p.count)
	for i := range sheet {
		sheet[i] = label
	}
	pdf, err = labels.Print(stock.Stock(), p.start, sheet, labels.Meta{Title: records.PrintedCode(lot.Code), Author: v.house.Name, At: lot.StartedAt})
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

// printLabels draws the sheet and writes that it was printed.
func (a *App) printLabels(c *gin.Context) error {
	f, err := a.readForm(c, "label_print", "")
	if err != nil {
		return err
	}
	return a.drawLabels(c, f, func(p *labelPrint, stock records.LabelStock, lot records.Lot) error {
		return a.keepPrint(c, &records.Print{OfID: lot.ID, What: "labels", Copies: p.count, Note: stockNote(stock.Name, p.start)})
	})
}

func (a *App) drawLabels(c *gin.Context, f *form, keep func(*labelPrint, records.LabelStock, records.Lot) error) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f.Action = lotURL(lot.ID) + "/labels"
	var p labelPrint
	labelPrintForm(f, &p)
	if err := f.Err(); err != nil {
		return err
	}
	if f.OK() {
		pdf, stock, err := a.sheetOfLabels(c.Request.Context(), visitorOf(c), f, &p, lot)
		if err != nil {
			return err
		}
		if pdf != nil && keep != nil {
			if err := keep(&p, stock, lot); err != nil {
				return err
			}
		}
		if pdf != nil {
			return sendPDF(c, "labels-"+lot.Code, pdf)
		}
	}
	return a.renderLabels(c, http.StatusUnprocessableEntity, lot, f)
}

// lotURL is the page of a lot.
func lotURL(id string) string { return "/lot/" + url.PathEscape(id) }
