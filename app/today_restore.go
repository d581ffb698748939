package app

import (
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// restoreQuestion asks, after a backup came back, for the last code printed.
type restoreQuestion struct {
	Lead string
	Form *form
}

// restoreAnswer is what is typed to it.
type restoreAnswer struct {
	code string
	none bool
}

func restoreFields(f *form, to *restoreAnswer) {
	f.Text("last_code", &to.code, 0, longestCode)
	f.Flag("none", &to.none)
}

// restoreQuestions are those not answered yet; only an owner is asked.
func (a *App) restoreQuestions(c *gin.Context) ([]restoreQuestion, error) {
	if !visitorOf(c).may(owner) {
		return nil, nil
	}
	restores, err := records.List[records.Restore](c.Request.Context(), a.store, "last_code = '' ORDER BY restored_at, id")
	if err != nil {
		return nil, err
	}
	var questions []restoreQuestion
	for _, r := range restores {
		f := a.newForm(c, "restore", "/today/restore/"+r.ID)
		f.ID, f.Revision = "restore-"+r.ID, r.Revision
		restoreFields(f, &restoreAnswer{})
		q, err := newRestoreQuestion(f, r)
		if err != nil {
			return nil, err
		}
		questions = append(questions, q)
	}
	return questions, nil
}

func newRestoreQuestion(f *form, r records.Restore) (restoreQuestion, error) {
	backup, err := f.words.moment(r.BackupAt)
	if err != nil {
		return restoreQuestion{}, err
	}
	restored, err := f.words.moment(r.RestoredAt)
	return restoreQuestion{Lead: f.words.say("today_page.restore_lead", "Backup", backup, "Restored", restored), Form: f}, err
}

// nothingPrinted is kept as the last code where no bottle was filled between backup and restore.
const nothingPrinted = "none"

// answerRestore keeps the last code printed, or that there was none.
func (a *App) answerRestore(c *gin.Context) error {
	ctx := c.Request.Context()
	r, err := records.Get[records.Restore](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "restore", "/today/restore/"+r.ID)
	if err != nil {
		return err
	}
	f.ID = "restore-" + r.ID
	var typed restoreAnswer
	restoreFields(f, &typed)
	r.LastCode = lastPrinted(f, typed)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		r.Revision = f.Revision
		err := a.store.Amend(ctx, a.actor(c), &r, f.words.say("restore.why"))
		if status, err = a.finishForm(c, f, err, "/", "restore.kept"); status == 0 {
			return err
		}
	}
	page, err := a.newToday(c)
	if err != nil {
		return err
	}
	for i := range page.Restores {
		if page.Restores[i].Form.ID == f.ID {
			page.Restores[i].Form = f
		}
	}
	return a.render(c, status, "today/today", page)
}

// lastPrinted is the code as it is kept: typed with slips it is put right; a wrong character or both answers at once are
// noted at the field.
func lastPrinted(f *form, typed restoreAnswer) string {
	field := f.named("last_code")
	if typed.none != (typed.code == "") {
		f.wrong(field, "restore.one_of_both")
		return ""
	}
	if typed.none {
		return nothingPrinted
	}
	code, err := labels.ParseLotCode(typed.code)
	var said string
	var malformed labels.MalformedCode
	var wrong labels.WrongCheck
	switch {
	case err == nil:
		return code.String()
	case errors.As(err, &malformed):
		said = malformed.Say(f.words.lang)
	case errors.As(err, &wrong):
		said = wrong.Say(f.words.lang)
	default:
		said = err.Error()
	}
	field.Error = said
	f.Wrong = append(f.Wrong, Wrong{Label: field.Label, Message: said, Target: field.ID})
	return ""
}
