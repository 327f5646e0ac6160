package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"os"
	"path"
	"strings"
	"time"

	"wreckwright/chart"
)

//go:embed templates assets
var embedded embed.FS

// sourceFiles are the embedded templates and assets, or those of a source
// folder while pages are being worked on.
func sourceFiles(dev string) fs.FS {
	if dev != "" {
		return os.DirFS(dev)
	}
	return embedded
}

type asset struct {
	content   []byte
	mediaType string
}

// assets are what pages load, under names that carry a hash of the content so
// that a browser may keep them for good.
type assets struct {
	byURL map[string]asset  // "/assets/3f2a…/wreckwright.css"
	urls  map[string]string // "wreckwright.css" to its URL
}

func loadAssets(files fs.FS) (*assets, error) {
	a := &assets{byURL: map[string]asset{}, urls: map[string]string{}}
	sheet, err := joinStyles(files)
	if err != nil {
		return nil, err
	}
	a.add("wreckwright.css", sheet)
	for _, dir := range []string{"assets/js", "assets/vendor", "assets/img"} {
		list, err := fs.ReadDir(files, dir)
		if err != nil {
			continue // a folder that is not there holds nothing
		}
		for _, f := range list {
			content, err := fs.ReadFile(files, path.Join(dir, f.Name()))
			if err != nil {
				return nil, err
			}
			a.add(f.Name(), content)
		}
	}
	return a, nil
}

// joinStyles makes one sheet of all style files, in the order of their names,
// and the figures' own.
func joinStyles(files fs.FS) ([]byte, error) {
	names, err := fs.Glob(files, "assets/css/*.css")
	if err != nil {
		return nil, err
	}
	var sheet bytes.Buffer
	for _, name := range names {
		content, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&sheet, "/* %s */\n%s\n", path.Base(name), content)
	}
	fmt.Fprintf(&sheet, "/* figures */\n%s\n", chart.Stylesheet())
	return sheet.Bytes(), nil
}

func (a *assets) add(name string, content []byte) {
	sum := sha256.Sum256(content)
	url := "/assets/" + hex.EncodeToString(sum[:6]) + "/" + name
	mediaType := mime.TypeByExtension(path.Ext(name))
	if strings.HasSuffix(name, ".js") {
		mediaType = "text/javascript; charset=utf-8"
	}
	a.byURL[url] = asset{content, mediaType}
	a.urls[name] = url
}

// url is where a page finds the asset; an unknown name is a mistake in a
// template and fails the test that renders them all.
func (a *assets) url(name string) (string, error) {
	if u, ok := a.urls[name]; ok {
		return u, nil
	}
	return "", fmt.Errorf("no asset is called %q", name)
}

func (s *Server) assetShow(w http.ResponseWriter, r *http.Request) error {
	files := s.assets
	if s.options.Dev != "" {
		fresh, err := loadAssets(sourceFiles(s.options.Dev))
		if err != nil {
			return err
		}
		files = fresh
	}
	found, ok := files.byURL[r.URL.Path]
	if !ok {
		return notFound("There is no such file.")
	}
	w.Header().Set("Content-Type", found.mediaType)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(found.content))
	return nil
}
