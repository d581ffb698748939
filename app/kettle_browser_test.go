package app

import (
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/toolcheck"
	"canewright/records"
)

// soon is how long a browser of a busy machine may take; what was measured is logged.
const soon = 20 * time.Second

// boil is a house with a run on the fire, a clock that runs and can be moved, and a network that can fail.
type boil struct {
	*works
	run    *records.Run
	url    string
	moved  atomic.Int64 // of the clocks, all of them
	begin  time.Time
	down   atomic.Bool // the house cannot be reached
	mute   atomic.Bool // it takes what is sent, and its answers are lost
	thumbs []*thumb

	between atomic.Pointer[meddler] // what stands on the way to the house
}

// meddler answers in place of the house when it says so.
type meddler func(w http.ResponseWriter, r *http.Request, house http.Handler) bool

func newBoil(t *testing.T) *boil {
	t.Helper()
	toolcheck.Need(t, "chromium")
	b := &boil{begin: time.Now()}
	h := newHouseAt(t, func() time.Time { return testNow.Add(time.Since(b.begin) + time.Duration(b.moved.Load())) })
	require.NoError(t, h.store.SetPassword(context.Background(), h.people["marisol"], testPassword))
	handler := h.server.Config.Handler
	h.server.Close()
	h.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		meddle := b.between.Load()
		switch {
		case meddle != nil && (*meddle)(w, r, handler):
			return
		case b.down.Load():
			panic(http.ErrAbortHandler)
		case b.mute.Load() && r.Method == http.MethodPost:
			handler.ServeHTTP(httptest.NewRecorder(), r)
			panic(http.ErrAbortHandler)
		}
		handler.ServeHTTP(w, r)
	}))
	h.server.Config.ErrorLog = nil
	t.Cleanup(h.server.CloseClientConnections)
	b.works = h.works()
	b.run = b.lit()
	b.url = "/kettle/run/" + b.run.ID
	return b
}

// pass moves the clocks of the house and of every phone.
func (b *boil) pass(d time.Duration) {
	b.t.Helper()
	b.moved.Add(int64(d))
	for _, p := range b.thumbs {
		p.set(b.moved.Load())
	}
}

// entries are the lines of the boil log in order of time.
func (b *boil) entries() []records.BoilEntry {
	b.t.Helper()
	log, err := records.BoilLogOf(context.Background(), b.store, b.run.ID)
	require.NoError(b.t, err)
	return log.Entries
}

// sorts are what the entries say, in order.
func (b *boil) sorts() []string {
	b.t.Helper()
	var sorts []string
	for _, e := range b.entries() {
		sorts = append(sorts, e.What)
	}
	return sorts
}

// thumb is a phone worked by touch, with a clock of its own.
type thumb struct{ *phone }

// phoneClock stands in for the phone's clock: that of the house when the test began, plus what a test moves it by.
const phoneClock = `(() => {
  const Real = Date, moved = () => { try { return Number(localStorage.getItem("test.moved") || 0) } catch { return 0 } };
  const now = () => Real.now() + %d + moved();
  window.Date = class extends Real { constructor(...a) { if (a.length) super(...a); else super(now()); } static now() { return now(); } };
})()`

func (b *boil) thumb(login string) *thumb {
	b.t.Helper()
	p := &thumb{b.phone()}
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	script := fmt.Sprintf(phoneClock, testNow.Sub(b.begin).Milliseconds())
	p.call(func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	})
	p.signIn(login)
	p.set(b.moved.Load())
	p.open(b.url)
	b.thumbs = append(b.thumbs, p)
	return p
}

func (p *thumb) call(do func(context.Context) error) {
	p.h.t.Helper()
	require.NoError(p.h.t, do(p.ctx))
}

func (p *thumb) set(moved int64) {
	p.h.t.Helper()
	evaluate[bool](p.phone, `(localStorage.setItem("test.moved", "%d"), true)`, time.Duration(moved).Milliseconds())
}

