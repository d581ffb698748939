package app

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"mime/multipart"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// script is what a page's script was answered.
type script struct {
	Status         int `json:"-"`
	Kept, At, Said string
	Again          bool
	Wrong          []wrongField
	Clash, Link    string
	SignIn         string `json:"signin"`
}

// tell posts an entry as the script of a run's page does.
func (b *browser) tell(path string, pairs ...string) script {
	b.h.t.Helper()
	return b.ask(b.posting(path, pairs...))
}

// ask sends a request that wants JSON.
func (b *browser) ask(r *http.Request) script {
	b.h.t.Helper()
	r.Header.Set("Accept", "application/json")
	got := b.do(r)
	require.Contains(b.h.t, got.Header.Get("Content-Type"), "application/json", got.body)
	s := script{Status: got.StatusCode}
	require.NoError(b.h.t, json.Unmarshal([]byte(got.body), &s), got.body)
	return s
}

// fault is what is wrong with a field.
func (s script) fault(field string) string {
	for _, w := range s.Wrong {
		if w.Field == field {
			return w.Message
		}
	}
	return ""
}

// times are made and sent of a phone whose clock is off by so much, for an entry that waited.
func times(off, waited time.Duration) []string {
	sent := testNow.Add(off)
	return []string{"made", strconv.FormatInt(sent.Add(-waited).UnixMilli(), 10), "sent", strconv.FormatInt(sent.UnixMilli(), 10)}
}

// only gives the one phone entry of a record.
func (w *works) only(id string) records.PhoneEntry {
	w.t.Helper()
	by, err := records.PhoneEntriesOf(context.Background(), w.store, []string{id})
	require.NoError(w.t, err)
	require.Contains(w.t, by, id)
	return by[id]
}

func (w *works) asCame(id string) {
	w.t.Helper()
	by, err := records.PhoneEntriesOf(context.Background(), w.store, []string{id})
	require.NoError(w.t, err)
	assert.Empty(w.t, by, "nothing to be said of how it came")
}

// TestKettleClock: an entry happened when it was made, by the house's clock, whatever the phone's clock says.
func TestKettleClock(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	at := runURL(run.ID) + "/skimming"
	tests := []struct {
		name        string
		off, waited time.Duration
		ago         string
		happened    time.Duration // before testNow
		kept        bool          // something is kept of how it came
		words       string
	}{
		{"right clock, at once", 0, 0, "0", 0, false, ""},
		{"ten minutes ago", 0, 0, "10", 10 * time.Minute, false, ""},
		{"clock an hour fast", time.Hour, 0, "", 0, true, "phone's clock was 60 min ahead"},
		{"clock an hour slow", -time.Hour, 0, "", 0, true, "phone's clock was 60 min behind"},
		{"a clock one second short of two minutes off", 119 * time.Second, 0, "", 0, false, ""},
		{"a clock two minutes off", 120 * time.Second, 0, "", 0, true, "phone's clock was 2 min ahead"},
		{"waited four minutes", 0, 4 * time.Minute, "", 4 * time.Minute, true, "waited 4 min for the network"},
		{"waited just under a minute", 0, 59 * time.Second, "", 59 * time.Second, false, ""},
		{"waited a minute", 0, time.Minute, "", time.Minute, true, "waited 1 min for the network"},
		{"all of it", -61 * time.Minute, 30 * time.Minute, "20", 50 * time.Minute, true, "waited 30 min for the network, phone's clock was 61 min behind"},
		{"a clock of 1971", -54 * 365 * 24 * time.Hour, 5 * time.Minute, "", 5 * time.Minute, true, "behind"},
		{"set back by seconds between", 0, -4 * time.Second, "", 0, false, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := b.tell(at, append(times(test.off, test.waited), "ago", test.ago, "by", w.people["odell"], "submission", test.name)...)
			require.Equal(t, http.StatusOK, got.Status, got)
			assert.False(t, got.Again)
			assert.Equal(t, testNow.Add(-test.happened).Format(time.RFC3339), got.At)
			entry, err := records.Get[records.BoilEntry](context.Background(), w.store, got.Kept)
			require.NoError(t, err)
			assert.True(t, entry.At.Equal(testNow.Add(-test.happened)))
			if !test.kept {
				w.asCame(got.Kept)
				return
			}
			phone := w.only(got.Kept)
			assert.Equal(t, int(test.off/time.Second), phone.OffSeconds)
			assert.Equal(t, int(test.waited/time.Second), phone.WaitedSeconds)
			assert.True(t, phone.PhoneClock.Equal(testNow.Add(test.off-test.waited)))
			said, err := w.app.phoneWords(context.Background(), words{lang: "en", units: "us", zone: w.app.zone.Load}, []string{got.Kept})
			require.NoError(t, err)
			assert.Contains(t, strings.ReplaceAll(said[got.Kept], noBreak, " "), test.words)
		})
	}
	t.Run("a typed time wins", func(t *testing.T) {
		got := b.tell(at, append(times(time.Hour, 4*time.Minute), "ago", "20", "at", hour("08:00"), "submission", "typed")...)
		require.Equal(t, http.StatusOK, got.Status, got)
		assert.Equal(t, "2025-12-07T13:00:00Z", got.At)
		assert.Equal(t, 3600, w.only(got.Kept).OffSeconds)
	})
	t.Run("the page says it", func(t *testing.T) {
		page := strings.ReplaceAll(b.get(runURL(run.ID)).words(), noBreak, " ")
		assert.Contains(t, page, "waited 4 min for the network")
		assert.Contains(t, page, "clock was 61 min behind")
	})
	t.Run("in Spanish", func(t *testing.T) {
		page := strings.ReplaceAll(w.as("marisol").get(runURL(run.ID)).words(), noBreak, " ")
		assert.Contains(t, page, "esperó 4 min la señal")
	})
}

