package app

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// burning is a house with as many runs on the fire as it has kettles, by the machine's own clock.
func burning(b *testing.B, kettles int) (*testHouse, []records.Run) {
	b.Helper()
	h := newHouseAt(b, time.Now)
	runs := make([]records.Run, kettles)
	for i := range runs {
		kettle := &records.Kettle{SiteID: h.site, Number: i + 1, Name: fmt.Sprintf("Kettle %d", i+1)}
		h.write(kettle)
		runs[i] = records.Run{KettleID: kettle.ID, FireLitAt: time.Now().Add(-3 * time.Hour)}
		require.NoError(b, h.store.StartRun(context.Background(), records.Actor{PersonID: h.people["odell"]}, &runs[i], nil))
	}
	return h, runs
}

// hot is one temperature of the log.
func hot(run records.Run, token string) (*records.BoilEntry, []string) {
	t := syrup.Celsius(104.5)
	return &records.BoilEntry{RunID: run.ID, At: time.Now(), What: records.EntryTemperature, Temperature: &t, TemperatureEntered: "220.1 F"},
		[]string{"temperature", "220.1", "temperature_unit", "F", "submission", token}
}

// handled posts an entry straight to the handler, as a page's script would, without a network.
func (h *testHouse) handled(b *testing.B, cookie *http.Cookie, path string, pairs []string) {
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	r.AddCookie(cookie)
	got := httptest.NewRecorder()
	h.app.Handler().ServeHTTP(got, r)
	if got.Code != http.StatusOK {
		b.Fatal(got.Code, got.Body.String())
	}
}

// benchRuns is how many runs share the entries of the benchmark, so that no log grows longer than that of a real boil.
const benchRuns = 20

// BenchmarkEntryOnDisk is one temperature of the boil log, acknowledged on disk: through the store, and through the handler
// with session, form and answer. The baseline, in the same run and folder, is a bare write and fsync of as many bytes as an
// entry adds to the database's log.
func BenchmarkEntryOnDisk(b *testing.B) {
	h, runs := burning(b, benchRuns)
	at, err := url.Parse(h.server.URL)
	require.NoError(b, err)
	cookie := h.as("odell").client.Jar.Cookies(at)[0]
	who := records.Actor{PersonID: h.people["odell"]}
	n := 0
	store := func(token string) {
		entry, _ := hot(runs[n%benchRuns], token)
		who.Submission = token
		require.NoError(b, h.store.Write(context.Background(), who, entry))
	}
	size := h.logGrowth(b, store)
	file, err := os.Create(filepath.Join(h.data, "bare"))
	require.NoError(b, err)
	defer file.Close()
	bare := make([]byte, size)
	var fsync, stored, handled time.Duration
	for b.Loop() {
		fsync += timed(func() { _, err = file.Write(bare); require.NoError(b, err); require.NoError(b, file.Sync()) })
		stored += timed(func() { store(fmt.Sprintf("s%d", n)) })
		_, typed := hot(runs[n%benchRuns], fmt.Sprintf("h%d", n))
		handled += timed(func() { h.handled(b, cookie, runURL(runs[n%benchRuns].ID)+"/temperature", typed) })
		n++
	}
	b.ReportMetric(float64(size), "bytes/entry")
	b.ReportMetric(micro(fsync)/float64(n), "µs/fsync")
	b.ReportMetric(float64(stored)/float64(fsync), "store/fsync")
	b.ReportMetric(float64(handled)/float64(fsync), "handler/fsync")
}

func timed(do func()) time.Duration {
	start := time.Now()
	do()
	return time.Since(start)
}

func micro(d time.Duration) float64 { return float64(d) / float64(time.Microsecond) }

// logGrowth is how many bytes an entry adds to the database's write-ahead log, over twenty of them.
func (h *testHouse) logGrowth(b *testing.B, write func(string)) int64 {
	log := filepath.Join(h.data, records.DatabaseFile+"-wal")
	size := func() int64 {
		info, err := os.Stat(log)
		require.NoError(b, err)
		return info.Size()
	}
	least := int64(0) // the log may start anew in between
	for i := range 20 {
		before := size()
		write(fmt.Sprintf("g%d", i))
		if grown := size() - before; grown > 0 && (least == 0 || grown < least) {
			least = grown
		}
	}
	require.Positive(b, least)
	return least
}

// ear is a bare connection that listens to the stream: as little of a phone as can be.
type ear struct {
	conn  net.Conn
	lines *bufio.Reader
}

// listenBare opens the stream over a bare connection and reads up to the first event after hello.
func (h *testHouse) listenBare(b *testing.B, cookie *http.Cookie, run string) *ear {
	conn, err := net.Dial("tcp", h.server.Listener.Addr().String())
	require.NoError(b, err)
	b.Cleanup(func() { conn.Close() })
	_, err = fmt.Fprintf(conn, "GET %s?run=%s HTTP/1.1\r\nHost: bench\r\nCookie: %s=%s\r\n\r\n", streamPath, run, cookie.Name, cookie.Value)
	require.NoError(b, err)
	e := &ear{conn, bufio.NewReaderSize(conn, 512)}
	require.NoError(b, e.event())
	return e
}

