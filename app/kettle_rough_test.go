package app

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// meddle puts something on the way to the house; nil takes it away.
func (b *boil) meddle(m meddler) {
	if m == nil {
		b.between.Store(nil)
		return
	}
	b.between.Store(&m)
}

// instead answers every entry in place of the house.
func instead(tried *atomic.Int64, status int, media, body string) meddler {
	return func(w http.ResponseWriter, r *http.Request, _ http.Handler) bool {
		if r.Method != http.MethodPost {
			return false
		}
		io.Copy(io.Discard, r.Body)
		w.Header().Set("Content-Type", media)
		if status == http.StatusSeeOther {
			w.Header().Set("Location", "/login")
		}
		w.WriteHeader(status)
		io.WriteString(w, body)
		tried.Add(1)
		return true
	}
}

// nudge makes a phone try again at once.
func (p *thumb) nudge() {
	p.h.t.Helper()
	evaluate[bool](p.phone, `(window.dispatchEvent(new Event("online")), true)`)
}

// note writes a note by the form of the page.
func (p *thumb) note(text string) {
	p.h.t.Helper()
	p.until("the note's form", `!!document.getElementById("note-note")`)
	time.Sleep(1100 * time.Millisecond) // the form rests after an entry
	evaluate[bool](p.phone, `(() => { let f = document.getElementById("note"); f.elements.note.value = %q; f.requestSubmit(); return true })()`, text)
}

// notes are the texts of the boil log's notes, in order of time.
func (b *boil) notes() []string {
	b.t.Helper()
	var notes []string
	for _, e := range b.entries() {
		notes = append(notes, e.Note)
	}
	return notes
}

// What answers in place of the house, a proxy's fault or the sign-in page of a network, keeps nothing and refuses nothing.
func TestWhatIsNotTheHouse(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	var tried atomic.Int64
	b.meddle(instead(&tried, http.StatusOK, "text/html", "<h1>Welcome to the network</h1>"))
	p.note("one")
	p.waits(1)
	for _, other := range []struct {
		status      int
		media, body string
	}{
		{http.StatusOK, "text/html", "<h1>Welcome to the network</h1>"},
		{http.StatusOK, "application/json", `{"login":"please"}`},
		{http.StatusOK, "application/json", `{"kept":"01`},
		{http.StatusOK, "application/json", `null`},
		{http.StatusSeeOther, "text/html", ""},
		{http.StatusUnauthorized, "text/html", "network"},
		{http.StatusForbidden, "text/html", "network"},
		{http.StatusNotFound, "text/html", "network"},
		{http.StatusMethodNotAllowed, "application/json", `{"message":"no"}`},
		{http.StatusInternalServerError, "text/plain", "no"},
		{http.StatusBadGateway, "text/html", "<h1>Bad gateway</h1>"},
	} {
		b.meddle(instead(&tried, other.status, other.media, other.body))
		before := tried.Load()
		require.Eventually(t, func() bool { p.nudge(); return tried.Load() > before+1 }, soon, 100*time.Millisecond, "%d %s", other.status, other.body)
		p.waits(1)
		assert.Equal(t, "0", evaluate[string](p.phone, `document.documentElement.dataset.notKept`), "%d %s", other.status, other.body)
	}
	b.meddle(nil)
	p.nudge()
	p.sent(3)
	assert.Equal(t, []string{"one"}, b.notes())
	assert.Equal(t, "[]", evaluate[string](p.phone, `waiting.all().then(JSON.stringify)`))
}

// A page of another's in place of the log says nothing about the house.
func TestLiveIsNotTheHouse(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.meddle(func(w http.ResponseWriter, r *http.Request, _ http.Handler) bool {
		if strings.HasSuffix(r.URL.Path, "/live") {
			io.WriteString(w, "<h1>Welcome to the network</h1>")
			return true
		}
		return false
	})
	p.nudge()
	p.until("no connection is said", `!document.getElementById("offline").hidden && document.getElementById("offline").innerText.includes("No connection")`)
	b.meddle(nil)
	p.until("and taken back", `document.getElementById("offline").hidden`)
}

// Without the stream from the first moment on the page asks by itself.
func TestPageWithoutStream(t *testing.T) {
	b := newBoil(t)
	b.meddle(func(w http.ResponseWriter, r *http.Request, _ http.Handler) bool {
		if r.URL.Path == streamPath {
			http.Error(w, "none", http.StatusBadGateway)
		}
		return r.URL.Path == streamPath
	})
	p := b.thumb("odell")
	b.write(&records.BoilEntry{RunID: b.run.ID, At: b.store.Now(), What: records.EntrySkimming})
	p.shows(3)
}

