package app

import (
	"bytes"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/templates"
)

// view is a page's struct: it embeds Page.
type view interface{ page() *Page }

// render draws the page into a buffer first, so that an error midway never leaves half a page behind a 200.
func (a *App) render(c *gin.Context, status int, name string, v view) error {
	a.fill(c, v.page())
	who := visitorOf(c)
	var body bytes.Buffer
	set := templates.Setting{Language: string(who.lang), Units: who.units}
	if err := a.pages.Execute(&body, name, set, v); err != nil {
		return err
	}
	c.Data(status, "text/html; charset=utf-8", body.Bytes())
	return nil
}

// show renders with 200.
func (a *App) show(c *gin.Context, name string, v view) error {
	return a.render(c, http.StatusOK, name, v)
}

// redisplay renders a form again with what was typed and what is wrong.
func (a *App) redisplay(c *gin.Context, name string, v view) error {
	return a.render(c, http.StatusUnprocessableEntity, name, v)
}

// redirect goes on after a POST, saying once on the next page what was done. flashKey "" says nothing.
func (a *App) redirect(c *gin.Context, url, flashKey string, args ...any) error {
	if flashKey != "" {
		a.flash(c, flashKey, args...)
	}
	c.Redirect(http.StatusSeeOther, url)
	return nil
}
