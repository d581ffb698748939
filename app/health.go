package app

import (
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// showHealth answers "ok" when the house's records can be read.
func (a *App) showHealth(c *gin.Context) error {
	if _, err := a.store.House(c.Request.Context()); err != nil && !errors.Is(err, records.ErrNotFound) {
		return err
	}
	c.String(http.StatusOK, "ok\n")
	return nil
}
