package main

import (
	"errors"
	"io"
	"slices"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
	"canewright/records/packet"
)

// printLabels is `canewright labels CODE [--case] [--stock NAME] [--start N] [--copies N] --out F`.
func printLabels(c *call) error {
	c.withData()
	c.withJSON()
	stock, out := c.set.String("stock", "", ""), c.outFlag()
	start, copies, ofCase := c.set.Int("start", 1, ""), c.set.Int("copies", 0, ""), c.set.Bool("case", false, "")
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
	what := records.PrintLabels
	if *ofCase {
		what = records.PrintCaseLabels
	}
	return errors.Join(c.labels(store, house, what, *stock, *start, *copies, *out), store.Close())
}

func (c *call) labels(store *records.Store, house records.House, what, name string, start, copies int, out string) error {
	lot, err := c.lot(store, c.args[0])
	if err != nil {
		return err
	}
	row, err := c.stock(store, name)
	if err != nil {
		return err
	}
	if err := records.MayLabel(c.ctx, store, lot.ID); err != nil {
		return err
	}
	face, err := c.face(store, lot, what)
	if err != nil {
		return err
	}
	if copies == 0 {
		if copies, err = c.toLabel(store, lot, what); err != nil {
			return err
		}
	}
	stock := row.Stock()
	title := records.Name(c.ctx, store, lot.ProductID) + " " + records.PrintedCode(lot.Code)
	pdf, err := labels.PrintFaces(stock, start, labels.Repeated(face, copies), labels.Meta{Title: title, Author: house.Name, At: lot.StartedAt})
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
	print := &records.Print{OfID: lot.ID, What: what, Copies: copies, Note: note, LabelStockID: &row.ID, StartCell: &start}
	if err := c.keepPrint(store, print); err != nil {
		return err
	}
	if c.json {
		return c.encode(map[string]any{"code": lot.Code, "labels": copies, "stock": stock.Name, "start": start, "file": out})
	}
	c.say("cmd.labels.done", "Count", copies, "Code", records.PrintedCode(lot.Code), "Stock", stock.Name, "Start", start, "Path", out)
	return nil
}

// face is what is printed: a bottle's label, or a case's.
func (c *call) face(store *records.Store, lot records.Lot, what string) (labels.Face, error) {
	if what == records.PrintCaseLabels {
		return records.CaseLabelOf(c.ctx, store, lot.ID)
	}
	return records.LabelOf(c.ctx, store, lot.ID)
}

// stock is the house's stock of that name; the first it set up when none is named.
func (c *call) stock(store *records.Store, name string) (records.LabelStock, error) {
	rows, err := records.List[records.LabelStock](c.ctx, store, "ORDER BY (SELECT MIN(seq) FROM journal WHERE record_id = label_stock_now.id)")
	if err != nil {
		return records.LabelStock{}, err
	}
	if len(rows) == 0 {
		return records.LabelStock{}, usage(say("cmd.labels.no_stock"))
	}
	if name == "" {
		return rows[0], nil
	}
	stocks := make([]labels.Stock, len(rows))
	for i, r := range rows {
		stocks[i] = r.Stock()
	}
	found, err := labels.StockByName(stocks, name)
	var unknown labels.UnknownStock
	if errors.As(err, &unknown) {
		return records.LabelStock{}, usage(unknown.Say(text.English))
	}
	i := slices.IndexFunc(rows, func(r records.LabelStock) bool { return r.Name == found.Name })
	return rows[i], err
}

// toLabel is how many bottles there are to label, or cases of them; what is destroyed or reworked is not among them.
func (c *call) toLabel(store *records.Store, lot records.Lot, what string) (int, error) {
	b, err := records.LabelBalanceOf(c.ctx, store, lot.ID)
	if err != nil {
		return 0, err
	}
	if b.Bottles == nil {
		return 0, usage(say("cmd.labels.not_counted", "Code", records.PrintedCode(lot.Code)))
	}
	if what == records.PrintLabels {
		return b.ToLabel, nil
	}
	container, err := records.Get[records.Container](c.ctx, store, lot.ContainerID)
	if err != nil {
		return 0, err
	}
	if container.UnitsPerCase == nil {
		return 0, usage(say("cmd.labels.no_case", "Container", container.Name))
	}
	return (b.ToLabel + *container.UnitsPerCase - 1) / *container.UnitsPerCase, nil
}

// notePrint writes down that something was printed.
func (c *call) notePrint(store *records.Store, of, what string, copies int, note string) error {
	return c.keepPrint(store, &records.Print{OfID: of, What: what, Copies: copies, Note: note})
}

// keepPrint writes a print now. The command line acts for the first owner.
func (c *call) keepPrint(store *records.Store, p *records.Print) error {
	owner, err := c.owner(store)
	if err != nil {
		return err
	}
	p.At = store.Now()
	return store.Write(c.ctx, owner, p)
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
