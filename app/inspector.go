package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
	"canewright/records/packet"
)

// inspectorRoutes are the packet for an inspector and the check of one. A reader, as an inspector is, may do all of it.
func (a *App) inspectorRoutes() []route {
	return []route{
		{"GET", "/inspector", reader, a.showInspector},
		{"POST", "/inspector/packet", reader, a.makePacket},
		{"POST", "/inspector/check", reader, a.checkPacket},
	}
}

// inspectorPage asks for a range of days and says what its packet will hold.
type inspectorPage struct {
	Page
	Range      *form
	Asked      bool
	Said       string // how many lots, filled when
	Lots       []ledgerLine
	Make       *form // nil while there is nothing to put into a packet
	Statement  statementEntry
	Packets    []ledgerLine
	Check      *form
	Checked    *shownReport
	CheckFacts []line
}

// statementEntry is the rule for labels that the owner entered for this jurisdiction.
type statementEntry struct{ Text, Source, Entered string }

// days is a range of house days, both included.
type days struct{ from, to records.Day }

func rangeForm(f *form, d *days) {
	f.Day("from", &d.from, required)
	f.Day("to", &d.to, required)
	if f.reading() && d.from.Valid() && d.to.Valid() && d.from > d.to {
		f.wrong(f.named("to"), "inspector.range_order")
	}
}

// lastDays is how far back the first range reaches.
const lastDays = 30

func (a *App) showInspector(c *gin.Context) error {
	f := a.newForm(c, "inspector_range", "/inspector")
	today := a.store.Now()
	d := days{from: records.DayOf(today.AddDate(0, 0, -lastDays), visitorOf(c).zone), to: records.DayOf(today, visitorOf(c).zone)}
	if c.Query("from") != "" || c.Query("to") != "" {
		f.raw = c.Request.URL.Query()
	}
	rangeForm(f, &d)
	return a.renderInspector(c, &inspectorPage{Range: f, Asked: f.reading()}, d)
}

// renderInspector fills in what the range will hold and the rest of the page.
func (a *App) renderInspector(c *gin.Context, page *inspectorPage, d days) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	if page.Range.OK() {
		if err := a.packetContents(c, page, d); err != nil {
			return err
		}
	}
	page.Statement = statementOf(w, v.house)
	var err error
	if page.Packets, err = a.lastPackets(ctx, w); err != nil {
		return err
	}
	if page.Check == nil {
		page.Check = a.newForm(c, "packet_check", "/inspector/check")
	}
	status := http.StatusOK
	if !page.Range.OK() || !page.Check.OK() || page.Make != nil && !page.Make.OK() {
		status = http.StatusUnprocessableEntity
	}
	return a.render(c, status, "inspector/packet", page)
}

// packetContents lists the lots filled in the range; the packet holds everything up and down their chains.
func (a *App) packetContents(c *gin.Context, page *inspectorPage, d days) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	lots, err := records.List[records.Lot](ctx, a.store, "day >= ? AND day <= ? ORDER BY day, code", d.from, d.to)
	if err != nil {
		return err
	}
	for _, lot := range lots {
		day, err := w.day(lot.Day)
		if err != nil {
			return err
		}
		page.Lots = append(page.Lots, ledgerLine{Name: records.PrintedCode(lot.Code), Word: day, URL: lotURL(lot.ID)})
	}
	from, err := w.day(d.from)
	if err != nil {
		return err
	}
	to, err := w.day(d.to)
	if err != nil {
		return err
	}
	page.Said = w.say("inspector.range", "From", from, "To", to, "Lots", w.say("count.lots", "Count", len(lots)))
	if len(lots) > 0 && page.Make == nil {
		page.Make = a.newForm(c, "inspector_packet", "/inspector/packet")
		page.Make.Hidden("from", (*string)(&d.from))
		page.Make.Hidden("to", (*string)(&d.to))
	}
	return nil
}

func statementOf(w words, house records.House) statementEntry {
	if house.Statement == "" {
		return statementEntry{}
	}
	day, err := w.day(house.StatementDay)
	if err != nil {
		day = w.notRecorded()
	}
	return statementEntry{Text: house.Statement, Source: house.StatementSource, Entered: w.say("inspector.statement_entered", "Day", day)}
}

