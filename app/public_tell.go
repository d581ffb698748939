package app

import (
	"errors"
	"html/template"
	"net"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// maxPublicPhoto bounds a photo from a stranger, in bytes: a phone's picture is rarely larger.
const maxPublicPhoto = 8 << 20

// tellPage asks somebody who holds a bottle what is the matter with it.
type tellPage struct {
	Page
	Product, Code, Bottle string
	Form                  *form
	Photo                 *Field
}

// toldPage thanks, and says what to do meanwhile.
type toldPage struct {
	Page
	Maker, Telephone, Bottle string
	Call                     template.URL
}

// toldComplaint is what the form takes. A person leaves the last field blank, since no page shows it.
type toldComplaint struct {
	complaint records.Complaint
	website   string
}

// tellForm binds what a stranger may say of a bottle.
func tellForm(f *form, t *toldComplaint) *Field {
	k := &t.complaint
	f.Choice("about", &k.About, required, records.ComplaintAbout()...)
	f.LongText("story", &k.Story, 1, longText)
	photo := f.field("photo", "file", optional)
	f.Text("bought_at", &k.BoughtAt, 0, 200)
	f.Day("opened_on", &k.OpenedOn, optional)
	f.Text("stored", &k.Stored, 0, 200)
	f.Text("contact_name", &k.Contact.Name, 0, shortText)
	f.Text("contact_telephone", &k.Contact.Telephone, 0, 40)
	f.Text("contact_email", &k.Contact.Email, 0, shortText)
	f.Text("website", &t.website, 0, 400)
	return photo
}

func (a *App) tellPage(f *form, p records.Public, photo *Field) *tellPage {
	f.Cancel = publicURL(p.Code)
	return &tellPage{Page: Page{Stranger: true}, Product: p.Product, Code: p.Code, Bottle: publicURL(p.Code), Form: f, Photo: photo}
}

func (a *App) showTell(c *gin.Context) error {
	public, err := a.publicOf(c)
	if unknownBottle(err) {
		return a.showUnknown(c)
	}
	if err != nil {
		return err
	}
	f := a.newForm(c, "public_tell", publicURL(public.Code)+"/tell")
	photo := tellForm(f, &toldComplaint{})
	return a.show(c, "public/tell", a.tellPage(f, public, photo))
}

// tell keeps what a stranger wrote as a complaint with the lot filled in. How often is bounded, from one address and from
// all together.
func (a *App) tell(c *gin.Context) error {
	public, err := a.publicOf(c)
	if unknownBottle(err) {
		return a.showUnknown(c)
	}
	if err != nil {
		return err
	}
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxPublicPhoto+maxFormText)
	f, file, err := a.readFileForm(c, "public_tell", publicURL(public.Code)+"/tell")
	if err != nil {
		return err
	}
	t := &toldComplaint{}
	photo := tellForm(f, t)
	photo.Value = ""
	if t.website != "" && f.OK() { // a machine filled in what no person sees
		return a.redirect(c, publicURL(public.Code)+"/told", "")
	}
	allowed := a.photoOfStranger(c, f, photo, file)
	if f.OK() && !(allowed && a.mayTell(c.ClientIP())) {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("public.too_many", "Telephone", public.Telephone)})
	}
	if f.OK() {
		err := a.keepTold(c, f, public, t, file)
		if err == nil || errors.As(err, new(records.Already)) {
			return a.redirect(c, publicURL(public.Code)+"/told", "")
		}
		if !f.take(err) {
			return err
		}
	}
	return a.redisplay(c, "public/tell", a.tellPage(f, public, photo))
}

func (a *App) keepTold(c *gin.Context, f *form, public records.Public, t *toldComplaint, file *sentFile) error {
	t.complaint.LotID, t.complaint.CodeTyped = &public.LotID, public.Code
	var kept *records.Attachment
	if file.bytes != nil {
		kept = &records.Attachment{Name: file.name, MediaType: file.mediaType}
	}
	return a.store.Tell(c.Request.Context(), f.Submission, &t.complaint, kept, file.bytes)
}

// photoOfStranger says at the field what is wrong with a photo; none is nothing wrong. A picture is looked at once all else
// is in order, since the crew's own photos wait for it; it is false when too many were looked at already.
func (a *App) photoOfStranger(c *gin.Context, f *form, field *Field, file *sentFile) bool {
	tooLarge := file.wrong == "photo.too_large" || len(file.bytes) > maxPublicPhoto
	if f.OK() && file.bytes != nil && !tooLarge {
		if !a.mayShow(c.ClientIP()) {
			return false
		}
		a.checkPicture(file)
	}
	switch {
	case tooLarge:
		f.wrong(field, "photo.too_large", "Most", maxPublicPhoto>>20)
	case file.wrong != "" && file.wrong != "attachment.none":
		f.wrong(field, file.wrong, file.args...)
	}
	return true
}

// mayTell bounds complaints from one address, and from all together.
func (a *App) mayTell(address string) bool {
	address = networkOf(address)
	return a.tells.allow(address) && a.allTells.allow("")
}

// mayShow bounds the pictures that are looked at for strangers, also those of messages that are then not kept.
func (a *App) mayShow(address string) bool {
	address = networkOf(address)
	return a.shows.allow(address) && a.allShows.allow("")
}

// networkOf is an address as it is counted: those of one IPv6 network are one.
func networkOf(address string) string {
	if ip := net.ParseIP(address); ip != nil && ip.To4() == nil {
		return ip.Mask(net.CIDRMask(64, 128)).String()
	}
	return address
}

func (a *App) showTold(c *gin.Context) error {
	public, err := a.publicOf(c)
	if unknownBottle(err) {
		return a.showUnknown(c)
	}
	if err != nil {
		return err
	}
	return a.show(c, "public/told", &toldPage{Page: Page{Stranger: true}, Maker: public.Maker, Telephone: public.Telephone, Call: dialled(public.Telephone), Bottle: publicURL(public.Code)})
}
