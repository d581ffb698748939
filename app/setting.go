package app

import (
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards/text"
)

// yearSeconds is how long a device keeps its language and units.
const yearSeconds = 365 * 24 * 3600

// changeSetting sets language or units of this device and goes back to the page it came from.
func (a *App) changeSetting(c *gin.Context) error {
	if err := parseBody(c); err != nil {
		return err
	}
	if lang, ok := text.ParseLanguage(c.Request.PostFormValue("language")); ok {
		a.keepOnDevice(c, "language", string(lang))
	}
	if units := c.Request.PostFormValue("units"); units == "us" || units == "metric" {
		a.keepOnDevice(c, "units", units)
	}
	return a.redirect(c, localPath(c.Request.PostFormValue("back")), "")
}

func (a *App) keepOnDevice(c *gin.Context, name, value string) {
	http.SetCookie(c.Writer, &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: yearSeconds, HttpOnly: true,
		Secure: a.opt.HTTPS, SameSite: http.SameSiteLaxMode})
}

// localPath lets a form send on to a page of this app only.
func localPath(path string) string {
	if !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n\t") {
		return "/"
	}
	return path
}