func (a *App) lastPackets(ctx context.Context, w words) ([]ledgerLine, error) {
	prints, err := records.List[records.Print](ctx, a.store, "what = 'packet' ORDER BY at DESC, id DESC LIMIT 10")
	if err != nil {
		return nil, err
	}
	lines := make([]ledgerLine, len(prints))
	for i := range prints {
		when, err := w.moment(prints[i].At)
		if err != nil {
			return nil, err
		}
		lines[i] = ledgerLine{Name: prints[i].Note, Word: w.say("record.written", "Who", a.writers(ctx, w, records.Head(&prints[i])), "When", when), URL: recordURL(prints[i].ID)}
	}
	return lines, nil
}

// makePacket makes the packet, writes that it was made, and sends it.
func (a *App) makePacket(c *gin.Context) error {
	f, err := a.readForm(c, "inspector_range", "/inspector")
	if err != nil {
		return err
	}
	var d days
	rangeForm(f, &d)
	page := &inspectorPage{Range: f, Asked: true}
	if !f.OK() {
		return a.renderInspector(c, page, d)
	}
	var zip bytes.Buffer
	v := visitorOf(c)
	_, err = packet.Write(c.Request.Context(), a.store, &zip, packet.Range{From: d.from, To: d.to}, packet.Options{Units: v.units, MadeAt: a.store.Now(), By: v.person.Name})
	if err != nil {
		if f.take(err) {
			return a.renderInspector(c, page, d)
		}
		return err
	}
	house, err := a.store.House(c.Request.Context())
	if err != nil {
		return err
	}
	name := fmt.Sprintf("packet-%s-%s", d.from, d.to)
	if err := a.keepPrint(c, &records.Print{OfID: house.ID, What: "packet", Copies: 1, Note: fmt.Sprintf("%s – %s", d.from, d.to)}); err != nil {
		return err
	}
	c.Header("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name+".zip"))
	c.Data(http.StatusOK, "application/zip", zip.Bytes())
	return nil
}

// largestPacket bounds an uploaded packet.
const largestPacket = 64 << 20

// checkPacket reads an uploaded packet and says whether it matches its own list. It is kept nowhere.
func (a *App) checkPacket(c *gin.Context) error {
	f := a.newForm(c, "packet_check", "/inspector/check")
	page := &inspectorPage{Check: f}
	content, err := uploaded(c, "packet", largestPacket)
	switch {
	case errors.Is(err, errTooLarge):
		return err
	case err != nil || len(content) == 0:
		a.refuseUpload(f, "inspector.no_file")
	default:
		if err := a.reportOf(c, page, content); err != nil {
			return err
		}
	}
	today := a.store.Now()
	d := days{from: records.DayOf(today.AddDate(0, 0, -lastDays), visitorOf(c).zone), to: records.DayOf(today, visitorOf(c).zone)}
	page.Range = a.newForm(c, "inspector_range", "/inspector")
	rangeForm(page.Range, &d)
	return a.renderInspector(c, page, d)
}

// reportOf checks the bytes of a packet.
func (a *App) reportOf(c *gin.Context, page *inspectorPage, content []byte) error {
	w := visitorOf(c).words()
	report, err := packet.Check(bytes.NewReader(content), int64(len(content)))
	if errors.Is(err, packet.ErrNotPacket) {
		a.refuseUpload(page.Check, "inspector.not_packet")
		return nil
	}
	if err != nil {
		return err
	}
	page.Checked = &shownReport{Clean: report.OK(), Said: report.Say(w.lang)}
	for _, problem := range report.Problems {
		page.Checked.Faults = append(page.Checked.Faults, problem.Say(w.lang))
	}
	return nil
}

func (a *App) refuseUpload(f *form, key string) {
	f.Wrong = append(f.Wrong, Wrong{Label: f.words.say("inspector.file"), Message: f.words.say(key), Target: "packet-file"})
}

// uploaded reads one file of a multipart form, up to most bytes.
func uploaded(c *gin.Context, name string, most int64) ([]byte, error) {
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, most)
	reader, err := c.Request.MultipartReader()
	if err != nil {
		return nil, err
	}
	for {
		part, err := reader.NextPart()
		if err != nil {
			return nil, tooLarge(err)
		}
		if part.FormName() == name {
			content, err := io.ReadAll(part)
			return content, tooLarge(err)
		}
	}
}

// tooLarge tells a body over the bound from other faults of reading.
func tooLarge(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) || err != nil && strings.Contains(err.Error(), "request body too large") {
		return errTooLarge
	}
	return err
}
