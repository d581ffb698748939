package app

import (
	"errors"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// showHealth answers "ok" when the house's records can be read. A phone whose clock may have been set meanwhile finds the house's
// in a header.
func (a *App) showHealth(c *gin.Context) error {
	if _, err := a.store.House(c.Request.Context()); err != nil && !errors.Is(err, records.ErrNotFound) {
		return err
	}
	c.Header("X-House-Now", strconv.FormatInt(a.store.Now().UnixMilli(), 10))
	c.String(http.StatusOK, "ok\n")
	return nil
}
