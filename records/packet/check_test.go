package packet

import (
	"archive/zip"
	"bytes"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"
	"time"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
)

func checked(t testing.TB, body []byte) CheckReport {
	t.Helper()
	report, err := Check(bytes.NewReader(body), int64(len(body)))
	require.NoError(t, err)
	return report
}

// small is a packet of two short files, so that every one of its bytes can be changed.
func small(t testing.TB) []byte {
	t.Helper()
	var out bytes.Buffer
	m := Manifest{Program: "canewright test", MadeAt: time.Date(2026, 1, 5, 9, 30, 0, 0, time.UTC).Format(time.RFC3339), MadeBy: "Ada Quill", From: "2025-12-07", To: "2025-12-08",
		Head: ManifestHead{83, strings.Repeat("0c", 32)}}
	require.NoError(t, seal(&out, m, map[string][]byte{"amendments.csv": []byte("a,b\r\n1,2\r\n"), "tables/cut.csv": []byte("id\r\n")}))
	return out.Bytes()
}

func TestCheckMatches(t *testing.T) {
	h := newSeason(t)
	body, summary := packetOf(t, h, theDays, Options{By: "Ada Quill"})
	report := checked(t, body)
	assert.True(t, report.OK(), "%v", report.Problems)
	assert.Equal(t, summary.Head.Hash, report.Manifest.Head.Hash)
	assert.Equal(t, "Ada Quill", report.Manifest.MadeBy)
	said := report.Say(text.English)
	assert.Contains(t, said, "matches its own list; compare the head hash with the printed one")
	assert.Contains(t, said, summary.Head.Hash)
}

// Every bit of a small packet, its headers, names, dates, sums and directory included.
func TestCheckFindsEveryBit(t *testing.T) {
	body := small(t)
	require.True(t, checked(t, body).OK())
	for i := range body {
		for bit := range 8 {
			body[i] ^= 1 << bit
			report, err := Check(bytes.NewReader(body), int64(len(body)))
			require.NoError(t, err, "byte %d, bit %d: a damaged packet is still known as one", i, bit)
			require.False(t, report.OK(), "byte %d, bit %d", i, bit)
			body[i] ^= 1 << bit
		}
	}
}

// A changed byte in the contents of a file of a whole season's packet is found, and the file is named.
func TestCheckNamesTheFile(t *testing.T) {
	h := newSeason(t)
	body, _ := packetOf(t, h, theDays, Options{})
	archive, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(1, 2))
	for _, f := range archive.File {
		start, err := f.DataOffset()
		require.NoError(t, err)
		for range 3 {
			i := start + random.Int64N(int64(f.UncompressedSize64))
			was := body[i]
			body[i] ^= byte(1 + random.IntN(255))
			report := checked(t, body)
			require.NotEmpty(t, report.Problems, "%s, byte %d", f.Name, i)
			var named []string
			for _, p := range report.Problems {
				named = append(named, p.File)
			}
			assert.Contains(t, named, f.Name)
			assert.Contains(t, report.Say(text.English), "does not match its own list")
			body[i] = was
		}
	}
	for range 200 {
		i := random.IntN(len(body))
		body[i]++
		require.False(t, checked(t, body).OK(), "byte %d", i)
		body[i]--
	}
	assert.True(t, checked(t, body).OK())
}

