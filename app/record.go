package app

import (
	"net/http"
	"reflect"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// recordPage is the page every record has: each field in words, who, when and why, and all revisions.
type recordPage struct {
	Page
	Heading, Sort string
	Struck        bool
	Lines         []line
	Amend         string // address of the amend form; empty when this person may not, or the kind has none
	Actions       []Step
	Revisions     []revision
	Findings      []shownFinding // of a cut: what is known before it is pressed
	Strike        *form
	Sheets        []string // addresses of photos of paper sheets
}

// ownPage is where a kind that has a screen of its own is shown; empty for the others. Whoever makes such a screen adds
// its kind here.
func ownPage(fact records.Fact) string {
	if url := kettlePageOf(fact); url != "" {
		return url
	}
	if url := lotPageOf(fact); url != "" {
		return url
	}
	if url := shelfPageOf(fact); url != "" {
		return url
	}
	if url := coolingPageOf(fact); url != "" {
		return url
	}
	return ""
}

// showRecord goes to the record's own screen, or shows its page.
func (a *App) showRecord(c *gin.Context) error {
	fact, err := records.Load(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	if url := ownPage(fact); url != "" {
		c.Redirect(http.StatusSeeOther, url)
		return nil
	}
	return a.showFact(c, http.StatusOK, fact, a.strikeForm(c, fact))
}

// showHistory shows the page of a record, also of one whose kind has a screen of its own.
func (a *App) showHistory(c *gin.Context) error {
	fact, err := records.Load(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	return a.showFact(c, http.StatusOK, fact, a.strikeForm(c, fact))
}

func (a *App) showFact(c *gin.Context, status int, fact records.Fact, strike *form) error {
	ctx, v, head := c.Request.Context(), visitorOf(c), records.Head(fact)
	if !v.may(a.seeing(fact.Kind())) && head.ID != v.person.ID {
		return records.Forbidden{Key: "error.owner_only"}
	}
	revisions, err := a.revisionsOf(ctx, v.words(), fact.Kind(), head.ID)
	if err != nil {
		return err
	}
	heading, sort := a.stepName(ctx, v.words(), fact), v.words().say("kind."+string(fact.Kind()))
	if strings.HasPrefix(heading, sort) { // "cut Sat 6 Dec" needs no "cut" above it
		sort = ""
	}
	page := &recordPage{
		Heading: capital(heading), Sort: sort, Struck: head.Struck,
		Lines: a.named(ctx, linesFor(v, fact)), Revisions: revisions, Actions: a.actionsOn(v, fact),
	}
	if page.Trail, err = a.trail(ctx, v.words(), fact); err != nil {
		return err
	}
	if _, ok := fact.(*records.Cut); ok && !head.Struck {
		findings, err := records.JudgeCut(ctx, a.store, head.ID, a.store.Now())
		if err != nil {
			return err
		}
		page.Findings = shownFindings(v.words(), findings)
	}
	if mayHaveSheet[fact.Kind()] {
		if page.Sheets, err = a.sheetsOf(ctx, head.ID); err != nil {
			return err
		}
	}
	if a.mayAmend(v, fact) {
		page.Amend = recordURL(head.ID) + "/amend"
		if !records.NeverStruck(fact) {
			page.Strike = strike
		}
	}
	return a.render(c, status, "record/show", page)
}

// capital starts a heading with a capital letter.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// seeing is who may look at records of a kind.
func (a *App) seeing(kind records.Kind) access {
	if k, ok := a.kinds.of[kind]; ok {
		return k.See
	}
	return reader
}

// mayAmend tells whether the visitor may amend or strike a record: its kind has a form, it is not struck, and the right
// is there.
func (a *App) mayAmend(v *visitor, fact records.Fact) bool {
	k, ok := a.kinds.of[fact.Kind()]
	return ok && v.may(k.Write) && !records.Head(fact).Struck
}

// actionsOn are further things to do with a record of some kinds.
func (a *App) actionsOn(v *visitor, fact records.Fact) []Step {
	id := records.Head(fact).ID
	if fact.Kind() == records.KindPerson && (v.may(owner) || id == v.person.ID) {
		return []Step{{Name: v.words().say("secret.link"), URL: "/person/" + id + "/secret"}}
	}
	if fact.Kind() == records.KindAttachment {
		return []Step{{Name: v.words().say("attachment.open"), URL: "/attachment/" + id}}
	}
	if fact.Kind() == records.KindCut && v.may(crew) {
		return []Step{{Name: v.words().say("paper.photo_link"), URL: "/paper/photo/" + id}}
	}
	if fact.Kind() == records.KindContainer {
		return a.coolingActions(v, fact.(*records.Container))
	}
	if fact.Kind() == records.KindLabelStock {
		return []Step{{Name: v.words().say("test_page.link"), URL: testPageURL(id)}}
	}
	return nil
}

// rowOf reaches the row that every fact embeds.
func rowOf(fact records.Fact) *records.Row {
	return reflect.ValueOf(fact).Elem().FieldByName("Row").Addr().Interface().(*records.Row)
}
