package app

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/records"
)

func TestReplyFor(t *testing.T) {
	tests := []struct {
		name     string
		method   string
		err      error
		status   int
		key      string
		redirect string
		link     string
	}{
		{"invalid", "POST", records.Invalid{{Field: "name", Key: "invalid.required"}}, 422, "error.invalid", "", ""},
		{"invalid, wrapped", "POST", fmt.Errorf("write: %w", records.Invalid{{Field: "name", Key: "invalid.required"}}), 422, "error.invalid", "", ""},
		{"not found", "GET", fmt.Errorf("lot 1: %w", records.ErrNotFound), 404, "error.not_found", "", ""},
		{"conflict", "POST", records.Conflict{Key: "conflict.newer", ID: "A1"}, 409, "conflict.newer", "", "/record/A1"},
		{"double tap", "POST", records.Already{RecordID: "A1"}, 303, "", "/record/A1", ""},
		{"forbidden", "POST", records.Forbidden{Key: "error.owner_only"}, 403, "error.owner_only", "", ""},
		{"sign in to look", "GET", errSignIn, 303, "", "/login?next=%2Fthere%3Fx%3D1", ""},
		{"sign in to send", "POST", errSignIn, 401, "error.sign_in", "", ""},
		{"not releasable", "POST", records.NotReleasable{}, 422, "error.not_releasable", "", ""},
		{"other site", "POST", errCrossOrigin, 403, "error.cross_origin", "", ""},
		{"wrong method", "PUT", errMethod, 405, "error.method", "", ""},
		{"too many", "POST", errTooMany, 429, "error.too_many", "", ""},
		{"too large", "POST", errTooLarge, 413, "error.too_large", "", ""},
		{"disk full", "POST", errors.New("database or disk is full"), 507, "error.no_room", "", ""},
		{"anything else", "GET", errors.New("disk gone"), 500, "error.internal", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rep := replyFor(test.err, httptest.NewRequest(test.method, "/there?x=1", nil))
			assert.Equal(t, test.status, rep.status)
			assert.Equal(t, test.key, rep.key)
			assert.Equal(t, test.redirect, rep.redirect)
			assert.Equal(t, test.link, rep.link)
			if test.key != "" {
				assert.True(t, text.Has(text.Spanish, test.key), "%s in Spanish", test.key)
				assert.NotContains(t, headingOf(text.Spanish, rep), "⟦")
			}
		})
	}
}

// TestInternalErrorShowsNoInside: the person sees a reference, the log has the cause under it.
func TestInternalErrorShowsNoInside(t *testing.T) {
	h := newHouse(t)
	require.NoError(t, h.store.Close())
	page := h.browser().get("/health")
	require.Equal(t, http.StatusInternalServerError, page.StatusCode)
	assert.NotContains(t, page.words(), "database")
	reference := regexp.MustCompile(`Reference ([0-9a-f]{8})`).FindStringSubmatch(page.words())
	require.Len(t, reference, 2)
	assert.Contains(t, h.log.String(), "reference="+reference[1])
	assert.Contains(t, h.log.String(), "database is closed")
}

func TestNotFoundOffersASearch(t *testing.T) {
	page := newHouse(t).as("odell").get("/record/A1/amend")
	assert.Equal(t, http.StatusNotFound, page.StatusCode)
	assert.NotContains(t, page.body, "A1:")
	assert.Contains(t, page.body, `name="q"`)
}

func TestWrongMethodAndPath(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	assert.Equal(t, http.StatusMethodNotAllowed, b.post("/health").StatusCode)
	assert.Equal(t, http.StatusNotFound, b.get("/no/such/page").StatusCode)
	assert.Equal(t, "ok\n", b.get("/health").body)
}

// Somebody who goes on to another page before the answer came leaves no fault in the log.
func TestGoneBeforeTheAnswer(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	stays := httptest.NewRequest(http.MethodGet, "/health", nil)
	leaves := stays.WithContext(ctx)
	cancel()
	assert.True(t, gone(leaves, fmt.Errorf("lot: %w", context.Canceled)))
	assert.False(t, gone(leaves, errors.New("the disk is gone")))
	assert.False(t, gone(stays, fmt.Errorf("lot: %w", context.Canceled)), "one that nobody left is a fault of ours")
}
