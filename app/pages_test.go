package app

import (
	"bytes"
	"maps"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/text"
	"canewright/records"
	"canewright/templates"
)

// evil is what a person might type into any text.
const evil = `<script>alert(1)</script>"'`

// fullPage fills everything the layout shows.
func fullPage() Page {
	return Page{Language: "en", House: evil, Path: "/", User: evil, Flash: evil, Overheard: true,
		Nav:      []NavItem{{Name: "Today", URL: "/", Here: true}, {Name: evil, URL: "/field"}},
		Settings: []SettingButton{{Name: "language", Value: "es", Label: "Español", Lang: "es", Chosen: true}},
		Trail:    []Step{{Name: evil, URL: "/record/1"}, {Name: evil, Here: true}}}
}

// fullForm has a field of every kind, each wrong.
func fullForm() *form {
	f := &form{ID: "x", Action: "/x", Submit: evil, Cancel: "/", Submission: evil, Revision: 2,
		Wrong: []Wrong{{Label: evil, Message: evil, Target: "x-y"}, {Message: evil}}}
	for _, kind := range []string{"text", "longtext", "password", "hidden", "pick", "choice", "yesno", "flag", "number", "quantity", "day", "daytime"} {
		f.Fields = append(f.Fields, &Field{ID: "x-" + kind, Name: kind, Label: evil, Kind: kind, Value: evil, Unit: evil, Help: evil, Error: evil,
			Required: true, Choices: []Choice{{Value: evil, Name: evil, Chosen: true}}, Units: []Choice{{Value: evil, Name: evil}}})
	}
	return f
}

// fixtures holds an empty and a full view of every page. A page without a line here fails TestPages.
func fixtures() map[string][2]view {
	lines := []ledgerLine{{Name: evil, Word: evil, URL: "/record/1"}}
	all := map[string][2]view{
		"sign/in":      {&signInPage{Form: &form{}}, &signInPage{Page: fullPage(), Form: fullForm()}},
		"error/error":  {&errorPage{}, &errorPage{Page: fullPage(), Heading: evil, Message: evil, Details: []string{evil}, Reference: evil, Link: "/record/1"}},
		"today/today":  {&todayPage{}, &todayPage{Page: fullPage(), Day: evil, Groups: []todayGroup{{Title: evil, Rows: lines}, {Title: evil, Empty: evil}}}},
		"find/results": {&findPage{}, &findPage{Page: fullPage(), Query: evil, Note: evil, Rows: lines}},
		"area/area": {&areaPage{}, &areaPage{Page: fullPage(), Heading: evil, Sections: []areaSection{
			{Anchor: "a", Title: evil, URL: "/a", New: "/a/new", Count: 9, Rows: lines, More: true}, {Title: evil, Empty: evil}}}},
		"kind/list": {&listPage{}, &listPage{Page: fullPage(), Heading: evil, New: "/new", Turn: Turn{Before: "/b", After: "/a", Shown: evil},
			Table: Table{Heads: []string{evil, evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil}, {Text: evil, Figure: true}}}}}}},
		"house/limits": {&limitsPage{}, &limitsPage{Page: fullPage(), Heading: evil, Lead: evil, Version: evil, Other: Step{Name: evil, URL: "/x"}, Parts: []limitsPart{
			{Title: evil, Table: Table{Heads: []string{evil}, Rows: []TableRow{{URL: "/record/1", Cells: []Cell{{Text: evil, Figure: true}}}}}}}}},
		"kind/form": {&formPage{Form: &form{}}, &formPage{Page: fullPage(), Heading: evil, Lead: evil, Form: fullForm()}},
		"record/show": {&recordPage{}, &recordPage{Page: fullPage(), Heading: evil, Sort: evil, Struck: true, Amend: "/amend", Strike: fullForm(),
			Actions: []Step{{Name: evil, URL: "/x"}}, Lines: []line{{Label: evil, Text: evil, Entered: evil, URL: "/record/1"}, {Label: evil, Missing: true}},
			Revisions: []revision{{Number: 2, Struck: true, Who: evil, When: evil, Why: evil, Changes: []change{{evil, evil, evil}}}, {Number: 1}}}},
	}
	maps.Copy(all, kettleFixtures())
	maps.Copy(all, fillerFixtures())
	maps.Copy(all, labelFixtures())
	maps.Copy(all, shelfFixtures())
	maps.Copy(all, labelCheckFixtures())
	maps.Copy(all, netFixtures())
	maps.Copy(all, reckonerFixtures())
	return all
}

