package app

import (
	"fmt"
	"runtime/debug"

	"github.com/gin-gonic/gin"
)

// handle is the one adapter between gin and our handlers: who is asking, may they, do it, answer the error.
func (a *App) handle(who access, do func(*gin.Context) error) gin.HandlerFunc {
	return func(c *gin.Context) {
		if err := a.serve(c, who, do); err != nil {
			a.answer(c, err)
		}
	}
}

// serve runs one request; a panic becomes an error like any other, with its stack for the log.
func (a *App) serve(c *gin.Context, who access, do func(*gin.Context) error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	if err := sameOrigin(c.Request); err != nil {
		return err
	}
	v, err := a.visit(c)
	if err != nil {
		return err
	}
	if err := v.permit(who); err != nil {
		return err
	}
	return do(c)
}