// offline cuts the phone's network, or gives it back.
func (p *thumb) offline(cut bool) {
	p.h.t.Helper()
	p.call(func(ctx context.Context) error {
		params := network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}}}
		_, err := chromedp.Call(ctx, network.EmulateNetworkConditionsByRule, params)
		return err
	})
}

// until waits for a script to be true.
func (p *thumb) until(what, script string, args ...any) {
	p.h.t.Helper()
	script = fmt.Sprintf(script, args...)
	require.Eventually(p.h.t, func() bool {
		yes, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`!!(`+script+`)`))
		return err == nil && yes
	}, soon, 30*time.Millisecond, "%s; the page says: %s", what, lazily(p.text))
}

// lazily says something only when it is printed.
type lazily func() string

func (l lazily) String() string { return l() }

// tap touches the middle of an element, as a thumb does.
func (p *thumb) tap(selector string) {
	p.h.t.Helper()
	where := p.middle(selector)
	p.do(chromedp.TapXY(where[0], where[1]))
}

// middle brings an element into view and gives the middle of it; a thumb needs 56 px.
func (p *thumb) middle(selector string) []float64 {
	p.h.t.Helper()
	time.Sleep(600 * time.Millisecond) // the page takes no second tap at once, and has to come to rest
	p.until("there is "+selector, `document.querySelector(%q)?.getClientRects().length`, selector)
	box := evaluate[[]float64](p.phone, `(() => { let e = document.querySelector(%q); if (!e.closest("#pad, #said")) e.scrollIntoView({block: "center", behavior: "instant"});
		let r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2, r.height] })()`, selector)
	hit := evaluate[bool](p.phone, `(() => { let e = document.querySelector(%q), hit = document.elementFromPoint(%f, %f); return e.contains(hit) || !!hit?.closest("label")?.contains(e) })()`, selector, box[0], box[1])
	require.True(p.h.t, hit, "%s is covered on the screen", selector)
	return box
}

// types taps a number on the pad.
func (p *thumb) types(number string) {
	p.h.t.Helper()
	p.until("the pad is open", `!document.querySelector("#pad").hidden`)
	time.Sleep(300 * time.Millisecond) // a pad that just came up takes no tap
	for _, key := range number {
		selector := fmt.Sprintf(`#pad [data-key=%q]`, string(key))
		box := evaluate[[]float64](p.phone, `(() => { let r = document.querySelector(%q).getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2, r.width, r.height] })()`, selector)
		assert.GreaterOrEqual(p.h.t, box[2], 56.0, "key %c is narrower than a thumb", key)
		assert.GreaterOrEqual(p.h.t, box[3], 56.0, "key %c is lower than a thumb", key)
		p.do(chromedp.TapXY(box[0], box[1]))
	}
}

func summaryOf(key string) string {
	return fmt.Sprintf(`.quick[data-key=%q] > summary, .quick[data-key=%q] .tap-button`, key, key)
}

// sent waits until nothing waits any more and the page shows so many lines of the log.
func (p *thumb) sent(lines int) {
	p.h.t.Helper()
	p.until("nothing waits", `document.documentElement.dataset.waiting === "0" && document.documentElement.dataset.notKept === "0"`)
	p.shows(lines)
}

func (p *thumb) shows(lines int) {
	p.h.t.Helper()
	p.until(fmt.Sprintf("%d lines in the log", lines), `document.querySelectorAll("[data-part=log] .log-line").length === %d`, lines)
	assert.Equal(p.h.t, 390.0, evaluate[float64](p.phone, "innerWidth"), "wider than the phone: %s", evaluate[string](p.phone, tooWide))
}

// tooWide names what sticks out of the page.
const tooWide = `[...document.querySelectorAll("body *")].filter(e => e.checkVisibility() && e.getBoundingClientRect().right > 391)
	.map(e => e.tagName + "." + e.getAttribute("class") + " " + e.getBoundingClientRect().right).slice(0, 9).join("; ")`

