package packet

import (
	"context"
	"fmt"
	"io"
	"time"

	"canewright/records"
)

// Summary is what a packet holds.
type Summary struct {
	Lots   int // filled in the range
	Runs   int // up and down their chains
	Files  int // without the two lists
	Sheets int
	Head   records.HeadOf // of the journal, printed in the index and listed in the manifest
}

// attempts is how often a packet is begun again because somebody wrote while it was read.
const attempts = 3

// Write makes the packet of the lots filled in the range, with everything up and down their chains whatever its date, as one
// zip. The same records, range and options give the same bytes. Errors: records.Invalid for a range that is none,
// records.Conflict when people write faster than the packet is made.
func Write(ctx context.Context, store *records.Store, w io.Writer, between Range, opt Options) (Summary, error) {
	if err := between.check(); err != nil {
		return Summary{}, err
	}
	if opt.MadeAt.IsZero() {
		opt.MadeAt = store.Now()
	}
	opt.MadeAt = opt.MadeAt.UTC().Truncate(time.Second)
	for range attempts {
		before, err := records.JournalHead(ctx, store)
		if err != nil {
			return Summary{}, err
		}
		m := &maker{r: newReader(ctx, store), opt: opt, between: between, head: before, files: map[string][]byte{}}
		if err := m.make(); err != nil {
			return Summary{}, fmt.Errorf("packet %s to %s: %w", between.From, between.To, err)
		}
		after, err := records.JournalHead(ctx, store)
		if err != nil {
			return Summary{}, err
		}
		if after.Seq == before.Seq { // nothing was written between the first reading and the last
			return m.summary(), m.seal(w)
		}
	}
	return Summary{}, records.Conflict{Key: "packet.busy"}
}

// maker makes the files of one packet.
type maker struct {
	r       *reader
	opt     Options
	between Range
	head    records.HeadOf
	w       words
	c       *chain
	files   map[string][]byte
	lots    []lotFile
	sheets  int
}

func (m *maker) make() error {
	house := m.r.house()
	if m.r.err != nil {
		return m.r.err
	}
	m.w = words{m.opt.units(), m.opt.zone(house)}
	m.c = m.r.gather(m.between)
	for _, id := range m.c.Lots {
		m.lots = append(m.lots, m.r.lotFile(id))
	}
	for _, step := range []func() error{m.sheetFiles, m.logFiles, m.tableFiles, m.attachedFiles} {
		if err := step(); err != nil {
			return err
		}
		if m.r.err != nil {
			return m.r.err
		}
	}
	index, err := m.index(house)
	m.files["index.pdf"] = index
	return err
}

// sheetFiles draws a batch sheet for every run and lot of the chains.
func (m *maker) sheetFiles() error {
	for _, kind := range []records.Kind{records.KindRun, records.KindLot} {
		for _, id := range m.c.sorted(kind) {
			pdf, err := BatchSheet(m.r.ctx, m.r.src, id, m.opt)
			if err != nil {
				return err
			}
			m.files["sheets/"+m.r.name(id)+".pdf"] = pdf
			m.sheets++
		}
	}
	return nil
}

func (m *maker) csv(name string, head []string, rows [][]string) error {
	body, err := csvFile(head, rows)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	m.files[name] = body
	return nil
}

func (m *maker) logFiles() error {
	if err := m.csv("logs/boil_log.csv", boilLogHead, m.c.boilLog(m.w)); err != nil {
		return err
	}
	if err := m.csv("logs/fill_log.csv", fillLogHead, m.c.fillLog(m.w)); err != nil {
		return err
	}
	return m.csv("amendments.csv", amendmentsHead, m.c.amendmentRows(m.w))
}

func (m *maker) tableFiles() error {
	for _, t := range eventTables {
		if err := m.csv("tables/"+t.Name+".csv", t.Head, t.rows(m.c, m.w)); err != nil {
			return err
		}
	}
	for _, t := range tables {
		head, rows := m.c.plainTable(t, m.w)
		if len(rows) == 0 {
			continue // no record of this kind was touched
		}
		if err := m.csv("tables/records/"+string(t.Kind)+".csv", head, rows); err != nil {
			return err
		}
	}
	return nil
}

func (m *maker) summary() Summary {
	return Summary{Lots: len(m.c.Lots), Runs: len(m.c.sorted(records.KindRun)), Files: len(m.files), Sheets: m.sheets, Head: m.head}
}

func (m *maker) seal(w io.Writer) error {
	return seal(w, Manifest{Program: joined(" ", "canewright", m.opt.Version), MadeAt: m.opt.MadeAt.Format(time.RFC3339), MadeBy: m.opt.By,
		From: m.between.From, To: m.between.To, Head: ManifestHead{m.head.Seq, m.head.Hash}}, m.files)
}
