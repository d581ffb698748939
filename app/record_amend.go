package app

import (
	"fmt"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// amendable loads the record of the address and the form of its kind, if the visitor may amend it.
func (a *App) amendable(c *gin.Context) (records.Fact, *kindPage, error) {
	fact, err := records.Load(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return nil, nil, err
	}
	k, ok := a.kinds.of[fact.Kind()]
	if !ok {
		return nil, nil, fmt.Errorf("amend a %s: no form: %w", fact.Kind(), records.ErrNotFound)
	}
	if records.Head(fact).Struck {
		return nil, nil, records.Conflict{Key: "conflict.struck", ID: records.Head(fact).ID}
	}
	return fact, k, visitorOf(c).permit(k.Write)
}

// amendForm is the kind's own form with the reason below.
func amendForm(f *form, k *kindPage, fact records.Fact, why *string) {
	k.bind(f, fact)
	reason := f.Text("why", why, 1, 400)
	f.rename(reason, f.words.say("record.why"))
	reason.Help = f.words.say("record.why.help")
	f.Submit = f.words.say("record.amend_submit")
	f.Cancel = recordURL(records.Head(fact).ID)
}

func amendPage(f *form, heading string) *formPage {
	return &formPage{Heading: f.words.say("record.amend_title", "Name", heading), Lead: f.words.say("record.amend_lead"), Form: f}
}

// showAmend shows the record in its form.
func (a *App) showAmend(c *gin.Context) error {
	fact, k, err := a.amendable(c)
	if err != nil {
		return err
	}
	f := a.newForm(c, string(k.Kind), recordURL(c.Param("id"))+"/amend")
	f.Revision = records.Head(fact).Revision
	amendForm(f, k, fact, new(string))
	if err := f.Err(); err != nil {
		return err
	}
	return a.show(c, "kind/form", amendPage(f, records.NameOf(c.Request.Context(), a.store, fact)))
}

// amendRecord writes the next revision, with its reason. Whoever read an older revision than the newest is told so, and
// nothing is written.
func (a *App) amendRecord(c *gin.Context) error {
	fact, k, err := a.amendable(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, string(k.Kind), recordURL(c.Param("id"))+"/amend")
	if err != nil {
		return err
	}
	heading, why := records.NameOf(c.Request.Context(), a.store, fact), ""
	amendForm(f, k, fact, &why)
	if f.OK() {
		rowOf(fact).Revision = f.Revision
		err := a.store.Amend(c.Request.Context(), a.actor(c), fact, why)
		if err == nil {
			return a.redirect(c, recordURL(c.Param("id")), "record.amended")
		}
		if !f.take(err) {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.redisplay(c, "kind/form", amendPage(f, heading))
}

// strikeForm takes a record back as a mistake, with a reason.
func (a *App) strikeForm(c *gin.Context, fact records.Fact) *form {
	f := a.newForm(c, "strike", recordURL(records.Head(fact).ID)+"/strike")
	f.Text("why", new(string), 1, 400)
	return f
}

func (a *App) strikeRecord(c *gin.Context) error {
	f, err := a.readForm(c, "strike", recordURL(c.Param("id"))+"/strike")
	if err != nil {
		return err
	}
	before, err := records.Submitted(c.Request.Context(), a.store, f.raw.Get("submission"))
	if err != nil {
		return err
	}
	if before != "" { // its first answer was lost
		return records.Already{RecordID: before}
	}
	fact, _, err := a.amendable(c)
	if err != nil {
		return err
	}
	var why string
	f.Text("why", &why, 1, 400)
	if f.OK() {
		err := a.store.Strike(c.Request.Context(), a.actor(c), c.Param("id"), why)
		switch {
		case err == nil && wantsJSON(c.Request):
			return a.answerKept(c, c.Param("id"), a.store.Now(), "record.was_struck")
		case err == nil:
			return a.redirect(c, recordURL(c.Param("id")), "record.was_struck")
		}
		if !f.take(err) {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	if wantsJSON(c.Request) {
		return answerWrong(c, f)
	}
	return a.showFact(c, http.StatusUnprocessableEntity, fact, f)
}