// waits waits until so many entries wait on the phone.
func (p *thumb) waits(n int) {
	p.h.t.Helper()
	p.until(fmt.Sprintf("%d waiting", n), `document.documentElement.dataset.waiting === "%d"`, n)
}

// A whole boil by taps: numbers on the pad, one tap for what needs no number, the end asked once more.
func TestBoilByTaps(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.shows(2)
	p.tap(summaryOf("temperature"))
	p.types("218.5")
	p.tap(`#pad [data-key="write"]`)
	p.sent(3)
	p.until("the last temperature stands large", `document.querySelector(".last-figure").innerText.startsWith("218.5")`)
	p.tap(summaryOf("skimming"))
	p.sent(4)
	p.tap(summaryOf("cloth"))
	p.sent(5)
	b.pass(10 * time.Minute)

	p.tap(summaryOf("temperature"))
	p.types("221")
	p.tap(`#pad [data-key="close"]`)
	p.tap(`#temperature .ago input[value="10"] + span`)
	p.tap(`#temperature .act button`)
	p.sent(6)

	p.tap(summaryOf("reading"))
	p.tap(`#reading input[value="finish"]`)
	p.tap(`#reading-reading`)
	p.types("36.1")
	p.tap(`#pad [data-key="next"]`)
	p.types("224")
	p.tap(`#pad [data-key="write"]`)
	p.sent(7)

	p.tap(summaryOf("addition"))
	p.do(chromedp.SendKeys(chromedp.ID("addition-substance"), "Sunflower oil"), chromedp.SetValue(chromedp.ID("addition-use"), "defoamer"))
	p.tap(`#addition .act button`)
	p.sent(8)
	p.tap(summaryOf("note"))
	p.do(chromedp.SendKeys(chromedp.ID("note-note"), "wind turned"))
	p.tap(`#note .act button`)
	p.sent(9)
	p.tap(summaryOf("photo"))
	p.do(chromedp.SetUploadFiles(chromedp.ID("photo-photo"), []string{bigPicture(t)}))
	p.sent(10)
	p.until("the photo is shown", `[...document.querySelectorAll(".log-photo img")].some(i => (i.scrollIntoView(), true) && i.complete && i.naturalWidth === 1600)`)

	p.until("only fire out is offered", `document.querySelector('[data-key="relit"]').hidden`)
	b.pass(time.Minute)
	p.tap(summaryOf("fire-out"))
	p.sent(11)
	p.until("the fire is out", `document.querySelector(".fire-is-out") && document.querySelector('[data-key="fire-out"]').hidden`)
	b.pass(time.Minute)
	p.tap(summaryOf("relit"))
	p.sent(12)

	b.pass(time.Minute)
	p.tap(summaryOf("drawn-off"))
	p.types("14.8")
	p.tap(`#pad [data-key="write"]`)
	p.until("asked once more", `document.querySelector(".sure").open`)
	assert.NotContains(t, b.sorts(), records.EntryDrawnOff)
	p.tap(`.sure button`)
	p.sent(13)

	assert.Equal(t, []string{"temperature", "skimming", "cloth", "temperature", "note", "photo", "fire_out", "relit", "drawn_off"}, b.sorts(), "the second temperature was ten minutes ago")
	for _, e := range b.entries() {
		if e.What == records.EntryDrawnOff {
			assert.InDelta(t, float64(syrup.USGallons(14.8).Liters()), float64(*e.Volume), 1e-6)
		}
		assert.Equal(t, b.people["odell"], e.DoneBy)
	}
	assert.InDelta(t, 0, b.entries()[3].At.Sub(testNow).Minutes(), 2, "the clocks stood ten minutes later when it was written")
	assert.Empty(t, phoneStories(b), "a phone with the right time needs no story")
}

