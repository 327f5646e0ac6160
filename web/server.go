package web

import (
	"cmp"
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"wreckwright/workshop"
)

// Options of a server.
type Options struct {
	Log *slog.Logger
	Now func() time.Time // the clock; time.Now where nil
	// Hosts that a request may name besides loopback ones, for a phone in the
	// garage: "192.0.2.7:4173".
	Hosts []string
	// Dev reads templates and assets from the source folder at each request and
	// adds /gallery.
	Dev string
	// Sample says that this is the demo book, on every page.
	Sample bool
	// Patience is how long a page waits for a long file to be read before it
	// says how far that is; 0: long enough for most.
	Patience time.Duration
}

// Server answers the workbench's pages for one book.
type Server struct {
	workshop *workshop.Workshop
	log      *slog.Logger
	now      func() time.Time
	options  Options
	pages    *pages
	assets   *assets
	thumbs   thumbs
	logs     works[workshop.Recharged]
	ears     works[workshop.Heard]
	noises   works[*noiseSaid]
	drives   works[workshop.Drive]
	built    works[string] // build files, by the names of their ZIPs
	handler  http.Handler
}

// New makes a server for the workshop's book.
func New(w *workshop.Workshop, o Options) (*Server, error) {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &Server{workshop: w, log: o.Log, now: o.Now, options: o}
	s.logs.answers.most, s.ears.answers.most = mostLogs, mostHeard
	s.built.answers.most, s.built.patience = mostLogs, cmp.Or(o.Patience, patience)
	s.noises.answers.most, s.drives.answers.most = mostHeard, mostHeard
	s.noises.patience, s.drives.patience = cmp.Or(o.Patience, patience), cmp.Or(o.Patience, patience)
	s.logs.patience, s.ears.patience = cmp.Or(o.Patience, patience), cmp.Or(o.Patience, patience)
	var err error
	if s.assets, err = loadAssets(sourceFiles(o.Dev)); err != nil {
		return nil, fmt.Errorf("loading the pages' assets: %w", err)
	}
	if s.pages, err = loadPages(sourceFiles(o.Dev), s.assets, o.Dev != ""); err != nil {
		return nil, fmt.Errorf("loading the pages' templates: %w", err)
	}
	s.handler = s.guard(s.routes())
	return s, nil
}

// ServeHTTP makes the server a handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// today is the date by the server's clock, ISO.
func (s *Server) today() string { return s.now().Format(time.DateOnly) }
