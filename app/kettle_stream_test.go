package app

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/records"
)

// streamBound bounds what normally takes milliseconds.
const streamBound = 5 * time.Second

// event is one server-sent event.
type event struct {
	name, id string
	data     map[string]any
}

// listener is a page that listens to the stream.
type listener struct {
	t      testing.TB
	body   io.ReadCloser
	header http.Header
	events chan event // closed when the stream ends
}

// listen opens the stream of a browser, as a page does that has seen up to an event.
func (b *browser) listen(path, seen string) *listener {
	b.h.t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	b.h.t.Cleanup(cancel)
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, b.h.server.URL+path, nil)
	require.NoError(b.h.t, err)
	r.Header.Set("Accept", "text/event-stream")
	if seen != "" {
		r.Header.Set("Last-Event-ID", seen)
	}
	response, err := b.client.Do(r)
	require.NoError(b.h.t, err)
	require.Equal(b.h.t, http.StatusOK, response.StatusCode)
	l := &listener{t: b.h.t, body: response.Body, header: response.Header, events: make(chan event, 100)}
	go l.read()
	return l
}

// read takes the stream apart; comments are events named ":".
func (l *listener) read() {
	defer close(l.events)
	lines, e := bufio.NewScanner(l.body), event{}
	for lines.Scan() {
		name, value, _ := strings.Cut(lines.Text(), ": ")
		switch {
		case lines.Text() == "" && e.name != "":
			l.events <- e
			e = event{}
		case lines.Text() == ":":
			e.name = ":"
		case name == "event":
			e.name = value
		case name == "id":
			e.id = value
		case name == "data":
			_ = json.Unmarshal([]byte(value), &e.data)
		}
	}
}

// next waits for an event; false is the end of the stream.
func (l *listener) next() (event, bool) {
	l.t.Helper()
	select {
	case e, ok := <-l.events:
		return e, ok
	case <-time.After(streamBound):
		l.t.Fatal("nothing came")
		return event{}, false
	}
}

// wants asks for an event of a name and gives it.
func (l *listener) wants(name string) event {
	l.t.Helper()
	e, ok := l.next()
	require.True(l.t, ok, "the stream has ended")
	require.Equal(l.t, name, e.name)
	return e
}

// TestStream: two phones that watch are told of what is written, wherever it is written.
func TestStream(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	one, two := w.as("odell").listen(streamPath+"?run="+run.ID, ""), w.as("ines").listen(streamPath, "")
	assert.Equal(t, "text/event-stream; charset=utf-8", one.header.Get("Content-Type"))
	assert.Equal(t, "no-store", one.header.Get("Cache-Control"))
	hello := one.wants("hello")
	assert.EqualValues(t, testNow.UnixMilli(), hello.data["now"])
	first := one.wants("kettle")
	assert.Equal(t, run.ID, first.data["run"], "what was written while the page was on its way")
	two.wants("hello")
	assert.Equal(t, "", two.wants("kettle").data["run"], "any run")

	got := w.as("marisol").tell(runURL(run.ID)+"/note", "note", "espuma", "submission", "n")
	require.Equal(t, http.StatusOK, got.Status)
	head, err := records.JournalHead(context.Background(), w.store)
	require.NoError(t, err)
	for _, l := range []*listener{one, two} {
		e := l.wants("kettle")
		assert.Equal(t, run.ID, e.data["run"])
		assert.EqualValues(t, head.Seq, e.data["seq"])
		assert.NotEmpty(t, e.id)
	}
	t.Run("a page of another run hears nothing of it", func(t *testing.T) {
		other := w.as("odell").listen(streamPath+"?run=OTHER", "")
		other.wants("hello")
		other.wants("kettle")
		w.as("odell").tell(runURL(run.ID)+"/note", "note", "more", "submission", "n2")
		one.wants("kettle")
		w.write(&records.Instrument{Name: "Probe 2", Measures: records.MeasuresTemperature, ReadsIn: "F"})
		one.wants("kettle")
		e := other.wants("kettle")
		assert.Equal(t, "OTHER", e.data["run"], "the instrument may bear on any run")
		select {
		case e := <-other.events:
			t.Fatalf("heard %+v", e)
		default:
		}
	})
	t.Run("a page that comes again and has seen all is told nothing", func(t *testing.T) {
		seen := one.lastSeen(w)
		again := w.as("odell").listen(streamPath+"?run="+run.ID, seen)
		again.wants("hello")
		w.as("odell").tell(runURL(run.ID)+"/note", "note", "last", "submission", "n3")
		e := again.wants("kettle")
		assert.NotEqual(t, seen, e.id)
	})
	t.Run("nobody who is not signed in", func(t *testing.T) {
		assert.Contains(t, w.browser().get(streamPath).location(t), "/login?next=")
	})
}