// One entry that the house refuses or stumbles over does not hold up those behind it.
func TestOneBadEntryInTheMiddle(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	p.note("first")
	p.waits(1)
	evaluate[bool](p.phone, `(() => { let f = document.getElementById("temperature"); f.elements.temperature.value = "hot"; f.requestSubmit(); return true })()`)
	p.waits(2)
	p.note("stumbles")
	p.waits(3)
	p.note("last")
	p.waits(4)
	var fails atomic.Bool
	fails.Store(true)
	b.meddle(func(w http.ResponseWriter, r *http.Request, house http.Handler) bool {
		if r.Method != http.MethodPost || !fails.Load() {
			return false
		}
		body, _ := io.ReadAll(r.Body)
		r.Body = io.NopCloser(strings.NewReader(string(body)))
		if !strings.Contains(string(body), "stumbles") {
			return false
		}
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(http.StatusInternalServerError)
		io.WriteString(w, `{"said":"Something went wrong here.","reference":"abc"}`)
		return true
	})
	b.down.Store(false)
	p.nudge()
	p.until("two kept, one refused, one waiting", `document.documentElement.dataset.waiting === "1" && document.documentElement.dataset.notKept === "1"`)
	assert.Equal(t, []string{"first", "last"}, b.notes())
	fails.Store(false)
	p.until("it goes by itself", `document.documentElement.dataset.waiting === "0"`)
	assert.Equal(t, []string{"first", "stumbles", "last"}, b.notes(), "at the time it was made")
}

// before runs a script in every page of a phone before any other.
func (p *thumb) before(script string) {
	p.h.t.Helper()
	p.call(func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	})
}

// A browser whose database is refused, or never answers, keeps entries in its simple storage; when the database is there
// again they go on from it.
func TestWithoutDatabase(t *testing.T) {
	for name, broken := range map[string]string{
		"refused": `throw new DOMException("no", "SecurityError")`,
		"silent":  `return {}`,
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoil(t)
			p := b.thumb("odell")
			p.before(`if (localStorage.getItem("test.broken")) IDBFactory.prototype.open = function () { ` + broken + ` }`)
			evaluate[bool](p.phone, `(localStorage.setItem("test.broken", "yes"), true)`)
			p.open(b.url)
			p.note("online")
			p.sent(3)
			b.down.Store(true)
			p.note("one")
			p.waits(1)
			p.note("two")
			p.waits(2)
			b.down.Store(false)
			b.meddle(instead(new(atomic.Int64), http.StatusBadGateway, "text/html", ""))
			evaluate[bool](p.phone, `(localStorage.removeItem("test.broken"), true)`)
			p.open(b.url)
			p.waits(2)
			b.meddle(nil)
			p.nudge()
			p.sent(5)
			assert.Equal(t, []string{"online", "one", "two"}, b.notes())
		})
	}
}

// Where the phone can keep nothing at all, that is said, what was typed stays, and it may go as a plain form.
func TestNoRoomAtAll(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.before(`IDBFactory.prototype.open = function () { throw new DOMException("no", "SecurityError") };
		Storage.prototype.setItem = function () { throw new DOMException("full", "QuotaExceededError") }`)
	p.open(b.url)
	p.note("kept all the same")
	p.until("that is said", `document.getElementById("said").innerText.includes("no room")`)
	assert.Equal(t, "kept all the same", evaluate[string](p.phone, `document.getElementById("note-note").value`))
	assert.Empty(t, b.entries())
	p.tap(`#said button`)
	p.until("sent", `document.querySelectorAll("[data-part=log] .log-line").length === 3`)
	assert.Equal(t, []string{"kept all the same"}, b.notes())
}

// A phone's clock that is set while an entry waits moves no entry, on the same page or after a reload.
func TestPhoneClockSetWhileWaiting(t *testing.T) {
	for name, set := range map[string]time.Duration{"back": -time.Hour, "forward": 3 * time.Hour} {
		for _, again := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s, loaded anew %v", name, again), func(t *testing.T) {
				b := newBoil(t)
				p := b.thumb("odell")
				p.open(b.url)
				b.down.Store(true)
				p.note("made")
				p.waits(1)
				made := b.store.Now()
				b.pass(20 * time.Minute)
				p.set(b.moved.Load() + int64(set))
				b.down.Store(false)
				if again {
					p.open(b.url)
				} else {
					p.nudge()
				}
				p.sent(3)
				require.Len(t, b.entries(), 1)
				apart := b.entries()[0].At.Sub(made)
				assert.Less(t, apart.Abs(), 20*time.Second, "kept at %s, made %s", b.entries()[0].At, made)
			})
		}
	}
}

