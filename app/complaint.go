package app

import (
	"context"
	"net/http"
	"net/url"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// complaintRoutes are the complaints'.
func (a *App) complaintRoutes() []route {
	return []route{
		{"GET", "/complaints", reader, a.listComplaints},
		{"POST", "/complaints", crew, a.createComplaint},
		{"GET", "/complaints/new", crew, a.showNewComplaint},
		{"POST", "/complaints/photo", crew, a.complaintByPhoto},
		{"GET", "/complaints/:id", reader, a.showComplaint},
		{"POST", "/complaints/:id/close", crew, a.closeComplaint},
		{"POST", "/complaints/:id/lot", crew, a.moveComplaint},
	}
}

func complaintURL(id string) string { return "/complaints/" + url.PathEscape(id) }

// complaintForm serves a new complaint, behind the code of its lot, and amending.
func complaintForm(f *form, k *records.Complaint) {
	f.Choice("about", &k.About, required, records.ComplaintAbout()...)
	f.LongText("story", &k.Story, 1, longText)
	f.Count("units", &k.Units, 1, 1_000_000, optional)
	f.Text("bought_at", &k.BoughtAt, 0, 200)
	f.Day("opened_on", &k.OpenedOn, optional)
	f.Text("stored", &k.Stored, 0, 200)
	f.moment("received_at", &k.ReceivedAt)
	f.Text("contact_name", &k.Contact.Name, 0, shortText)
	f.Text("contact_telephone", &k.Contact.Telephone, 0, 40)
	f.Text("contact_email", &k.Contact.Email, 0, shortText)
}

// complaintsPage lists complaints, open ones first, and asks about lots with several alike.
type complaintsPage struct {
	Page
	New          string
	Questions    []ledgerLine
	Open, Closed []ledgerLine
}

func (a *App) listComplaints(c *gin.Context) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	all, err := records.List[records.Complaint](ctx, a.store, "ORDER BY received_at DESC, id DESC")
	if err != nil {
		return err
	}
	page := &complaintsPage{}
	if v.may(crew) {
		page.New = "/complaints/new"
	}
	if page.Questions, err = a.holdQuestions(ctx, v.words(), all); err != nil {
		return err
	}
	if page.Open, page.Closed, err = a.complaintLines(ctx, v.words(), all); err != nil {
		return err
	}
	return a.show(c, "complaint/list", page)
}

// complaintLines parts complaints into open and closed.
func (a *App) complaintLines(ctx context.Context, w words, all []records.Complaint) (open, closed []ledgerLine, err error) {
	codes, err := a.codesOf(ctx, all)
	if err != nil {
		return nil, nil, err
	}
	for _, k := range all {
		code := w.say("complaint.no_lot")
		if k.LotID != nil {
			code = codes[*k.LotID]
		}
		l, err := complaintLine(w, k, code)
		if err != nil {
			return nil, nil, err
		}
		if k.ClosedAt == nil {
			open = append(open, l)
		} else {
			closed = append(closed, l)
		}
	}
	return open, closed, nil
}

// codesOf gives the printed codes of the lots complained about.
func (a *App) codesOf(ctx context.Context, all []records.Complaint) (map[string]string, error) {
	var ids []string
	for _, k := range all {
		if k.LotID != nil {
			ids = append(ids, *k.LotID)
		}
	}
	lots, err := records.ListIDs[records.Lot](ctx, a.store, "id", ids)
	codes := map[string]string{}
	for _, l := range lots {
		codes[l.ID] = records.PrintedCode(l.Code)
	}
	return codes, err
}

// complaintLine is one complaint in a list; code may be left out.
func complaintLine(w words, k records.Complaint, code string) (ledgerLine, error) {
	day, err := w.day(k.ReceivedAt)
	if err != nil {
		return ledgerLine{}, err
	}
	name := w.say("complaint.about." + k.About)
	if code != "" {
		name = code + " · " + name
	}
	word := w.say("complaint.open_since", "Day", day)
	if k.ClosedAt != nil {
		if day, err = w.day(*k.ClosedAt); err != nil {
			return ledgerLine{}, err
		}
		word = w.say("complaint.closed_on", "Day", day)
	}
	return ledgerLine{Name: capital(name), Word: word, URL: complaintURL(k.ID)}, nil
}

