package app

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRouteByRole asks every route of the table as everybody: whoever may is not refused, whoever may not is.
func TestRouteByRole(t *testing.T) {
	h := newHouse(t)
	ranks := map[string]access{"": anyone, "ines": reader, "marisol": crew, "odell": owner}
	browsers := map[string]*browser{}
	for login := range ranks {
		browsers[login] = h.as(login)
	}
	for _, r := range h.app.routes() {
		if r.path == "/sign-out" || r.path == streamPath { // a stream does not end by itself: TestStream
			continue
		}
		path := strings.ReplaceAll(r.path, ":id", "NONE")
		for login, rank := range ranks {
			b := browsers[login]
			got := b.get(path)
			if r.method == http.MethodPost {
				got = b.post(path)
			}
			name := r.method + " " + r.path + " as " + login
			switch {
			case rank >= r.who && login != "":
				assert.NotEqual(t, http.StatusUnauthorized, got.StatusCode, name)
				assert.NotContains(t, got.Header.Get("Location"), "/login", name)
				assert.Less(t, got.StatusCode, 500, name)
				if got.StatusCode == http.StatusForbidden { // a finer rule: only one's own password
					assert.Contains(t, r.path, "/secret", name)
				}
			case rank >= r.who:
				assert.NotContains(t, got.Header.Get("Location"), "/login", name)
			case login != "":
				assert.Equal(t, http.StatusForbidden, got.StatusCode, name)
			case r.method == http.MethodGet:
				assert.Contains(t, got.location(t), "/login?next=", name)
			default:
				assert.Equal(t, http.StatusUnauthorized, got.StatusCode, name)
			}
		}
	}
}

func TestMenuHoldsOnlyRoutes(t *testing.T) {
	h := newHouse(t)
	page := h.as("odell").get("/")
	require.Equal(t, http.StatusOK, page.StatusCode)
	for _, item := range navItems {
		_, routed := h.app.routed[item.path]
		assert.Equal(t, routed, strings.Contains(page.body, `<li><a href="`+item.path+`"`), item.path)
	}
}