func phoneStories(b *boil) []records.PhoneEntry {
	b.t.Helper()
	stories, err := records.List[records.PhoneEntry](context.Background(), b.store, "")
	require.NoError(b.t, err)
	return stories
}

// bigPicture is a photo of a phone's size.
func bigPicture(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "kettle.jpg")
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, jpeg.Encode(file, image.NewGray(image.Rect(0, 0, 3200, 2400)), nil))
	require.NoError(t, file.Close())
	return path
}

// What one phone writes the other shows; what is half typed on the other stays.
func TestTwoPhonesSeeEachOther(t *testing.T) {
	b := newBoil(t)
	odell, marisol := b.thumb("odell"), b.thumb("marisol")
	marisol.tap(summaryOf("temperature"))
	marisol.types("10")
	odell.tap(summaryOf("temperature"))
	odell.types("219")
	start := time.Now()
	odell.tap(`#pad [data-key="write"]`)
	tapped := time.Since(start)
	marisol.shows(3)
	t.Logf("shown on the other phone %v after the tap (aim: 2 s; of it %v for the test's own tap)", time.Since(start)-tapped, tapped)
	assert.Less(t, time.Since(start), 10*time.Second)
	marisol.sees("Odell Reyes")
	assert.Equal(t, "10", evaluate[string](marisol.phone, `document.getElementById("temperature-temperature").value`), "typing goes on undisturbed")
	marisol.types("4.5")
	marisol.tap(`#pad [data-key="write"]`)
	odell.shows(4)
	odell.sees("Marisol Vega")
	assert.InDelta(t, 104.5, float64(*b.entries()[1].Temperature), 1e-9, "metric on her phone")

	list := b.thumb("odell")
	list.open("/kettle")
	odell.tap(summaryOf("skimming"))
	odell.sent(5)
	odell.tap(summaryOf("temperature"))
	odell.types("225")
	odell.tap(`#pad [data-key="write"]`)
	list.until("the list of kettles follows", `document.querySelector(".fire-last").innerText.includes("225")`)
}

// The network is gone for a minute in mid-boil: what is written meanwhile waits, survives a reload, and is kept once, in
// order, at the time it was made.
func TestNetworkCutInMidBoil(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	p.tap(summaryOf("temperature"))
	p.types("219")
	p.tap(`#pad [data-key="write"]`)
	p.sent(3)

	p.offline(true)
	b.down.Store(true)
	var made []time.Time
	tapAt := func(do func()) {
		do()
		made = append(made, b.store.Now())
	}
	tapAt(func() { p.tap(summaryOf("skimming")) })
	p.waits(1)
	b.pass(20 * time.Second)
	p.tap(summaryOf("temperature"))
	p.types("220.5")
	tapAt(func() { p.tap(`#pad [data-key="write"]`) })
	p.waits(2)
	b.pass(20 * time.Second)
	tapAt(func() { p.tap(summaryOf("cloth")) })
	p.waits(3)
	p.sees("3 waiting")
	p.sees("No connection to the house")
	p.until("each stands as a row with who and when", `document.querySelectorAll("#waiting-rows .queue-line").length === 3 && document.querySelector("#waiting-rows").innerText.includes("Odell Reyes")`)
	b.pass(20 * time.Second)
	require.Len(t, b.entries(), 1, "nothing has reached the house")

	p.offline(false)
	b.down.Store(false)
	b.mute.Store(true) // it comes back badly: entries arrive, answers are lost
	require.Eventually(t, func() bool { return len(b.entries()) >= 2 }, soon, 50*time.Millisecond, "the first arrives")
	b.mute.Store(false)
	p.open(b.url) // and the page is loaded anew
	p.sent(6)

	entries := b.entries()
	require.Len(t, entries, 4, "nothing lost, nothing doubled")
	for i, what := range []string{"temperature", "skimming", "temperature", "cloth"} {
		assert.Equal(t, what, entries[i].What)
		if i > 0 {
			apart := entries[i].At.Sub(made[i-1])
			assert.Less(t, max(apart, -apart), 5*time.Second, "%s: %s, made %s", what, entries[i].At, made[i-1])
		}
	}
	assert.NotEmpty(t, phoneStories(b), "that they waited is written down")
	p.sees("waited")
}

