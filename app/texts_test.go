package app

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/templates"
)

// keyInGo is the form of a whole catalogue key; a string that ends in a dot is the beginning of one.
var keyInGo = regexp.MustCompile(`^[a-z0-9_]+(\.[a-z0-9_]+)+$`)

// notKeys look like keys and are none.
var notKeys = map[string]bool{"layout.html": true, "ledger.css": true}

// saying are the functions whose first text is a key: say and Say, wrong notes a fault, redirect says what was done.
var saying = map[string]bool{"say": true, "Say": true, "wrong": true, "redirect": true, "flash": true}

// TestGoTexts: every whole key that our source says is in English.
func TestGoTexts(t *testing.T) {
	for _, name := range goFiles(t) {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			for _, key := range keysIn(n) {
				assert.True(t, text.Has(text.English, key), "%s: %q is not in English", name, key)
				if common(key) {
					assert.True(t, text.Has(text.Spanish, key), "%s: %q is not in Spanish", name, key)
				}
			}
			return true
		})
	}
}

// common tells the keys that must be in Spanish too, whatever page says them.
func common(key string) bool {
	for _, area := range []string{"form.", "sign.", "secret.", "error.", "nav.", "kettle_page.", "filler_page."} {
		if strings.HasPrefix(key, area) {
			return true
		}
	}
	return false
}

// keysIn finds the whole keys among the arguments of a call that says one, and in a Key field.
func keysIn(n ast.Node) []string {
	var values []ast.Expr
	switch n := n.(type) {
	case *ast.CallExpr:
		if name, ok := n.Fun.(*ast.SelectorExpr); ok && saying[name.Sel.Name] {
			values = n.Args
		}
	case *ast.KeyValueExpr:
		if name, ok := n.Key.(*ast.Ident); ok && (name.Name == "Key" || name.Name == "key") {
			values = []ast.Expr{n.Value}
		}
	}
	var keys []string
	for _, value := range values {
		literal, ok := value.(*ast.BasicLit)
		if !ok || literal.Kind != token.STRING {
			continue
		}
		key, err := strconv.Unquote(literal.Value)
		if err == nil && keyInGo.MatchString(key) && !notKeys[key] {
			keys = append(keys, key)
		}
	}
	return keys
}

// goFiles lists this package's source without tests.
func goFiles(t *testing.T) []string {
	t.Helper()
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	var names []string
	for _, entry := range entries {
		if strings.HasSuffix(entry.Name(), ".go") && !strings.HasSuffix(entry.Name(), "_test.go") {
			names = append(names, entry.Name())
		}
	}
	return names
}

func readStatic(t *testing.T, name string) string {
	t.Helper()
	content, err := fs.ReadFile(templates.Static(), name)
	require.NoError(t, err)
	return string(content)
}

// TestFormTexts: every field of every simple kind's form has its label, every fixed word and every list its text.
func TestFormTexts(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	for _, k := range h.app.kinds.inOrder {
		if k.Area == "" {
			continue
		}
		for _, path := range []string{k.path(), k.path() + "/new"} {
			page := b.get(path)
			assert.Equal(t, 200, page.StatusCode, path)
			assert.NotContains(t, page.body, "⟦", path)
		}
	}
}
