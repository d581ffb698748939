package packet

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// requireTools skips a test whose outside tools are missing, with the reason, or fails it where the tools are required.
func requireTools(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := exec.LookPath(name); err != nil {
			if os.Getenv("CANEWRIGHT_REQUIRE_TOOLS") == "1" {
				t.Fatalf("%s is required and not installed", name)
			}
			t.Skipf("%s is not installed", name)
		}
	}
}

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
