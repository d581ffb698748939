package records

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"time"
)

// LoggerImport is how a temperature logger's file is read into a run. The file is kept raw as an attachment and read anew
// each time by what stands here.
type LoggerImport struct {
	Row
	RunID             string
	AttachmentID      string
	InstrumentID      *string
	Unit              string // C or F
	Zone              string // IANA name of the zone of the logger's clock
	Separator         string // between columns: , ; or tab
	HeaderLines       int
	TimeColumn        int    // from 1
	TimeLayout        string // as Go writes it; a bar stands where the time of day is in the next column
	TemperatureColumn int
	Points            int // read from the whole file, as FirstAt and LastAt are
	FirstAt           time.Time
	LastAt            time.Time
	Note              string
}

// Validate checks a logger import.
func (l *LoggerImport) Validate() error {
	var c checks
	c.oneOf("unit", l.Unit, "C", "F")
	c.oneOf("separator", l.Separator, ",", ";", "\t")
	c.whole("header_lines", l.HeaderLines, 0, 200)
	c.whole("time_column", l.TimeColumn, 1, 200)
	c.whole("temperature_column", l.TemperatureColumn, 1, 200)
	c.need("time_layout", l.TimeLayout)
	c.whole("points", l.Points, 1, 1e6)
	c.moment("first_at", l.FirstAt)
	c.moment("last_at", l.LastAt)
	c.text("note", l.Note)
	if _, err := time.LoadLocation(l.Zone); err != nil || l.Zone == "" || l.Zone == "Local" {
		c.add("zone", "invalid.zone")
	}
	return c.err()
}

func (l *LoggerImport) refs() []ref {
	return []ref{to("run_id", l.RunID, KindRun), to("attachment_id", l.AttachmentID, KindAttachment),
		toOptional("instrument_id", l.InstrumentID, KindInstrument)}
}

// inspect reads the file as the import says: it is a logger's of this run, not read into it before, and what is said of its
// points is what stands in it.
func (l *LoggerImport) inspect(tx *Tx) error {
	file, err := Get[Attachment](tx.ctx, tx, l.AttachmentID)
	if err != nil {
		return err
	}
	if file.OfID != l.RunID || file.Sort != AttachedLogger {
		return Invalid{{"attachment_id", "invalid.pick", nil}}
	}
	if err := tx.readOnce(l, file.SHA256); err != nil {
		return err
	}
	raw, err := ContentOf(tx.ctx, tx, file)
	if err != nil {
		return err
	}
	series, err := ReadLogger(raw, *l)
	if err != nil {
		return err
	}
	if len(series.Points) == 0 || len(series.Unread) > series.MayMiss() {
		return Invalid{{"file", "logger.too_many_unread", []any{"Unread", len(series.Unread), "Lines", series.Lines}}}
	}
	l.Points = len(series.Points)
	l.FirstAt, l.LastAt = series.Span()
	return tx.notFuture("zone", l.LastAt)
}

// readOnce refuses a file that was read into the run before.
func (tx *Tx) readOnce(l *LoggerImport, sum string) error {
	others, err := List[LoggerImport](tx.ctx, tx, `run_id = ? AND id <> ? AND attachment_id IN (SELECT id FROM attachment_now WHERE sha256 = ?)`, l.RunID, l.ID, sum)
	if err == nil && len(others) > 0 {
		err = Invalid{{"file", "logger.twice", []any{"When", others[0].WrittenAt}}}
	}
	return err
}

// ImportLogger keeps a logger's file with a run and how it is read. A file that is kept already, because its import was taken
// back, is not kept again. Errors: Invalid, Already, those of ReadLogger.
func (s *Store) ImportLogger(ctx context.Context, who Actor, l *LoggerImport, file *Attachment, raw []byte) error {
	series, err := ReadLogger(raw, *l)
	if err != nil {
		return err
	}
	l.Points = len(series.Points)
	l.FirstAt, l.LastAt = series.Span()
	return s.change(ctx, who, func(tx *Tx) error {
		if err := tx.touchesRun(l.RunID, series); err != nil {
			return err
		}
		sum := sha256.Sum256(raw)
		kept, err := List[Attachment](ctx, tx, "of_id = ? AND sort = ? AND sha256 = ? ORDER BY id LIMIT 1", l.RunID, AttachedLogger, hex.EncodeToString(sum[:]))
		if err != nil {
			return err
		}
		if len(kept) > 0 {
			*file = kept[0]
		} else {
			file.OfID, file.Sort, file.At = l.RunID, AttachedLogger, tx.at
			if err := tx.attach(file, raw); err != nil {
				return err
			}
		}
		l.AttachmentID = file.ID
		return tx.put(l, "")
	})
}

