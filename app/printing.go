package app

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
	"canewright/records/packet"
)

// refusal is an error of the label room that explains itself.
type refusal interface {
	error
	Say(text.Language) string
}

// sendPDF sends a document to look at. Its own policy is shorter than a page's: a browser's viewer is a plugin to some.
func sendPDF(c *gin.Context, name string, pdf []byte) error {
	c.Header("Content-Security-Policy", "frame-ancestors 'none'")
	c.Header("Content-Disposition", fmt.Sprintf("inline; filename=%q", name+".pdf"))
	c.Data(http.StatusOK, "application/pdf", pdf)
	return nil
}

// keepPrint writes that something was printed. A second tap, or a page loaded again, finds the first and writes nothing.
func (a *App) keepPrint(c *gin.Context, p *records.Print) error {
	p.At = a.store.Now()
	err := a.store.Write(c.Request.Context(), a.actor(c), p)
	if _, again := alreadyMade(err); again {
		return nil
	}
	return err
}

// printed sends a document after writing that it was printed.
func (a *App) printed(c *gin.Context, p *records.Print, name string, pdf []byte) error {
	if err := parseBody(c); err != nil {
		return err
	}
	if err := a.keepPrint(c, p); err != nil {
		return err
	}
	return sendPDF(c, name, pdf)
}

// trayTag draws the tag of a lot's tray: code, symbol, state, and the count once it is known.
func (a *App) trayTag(c *gin.Context, lot records.Lot) ([]byte, error) {
	ctx, v := c.Request.Context(), visitorOf(c)
	container, err := records.Get[records.Container](ctx, a.store, lot.ContainerID)
	if err != nil {
		return nil, err
	}
	qr, err := records.QRContent(ctx, a.store, v.house, lot)
	if err != nil {
		return nil, err
	}
	english := words{lang: text.English, units: "us", zone: v.words().zone}
	when, err := english.moment(lot.StartedAt)
	if err != nil {
		return nil, err
	}
	tag := labels.TrayTag{Product: records.Name(ctx, a.store, lot.ProductID), LotCode: records.PrintedCode(lot.Code), Time: english.say("filler_page.tag_filled", "When", when),
		Extra: english.say("filler_page.tag_kettle", "Kettle", lot.KettleNumber), QR: qr}
	if lot.KettleNumber == 0 {
		tag.Extra = english.say("filler_page.tag_mixed")
	}
	net, err := labels.NetContents(container.Contents)
	if err != nil {
		return nil, err
	}
	tag.Count = english.say("filler_page.tag_uncounted", "Net", net.US)
	ends, err := records.List[records.FillEnd](ctx, a.store, "lot_id = ?", lot.ID)
	if err != nil {
		return nil, err
	}
	if len(ends) > 0 {
		tag.Count = english.say("filler_page.tag_count", "Bottles", english.say("count.bottles", "Count", ends[0].Count), "Net", net.US)
	}
	if tag.State, err = a.tagState(c, lot); err != nil {
		return nil, err
	}
	paper, err := a.paper(c)
	if err != nil {
		return nil, err
	}
	return labels.PrintTrayTag(tag, paper, labels.Meta{Title: tag.LotCode, Author: v.house.Name, At: lot.StartedAt})
}

// tagState is blank, which prints as held, unless every part of the lot has the same other state.
func (a *App) tagState(c *gin.Context, lot records.Lot) (string, error) {
	parts, err := records.List[records.Part](c.Request.Context(), a.store, "lot_id = ?", lot.ID)
	if err != nil {
		return "", err
	}
	shelves, err := records.Shelves(c.Request.Context(), a.store, parts)
	if err != nil || len(shelves) == 0 {
		return "", err
	}
	state := shelves[0].State
	for _, p := range shelves {
		if p.State != state {
			return "", nil
		}
	}
	if state == records.StateFilling || state == records.StateHeld {
		return "", nil
	}
	return strings.ToUpper(text.Say(text.English, "life."+state)), nil
}

// paper is what the house prints on: A4 where all its sheet stock is A4, else Letter.
func (a *App) paper(c *gin.Context) (labels.Paper, error) {
	stocks, err := records.List[records.LabelStock](c.Request.Context(), a.store, "paper <> ?", records.PaperRoll)
	if err != nil {
		return labels.Paper{}, err
	}
	for _, s := range stocks {
		if s.Paper != records.PaperA4 {
			return labels.Letter(), nil
		}
	}
	if len(stocks) > 0 {
		return labels.A4(), nil
	}
	return labels.Letter(), nil
}

func (a *App) previewTrayTag(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	pdf, err := a.trayTag(c, lot)
	if err != nil {
		return explained(c, err)
	}
	return sendPDF(c, "tray-"+lot.Code, pdf)
}

func (a *App) printTrayTag(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	pdf, err := a.trayTag(c, lot)
	if err != nil {
		return explained(c, err)
	}
	return a.printed(c, &records.Print{OfID: lot.ID, What: "tray_tag", Copies: 1}, "tray-"+lot.Code, pdf)
}

// explained turns a refusal of the label room into one a page shows with its own words.
func explained(c *gin.Context, err error) error {
	var r refusal
	if !errors.As(err, &r) {
		return err
	}
	return records.Invalid{{Key: "printing.refused", Args: []any{"Reason", r.Say(visitorOf(c).lang)}}}
}

// batchSheet draws the sheet of a run or lot.
func (a *App) batchSheet(c *gin.Context) (string, []byte, error) {
	ctx, id := c.Request.Context(), c.Param("id")
	fact, err := records.Load(ctx, a.store, id)
	if err != nil {
		return "", nil, err
	}
	var code string
	switch f := fact.(type) {
	case *records.Run:
		code = f.Code
	case *records.Lot:
		code = f.Code
	default:
		return "", nil, fmt.Errorf("sheet of a %s: %w", fact.Kind(), records.ErrNotFound)
	}
	pdf, err := packet.BatchSheet(ctx, a.store, id, packet.Options{Units: visitorOf(c).units})
	return "sheet-" + code, pdf, err
}

func (a *App) previewSheet(c *gin.Context) error {
	name, pdf, err := a.batchSheet(c)
	if err != nil {
		return explained(c, err)
	}
	return sendPDF(c, name, pdf)
}

func (a *App) printSheet(c *gin.Context) error {
	name, pdf, err := a.batchSheet(c)
	if err != nil {
		return explained(c, err)
	}
	return a.printed(c, &records.Print{OfID: c.Param("id"), What: "batch_sheet", Copies: 1}, name, pdf)
}
