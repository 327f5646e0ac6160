package web

import (
	"net/http"
	"os"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// buildFilePage is where a build file is made: what it would hold and what it
// would not prove, which edition, and those made before.
type buildFilePage struct {
	Frame
	Form     *Form
	Editions []Option
	Holds    []holding
	Open     []workshop.OpenPoints
	Built    []builtLine
	Made     *builtLine // just now
}

// holding is how many of a thing the build file would hold.
type holding struct {
	Count int
	Of    string
}

// builtLine is one build file in the list.
type builtLine struct {
	workshop.Built
	When string
	Size string
	Here bool // still in the book's folder
}

// OpenCount is how many points are not proven.
func (p buildFilePage) OpenCount() int {
	n := 0
	for _, o := range p.Open {
		n += len(o.Items)
	}
	return n
}

func (s *Server) buildFileShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("edition", "full")
	return s.buildFileForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) buildFileForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "Build file", "car", rb)
	if err != nil {
		return err
	}
	page := buildFilePage{
		Frame: frame, Form: f, Holds: holdings(rb), Open: s.workshop.NotProven(rb),
		Editions: []Option{{"full", "Full: for whoever gets the car"}, {"redacted", "Redacted: to show to anyone"}},
	}
	list, err := s.workshop.Built(r.Context(), rb.ID)
	if err != nil {
		return err
	}
	for _, b := range list {
		line := builtLine{Built: b, When: b.MadeAt, Size: byteSize(b.Bytes)}
		if at, err := time.Parse(time.RFC3339, b.MadeAt); err == nil {
			line.When = at.Format("2 Jan 2006, 15:04")
		}
		if path, ok := s.workshop.BuiltPath(b.Name); ok {
			_, err := os.Stat(path)
			line.Here = err == nil
		}
		page.Built = append(page.Built, line)
		if b.Name == r.URL.Query().Get("made") {
			page.Made = &page.Built[len(page.Built)-1]
		}
	}
	return s.show(w, status, "build_file", page)
}

// holdings counts what a build file would hold.
func holdings(rb *rebuild.Rebuild) []holding {
	finished := 0
	for i := range rb.Jobs {
		if rb.Jobs[i].Finished() {
			finished++
		}
	}
	files := workshop.BuildFileFiles(rb)
	return []holding{
		{len(rb.Findings), "findings"},
		{finished, "finished jobs"},
		{len(rb.Evidence), "measurements"},
		{len(rb.Joints), "joints"},
		{files[workshop.UsePhoto], "photos"},
		{files[workshop.UseRaw] + files[workshop.UseRecord], "readings and records"},
		{files[workshop.UseReceipt], "receipts, with the money only"},
	}
}

// buildFileDownload serves a build file that was made.
func (s *Server) buildFileDownload(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	list, err := s.workshop.Built(r.Context(), rb.ID)
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	path, ok := s.workshop.BuiltPath(name)
	if !ok || !isBuilt(list, name) {
		return notFound("There is no such build file of this car.")
	}
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		return notFound("That build file is not in the book’s folder any more. Make it once more.")
	}
	if err != nil {
		return err
	}
	defer f.Close()
	at, err := f.Stat()
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
	h.Set("Content-Security-Policy", uploadPolicy)
	h.Set("Cache-Control", "no-store")
	http.ServeContent(w, r, "", at.ModTime(), f)
	return nil
}

func isBuilt(list []workshop.Built, name string) bool {
	for _, b := range list {
		if b.Name == name {
			return true
		}
	}
	return false
}
