package app

import (
	"context"
	"time"

	"canewright/records"
)

// live is what a script reads of a page that follows what is written elsewhere: the house's clock, when the fire was lit,
// and how it stands.
type live struct {
	NowAt, LitAt int64 // milliseconds since 1970
	FireOut      bool
}

// lastFigure is the newest reading of a sort, to be read at arm's length.
type lastFigure struct {
	Label, Figure, Small string
}

// takeBackFor is how long a line of the log offers to be taken back beside it; later it is struck on its record's page (our
// choice, no source).
const takeBackFor = 30 * time.Minute

// lastFigures are the last temperature in the kettle and the last density reading with its estimate; the cup's temperature
// belongs to the reading.
func (a *App) lastFigures(ctx context.Context, w words, log records.BoilLog) []lastFigure {
	var last []lastFigure
	if e := lastInKettle(log); e != nil {
		f := lastFigure{Label: w.say("kettle_page.temperature")}
		f.Figure, _ = w.temperature(e.Temperature)
		f.Small, _ = w.clock(e.At)
		last = append(last, f)
	}
	if len(log.Readings) > 0 {
		r := log.Readings[len(log.Readings)-1]
		f := lastFigure{Label: w.say("kettle_page.reading"), Figure: w.reading(r)}
		f.Small, _ = w.clock(r.At)
		if r.Temperature != nil {
			cup, _ := w.temperature(r.Temperature)
			f.Small += " · " + cup
		}
		if _, solids := a.estimatedSolids(ctx, w, r); solids != "" {
			f.Small += " · " + solids
		}
		last = append(last, f)
	}
	return last
}

// markLines adds to the lines of a log what is kept beside them: the phone's story, photos, and how to take them back.
func (a *App) markLines(ctx context.Context, v *visitor, lines []logLine) error {
	w, now := v.words(), a.store.Now()
	ids := make([]string, 0, len(lines))
	for _, l := range lines {
		ids = append(ids, l.id)
	}
	photos, err := records.AttachmentsOf(ctx, a.store, ids...)
	if err != nil {
		return err
	}
	said, err := a.phoneWords(ctx, w, ids)
	if err != nil {
		return err
	}
	for i := range lines {
		l := &lines[i]
		l.ID = l.id
		if l.id != "" && now.Sub(l.written) < takeBackFor && v.may(crew) && !l.Amended {
			l.TakeBack = recordURL(l.id) + "/strike"
		}
		if l.Late != "" && said[l.id] != "" {
			l.Late += ", "
		}
		l.Late += said[l.id]
	}
	for _, photo := range photos {
		for i := range lines {
			if lines[i].id == photo.OfID && photo.Sort != records.AttachedLogger {
				lines[i].Photos = append(lines[i].Photos, "/attachment/"+photo.ID)
			}
		}
	}
	return nil
}
