package app

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// wantsJSON tells a request of a page's script from one of a browser.
func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

// Answers to a page's script.
type (
	// keptAnswer: the entry is in the log; Again when it was before this.
	keptAnswer struct {
		Kept  string `json:"kept"`
		Again bool   `json:"again"`
		At    string `json:"at"`
		Said  string `json:"said"`
	}
	// wrongAnswer: something typed cannot be taken.
	wrongAnswer struct {
		Wrong []wrongField `json:"wrong"`
		Said  string       `json:"said"`
	}
	wrongField struct {
		Field   string `json:"field"`
		Label   string `json:"label"`
		Message string `json:"message"`
	}
	// clashAnswer: what was sent was right until something else happened.
	clashAnswer struct {
		Clash string `json:"clash"`
		Link  string `json:"link"`
	}
	// saidAnswer: anything else, in words.
	saidAnswer struct {
		Said      string `json:"said"`
		SignIn    string `json:"signin,omitempty"`
		Reference string `json:"reference,omitempty"`
	}
)

// answerJSON is answer for a page's script.
func (a *App) answerJSON(c *gin.Context, err error) {
	w, rep := visitorOf(c).words(), replyFor(err, c.Request)
	said := w.say(rep.key, rep.args...)
	var already records.Already
	switch {
	case errors.As(err, &already):
		c.JSON(http.StatusOK, a.keptBefore(c, already.RecordID))
	case errors.Is(err, errSignIn):
		c.JSON(http.StatusUnauthorized, saidAnswer{Said: w.say("phone.sign_in"), SignIn: "/login?next=" + url.QueryEscape(pageOf(c.Request))})
	case rep.status == http.StatusUnprocessableEntity:
		wrong := wrongAnswer{Said: w.say("phone.not_kept"), Wrong: []wrongField{}}
		for _, fault := range rep.fields {
			wrong.Wrong = append(wrong.Wrong, wrongField{Field: fault.Field, Message: w.say(fault.Key, fault.Args...)})
		}
		c.JSON(rep.status, wrong)
	case rep.status == http.StatusConflict:
		c.JSON(rep.status, clashAnswer{Clash: said, Link: rep.link})
	case rep.status >= http.StatusInternalServerError:
		c.JSON(rep.status, saidAnswer{Said: said, Reference: a.logFault(c, err)})
	default:
		c.JSON(rep.status, saidAnswer{Said: said})
	}
}

// pageOf is the page a script's request belongs to: what a run's entry is posted to lies one step below the run.
func pageOf(r *http.Request) string {
	path := r.URL.Path
	if i := strings.LastIndex(path, "/"); r.Method != http.MethodGet && i > 0 {
		path = path[:i]
	}
	return localPath(strings.TrimSuffix(path, "/live"))
}

// keptBefore is the answer of the first time, for an entry that comes again.
func (a *App) keptBefore(c *gin.Context, id string) keptAnswer {
	kept := keptAnswer{Kept: id, Again: true, Said: visitorOf(c).words().say("kettle_page.kept")}
	if fact, err := records.Load(c.Request.Context(), a.store, id); err == nil {
		kept.At, _ = records.Columns(fact)["at"].(string)
	}
	return kept
}

// answerKept says that an entry is in the log.
func (a *App) answerKept(c *gin.Context, id string, at time.Time, key string) error {
	c.JSON(http.StatusOK, keptAnswer{Kept: id, At: at.UTC().Format(time.RFC3339), Said: visitorOf(c).words().say(key)})
	return nil
}

// answerWrong says what is wrong with a form.
func answerWrong(c *gin.Context, f *form) error {
	wrong := wrongAnswer{Wrong: []wrongField{}, Said: f.words.say("phone.not_kept")}
	for _, w := range f.Wrong {
		wrong.Wrong = append(wrong.Wrong, wrongField{Field: strings.TrimPrefix(w.Target, f.ID+"-"), Label: w.Label, Message: w.Message})
	}
	c.JSON(http.StatusUnprocessableEntity, wrong)
	return nil
}