// A photo that was refused for its time is not lost when the time is mended.
func TestPhotoIsMended(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.tap(summaryOf("photo"))
	evaluate[bool](p.phone, `(() => { let at = document.querySelector("#photo [name=at]"); at.value = %q; at.dispatchEvent(new Event("input", {bubbles: true})); return true })()`, hour("02:00"))
	p.do(chromedp.SetUploadFiles(chromedp.ID("photo-photo"), []string{bigPicture(t)}))
	p.until("refused, back in its form", `document.querySelector("#photo .error") && document.documentElement.dataset.notKept === "1"`)
	evaluate[bool](p.phone, `(() => { let f = document.getElementById("photo"); f.elements.at.value = %q; f.requestSubmit(); return true })()`, hour("09:00"))
	p.sent(3)
	files, err := records.List[records.Attachment](context.Background(), b.store, "")
	require.NoError(t, err)
	assert.Len(t, files, 1)
}

// tab is another tab of the same browser, on the run's page.
func (b *boil) tab(of *thumb) *thumb {
	b.t.Helper()
	ctx, cancel := chromedp.NewContext(of.ctx)
	b.t.Cleanup(cancel)
	p := &thumb{&phone{h: b.testHouse, ctx: ctx}}
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	p.before(fmt.Sprintf(phoneClock, testNow.Sub(b.begin).Milliseconds()))
	p.open(b.url)
	b.thumbs = append(b.thumbs, p)
	return p
}

// Two tabs of one phone, both cut off and both back: each entry once, in order.
func TestTwoTabsOfOnePhone(t *testing.T) {
	b := newBoil(t)
	one := b.thumb("odell")
	two := b.tab(one)
	b.down.Store(true)
	for i, p := range []*thumb{one, two, one, two} {
		p.note(fmt.Sprint(i))
		p.waits(i + 1)
	}
	b.down.Store(false)
	one.nudge()
	two.nudge()
	one.sent(6)
	two.sent(6)
	assert.Equal(t, []string{"0", "1", "2", "3"}, b.notes())
}

// A browser closed with entries waiting sends them when it is opened again.
func TestBrowserClosedWithEntriesWaiting(t *testing.T) {
	b := newBoil(t)
	profile := t.TempDir()
	browser := func() (*thumb, func()) {
		alloc, end := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:], chromedp.UserDataDir(profile))...)
		ctx, stop := chromedp.NewContext(alloc)
		timed, cancel := context.WithTimeout(ctx, time.Minute)
		p := &thumb{&phone{h: b.testHouse, ctx: timed}}
		p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
		p.before(fmt.Sprintf(phoneClock, testNow.Sub(b.begin).Milliseconds()))
		return p, func() { chromedp.Cancel(ctx); cancel(); stop(); end() }
	}
	p, closed := browser()
	p.signIn("odell")
	p.open(b.url)
	b.down.Store(true)
	p.note("before it was closed")
	p.waits(1)
	closed()
	b.down.Store(false)
	p, closed = browser()
	defer closed()
	p.open("/kettle")
	p.until("sent", `document.documentElement.dataset.waiting === "0"`)
	assert.Equal(t, []string{"before it was closed"}, b.notes())
}

// Words of people are words, wherever they are shown.
func TestWordsOfOthersAreWords(t *testing.T) {
	b := newBoil(t)
	p, other := b.thumb("odell"), b.thumb("marisol")
	evil := `<img src=x onerror="window.hit=1"><script>window.hit=2</script>`
	b.down.Store(true)
	p.note(evil)
	p.waits(1)
	p.until("as typed in the list", `document.querySelector("#waiting-rows .log-note").textContent === %q`, evil)
	b.down.Store(false)
	p.nudge()
	p.sent(3)
	other.shows(3)
	for _, who := range []*thumb{p, other} {
		assert.Equal(t, evil, evaluate[string](who.phone, `[...document.querySelectorAll("[data-part=log] .log-note")].map(e => e.textContent).join()`))
		assert.True(t, evaluate[bool](who.phone, `window.hit === undefined && !document.querySelector("[data-part=log] .log-note *")`))
	}
}

