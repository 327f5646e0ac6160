package web

import (
	"errors"
	"fmt"
	"mime/multipart"
	"net/http"
	"path"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// maxFile bounds one uploaded file.
const maxFile = 50 << 20

// uploads keeps the files of a form's field in the book and returns pointers to
// them, in order. What is no use as a photo or a record is a problem of the form,
// so that nobody believes it kept. A file that is kept although the form is then
// refused does no harm: nothing points to it.
func (s *Server) uploads(r *http.Request, f *Form, field string) ([]rebuild.Attachment, error) {
	return s.uploadsUpTo(r, f, field, maxFile)
}

// photosOf is uploads where a photo is asked for: what shows no picture by its
// content, whatever it is called, is a problem of the form.
func (s *Server) photosOf(r *http.Request, f *Form, field string) ([]rebuild.Attachment, error) {
	files, err := s.uploads(r, f, field)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(files, func(a rebuild.Attachment) bool {
		if !a.IsImage() {
			f.problem(field, "the file %q is no photo; choose a picture of it", a.Name)
		}
		return !a.IsImage()
	}), nil
}

// pictureNames are the endings of files that say they are pictures.
var pictureNames = []string{".jpg", ".jpeg", ".png", ".gif", ".webp", ".heic", ".heif", ".avif", ".bmp", ".tif", ".tiff"}

// saysPicture reports a name that is one of a picture.
func saysPicture(name string) bool {
	return slices.Contains(pictureNames, strings.ToLower(path.Ext(name)))
}

// uploadsUpTo is uploads for files of at most so many bytes.
func (s *Server) uploadsUpTo(r *http.Request, f *Form, field string, most int64) ([]rebuild.Attachment, error) {
	if r.MultipartForm == nil {
		return nil, nil
	}
	var kept []rebuild.Attachment
	for _, header := range r.MultipartForm.File[field] {
		switch {
		case header.Filename == "": // nothing was chosen
			continue
		case header.Size == 0:
			f.problem(field, "the file %q is empty: take it or choose it once more", header.Filename)
			continue
		case header.Size > most:
			f.problem(field, "the file %q has %d MB; at most %d MB fit", header.Filename, (header.Size+1<<20-1)>>20, most>>20)
			continue
		}
		a, err := s.keepFile(r, header, most)
		if err != nil {
			return nil, fmt.Errorf("keeping %q: %w", header.Filename, err)
		}
		if !evidence(a.MediaType) {
			f.problem(field, "the file %q is neither a picture nor a PDF, a text, a recording or a film; take a photo of what it shows", header.Filename)
			continue
		}
		if saysPicture(header.Filename) && !strings.HasPrefix(a.MediaType, "image/") {
			f.problem(field, "the file %q is called a picture and is none by its content; choose the photo once more", header.Filename)
			continue
		}
		if s.isBroken(r, a) {
			f.problem(field, "the picture %q cannot be shown: it broke off on its way or is damaged. Send it again, or take it once more", header.Filename)
			continue
		}
		kept = append(kept, a)
	}
	return kept, nil
}

// isBroken reports whether a file says it is a picture and cannot be unpacked.
// The small picture that this makes is wanted by the next page anyhow. Of what
// cannot be told, nothing is said.
func (s *Server) isBroken(r *http.Request, a rebuild.Attachment) bool {
	content, info, err := s.workshop.Book().OpenFile(r.Context(), a.Hash)
	if err != nil {
		return false
	}
	defer content.Close()
	_, err = s.thumb(content, info)
	var broken *brokenPicture
	return errors.As(err, &broken)
}

// evidence reports whether a file of that media type, found out from its
// content, shows something by itself: a program or a web page does not.
func evidence(mediaType string) bool {
	kind, _, _ := strings.Cut(mediaType, "/")
	switch kind {
	case "image", "audio", "video":
		return true
	}
	return slices.Contains([]string{"application/pdf", "application/json", "text/plain", "text/csv", "text/tab-separated-values", "application/ogg"}, mediaType)
}

func (s *Server) keepFile(r *http.Request, header *multipart.FileHeader, most int64) (rebuild.Attachment, error) {
	f, err := header.Open()
	if err != nil {
		return rebuild.Attachment{}, err
	}
	defer f.Close()
	return s.workshop.Book().PutFile(r.Context(), f, header.Filename, header.Header.Get("Content-Type"), most)
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
