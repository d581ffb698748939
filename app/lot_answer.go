package app

import (
	"errors"
	"net/url"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// answerPage asks for the four parts that answer one finding on one part (21 CFR 117.150(a)(2)).
type answerPage struct {
	Page
	Code, Part string
	Finding    *shownFinding // nil when it is no longer found
	Form       *form
}

// mayAnswer tells who may write a corrective action: an owner, or whoever may release.
func mayAnswer(v *visitor) bool { return v.may(owner) || v.may(crew) && v.person.MayRelease }

// answerURL is where a finding is answered for a part.
func answerURL(partID string, f hazards.Finding) string {
	return "/part/" + url.PathEscape(partID) + "/answer?" + url.Values{"finding": {f.Code}, "about": {f.About}}.Encode()
}

// answerForm is the four-part text. Which finding it answers is carried along.
func answerForm(f *form, k *records.CorrectiveAction) {
	f.Hidden("finding", &k.Finding)
	f.Hidden("about", &k.AboutID)
	f.LongText("problem", &k.Problem, 1, longText)
	f.LongText("recurrence", &k.Recurrence, 1, longText)
	f.LongText("evaluation", &k.Evaluation, 1, longText)
	f.LongText("commerce", &k.Commerce, 1, longText)
}

// answerable gives the part with the right checked.
func (a *App) answerable(c *gin.Context) (records.Judged, error) {
	judged, err := records.JudgePart(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return judged, err
	}
	if !mayAnswer(visitorOf(c)) {
		return judged, records.Forbidden{Key: "lot_page.may_answer"}
	}
	return judged, nil
}

func (a *App) showAnswer(c *gin.Context) error {
	judged, err := a.answerable(c)
	if err != nil {
		return err
	}
	f := a.newForm(c, "corrective_action", c.Request.URL.Path)
	k := &records.CorrectiveAction{Finding: c.Query("finding"), AboutID: c.Query("about")}
	answerForm(f, k)
	return a.show(c, "lot/answer", a.newAnswerPage(c, f, judged, k))
}

func (a *App) newAnswerPage(c *gin.Context, f *form, judged records.Judged, k *records.CorrectiveAction) *answerPage {
	w := visitorOf(c).words()
	f.Cancel = lotURL(judged.Shelf.LotID)
	page := &answerPage{Code: records.PrintedCode(judged.Shelf.LotCode), Part: w.say("lot_page.part", "Number", judged.Shelf.Number), Form: f}
	for _, finding := range judged.Findings {
		if finding.Code == k.Finding && finding.About == k.AboutID {
			shown := shownFindingOf(w, finding)
			page.Finding = &shown
		}
	}
	return page
}

func (a *App) answerFinding(c *gin.Context) error {
	judged, err := a.answerable(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "corrective_action", c.Request.URL.Path)
	if err != nil {
		return err
	}
	k := &records.CorrectiveAction{PartID: judged.Shelf.ID, At: a.store.Now()}
	answerForm(f, k)
	page := a.newAnswerPage(c, f, judged, k)
	if page.Finding == nil {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say("lot_page.finding_gone")})
	}
	if f.OK() {
		err := a.store.Write(c.Request.Context(), a.actor(c), k)
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, lotURL(judged.Shelf.LotID)+"#findings", "lot_page.answer_kept")
		}
		if !f.take(err) {
			return err
		}
	}
	if err := errors.Join(f.Err()); err != nil {
		return err
	}
	return a.redisplay(c, "lot/answer", page)
}
