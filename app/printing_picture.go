package app

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// labelPicture is a label as it will come out, and the sheet it comes out on.
type labelPicture struct {
	Label, Sheet   string // addresses of the pictures; blank when Refused
	Words, Refused string
	Narrow         string // what to know about narrow bars
	Width          int    // of the label on the page, in CSS pixels
}

// pictureOf is what the page shows for what is asked; nothing while no stock is chosen.
func (a *App) pictureOf(c *gin.Context, lot records.Lot, p *labelPrint) (*labelPicture, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	if p.stockID == "" {
		return nil, nil
	}
	drawn := &labelPicture{}
	stock, face, err := a.faceOnStock(ctx, lot, p)
	if message, ok := saidOf(v, err); ok {
		drawn.Refused = message
		return drawn, nil
	}
	if errors.Is(err, records.ErrNotFound) {
		return nil, nil // the field says so
	}
	if err != nil {
		return nil, err
	}
	count := max(1, p.count)
	asked := url.Values{"what": {p.what}, "stock": {p.stockID}, "start": {strconv.Itoa(p.start)}, "count": {strconv.Itoa(count)}}.Encode()
	drawn.Label, drawn.Sheet = lotURL(lot.ID)+"/labels/picture?"+asked, lotURL(lot.ID)+"/labels/page?"+asked
	drawn.Width = int(float64(stock.LabelWidth) / 25.4 * 96)
	drawn.Words = v.words().say("label_print.picture_of", "Stock", stock.Name, "Width", plainNumber(float64(stock.LabelWidth)), "Height", plainNumber(float64(stock.LabelHeight)),
		"Pages", v.words().say("count.pages", "Count", stock.Pages(p.start, count)))
	if k, ok := face.(labels.CaseLabel); ok {
		if narrow := k.NarrowBars(stock); narrow > 0 {
			drawn.Narrow = v.words().say("label_print.narrow", "Width", plainNumber(float64(narrow)))
		}
	}
	return drawn, nil
}

// faceOnStock is what is asked for, tried on its stock at its first cell.
func (a *App) faceOnStock(ctx context.Context, lot records.Lot, p *labelPrint) (labels.Stock, labels.Face, error) {
	row, err := records.Get[records.LabelStock](ctx, a.store, p.stockID)
	if err != nil {
		return labels.Stock{}, nil, err
	}
	face, err := a.faceOf(ctx, lot, p.what)
	if err != nil {
		return labels.Stock{}, nil, err
	}
	stock := row.Stock()
	if _, err := stock.Places(p.start, 1); err != nil {
		return stock, nil, err
	}
	return stock, face, labels.Fits(stock, face)
}

// saidOf puts a refusal of the label room or of the records into words; false for any other error or none.
func saidOf(v *visitor, err error) (string, bool) {
	var refused refusal
	var invalid records.Invalid
	switch {
	case errors.As(err, &refused):
		return refused.Say(v.lang), true
	case errors.As(err, &invalid):
		return v.words().say(invalid[0].Key, v.words().spoken(invalid[0].Args)...), true
	}
	return "", false
}

// showLabelPicture draws the label asked for, in the dots of its printer.
func (a *App) showLabelPicture(c *gin.Context) error {
	return a.sendPicture(c, func(stock labels.Stock, p *labelPrint, face labels.Face) ([]byte, error) {
		return labels.Picture(stock, p.start, face)
	})
}

// showSheetPicture draws the first page asked for, small.
func (a *App) showSheetPicture(c *gin.Context) error {
	return a.sendPicture(c, func(stock labels.Stock, p *labelPrint, face labels.Face) ([]byte, error) {
		return labels.SheetPicture(stock, p.start, p.count, face)
	})
}

// sendPicture answers with a picture, or in plain words why there is none: the page's script shows them.
func (a *App) sendPicture(c *gin.Context, draw func(labels.Stock, *labelPrint, labels.Face) ([]byte, error)) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f, p, err := a.askedLabels(c, lot)
	if err != nil {
		return err
	}
	if !f.OK() {
		var said []string
		for _, wrong := range f.Wrong {
			said = append(said, strings.TrimPrefix(wrong.Label+": "+wrong.Message, ": "))
		}
		return plainRefusal(c, strings.Join(said, " "))
	}
	stock, face, err := a.faceOnStock(c.Request.Context(), lot, p)
	var picture []byte
	if err == nil {
		picture, err = a.alone(func() ([]byte, error) { return draw(stock, p, face) })
	}
	if message, ok := saidOf(visitorOf(c), err); ok {
		return plainRefusal(c, message)
	}
	if err != nil {
		return err
	}
	if drawn, err := a.pictureOf(c, lot, p); err == nil && drawn != nil {
		c.Header("X-Label-Words", url.PathEscape(strings.TrimSpace(drawn.Words+" "+drawn.Narrow)))
		c.Header("X-Label-Width", strconv.Itoa(drawn.Width))
	}
	c.Data(http.StatusOK, "image/png", picture)
	return nil
}

// alone draws one picture at a time, as photos are read: that of a fine printer's sheet is as large.
func (a *App) alone(draw func() ([]byte, error)) ([]byte, error) {
	a.photos <- struct{}{}
	defer func() { <-a.photos }()
	return draw()
}

func plainRefusal(c *gin.Context, message string) error {
	c.Data(http.StatusUnprocessableEntity, "text/plain; charset=utf-8", []byte(message))
	return nil
}