// Two taps of a wet thumb are one entry; what is half typed survives a reload, and what waits does too.
func TestDoubleTapAndReload(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	where := p.middle(summaryOf("skimming"))
	p.do(chromedp.TapXY(where[0], where[1]), chromedp.TapXY(where[0], where[1]))
	p.sent(3)
	p.tap(summaryOf("temperature"))
	p.types("221")
	where = p.middle(`#pad [data-key="write"]`)
	p.do(chromedp.TapXY(where[0], where[1]), chromedp.TapXY(where[0], where[1]))
	p.sent(4)
	time.Sleep(500 * time.Millisecond)
	assert.Len(t, b.entries(), 2, "one of each")

	p.tap(summaryOf("reading"))
	p.tap(`#reading input[value="finish"]`)
	p.tap(`#reading-reading`)
	p.types("35")
	b.down.Store(true)
	p.tap(summaryOf("cloth"))
	p.waits(1)
	b.down.Store(false)
	b.mute.Store(true)
	p.open(b.url)
	p.waits(1)
	assert.Equal(t, "35", evaluate[string](p.phone, `document.getElementById("reading-reading").value`))
	assert.True(t, evaluate[bool](p.phone, `document.querySelector('#reading input[value="finish"]').checked && document.querySelector('[data-key="reading"]').open`))
	b.mute.Store(false)
	p.sent(5)
	assert.Len(t, b.entries(), 3)
}

// Entries that wait outlive the session, and are kept under who made them whoever signs in.
func TestWaitingOutlivesTheSession(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	p.tap(summaryOf("skimming"))
	p.waits(1)
	require.NoError(t, b.store.SetPassword(context.Background(), b.people["odell"], testPassword+"2")) // ends the session
	b.down.Store(false)
	p.until("asked to sign in", `document.body.innerText.includes("Sign in to send")`)
	p.open("/login")
	p.waits(1)
	assert.Empty(t, b.entries())
	p.do(chromedp.SendKeys(chromedp.CSS("[name=login]"), "marisol"), chromedp.SendKeys(chromedp.CSS("[name=password]"), testPassword))
	p.press(`document.querySelector("[name=login]")`)
	p.until("sent from any page", `document.documentElement.dataset.waiting === "0"`)
	require.Len(t, b.entries(), 1)
	assert.Equal(t, b.people["odell"], b.entries()[0].DoneBy)
	stories := phoneStories(b)
	require.Len(t, stories, 1)
	assert.Equal(t, b.people["odell"], stories[0].SignedInID, "on the phone when it was made")
	assert.Equal(t, b.people["marisol"], stories[0].WrittenBy, "in whose session it was sent")
}

