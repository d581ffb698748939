package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// streamPath is the one address that answers until the page is closed.
const streamPath = "/kettle/stream"

const (
	streamBeat  = 15 * time.Second // how often a quiet stream says that it lives, and asks whether the session still does
	streamWrite = 10 * time.Second // a phone that takes nothing for as long is let go; it comes again by itself
	streamAgain = 2000             // milliseconds until a browser tries again
)

// stream is one page that is told what is written, by server-sent events.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
	run     string // "" for all
}

// streamKettle tells a page which runs were written about until the page is closed, the session ends or the program stops.
func (a *App) streamKettle(c *gin.Context) error {
	watcher, err := a.store.Watch(c.Request.Context())
	if err != nil {
		return err
	}
	defer watcher.Close()
	s := newStream(c)
	if err := s.hello(a.store.Now(), watcher.Since, c.GetHeader("Last-Event-ID")); err == nil {
		a.follow(c, s, watcher)
	}
	return nil // what goes wrong now cannot be answered any more; the page comes again
}

// newStream turns a response into a stream. The deadlines of ordinary answers are lifted: each event has its own. Wrapped
// writers are unwrapped down to one that can flush.
func newStream(c *gin.Context) *stream {
	header := c.Writer.Header()
	header.Set("Content-Type", "text/event-stream; charset=utf-8")
	header.Set("X-Accel-Buffering", "no") // a proxy in front may hold answers back
	var under http.ResponseWriter = c.Writer
	if wrapped, ok := c.Writer.(interface{ Unwrap() http.ResponseWriter }); ok {
		under = wrapped.Unwrap() // gin's own flush says nothing when it could not
	}
	s := &stream{w: c.Writer, control: http.NewResponseController(under), run: c.Query("run")}
	s.control.SetReadDeadline(time.Time{})
	c.Writer.WriteHeaderNow()
	return s
}

// hello says how late it is here and how far the journal is. A page that has not seen it as far is told at once that there
// may be something new.
func (s *stream) hello(now time.Time, seq int64, seen string) error {
	err := s.send(fmt.Sprintf("retry: %d\n", streamAgain), "hello", 0, map[string]any{"now": now.UnixMilli(), "seq": seq})
	if err == nil && seen != fmt.Sprint(seq) {
		err = s.written(records.Written{Seq: seq, Any: true})
	}
	return err
}

// written tells of runs that were written about. Any run is this page's run, or all of them.
func (s *stream) written(said records.Written) error {
	if said.Any {
		return s.kettle(s.run, said.Seq)
	}
	if s.run != "" {
		if slices.Contains(said.Runs, s.run) {
			return s.kettle(s.run, said.Seq)
		}
		return nil
	}
	for _, run := range said.Runs {
		if err := s.kettle(run, said.Seq); err != nil {
			return err
		}
	}
	return nil
}

func (s *stream) kettle(run string, seq int64) error {
	return s.send("", "kettle", seq, map[string]any{"run": run, "seq": seq})
}

// send writes one event; seq 0 leaves out its id.
func (s *stream) send(before, event string, seq int64, data map[string]any) error {
	body, err := json.Marshal(data)
	if err != nil {
		return err
	}
	if seq > 0 {
		before += fmt.Sprintf("id: %d\n", seq)
	}
	return s.write(fmt.Sprintf("%sevent: %s\ndata: %s\n\n", before, event, body))
}

// write sends text on its way. The deadline is by this machine's clock, whatever the house's says.
func (s *stream) write(text string) error {
	if err := s.control.SetWriteDeadline(time.Now().Add(streamWrite)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := s.w.Write([]byte(text)); err != nil {
		return err
	}
	return s.control.Flush()
}

// follow hands on what the watcher is told, until the end of any of them.
func (a *App) follow(c *gin.Context, s *stream, watcher *records.Watcher) {
	beat := time.NewTicker(a.beat)
	defer beat.Stop()
	var err error
	for err == nil {
		select {
		case <-c.Request.Context().Done():
			return
		case <-a.ending:
			return
		case <-watcher.Ready():
			err = s.written(watcher.Take())
		case <-beat.C:
			if !a.stillOn(c) {
				s.send("", "gone", 0, map[string]any{})
				return
			}
			err = s.write(":\n\n")
		}
	}
}

// stillOn asks the session table anew whether the person of a request is signed in still. When it cannot be asked the answer
// is yes until the next time: what a stream tells is no more than that something was written.
func (a *App) stillOn(c *gin.Context) bool {
	v := visitorOf(c)
	cookie, err := c.Request.Cookie(a.sessions.Cookie.Name)
	if err != nil {
		return false
	}
	bare, cancel := context.WithTimeout(context.Background(), 5*time.Second) // the request's own context holds the session as it was
	defer cancel()
	ctx, err := a.sessions.Load(bare, cookie.Value)
	if err != nil {
		a.log.Warn("session of a stream", "error", err)
		return true
	}
	person, err := a.signedIn(ctx, v.zone)
	if err != nil {
		a.log.Warn("session of a stream", "error", err)
		return true
	}
	return person.ID == v.person.ID
}

// EndStreams lets every stream end, so that the program can stop. It may be called more than once.
func (a *App) EndStreams() { a.endOnce.Do(func() { close(a.ending) }) }
