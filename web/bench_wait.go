package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// waitPage says how far the reading of a long file is, asks again by itself, and
// can call it back.
type waitPage struct {
	Frame
	Name   string // of the file
	Doing  string
	Size   int64 // bytes
	Read   int64
	Action string // the instrument's path beneath the rebuild
	Job    string
	Along  []namedValue
}

// Percent is how much was read.
func (p *waitPage) Percent() int64 {
	if p.Size == 0 {
		return 0
	}
	return min(100, 100*p.Read/p.Size)
}

// Words say how far it is.
func (p *waitPage) Words() string {
	switch {
	case p.Read == 0:
		return "It waits for its turn: another file is being read."
	case p.Read >= p.Size:
		return "All of it is read; now it is worked out."
	}
	return byteSize(p.Read) + " of " + byteSize(p.Size) + " read."
}

// takeWork takes over why a file could not be read; nil where the form says it.
func (f *Form) takeWork(r *http.Request, err error) error {
	if f.take(err) {
		return nil
	}
	if errors.Is(err, context.Canceled) && r.Context().Err() == nil {
		f.problem("file", "reading it was called back; choose it once more")
		return nil
	}
	return err
}

// rawFile is a file of the book, called as the address calls it.
func (s *Server) rawFile(r *http.Request, hash, name, otherwise string) (*rebuild.Attachment, error) {
	content, info, err := s.workshop.Book().OpenFile(r.Context(), hash)
	if errors.Is(err, store.ErrNoFile) {
		return nil, notFound("The book has no such file. Choose it once more.")
	}
	if err != nil {
		return nil, err
	}
	return &rebuild.Attachment{Hash: hash, Name: cmp.Or(name, otherwise), MediaType: info.MediaType, Size: info.Size}, content.Close()
}

// byteSize is the size of a file in words.
func byteSize(n int64) string {
	if n < 1_000_000 {
		return fmt.Sprintf("%d kB", (n+999)/1000)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}

// jobQuery keeps the job while another file is chosen.
func jobQuery(f *Form) string {
	if job := f.Value("job"); job != "" {
		return "?job=" + url.QueryEscape(job)
	}
	return ""
}

// mediaWords says what a file is instead of a log.
func mediaWords(mediaType string) string {
	kind, _, _ := strings.Cut(mediaType, "/")
	switch kind {
	case "image":
		return "a picture"
	case "audio":
		return "a recording"
	case "video":
		return "a film"
	}
	return "a file of the kind " + mediaType
}
