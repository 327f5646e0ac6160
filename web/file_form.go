package web

import (
	"net/http"

	"wreckwright/rebuild"
)

// setFiles fills the fields that [Form.keptFiles] reads: all files kept, with
// their captions.
func (f *Form) setFiles(had []rebuild.Attachment) {
	hashes := make([]string, len(had))
	for i, a := range had {
		hashes[i] = a.Hash
		f.Set("caption."+a.Hash, a.Caption)
	}
	f.Set("keep", hashes...)
}

// filesBack are the files that came with a form which was refused and is sent
// again: the book has kept them, the fields of the part "attachments-edit" name
// them. What the book does not have is left out.
func (s *Server) filesBack(r *http.Request, f *Form) []rebuild.Attachment {
	var files []rebuild.Attachment
	for _, hash := range f.Values["keep"] {
		content, info, err := s.workshop.Book().OpenFile(r.Context(), hash)
		if err != nil {
			continue
		}
		_ = content.Close() // only read
		files = append(files, rebuild.Attachment{
			Hash: hash, Name: f.Value("name." + hash), MediaType: info.MediaType,
			Size: info.Size, Caption: f.Value("caption." + hash),
		})
	}
	return files
}
