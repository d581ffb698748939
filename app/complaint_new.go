package app

import (
	"context"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// newComplaintPage is the form of a new complaint, with a photo of the label as another way to its code.
type newComplaintPage struct {
	Page
	Form  *form
	Photo photoForm
}

// newComplaint is what the form takes: the code stands first, since everything else hangs on it.
type newComplaint struct {
	code       string
	unreadable bool
	complaint  records.Complaint
}

func (a *App) newComplaintForm(f *form, n *newComplaint) {
	code := f.Text("code", &n.code, 0, longestCode)
	code.Required = true
	f.Flag("unreadable", &n.unreadable)
	complaintForm(f, &n.complaint)
	f.Cancel = "/complaints"
}

func (a *App) showNewComplaint(c *gin.Context) error {
	n := &newComplaint{code: c.Query("code"), complaint: records.Complaint{ReceivedAt: a.store.Now()}}
	if id := c.Query("lot"); id != "" {
		lot, err := records.Get[records.Lot](c.Request.Context(), a.store, id)
		if err != nil {
			return err
		}
		n.code = records.PrintedCode(lot.Code)
	}
	return a.showComplaintForm(c, n, photoForm{})
}

// showComplaintForm shows a fresh form; photo holds what was wrong with a photo, if one was sent.
func (a *App) showComplaintForm(c *gin.Context, n *newComplaint, photo photoForm) error {
	f := a.newForm(c, "complaint", "/complaints")
	a.newComplaintForm(f, n)
	if err := f.Err(); err != nil {
		return err
	}
	page := &newComplaintPage{Form: f, Photo: photo}
	if photo.Error != "" {
		return a.redisplay(c, "complaint/new", page)
	}
	page.Photo = newPhotoForm(f.words, "complaint-photo", "/complaints/photo")
	return a.show(c, "complaint/new", page)
}

// complaintByPhoto reads the lot code from a photo and goes on to the form.
func (a *App) complaintByPhoto(c *gin.Context) error {
	id, err := a.lotInPhoto(c)
	if err == nil {
		return a.redirect(c, "/complaints/new?lot="+id, "")
	}
	w := visitorOf(c).words()
	photo := newPhotoForm(w, "complaint-photo", "/complaints/photo")
	if !photo.take(w, err) {
		return err
	}
	return a.showComplaintForm(c, &newComplaint{complaint: records.Complaint{ReceivedAt: a.store.Now()}}, photo)
}

func (a *App) createComplaint(c *gin.Context) error {
	ctx := c.Request.Context()
	f, err := a.readForm(c, "complaint", "/complaints")
	if err != nil {
		return err
	}
	n := &newComplaint{}
	a.newComplaintForm(f, n)
	if err := a.lotOfComplaint(ctx, f, n); err != nil {
		return err
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		k := &n.complaint
		err := a.store.Write(ctx, a.actor(c), k)
		if made := madeBefore(err); made != "" {
			k.ID, err = made, nil
		}
		if status, err = a.finishForm(c, f, err, complaintURL(k.ID), "complaint.kept"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.render(c, status, "complaint/new", &newComplaintPage{Form: f, Photo: newPhotoForm(f.words, "complaint-photo", "/complaints/photo")})
}

// lotOfComplaint finds the lot by the code typed or chosen. Only where it is said that the code cannot be read is a
// complaint kept without a lot.
func (a *App) lotOfComplaint(ctx context.Context, f *form, n *newComplaint) error {
	if instead := strings.TrimSpace(f.raw.Get("instead")); instead != "" {
		n.code = instead
		f.named("code").Value = instead
	}
	n.complaint.CodeTyped = n.code
	if n.unreadable {
		return nil
	}
	var err error
	n.complaint.LotID, err = a.lotAtField(ctx, f, f.named("code"), n.code)
	return err
}
