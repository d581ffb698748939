package app

import (
	"context"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// netTableForm is a table of tolerances as its owner types it.
func netTableForm(f *form, t *records.NetTable) {
	f.Choice("name", &t.Name, required, records.TableMAVVolume, records.TableMAVWeight)
	f.Text("edition", &t.Edition, 1, shortText)
	f.LongText("source", &t.Source, 1, 400)
	f.Day("as_of", &t.AsOf, required)
	f.LongText("lines", &t.Lines, 1, 4000)
}

func newNetTable(f *form, t *records.NetTable) { t.Name = f.asked.Get("name") }

// netTablesPage shows the tables of tolerances in force.
type netTablesPage struct {
	Page
	Parts []netTablePart
}

// netTablePart is one table: ours or the owner's, and the owner's earlier ones.
type netTablePart struct {
	Title, Note string
	Warn        bool // the note is about what is missing or from memory
	Record, New string
	Table       *Table
	Earlier     []ledgerLine
}

func (a *App) showNetTables(c *gin.Context) error {
	v := visitorOf(c)
	page := &netTablesPage{}
	for _, name := range []string{records.TableMAVVolume, records.TableMAVWeight} {
		part, err := a.netTablePart(c.Request.Context(), v, name)
		if err != nil {
			return err
		}
		page.Parts = append(page.Parts, part)
	}
	r87, err := r87Part(v.words())
	if err != nil {
		return err
	}
	page.Parts = append(page.Parts, r87)
	return a.show(c, "net/tables", page)
}

func (a *App) netTablePart(ctx context.Context, v *visitor, name string) (netTablePart, error) {
	w := v.words()
	part := netTablePart{Title: w.say("net_table.name." + name), Warn: true, Note: w.say("net_tables.ours_none")}
	table, own, err := records.MAVTable(ctx, a.store, name)
	if err != nil {
		return part, err
	}
	if v.may(owner) {
		part.New = "/house/net-table/new?name=" + name
	}
	rows := table.Rows()
	switch {
	case own != nil:
		day, err := w.day(own.AsOf)
		if err != nil {
			return part, err
		}
		part.Warn, part.Record = false, recordURL(own.ID)
		part.Note = w.say("net_tables.in_force", "Edition", own.Edition, "Day", day, "Source", own.Source)
	case len(rows) > 0:
		part.Note = table.Edition + ". " + w.say("net_tables.ours_memory")
	}
	if len(rows) > 0 {
		part.Table = mavTable(w, rows, table.Unit)
	}
	part.Earlier, err = a.earlierTables(ctx, w, name, own)
	return part, err
}

// mavTable writes rows with over, up to and tolerance.
func mavTable(w words, rows []hazards.MAVRow, unit hazards.Unit) *Table {
	word := w.say("unit.milliliter")
	if unit == hazards.UnitGrams {
		word = w.say("unit.gram")
	}
	t := &Table{Heads: []string{w.say("net_tables.over"), w.say("net_tables.up_to"), w.say("net_tables.tolerance")}}
	for _, r := range rows {
		short := plainNumber(r.MAV) + noBreak + word
		if r.Share > 0 {
			short = plainNumber(r.Share*100) + noBreak + w.say("unit.percent")
		}
		t.Rows = append(t.Rows, TableRow{Cells: []Cell{{Text: plainNumber(r.Over) + noBreak + word}, {Text: plainNumber(r.UpTo) + noBreak + word}, {Text: short, Figure: true}}})
	}
	return t
}

// earlierTables are the owner's tables of a name that are no longer in force.
func (a *App) earlierTables(ctx context.Context, w words, name string, inForce *records.NetTable) ([]ledgerLine, error) {
	all, err := records.List[records.NetTable](ctx, a.store, "name = ? ORDER BY as_of DESC, id DESC", name)
	if err != nil {
		return nil, err
	}
	var lines []ledgerLine
	for _, t := range all {
		if inForce != nil && t.ID == inForce.ID {
			continue
		}
		day, err := w.day(t.AsOf)
		if err != nil {
			return nil, err
		}
		lines = append(lines, ledgerLine{Name: t.Edition, Word: day, URL: recordURL(t.ID)})
	}
	return lines, nil
}

// r87Part shows what OIML R 87 gives at common sizes.
func r87Part(w words) (netTablePart, error) {
	part := netTablePart{Title: w.say("net_tables.r87"), Note: w.say("net_tables.r87_note"),
		Table: &Table{Heads: []string{w.say("net_page.contents"), w.say("net_tables.tolerance")}}}
	for _, label := range []float64{50, 100, 118, 177, 200, 237, 300, 340, 355, 473, 500, 946, 1000} {
		t, err := hazards.R87Tolerance(label)
		if err != nil {
			return part, err
		}
		part.Table.Rows = append(part.Table.Rows, TableRow{Cells: []Cell{{Text: plainNumber(label) + noBreak + w.say("unit.milliliter")},
			{Text: plainNumber(t) + noBreak + w.say("unit.milliliter"), Figure: true}}})
	}
	return part, nil
}

// ownTables gives a form of the reckoner the tolerances the owner entered.
func (a *App) ownTables(c *gin.Context, f *reckonForm) error {
	for _, name := range []string{records.TableMAVVolume, records.TableMAVWeight} {
		table, own, err := records.MAVTable(c.Request.Context(), a.store, name)
		if err != nil {
			return err
		}
		if own != nil {
			f.tables = append(f.tables, table)
		}
	}
	return nil
}

// fromTables is the variation typed, else that of the owner's table for the label, with words of where it is from; blank where
// there is neither.
func (f *reckonForm) fromTables(scheme hazards.NetScheme, label labelled, typed *float64) (*float64, string) {
	if typed != nil {
		return typed, f.words.say("reckoner.said.from_entered")
	}
	for _, table := range f.tables {
		if row, ok := table.Of(label.number); ok && table.Unit == label.unit && scheme == hazards.SchemeHB133 && row.MAV < label.number {
			return &row.MAV, capital(f.words.say("net_step.from.entered", "Edition", table.Edition)) + "."
		}
	}
	return nil, ""
}
