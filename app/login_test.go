package app

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

func TestSignIn(t *testing.T) {
	h := newHouse(t)
	b := h.browser()
	assert.Equal(t, "/login?next=%2Ffield", b.get("/field").location(t))
	t.Run("wrong password and unknown login read alike", func(t *testing.T) {
		wrong, unknown := b.post("/login", "login", "odell", "password", "not it at all"), b.post("/login", "login", "nobody", "password", "not it at all")
		for _, page := range []answer{wrong, unknown} {
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.words(), "do not match")
			assert.NotContains(t, page.body, "not it at all", "a password is never shown again")
		}
		assert.Contains(t, wrong.body, `value="odell"`)
	})
	t.Run("right, and on to where one was going", func(t *testing.T) {
		in := b.post("/login", "login", " Odell ", "password", testPassword, "next", "/field")
		assert.Equal(t, "/field", in.location(t))
		cookie := in.Header.Get("Set-Cookie")
		for _, attribute := range []string{"HttpOnly", "SameSite=Lax"} {
			assert.Contains(t, cookie, attribute)
		}
		assert.Equal(t, http.StatusOK, b.get("/field").StatusCode)
		assert.NotContains(t, h.log.String(), testPassword)
	})
	t.Run("never on to another site", func(t *testing.T) {
		assert.Equal(t, "/", h.browser().post("/login", "login", "odell", "password", testPassword, "next", "//elsewhere.example/x").location(t))
	})
	t.Run("out", func(t *testing.T) {
		assert.Equal(t, "/login", b.post("/sign-out").location(t))
		b.get("/field").location(t)
	})
}

func TestLocalPath(t *testing.T) {
	for path, want := range map[string]string{"/field?x=1": "/field?x=1", "": "/", "https://x.example/": "/", "//x.example": "/", `/\x.example`: "/", "/a\r\nb": "/"} {
		assert.Equal(t, want, localPath(path), path)
	}
}

func TestTooManyAttempts(t *testing.T) {
	h := newHouse(t)
	for range 8 {
		err := h.store.ConfirmSecret(context.Background(), h.people["odell"], "0000")
		require.ErrorIs(t, err, records.ErrSecret)
	}
	page := h.browser().post("/login", "login", "odell", "password", testPassword)
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Contains(t, page.words(), "Too many wrong attempts")
}

func TestAddressLimit(t *testing.T) {
	l := newLimits(func() time.Time { return testNow }, attemptEvery, attemptBurst)
	for range attemptBurst {
		assert.True(t, l.allow("10.0.0.1"))
	}
	assert.False(t, l.allow("10.0.0.1"))
	assert.True(t, l.allow("10.0.0.2"))
}

func TestNewPasswordEndsSessions(t *testing.T) {
	h := newHouse(t)
	first, second := h.as("odell"), h.as("odell")
	path := "/person/" + h.people["odell"] + "/secret"
	assert.Equal(t, http.StatusUnprocessableEntity, first.post(path, "secret", "wrong", "password", "a new one of words").StatusCode)
	assert.Equal(t, http.StatusUnprocessableEntity, first.post(path, "secret", testPassword, "password", "short").StatusCode)
	first.post(path, "secret", testPassword, "password", "a new one of words", "pin", "4711").location(t)
	assert.Equal(t, http.StatusOK, first.get("/").StatusCode, "this session goes on")
	assert.Contains(t, second.get("/").location(t), "/login", "the others end")
	assert.NoError(t, h.store.ConfirmSecret(context.Background(), h.people["odell"], "4711"))
	assert.Equal(t, http.StatusUnprocessableEntity, first.post(path, "secret", "4711", "password", "another one of words").StatusCode, "a PIN changes no password")
	assert.Equal(t, http.StatusForbidden, h.as("marisol").post(path, "secret", "x", "password", "a new one of words").StatusCode)
}

func TestOtherSitesAreRefused(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	r, err := http.NewRequest(http.MethodPost, h.server.URL+"/field/block", strings.NewReader("name=x"))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "https://elsewhere.example")
	assert.Equal(t, http.StatusForbidden, b.do(r).StatusCode)
}

func TestHeaders(t *testing.T) {
	h := newHouse(t)
	page := h.browser().get("/login")
	assert.Contains(t, page.Header.Get("Content-Security-Policy"), "default-src 'self'")
	assert.Contains(t, page.Header.Get("Content-Security-Policy"), "frame-ancestors 'none'")
	assert.Equal(t, "nosniff", page.Header.Get("X-Content-Type-Options"))
	assert.Equal(t, "no-store", page.Header.Get("Cache-Control"))
	style := h.browser().get(h.app.assets["ledger.css"])
	assert.Equal(t, http.StatusOK, style.StatusCode)
	assert.Contains(t, style.Header.Get("Cache-Control"), "immutable")
	assert.Equal(t, http.StatusOK, h.browser().get("/health").StatusCode)
}

func TestLargeBodyIsRefused(t *testing.T) {
	h := newHouse(t)
	page := h.as("odell").post("/field/block", "note", strings.Repeat("x", maxBody+1))
	assert.Equal(t, http.StatusRequestEntityTooLarge, page.StatusCode)
}

func TestSettings(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	assert.Contains(t, b.get("/").body, `<html lang="en">`)
	assert.Equal(t, "/field", b.post("/setting", "language", "es", "back", "/field").location(t))
	assert.Contains(t, b.get("/").body, `<html lang="es">`)
	b.post("/setting", "units", "metric")
	assert.Contains(t, b.get("/field/block/new").body, `<option value="ha" selected>`)
	assert.Contains(t, h.as("marisol").get("/").body, `<html lang="es">`, "what the person's record says")
}

func TestOverheardLine(t *testing.T) {
	for host, on := range map[string]bool{"localhost:8080": true, "127.0.0.1:8080": true, "[::1]:8080": true, "192.168.1.9:8080": false, "farm.example": false} {
		assert.Equal(t, on, onThisMachine(host), host)
	}
	h := newHouse(t)
	r, err := http.NewRequest(http.MethodGet, h.server.URL+"/login", nil)
	require.NoError(t, err)
	r.Host = "192.168.1.9:8080"
	assert.Contains(t, h.browser().do(r).words(), "can be overheard")
	assert.NotContains(t, h.browser().get("/login").words(), "can be overheard")
}
