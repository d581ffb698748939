package packet

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// save writes a file into a folder of the test, or into CANEWRIGHT_LOOK when someone wants to look at it.
func save(t *testing.T, name string, body []byte) string {
	t.Helper()
	folder := t.TempDir()
	if look := os.Getenv("CANEWRIGHT_LOOK"); look != "" {
		folder = look
	}
	path := filepath.Join(folder, name)
	require.NoError(t, os.WriteFile(path, body, 0o600))
	return path
}

// readText is a PDF's text as pdftotext reads it in reading order, spaces made single.
func readText(t *testing.T, pdf []byte) string {
	t.Helper()
	out, err := exec.Command("pdftotext", save(t, "read.pdf", pdf), "-").CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.Join(strings.Fields(string(out)), " ")
}
