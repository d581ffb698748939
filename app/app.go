package app

import (
	"fmt"
	"log/slog"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"canewright/records"
	"canewright/templates"
)

// Options are what the command decides about the web app.
type Options struct {
	Log     *slog.Logger // nil: nothing is logged
	HTTPS   bool         // people reach the app by https, here or at a proxy in front
	Proxies []string     // addresses of proxies whose forwarded addresses are believed; none by default
}

// App is the web app of one house.
type App struct {
	store    *records.Store
	opt      Options
	log      *slog.Logger
	pages    *templates.Pages
	assets   map[string]string
	sessions *scs.SessionManager
	limits   *limits // of sign-in attempts
	tells    *limits // of strangers' complaints, by address
	allTells *limits // of all of them
	shows    *limits // of strangers' photos, by address
	allShows *limits // of all of them
	kinds    *kinds
	routed   map[string]access // who may GET each path that has a route
	zone     atomic.Pointer[time.Location]
	photos   chan struct{} // held while a photo is decoded
	shared   shared        // live parts of pages, made once for all who watch
	waiting  waitingFiles  // loggers' files sent and not kept yet
	finishes finishes      // when each open run will be done
	beat     time.Duration // how often a stream says that it lives
	ending   chan struct{} // closed when the streams shall end
	endOnce  sync.Once
	handler  http.Handler
}

// New makes the app of a house. It fails when a page does not parse or a route is written wrongly.
func New(store *records.Store, opt Options) (*App, error) {
	a := &App{store: store, opt: opt, log: opt.Log, limits: newLimits(store.Now, attemptEvery, attemptBurst),
		tells: newLimits(store.Now, tellEvery, tellBurst), allTells: newLimits(store.Now, tellAllEvery, tellAllBurst),
		shows: newLimits(store.Now, showEvery, showBurst), allShows: newLimits(store.Now, showAllEvery, showAllBurst), kinds: newKinds(), routed: map[string]access{},
		photos: make(chan struct{}, 1), beat: streamBeat, ending: make(chan struct{})}
	if a.log == nil {
		a.log = slog.New(slog.DiscardHandler)
	}
	a.zone.Store(time.UTC)
	var err error
	if a.assets, err = templates.Assets(); err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	if a.pages, err = templates.Load(a.functions); err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	a.sessions = newSessions(store, opt.HTTPS)
	a.sessions.ErrorFunc = a.sessionFailed
	engine, err := a.engine()
	if err != nil {
		return nil, fmt.Errorf("app: %w", err)
	}
	a.handler = headers(a.logged(a.static(a.sessions.LoadAndSave(engine))))
	return a, nil
}

// Handler serves the app; the command puts it behind its own http.Server with timeouts.
func (a *App) Handler() http.Handler { return a.handler }

// engine sets gin up explicitly: no default middleware, no trusted proxy unless named, 405 for a wrong method.
func (a *App) engine() (*gin.Engine, error) {
	gin.SetMode(gin.ReleaseMode)
	engine := gin.New()
	engine.HandleMethodNotAllowed = true
	if err := engine.SetTrustedProxies(a.opt.Proxies); err != nil {
		return nil, err
	}
	for _, r := range a.routes() {
		engine.Handle(r.method, r.path, a.handle(r.who, r.do))
		if r.method == http.MethodGet {
			a.routed[r.path] = r.who
		}
	}
	engine.NoRoute(a.handle(anyone, noRoute))
	engine.NoMethod(a.handle(anyone, noMethod))
	return engine, nil
}
