package web

import (
	"fmt"
	"mime/multipart"
	"net/http"

	"wreckwright/rebuild"
)

// maxFile bounds one uploaded file.
const maxFile = 50 << 20

// uploads keeps the files of a form's field in the book and returns pointers to
// them, in order. A file that is kept although the form is then refused does no
// harm: nothing points to it.
func (s *Server) uploads(r *http.Request, field string) ([]rebuild.Attachment, error) {
	if r.MultipartForm == nil {
		return nil, nil
	}
	var kept []rebuild.Attachment
	for _, header := range r.MultipartForm.File[field] {
		if header.Size == 0 {
			continue
		}
		a, err := s.keepFile(r, header)
		if err != nil {
			return nil, fmt.Errorf("keeping %q: %w", header.Filename, err)
		}
		kept = append(kept, a)
	}
	return kept, nil
}

func (s *Server) keepFile(r *http.Request, header *multipart.FileHeader) (rebuild.Attachment, error) {
	f, err := header.Open()
	if err != nil {
		return rebuild.Attachment{}, err
	}
	defer f.Close()
	return s.workshop.Book().PutFile(r.Context(), f, header.Filename, header.Header.Get("Content-Type"), maxFile)
}

// keptFiles are the attachments that the form says it still wants, out of those
// the item had: fields "keep" hold their hashes, "caption.HASH" their captions.
func (f *Form) keptFiles(had []rebuild.Attachment) []rebuild.Attachment {
	var kept []rebuild.Attachment
	for _, a := range had {
		if f.Has("keep", a.Hash) {
			if caption, ok := f.Values["caption."+a.Hash]; ok && len(caption) > 0 {
				a.Caption = caption[0]
			}
			kept = append(kept, a)
		}
	}
	return kept
}