// lastSeen is the journal's head as a page would have seen it.
func (l *listener) lastSeen(w *works) string {
	l.t.Helper()
	head, err := records.JournalHead(context.Background(), w.store)
	require.NoError(l.t, err)
	return strconv.FormatInt(head.Seq, 10)
}

// TestStreamEnds: with the session, with a new password, with the program.
func TestStreamEnds(t *testing.T) {
	w := newWorks(t)
	w.app.beat = 20 * time.Millisecond
	b, other := w.as("odell"), w.as("marisol")
	mine, theirs := b.listen(streamPath, ""), other.listen(streamPath, "")
	for _, l := range []*listener{mine, theirs} {
		l.wants("hello")
		l.wants("kettle")
		l.wants(":")
	}
	b.post("/sign-out").location(t)
	for {
		got, ok := mine.next()
		require.True(t, ok, "it is said before it ends")
		if got.name == "gone" {
			break
		}
		require.Equal(t, ":", got.name)
	}
	_, ok := mine.next()
	assert.False(t, ok, "then it ends")
	theirs.wants(":")
	w.app.EndStreams()
	w.app.EndStreams()
	for ok := true; ok; _, ok = theirs.next() {
	}
}

// TestStreamOutlivesDeadlines: the deadlines of ordinary answers do not cut a stream off.
func TestStreamOutlivesDeadlines(t *testing.T) {
	w := newWorks(t)
	w.app.beat = 50 * time.Millisecond
	w.server.Close()
	w.server = httptest.NewUnstartedServer(w.app.Handler())
	w.server.Config.ReadTimeout, w.server.Config.WriteTimeout = 150*time.Millisecond, 150*time.Millisecond
	w.server.Start()
	l := w.as("odell").listen(streamPath, "")
	l.wants("hello")
	l.wants("kettle")
	for range 8 {
		l.wants(":")
	}
}

// TestStreamSlowReader: a phone that takes nothing stops no writer.
func TestStreamSlowReader(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	r, err := http.NewRequest(http.MethodGet, w.server.URL+streamPath, nil)
	require.NoError(t, err)
	response, err := w.as("odell").client.Do(r) // its body is not read
	require.NoError(t, err)
	defer response.Body.Close()
	b := w.as("odell")
	for i := range 20 {
		require.Equal(t, http.StatusOK, b.tell(runURL(run.ID)+"/note", "note", "x", "submission", strconv.FormatInt(int64(i), 10)).Status)
	}
}

// going counts the goroutines of streams and of the feed behind them.
func going() int {
	stacks := make([]byte, 1<<20)
	said := string(stacks[:runtime.Stack(stacks, true)])
	return strings.Count(said, "app.(*App).streamKettle(") + strings.Count(said, "records.(*Store).follow(")
}

// TestStreamLeavesNothing: when the pages are closed nothing goes on.
func TestStreamLeavesNothing(t *testing.T) {
	w := newWorks(t)
	require.Equal(t, 0, going())
	ctx, cancel := context.WithCancel(context.Background())
	for range 10 {
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, w.server.URL+streamPath, nil)
		require.NoError(t, err)
		response, err := w.as("odell").client.Do(r)
		require.NoError(t, err)
		defer response.Body.Close()
	}
	assert.Equal(t, 11, going(), "ten streams and one feed")
	cancel()
	assert.Eventually(t, func() bool { return going() == 0 }, streamBound, 20*time.Millisecond)
}

