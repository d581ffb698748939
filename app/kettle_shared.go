package app

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"regexp"
	"strconv"
	"sync"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
	"canewright/templates"
)

// liveKey is all that the live part of a page depends on. It holds nothing of the person but what they may do, and no form:
// what one phone is shown all phones of the same key are.
type liveKey struct {
	path, lang, units string
	rank              access
	seq               int64 // the journal's head
	minute            int64
}

// rendering is a page part being made, or made.
type rendering struct {
	done chan struct{}
	body []byte
	err  error
}

// shared keeps the live parts of pages for as long as they are right, each made once for all who ask.
type shared struct {
	mu   sync.Mutex
	made map[liveKey]*rendering
	runs int // how many were made, for tests
}

// sharedMost bounds what is kept: kettles, languages, units and rights of a house are few.
const sharedMost = 64

// get gives the part of a key, made by the first who asks. A failure is told to all who waited, and forgotten.
func (s *shared) get(ctx context.Context, key liveKey, make func() ([]byte, error)) ([]byte, error) {
	s.mu.Lock()
	r, ok := s.made[key]
	if !ok {
		r = &rendering{done: newDone()}
		s.keep(key, r)
	}
	s.mu.Unlock()
	if !ok {
		s.render(key, r, make)
	}
	select {
	case <-r.done:
		return r.body, r.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func newDone() chan struct{} { return make(chan struct{}) }

// keep adds a rendering; those of an older head or minute are dropped. The caller holds mu.
func (s *shared) keep(key liveKey, r *rendering) {
	for old := range s.made {
		if old.seq < key.seq || old.minute < key.minute || len(s.made) >= sharedMost {
			delete(s.made, old)
		}
	}
	if s.made == nil {
		s.made = map[liveKey]*rendering{}
	}
	s.made[key] = r
	s.runs++
}

// render makes a part. A panic in it is an error to everybody who waits.
func (s *shared) render(key liveKey, r *rendering, make func() ([]byte, error)) {
	r.err = errors.New("the live part was not made")
	defer func() {
		if r.err != nil {
			s.mu.Lock()
			if s.made[key] == r {
				delete(s.made, key)
			}
			s.mu.Unlock()
		}
		close(r.done)
	}()
	r.body, r.err = make()
}

// showRunLive gives the part of a run's page that changes.
func (a *App) showRunLive(c *gin.Context) error {
	return a.showLive(c, func(ctx context.Context) (string, string, view, error) {
		log, err := records.BoilLogOf(ctx, a.store, c.Param("id"))
		if err != nil {
			return "", "", nil, err
		}
		page, err := a.runLive(ctx, visitorOf(c), log)
		return "kettle/run", "run-live", page, err
	})
}

// showKettlesLive gives the part of the list of kettles that changes.
func (a *App) showKettlesLive(c *gin.Context) error {
	return a.showLive(c, func(ctx context.Context) (string, string, view, error) {
		away := c.Copy()
		away.Request = c.Request.WithContext(ctx)
		page, err := a.kettlesPage(away, "", nil)
		return "kettle/list", "kettles-live", page, err
	})
}

// showLive answers with a part of a page, made once for all who may see the same. The house's clock in it is set to now.
func (a *App) showLive(c *gin.Context, gather func(context.Context) (page, block string, v view, err error)) error {
	ctx, v := c.Request.Context(), visitorOf(c)
	head, err := records.JournalHead(ctx, a.store)
	if err != nil {
		return err
	}
	key := liveKey{path: c.Request.URL.Path, lang: string(v.lang), units: v.units, rank: v.rank(), seq: head.Seq, minute: a.store.Now().Unix() / 60}
	body, err := a.shared.get(ctx, key, func() ([]byte, error) {
		away, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Minute) // others wait for it when this phone has gone
		defer cancel()
		page, block, view, err := gather(away)
		if err != nil {
			return nil, err
		}
		var out bytes.Buffer
		err = a.pages.ExecuteBlock(&out, page, block, templates.Setting{Language: string(v.lang), Units: v.units}, view)
		return out.Bytes(), err
	})
	if err != nil {
		return err
	}
	c.Header("X-Journal-Head", strconv.FormatInt(head.Seq, 10))
	c.Data(http.StatusOK, "text/html; charset=utf-8", setClock(body, a.store.Now()))
	return nil
}

var clockMark = regexp.MustCompile(`data-now="\d+"`)

// setClock puts the moment of answering into the root element of a live part, in a copy.
func setClock(body []byte, now time.Time) []byte {
	at := clockMark.FindIndex(body)
	if at == nil {
		return body
	}
	mark := `data-now="` + strconv.FormatInt(now.UnixMilli(), 10) + `"`
	out := make([]byte, 0, len(body)+len(mark))
	out = append(append(out, body[:at[0]]...), mark...)
	return append(out, body[at[1]:]...)
}
