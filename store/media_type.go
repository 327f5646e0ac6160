package store

import (
	"bytes"
	"mime"
	"net/http"
	"slices"
	"strings"
)

// sniffed is how many first bytes tell the kind of a file: more than
// [http.DetectContentType] looks at, for drawings begin with comments.
const sniffed = 4096

// kindOf finds out the media type from a file's first bytes. The claimed type
// counts only where the content cannot tell: among plain texts, and for sound
// and film in an unknown wrapping.
func kindOf(start []byte, claimed string) string {
	if isDrawing(start) {
		return "image/svg+xml"
	}
	if kind := photoKind(start); kind != "" {
		return kind
	}
	found, _, err := mime.ParseMediaType(http.DetectContentType(start))
	if err != nil {
		return "application/octet-stream"
	}
	claimed, _, err = mime.ParseMediaType(claimed)
	switch {
	case err != nil:
		return found
	case found == "text/plain" && slices.Contains([]string{"text/csv", "text/tab-separated-values", "application/json"}, claimed):
		return claimed
	case found == "application/octet-stream" && (strings.HasPrefix(claimed, "audio/") || strings.HasPrefix(claimed, "video/")):
		return claimed
	}
	return found
}

// photoKind knows the wrapping of phones' photos by its brand (ISO/IEC 14496-12,
// file type box), which the standard library does not.
func photoKind(start []byte) string {
	if len(start) < 12 || string(start[4:8]) != "ftyp" {
		return ""
	}
	switch string(start[8:12]) {
	case "heic", "heix", "heim", "heis":
		return "image/heic"
	case "mif1", "msf1":
		return "image/heif"
	case "avif", "avis":
		return "image/avif"
	}
	return ""
}

// isDrawing reports whether the first element is svg; before it may stand an
// XML declaration, a document type, comments and white space.
func isDrawing(start []byte) bool {
	rest := bytes.TrimPrefix(start, []byte("\ufeff"))
	for {
		rest = bytes.TrimLeft(rest, " \t\r\n")
		end := ""
		switch {
		case bytes.HasPrefix(rest, []byte("<svg")):
			return len(rest) > 4 && strings.IndexByte(" \t\r\n>/", rest[4]) >= 0
		case bytes.HasPrefix(rest, []byte("<?")):
			end = "?>"
		case bytes.HasPrefix(rest, []byte("<!--")):
			end = "-->"
		case bytes.HasPrefix(rest, []byte("<!")):
			end = ">"
		default:
			return false
		}
		_, after, found := bytes.Cut(rest, []byte(end))
		if !found {
			return false
		}
		rest = after
	}
}
