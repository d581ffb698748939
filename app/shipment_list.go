package app

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// shipmentsTable lists shipments; with the customer where they are of several.
func shipmentsTable(w words, sheets []records.ShipmentSheet, customer bool) (Table, error) {
	table := Table{Heads: []string{w.say("shelf_page.when"), w.say("shelf_page.lots"), w.say("shelf_page.out"), w.say("shelf_page.came_back"), w.say("shelf_page.with_them")}}
	if customer {
		table.Heads = append([]string{w.say("shelf_page.customer")}, table.Heads...)
	}
	for _, s := range sheets {
		day, err := w.day(s.Shipment.At)
		if err != nil {
			return table, err
		}
		still := strconv.Itoa(s.Out() - s.Back())
		if s.Market() {
			still = soldWords(w, s.Out(), s.Back())
		}
		cells := []Cell{{Text: day}, {Text: lotsOfLines(w, s.Lines)}, {Text: strconv.Itoa(s.Out()), Figure: true},
			{Text: strconv.Itoa(s.Back()), Figure: true}, {Text: still, Figure: true}}
		if customer {
			cells = append([]Cell{{Text: customerWords(w, s.Customer)}}, cells...)
		}
		table.Rows = append(table.Rows, TableRow{URL: shipmentURL(s.Shipment.ID), Cells: cells})
	}
	return table, nil
}

// soldWords says how many bottles a market day took: before anything came back nobody knows that they were sold.
func soldWords(w words, out, back int) string {
	if back == 0 {
		return w.say("shelf_page.not_back", "Count", out)
	}
	return w.say("shelf_page.sold", "Count", out-back)
}

// lotsOfLines names up to three lots and counts the rest.
func lotsOfLines(w words, lines []records.ShipmentLine) string {
	var codes []string
	for _, l := range lines {
		codes = append(codes, partName(w, l.Part))
	}
	const most = 3
	if len(codes) <= most {
		return strings.Join(codes, ", ")
	}
	return w.say("shelf_page.and_more", "Codes", strings.Join(codes[:most], ", "), "More", len(codes)-most)
}

func pageAfter(c *gin.Context, start int) string {
	return c.Request.URL.Path + "?from=" + strconv.Itoa(start+rowsPerPage)
}

func pageShown(start, count int) string { return fmt.Sprintf("%d–%d", start+1, start+count) }

// madeBefore is the record an earlier tap of the same form made; empty for any other outcome.
func madeBefore(err error) string {
	var already records.Already
	if errors.As(err, &already) {
		return already.RecordID
	}
	return ""
}
