package app

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

func urlQuery(s string) string { return url.QueryEscape(s) }
func urlPath(s string) string  { return url.PathEscape(s) }

// shownPart is a part with its units, what it lacks, what was signed, and the acts this person may do now.
type shownPart struct {
	Number                 int
	Anchor, State, OnHand  string
	Bottles, Of            string // which bottles; the part it was divided from
	URL                    string // of its page on the shelf
	Word                   string // the level its state looks like
	Units                  []line
	Missing                []string
	Ready                  bool // nothing is missing but a signature
	Signed                 []signed
	Release, Hold, Dispose *form
	Open                   string // the form that came back: release, hold or dispose
}

// signed is one disposition as signed.
type signed struct {
	Act, Who, When, Reason, URL string
	Automatic                   bool
	Words                       []string // findings as they read then
}

// postedAct is an act on a part that was refused: its form comes back in its place.
type postedAct struct {
	partID, act string
	form        *form
}

// signature is who signs an act and with what secret.
type signature struct{ signer, secret, reason, act string }

func (a *App) shownParts(c *gin.Context, lot records.Lot, judged []records.Judged, posted *postedAct) ([]shownPart, error) {
	var shown []shownPart
	for _, j := range judged {
		p, err := a.shownPart(c, j)
		if err != nil {
			return nil, err
		}
		if visitorOf(c).may(crew) && !lot.Struck {
			if err := a.actsOn(c, &p, j, posted); err != nil {
				return nil, err
			}
		}
		shown = append(shown, p)
	}
	return shown, nil
}

func (a *App) shownPart(c *gin.Context, j records.Judged) (shownPart, error) {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	s := j.Shelf
	p := shownPart{Number: s.Number, Anchor: partAnchor(s.Number), State: w.say("life." + s.State), Word: stateShape[s.State],
		OnHand: w.say("lot_page.on_hand", "Bottles", w.say("count.bottles", "Count", s.OnHand))}
	for _, u := range []struct {
		key string
		n   int
	}{{"lot_page.filled", s.Filled}, {"lot_page.shipped", s.Shipped}, {"lot_page.returned", s.Returned}, {"lot_page.samples", s.Samples}, {"lot_page.broken", s.Broken}} {
		if u.n != 0 || u.key == "lot_page.filled" {
			p.Units = append(p.Units, line{Label: w.say(u.key), Text: plainNumber(float64(u.n))})
		}
	}
	p.Bottles, p.URL = bottlesWords(w, s), partURL(s.ID)
	if s.OfPartID != nil {
		p.Of = a.ofPartWords(ctx, w, *s.OfPartID)
	} else if s.CameBack {
		p.Of = w.say("divide.came_back")
	}
	if s.Counted != nil {
		p.Units = append(p.Units, line{Label: w.say("lot_page.counted", "Day", w.dayOf(records.DayOf(*s.CountedAt, w.zone()))), Text: w.say("lot_page.counted_figure", "Counted", *s.Counted, "Off", s.CountOff)})
	}
	if s.State == records.StateHeld || s.State == records.StateFilling {
		for _, m := range j.Missing(true, "") {
			p.Missing = append(p.Missing, m.Words(w.lang, w.units))
		}
		p.Ready = len(p.Missing) == 0
	}
	var err error
	p.Signed, err = a.signedOn(ctx, w, s.ID)
	return p, err
}

// stateShape gives a state the shape of a level: what may not leave looks like a hold.
var stateShape = map[string]string{records.StateFilling: "note", records.StateHeld: "hold", records.StateReleased: "within", records.StateRecalled: "stop",
	records.StateReworked: "note", records.StateDestroyed: "note"}

func partAnchor(number int) string { return "part-" + plainNumber(float64(number)) }

// signedOn lists what was signed on a part, newest first, with the findings as they read then.
func (a *App) signedOn(ctx context.Context, w words, partID string) ([]signed, error) {
	list, err := records.List[records.Disposition](ctx, a.store, "part_id = ? ORDER BY at DESC, id DESC", partID)
	if err != nil {
		return nil, err
	}
	acts := make([]signed, len(list))
	for i := range list {
		d := &list[i]
		when, err := w.moment(d.At)
		if err != nil {
			return nil, err
		}
		acts[i] = signed{Act: w.say("lot_page.act." + d.Act), Who: a.writers(ctx, w, records.Head(d)), When: when, Reason: d.Reason, URL: recordURL(d.ID), Automatic: d.Automatic}
		if d.Words != "" {
			acts[i].Words = strings.Split(d.Words, "\n")
		}
	}
	return acts, nil
}

// actsOn adds the forms of the acts that may follow the part's state.
func (a *App) actsOn(c *gin.Context, p *shownPart, j records.Judged, posted *postedAct) error {
	signers, err := a.signers(c.Request.Context())
	if err != nil {
		return err
	}
	state, id := j.Shelf.State, j.Shelf.ID
	self := visitorOf(c).person
	fresh := func(act string) *form {
		f := a.actForm(c, act, id)
		s := signature{}
		if self.MayRelease {
			s.signer = self.ID
		}
		bindAct(f, act, &s, signers, state)
		return f
	}
	if state == records.StateHeld || state == records.StateRecalled {
		p.Release = fresh("release")
	}
	if state == records.StateHeld || state == records.StateReleased {
		p.Hold = fresh("hold")
	}
	if len(disposals(state)) > 0 {
		p.Dispose = fresh("dispose")
	}
	if posted == nil || posted.partID != id {
		return nil
	}
	p.Open = posted.act
	switch posted.act {
	case "release":
		p.Release = posted.form
	case "hold":
		p.Hold = posted.form
	case "dispose":
		p.Dispose = posted.form
	}
	return nil
}

