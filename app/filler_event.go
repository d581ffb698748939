package app

import (
	"context"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// fillEventForm is what happened at the filler between two checks, on its page and when amended.
func fillEventForm(f *form, e *records.FillEvent) {
	switch e.What {
	case records.FillBroken:
		f.Count("count", &e.Count, 1, 100000, required)
	case records.FillStop:
		f.Count("bottle_number", &e.BottleNumber, 0, 1e6, optional)
	}
	least := 0
	if e.What == records.FillNote {
		least = 1
	}
	f.Text("note", &e.Note, least, longText)
	f.moment("at", &e.At)
}

// eventForms are the forms of what happens between two checks: a stop or going on, broken bottles, a note.
type eventForms []eventForm

// eventForm is folded away under its head.
type eventForm struct {
	Head string
	Open bool
	Form *form
}

// newEventForms makes those that fit now: a filling that stands goes on, one that runs stops.
func (a *App) newEventForms(c *gin.Context, lotID string, stands bool, posted *form) eventForms {
	fresh := func(what string) eventForm {
		if posted != nil && posted.kind == "fill_"+what {
			return eventForm{posted.words.say("filler_session.head." + what), true, posted}
		}
		f := a.newForm(c, "fill_"+what, "/filler/"+lotID+"/"+what)
		fillEventForm(f, &records.FillEvent{What: what})
		f.DoneBy()
		return eventForm{f.words.say("filler_session.head." + what), what == records.FillRestart, f}
	}
	turn := records.FillStop
	if stands || posted != nil && posted.kind == "fill_"+records.FillRestart {
		turn = records.FillRestart
	}
	if posted != nil && posted.kind == "fill_"+records.FillStop {
		turn = records.FillStop
	}
	return eventForms{fresh(turn), fresh(records.FillBroken), fresh(records.FillNote)}
}

// addFillEvent writes one sort of event.
func (a *App) addFillEvent(what, said string) func(*gin.Context) error {
	return func(c *gin.Context) error {
		return a.keepAtLot(c, "fill_"+what, said, func(f *form, lot records.Lot) func() error {
			e := &records.FillEvent{LotID: lot.ID, What: what}
			fillEventForm(f, e)
			return func() error {
				a.notBefore(&e.At, lot.StartedAt)
				return a.store.Write(c.Request.Context(), a.actor(c), e)
			}
		}, func(forms *fillingForms, f *form) { forms.event = f })
	}
}

// shownEvent is one thing that happened at the filler.
type shownEvent struct{ When, What, Who, Note, Amend string }

// eventsOf lists what happened between the checks, newest first, and how many bottles broke.
func (a *App) eventsOf(ctx context.Context, v *visitor, lotID string) (shown []shownEvent, broken int, err error) {
	w := v.words()
	events, err := records.List[records.FillEvent](ctx, a.store, "lot_id = ? ORDER BY at DESC, id DESC", lotID)
	if err != nil {
		return nil, 0, err
	}
	for i := range events {
		e := &events[i]
		when, err := w.moment(e.At)
		if err != nil {
			return nil, 0, err
		}
		line := shownEvent{When: when, Who: a.writers(ctx, w, records.Head(e)), Note: e.Note}
		count := 0
		if e.Count != nil {
			count = *e.Count
			broken += count
		}
		line.What = w.say("filler_session.event."+e.What, "Count", count)
		if e.BottleNumber != nil {
			line.What += ", " + w.say("filler_session.event_bottle", "Number", *e.BottleNumber)
		}
		if v.may(crew) {
			line.Amend = recordURL(e.ID) + "/amend"
		}
		shown = append(shown, line)
	}
	return shown, broken, nil
}
