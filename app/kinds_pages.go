package app

import (
	"fmt"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// listPage is the list of one kind.
type listPage struct {
	Page
	Heading string
	New     string // address of the form for a new one; empty when this person may not
	Empty   string
	Table   Table
	Turn    Turn
}

// Table is a ruled table; on a phone each row becomes lines with their labels.
type Table struct {
	Heads []string
	Rows  []TableRow
}

// TableRow is one row; its first cell is the link.
type TableRow struct {
	URL   string
	Cells []Cell
}

// Cell is one cell; a figure is set in the large figures.
type Cell struct {
	Text   string
	Figure bool
}

// Turn leads to the pages before and after this one of a long list.
type Turn struct{ Before, After, Shown string }

// formPage is a page that is one form.
type formPage struct {
	Page
	Heading, Lead string
	Form          *form
}

// rowsPerPage is how many rows of a list stand on one page.
const rowsPerPage = 100

// listKind lists the records of a simple kind: the fields named in its Columns, as its form function gives them.
func (a *App) listKind(k *kindPage) func(*gin.Context) error {
	return func(c *gin.Context) error {
		v := visitorOf(c)
		turn, start := readTurn(c)
		facts, err := k.rows(c.Request.Context(), a.store, fmt.Sprintf("ORDER BY %s LIMIT %d OFFSET %d", k.Order, rowsPerPage+1, start))
		if err != nil {
			return err
		}
		page := &listPage{Heading: v.words().say(string(k.Kind) + ".plural"), Empty: v.words().say("kind.empty"), Turn: turn}
		if len(facts) > rowsPerPage {
			facts = facts[:rowsPerPage]
			page.Turn.After = k.path() + "?from=" + strconv.Itoa(start+rowsPerPage)
		}
		if page.Turn.Before != "" || page.Turn.After != "" {
			page.Turn.Shown = fmt.Sprintf("%d–%d", start+1, start+len(facts))
		}
		if v.may(k.Write) && canAdd(k, len(facts)) {
			page.New = k.path() + "/new"
		}
		page.Table, err = a.tableOf(c, k, facts)
		if err != nil {
			return err
		}
		return a.show(c, "kind/list", page)
	}
}

// canAdd is false for the house itself once there is one: one database is one house.
func canAdd(k *kindPage, count int) bool {
	return k.Kind != records.KindHouse || count == 0
}

// readTurn reads which page of a list is asked for; nonsense is the first.
func readTurn(c *gin.Context) (Turn, int) {
	start, err := strconv.Atoi(c.Query("from"))
	if err != nil || start <= 0 || start > 1_000_000 {
		return Turn{}, 0
	}
	return Turn{Before: c.Request.URL.Path + "?from=" + strconv.Itoa(max(0, start-rowsPerPage))}, start
}

// tableOf shows each record through its form.
func (a *App) tableOf(c *gin.Context, k *kindPage, facts []records.Fact) (Table, error) {
	var table Table
	f := a.newForm(c, string(k.Kind), "")
	for _, column := range k.Columns {
		table.Heads = append(table.Heads, f.words.say(string(k.Kind)+"."+column))
	}
	for _, fact := range facts {
		head := records.Head(fact)
		f.Fields, f.Revision = nil, head.Revision
		k.bind(f, fact)
		row := TableRow{URL: recordURL(head.ID)}
		for _, column := range k.Columns {
			row.Cells = append(row.Cells, cellOf(f, column))
		}
		table.Rows = append(table.Rows, row)
	}
	return table, f.Err()
}

func cellOf(f *form, column string) Cell {
	field := f.named(column)
	if field == nil || field.Shown == "" {
		return Cell{Text: "—"}
	}
	return Cell{Text: field.Shown, Figure: field.Kind == "number" || field.Kind == "quantity"}
}

// showNew shows the form for a new record of a simple kind.
func (a *App) showNew(k *kindPage) func(*gin.Context) error {
	return func(c *gin.Context) error {
		f := a.newForm(c, string(k.Kind), k.path())
		k.bind(f, k.fresh(f))
		if err := f.Err(); err != nil {
			return err
		}
		return a.show(c, "kind/form", newPage(k, f))
	}
}

// createKind writes a new record of a simple kind: read, write, go to it; or the form again with what is wrong.
func (a *App) createKind(k *kindPage) func(*gin.Context) error {
	return func(c *gin.Context) error {
		f, err := a.readForm(c, string(k.Kind), k.path())
		if err != nil {
			return err
		}
		fact := k.fresh(f)
		k.bind(f, fact)
		if f.OK() {
			err := a.store.Write(c.Request.Context(), a.actor(c), fact)
			if err == nil {
				return a.redirect(c, recordURL(records.Head(fact).ID), "record.kept")
			}
			if !f.take(err) {
				return err
			}
		}
		if err := f.Err(); err != nil {
			return err
		}
		return a.redisplay(c, "kind/form", newPage(k, f))
	}
}

func newPage(k *kindPage, f *form) *formPage {
	f.Cancel = k.path()
	return &formPage{Heading: f.words.say(string(k.Kind) + ".new"), Form: f}
}
