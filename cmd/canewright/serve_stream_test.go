package main

import (
	"bufio"
	"io"
	"net/url"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestServeStopsWithWatchers: pages that watch the kettle do not keep the program from stopping, and their streams end.
func TestServeStopsWithWatchers(t *testing.T) {
	s := serves(t, newHouseFlags(t, filepath.Join(t.TempDir(), "house"))...)
	client := browser(t)
	in, err := client.PostForm(s.url+"login", url.Values{"login": {"ann"}, "password": {"a kettle of juice"}})
	require.NoError(t, err)
	in.Body.Close()
	stream, err := client.Get(s.url + "kettle/stream")
	require.NoError(t, err)
	defer stream.Body.Close()
	require.Equal(t, "text/event-stream; charset=utf-8", stream.Header.Get("Content-Type"))
	lines := bufio.NewReader(stream.Body)
	first, err := lines.ReadString('\n')
	require.NoError(t, err)
	assert.Equal(t, "retry: 2000\n", first)
	start := time.Now()
	assert.Equal(t, exitDone, s.stop())
	assert.Less(t, time.Since(start), 10*time.Second, "less than the program waits for what is being answered")
	_, err = io.Copy(io.Discard, lines)
	assert.NoError(t, err, "the stream ended, it was not cut off")
}