// TestKettleLiveShared: what fifty phones are shown is made once, and anew when something was written or a minute has gone.
func TestKettleLiveShared(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b, at := w.as("odell"), runURL(run.ID)+"/live"
	before := w.app.shared.runs
	var all sync.WaitGroup
	answers := make([]answer, 50)
	for i := range answers {
		all.Go(func() { answers[i] = b.get(at) })
	}
	all.Wait()
	for _, a := range answers {
		require.Equal(t, http.StatusOK, a.StatusCode)
		assert.Equal(t, answers[0].body, a.body)
	}
	assert.Equal(t, before+1, w.app.shared.runs, "one rendering for all of them")
	for _, want := range []string{`id="live"`, `data-now="` + strconv.FormatInt(testNow.UnixMilli(), 10) + `"`, `data-lit="` + strconv.FormatInt(run.FireLitAt.UnixMilli(), 10) + `"`, `data-open="yes"`} {
		assert.Contains(t, answers[0].body, want)
	}
	for _, part := range []string{"<html", "<nav", `name="submission"`} {
		assert.NotContains(t, answers[0].body, part, "neither the layout nor a form that only one may send")
	}
	t.Run("another language, unit or right is another", func(t *testing.T) {
		spanish, reader := w.as("marisol").get(at), w.as("ines").get(at)
		assert.Equal(t, before+3, w.app.shared.runs)
		assert.NotEqual(t, answers[0].body, spanish.body)
		assert.NotContains(t, reader.body, "<form")
		assert.Equal(t, answers[0].body, b.get(at).body)
		assert.Equal(t, before+3, w.app.shared.runs)
	})
	t.Run("something written is another", func(t *testing.T) {
		b.tell(runURL(run.ID)+"/note", "note", "new words", "submission", "n")
		assert.Contains(t, b.get(at).body, "new words")
	})
	t.Run("a fault is said to each and not kept", func(t *testing.T) {
		for range 2 {
			assert.Equal(t, http.StatusNotFound, b.get(runURL("NONE")+"/live").StatusCode)
		}
		assert.LessOrEqual(t, len(w.app.shared.made), sharedMost)
	})
	t.Run("the list of kettles", func(t *testing.T) {
		page := b.get("/kettle/live")
		require.Equal(t, http.StatusOK, page.StatusCode)
		assert.Contains(t, page.body, run.Code)
		assert.NotContains(t, page.body, `name="submission"`)
	})
}

// TestKettleLiveClock: the house's clock in a live part is that of the answer; the part is made anew each minute.
func TestKettleLiveClock(t *testing.T) {
	var mu sync.Mutex
	now := testNow
	h := newHouseAt(t, func() time.Time { mu.Lock(); defer mu.Unlock(); return now })
	move := func(d time.Duration) { mu.Lock(); now = now.Add(d); mu.Unlock() }
	kettle := &records.Kettle{SiteID: h.site, Number: 2, Name: "Old kettle"}
	h.write(kettle)
	run := &records.Run{KettleID: kettle.ID, FireLitAt: testNow.Add(-time.Hour)}
	require.NoError(t, h.store.StartRun(context.Background(), records.Actor{PersonID: h.people["odell"]}, run, nil))
	b, at := h.as("odell"), runURL(run.ID)+"/live"
	b.get(at)
	made := h.app.shared.runs
	move(20 * time.Second)
	assert.Contains(t, b.get(at).body, `data-now="`+strconv.FormatInt(testNow.Add(20*time.Second).UnixMilli(), 10)+`"`)
	assert.Equal(t, made, h.app.shared.runs)
	move(50 * time.Second)
	b.get(at)
	assert.Equal(t, made+1, h.app.shared.runs)
	assert.Len(t, h.app.shared.made, 1, "what is of an earlier minute is dropped")
}

// TestSharedPanics: a panic while a part is made is an error to whoever waits, and the next one tries again.
func TestSharedPanics(t *testing.T) {
	var s shared
	assert.Panics(t, func() {
		_, _ = s.get(context.Background(), liveKey{}, func() ([]byte, error) { panic("no") })
	})
	body, err := s.get(context.Background(), liveKey{}, func() ([]byte, error) { return []byte("made"), nil })
	require.NoError(t, err)
	assert.Equal(t, "made", string(body))
}

// TestPhoneTexts: everything said of phones and files is in Spanish too.
func TestPhoneTexts(t *testing.T) {
	for _, key := range text.Keys(text.English) {
		for _, area := range []string{"phone.", "attachment.", "phone_entry."} {
			if strings.HasPrefix(key, area) {
				assert.True(t, text.Has(text.Spanish, key), key)
			}
		}
	}
}