// event reads to the end of an event that tells of a run.
func (e *ear) event() error {
	for {
		line, err := e.lines.ReadSlice('\n')
		if err != nil {
			return err
		}
		if bytes.HasPrefix(line, []byte("data: {\"run\"")) {
			return nil
		}
	}
}

const (
	benchPhones  = 50
	benchKettles = 5
)

// BenchmarkFiftyPhones has fifty phones watch five kettles, ten each. It measures from the moment an entry is acknowledged on
// disk until each of the ten phones has the event, and until each has the live part of the page as well; and the memory of a
// watching phone, the bare client's end of the connection included. The baseline, in the same run, is the same bytes written to
// ten bare connections.
func BenchmarkFiftyPhones(b *testing.B) {
	h, runs := burning(b, benchKettles)
	at, err := url.Parse(h.server.URL)
	require.NoError(b, err)
	phone := h.as("odell")
	cookie := phone.client.Jar.Cookies(at)[0]
	before := inUse()
	ears := make([]*ear, benchPhones)
	for i := range ears {
		ears[i] = h.listenBare(b, cookie, runs[i%benchKettles].ID)
	}
	perPhone := float64(inUse()-before) / benchPhones / 1024
	bare := newBareFan(b, benchPhones/benchKettles)
	var told, shown, base []time.Duration
	for i := 0; b.Loop(); i++ {
		run := runs[i%benchKettles]
		base = append(base, bare.send(b)...)
		entry, _ := hot(run, "")
		require.NoError(b, h.store.Write(context.Background(), records.Actor{PersonID: h.people["odell"]}, entry))
		acknowledged := time.Now()
		t, s := h.delivered(b, phone, ears, i%benchKettles, run, acknowledged)
		told, shown = append(told, t...), append(shown, s...)
	}
	b.ReportMetric(perPhone, "KiB/phone")
	b.ReportMetric(micro(quantile(told, 0.5)), "µs-told-p50")
	b.ReportMetric(micro(quantile(told, 0.99)), "µs-told-p99")
	b.ReportMetric(micro(quantile(shown, 0.99)), "µs-shown-p99")
	b.ReportMetric(float64(quantile(told, 0.5))/float64(quantile(base, 0.5)), "told/bare-p50")
	b.ReportMetric(float64(quantile(told, 0.99))/float64(quantile(base, 0.99)), "told/bare-p99")
}

// delivered waits for the phones of one kettle: when each was told, and when each had the live part.
func (h *testHouse) delivered(b *testing.B, phone *browser, ears []*ear, kettle int, run records.Run, from time.Time) (told, shown []time.Duration) {
	var mu sync.Mutex
	var all sync.WaitGroup
	for i := kettle; i < len(ears); i += benchKettles {
		all.Go(func() {
			if err := ears[i].event(); err != nil {
				b.Error(err)
				return
			}
			heard := max(0, time.Since(from))
			page := phone.get(runURL(run.ID) + "/live")
			seen := time.Since(from)
			if page.StatusCode != http.StatusOK {
				b.Error(page.Status)
			}
			mu.Lock()
			told, shown = append(told, heard), append(shown, seen)
			mu.Unlock()
		})
	}
	all.Wait()
	return told, shown
}

// inUse is the memory in use after a collection, heap and stacks.
func inUse() int64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc + m.StackInuse)
}

func quantile(d []time.Duration, q float64) time.Duration {
	slices.Sort(d)
	return d[min(len(d)-1, int(q*float64(len(d))))]
}

// bareFan is a few bare connections of this machine to itself.
type bareFan struct{ near, far []net.Conn }

func newBareFan(b *testing.B, n int) bareFan {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	defer listener.Close()
	var fan bareFan
	for range n {
		near, err := net.Dial("tcp", listener.Addr().String())
		require.NoError(b, err)
		far, err := listener.Accept()
		require.NoError(b, err)
		b.Cleanup(func() { near.Close(); far.Close() })
		fan.near, fan.far = append(fan.near, near), append(fan.far, far)
	}
	return fan
}

// bareEvent is as long as an event of the stream.
var bareEvent = []byte("id: 12345\nevent: kettle\ndata: {\"run\":\"01KBWPY760YHFJ75GCYZW0C70E\",\"seq\":12345}\n\n")

// send writes one event to each and says when each had it.
func (f bareFan) send(b *testing.B) []time.Duration {
	took := make([]time.Duration, len(f.near))
	var all sync.WaitGroup
	start := time.Now()
	for i, conn := range f.far {
		all.Go(func() {
			got := make([]byte, len(bareEvent))
			for n := 0; n < len(got); {
				m, err := conn.Read(got[n:])
				if err != nil {
					b.Error(err)
					return
				}
				n += m
			}
			took[i] = time.Since(start)
		})
	}
	for _, conn := range f.near {
		if _, err := conn.Write(bareEvent); err != nil {
			b.Fatal(err)
		}
	}
	all.Wait()
	return took
}