// Two hundred entries that wait go each once, in order.
func TestTwoHundredWaiting(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	evaluate[bool](p.phone, `(async () => { for (let i = 0; i < 200; i++) await waiting.add({ url: location.pathname + "/note", form: location.pathname,
		action: "note", run: %q, where: "", title: "Note", said: "", note: "n" + i, fields: [["note", "n" + i]], photo: null }); return true })()`, b.run.ID)
	p.waits(200)
	b.down.Store(false)
	start := time.Now()
	p.nudge()
	require.Eventually(t, func() bool { return evaluate[string](p.phone, `document.documentElement.dataset.waiting`) == "0" }, 90*time.Second, 100*time.Millisecond)
	t.Logf("200 entries in %v", time.Since(start))
	notes := b.notes()
	require.Len(t, notes, 200)
	seen := map[string]bool{}
	for _, n := range notes {
		seen[n] = true
	}
	assert.Len(t, seen, 200)
	lines, err := records.List[records.BoilEntry](context.Background(), b.store, "run_id = ? ORDER BY id", b.run.ID)
	require.NoError(t, err)
	for i, e := range lines {
		assert.Equal(t, fmt.Sprint("n", i), e.Note, "in the order they were made")
	}
}

// What the house may have already is not said to be out of the log: taking back and leaving out say so.
func TestTakingBackWhatIsOnItsWay(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.mute.Store(true)
	p.tap(summaryOf("skimming"))
	require.Eventually(t, func() bool { return len(b.entries()) == 1 }, soon, 50*time.Millisecond)
	p.tap("#said button")
	p.until("it is on its way", `document.getElementById("said").innerText.includes("On its way")`)
	p.waits(1)
	p.tap("#queue-count")
	p.tap("#queue .queue-acts button")
	p.tap("#queue .queue-acts button")
	p.until("left out, with a doubt", `document.getElementById("queue").innerText.includes("look whether it is in the log")`)
	p.tap("#queue .queue-acts button")
	b.mute.Store(false)
	p.sent(3)
}

// The answer of a striking is lost: it is struck once, and the page says so.
func TestTakenBackWithTheAnswerLost(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.tap(summaryOf("skimming"))
	p.sent(3)
	b.mute.Store(true)
	p.tap("#said button")
	p.tap("#said .said-acts button")
	require.Eventually(t, func() bool { return len(b.entries()) == 0 }, soon, 50*time.Millisecond)
	b.mute.Store(false)
	p.nudge()
	p.sent(2)
	p.until("taken back", `document.getElementById("said").innerText.includes("Taken back")`)
}

// A line of another's steals neither the focus nor the list from under a finger; the list opens by the keyboard.
func TestFocusStaysWhereItIs(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	evaluate[bool](p.phone, `(document.querySelector('[data-key="note"]').open = true, document.getElementById("note-note").focus(), true)`)
	b.write(&records.BoilEntry{RunID: b.run.ID, At: b.store.Now(), What: records.EntrySkimming})
	p.shows(3)
	assert.Equal(t, "note-note", evaluate[string](p.phone, `document.activeElement.id`))
	assert.Equal(t, "", evaluate[string](p.phone, `[...document.querySelectorAll("[aria-live=assertive], [role=alert]")].map(e => e.outerHTML).join()`))

	tried := new(atomic.Int64)
	b.meddle(instead(tried, http.StatusBadGateway, "text/html", ""))
	p.note("waits")
	p.waits(1)
	evaluate[bool](p.phone, `(document.getElementById("queue-count").focus(), true)`)
	p.do(chromedp.KeyEvent(" "))
	p.until("open", `!document.getElementById("queue").hidden && document.getElementById("queue-count").getAttribute("aria-expanded") === "true"`)
	evaluate[bool](p.phone, `(document.querySelector("#queue .queue-acts button").focus(), window.held = document.activeElement, true)`)
	before := tried.Load()
	require.Eventually(t, func() bool { p.nudge(); return tried.Load() > before+1 }, soon, 100*time.Millisecond)
	assert.True(t, evaluate[bool](p.phone, `document.activeElement === window.held && window.held.isConnected`))
}

// A striking sent again, its first answer lost, is told what was done; what cannot be struck is a clash, not a success.
func TestStrikeTold(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	made := b.tell(runURL(run.ID)+"/skimming", "submission", "made")
	at := recordURL(made.Kept) + "/strike"
	assert.Equal(t, http.StatusUnprocessableEntity, b.tell(at, "submission", "s").Status)
	first := b.tell(at, "why", "slip", "submission", "s")
	assert.Equal(t, http.StatusOK, first.Status)
	assert.Equal(t, made.Kept, first.Kept)
	again := b.tell(at, "why", "slip", "submission", "s")
	assert.True(t, again.Again)
	assert.Equal(t, made.Kept, again.Kept)
	other := b.tell(at, "why", "slip", "submission", "other")
	assert.Equal(t, http.StatusConflict, other.Status)
	assert.NotEmpty(t, other.Clash)
}

