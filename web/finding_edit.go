package web

import (
	"net/http"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// findingEdit takes the three forms of a finding's page; the field "form" says
// which: what is known of it, its dismissal, or its standing again.
func (s *Server) findingEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.findingOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	finding, photos := *now, now.Photos
	finding.Rev = f.rev()
	switch f.Value("form") {
	case "dismiss":
		if finding.Dismissed = f.Value("dismissed"); finding.Dismissed == "" {
			f.problem("dismissed", "say why nothing needs doing about it")
		}
	case "reopen":
		finding.Dismissed = ""
	default:
		f.readFinding(&finding)
		f.notAhead("on", "the day it was found", s.today())
		if photos, err = s.editedPhotos(r, f, now.Photos); err != nil {
			return err
		}
		finding.Photos = f.keptFiles(photos)
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditFinding(finding) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	return s.findingForm(w, r, http.StatusUnprocessableEntity, rb, now, f.over(now), photos)
}

// editedPhotos are the photos that the form is about: those the finding has,
// those that came with it before it was refused, and those that come now. New
// ones are kept, also when the form meets a conflict and is sent once more: what
// the conflict page sends again is taken from the request.
func (s *Server) editedPhotos(r *http.Request, f *Form, had []rebuild.Attachment) ([]rebuild.Attachment, error) {
	return s.editedFiles(r, f, had, s.photosOf)
}

// editedFiles is editedPhotos where what comes now is taken otherwise: records as
// well, where a form asks for those.
func (s *Server) editedFiles(r *http.Request, f *Form, had []rebuild.Attachment, take func(*http.Request, *Form, string) ([]rebuild.Attachment, error)) ([]rebuild.Attachment, error) {
	more, err := take(r, f, "photos")
	if err != nil {
		return nil, err
	}
	had = addPhotos(had, s.filesBack(r, f))
	for _, a := range more {
		if !f.Has("keep", a.Hash) {
			f.Set("keep", append(f.Values["keep"], a.Hash)...)
			r.PostForm.Add("keep", a.Hash)
			r.PostForm.Add("name."+a.Hash, a.Name)
		}
	}
	return addPhotos(had, more), nil
}

// over fills what a partial form has not with what the finding has, so that the
// whole page can be shown around it.
func (f *Form) over(finding *rebuild.Finding) *Form {
	whole := &Form{Problems: f.Problems}
	whole.setFinding(finding)
	if f.Value("form") == "edit" {
		whole.Set("safety") // an empty box is not sent
		whole.Set("keep")
	}
	for name, values := range f.Values {
		whole.Set(name, values...)
	}
	return whole
}
