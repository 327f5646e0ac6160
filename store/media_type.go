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
	if kind := soundKind(start); kind != "" {
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

// soundKind knows the recordings that the standard library does not: a FLAC stream
// (RFC 9639, 6) and an MP3 without a tag before it, which begins with the header of
// a frame of layer III (ISO/IEC 11172-3, 2.4.1.3) with a bit rate and a sampling
// rate. A phone's file picker often claims nothing of them.
func soundKind(start []byte) string {
	switch {
	case bytes.HasPrefix(start, []byte("fLaC")):
		return "audio/flac"
	case len(start) < 4 || start[0] != 0xff || start[1]&0xe6 != 0xe2 || start[1]&0x18 == 0x08:
		return ""
	case start[2]&0xf0 == 0 || start[2]&0xf0 == 0xf0 || start[2]&0x0c == 0x0c:
		return ""
	}
	return "audio/mpeg"
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
