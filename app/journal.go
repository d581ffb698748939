package app

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// journalRoutes are the journal: who wrote what when, the head, and whether anything changed since.
func (a *App) journalRoutes() []route {
	return []route{
		{"GET", "/journal", reader, a.showJournal},
		{"POST", "/journal/verify", owner, a.verifyJournal},
	}
}

// journalPage lists entries newest first below the head.
type journalPage struct {
	Page
	Head, Hash, Entries, At string
	Rows                    []journalRow
	Turn                    Turn
	Compare                 *form
	Compared                *comparison
	Verify                  *form // nil for all but the owner
	Report                  *shownReport
}

// journalRow is one entry: what was done to which record.
type journalRow struct {
	Seq                                int64
	What, Record, URL, Who, When, Hash string
}

// comparison is what a head typed from paper says about this journal.
type comparison struct {
	Found bool
	Said  string
}

// shownReport is what verifying found.
type shownReport struct {
	Clean  bool
	Said   string
	Faults []string
}

// entriesPerPage is how many journal entries stand on one page.
const entriesPerPage = 50

func (a *App) showJournal(c *gin.Context) error {
	return a.renderJournal(c, nil)
}

func (a *App) renderJournal(c *gin.Context, report *shownReport) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	head, err := records.JournalHead(ctx, a.store)
	if err != nil {
		return err
	}
	page := &journalPage{Head: head.Short(), Hash: head.Hash, Entries: strconv.FormatInt(head.Seq, 10), Report: report}
	if page.At, err = w.moment(head.At); err != nil {
		return err
	}
	before, err := strconv.ParseInt(c.Query("before"), 10, 64)
	if err != nil || before < 1 {
		before = 0
	}
	if err := a.journalRows(ctx, w, page, before, head.Seq); err != nil {
		return err
	}
	status, err := a.compareHead(c, page)
	if err != nil {
		return err
	}
	if v.may(owner) {
		page.Verify = a.newForm(c, "journal_verify", "/journal/verify")
	}
	return a.render(c, status, "journal/entries", page)
}

func (a *App) journalRows(ctx context.Context, w words, page *journalPage, before, newest int64) error {
	entries, err := records.Journal(ctx, a.store, before, entriesPerPage+1)
	if err != nil {
		return err
	}
	if len(entries) > entriesPerPage {
		entries = entries[:entriesPerPage]
		page.Turn.After = "/journal?before=" + strconv.FormatInt(entries[len(entries)-1].Seq, 10)
	}
	if before > 0 {
		page.Turn.Before = "/journal"
		if up := before + entriesPerPage; up <= newest {
			page.Turn.Before = "/journal?before=" + strconv.FormatInt(up, 10)
		}
	}
	if len(entries) > 0 && (page.Turn.Before != "" || page.Turn.After != "") {
		page.Turn.Shown = strconv.FormatInt(entries[0].Seq, 10) + "–" + strconv.FormatInt(entries[len(entries)-1].Seq, 10)
	}
	people := map[string]string{}
	for _, e := range entries {
		row, err := a.journalRow(ctx, w, e, people)
		if err != nil {
			return err
		}
		page.Rows = append(page.Rows, row)
	}
	return nil
}

// journalRow words an entry. Its form "cut/1" begins with the kind of the record.
func (a *App) journalRow(ctx context.Context, w words, e records.Entry, people map[string]string) (journalRow, error) {
	when, err := w.moment(e.At)
	if err != nil {
		return journalRow{}, err
	}
	if _, ok := people[e.Author]; !ok {
		people[e.Author] = records.Name(ctx, a.store, e.Author)
	}
	kind, _, _ := strings.Cut(e.Form, "/")
	row := journalRow{Seq: e.Seq, What: w.say("journal.did", "Type", w.say("journal.type."+e.Type), "Kind", kindWord(w, kind)),
		Record: records.Name(ctx, a.store, e.RecordID), URL: recordURL(e.RecordID) + "/history", Who: people[e.Author], When: when, Hash: e.Hash[:16]}
	if row.Record == e.RecordID { // a kind without a name of its own
		row.Record, row.What = kindWord(w, kind), w.say("journal.type."+e.Type)
	}
	return row, nil
}

func kindWord(w words, kind string) string {
	if _, ok := records.NewFact(records.Kind(kind)); ok {
		return w.say("kind." + kind)
	}
	return kind
}

// compareHead answers the box in which somebody types a head from a document. It changes nothing, so it is a GET.
func (a *App) compareHead(c *gin.Context, page *journalPage) (int, error) {
	f := a.newForm(c, "journal_head", "/journal")
	typed := c.Query("head")
	if typed != "" {
		f.raw = c.Request.URL.Query()
	}
	f.Text("head", &typed, 1, 120)
	page.Compare = f
	if typed == "" || !f.OK() {
		return statusOf(f), nil
	}
	head, err := records.ParseHead(typed)
	if err != nil {
		f.take(err)
		return statusOf(f), nil
	}
	entry, err := records.EntryOfHead(c.Request.Context(), a.store, head)
	if errors.Is(err, records.ErrNotFound) {
		page.Compared = &comparison{Said: f.words.say("journal.head_unknown")}
		return http.StatusOK, nil
	}
	if err != nil {
		return 0, err
	}
	page.Compared = &comparison{Found: true, Said: f.words.say("journal.head_found", "Seq", strconv.FormatInt(entry.Seq, 10), "At", entry.At)}
	return http.StatusOK, nil
}

// statusOf is 422 for a form with something wrong.
func statusOf(f *form) int {
	if f.OK() {
		return http.StatusOK
	}
	return http.StatusUnprocessableEntity
}

// verifyJournal rebuilds every row from the journal and says what differs. It writes nothing.
func (a *App) verifyJournal(c *gin.Context) error {
	if err := parseBody(c); err != nil {
		return err
	}
	report, err := a.store.Verify(c.Request.Context(), "")
	if err != nil {
		return err
	}
	w := visitorOf(c).words()
	shown := &shownReport{Clean: len(report.Faults) == 0, Said: w.say("journal.verified", "Count", report.Entries, "Head", report.Head.Short())}
	if !shown.Clean {
		shown.Said = w.say("journal.not_verified")
	}
	for _, fault := range report.Faults {
		shown.Faults = append(shown.Faults, fault.String())
	}
	return a.renderJournal(c, shown)
}