// TestPages renders every page of the embedded folder, empty and full, in every setting: nothing typed becomes markup,
// no text is missing.
func TestPages(t *testing.T) {
	h := newHouse(t)
	fixtures := fixtures()
	for _, name := range h.app.pages.Names() {
		views, ok := fixtures[name]
		require.True(t, ok, "page %s: add an empty and a full view to fixtures", name)
		for i, filled := range []string{"empty", "full"} {
			for _, set := range templates.Settings() {
				t.Run(name+" "+filled+" "+set.Language+" "+set.Units, func(t *testing.T) {
					var out bytes.Buffer
					require.NoError(t, h.app.pages.Execute(&out, name, set, views[i]))
					assert.NotContains(t, out.String(), "<script>alert")
					assert.NotContains(t, out.String(), "⟦")
					assert.NotContains(t, out.String(), "ZgotmplZ")
					assert.Equal(t, 1, strings.Count(out.String(), "<h1"), "one heading")
					readAloud(t, out.String())
				})
			}
		}
	}
}

// headings and pictures find what a screen reader steps through.
var (
	headings = regexp.MustCompile(`<h([1-6])`)
	pictures = regexp.MustCompile(`<img[^>]*>`)
)

// readAloud holds a page to what a screen reader needs: no level of heading left out, words for every picture.
func readAloud(t *testing.T, page string) {
	last := 1
	for _, h := range headings.FindAllStringSubmatch(page, -1) {
		level := int(h[1][0] - '0')
		assert.LessOrEqual(t, level, last+1, "a heading of level %d follows one of level %d", level, last)
		last = level
	}
	for _, picture := range pictures.FindAllString(page, -1) {
		assert.Contains(t, picture, "alt=")
	}
}

// TestFindingPartial draws every level with its word: shape and word tell it, colour only follows.
func TestFindingPartial(t *testing.T) {
	css := readStatic(t, "ledger.css")
	for _, level := range []string{"within", "note", "check", "hold", "stop"} {
		assert.Contains(t, css, ".level."+level, level)
	}
}

// saidInTemplate finds keys in templates, saidInGo those in our own source.
var saidInTemplate = regexp.MustCompile(`\bt "([a-z0-9_.]+)"`)

// TestTemplateTexts: every key a template says is in English, and in Spanish where the crew works with it.
func TestTemplateTexts(t *testing.T) {
	source, err := templates.Source()
	require.NoError(t, err)
	for path, content := range source {
		for _, match := range saidInTemplate.FindAllStringSubmatch(content, -1) {
			assert.True(t, text.Has(text.English, match[1]), "%s: %q is not in English", path, match[1])
			if spanishPage(path) {
				assert.True(t, text.Has(text.Spanish, match[1]), "%s: %q is not in Spanish", path, match[1])
			}
		}
	}
}

// spanishPage tells which templates must be whole in Spanish: mill, kettle, filler, lot, what is printed and typed in there, the
// public page, sign-in, errors, layout and partials.
func spanishPage(path string) bool {
	for _, prefix := range []string{"layout.html", "partials/", "pages/mill/", "pages/kettle/", "pages/filler/", "pages/lot/", "pages/net/",
		"pages/cooling/", "pages/paper/", "pages/public/", "pages/house/testpage", "pages/sign/", "pages/error/", "pages/today/"} {
		if strings.HasPrefix(path, prefix) {
			return true
		}
	}
	return false
}

// TestScriptStaysText types a script into every text of every simple kind's form and reads it back escaped.
func TestScriptStaysText(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	for _, k := range h.app.kinds.inOrder {
		if k.Area == "" {
			continue
		}
		t.Run(string(k.Kind), func(t *testing.T) {
			var pairs []string
			for _, match := range regexp.MustCompile(`name="([a-z_]+)"`).FindAllStringSubmatch(b.get(k.path()+"/new").body, -1) {
				pairs = append(pairs, match[1], evil)
			}
			require.NotEmpty(t, pairs)
			again := b.post(k.path(), pairs...)
			if again.StatusCode == http.StatusSeeOther { // texts only: kept as typed
				again = b.get(again.location(t))
			} else {
				require.Equal(t, http.StatusUnprocessableEntity, again.StatusCode)
			}
			assert.NotContains(t, again.body, "<script>alert")
			assert.Contains(t, again.body, "&lt;script&gt;", "what was typed stays")
			assert.NotContains(t, again.body, "⟦")
		})
	}
}

// TestEveryKindHasAHistory keeps the table of histories complete.
func TestEveryKindHasAHistory(t *testing.T) {
	for kind := range histories {
		fact, ok := records.NewFact(kind)
		require.True(t, ok, kind)
		assert.Equal(t, kind, fact.Kind())
		for _, l := range linesOf(words{lang: text.English, units: "us"}, fact) {
			_, known := records.Columns(fact)[l.column]
			assert.True(t, known || strings.HasPrefix(l.column, "contact_"), "%s: %q is no column", kind, l.column)
		}
		assert.True(t, text.Has(text.English, "kind."+string(kind)), kind)
		assert.True(t, text.Has(text.English, "trail."+string(kind)), kind)
	}
}
