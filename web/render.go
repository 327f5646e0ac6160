package web

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"
)

// pages holds one template set a page: layout, parts, the page itself. A set is
// made when its page is first asked for, so that no start waits for a hundred.
type pages struct {
	names  []string
	base   *template.Template // never executed, so that it can be copied
	files  fs.FS
	assets *assets
	dev    bool

	mu   sync.Mutex
	sets map[string]*template.Template // made so far
}

func loadPages(files fs.FS, a *assets, dev bool) (*pages, error) {
	p := &pages{sets: map[string]*template.Template{}, files: files, assets: a, dev: dev}
	var err error
	if p.base, err = baseSet(files, a); err != nil {
		return nil, err
	}
	if p.names, err = fs.Glob(files, "templates/pages/*.html"); err != nil {
		return nil, err
	}
	for i, name := range p.names {
		p.names[i] = strings.TrimSuffix(path.Base(name), ".html")
	}
	return p, nil
}

// set is the template set of a page; where pages are worked on it is read anew.
func (p *pages) set(page string) (*template.Template, error) {
	if !slices.Contains(p.names, page) {
		return nil, fmt.Errorf("there is no page template %q", page)
	}
	if p.dev {
		a, err := loadAssets(p.files)
		if err != nil {
			return nil, err
		}
		base, err := baseSet(p.files, a)
		if err != nil {
			return nil, err
		}
		return p.parse(base, page)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if set, ok := p.sets[page]; ok {
		return set, nil
	}
	base, err := p.base.Clone()
	if err != nil {
		return nil, err
	}
	set, err := p.parse(base, page)
	if err == nil {
		p.sets[page] = set
	}
	return set, err
}

func (p *pages) parse(base *template.Template, page string) (*template.Template, error) {
	return base.ParseFS(p.files, "templates/pages/"+page+".html")
}

// baseSet is what every page shares.
func baseSet(files fs.FS, a *assets) (*template.Template, error) {
	return template.New("layout.html").Funcs(functions(a)).ParseFS(files, "templates/layout.html", "templates/parts/*.html")
}

// render executes a page, or one block of it, into a buffer first: a failing
// template must not leave half a page behind.
func (p *pages) render(page, block string, data any) ([]byte, error) {
	set, err := p.set(page)
	if err != nil {
		return nil, err
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