// TestKettleClockRefuses: times that make no sense are not guessed: the person is asked, and a typed time is taken.
func TestKettleClockRefuses(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	at := runURL(run.ID) + "/skimming"
	ms := func(at time.Time) string { return strconv.FormatInt(at.UnixMilli(), 10) }
	tests := []struct {
		name, field, want string
		pairs             []string
	}{
		{"made six seconds after sent", "at", "was set while the entry waited", times(0, -6*time.Second)},
		{"made an hour after sent", "at", "was set while the entry waited", times(0, -time.Hour)},
		{"waited for years", "at", "was set while the entry waited", times(0, 3*365*24*time.Hour)},
		{"no number", "at", "did not say when", []string{"made", "noon", "sent", ms(testNow)}},
		{"not a number", "at", "did not say when", []string{"made", "NaN", "sent", "NaN"}},
		{"below zero", "at", "did not say when", []string{"made", "-1", "sent", ms(testNow)}},
		{"beyond all numbers", "at", "did not say when", []string{"made", "99999999999999999999", "sent", ms(testNow)}},
		{"beyond the calendar", "at", "did not say when", []string{"made", "9223372036854775807", "sent", "9223372036854775807"}},
		{"only one of the two", "at", "did not say when", []string{"made", ms(testNow)}},
		{"no such ago", "ago", "", []string{"ago", "7"}},
		{"an ago that is no number", "ago", "", []string{"ago", "soon"}},
		{"before the fire was lit", "at", "The fire was lit at", times(0, 5*time.Hour)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := b.tell(at, append(test.pairs, "submission", test.name)...)
			require.Equal(t, http.StatusUnprocessableEntity, got.Status, got)
			assert.NotEmpty(t, got.fault(test.field), got)
			assert.Contains(t, got.fault(test.field), test.want)
			assert.Equal(t, 0, count[records.BoilEntry](t, w))
			assert.Equal(t, 0, count[records.PhoneEntry](t, w))
			plain := b.post(at, test.pairs...)
			assert.Equal(t, http.StatusUnprocessableEntity, plain.StatusCode, "a plain form is told as well")
		})
	}
	t.Run("with the time typed the same entry is kept", func(t *testing.T) {
		got := b.tell(at, append(times(0, -time.Hour), "at", hour("08:00"), "submission", "made an hour after sent")...)
		require.Equal(t, http.StatusOK, got.Status, got)
		assert.Equal(t, "2025-12-07T13:00:00Z", got.At)
	})
}

