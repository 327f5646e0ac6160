package web

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"slices"
	"strings"

	"wreckwright/store"
)

// uploadPolicy lets an uploaded file that is opened by itself neither run nor
// load anything: it came from outside. A drawing may style itself.
const uploadPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox; frame-ancestors 'none'"

// paperPolicy is the same without the sandbox, in which browsers refuse to show
// a PDF; their viewers keep it apart from the page's origin themselves.
const paperPolicy = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; img-src 'self' data:; frame-ancestors 'none'"

// shownKinds are shown by a browser as they are; everything else is saved.
var shownKinds = []string{
	"image/jpeg", "image/png", "image/gif", "image/webp", "image/avif", "image/heic", "image/heif", "image/svg+xml",
	paperKind,
}

const paperKind = "application/pdf"

// fileShow serves a file of the book as it came in.
func (s *Server) fileShow(w http.ResponseWriter, r *http.Request) error {
	content, info, err := s.openFile(r)
	if err != nil {
		return err
	}
	defer content.Close()
	serveFile(w, r, content, info)
	return nil
}

func (s *Server) openFile(r *http.Request) (io.ReadSeekCloser, store.FileInfo, error) {
	content, info, err := s.workshop.Book().OpenFile(r.Context(), r.PathValue("hash"))
	if errors.Is(err, store.ErrNoFile) {
		return nil, info, notFound("The book has no such file.")
	}
	return content, info, err
}

func serveFile(w http.ResponseWriter, r *http.Request, content io.ReadSeeker, info store.FileInfo) {
	h := w.Header()
	kind, disposition := info.MediaType, "inline"
	if !slices.Contains(shownKinds, kind) {
		disposition = "attachment"
	}
	switch {
	case strings.HasPrefix(kind, "text/html") || strings.Contains(kind, "xml") && kind != "image/svg+xml":
		kind = "application/octet-stream"
	case strings.HasPrefix(kind, "text/"):
		kind += "; charset=utf-8"
	}
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", mime.FormatMediaType(disposition, map[string]string{"filename": savedName(r, info)}))
	h.Set("Content-Security-Policy", uploadPolicy)
	if kind == paperKind {
		h.Set("Content-Security-Policy", paperPolicy)
	}
	cacheFile(w, info.Hash)
	http.ServeContent(w, r, "", info.AddedAt, content)
}

// cacheFile lets the browser keep what stands under a content hash for good.
func cacheFile(w http.ResponseWriter, tag string) {
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	w.Header().Set("ETag", `"`+tag+`"`)
}

// savedName is what the file is called when it is saved: the name it came with,
// if the link tells it.
func savedName(r *http.Request, info store.FileInfo) string {
	name := strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || strings.ContainsRune(`/\:*?"<>|`, c) {
			return '_'
		}
		return c
	}, r.URL.Query().Get("name"))
	if name = strings.TrimLeft(strings.ToValidUTF8(name, "_"), "."); name != "" && len(name) <= 255 {
		return name
	}
	name = "file-" + info.Hash[:12]
	if endings, err := mime.ExtensionsByType(info.MediaType); err == nil && len(endings) > 0 {
		name += endings[len(endings)-1]
	}
	return name
}
