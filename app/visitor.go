package app

import (
	"errors"
	"fmt"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
	"canewright/records"
)

// visitor is whoever sends a request, and what they are spoken to in.
type visitor struct {
	person records.Person // empty ID: not signed in
	house  records.House  // empty ID: before the first start
	lang   text.Language
	units  string // us or metric
	zone   *time.Location
}

// visitorKey is where a request keeps its visitor.
const visitorKey = "visitor"

// visit finds out who is asking, once for each request.
func (a *App) visit(c *gin.Context) (*visitor, error) {
	v := &visitor{lang: text.PreferredLanguage(c.GetHeader("Accept-Language")), units: "us", zone: time.UTC}
	c.Set(visitorKey, v)
	house, err := a.store.House(c.Request.Context())
	if err != nil && !errors.Is(err, records.ErrNotFound) {
		return nil, fmt.Errorf("house: %w", err)
	}
	v.house = house
	if zone, err := time.LoadLocation(house.Zone); err == nil {
		v.zone = zone
		a.zone.Store(zone)
	}
	if v.person, err = a.signedIn(c.Request.Context(), v.zone); err != nil {
		return nil, err
	}
	v.settle(c)
	return v, nil
}

// settle chooses language and units: what this device was set to, else what the person's record says.
func (v *visitor) settle(c *gin.Context) {
	if v.signedIn() {
		v.lang, _ = text.ParseLanguage(v.person.Language)
		v.units = v.person.Units
	}
	if lang, err := c.Cookie("language"); err == nil {
		if known, ok := text.ParseLanguage(lang); ok {
			v.lang = known
		}
	}
	if units, err := c.Cookie("units"); err == nil {
		v.units = units
	}
	if v.units != "metric" {
		v.units = "us"
	}
}

func (v *visitor) signedIn() bool { return v.person.ID != "" }

// rank is what the person is, in the order of access.
func (v *visitor) rank() access {
	switch {
	case !v.signedIn():
		return anyone
	case v.person.Role == records.RoleOwner:
		return owner
	case v.person.Role == records.RoleCrew:
		return crew
	}
	return reader
}

// may tells whether the visitor may use what asks for who.
func (v *visitor) may(who access) bool { return v.rank() >= who }

// permit is may as an error: sign in first, or Forbidden saying who may.
func (v *visitor) permit(who access) error {
	switch {
	case v.may(who):
		return nil
	case !v.signedIn():
		return errSignIn
	case who == owner:
		return records.Forbidden{Key: "error.owner_only"}
	}
	return records.Forbidden{Key: "error.crew_only"}
}

// visitorOf gives the visitor of a request; handlers may rely on it.
func visitorOf(c *gin.Context) *visitor {
	if v, ok := c.Value(visitorKey).(*visitor); ok {
		return v
	}
	return &visitor{lang: text.English, units: "us", zone: time.UTC}
}

// actor is who writes: the person signed in, on a shared phone the person tapped (form.DoneBy), and the form's
// submission number. Where a right depends on the person tapped, ask for that person's secret (confirmSecret).
func (a *App) actor(c *gin.Context) records.Actor {
	who := records.Actor{PersonID: visitorOf(c).person.ID, Submission: c.Request.PostFormValue("submission")}
	if tapped := c.Request.PostFormValue("done_by"); tapped != "" {
		if kind, err := a.store.KindOf(c.Request.Context(), tapped); err == nil && kind == records.KindPerson {
			who.DoneBy = tapped
		}
	}
	return who
}