// TestKettleTellsOnce: the same entry again, by then or at the same moment, is one entry and one answer.
func TestKettleTellsOnce(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	at := runURL(run.ID) + "/temperature"
	typed := []string{"temperature", "221", "temperature_unit", "F", "submission", "0123456789abcdef0123456789abcdef"}
	first := b.tell(at, append(typed, times(0, 2*time.Minute)...)...)
	require.Equal(t, http.StatusOK, first.Status)
	assert.Equal(t, "In the log.", first.Said)
	again := b.tell(at, append(typed, times(0, 9*time.Minute)...)...)
	assert.Equal(t, http.StatusOK, again.Status)
	assert.True(t, again.Again)
	assert.Equal(t, first.Kept, again.Kept)
	assert.Equal(t, first.At, again.At, "of the first time")
	assert.Equal(t, 1, count[records.BoilEntry](t, w))
	assert.Equal(t, 1, count[records.PhoneEntry](t, w))

	t.Run("at the same moment from many", func(t *testing.T) {
		answers := make([]script, 8)
		phones := make([]*browser, 8)
		for i := range phones {
			phones[i] = w.as("odell")
		}
		var all sync.WaitGroup
		for i := range answers {
			all.Go(func() {
				answers[i] = phones[i].tell(at, "temperature", "222", "temperature_unit", "F", "submission", "same")
			})
		}
		all.Wait()
		fresh := 0
		for _, a := range answers {
			assert.Equal(t, http.StatusOK, a.Status)
			assert.Equal(t, answers[0].Kept, a.Kept)
			if !a.Again {
				fresh++
			}
		}
		assert.Equal(t, 1, fresh)
		assert.Equal(t, 2, count[records.BoilEntry](t, w))
	})
	t.Run("also after the run has ended", func(t *testing.T) {
		require.Equal(t, http.StatusOK, b.tell(runURL(run.ID)+"/drawn-off", "volume", "15", "volume_unit", "gal", "submission", "end").Status)
		again := b.tell(at, typed...)
		assert.True(t, again.Again)
		assert.Equal(t, first.Kept, again.Kept)
		assert.True(t, b.tell(runURL(run.ID)+"/drawn-off", "volume", "15", "volume_unit", "gal", "submission", "end").Again)
	})
}

// TestKettleEndClashes: what comes after somebody ended the run.
func TestKettleEndClashes(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	odell, marisol := w.as("odell"), w.as("marisol")
	end := runURL(run.ID) + "/drawn-off"
	ended := odell.tell(end, append(times(0, 30*time.Minute), "volume", "15", "volume_unit", "gal", "submission", "o")...)
	require.Equal(t, http.StatusOK, ended.Status, ended)
	assert.Contains(t, ended.Said, "Drawn off")

	t.Run("two end it at once: the second is told who was first", func(t *testing.T) {
		got := w.as("odell").tell(end, "volume", "14.5", "volume_unit", "gal", "submission", "second")
		assert.Equal(t, http.StatusConflict, got.Status)
		assert.Equal(t, "Odell Reyes has already ended this run, at 10:00"+noBreak+"am. This one was not kept. If that line is wrong, amend it.", got.Clash)
		assert.Equal(t, runURL(run.ID), got.Link)
	})
	t.Run("and without a script sees what was typed", func(t *testing.T) {
		page := marisol.post(end, "volume", "54.5", "volume_unit", "L", "note", "quedó espesa", "submission", "third")
		assert.Equal(t, http.StatusConflict, page.StatusCode)
		assert.Contains(t, page.body, "Odell Reyes ya terminó esta cocida")
		assert.Contains(t, page.body, `value="54.5"`)
		assert.Contains(t, page.body, "quedó espesa")
	})
	t.Run("what waited from before the end is kept, in order and marked late", func(t *testing.T) {
		var last script
		for i, minutes := range []int{50, 40} {
			last = odell.tell(runURL(run.ID)+"/note", append(times(0, time.Duration(minutes)*time.Minute), "note", "waiting "+strconv.Itoa(i), "submission", "w"+strconv.Itoa(i))...)
			require.Equal(t, http.StatusOK, last.Status, last)
		}
		notes, err := records.List[records.BoilEntry](context.Background(), w.store, "what = ? ORDER BY at", records.EntryNote)
		require.NoError(t, err)
		require.Len(t, notes, 2)
		assert.Equal(t, "waiting 0", notes[0].Note)
		assert.Equal(t, 2400, w.only(last.Kept).WaitedSeconds)
		page := strings.ReplaceAll(odell.get(runURL(run.ID)).words(), noBreak, " ")
		assert.Contains(t, page, "waited 40 min for the network")
	})
	t.Run("what is of after the end is a clash", func(t *testing.T) {
		before := count[records.BoilEntry](t, w)
		got := odell.tell(runURL(run.ID)+"/temperature", append(times(0, 10*time.Minute), "temperature", "226", "temperature_unit", "F", "submission", "x")...)
		assert.Equal(t, http.StatusConflict, got.Status)
		assert.Contains(t, strings.ReplaceAll(got.Clash, noBreak, " "), "this is for 10:20 am, and Odell Reyes ended the run at 10:00 am")
		assert.Equal(t, before, count[records.BoilEntry](t, w))
	})
	t.Run("at once from two phones exactly one ends it", func(t *testing.T) {
		other := &records.Kettle{SiteID: w.site, Number: 3, Name: "New kettle"}
		w.write(other)
		second := &records.Run{KettleID: other.ID, FireLitAt: testNow.Add(-time.Hour)}
		require.NoError(t, w.store.StartRun(context.Background(), records.Actor{PersonID: w.people["odell"]}, second, nil))
		var all sync.WaitGroup
		var answers [2]script
		for i, b := range []*browser{odell, marisol} {
			all.Go(func() { answers[i] = b.tell(runURL(second.ID)+"/drawn-off", "submission", "end"+strconv.Itoa(i)) })
		}
		all.Wait()
		assert.ElementsMatch(t, []int{http.StatusOK, http.StatusConflict}, []int{answers[0].Status, answers[1].Status})
	})
}

