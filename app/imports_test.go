package app

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// diagram says which of our packages each may import (DEVELOPERS.md has it as a picture).
var diagram = map[string][]string{
	"cmd/canewright":    {"cmd/season", "app", "records", "records/lineage", "records/packet", "records/epcis", "labels", "hazards", "hazards/syrup", "hazards/text"},
	"cmd/season":        {"records", "hazards", "hazards/syrup", "hazards/text", "labels"},
	"app":               {"records", "records/boilchart", "records/lineage", "records/packet", "records/epcis", "labels", "hazards", "hazards/syrup", "hazards/text", "templates"},
	"records/packet":    {"records", "records/boilchart", "records/lineage", "labels", "hazards", "hazards/syrup", "hazards/text"},
	"records/epcis":     {"records", "records/lineage", "labels", "hazards/syrup", "hazards/text"},
	"records":           {"records/boilchart", "records/lineage", "labels", "hazards", "hazards/syrup", "hazards/text"},
	"records/boilchart": {"hazards/syrup"},
	"records/lineage":   {"hazards/syrup"},
	"labels":            {"hazards", "hazards/syrup", "hazards/text"},
	"hazards":           {"hazards/syrup", "hazards/text"},
	"hazards/syrup":     {},
	"hazards/text":      {},
	"hazards/toolcheck": {},
	"templates":         {},
}

// outside says which packages alone may import a library from elsewhere.
var outside = map[string][]string{
	"github.com/gin-gonic/gin":      {"app"},
	"gorm.io/":                      {"records"},
	"github.com/skip2/go-qrcode":    {"labels"},
	"github.com/jung-kurt/gofpdf":   {"labels", "records/packet"},
	"github.com/nicksnyder/go-i18n": {"hazards/text"},
	"github.com/alexedwards/scs":    {"app"},
	"net/http":                      {"app", "cmd/canewright"},
}

// TestImports keeps the package diagram true.
func TestImports(t *testing.T) {
	root := ".."
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		folder, err := filepath.Rel(root, filepath.Dir(path))
		require.NoError(t, err)
		folder = filepath.ToSlash(folder)
		allowed, known := diagram[folder]
		assert.True(t, known, "package %s is not in the diagram", folder)
		for _, spec := range file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			if ours, ok := strings.CutPrefix(name, "canewright/"); ok {
				assert.True(t, slices.Contains(allowed, ours), "%s may not import %s", path, name)
			}
			for library, rooms := range outside {
				if strings.HasPrefix(name, library) {
					assert.True(t, slices.Contains(rooms, folder), "%s may not import %s", path, name)
				}
			}
		}
		return nil
	})
	require.NoError(t, err)
}
