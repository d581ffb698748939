package app

import (
	"errors"
	"io"
	"net/http"
	"sync"
	"time"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// Bounds of loggers' files, and of those that wait to be kept (our choices, no source).
const (
	maxLoggerBytes = 10 << 20
	waitingMost    = 6
	waitingFor     = time.Hour
)

// waitingFile is a logger's file that was sent and is not kept yet.
type waitingFile struct {
	token, run, person, name string
	raw                      []byte
	at                       time.Time
}

// waitingFiles hold files in memory between two steps. Nothing of them is on the disk: whoever goes away leaves nothing
// half kept, and after a restart the file is chosen again.
type waitingFiles struct {
	mu    sync.Mutex
	files []waitingFile
}

// put keeps a file and gives its token; the oldest make room.
func (w *waitingFiles) put(f waitingFile) string {
	w.mu.Lock()
	defer w.mu.Unlock()
	f.token = newToken()
	w.files = append(w.files, f)
	for len(w.files) > waitingMost || len(w.files) > 0 && f.at.Sub(w.files[0].at) > waitingFor {
		w.files[0].raw = nil
		w.files = w.files[1:]
	}
	return f.token
}

// get gives a file to whoever sent it, for the run it was sent for.
func (w *waitingFiles) get(token, run, person string, now time.Time) (waitingFile, bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, f := range w.files {
		if f.token == token && f.run == run && f.person == person && now.Sub(f.at) <= waitingFor {
			return f, true
		}
	}
	return waitingFile{}, false
}

// drop forgets a file.
func (w *waitingFiles) drop(token string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for i, f := range w.files {
		if f.token == token {
			w.files = append(w.files[:i:i], w.files[i+1:]...)
			return
		}
	}
}

// postedFile gives name and bytes of the posted part "file", up to maxLoggerBytes. What is wrong with it is Invalid.
func postedFile(c *gin.Context) (string, []byte, error) {
	wrong := func(key string, args ...any) error {
		return records.Invalid{{Field: "file", Key: key, Args: args}}
	}
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxLoggerBytes+maxFormPart)
	reader, err := c.Request.MultipartReader()
	if err != nil {
		return "", nil, wrong("logger.none")
	}
	for {
		part, err := reader.NextPart()
		switch {
		case errors.Is(err, io.EOF):
			return "", nil, wrong("logger.none")
		case errors.As(err, new(*http.MaxBytesError)):
			return "", nil, wrong("logger.too_large", "Most", maxLoggerBytes>>20)
		case err != nil:
			return "", nil, wrong("logger.broken")
		case part.FormName() != "file":
			continue
		}
		raw, err := io.ReadAll(part)
		switch {
		case errors.As(err, new(*http.MaxBytesError)) || len(raw) > maxLoggerBytes:
			return "", nil, wrong("logger.too_large", "Most", maxLoggerBytes>>20)
		case err != nil:
			return "", nil, wrong("logger.broken")
		case len(raw) == 0 && part.FileName() == "":
			return "", nil, wrong("logger.none")
		}
		name := fileName(part.FileName())
		if part.FileName() == "" {
			name = "logger.csv"
		}
		return name, raw, nil
	}
}

// loggerFault says what a file cannot be; nil for other errors.
func loggerFault(err error) error {
	key := ""
	switch {
	case errors.Is(err, records.ErrLoggerEmpty):
		key = "logger.empty"
	case errors.Is(err, records.ErrLoggerWorkbook):
		key = "logger.workbook"
	case errors.Is(err, records.ErrLoggerBinary):
		key = "logger.binary"
	default:
		return nil
	}
	return records.Invalid{{Field: "file", Key: key}}
}