// closing is what closing a complaint takes.
type closing struct{ decision string }

func (a *App) closeForm(c *gin.Context, k records.Complaint) *form {
	if k.ClosedAt != nil || k.Struck || !visitorOf(c).may(crew) {
		return nil
	}
	f := a.newForm(c, "complaint_close", complaintURL(k.ID)+"/close")
	f.Revision = k.Revision
	closeFields(f, &closing{decision: k.Decision})
	return f
}

func closeFields(f *form, to *closing) { f.LongText("decision", &to.decision, 1, longText) }

// closeComplaint writes the decision and the moment: an amendment, so that what was written before stays readable.
func (a *App) closeComplaint(c *gin.Context) error {
	k, err := records.Get[records.Complaint](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "complaint_close", complaintURL(k.ID)+"/close")
	if err != nil {
		return err
	}
	var typed closing
	closeFields(f, &typed)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		amended, now := k, a.store.Now()
		amended.Revision, amended.Decision, amended.ClosedAt = f.Revision, typed.decision, &now
		err := a.store.Amend(c.Request.Context(), a.actor(c), &amended, f.words.say("complaint.why_closed"))
		if status, err = a.finishForm(c, f, err, complaintURL(k.ID), "complaint.closed"); status == 0 {
			return err
		}
	}
	return a.showComplaintPage(c, status, k, f, a.lotForm(c, k))
}

// lotForm says which lot a complaint is about, when its code is read later or was read wrongly.
func (a *App) lotForm(c *gin.Context, k records.Complaint) *form {
	if k.ClosedAt != nil || k.Struck || !visitorOf(c).may(crew) {
		return nil
	}
	f := a.newForm(c, "complaint_lot", complaintURL(k.ID)+"/lot")
	f.Revision = k.Revision
	code := ""
	if k.LotID == nil {
		code = k.CodeTyped
	}
	f.Text("code", &code, 1, longestCode)
	return f
}

func (a *App) moveComplaint(c *gin.Context) error {
	ctx := c.Request.Context()
	k, err := records.Get[records.Complaint](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "complaint_lot", complaintURL(k.ID)+"/lot")
	if err != nil {
		return err
	}
	var code string
	field := f.Text("code", &code, 1, longestCode)
	amended := k
	if f.OK() {
		if amended.LotID, err = a.lotAtField(ctx, f, field, code); err != nil {
			return err
		}
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		amended.Revision, amended.CodeTyped = f.Revision, code
		err := a.store.Amend(ctx, a.actor(c), &amended, f.words.say("complaint.why_lot"))
		if status, err = a.finishForm(c, f, err, complaintURL(k.ID), "record.amended"); status == 0 {
			return err
		}
	}
	return a.showComplaintPage(c, status, k, a.closeForm(c, k), f)
}

// lotAtField finds the lot of a typed code. What is wrong with the code stands at its field, with the nearest codes that
// there are.
func (a *App) lotAtField(ctx context.Context, f *form, field *Field, code string) (*string, error) {
	id, err := a.lotTyped(ctx, code)
	if err == nil {
		return &id, nil
	}
	said, near, err := a.codeFault(ctx, f.words, code, err)
	if err != nil {
		return nil, err
	}
	field.Error = said
	f.Wrong = append(f.Wrong, Wrong{Label: field.Label, Message: said, Target: field.ID})
	a.offerCodes(f, near)
	return nil, nil
}

// offerCodes lets one of the nearest codes be chosen instead of the typed one.
func (a *App) offerCodes(f *form, near []ledgerLine) {
	if len(near) == 0 {
		return
	}
	field := &Field{ID: f.ID + "-instead", Name: "instead", Kind: "choice", Label: f.words.say("complaint.instead")}
	for _, l := range near {
		field.Choices = append(field.Choices, Choice{Value: l.Name, Name: l.Name + " · " + l.Word})
	}
	field.Choices = append(field.Choices, Choice{Name: f.words.say("complaint.instead_none"), Chosen: true})
	for i, other := range f.Fields {
		if other.Name == "code" {
			f.Fields = append(f.Fields[:i+1:i+1], append([]*Field{field}, f.Fields[i+1:]...)...)
			return
		}
	}
}