// TestKettleTellsWho: sessions that ended, readers, and entries made under another person.
func TestKettleTellsWho(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	at := runURL(run.ID) + "/note"
	t.Run("a session that has ended", func(t *testing.T) {
		got := w.browser().tell(at, "note", "x", "submission", "s")
		assert.Equal(t, http.StatusUnauthorized, got.Status)
		assert.Equal(t, "/login?next="+url.QueryEscape(runURL(run.ID)), got.SignIn)
		assert.Contains(t, got.Said, "Sign in")
	})
	t.Run("a reader", func(t *testing.T) {
		got := w.as("ines").tell(at, "note", "x")
		assert.Equal(t, http.StatusForbidden, got.Status)
		assert.Contains(t, got.Said, "A reader only looks")
	})
	t.Run("no such run", func(t *testing.T) {
		got := w.as("odell").tell(runURL("NONE")+"/note", "note", "x")
		assert.Equal(t, http.StatusNotFound, got.Status)
		assert.NotEmpty(t, got.Said)
	})
	t.Run("another site's page", func(t *testing.T) {
		r, err := http.NewRequest(http.MethodPost, w.server.URL+at, strings.NewReader("note=x"))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		assert.Equal(t, http.StatusForbidden, w.as("odell").ask(r).Status)
	})
	t.Run("made by one person, sent in another's session", func(t *testing.T) {
		got := w.as("odell").tell(at, "note", "from Marisol's page", "by", w.people["marisol"], "submission", "m")
		require.Equal(t, http.StatusOK, got.Status, got)
		entry, err := records.Get[records.BoilEntry](context.Background(), w.store, got.Kept)
		require.NoError(t, err)
		assert.Equal(t, w.people["marisol"], entry.DoneBy)
		assert.Equal(t, w.people["odell"], entry.WrittenBy)
		assert.Equal(t, w.people["marisol"], w.only(got.Kept).SignedInID)
		page := w.as("odell").get(runURL(run.ID)).plain()
		assert.Contains(t, page, "sent in Odell Reyes's session")
	})
	t.Run("and the person tapped stays the one who did it", func(t *testing.T) {
		got := w.as("marisol").tell(at, "note", "tapped", "by", w.people["odell"], "done_by", w.people["marisol"], "submission", "t")
		require.Equal(t, http.StatusOK, got.Status, got)
		entry, err := records.Get[records.BoilEntry](context.Background(), w.store, got.Kept)
		require.NoError(t, err)
		assert.Equal(t, w.people["marisol"], entry.DoneBy)
	})
	for name, by := range map[string]string{"nobody": "NONE", "no person": run.ID, "a reader": w.people["ines"]} {
		t.Run("made by "+name, func(t *testing.T) {
			got := w.as("odell").tell(at, "note", "x", "by", by)
			assert.Equal(t, http.StatusUnprocessableEntity, got.Status)
			assert.NotEmpty(t, got.fault("done_by"), got)
		})
	}
}

