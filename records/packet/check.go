package packet

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"slices"

	"canewright/hazards/text"
)

// ErrNotPacket is wrapped when a file is no packet of this program at all.
var ErrNotPacket = errors.New("not a packet of this program")

// Problem is one thing wrong with a packet: the file inside it, and the catalogue key of what is wrong.
type Problem struct {
	File string // blank: the zip itself
	Key  string
	Args []any
}

// Say words the problem.
func (p Problem) Say(lang text.Language) string {
	file := p.File
	if file == "" {
		file = text.Say(lang, "packet.check.zip")
	}
	return file + ": " + text.Say(lang, p.Key, p.Args...)
}

// CheckReport is what checking found.
type CheckReport struct {
	Manifest Manifest // as far as it could be read
	Problems []Problem
}

// OK says whether the packet matches its own list in every byte.
func (r CheckReport) OK() bool { return len(r.Problems) == 0 }

// Say words the result. A packet shows change, not who made it: whoever can write a packet can write its list too, so the
// head is compared with one that left the house on paper.
func (r CheckReport) Say(lang text.Language) string {
	if !r.OK() {
		return text.Say(lang, "packet.check.differs", "Problem", r.Problems[0].Say(lang))
	}
	return text.Say(lang, "packet.check.matches", "Seq", r.Manifest.Head.Seq, "Hash", r.Manifest.Head.Hash)
}

// Check verifies a packet: every file listed and none besides, every size and hash, the manifest and its lines of sums, and
// then every other byte of the zip by building it again. Errors: ErrNotPacket, or that of reading.
func Check(r io.ReaderAt, size int64) (CheckReport, error) {
	c := &checker{r: r, size: size}
	archive, err := zip.NewReader(r, size)
	if err != nil {
		return c.damaged(err)
	}
	if err := c.open(archive); err != nil {
		return CheckReport{}, err
	}
	c.manifest()
	if c.report.Manifest.Format == formatName {
		c.listed()
		c.rebuild()
	}
	return c.report, c.err
}

type checker struct {
	r      io.ReaderAt
	size   int64
	files  []found
	report CheckReport
	err    error // of reading
}

// found is a file as it stands in the zip.
type found struct {
	entry
	sha string
}

func (c *checker) problem(file, key string, args ...any) {
	c.report.Problems = append(c.report.Problems, Problem{file, key, args})
}

// damaged tells a packet whose directory cannot be read from a file that never was a zip.
func (c *checker) damaged(cause error) (CheckReport, error) {
	first := make([]byte, 4)
	if _, err := c.r.ReadAt(first, 0); err != nil && !errors.Is(err, io.EOF) {
		return c.report, err
	}
	last := make([]byte, min(c.size, 64))
	if _, err := c.r.ReadAt(last, c.size-int64(len(last))); err != nil && !errors.Is(err, io.EOF) {
		return c.report, err
	}
	if !bytes.Equal(first, []byte("PK\x03\x04")) && !bytes.Contains(last, []byte("PK\x05\x06")) {
		return c.report, fmt.Errorf("%w: it is not a zip", ErrNotPacket)
	}
	c.problem("", "packet.check.directory", "Cause", cause.Error())
	return c.report, nil
}

// open reads where every file stands and hashes its contents.
func (c *checker) open(archive *zip.Reader) error {
	known := false
	for _, f := range archive.File {
		known = known || f.Name == manifestName || f.Name == sumsName
	}
	if !known {
		return fmt.Errorf("%w: it has no %s", ErrNotPacket, manifestName)
	}
	for _, f := range archive.File {
		if slices.ContainsFunc(c.files, func(o found) bool { return o.Name == f.Name }) {
			c.problem(f.Name, "packet.check.twice")
			continue
		}
		offset, err := f.DataOffset()
		end := int64(f.CompressedSize64)
		if err != nil || f.Method != zip.Store || f.CompressedSize64 != f.UncompressedSize64 || end < 0 || offset+end > c.size {
			c.problem(f.Name, "packet.check.stored_otherwise")
			continue
		}
		c.hash(f.Name, io.NewSectionReader(c.r, offset, end))
	}
	return c.err
}

