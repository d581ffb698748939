package app

import (
	"context"
	"errors"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"canewright/records"
)

// fullDisk keeps no session.
type fullDisk struct{ records.Sessions }

func (fullDisk) CommitCtx(context.Context, string, []byte, time.Time) error {
	return errors.Join(records.ErrSessionNotKept, errors.New("database or disk is full"))
}

// On a full disk a text waiting to be said once does not keep anybody from reading; nobody new gets in without a session.
func TestReadingGoesOnOnAFullDisk(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	b.post("/field/block", "name", "Creek side", "site", h.site).location(t)
	h.app.sessions.Store = fullDisk{h.store.Sessions()}
	for range 2 {
		page := b.get("/field/block")
		assert.Equal(t, http.StatusOK, page.StatusCode)
		assert.Contains(t, page.words(), "Creek side")
	}
	assert.Equal(t, http.StatusInternalServerError, h.browser().post("/login", "login", "odell", "password", testPassword).StatusCode)
}
