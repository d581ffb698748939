package app

import (
	"context"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// complaintPage is one complaint with everything one needs to answer it.
type complaintPage struct {
	Page
	Heading, Word      string
	Closed, Decision   string // when it was closed; empty while it is open
	Facts              []line
	First, Causes      string // what to do first; what in the process brings such a complaint about
	Caution            string
	Question           string // two alike on this lot: hold it?
	Holds              []holdChoice
	Pull               []line
	Similar            []similarComplaint
	Answer             *lotAnswer
	Close, Lot         *form
	Amend, Trace, File string
	Photos             []keptFile
}

// keptFile is a file kept with a record, as a page shows it.
type keptFile struct{ URL, Name string }

// holdChoice is one released part and the form that holds it.
type holdChoice struct {
	Name string
	Form *form
}

func (a *App) showComplaint(c *gin.Context) error {
	k, err := records.Get[records.Complaint](c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	return a.showComplaintPage(c, http.StatusOK, k, a.closeForm(c, k), a.lotForm(c, k))
}

func (a *App) showComplaintPage(c *gin.Context, status int, k records.Complaint, closing, lot *form) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	page := &complaintPage{Heading: capital(w.say("complaint.about." + k.About)), Close: closing, Lot: lot, Decision: k.Decision,
		First: w.say("complaint_first." + k.About), Causes: w.say("complaint_cause." + k.About), Facts: complaintFacts(v, k)}
	if spoils(k.About) {
		page.Caution = w.say("caution.taste")
	}
	if v.may(crew) && !k.Struck {
		page.Amend = recordURL(k.ID) + "/amend"
	}
	var err error
	if page.Word, err = w.moment(k.ReceivedAt); err != nil {
		return err
	}
	if k.ClosedAt != nil {
		if page.Closed, err = w.moment(*k.ClosedAt); err != nil {
			return err
		}
	}
	kept, err := records.AttachmentsOf(ctx, a.store, k.ID)
	if err != nil {
		return err
	}
	for _, f := range kept {
		page.Photos = append(page.Photos, keptFile{"/attachment/" + f.ID, f.Name})
	}
	var back *records.Trace
	if k.LotID != nil {
		if err := a.complaintLotInto(c, page, k); err != nil {
			return err
		}
		back = &page.Answer.back
	}
	if page.Similar, err = a.similarTo(ctx, w, k, back); err != nil {
		return err
	}
	return a.render(c, status, "complaint/complaint", page)
}

// spoils tells the complaints whose bottle nobody should taste.
func spoils(about string) bool {
	switch about {
	case "fizzy", "mould", "taste", "piece", "leak", "illness", "other":
		return true
	}
	return false
}

// complaintFacts are the fields as written. Who complained is for the crew only.
func complaintFacts(v *visitor, k records.Complaint) []line {
	var facts []line
	for _, l := range linesOf(v.words(), &k) {
		switch l.column {
		case "about", "lot_id", "decision", "closed_at", "received_at":
			continue
		case "contact_name", "contact_person", "contact_address", "contact_telephone", "contact_email":
			if !v.may(crew) {
				continue
			}
		case "code_typed":
			if k.LotID != nil {
				continue
			}
		}
		facts = append(facts, l)
	}
	return facts
}

// complaintLotInto fills what hangs on the lot: its trace, the records to pull, whether to hold it.
func (a *App) complaintLotInto(c *gin.Context, page *complaintPage, k records.Complaint) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	var err error
	if page.Answer, err = a.answerFor(ctx, w, *k.LotID, false); err != nil {
		return err
	}
	page.Heading, page.Trace, page.File = page.Heading+" · "+page.Answer.Code, traceURL(*k.LotID), "/sheet/"+*k.LotID
	if page.Pull, err = a.pullLines(ctx, w, page.Answer, k.About); err != nil {
		return err
	}
	if page.Trail, err = a.trail(ctx, w, &page.Answer.lot); err != nil {
		return err
	}
	page.Trail = complaintTrail(w, page.Trail, k)
	return a.holdsInto(c, page, k)
}

// complaintTrail is the trail of the lot with the complaint behind it.
func complaintTrail(w words, steps []Step, k records.Complaint) []Step {
	for i := range steps {
		steps[i].Here = false
	}
	return append(steps, Step{Name: w.say("complaint.step"), URL: complaintURL(k.ID), Here: true})
}

// holdsInto offers to hold what may still leave, and asks when two complaints on this lot are alike.
func (a *App) holdsInto(c *gin.Context, page *complaintPage, k records.Complaint) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	w := v.words()
	reason := w.say("complaint.hold_reason", "About", w.say("complaint.about."+k.About))
	for _, p := range page.Answer.parts {
		if p.State == records.StateReleased && v.may(crew) {
			page.Holds = append(page.Holds, holdChoice{Name: partName(w, p), Form: a.holdForm(c, p.ID, complaintURL(k.ID), reason)})
		}
	}
	if len(page.Holds) == 0 {
		return nil
	}
	same, err := a.complaintsAlike(ctx, k)
	if err == nil && same > 1 {
		page.Question = w.say("complaint.question", "Count", same, "Code", page.Answer.Code)
	}
	return err
}

// complaintsAlike counts the complaints on the same lot that are like this one, itself too.
func (a *App) complaintsAlike(ctx context.Context, k records.Complaint) (int, error) {
	same, err := records.List[records.Complaint](ctx, a.store, "lot_id = ?", *k.LotID)
	count := 0
	for _, other := range same {
		if alike(k, other) {
			count++
		}
	}
	return count, err
}
