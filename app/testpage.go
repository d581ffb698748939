package app

import (
	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// testPage is where a stock's test page is printed and its offsets are set.
type testPage struct {
	Page
	Stock, Look, Amend string
	Figures            []line
	Print              *form // nil for a reader
}

// stockOf is the stock of the address.
func (a *App) stockOf(c *gin.Context) (records.LabelStock, error) {
	return records.Get[records.LabelStock](c.Request.Context(), a.store, c.Param("id"))
}

func testPageURL(id string) string { return "/stock/" + id + "/test-page" }

func (a *App) showTestPage(c *gin.Context) error {
	stock, err := a.stockOf(c)
	if err != nil {
		return err
	}
	v := visitorOf(c)
	w := v.words()
	page := &testPage{Stock: stock.Name, Look: testPageURL(stock.ID) + "/look", Figures: []line{
		{Label: w.say("label_stock.offset_x"), Text: plainNumber(stock.OffsetX) + noBreak + "mm"},
		{Label: w.say("label_stock.offset_y"), Text: plainNumber(stock.OffsetY) + noBreak + "mm"}}}
	if a.mayAmend(v, &stock) {
		page.Amend = recordURL(stock.ID) + "/amend"
	}
	if v.may(crew) {
		page.Print = a.newForm(c, "test_page", testPageURL(stock.ID))
	}
	return a.show(c, "house/testpage", page)
}

// testPagePDF draws the page in the language of whoever asks.
func (a *App) testPagePDF(c *gin.Context) (records.LabelStock, []byte, error) {
	stock, err := a.stockOf(c)
	if err != nil {
		return stock, nil, err
	}
	v := visitorOf(c)
	pdf, err := labels.PrintTestPage(stock.Stock(), labels.Meta{Title: stock.Name, Author: v.house.Name, At: stock.WrittenAt, Language: v.lang})
	return stock, pdf, err
}

func (a *App) previewTestPage(c *gin.Context) error {
	_, pdf, err := a.testPagePDF(c)
	if err != nil {
		return explained(c, err)
	}
	return sendPDF(c, "test-page", pdf)
}

func (a *App) printTestPage(c *gin.Context) error {
	stock, pdf, err := a.testPagePDF(c)
	if err != nil {
		return explained(c, err)
	}
	return a.printed(c, &records.Print{OfID: stock.ID, What: records.PrintTestPage, Copies: 1, Note: labels.TestPageNote(stock.Stock()), LabelStockID: &stock.ID}, "test-page", pdf)
}
