package app

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// labelBalance puts what was printed, used and spoiled on the page, beside the bottles, and the form to count.
func (a *App) labelBalance(c *gin.Context, page *labelsPage, lot records.Lot) error {
	v := visitorOf(c)
	b, err := records.LabelBalanceOf(c.Request.Context(), a.store, lot.ID)
	if err != nil {
		return err
	}
	page.Balance = balanceLines(v.words(), b)
	if v.may(crew) && page.Count == nil {
		page.Count = a.newForm(c, "label_count", lotURL(lot.ID)+"/labels/count")
		labelCountForm(page.Count, &records.LabelCount{})
		page.Count.DoneBy()
	}
	if page.Count != nil {
		return page.Count.Err()
	}
	return nil
}

// balanceLines words the balance; what was not counted says so.
func balanceLines(w words, b records.LabelBalance) []line {
	whole := func(key string, n *int) line {
		if n == nil {
			return line{Label: w.say(key), Text: w.notRecorded(), Missing: true}
		}
		return line{Label: w.say(key), Text: strconv.Itoa(*n)}
	}
	printed := line{Label: w.say("label_balance.printed"), Text: strconv.Itoa(b.Printed)}
	if b.Reprinted > 0 {
		printed.Text = w.say("label_balance.printed_again", "Printed", b.Printed, "Again", b.Reprinted)
	}
	lines := []line{printed, whole("label_balance.used", b.Used), whole("label_balance.spoiled", b.Spoiled)}
	if rest, ok := b.Unaccounted(); ok {
		lines = append(lines, line{Label: w.say("label_balance.rest"), Text: strconv.Itoa(rest)})
	}
	bottles := whole("label_balance.bottles", b.Bottles)
	if b.Bottles != nil && b.Gone > 0 {
		bottles.Text = w.say("label_balance.bottles_gone", "Bottles", *b.Bottles, "Gone", b.Gone)
	}
	return append(lines, bottles)
}

// countLabels keeps what became of labels since they were counted last.
func (a *App) countLabels(c *gin.Context) error {
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "label_count", lotURL(lot.ID)+"/labels/count")
	if err != nil {
		return err
	}
	k := &records.LabelCount{LotID: lot.ID}
	labelCountForm(f, k)
	f.DoneBy()
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Write(c.Request.Context(), a.actor(c), k)
		if status, err = a.finishForm(c, f, err, lotURL(lot.ID)+"/labels#label_balance", "label_count.kept"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	fresh := a.newForm(c, "label_print", lotURL(lot.ID)+"/labels")
	p, err := a.newLabelPrint(c.Request.Context(), fresh, lot, records.PrintLabels)
	if err != nil {
		return err
	}
	labelPrintForm(fresh, p, false)
	return a.renderLabelsWith(c, status, lot, fresh, p, f)
}
