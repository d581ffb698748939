package app

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// testNow is the clock of the tests: a morning in the season.
var testNow = time.Date(2025, 12, 7, 15, 30, 0, 0, time.UTC)

const testPassword = "cane by the creek"

// testHouse is an invented house behind a running app.
type testHouse struct {
	t      testing.TB
	app    *App
	store  *records.Store
	server *httptest.Server
	log    *bytes.Buffer
	data   string // the folder of its records
	site   string
	people map[string]string // login to id
}

// newHouse sets up a house with an owner, a crew member and a reader.
func newHouse(t testing.TB) *testHouse {
	t.Helper()
	return newHouseAt(t, func() time.Time { return testNow })
}

// newHouseAt is newHouse with a clock that the test moves.
func newHouseAt(t testing.TB, now func() time.Time) *testHouse {
	t.Helper()
	ctx := context.Background()
	data := t.TempDir()
	store, err := records.Open(ctx, records.Options{Data: data, Now: now})
	require.NoError(t, err)
	h := &testHouse{t: t, store: store, log: &bytes.Buffer{}, data: data, people: map[string]string{}}
	house := &records.House{Name: "Sawgrass Bend", Address: "12 Mill Road\nBend, GA 39800", Telephone: "229 555 0100", Zone: "America/New_York", TargetSolids: syrup.Brix(75)}
	site := &records.Site{Name: "Home place"}
	boss := &records.Person{Name: "Odell Reyes", Login: "odell", Language: "en", Units: "us"}
	require.NoError(t, store.SetUp(ctx, house, site, boss))
	h.site, h.people["odell"] = site.ID, boss.ID
	h.write(
		&records.Person{SiteID: site.ID, Name: "Marisol Vega", Login: "marisol", Role: records.RoleCrew, Language: "es", Units: "metric"},
		&records.Person{SiteID: site.ID, Name: "Ines Park", Login: "ines", Role: records.RoleReader, Language: "en", Units: "us", Expires: "2025-12-31"})
	people, err := records.List[records.Person](ctx, store, "")
	require.NoError(t, err)
	for _, p := range people {
		h.people[p.Login] = p.ID
	}
	require.NoError(t, store.SetPassword(ctx, boss.ID, testPassword))
	h.app, err = New(store, Options{Log: slog.New(slog.NewTextHandler(h.log, nil))})
	require.NoError(t, err)
	h.server = httptest.NewServer(h.app.Handler())
	t.Cleanup(func() { h.app.EndStreams(); h.server.Close(); require.NoError(t, store.Close()) })
	return h
}

// write writes facts as the owner.
func (h *testHouse) write(facts ...records.Fact) {
	h.t.Helper()
	require.NoError(h.t, h.store.Write(context.Background(), records.Actor{PersonID: h.people["odell"]}, facts...))
}

// planted adds a block and a planting.
func (h *testHouse) planted() (*records.Block, *records.Planting) {
	h.t.Helper()
	block := &records.Block{SiteID: h.site, Name: "Creek side"}
	h.write(block)
	planting := &records.Planting{BlockID: block.ID, Variety: "Home Green", PlantedOn: "2024-09-10"}
	h.write(planting)
	return block, planting
}

// browser is one device with its cookies; redirects are not followed.
type browser struct {
	h      *testHouse
	client *http.Client
}

func (h *testHouse) browser() *browser {
	jar, err := cookiejar.New(nil)
	require.NoError(h.t, err)
	return &browser{h, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// as is a browser in which somebody signed in, without the slow password check.
func (h *testHouse) as(login string) *browser {
	h.t.Helper()
	b := h.browser()
	if login == "" {
		return b
	}
	ctx, err := h.app.sessions.Load(context.Background(), "")
	require.NoError(h.t, err)
	require.NoError(h.t, h.app.remember(ctx, h.people[login]))
	token, _, err := h.app.sessions.Commit(ctx)
	require.NoError(h.t, err)
	at, err := url.Parse(h.server.URL)
	require.NoError(h.t, err)
	b.client.Jar.SetCookies(at, []*http.Cookie{{Name: h.app.sessions.Cookie.Name, Value: token}})
	return b
}

// answer is a response with its body read.
type answer struct {
	*http.Response
	body string
}

func (b *browser) do(r *http.Request) answer {
	b.h.t.Helper()
	response, err := b.client.Do(r)
	require.NoError(b.h.t, err)
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	require.NoError(b.h.t, err)
	return answer{response, string(body)}
}

func (b *browser) get(path string) answer {
	b.h.t.Helper()
	r, err := http.NewRequest(http.MethodGet, b.h.server.URL+path, nil)
	require.NoError(b.h.t, err)
	return b.do(r)
}

// post sends names and values in turn.
func (b *browser) post(path string, pairs ...string) answer {
	b.h.t.Helper()
	return b.do(b.posting(path, pairs...))
}

// posting is the request of a form with names and values in turn.
func (b *browser) posting(path string, pairs ...string) *http.Request {
	b.h.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	r, err := http.NewRequest(http.MethodPost, b.h.server.URL+path, strings.NewReader(form.Encode()))
	require.NoError(b.h.t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

// location is where a redirect goes; the test fails when it is none.
func (a answer) location(t testing.TB) string {
	t.Helper()
	require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
	return a.Header.Get("Location")
}

var tags = regexp.MustCompile(`(?s)<[^>]*>|\s+`)

// words is the page without its tags.
func (a answer) words() string { return tags.ReplaceAllString(a.body, " ") }
