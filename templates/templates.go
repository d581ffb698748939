// Package templates holds the pages of the web app: the layout, the partials that draw one thing each, the pages by
// area and action, and the static files. It imports only the standard library; the functions that say texts and write
// quantities are handed in.
package templates

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"slices"
	"strings"
)

//go:embed layout.html partials pages static
var files embed.FS

// Setting is what a page is spoken and measured in.
type Setting struct {
	Language string // en or es
	Units    string // us or metric
}

// Settings lists every setting a page is parsed for.
func Settings() []Setting {
	return []Setting{{"en", "us"}, {"en", "metric"}, {"es", "us"}, {"es", "metric"}}
}

// Pages are all pages, parsed once for each setting and never changed after.
type Pages struct {
	byName map[string]map[Setting]*template.Template
}

// Load parses every page under pages/ for every setting. funcs gives the functions of one setting; see app/words.go.
// A page that does not parse stops the start.
func Load(funcs func(set Setting) template.FuncMap) (*Pages, error) {
	names, err := pageNames()
	if err != nil {
		return nil, err
	}
	pages := &Pages{byName: map[string]map[Setting]*template.Template{}}
	for _, set := range Settings() {
		base, err := template.New("layout.html").Option("missingkey=error").Funcs(funcs(set)).
			ParseFS(files, "layout.html", "partials/*.html")
		if err != nil {
			return nil, fmt.Errorf("templates: layout and partials: %w", err)
		}
		for _, name := range names {
			if err := pages.add(base, name, set); err != nil {
				return nil, err
			}
		}
	}
	return pages, nil
}

// add parses one page over its own copy of the layout.
func (p *Pages) add(base *template.Template, name string, set Setting) error {
	page, err := base.Clone()
	if err != nil {
		return fmt.Errorf("templates: %s: %w", name, err)
	}
	if page, err = page.ParseFS(files, "pages/"+name+".html"); err != nil {
		return fmt.Errorf("templates: %s: %w", name, err)
	}
	for _, part := range []string{"title", "main"} {
		if page.Lookup(part) == nil {
			return fmt.Errorf("templates: %s: define %q", name, part)
		}
	}
	if p.byName[name] == nil {
		p.byName[name] = map[Setting]*template.Template{}
	}
	p.byName[name][set] = page
	return nil
}

// Names lists the pages as "area/action", in order.
func (p *Pages) Names() []string {
	names := make([]string, 0, len(p.byName))
	for name := range p.byName {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Execute writes the page for the setting. An unknown page or setting is an error of the program.
func (p *Pages) Execute(w io.Writer, name string, set Setting, view any) error {
	page, ok := p.byName[name][set]
	if !ok {
		return fmt.Errorf("templates: no page %q for %+v", name, set)
	}
	if err := page.Execute(w, view); err != nil {
		return fmt.Errorf("templates: %s: %w", name, err)
	}
	return nil
}

// ExecuteBlock writes one block that a page defines, without the layout. An unknown page, setting or block is an error of the
// program.
func (p *Pages) ExecuteBlock(w io.Writer, name, block string, set Setting, view any) error {
	page, ok := p.byName[name][set]
	if !ok {
		return fmt.Errorf("templates: no page %q for %+v", name, set)
	}
	if err := page.ExecuteTemplate(w, block, view); err != nil {
		return fmt.Errorf("templates: %s: block %s: %w", name, block, err)
	}
	return nil
}

// pageNames walks pages/ for *.html files.
func pageNames() ([]string, error) {
	var names []string
	err := fs.WalkDir(files, "pages", func(path string, entry fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".html") {
			names = append(names, strings.TrimSuffix(strings.TrimPrefix(path, "pages/"), ".html"))
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("templates: pages: %w", err)
	}
	return names, nil
}

// Source gives the text of every template file by its path, for tests that look at the words used in them.
func Source() (map[string]string, error) {
	source := map[string]string{}
	err := fs.WalkDir(files, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".html") {
			return err
		}
		content, err := files.ReadFile(path)
		source[path] = string(content)
		return err
	})
	return source, err
}
