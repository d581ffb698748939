package app

import (
	"github.com/gin-gonic/gin"

	"canewright/records"
)

// newSecrets are what the form for password and PIN takes.
type newSecrets struct{ secret, password, pin string }

// secretForm asks whoever changes somebody's secrets for their own password first.
func secretForm(f *form, s *newSecrets) {
	f.Secret("secret", &s.secret, required).Autocomplete = "current-password"
	f.Secret("password", &s.password, optional).Autocomplete = "new-password"
	f.Secret("pin", &s.pin, optional).Autocomplete = "off"
}

// personOf is the person whose secrets are changed: oneself, or anybody for the owner.
func (a *App) personOf(c *gin.Context) (records.Person, error) {
	v := visitorOf(c)
	if c.Param("id") != v.person.ID && !v.may(owner) {
		return records.Person{}, records.Forbidden{Key: "error.owner_only"}
	}
	return records.Get[records.Person](c.Request.Context(), a.store, c.Param("id"))
}

func secretPage(v *visitor, person records.Person, f *form) *formPage {
	f.Cancel = recordURL(person.ID)
	return &formPage{Heading: v.words().say("secret.title", "Name", person.Name), Lead: v.words().say("secret.lead"), Form: f}
}

func (a *App) showSecret(c *gin.Context) error {
	person, err := a.personOf(c)
	if err != nil {
		return err
	}
	f := a.newForm(c, "secret", c.Request.URL.Path)
	secretForm(f, &newSecrets{})
	return a.show(c, "kind/form", secretPage(visitorOf(c), person, f))
}

func (a *App) changeSecret(c *gin.Context) error {
	person, err := a.personOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "secret", c.Request.URL.Path)
	if err != nil {
		return err
	}
	var typed newSecrets
	secretForm(f, &typed)
	if f.OK() {
		err := a.keepSecrets(c, person, typed)
		if err == nil {
			return a.redirect(c, recordURL(person.ID), "secret.changed")
		}
		if !f.take(err) {
			return err
		}
	}
	return a.redisplay(c, "kind/form", secretPage(visitorOf(c), person, f))
}

// keepSecrets sets what was typed. A new password of one's own keeps this session and ends one's others.
func (a *App) keepSecrets(c *gin.Context, person records.Person, typed newSecrets) error {
	ctx, self := c.Request.Context(), visitorOf(c).person.ID
	if typed.password == "" && typed.pin == "" {
		return records.Invalid{{Field: "password", Key: "invalid.required"}}
	}
	if err := secretFault(a.store.ConfirmPassword(ctx, self, typed.secret)); err != nil {
		return err
	}
	if typed.password != "" {
		if err := a.store.SetPassword(ctx, person.ID, typed.password); err != nil {
			return err
		}
	}
	if typed.pin != "" {
		if err := a.store.SetPIN(ctx, person.ID, typed.pin); err != nil {
			return err
		}
	}
	if typed.password != "" && person.ID == self {
		return a.remember(ctx, self)
	}
	return nil
}
