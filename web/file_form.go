package web

import "wreckwright/rebuild"

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
