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

// Bottles have no labels while they cool: their tray carries a tag. Before labels go on, tag and label are held against
// each other here. A mismatch stops everything until somebody wrote what was done about it.

// matchURL is where tags are held against labels.
const matchURL = "/filler/match"

// matchPage takes a tag and a label, each scanned, photographed or typed.
type matchPage struct {
	Page
	Form       *form
	Tag, Label photoForm
	Last       []ledgerLine
}

// matchTyped is what the form takes: the two codes, however typed or scanned.
type matchTyped struct{ tag, label, note string }

func matchForm(f *form, m *matchTyped) {
	f.Text("tag", &m.tag, 1, longestScan)
	f.Text("label", &m.label, 1, longestScan)
	f.Text("note", &m.note, 0, shortText)
	f.DoneBy()
}

// longestScan is how much a scanner may type: a whole address with a code.
const longestScan = 200

func (a *App) showTagMatch(c *gin.Context) error {
	open, err := records.OpenMismatch(c.Request.Context(), a.store)
	if err != nil {
		return err
	}
	if open != nil {
		return a.redirect(c, matchURL+"/"+open.ID, "")
	}
	f := a.newForm(c, "tag_hold", matchURL)
	matchForm(f, &matchTyped{tag: c.Query("tag"), label: c.Query("label")})
	return a.renderMatch(c, http.StatusOK, f, a.matchPhotos(c, f))
}

// matchPhotos are the two forms that take a photo instead of typing; each carries what the other side holds.
func (a *App) matchPhotos(c *gin.Context, f *form) [2]photoForm {
	var photos [2]photoForm
	for i, side := range []string{"tag", "label"} {
		query := url.Values{}
		for _, other := range []string{"tag", "label"} {
			if value := f.named(other).Value; value != "" && other != side && len(value) <= longestScan {
				query.Set(other, value)
			}
		}
		action := matchURL + "/photo/" + side
		if len(query) > 0 {
			action += "?" + query.Encode()
		}
		photos[i] = newPhotoForm(f.words, "photo-"+side, action)
		photos[i].Label = f.words.say("tag_hold.photo_" + side)
	}
	return photos
}

// lastMatches is how many matches are listed under the form.
const lastMatches = 8

