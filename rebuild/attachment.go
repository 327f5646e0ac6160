package rebuild

import (
	"fmt"
	"strings"
)

// Attachment points to a file in the book's files folder: a photo, a receipt, a
// record. The file is kept once under the hash of its content.
type Attachment struct {
	Hash      string `json:"hash"` // SHA-256 of the content, 64 hex digits
	Name      string `json:"name"` // as it was called when it came in
	MediaType string `json:"media_type"`
	Size      int64  `json:"size"` // bytes
	Caption   string `json:"caption"`
}

// IsImage reports whether a browser can show it as a picture.
func (a Attachment) IsImage() bool { return strings.HasPrefix(a.MediaType, "image/") }

func (c *checks) attachments(list []Attachment, field string) {
	c.that(len(list) <= 200, field, "%d files hang on it; at most 200 fit", len(list))
	for i, a := range list {
		at := fmt.Sprintf("%s.%d", field, i+1)
		c.that(isHash(a.Hash), at, "file %d has no content hash", i+1)
		c.text(a.Name, at, "the file's name", 0, 255)
		c.text(a.MediaType, at, "the file's kind", 1, 100)
		c.that(a.Size >= 0, at, "file %d has a size below zero", i+1)
		c.text(a.Caption, at, "the caption", 0, 500)
	}
}

func isHash(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}