// What the house refuses comes back with its words; a clash is shown and never lost; a line is taken back with a reason.
func TestRefusedClashAndTakenBack(t *testing.T) {
	b := newBoil(t)
	p := b.thumb("odell")
	b.down.Store(true)
	p.tap(summaryOf("cloth"))
	p.waits(1)
	p.tap("#queue-count")
	p.tap("#queue .queue-acts button")
	p.tap("#queue .queue-acts button")
	p.until("left out before it was sent", `document.documentElement.dataset.waiting === "0"`)
	assert.Equal(t, 390.0, evaluate[float64](p.phone, "innerWidth"), evaluate[string](p.phone, tooWide))
	p.tap("#queue .queue-acts button")
	p.tap("#queue-close")
	b.down.Store(false)

	p.tap(summaryOf("temperature"))
	p.do(chromedp.SendKeys(chromedp.ID("temperature-temperature"), "221,5"))
	p.tap(`#temperature .act button`)
	p.until("back in its form, with what is wrong", `document.querySelector('[data-key="temperature"]').open && document.querySelector("#temperature .error")?.innerText.includes("point")`)
	assert.Equal(t, "221,5", evaluate[string](p.phone, `document.getElementById("temperature-temperature").value`))
	p.do(chromedp.SetValue(chromedp.ID("temperature-temperature"), "221.5"))
	p.tap(`#temperature .act button`)
	p.sent(3)

	p.tap(`#said button`)
	p.until("asked why", `document.querySelector("#said").innerText.includes("written twice")`)
	p.tap(`#said .said-acts button:nth-of-type(2)`)
	p.sent(2)
	assert.Empty(t, b.entries(), "struck")

	b.down.Store(true)
	b.pass(time.Minute)
	p.tap(summaryOf("skimming"))
	p.waits(1)
	actor := records.Actor{PersonID: b.people["marisol"]}
	gone := &records.BoilEntry{RunID: b.run.ID, At: b.store.Now().Add(-30 * time.Second), Volume: at(syrup.Liters(55)), VolumeEntered: "55 L"}
	require.NoError(t, b.store.DrawOff(context.Background(), actor, gone, ""))
	b.down.Store(false)
	p.until("the clash is said", `document.documentElement.dataset.notKept === "1"`)
	p.tap(`#queue-count`)
	p.until("with who ended the run", `document.querySelector("#queue").innerText.includes("Marisol Vega") && document.querySelector("#queue").innerText.includes("Could not be kept")`)
	p.tap(`#queue .queue-acts button:last-of-type`)
	p.tap(`#queue .queue-acts button:last-of-type`)
	p.until("still readable", `document.querySelector("#queue").innerText.includes("Left out") && document.querySelector("#queue").innerText.includes("Skimmed")`)
	p.tap(`#queue .queue-acts button`)
	p.until("cleared", `document.querySelector("#queue-count").hidden`)
	assert.Equal(t, []string{records.EntryDrawnOff}, b.sorts())
}

// Without a script every button is a form: one post, the answer on the page.
func TestRunPageWithoutScript(t *testing.T) {
	w := newWorks(t)
	url := "/kettle/run/" + w.lit().ID
	b := w.as("odell")
	page := b.get(url)
	assert.Regexp(t, `data-key="relit" hidden`, page.body)
	assert.NotRegexp(t, `data-key="fire-out" hidden`, page.body)
	assert.Contains(t, page.body, `<button type="submit" disabled hidden>`, "the Enter key does not end the run")
	b.post(url+"/fire-out", "ago", "20").location(t)
	page = b.get(url)
	assert.Regexp(t, `data-key="fire-out" hidden`, page.body)
	assert.NotRegexp(t, `data-key="relit" hidden`, page.body)
	said := func(page answer) string { return strings.ReplaceAll(page.words(), noBreak, " ") }
	assert.Regexp(t, `10:10 am\s+220 min\s+fire out`, said(page))
	assert.Contains(t, page.words(), "The fire is out.")

	page = b.post(url+"/skimming", "ago", "10", "temperature", "hot", "temperature_unit", "F")
	assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
	assert.Regexp(t, `(?s)data-key="skimming".*?<details class="more" open>.*?name="ago" value="10" checked`, page.body, "what was chosen stays")

	b.post(url+"/relit", "ago", "5").location(t)
	b.post(url+"/drawn-off", "volume", "15", "volume_unit", "gal", "ago", "0").location(t)
	page = b.get(url)
	assert.Contains(t, page.words(), "Something was forgotten")
	b.post(url+"/skimming", "at", hour("09:00")).location(t)
	assert.Regexp(t, `9:00 am\s+150 min\s+skimmed`, said(b.get(url)))
}
