package packet

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"io"
	"slices"
	"strings"
	"time"
)

// entry is one file of a zip.
type entry struct {
	Name string
	Size int64
	CRC  uint32
	open func() io.Reader
}

func entryOf(name string, body []byte) entry {
	return entry{name, int64(len(body)), crc32.ChecksumIEEE(body), func() io.Reader { return bytes.NewReader(body) }}
}

// writeZip writes entries in order of name, all with the same time, stored and not compressed: a later compressor would
// make other bytes of the same contents, and the check rebuilds the zip to compare every byte. began, when given, hears
// the name of each entry before its first byte, and "" before the directory at the end.
func writeZip(w io.Writer, entries []entry, at time.Time, began func(name string)) error {
	if began == nil {
		began = func(string) {}
	}
	entries = slices.Clone(entries)
	slices.SortFunc(entries, func(a, b entry) int { return strings.Compare(a.Name, b.Name) })
	out := zip.NewWriter(w)
	for _, e := range entries {
		if err := out.Flush(); err != nil {
			return err
		}
		began(e.Name)
		body, err := out.CreateRaw(header(e, at))
		if err != nil {
			return err
		}
		if _, err := io.Copy(body, e.open()); err != nil {
			return err
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	began("")
	return out.Close()
}

// header is given whole, so that sizes and checksum stand before the contents and no descriptor follows them: every
// ordinary tool can read that.
func header(e entry, at time.Time) *zip.FileHeader {
	const version = 20
	h := &zip.FileHeader{Name: e.Name, Method: zip.Store, CRC32: e.CRC, CompressedSize64: uint64(e.Size), UncompressedSize64: uint64(e.Size),
		CreatorVersion: version, ReaderVersion: version}
	h.ModifiedDate, h.ModifiedTime = dosTime(at) //lint:ignore SA1019 CreateRaw writes only these fields
	return h
}

// dosTime is a moment as a zip keeps it: in UTC, to two seconds, from 1980 on.
func dosTime(t time.Time) (date, clock uint16) {
	t = t.UTC()
	year := min(max(t.Year(), 1980), 2107)
	date = uint16(t.Day() + int(t.Month())<<5 + (year-1980)<<9)
	clock = uint16(t.Second()/2 + t.Minute()<<5 + t.Hour()<<11)
	return date, clock
}
