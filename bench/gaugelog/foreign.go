package gaugelog

import "bytes"

// foreign says what a file is that is no text, as far as its first bytes tell; ""
// where they do not. Recordings and pictures are taken for logs when the wrong
// file is picked or its name was changed.
func foreign(head []byte) string {
	for _, k := range []struct {
		at         int
		mark, name string
	}{
		{8, "WAVE", "a WAV sound file"},
		{0, "fLaC", "a FLAC sound file"},
		{0, "OggS", "an Ogg sound file"},
		{0, "ID3", "an MP3 sound file"},
		{0, "\xff\xfb", "an MP3 sound file"},
		{0, "\xff\xf3", "an MP3 sound file"},
		{4, "ftyp", "an MPEG-4 sound or film file"},
		{0, "\x89PNG", "a PNG picture"},
		{0, "\xff\xd8\xff", "a JPEG picture"},
		{0, "GIF8", "a GIF picture"},
		{8, "WEBP", "a WebP picture"},
		{0, "%PDF-", "a PDF document"},
		{0, "PK\x03\x04", "a spreadsheet's own file (XLSX, ODS) or another ZIP archive"},
		{0, "\xd0\xcf\x11\xe0", "a spreadsheet's own file (XLS)"},
		{0, "\x1f\x8b", "a gzip archive"},
	} {
		if len(head) >= k.at && bytes.HasPrefix(head[k.at:], []byte(k.mark)) {
			return k.name
		}
	}
	return ""
}

// foreignMost is how much of a file [foreign] looks at.
const foreignMost = 16