// touchesRun refuses a file of which nothing was read while the run was on the fire: another day's, or another zone's.
func (tx *Tx) touchesRun(runID string, series LoggerSeries) error {
	run, err := Get[Run](tx.ctx, tx, runID)
	if err != nil {
		return err
	}
	to := tx.at
	end, err := drawnOff(tx.ctx, tx, runID)
	if err != nil {
		return err
	}
	if end != nil {
		to = end.At
	}
	first, last := series.Span()
	if in, _, _ := series.Within(run.FireLitAt, to); len(in) == 0 {
		return Invalid{{"zone", "logger.not_this_run", []any{"First", first, "Last", last, "Lit", run.FireLitAt, "End", to}}}
	}
	return nil
}

// LoggersOf lists what loggers' files were read into a run, in order of time, with the files.
func LoggersOf(ctx context.Context, src Source, runID string) ([]LoggerImport, map[string]Attachment, error) {
	imports, err := List[LoggerImport](ctx, src, "run_id = ? ORDER BY first_at, id", runID)
	if err != nil || len(imports) == 0 {
		return nil, nil, err
	}
	ids := make([]string, len(imports))
	for i, l := range imports {
		ids[i] = l.AttachmentID
	}
	list, err := ListIDs[Attachment](ctx, src, "id", ids)
	files := map[string]Attachment{}
	for _, f := range list {
		files[f.ID] = f
	}
	return imports, files, err
}

// loggedMost is how many points of one file a run's page and estimate are given; of a longer file every stretch gives its
// lowest and its highest (our choice, no source).
const loggedMost = 600

// loggedIn reads the points of a run from its loggers' files, those between the fire being lit and the end.
func (l BoilLog) loggedIn(ctx context.Context, src Source) ([]LoggedPoint, error) {
	imports, files, err := LoggersOf(ctx, src, l.Run.ID)
	if err != nil {
		return nil, err
	}
	var points []LoggedPoint
	for _, from := range imports {
		file, ok := files[from.AttachmentID]
		if !ok {
			return nil, fmt.Errorf("logger import %s: its file %s was struck", from.ID, from.AttachmentID)
		}
		key := loggedKey{importID: from.ID, revision: from.Revision, sum: file.SHA256, from: l.Run.FireLitAt}
		if l.DrawnOff != nil {
			key.end = l.DrawnOff.At
		}
		of, err := loggedCacheOf(src).get(key, func() ([]LoggedPoint, error) { return l.readLogged(ctx, src, from, file) })
		if err != nil {
			return nil, err
		}
		points = append(points, of...)
	}
	slices.SortStableFunc(points, func(a, b LoggedPoint) int { return a.At.Compare(b.At) })
	return points, nil
}

// readLogged reads the points of a run from one file.
func (l BoilLog) readLogged(ctx context.Context, src Source, from LoggerImport, file Attachment) ([]LoggedPoint, error) {
	raw, err := ContentOf(ctx, src, file)
	if err != nil {
		return nil, err
	}
	series, err := ReadLogger(raw, from)
	if err != nil {
		return nil, fmt.Errorf("logger import %s: %w", from.ID, err)
	}
	return l.LoggedFrom(series, from.InstrumentID), nil
}

// LoggedFrom is what a series says of a run: its points while the run was on the fire, thinned.
func (l BoilLog) LoggedFrom(series LoggerSeries, instrument *string) []LoggedPoint {
	to := l.Run.FireLitAt.AddDate(100, 0, 0)
	if l.DrawnOff != nil {
		to = l.DrawnOff.At
	}
	in, _, _ := series.Within(l.Run.FireLitAt, to)
	in = thinned(in, loggedMost)
	points := make([]LoggedPoint, len(in))
	for i, p := range in {
		points[i] = LoggedPoint{At: p.At, Temperature: p.Temperature, InstrumentID: instrument}
	}
	return points
}

// thinned keeps the lowest and the highest of every stretch, and the first and the last of all.
func thinned(points []LoggerPoint, most int) []LoggerPoint {
	if len(points) <= most {
		return points
	}
	stretches := most/2 - 1
	kept := []LoggerPoint{points[0]}
	for i := range stretches {
		part := points[i*len(points)/stretches : (i+1)*len(points)/stretches]
		byHeat := func(a, b LoggerPoint) int { return cmp.Compare(a.Temperature, b.Temperature) }
		low, high := slices.MinFunc(part, byHeat), slices.MaxFunc(part, byHeat)
		if high.Line < low.Line {
			low, high = high, low
		}
		kept = append(kept, low)
		if high.Line != low.Line {
			kept = append(kept, high)
		}
	}
	kept = append(kept, points[len(points)-1])
	return slices.CompactFunc(kept, func(a, b LoggerPoint) bool { return a.Line == b.Line })
}
