package app

import (
	"context"
	"errors"
	"net/http"
	"net/url"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/records"
)

// What only the web app can refuse.
var (
	errSignIn      = errors.New("sign in first")
	errMethod      = errors.New("method not allowed")
	errTooMany     = errors.New("too many attempts")
	errTooLarge    = errors.New("request body too large")
	errCrossOrigin = errors.New("request from another site")
)

func noRoute(*gin.Context) error  { return records.ErrNotFound }
func noMethod(*gin.Context) error { return errMethod }

// reply is what an error becomes: a status, words by key, and where to go instead or next.
type reply struct {
	status   int
	key      string // catalogue key of the message; its heading is key + "_heading"
	args     []any
	fields   records.Invalid
	link     string // record to look at
	redirect string // go there instead of showing a page
}

// replyFor is the one place where errors become HTTP.
func replyFor(err error, r *http.Request) reply {
	var invalid records.Invalid
	var conflict records.Conflict
	var forbidden records.Forbidden
	var already records.Already
	var notReleasable records.NotReleasable
	switch {
	case errors.As(err, &invalid):
		return reply{status: http.StatusUnprocessableEntity, key: "error.invalid", fields: invalid}
	case errors.As(err, &notReleasable):
		return reply{status: http.StatusUnprocessableEntity, key: "error.not_releasable"}
	case errors.As(err, &already):
		return reply{status: http.StatusSeeOther, redirect: recordURL(already.RecordID)}
	case errors.As(err, &conflict):
		return reply{status: http.StatusConflict, key: conflict.Key, args: conflict.Args, link: recordURL(conflict.ID)}
	case errors.As(err, &forbidden):
		return reply{status: http.StatusForbidden, key: forbidden.Key, args: forbidden.Args}
	case errors.Is(err, errCrossOrigin):
		return reply{status: http.StatusForbidden, key: "error.cross_origin"}
	case errors.Is(err, records.ErrNotFound):
		return reply{status: http.StatusNotFound, key: "error.not_found"}
	case errors.Is(err, errSignIn) && (r.Method == http.MethodGet || r.Method == http.MethodHead):
		return reply{status: http.StatusSeeOther, redirect: "/login?next=" + url.QueryEscape(r.URL.RequestURI())}
	case errors.Is(err, errSignIn):
		return reply{status: http.StatusUnauthorized, key: "error.sign_in"}
	case errors.Is(err, errMethod):
		return reply{status: http.StatusMethodNotAllowed, key: "error.method"}
	case errors.Is(err, errTooMany):
		return reply{status: http.StatusTooManyRequests, key: "error.too_many"}
	case errors.Is(err, errTooLarge):
		return reply{status: http.StatusRequestEntityTooLarge, key: "error.too_large"}
	case records.NoRoom(err):
		return reply{status: http.StatusInsufficientStorage, key: "error.no_room"}
	}
	return reply{status: http.StatusInternalServerError, key: "error.internal"}
}

// errorPage says what happened and where to go from there.
type errorPage struct {
	Page
	Heading, Message string
	Details          []string
	Reference        string // of the log line, when the fault is ours
	Link             string
}

// gone tells whether whoever asked has gone on to another page before the answer came: nobody waits for it, and nothing failed.
func gone(r *http.Request, err error) bool {
	return errors.Is(err, context.Canceled) && r.Context().Err() != nil
}

// answer sends the reply of an error. What the person cannot mend is logged under a reference, and only that is shown.
func (a *App) answer(c *gin.Context, err error) {
	if gone(c.Request, err) {
		return
	}
	if wantsJSON(c.Request) {
		a.answerJSON(c, err)
		return
	}
	rep := replyFor(err, c.Request)
	if rep.redirect != "" {
		c.Redirect(rep.status, rep.redirect)
		return
	}
	v := visitorOf(c)
	page := &errorPage{Heading: headingOf(v.lang, rep), Message: v.words().say(rep.key, rep.args...), Link: rep.link}
	for _, wrong := range rep.fields {
		page.Details = append(page.Details, v.words().say(wrong.Key, wrong.Args...))
	}
	if rep.status >= http.StatusInternalServerError {
		page.Reference = a.logFault(c, err)
	}
	if err := a.render(c, rep.status, "error/error", page); err != nil {
		a.log.Error("error page failed", "error", err)
		c.String(rep.status, page.Message+"\n")
	}
}

// logFault logs a fault of ours and gives the reference it stands under.
func (a *App) logFault(c *gin.Context, err error) string {
	reference := newToken()[:8]
	a.log.Error("request failed", "reference", reference, "method", c.Request.Method, "path", c.Request.URL.Path, "error", err)
	return reference
}

// headingOf is the message's own heading when it has one, else that of its status.
func headingOf(lang text.Language, rep reply) string {
	if own := rep.key + "_heading"; text.Has(text.English, own) {
		return text.Say(lang, own)
	}
	if rep.status == http.StatusConflict {
		return text.Say(lang, "error.conflict_heading")
	}
	return text.Say(lang, "error.forbidden_heading")
}

// recordURL is where a record is looked at; empty for no record.
func recordURL(id string) string {
	if id == "" {
		return ""
	}
	return "/record/" + url.PathEscape(id)
}