func (c *checker) hash(name string, body *io.SectionReader) {
	sha, crc := sha256.New(), crc32.NewIEEE()
	if _, err := io.Copy(io.MultiWriter(sha, crc), body); err != nil {
		c.err = fmt.Errorf("read %s: %w", name, err)
		return
	}
	open := func() io.Reader { return io.NewSectionReader(body, 0, body.Size()) }
	c.files = append(c.files, found{entry{name, body.Size(), crc.Sum32(), open}, hex.EncodeToString(sha.Sum(nil))})
}

func (c *checker) file(name string) *found {
	for i := range c.files {
		if c.files[i].Name == name {
			return &c.files[i]
		}
	}
	return nil
}

// maxManifest is the largest list that is read: some 300,000 files.
const maxManifest = 64 << 20

// manifest reads the list and holds it to the lines of sums.
func (c *checker) manifest() {
	var bodies [2][]byte
	for i, name := range []string{manifestName, sumsName} {
		f := c.file(name)
		if f == nil || f.Size > maxManifest {
			c.problem(name, "packet.check.missing")
			continue
		}
		body, err := io.ReadAll(f.open())
		if err != nil {
			c.err = err
			return
		}
		bodies[i] = body
	}
	if bodies[0] == nil {
		return
	}
	m, err := parseManifest(bodies[0])
	if err != nil {
		c.problem(manifestName, "packet.check.unreadable", "Cause", err.Error())
	}
	c.report.Manifest = m
	if want := m.sums(bodies[0]); bodies[1] != nil && !bytes.Equal(want, bodies[1]) {
		name := sumsName
		if !bytes.Contains(bodies[1], []byte(hash(bodies[0])+"  "+manifestName+"\n")) {
			name = manifestName
		}
		c.problem(name, "packet.check.sums")
	}
}

// listed compares what is in the zip with what is on the list.
func (c *checker) listed() {
	names := map[string]bool{manifestName: true, sumsName: true}
	for _, want := range c.report.Manifest.Files {
		if names[want.Name] {
			c.problem(want.Name, "packet.check.twice")
		}
		names[want.Name] = true
		switch got := c.file(want.Name); {
		case got == nil:
			c.problem(want.Name, "packet.check.missing")
		case got.Size != want.Size || got.sha != want.SHA256:
			c.problem(want.Name, "packet.check.changed")
		}
	}
	for _, f := range c.files {
		if !names[f.Name] {
			c.problem(f.Name, "packet.check.extra")
		}
	}
}

// rebuild writes the zip again from its contents and compares every byte, so that a change outside any contents (a date,
// a name in the directory, something hidden between or behind) is found as well. What the list already found is enough.
func (c *checker) rebuild() {
	at, err := c.report.Manifest.madeAt()
	if err != nil {
		c.problem(manifestName, "packet.check.unreadable", "Cause", err.Error())
	}
	if len(c.report.Problems) > 0 || c.err != nil {
		return
	}
	var entries []entry
	for _, f := range c.files {
		entries = append(entries, f.entry)
	}
	same := &comparer{r: c.r}
	err = writeZip(same, entries, at, func(name string) { same.in = name })
	switch {
	case errors.Is(err, errDiffers):
		c.problem(same.in, "packet.check.between")
	case err != nil:
		c.err = err
	case same.at != c.size:
		c.problem("", "packet.check.behind", "Bytes", c.size-same.at)
	}
}

var errDiffers = errors.New("bytes differ")

// comparer is a writer that compares what is written with a file.
type comparer struct {
	r  io.ReaderAt
	at int64
	in string
}

func (c *comparer) Write(p []byte) (int, error) {
	there := make([]byte, len(p))
	if _, err := c.r.ReadAt(there, c.at); err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	if !bytes.Equal(there, p) {
		return 0, errDiffers
	}
	c.at += int64(len(p))
	return len(p), nil
}