func TestCheckFinds(t *testing.T) {
	body := small(t)
	files := unpacked(t, body)
	at := time.Date(2026, 1, 5, 9, 30, 0, 0, time.UTC)
	zipped := func(change func(files map[string][]byte)) []byte {
		copied := map[string][]byte{}
		for name, file := range files {
			copied[name] = file
		}
		change(copied)
		var entries []entry
		for name, file := range copied {
			entries = append(entries, entryOf(name, file))
		}
		var out bytes.Buffer
		require.NoError(t, writeZip(&out, entries, at, nil))
		return out.Bytes()
	}
	require.Equal(t, body, zipped(func(map[string][]byte) {}))
	tests := []struct {
		name, file, key string
		body            []byte
	}{
		{"file taken out", "amendments.csv", "packet.check.missing", zipped(func(f map[string][]byte) { delete(f, "amendments.csv") })},
		{"file added", "tables/more.csv", "packet.check.extra", zipped(func(f map[string][]byte) { f["tables/more.csv"] = []byte("x") })},
		{"file changed", "tables/cut.csv", "packet.check.changed", zipped(func(f map[string][]byte) { f["tables/cut.csv"] = []byte("ix\r\n") })},
		{"file made longer", "tables/cut.csv", "packet.check.changed", zipped(func(f map[string][]byte) { f["tables/cut.csv"] = []byte("id\r\nx") })},
		{"no manifest", manifestName, "packet.check.missing", zipped(func(f map[string][]byte) { delete(f, manifestName) })},
		{"no sums", sumsName, "packet.check.missing", zipped(func(f map[string][]byte) { delete(f, sumsName) })},
		{"head changed in the manifest", manifestName, "packet.check.sums", zipped(func(f map[string][]byte) {
			f[manifestName] = bytes.Replace(f[manifestName], []byte("0c0c"), []byte("0d0c"), 1)
		})},
		{"space in the manifest", manifestName, "packet.check.unreadable", zipped(func(f map[string][]byte) { f[manifestName] = append([]byte(" "), f[manifestName]...) })},
		{"sums changed", sumsName, "packet.check.sums", zipped(func(f map[string][]byte) { f[sumsName] = append([]byte("0"), f[sumsName][1:]...) })},
		{"bytes behind the end", "", "packet.check.behind", append(bytes.Clone(body), "more"...)},
		{"bytes before the start", "amendments.csv", "packet.check.between", append([]byte("before"), body...)},
		{"cut short", "", "packet.check.directory", body[:len(body)/2]},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			report := checked(t, test.body)
			require.NotEmpty(t, report.Problems)
			assert.Equal(t, test.file, report.Problems[0].File)
			assert.Equal(t, test.key, report.Problems[0].Key)
			assert.NotContains(t, report.Say(text.English), "⟦")
		})
	}
}

// Compressed by an ordinary tool, the contents are the same and the packet is not.
func TestCheckFindsRepacking(t *testing.T) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for name, file := range unpacked(t, small(t)) {
		f, err := w.Create(name)
		require.NoError(t, err)
		_, err = f.Write(file)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	assert.Equal(t, "packet.check.stored_otherwise", checked(t, out.Bytes()).Problems[0].Key)
}

func TestCheckRefusesOtherFiles(t *testing.T) {
	var other bytes.Buffer
	w := zip.NewWriter(&other)
	_, err := w.Create("letter.txt")
	require.NoError(t, err)
	require.NoError(t, w.Close())
	for name, body := range map[string][]byte{"empty": nil, "text": []byte("dear inspector"), "PDF": []byte("%PDF-1.3 and more of it"), "another zip": other.Bytes()} {
		t.Run(name, func(t *testing.T) {
			_, err := Check(bytes.NewReader(body), int64(len(body)))
			assert.ErrorIs(t, err, ErrNotPacket)
		})
	}
}

// Independent tools read the zip and check the sums.
func TestOrdinaryToolsCheck(t *testing.T) {
	toolcheck.Need(t, "python3", "sha256sum")
	h := newSeason(t)
	body, _ := packetOf(t, h, theDays, Options{})
	folder := t.TempDir()
	out, err := exec.Command("python3", "-m", "zipfile", "-e", save(t, "packet.zip", body), folder).CombinedOutput()
	require.NoError(t, err, string(out))
	sums := exec.Command("sha256sum", "--strict", "-c", sumsName)
	sums.Dir = folder
	out, err = sums.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "index.pdf: OK")
	assert.Contains(t, string(out), "manifest.json: OK")
}
