package web

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

// pages holds one parsed template set a page: layout, parts, the page itself.
type pages struct {
	sets   map[string]*template.Template
	files  fs.FS
	assets *assets
	dev    bool
}

func loadPages(files fs.FS, a *assets, dev bool) (*pages, error) {
	p := &pages{sets: map[string]*template.Template{}, files: files, assets: a, dev: dev}
	base, err := baseSet(files, a)
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(files, "templates/pages/*.html")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		set, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if set, err = set.ParseFS(files, name); err != nil {
			return nil, err
		}
		p.sets[strings.TrimSuffix(path.Base(name), ".html")] = set
	}
	return p, nil
}

// baseSet is what every page shares.
func baseSet(files fs.FS, a *assets) (*template.Template, error) {
	return template.New("layout.html").Funcs(functions(a)).ParseFS(files, "templates/layout.html", "templates/parts/*.html")
}

// fresh is the set of one page, read anew.
func (p *pages) fresh(page string) (*template.Template, error) {
	a, err := loadAssets(p.files)
	if err != nil {
		return nil, err
	}
	base, err := baseSet(p.files, a)
	if err != nil {
		return nil, err
	}
	return base.ParseFS(p.files, "templates/pages/"+page+".html")
}

// render executes a page, or one block of it, into a buffer first: a failing
// template must not leave half a page behind.
func (p *pages) render(page, block string, data any) ([]byte, error) {
	set, ok := p.sets[page]
	if !ok {
		return nil, fmt.Errorf("there is no page template %q", page)
	}
	if p.dev {
		var err error
		if set, err = p.fresh(page); err != nil {
			return nil, err
		}
	}
	if block == "" {
		block = "layout.html"
	}
	var out bytes.Buffer
	if err := set.ExecuteTemplate(&out, block, data); err != nil {
		return nil, fmt.Errorf("page %s: %w", page, err)
	}
	return out.Bytes(), nil
}

// show answers with a page.
func (s *Server) show(w http.ResponseWriter, status int, page string, data any) error {
	return s.write(w, status, page, "", data)
}

// showPart answers with the page, or with just the named block of it when the
// page's own script asked for a part.
func (s *Server) showPart(w http.ResponseWriter, r *http.Request, page, block string, data any) error {
	w.Header().Set("Vary", "HX-Request")
	if r.Header.Get("HX-Request") != "true" || r.Header.Get("HX-History-Restore-Request") == "true" {
		block = ""
	}
	return s.write(w, http.StatusOK, page, block, data)
}

func (s *Server) write(w http.ResponseWriter, status int, page, block string, data any) error {
	out, err := s.pages.render(page, block, data)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(out) // the reader may have gone; nobody is left to tell
	return nil
}
