package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/records"
)

// What a session keeps.
const (
	sessionPerson = "person" // id of the person signed in
	sessionMark   = "mark"   // of that person's password: a new one ends the session
	sessionFlash  = "flash"  // said once on the next page
)

// sessionLife is one long day in the season.
const sessionLife = 16 * time.Hour

// newSessions makes the session manager over the store's table, which holds only hashes of the cookies' tokens.
func newSessions(store *records.Store, https bool) *scs.SessionManager {
	sessions := scs.New()
	sessions.Store = store.Sessions()
	sessions.Lifetime = sessionLife
	sessions.HashTokenInStore = true
	sessions.Cookie.Name = "canewright"
	sessions.Cookie.HttpOnly = true
	sessions.Cookie.SameSite = http.SameSiteLaxMode
	sessions.Cookie.Secure = https
	return sessions
}

// signedIn gives the person of the session, as the record stands now; an empty Person when nobody is signed in.
func (a *App) signedIn(ctx context.Context, zone *time.Location) (records.Person, error) {
	id := a.sessions.GetString(ctx, sessionPerson)
	if id == "" {
		return records.Person{}, nil
	}
	person, err := records.Get[records.Person](ctx, a.store, id)
	if errors.Is(err, records.ErrNotFound) {
		return records.Person{}, nil
	}
	if err != nil {
		return records.Person{}, fmt.Errorf("person of the session: %w", err)
	}
	mark, err := a.store.CredentialMark(ctx, id)
	if err != nil {
		return records.Person{}, err
	}
	if mark != a.sessions.GetString(ctx, sessionMark) || !mayStillEnter(person, a.store.Now(), zone) {
		return records.Person{}, nil
	}
	return person, nil
}

// mayStillEnter refuses a struck person and a reader whose last day is past.
func mayStillEnter(p records.Person, now time.Time, zone *time.Location) bool {
	return !p.Struck && (p.Expires == "" || records.DayOf(now, zone) <= p.Expires)
}

// remember starts a session for a person, under a new token so that one planted before is worth nothing.
func (a *App) remember(ctx context.Context, personID string) error {
	if err := a.sessions.RenewToken(ctx); err != nil {
		return fmt.Errorf("renew session: %w", err)
	}
	mark, err := a.store.CredentialMark(ctx, personID)
	if err != nil {
		return err
	}
	a.sessions.Put(ctx, sessionPerson, personID)
	a.sessions.Put(ctx, sessionMark, mark)
	return nil
}

// flash keeps a text to say once on the next page.
func (a *App) flash(c *gin.Context, key string, args ...any) {
	a.sessions.Put(c.Request.Context(), sessionFlash, text.Say(visitorOf(c).lang, key, args...))
}

func (a *App) takeFlash(c *gin.Context) string {
	return a.sessions.PopString(c.Request.Context(), sessionFlash)
}

// sessionFailed answers when the session table cannot be read, or a sign-in not be written. Elsewhere a session that could
// not be written, as on a full disk, loses no more than a text said once: the page goes out, and reading goes on.
func (a *App) sessionFailed(w http.ResponseWriter, r *http.Request, err error) {
	a.log.Error("session failed", "path", r.URL.Path, "error", err)
	if errors.Is(err, records.ErrSessionNotKept) && r.URL.Path != "/login" {
		return
	}
	http.Error(w, text.Say(text.English, "error.internal"), http.StatusInternalServerError)
}