// The house's clock is told to whoever asks, for a phone that slept.
func TestHealthTellsTheTime(t *testing.T) {
	h := newHouse(t)
	got := httptest.NewRecorder()
	h.app.Handler().ServeHTTP(got, httptest.NewRequest(http.MethodGet, "/health", nil))
	assert.Equal(t, fmt.Sprint(testNow.UnixMilli()), got.Header().Get("X-House-Now"))
}

// An entry made while the page looks through what waits is sent at once, not at the next look half a minute later.
func TestEntryMadeDuringALook(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.before(`if (localStorage.getItem("test.slow")) {
		let real = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
		Object.defineProperty(IDBTransaction.prototype, "oncomplete", { set(f) { real.set.call(this, () => setTimeout(f, this.mode === "readonly" ? 1500 : 0)); } }); }`)
	evaluate[bool](p.phone, `(localStorage.setItem("test.slow", "yes"), true)`)
	p.open(b.url)
	p.note("in between")
	require.Eventually(t, func() bool { return len(b.entries()) == 1 }, 10*time.Second, 50*time.Millisecond)
}

// A phone that takes seconds to keep an entry makes one of two taps, however far apart they are.
func TestSecondTapOnASlowPhone(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.before(`{ let real = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
		Object.defineProperty(IDBTransaction.prototype, "oncomplete", { set(f) { real.set.call(this, () => setTimeout(f, this.mode === "readonly" ? 0 : 4000)); } }); }`)
	p.open(b.url)
	where := p.middle(summaryOf("skimming"))
	p.do(chromedp.TapXY(where[0], where[1]))
	time.Sleep(2 * time.Second)
	p.do(chromedp.TapXY(where[0], where[1]))
	time.Sleep(500 * time.Millisecond)
	assert.Equal(t, 1, evaluate[int](p.phone, `waiting.all().then(kept => kept.length)`))
	p.sent(3)
	assert.Len(t, b.entries(), 1)
}

// A phone that is full once an entry is kept sends it all the same.
func TestPhoneFullOnceKept(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.before(`IDBFactory.prototype.open = function () { throw new DOMException("no", "SecurityError") };
		{ let real = Storage.prototype.setItem; Storage.prototype.setItem = function (key, value) {
			if (window.full && value.length > (this.getItem(key) || "").length) throw new DOMException("full", "QuotaExceededError");
			real.call(this, key, value); } }`)
	p.open(b.url)
	b.down.Store(true)
	p.note("the last that fits")
	p.waits(1)
	evaluate[bool](p.phone, `(() => { let list = JSON.parse(localStorage.getItem("canewright.entries")); delete list[0].tried;
		localStorage.setItem("canewright.entries", JSON.stringify(list)); return window.full = true })()`)
	b.down.Store(false)
	p.nudge()
	p.sent(3)
	assert.Equal(t, []string{"the last that fits"}, b.notes())
}

// A reader who signs in on the phone sends nothing and loses nothing: what waits goes with the next who may.
func TestReaderSignsInWhileEntriesWait(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	p.note("by odell")
	p.waits(1)
	require.NoError(t, b.store.SetPassword(context.Background(), b.people["odell"], testPassword))
	require.NoError(t, b.store.SetPassword(context.Background(), b.people["ines"], testPassword))
	b.down.Store(false)
	p.signIn("ines")
	p.until("it is said why it waits", `document.getElementById("offline").innerText.includes("reader")`)
	p.open(b.url)
	p.waits(1)
	assert.Empty(t, b.entries())
	p.until("the button to sign out", `!!document.querySelector("form.who button")`)
	evaluate[bool](p.phone, `(document.querySelector("form.who button").click(), true)`)
	p.until("signed out", `location.pathname === "/login"`)
	p.waits(1)
	p.signIn("marisol")
	p.until("sent", `document.documentElement.dataset.waiting === "0"`)
	require.Equal(t, []string{"by odell"}, b.notes())
	assert.Equal(t, b.people["odell"], b.entries()[0].DoneBy)
}

// The page stays open over midnight with an entry waiting: its row says of which day it is.
func TestWaitingOverMidnight(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	p.note("late shift")
	p.waits(1)
	made := b.store.Now()
	b.pass(15 * time.Hour)
	b.meddle(instead(new(atomic.Int64), http.StatusBadGateway, "text/html", ""))
	b.down.Store(false)
	p.open(b.url)
	p.waits(1)
	p.until("the day is said", `document.querySelector("#waiting-rows .log-clock").innerText.includes("Sun, Dec 7, 10:3")`)
	b.meddle(nil)
	p.nudge()
	p.sent(3)
	assert.Less(t, b.entries()[0].At.Sub(made).Abs(), 20*time.Second)
}
