package app

import (
	"net/http"
	"strings"

	"canewright/templates"
)

// policy lets a page load only what this app serves, and be framed by nobody.
const policy = "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'; object-src 'none'"

// headers sets what every response carries.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// static serves the embedded files without a session. Their addresses carry a mark of their content, so a browser may
// keep them.
func (a *App) static(next http.Handler) http.Handler {
	files := http.StripPrefix("/static/", http.FileServerFS(templates.Static()))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name, ok := strings.CutPrefix(r.URL.Path, "/static/")
		if _, known := a.assets[name]; !ok || !known {
			next.ServeHTTP(w, r)
			return
		}
		if r.URL.RawQuery != "" {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		}
		files.ServeHTTP(w, r)
	})
}
