package app

import (
	"errors"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// signInPage asks for login and password.
type signInPage struct {
	Page
	Form *form
}

// secretsTyped are what the sign-in form takes.
type secretsTyped struct{ login, password, next string }

func signInForm(f *form, s *secretsTyped) {
	f.Text("login", &s.login, 1, 80).Autocomplete = "username"
	f.Secret("password", &s.password, required).Autocomplete = "current-password"
	f.Hidden("next", &s.next)
}

func (a *App) showSignIn(c *gin.Context) error {
	if visitorOf(c).signedIn() {
		return a.redirect(c, "/", "")
	}
	f := a.newForm(c, "sign", "/login")
	signInForm(f, &secretsTyped{next: localPath(c.Query("next"))})
	return a.show(c, "sign/in", &signInPage{Form: f})
}

func (a *App) signIn(c *gin.Context) error {
	f, err := a.readForm(c, "sign", "/login")
	if err != nil {
		return err
	}
	var typed secretsTyped
	signInForm(f, &typed)
	if f.OK() {
		person, err := a.checkSignIn(c, typed)
		if err == nil {
			if err := a.remember(c.Request.Context(), person.ID); err != nil {
				return err
			}
			return a.redirect(c, localPath(typed.next), "")
		}
		if !f.take(err) {
			return err
		}
	}
	return a.redisplay(c, "sign/in", &signInPage{Form: f})
}

// checkSignIn gives the person of what was typed; a refusal is Invalid, without saying whether the login exists.
func (a *App) checkSignIn(c *gin.Context, typed secretsTyped) (records.Person, error) {
	if !a.limits.allow(c.ClientIP()) {
		return records.Person{}, errTooMany
	}
	person, err := a.store.SignIn(c.Request.Context(), typed.login, typed.password)
	switch {
	case errors.Is(err, records.ErrSecret):
		return person, records.Invalid{{Field: "", Key: "sign.no_match"}}
	case errors.Is(err, records.ErrAttempts):
		return person, records.Invalid{{Field: "", Key: "error.too_many"}}
	case err != nil:
		return person, err
	case !mayStillEnter(person, a.store.Now(), visitorOf(c).zone):
		return person, records.Invalid{{Field: "", Key: "sign.expired", Args: []any{"Day", string(person.Expires)}}}
	}
	return person, nil
}

// signOut ends the session; the device's language stays as it was set.
func (a *App) signOut(c *gin.Context) error {
	if err := a.sessions.Destroy(c.Request.Context()); err != nil {
		return err
	}
	return a.redirect(c, "/login", "")
}

// confirmSecret checks the PIN or password of the person who signs, as releasing and closing ask. A wrong one comes back
// as Invalid for the field "secret", so that form.take shows it there.
func (a *App) confirmSecret(c *gin.Context, personID, secret string) error {
	return secretFault(a.store.ConfirmSecret(c.Request.Context(), personID, secret))
}

// secretFault is what the store said of a secret, as Invalid for the field "secret" where that was wrong.
func secretFault(err error) error {
	switch {
	case errors.Is(err, records.ErrSecret):
		return records.Invalid{{Field: "secret", Key: "sign.secret_wrong"}}
	case errors.Is(err, records.ErrAttempts):
		return records.Invalid{{Field: "secret", Key: "error.too_many"}}
	default:
		return err
	}
}