// TestKettleTellsOdd: odd figures are kept and said, impossible ones refused at their fields.
func TestKettleTellsOdd(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	at := runURL(run.ID)
	t.Run("a density without a temperature", func(t *testing.T) {
		got := b.tell(at+"/reading", "reading", "33.5", "reading_unit", "Be", "stage", "boil", "submission", "r")
		require.Equal(t, http.StatusOK, got.Status, got)
		assert.Contains(t, got.Said, "cannot be used")
		assert.Equal(t, 1, count[records.DensityReading](t, w))
	})
	t.Run("a jump of more than 60 F", func(t *testing.T) {
		for i, degrees := range []string{"150", "222"} {
			require.Equal(t, http.StatusOK, b.tell(at+"/temperature", append(times(0, time.Duration(3-i)*time.Minute), "temperature", degrees, "temperature_unit", "F", "submission", degrees)...).Status)
		}
		assert.Contains(t, b.get(at).plain(), "150.0 °F, then 222.0 °F")
	})
	t.Run("nothing typed", func(t *testing.T) {
		got := b.tell(at+"/temperature", "temperature", "", "temperature_unit", "F")
		assert.Equal(t, http.StatusUnprocessableEntity, got.Status)
		assert.Equal(t, "Fill this in.", got.fault("temperature"))
		assert.NotEmpty(t, got.Wrong[0].Label)
	})
	t.Run("juice that is not there", func(t *testing.T) {
		got := b.tell(at + "/juice")
		assert.Equal(t, http.StatusUnprocessableEntity, got.Status)
		assert.Contains(t, got.fault(""), "Tick at least one")
	})
	t.Run("juice", func(t *testing.T) {
		more := &records.Pressing{SiteID: w.site, StartedAt: testNow.Add(-2 * time.Hour), Volume: given(syrup.Liters(40)), Brix: given(syrup.Brix(17))}
		w.write(more)
		got := b.tell(at+"/juice", append(times(0, 2*time.Minute), "take_"+more.ID, "yes", "submission", "j")...)
		require.Equal(t, http.StatusOK, got.Status, got)
		link, err := records.Get[records.Link](context.Background(), w.store, got.Kept)
		require.NoError(t, err)
		assert.Equal(t, run.ID, link.ToID)
		assert.True(t, link.At.Equal(testNow.Add(-2*time.Minute)))
		assert.Equal(t, 120, w.only(link.ID).WaitedSeconds)
	})
}

func given[T any](v T) *T { return &v }

// photographed posts a form with a photo in parts, as the script does.
func (b *browser) photographed(path, name string, photo []byte, pairs ...string) *http.Request {
	b.h.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for i := 0; i < len(pairs); i += 2 {
		require.NoError(b.h.t, form.WriteField(pairs[i], pairs[i+1]))
	}
	if photo != nil {
		part, err := form.CreateFormFile("photo", name)
		require.NoError(b.h.t, err)
		_, err = part.Write(photo)
		require.NoError(b.h.t, err)
	}
	require.NoError(b.h.t, form.Close())
	r, err := http.NewRequest(http.MethodPost, b.h.server.URL+path, &body)
	require.NoError(b.h.t, err)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

// smallPicture is a picture of one color.
func smallPicture(t *testing.T, encode func(*bytes.Buffer, image.Image) error) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 24, 16))
	for i := range 24 {
		m.Set(i, i%16, color.RGBA{200, 90, 40, 255})
	}
	var out bytes.Buffer
	require.NoError(t, encode(&out, m))
	return out.Bytes()
}

