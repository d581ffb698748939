package main

import (
	"errors"
	"io"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
	"canewright/records/packet"
)

// printLabels is `canewright labels CODE [--stock NAME] [--start N] [--copies N] --out F`.
func printLabels(c *call) error {
	c.withData()
	c.withJSON()
	stock, out := c.set.String("stock", "", ""), c.outFlag()
	start, copies := c.set.Int("start", 1, ""), c.set.Int("copies", 0, "")
	if err := c.parse(say("cmd.word.code")); err != nil {
		return err
	}
	if err := needOut(*out, "labels.pdf"); err != nil {
		return err
	}
	if c.given("copies") && *copies < 1 {
		return usage(say("cmd.labels.copies"))
	}
	store, house, err := c.house()
	if err != nil {
		return err
	}
	return errors.Join(c.labels(store, house, *stock, *start, *copies, *out), store.Close())
}

func (c *call) labels(store *records.Store, house records.House, name string, start, copies int, out string) error {
	lot, err := c.lot(store, c.args[0])
	if err != nil {
		return err
	}
	stock, err := c.stock(store, name)
	if err != nil {
		return err
	}
	label, err := records.LabelOf(c.ctx, store, lot.ID)
	if err != nil {
		return err
	}
	if copies == 0 {
		if copies, err = c.bottlesOf(store, lot); err != nil {
			return err
		}
	}
	sheet := make([]labels.Label, copies)
	for i := range sheet {
		sheet[i] = label
	}
	pdf, err := labels.Print(stock, start, sheet, labels.Meta{Title: label.ProductName + " " + label.LotCode, Author: house.Name, At: lot.StartedAt})
	var beyond labels.StartBeyond
	if errors.As(err, &beyond) {
		return usage(beyond.Say(text.English))
	}
	if err != nil {
		return err
	}
	if err := writeBytes(out, pdf); err != nil {
		return err
	}
	note := say("cmd.labels.note", "Stock", stock.Name, "Start", start)
	if err := c.notePrint(store, lot.ID, "labels", copies, note); err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"code": lot.Code, "labels": copies, "stock": stock.Name, "start": start, "file": out})
	}
	c.say("cmd.labels.done", "Count", copies, "Code", label.LotCode, "Stock", stock.Name, "Start", start, "Path", out)
	return nil
}

// stock is the house's stock of that name; the first it set up when none is named.
func (c *call) stock(store *records.Store, name string) (labels.Stock, error) {
	rows, err := records.List[records.LabelStock](c.ctx, store, "ORDER BY (SELECT MIN(seq) FROM journal WHERE record_id = label_stock_now.id)")
	if err != nil {
		return labels.Stock{}, err
	}
	if len(rows) == 0 {
		return labels.Stock{}, usage(say("cmd.labels.no_stock"))
	}
	if name == "" {
		return rows[0].Stock(), nil
	}
	var stocks []labels.Stock
	for _, r := range rows {
		stocks = append(stocks, r.Stock())
	}
	found, err := labels.StockByName(stocks, name)
	var unknown labels.UnknownStock
	if errors.As(err, &unknown) {
		return found, usage(unknown.Say(text.English))
	}
	return found, err
}

// bottlesOf is how many bottles were filled, one label each.
func (c *call) bottlesOf(store *records.Store, lot records.Lot) (int, error) {
	ends, err := records.List[records.FillEnd](c.ctx, store, "lot_id = ?", lot.ID)
	if err != nil {
		return 0, err
	}
	if len(ends) == 0 {
		return 0, usage(say("cmd.labels.not_counted", "Code", records.PrintedCode(lot.Code)))
	}
	return ends[0].Count, nil
}

// notePrint writes down that something was printed. The command line acts for the first owner.
func (c *call) notePrint(store *records.Store, of, what string, copies int, note string) error {
	owner, err := c.owner(store)
	if err != nil {
		return err
	}
	return store.Write(c.ctx, owner, &records.Print{OfID: of, What: what, At: store.Now(), Copies: copies, Note: note})
}

// batchSheet is `canewright sheet RUN|CODE --out F`.
func batchSheet(c *call) error {
	c.withData()
	c.withJSON()
	out, units := c.outFlag(), c.set.String("units", "us", "")
	if err := c.parse(say("cmd.word.run_or_code")); err != nil {
		return err
	}
	if err := needOut(*out, "sheet.pdf"); err != nil {
		return err
	}
	if *units != "us" && *units != "metric" {
		return usage(say("cmd.units"))
	}
	store, _, err := c.house()
	if err != nil {
		return err
	}
	return errors.Join(c.sheet(store, *units, *out), store.Close())
}

func (c *call) sheet(store *records.Store, units, out string) error {
	id, code, err := c.runOrLot(store, c.args[0])
	if err != nil {
		return err
	}
	pdf, err := packet.BatchSheet(c.ctx, store, id, packet.Options{Units: units, Version: versionOf().String()})
	if err != nil {
		return err
	}
	if err := writeBytes(out, pdf); err != nil {
		return err
	}
	if err := c.notePrint(store, id, "batch_sheet", 1, ""); err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"of": code, "file": out})
	}
	c.say("cmd.sheet.done", "Code", code, "Path", out)
	return nil
}

// writePacket is `canewright packet --from DAY --to DAY --out F`.
func writePacket(c *call) error {
	c.withData()
	c.withJSON()
	from, to := c.set.String("from", "", ""), c.set.String("to", "", "")
	out, units := c.outFlag(), c.set.String("units", "us", "")
	if err := c.parse(); err != nil {
		return err
	}
	for flag, day := range map[string]string{"--from": *from, "--to": *to} {
		if !records.Day(day).Valid() {
			return usage(say("cmd.need_day", "Flag", flag, "Typed", day))
		}
	}
	if *from > *to {
		return usage(say("cmd.packet.order", "From", *from, "To", *to))
	}
	if err := needOut(*out, "packet.zip"); err != nil {
		return err
	}
	if *units != "us" && *units != "metric" {
		return usage(say("cmd.units"))
	}
	store, house, err := c.house()
	if err != nil {
		return err
	}
	return errors.Join(c.packet(store, house, packet.Range{From: records.Day(*from), To: records.Day(*to)}, *units, *out), store.Close())
}

func (c *call) packet(store *records.Store, house records.House, between packet.Range, units, out string) error {
	owner, err := c.owner(store)
	if err != nil {
		return err
	}
	var made packet.Summary
	err = writeFile(out, func(w io.Writer) error {
		by := records.Name(c.ctx, store, owner.PersonID)
		made, err = packet.Write(c.ctx, store, w, between, packet.Options{Units: units, By: by, Version: versionOf().String()})
		return err
	})
	if err != nil {
		return err
	}
	if err := c.notePrint(store, house.ID, "packet", 1, string(between.From)+" to "+string(between.To)); err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"from": between.From, "to": between.To, "lots": made.Lots, "runs": made.Runs, "files": made.Files,
			"head_entry": made.Head.Seq, "head_hash": made.Head.Hash, "file": out})
	}
	c.say("cmd.packet.done", "Path", out, "Lots", say("count.lots", "Count", made.Lots), "Runs", say("count.runs", "Count", made.Runs),
		"Files", made.Files, "Head", made.Head.Short())
	return nil
}
