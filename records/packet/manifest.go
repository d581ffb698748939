package packet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/gowebpki/jcs"

	"canewright/records"
)

// The two files that list the others: the manifest, and the lines ordinary tools check (sha256sum -c).
const (
	manifestName = "manifest.json"
	sumsName     = "manifest.sha256"
)

// formatName names the shape of a packet; a later shape gets the next number.
const formatName = "canewright-packet/1"

// Manifest is a packet's list of itself: RFC 8785 JSON.
type Manifest struct {
	Format  string         `json:"format"`
	Program string         `json:"program"`
	MadeAt  string         `json:"made_at"` // RFC 3339, UTC
	MadeBy  string         `json:"made_by"`
	From    records.Day    `json:"from"`
	To      records.Day    `json:"to"`
	Head    ManifestHead   `json:"head"`
	Files   []ManifestFile `json:"files"`
}

// ManifestHead is where the house's journal stood when the packet was made.
type ManifestHead struct {
	Seq  int64  `json:"seq"`
	Hash string `json:"hash"`
}

// ManifestFile is one listed file.
type ManifestFile struct {
	Name   string `json:"name"`
	Size   int64  `json:"size"`
	SHA256 string `json:"sha256"`
}

// bytes is the manifest's file.
func (m Manifest) bytes() ([]byte, error) {
	body, err := json.Marshal(m)
	if err != nil {
		return nil, err
	}
	return jcs.Transform(body)
}

// parseManifest reads a manifest and refuses one that is not written exactly as this program writes it, so that nothing in
// it goes unread.
func parseManifest(body []byte) (Manifest, error) {
	var m Manifest
	if err := json.Unmarshal(body, &m); err != nil {
		return m, err
	}
	again, err := m.bytes()
	if err != nil {
		return m, err
	}
	if m.Format != formatName {
		return m, fmt.Errorf("format %q, expected %q", m.Format, formatName)
	}
	if !bytes.Equal(again, body) {
		return m, fmt.Errorf("not in its canonical form")
	}
	return m, nil
}

func (m Manifest) madeAt() (time.Time, error) { return time.Parse(time.RFC3339, m.MadeAt) }

// sums is the file of "hash  name" lines: every listed file and the manifest, in order of name.
func (m Manifest) sums(manifest []byte) []byte {
	files := append(slices.Clone(m.Files), ManifestFile{Name: manifestName, SHA256: hash(manifest)})
	slices.SortFunc(files, func(a, b ManifestFile) int { return strings.Compare(a.Name, b.Name) })
	var out strings.Builder
	for _, f := range files {
		fmt.Fprintf(&out, "%s  %s\n", f.SHA256, f.Name)
	}
	return []byte(out.String())
}

func hash(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

// seal lists the files and writes them with the list as one zip.
func seal(w io.Writer, m Manifest, files map[string][]byte) error {
	m.Format = formatName
	m.Files = nil
	for _, name := range sortedKeys(files) {
		m.Files = append(m.Files, ManifestFile{name, int64(len(files[name])), hash(files[name])})
	}
	body, err := m.bytes()
	if err != nil {
		return err
	}
	at, err := m.madeAt()
	if err != nil {
		return err
	}
	var entries []entry
	for _, name := range sortedKeys(files) {
		entries = append(entries, entryOf(name, files[name]))
	}
	entries = append(entries, entryOf(manifestName, body), entryOf(sumsName, m.sums(body)))
	return writeZip(w, entries, at, nil)
}