func (a *App) renderMatch(c *gin.Context, status int, f *form, photos [2]photoForm) error {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	page := &matchPage{Form: f, Tag: photos[0], Label: photos[1]}
	list, err := records.List[records.TagMatch](ctx, a.store, "ORDER BY at DESC, id DESC LIMIT ?", lastMatches)
	if err != nil {
		return err
	}
	for _, m := range list {
		when, err := w.moment(m.At)
		if err != nil {
			return err
		}
		key := "tag_hold.was_match"
		if !m.Matched {
			key = "tag_hold.was_stop"
		}
		page.Last = append(page.Last, ledgerLine{Name: w.say(key, "Tag", records.PrintedCode(m.TagTyped), "Label", records.PrintedCode(m.LabelTyped)),
			Word: when, URL: recordURL(m.ID)})
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.render(c, status, "filler/match", page)
}

// matchByPhoto reads one side from a photo and goes on with it; with both sides there they are held against each other.
func (a *App) matchByPhoto(c *gin.Context) error {
	side := c.Param("side")
	if side != "tag" && side != "label" {
		return records.ErrNotFound
	}
	f := a.newForm(c, "tag_hold", matchURL)
	asked := url.Values{"tag": {c.Query("tag")}, "label": {c.Query("label")}}
	code, err := a.codeInPhoto(c)
	if err == nil {
		asked.Set(side, code.Printed())
		return a.redirect(c, matchURL+"?"+asked.Encode(), "")
	}
	matchForm(f, &matchTyped{tag: asked.Get("tag"), label: asked.Get("label")})
	photos := a.matchPhotos(c, f)
	photo := &photos[map[string]int{"tag": 0, "label": 1}[side]]
	if !photo.take(f.words, err) {
		return err
	}
	return a.renderMatch(c, http.StatusUnprocessableEntity, f, photos)
}

// matchTag holds a tag against a label and keeps what came of it.
func (a *App) matchTag(c *gin.Context) error {
	ctx := c.Request.Context()
	f, err := a.readForm(c, "tag_hold", matchURL)
	if err != nil {
		return err
	}
	typed := &matchTyped{}
	matchForm(f, typed)
	lot, label, err := a.bothCodes(ctx, f, typed)
	if err != nil {
		return err
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		m := &records.TagMatch{LotID: lot.ID, At: a.store.Now(), TagTyped: lot.Code, LabelTyped: label, Matched: label == lot.Code, Note: typed.note}
		if !m.Matched {
			m.Note = "" // what is written before the stop does not answer it
		}
		err := a.store.Write(ctx, a.actor(c), m)
		if made := madeBefore(err); made != "" {
			m.ID, err = made, nil
		}
		to, flash := matchURL, "tag_hold.matched"
		if !m.Matched {
			to, flash = matchURL+"/"+m.ID, ""
		}
		var stopped records.Conflict
		if errors.As(err, &stopped) && stopped.Key == "tag_match.stopped" {
			return a.redirect(c, matchURL+"/"+stopped.ID, "")
		}
		if status, err = a.finishForm(c, f, err, to, flash, "Code", records.PrintedCode(lot.Code)); status == 0 {
			return err
		}
	}
	return a.renderMatch(c, status, f, a.matchPhotos(c, f))
}

// bothCodes reads the two codes; what is wrong with one stands at its field. The tag must be of a lot of the house, the
// label may be anybody's.
func (a *App) bothCodes(ctx context.Context, f *form, typed *matchTyped) (lot records.Lot, label string, err error) {
	if tag, ok := codeTyped(f, "tag", typed.tag); ok {
		lot, err = records.LotByCode(ctx, a.store, tag.String())
		if errors.Is(err, records.ErrNotFound) {
			f.wrong(f.named("tag"), "tag_hold.unknown", "Code", tag.Printed())
			err = nil
		}
	}
	if read, ok := codeTyped(f, "label", typed.label); ok {
		label = read.String()
	}
	return lot, label, err
}

// codeTyped reads a code that was typed, or what a scanner typed for a whole symbol.
func codeTyped(f *form, name, typed string) (labels.LotCode, bool) {
	field := f.named(name)
	if typed == "" || field.Error != "" {
		return labels.LotCode{}, false
	}
	code, err := labels.CodeInScan(strings.TrimSpace(typed))
	var refused refusal
	if errors.As(err, &refused) {
		f.refuseAt(field, refused.Say(f.words.lang))
		return code, false
	}
	return code, err == nil
}

// mismatchPage is the stop: which lot the tag is of, and which the label.
type mismatchPage struct {
	Page
	Tag, TagOf, Label, LabelOf string
	When, Note                 string
	Form                       *form // nil once a note is written, and for a reader
	Next                       string
}

func (a *App) mismatchOf(c *gin.Context) (records.TagMatch, error) {
	m, err := records.Get[records.TagMatch](c.Request.Context(), a.store, c.Param("id"))
	if err == nil && m.Matched {
		return m, records.ErrNotFound
	}
	return m, err
}

func (a *App) showMismatch(c *gin.Context) error {
	m, err := a.mismatchOf(c)
	if err != nil {
		return err
	}
	return a.renderMismatch(c, http.StatusOK, m, nil)
}

func (a *App) renderMismatch(c *gin.Context, status int, m records.TagMatch, f *form) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	when, err := v.words().moment(m.At)
	if err != nil {
		return err
	}
	page := &mismatchPage{Tag: records.PrintedCode(m.TagTyped), Label: records.PrintedCode(m.LabelTyped), When: when, Note: m.Note}
	page.TagOf, page.LabelOf = a.lotWords(ctx, v.words(), m.TagTyped), a.lotWords(ctx, v.words(), m.LabelTyped)
	switch {
	case m.Note != "":
		page.Next = matchURL
	case f != nil:
		page.Form = f
	case v.may(crew):
		page.Form = a.newForm(c, "mismatch", matchURL+"/"+m.ID)
		tagMatchForm(page.Form, &records.TagMatch{})
		page.Form.DoneBy()
	}
	return a.render(c, status, "filler/mismatch", page)
}

// lotWords names what a code is of: product and container, or that the house has no such lot.
func (a *App) lotWords(ctx context.Context, w words, code string) string {
	lot, err := records.LotByCode(ctx, a.store, code)
	if err != nil {
		return w.say("tag_hold.no_lot")
	}
	return w.say("filler_page.product", "Product", records.Name(ctx, a.store, lot.ProductID), "Container", records.Name(ctx, a.store, lot.ContainerID))
}

// answerMismatch keeps what was done about a mismatch; then the work goes on.
func (a *App) answerMismatch(c *gin.Context) error {
	m, err := a.mismatchOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "mismatch", matchURL+"/"+m.ID)
	if err != nil {
		return err
	}
	if m.Note != "" { // somebody was faster
		return a.redirect(c, matchURL+"/"+m.ID, "")
	}
	tagMatchForm(f, &m)
	f.DoneBy()
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Amend(c.Request.Context(), a.actor(c), &m, f.words.say("tag_hold.why"))
		if status, err = a.finishForm(c, f, err, matchURL, "tag_hold.answered"); status == 0 {
			return err
		}
	}
	m.Note = ""
	if err := f.Err(); err != nil {
		return err
	}
	return a.renderMismatch(c, status, m, f)
}
