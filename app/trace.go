package app

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// traceRoutes are the trace's.
func (a *App) traceRoutes() []route {
	return []route{
		{"GET", "/trace", reader, a.showTrace},
		{"POST", "/trace", reader, a.traceByPhoto},
		{"GET", "/trace/:id", reader, a.showTraceOf},
	}
}

// traceStartPage asks for a code, typed or photographed.
type traceStartPage struct {
	Page
	Code    *Field
	Photo   photoForm
	Nearest []ledgerLine // existing codes most like what was typed
	Recent  []ledgerLine // the lots filled last
}

func traceURL(id string) string { return "/trace/" + url.PathEscape(id) }

// recentLots is how many lots stand below the search.
const recentLots = 8

func (a *App) newTraceStart(ctx context.Context, w words, typed string) (*traceStartPage, error) {
	page := &traceStartPage{Photo: newPhotoForm(w, "trace-photo", "/trace"),
		Code: &Field{ID: "trace-code", Name: "code", Kind: "text", Label: w.say("trace.code"), Help: w.say("trace.code.help"), Value: typed, Required: true, Autocomplete: "off"}}
	lots, err := records.List[records.Lot](ctx, a.store, "ORDER BY started_at DESC, id DESC LIMIT ?", recentLots)
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		day, err := w.day(l.StartedAt)
		if err != nil {
			return nil, err
		}
		page.Recent = append(page.Recent, ledgerLine{Name: records.PrintedCode(l.Code), Word: w.say("trace.filled", "Day", day), URL: traceURL(l.ID)})
	}
	return page, nil
}

// showTrace takes a code with its slips and leads to the trace of its lot, or says what is wrong and offers the nearest.
func (a *App) showTrace(c *gin.Context) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	typed := strings.TrimSpace(c.Query("code"))
	page, err := a.newTraceStart(ctx, w, typed)
	if err != nil {
		return err
	}
	if _, asked := c.GetQuery("code"); !asked {
		return a.show(c, "trace/start", page)
	}
	id, err := a.lotTyped(ctx, typed)
	if err == nil {
		return a.redirect(c, traceURL(id), "")
	}
	if page.Code.Error, page.Nearest, err = a.codeFault(ctx, w, typed, err); err != nil {
		return err
	}
	return a.redisplay(c, "trace/start", page)
}

// longestCode is more than any code typed with spaces has.
const longestCode = 60

// lotTyped is the lot of a typed code. Errors: MalformedCode, WrongCheck, ErrNotFound.
func (a *App) lotTyped(ctx context.Context, typed string) (string, error) {
	if len(typed) > longestCode {
		typed = typed[:longestCode]
	}
	lot, err := records.LotByCode(ctx, a.store, typed)
	return lot.ID, err
}

// codeFault says what is wrong with a typed code and lists the existing codes most like it. Any other error is ours.
func (a *App) codeFault(ctx context.Context, w words, typed string, err error) (string, []ledgerLine, error) {
	var malformed labels.MalformedCode
	var wrong labels.WrongCheck
	var said string
	switch {
	case typed == "":
		return w.say("invalid.required"), nil, nil
	case errors.As(err, &malformed):
		said = malformed.Say(w.lang)
	case errors.As(err, &wrong):
		said = wrong.Say(w.lang)
	case errors.Is(err, records.ErrNotFound):
		said = w.say("trace.no_such_lot", "Typed", typed)
	default:
		return "", nil, err
	}
	near, err := a.nearCodes(ctx, w, typed)
	return said, near, err
}

// nearCodes are the existing codes most like what was typed, each leading to its trace.
func (a *App) nearCodes(ctx context.Context, w words, typed string) ([]ledgerLine, error) {
	codes, err := records.LotCodes(ctx, a.store)
	if err != nil {
		return nil, err
	}
	var lines []ledgerLine
	for _, code := range labels.Nearest(typed, codes, 5) {
		lot, err := records.LotByCode(ctx, a.store, code)
		if errors.Is(err, records.ErrNotFound) { // struck: it keeps its code
			continue
		}
		if err != nil {
			return nil, err
		}
		day, err := w.day(lot.StartedAt)
		if err != nil {
			return nil, err
		}
		lines = append(lines, ledgerLine{Name: records.PrintedCode(code), Word: w.say("trace.filled", "Day", day), URL: traceURL(lot.ID)})
	}
	return lines, nil
}

// traceByPhoto reads the code from a photo of the label and leads to the trace of its lot.
func (a *App) traceByPhoto(c *gin.Context) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	id, err := a.lotInPhoto(c)
	if err == nil {
		return a.redirect(c, traceURL(id), "")
	}
	page, fault := a.newTraceStart(ctx, w, "")
	if fault != nil {
		return fault
	}
	if !page.Photo.take(w, err) {
		return err
	}
	return a.render(c, http.StatusUnprocessableEntity, "trace/start", page)
}

// lotInPhoto is the lot whose code stands in the photographed symbol. What is wrong is Invalid.
func (a *App) lotInPhoto(c *gin.Context) (string, error) {
	code, err := a.codeInPhoto(c)
	if err != nil {
		return "", err
	}
	lot, err := records.LotByCode(c.Request.Context(), a.store, code.String())
	if errors.Is(err, records.ErrNotFound) {
		return "", wrongPhoto("photo.unknown_code", "Code", code.Printed())
	}
	return lot.ID, err
}
