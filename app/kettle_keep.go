package app

import (
	"errors"
	"net/http"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// writeInLog takes one quick form, from a browser or from the script of the run's page: read, write, and say so; or what is
// wrong, with everything typed still there.
func (a *App) writeInLog(key string) func(*gin.Context) error {
	return func(c *gin.Context) error {
		arrived := a.store.Now()
		log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
		if err != nil {
			return err
		}
		f, file, err := a.readQuick(c, log, key)
		if err != nil {
			return err
		}
		before, err := records.Submitted(c.Request.Context(), a.store, f.raw.Get("submission"))
		if err != nil {
			return err
		}
		if before != "" {
			return a.answerAgain(c, log.Run.ID, before)
		}
		when := phoneTimeOf(f.raw, arrived)
		f.now = when.At
		q, err := a.bindQuick(c, f, log, key)
		if err != nil {
			return err
		}
		when.refuse(f)
		q.take(f, file)
		return a.keepOrSay(c, q, when, arrived)
	}
}

// readQuick reads what was posted: a photo comes in parts, with its file.
func (a *App) readQuick(c *gin.Context, log records.BoilLog, key string) (*form, *sentFile, error) {
	action := runURL(log.Run.ID) + "/" + key + "#write"
	if key != quickPhoto {
		f, err := a.readForm(c, quickKind(key), action)
		return f, nil, err
	}
	return a.readPhotoForm(c, quickKind(key), action)
}

// refuse says at the time's field what of the phone's times cannot be used. A typed time wins over all of them.
func (p phoneTime) refuse(f *form) {
	at := f.named("at")
	if p.wrong == "" || at == nil || at.Value != "" {
		return
	}
	if p.wrongField != "at" {
		f.Wrong = append(f.Wrong, Wrong{Label: at.Label, Message: f.words.say(p.wrong), Target: f.ID + "-" + p.wrongField})
		return
	}
	f.wrong(at, p.wrong)
}

// take puts the file that came into the form, or what is wrong with it at its field.
func (q *quickForm) take(f *form, file *sentFile) {
	if file == nil {
		return
	}
	q.file = file
	if field := f.named("photo"); field != nil && file.wrong != "" {
		f.wrong(field, file.wrong, file.args...)
	}
}

// keepOrSay writes a form that is right, and answers.
func (a *App) keepOrSay(c *gin.Context, q *quickForm, when phoneTime, arrived time.Time) error {
	runID, clash := c.Param("id"), ""
	if q.Form.OK() {
		id, at, err := a.keepQuick(c, q, when, arrived)
		var already records.Already
		switch {
		case errors.As(err, &already): // the same entry, at the same moment
			return a.answerAgain(c, runID, already.RecordID)
		case err != nil:
			if clash, err = a.clashOf(c, q, err); err != nil {
				return err
			}
		case q.Form.OK() && wantsJSON(c.Request):
			return a.answerKept(c, id, at, a.keptKey(c, q))
		case q.Form.OK():
			return a.redirect(c, runURL(runID), a.keptKey(c, q))
		}
	}
	switch {
	case wantsJSON(c.Request) && clash != "":
		c.JSON(http.StatusConflict, clashAnswer{Clash: clash, Link: runURL(runID)})
		return nil
	case wantsJSON(c.Request):
		return answerWrong(c, q.Form)
	}
	return a.showAgain(c, q, clash)
}

// showAgain is the run's page as it stands now, with the form as it was typed.
func (a *App) showAgain(c *gin.Context, q *quickForm, clash string) error {
	log, err := records.BoilLogOf(c.Request.Context(), a.store, c.Param("id"))
	if err != nil {
		return err
	}
	status := http.StatusUnprocessableEntity
	if clash != "" {
		status = http.StatusConflict
		q.Form.Wrong = append(q.Form.Wrong, Wrong{Message: clash})
	}
	q.Main, q.More = nil, nil
	q.split()
	page, err := a.runPage(c, log, q)
	if err != nil {
		return err
	}
	return a.render(c, status, "kettle/run", page)
}

// answerAgain answers an entry that was kept before: a double tap, or a phone that never heard the first answer.
func (a *App) answerAgain(c *gin.Context, runID, recordID string) error {
	if wantsJSON(c.Request) {
		c.JSON(http.StatusOK, a.keptBefore(c, recordID))
		return nil
	}
	return a.redirect(c, runURL(runID), "kettle_page.kept")
}

// clashOf tells what was right until something else happened: its words. Anything else wrong goes to its field; what is no
// fault of the form comes back.
func (a *App) clashOf(c *gin.Context, q *quickForm, err error) (string, error) {
	w := visitorOf(c).words()
	var conflict records.Conflict
	if errors.As(err, &conflict) {
		if conflict.Key == "run.already_drawn_off" {
			return a.endedWords(c, "phone.clash_ended", nil)
		}
		return w.say(conflict.Key, conflict.Args...), nil
	}
	if afterEnd(err) {
		at := q.happened()
		switch {
		case q.Key == quickDrawnOff:
			return a.endedWords(c, "phone.clash_ended", nil)
		case wantsJSON(c.Request):
			return a.endedWords(c, "phone.clash_after", &at)
		}
	}
	if q.Form.takeDraws(q.Draws, err) {
		return "", nil
	}
	return "", err
}

// afterEnd tells whether an entry was refused because the run had ended before.
func afterEnd(err error) bool {
	var faults records.Invalid
	return errors.As(err, &faults) && slices.ContainsFunc(faults, func(f records.FieldError) bool { return f.Key == "run.after_drawn_off" })
}

// endedWords says who ended the run, and when.
func (a *App) endedWords(c *gin.Context, key string, at *time.Time) (string, error) {
	ctx, w := c.Request.Context(), visitorOf(c).words()
	log, err := records.BoilLogOf(ctx, a.store, c.Param("id"))
	if err != nil || log.DrawnOff == nil {
		return w.say("run.already_drawn_off"), err
	}
	args := []any{"Who", records.Name(ctx, a.store, log.DrawnOff.DoneBy)}
	when, err := w.clock(log.DrawnOff.At)
	args = append(args, "When", when)
	if at != nil && err == nil {
		when, err = w.clock(*at)
		args = append(args, "At", when)
	}
	return w.say(key, args...), err
}

// sender is who wrote an entry and how it reached the house. An entry made under another person than the session's is that
// person's work.
func (a *App) sender(c *gin.Context, when phoneTime, arrived time.Time) (records.Actor, error) {
	who := a.actor(c)
	by := c.Request.PostFormValue("by")
	if by == "" {
		by = who.PersonID
	}
	if by != who.PersonID {
		if kind, err := a.store.KindOf(c.Request.Context(), by); err != nil || kind != records.KindPerson {
			return who, records.Invalid{{Field: "done_by", Key: "phone.nobody"}}
		}
		if who.DoneBy == "" {
			who.DoneBy = by
		}
	}
	who.Phone = when.entry(by, who.PersonID, arrived)
	return who, nil
}

// keepQuick writes what a quick form took, and gives the record's id and when it happened.
func (a *App) keepQuick(c *gin.Context, q *quickForm, when phoneTime, arrived time.Time) (string, time.Time, error) {
	ctx := c.Request.Context()
	who, err := a.sender(c, when, arrived)
	if err != nil {
		return "", q.at, err
	}
	switch {
	case q.Key == quickDrawnOff:
		err = a.store.DrawOff(ctx, who, q.entry, q.tank)
	case q.Key == quickPhoto:
		file := &records.Attachment{Name: q.file.name, MediaType: q.file.mediaType}
		err = a.store.WritePhoto(ctx, who, q.entry, file, q.file.bytes)
	case q.entry != nil:
		err = a.store.Write(ctx, who, q.entry)
	case q.reading != nil:
		err = a.store.Write(ctx, who, q.reading)
	case q.addition != nil:
		err = a.store.Write(ctx, who, q.addition)
	default:
		return a.keepJuice(c, q, who)
	}
	return q.recordID(), q.happened(), err
}

// keepJuice writes more juice running into the kettle.
func (a *App) keepJuice(c *gin.Context, q *quickForm, who records.Actor) (string, time.Time, error) {
	draws := ticked(q.Draws, false)
	if len(draws) == 0 {
		return "", q.at, records.Invalid{{Key: "mill_page.tick_one"}}
	}
	links := juiceLinks(c.Param("id"), draws, q.at)
	err := a.store.Write(c.Request.Context(), who, links...)
	return records.Head(links[0]).ID, q.at, err
}

func (q *quickForm) recordID() string {
	switch {
	case q.entry != nil:
		return q.entry.ID
	case q.reading != nil:
		return q.reading.ID
	case q.addition != nil:
		return q.addition.ID
	}
	return ""
}

// happened is when what the form took happened.
func (q *quickForm) happened() time.Time {
	switch {
	case q.entry != nil:
		return q.entry.At
	case q.reading != nil:
		return q.reading.At
	case q.addition != nil:
		return q.addition.At
	}
	return q.at
}

// keptKey is what to say of an entry that is in the log.
func (a *App) keptKey(c *gin.Context, q *quickForm) string {
	if q.Key == quickDrawnOff {
		return "kettle_page.drawn_kept"
	}
	if q.reading != nil && q.reading.Temperature == nil {
		if solids, err := records.SolidsOf(c.Request.Context(), a.store, *q.reading); err != nil || solids == nil {
			return "phone.kept_cold"
		}
	}
	return "kettle_page.kept"
}