// TestKettlePhoto: a photo is a line of the log, looked at before it is kept and shown to whoever is signed in.
func TestKettlePhoto(t *testing.T) {
	w := newWorks(t)
	run := w.lit()
	b := w.as("odell")
	at := runURL(run.ID) + "/photo"
	jpg := smallPicture(t, asJPEG)
	got := b.ask(b.photographed(at, `C:\pictures\foam 😀.jpg`, jpg, append(times(0, 3*time.Minute), "note", "foam", "submission", "p1")...))
	require.Equal(t, http.StatusOK, got.Status, got)
	entry, err := records.Get[records.BoilEntry](context.Background(), w.store, got.Kept)
	require.NoError(t, err)
	assert.Equal(t, records.EntryPhoto, entry.What)
	assert.Equal(t, "foam", entry.Note)
	assert.True(t, entry.At.Equal(testNow.Add(-3*time.Minute)))
	kept, err := records.AttachmentsOf(context.Background(), w.store, got.Kept)
	require.NoError(t, err)
	require.Len(t, kept, 1)
	assert.Equal(t, "foam .jpg", kept[0].Name)
	assert.Equal(t, "image/jpeg", kept[0].MediaType)
	shown := "/attachment/" + kept[0].ID

	t.Run("shown to whoever is signed in", func(t *testing.T) {
		assert.Contains(t, w.browser().get(shown).location(t), "/login")
		page := w.as("ines").get(shown)
		assert.Equal(t, http.StatusOK, page.StatusCode)
		assert.Equal(t, "image/jpeg", page.Header.Get("Content-Type"))
		assert.Equal(t, "nosniff", page.Header.Get("X-Content-Type-Options"))
		assert.Contains(t, page.Header.Get("Content-Security-Policy"), "sandbox")
		assert.Equal(t, string(jpg), page.body)
		r, err := http.NewRequest(http.MethodGet, w.server.URL+shown, nil)
		require.NoError(t, err)
		r.Header.Set("If-None-Match", page.Header.Get("ETag"))
		assert.Equal(t, http.StatusNotModified, b.do(r).StatusCode)
		assert.Equal(t, http.StatusNotFound, b.get("/attachment/"+run.ID).StatusCode)
	})
	t.Run("the line and the file's record lead to it", func(t *testing.T) {
		assert.Contains(t, b.get(runURL(run.ID)).body, shown)
		page := b.get(recordURL(kept[0].ID))
		assert.Equal(t, http.StatusOK, page.StatusCode)
		assert.Contains(t, page.body, shown)
		assert.NotContains(t, page.body, "⟦")
	})
	t.Run("again it is the same", func(t *testing.T) {
		again := b.ask(b.photographed(at, "foam.jpg", jpg, "submission", "p1"))
		assert.True(t, again.Again)
		assert.Equal(t, 1, count[records.Attachment](t, w))
	})
	t.Run("a PNG in a plain form", func(t *testing.T) {
		page := b.do(b.photographed(at, "x.png", smallPicture(t, asPNG), "submission", "p2"))
		assert.Equal(t, runURL(run.ID), page.location(t))
		assert.Equal(t, 2, count[records.Attachment](t, w))
	})
	faults := []struct {
		name, want string
		photo      []byte
	}{
		{"none", "Choose a photo first", nil},
		{"an empty file", "Choose a photo first", []byte{}},
		{"HEIC", "HEIC", append([]byte{0, 0, 0, 24}, "ftypheic\x00\x00\x00\x00"...)},
		{"a page", "not a JPEG or PNG", []byte("<html><script>alert(1)</script>")},
		{"broken off", "did not arrive whole", jpg[:len(jpg)-20]},
		{"too many pixels", "million pixels", hugePNG(40000, 8)},
		{"too large", "larger than 24 MB", append(bytes.Clone(jpg), make([]byte, maxPhotoBytes)...)},
	}
	for _, fault := range faults {
		t.Run(fault.name, func(t *testing.T) {
			before := count[records.BoilEntry](t, w)
			got := b.ask(b.photographed(at, "x.jpg", fault.photo, "note", "kept words", "submission", fault.name))
			assert.Equal(t, http.StatusUnprocessableEntity, got.Status)
			assert.Contains(t, got.fault("photo"), fault.want)
			page := b.do(b.photographed(at, "x.jpg", fault.photo, "note", "kept words"))
			assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
			assert.Contains(t, page.body, "kept words", "what was typed stays")
			assert.Equal(t, before, count[records.BoilEntry](t, w))
		})
	}
	t.Run("a form that is no form of parts", func(t *testing.T) {
		got := b.tell(at, "note", "x")
		assert.Equal(t, http.StatusUnprocessableEntity, got.Status)
		assert.Contains(t, got.fault("photo"), "Choose a photo first")
	})
	t.Run("a file of another kind is saved, never shown", func(t *testing.T) {
		file := &records.Attachment{OfID: run.ID, At: testNow, Sort: records.AttachedLogger, Name: "log\".html", MediaType: "text/html"}
		require.NoError(t, w.store.Attach(context.Background(), records.Actor{PersonID: w.people["odell"]}, file, []byte("<script>alert(1)</script>")))
		page := b.get("/attachment/" + file.ID)
		assert.Equal(t, "application/octet-stream", page.Header.Get("Content-Type"))
		assert.Contains(t, page.Header.Get("Content-Disposition"), "attachment")
	})
}
