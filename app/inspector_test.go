package app

import (
	"archive/zip"
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// answerLink is the link that answers a finding; hiddenValue reads a hidden field of a page.
var answerLink = regexp.MustCompile(`href="(/part/[^"]+/answer\?[^"]+)"`)

func hiddenValue(body, name string) string {
	match := regexp.MustCompile(`type="hidden" name="` + name + `" value="([^"]*)"`).FindStringSubmatch(body)
	if match == nil {
		return ""
	}
	return match[1]
}

// upload posts one file as a browser does.
func (b *browser) upload(path, field, name string, content []byte) answer {
	b.h.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part, err := w.CreateFormFile(field, name)
	require.NoError(b.h.t, err)
	_, err = part.Write(content)
	require.NoError(b.h.t, err)
	require.NoError(b.h.t, w.Close())
	r, err := http.NewRequest(http.MethodPost, b.h.server.URL+path, &body)
	require.NoError(b.h.t, err)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return b.do(r)
}

func TestInspectorPacket(t *testing.T) {
	h := newBoiledRun(t, thick)
	h.filled(t, h.as("odell"))
	b := h.as("ines")
	page := b.get("/inspector")
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.read(), "1 lot.")
	assert.Contains(t, page.read(), "25341K2B1-P")
	assert.Contains(t, page.read(), "No statement was entered")
	assert.Contains(t, b.get("/inspector?from=2024-01-01&to=2024-02-01").read(), "0 lots.")

	made := b.post("/inspector/packet", "from", "2025-12-01", "to", "2025-12-07", "submission", "i1")
	require.Equal(t, http.StatusOK, made.StatusCode)
	assert.Contains(t, made.Header.Get("Content-Disposition"), "packet-2025-12-01-2025-12-07.zip")
	archive, err := zip.NewReader(strings.NewReader(made.body), int64(len(made.body)))
	require.NoError(t, err)
	assert.NotEmpty(t, archive.File)
	require.Equal(t, http.StatusOK, b.post("/inspector/packet", "from", "2025-12-01", "to", "2025-12-07", "submission", "i1").StatusCode)
	prints, err := records.List[records.Print](context.Background(), h.store, "what = 'packet'")
	require.NoError(t, err)
	require.Len(t, prints, 1)
	assert.Equal(t, h.people["ines"], prints[0].WrittenBy)
	assert.Contains(t, b.get("/inspector").read(), "2025-12-01 – 2025-12-07")

	t.Run("it matches its own list", func(t *testing.T) {
		checked := b.upload("/inspector/check", "packet", "p.zip", []byte(made.body))
		require.Equal(t, http.StatusOK, checked.StatusCode)
		assert.Contains(t, strings.ToLower(checked.read()), "matches its own list")
	})
	t.Run("one changed byte shows", func(t *testing.T) {
		changed := []byte(made.body)
		changed[len(changed)/2] ^= 1
		assert.Contains(t, b.upload("/inspector/check", "packet", "p.zip", changed).body, `<article class="finding stop">`)
	})
	t.Run("another file is no packet", func(t *testing.T) {
		var other bytes.Buffer
		w := zip.NewWriter(&other)
		_, err := w.Create("holiday.txt")
		require.NoError(t, err)
		require.NoError(t, w.Close())
		for _, content := range [][]byte{[]byte("a shopping list"), other.Bytes()} {
			checked := b.upload("/inspector/check", "packet", "x.zip", content)
			assert.Equal(t, http.StatusUnprocessableEntity, checked.StatusCode)
			assert.Contains(t, checked.read(), "no packet of this program")
		}
	})
	t.Run("no file", func(t *testing.T) {
		checked := b.upload("/inspector/check", "packet", "", nil)
		assert.Equal(t, http.StatusUnprocessableEntity, checked.StatusCode)
		assert.Contains(t, checked.read(), "Choose the zip file")
	})
	t.Run("a range that is none", func(t *testing.T) {
		for _, page := range []answer{b.get("/inspector?from=2025-12-07&to=2025-12-01"), b.post("/inspector/packet", "from", "2025-12-07", "to", "2025-12-01")} {
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, `id="inspector_range-to-error"`)
		}
		assert.Contains(t, b.get("/inspector?from=yesterday&to=2025-12-01").body, `id="inspector_range-from-error"`)
	})
}

func TestStatementIsTheOwners(t *testing.T) {
	h := newHouse(t)
	house, err := h.store.House(context.Background())
	require.NoError(t, err)
	house.Statement, house.StatementSource, house.StatementDay = "Made in a home kitchen.", "county letter", "2025-11-03"
	require.NoError(t, h.store.Amend(context.Background(), records.Actor{PersonID: h.people["odell"]}, &house, "letter came"))
	page := h.as("ines").get("/inspector")
	assert.Contains(t, page.read(), "Made in a home kitchen.")
	assert.Contains(t, page.read(), "Rule entered by owner on Mon 3 Nov 2025; not verified by this program.")
}

func TestJournal(t *testing.T) {
	h := newHouse(t)
	h.planted()
	ctx := context.Background()
	head, err := records.JournalHead(ctx, h.store)
	require.NoError(t, err)
	b := h.as("odell")
	page := b.get("/journal")
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.body, head.Short())
	assert.Contains(t, page.read(), "new: planting")
	assert.Contains(t, page.read(), "Odell Reyes")

	for typed, want := range map[string]int{strings.ReplaceAll(head.Short(), " ", "+"): 200, head.Hash: 200, strings.ToUpper(head.Hash[:8]): 200, "1+ffffffffffffffff": 200, "zebra": 422, head.Hash[:4]: 422} {
		compared := b.get("/journal?head=" + typed)
		assert.Equal(t, want, compared.StatusCode, typed)
		if want == 200 {
			found := !strings.Contains(typed, "ffffffff")
			assert.Equal(t, found, strings.Contains(compared.read(), "stands in this journal"), typed)
			assert.Equal(t, !found, strings.Contains(compared.read(), "No entry of this journal"), typed)
		} else {
			assert.Contains(t, compared.body, `id="journal_head-head-error"`, typed)
		}
	}
	verified := b.post("/journal/verify")
	require.Equal(t, http.StatusOK, verified.StatusCode)
	assert.Contains(t, verified.read(), "every record agrees with them")
	assert.Equal(t, http.StatusForbidden, h.as("ines").post("/journal/verify").StatusCode)
	assert.NotContains(t, h.as("ines").get("/journal").body, `action="/journal/verify"`)

	t.Run("pages", func(t *testing.T) {
		for range entriesPerPage {
			h.write(&records.Block{SiteID: h.site, Name: "Row"})
		}
		page := b.get("/journal")
		next := regexp.MustCompile(`rel="next" href="([^"]+)"`).FindStringSubmatch(page.body)
		require.NotNil(t, next)
		second := b.get(next[1])
		assert.Contains(t, second.read(), "new: planting")
		assert.Contains(t, second.body, `rel="prev"`)
	})
}