// actForm is the form of an act on a part; its fields have the part in their ids, as a page holds several.
func (a *App) actForm(c *gin.Context, act, partID string) *form {
	f := a.newForm(c, "part_"+act, "/part/"+url.PathEscape(partID)+"/"+act)
	f.ID += "-" + partID
	return f
}

// signers are the people with the right to release.
func (a *App) signers(ctx context.Context) ([]Choice, error) {
	people, err := records.List[records.Person](ctx, a.store, "may_release ORDER BY name, id")
	var choices []Choice
	for _, p := range people {
		choices = append(choices, Choice{Value: p.ID, Name: p.Name})
	}
	return choices, err
}

// disposals are the acts besides hold and release that may follow a state.
func disposals(state string) []string {
	switch state {
	case records.StateHeld:
		return []string{records.ActRecall, records.ActRework, records.ActDestroy}
	case records.StateRecalled:
		return []string{records.ActRework, records.ActDestroy}
	case records.StateReleased:
		return []string{records.ActRecall}
	}
	return nil
}

// bindAct binds the fields of an act. What needs the right to release is signed with that person's own PIN or password.
func bindAct(f *form, act string, s *signature, signers []Choice, state string) {
	switch act {
	case "hold":
		f.Text("reason", &s.reason, 1, longText)
		return
	case "release":
		f.Text("reason", &s.reason, 0, longText)
	case "dispose":
		acts := disposals(state)
		if f.reading() { // a second tap comes after the first has changed the state: the store says what may be
			acts = []string{records.ActRecall, records.ActRework, records.ActDestroy}
		}
		f.Choice("act", &s.act, required, acts...)
		f.Text("reason", &s.reason, 1, longText)
	}
	f.Pick("signer", &s.signer, signers, required)
	f.Secret("secret", &s.secret, required).Autocomplete = "off"
}

func (a *App) holdLotPart(c *gin.Context) error { return a.actOnPart(c, "hold") }
func (a *App) releasePart(c *gin.Context) error { return a.actOnPart(c, "release") }
func (a *App) disposePart(c *gin.Context) error { return a.actOnPart(c, "dispose") }

// actOnPart signs an act on a part, or shows the lot again with what stands in its way at that form.
func (a *App) actOnPart(c *gin.Context, act string) error {
	ctx := c.Request.Context()
	shelf, err := records.ShelfOf(ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	lot, err := records.Get[records.Lot](ctx, a.store, shelf.LotID)
	if err != nil {
		return err
	}
	signers, err := a.signers(ctx)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "part_"+act, c.Request.URL.Path)
	if err != nil {
		return err
	}
	f.ID += "-" + shelf.ID
	var s signature
	bindAct(f, act, &s, signers, shelf.State)
	if f.OK() {
		err := a.sign(c, act, shelf.ID, s)
		if _, again := alreadyMade(err); err == nil || again {
			return a.redirect(c, lotURL(lot.ID)+"#"+partAnchor(shelf.Number), "lot_page.done."+doneWord(act, s))
		}
		if !a.takeRelease(f, err) {
			return err
		}
	}
	return a.renderLot(c, http.StatusUnprocessableEntity, lot, &postedAct{shelf.ID, act, f})
}

func doneWord(act string, s signature) string {
	if act == "dispose" {
		return s.act
	}
	return act
}

// sign checks the signer's own secret where the act needs it, and does the act.
func (a *App) sign(c *gin.Context, act, partID string, s signature) error {
	ctx, who := c.Request.Context(), a.actor(c)
	if act == "hold" {
		return a.store.Hold(ctx, who, partID, s.reason)
	}
	if err := a.confirmSecret(c, s.signer, s.secret); err != nil {
		return err
	}
	who.DoneBy = s.signer
	if act == "release" {
		return a.store.Release(ctx, who, partID, s.reason)
	}
	return a.store.Dispose(ctx, who, partID, s.act, s.reason)
}

// takeRelease puts exactly what is missing at the top of the release form; a conflict of the part's life stands there too.
func (a *App) takeRelease(f *form, err error) bool {
	var not records.NotReleasable
	if errors.As(err, &not) {
		for _, m := range not.Missing {
			if m.Key == "release_missing.reason" {
				f.wrong(f.named("reason"), m.Key)
				continue
			}
			f.Wrong = append(f.Wrong, Wrong{Message: m.Words(f.words.lang, f.words.units)})
		}
		return true
	}
	var conflict records.Conflict
	if errors.As(err, &conflict) {
		f.Wrong = append(f.Wrong, Wrong{Message: f.words.say(conflict.Key, conflict.Args...)})
		return true
	}
	return f.take(err)
}
