package store

import "testing"

// TestKindOfSound: the first bytes tell a recording though nothing is claimed of it.
// The beginnings are those that the standards give.
func TestKindOfSound(t *testing.T) {
	for _, c := range []struct{ name, start, claimed, want string }{
		{"FLAC", "fLaC\x00\x00\x00\x22\x10\x00\x10\x00", "", "audio/flac"},
		{"FLAC, nothing known of it", "fLaC\x00\x00\x00\x22\x10\x00\x10\x00", "application/octet-stream", "audio/flac"},
		{"MP3 of 128 kbit/s and 44.1 kHz without a tag", "\xff\xfb\x90\x00\x00\x00\x00\x00", "", "audio/mpeg"},
		{"MP3 with a check sum", "\xff\xfa\x90\x00\x00\x00\x00\x00", "", "audio/mpeg"},
		{"MP3 at half the rate", "\xff\xf3\x40\xc0\x00\x00\x00\x00", "", "audio/mpeg"},
		{"MP3 after a tag", "ID3\x03\x00\x00\x00\x00\x00\x00", "", "audio/mpeg"},
		{"WAV", "RIFF\x24\x00\x00\x00WAVEfmt ", "", "audio/wave"},
		{"no bit rate", "\xff\xfb\xf0\x00\x00\x00\x00\x00", "", "application/octet-stream"},
		{"no sampling rate", "\xff\xfb\x9c\x00\x00\x00\x00\x00", "", "application/octet-stream"},
		{"a version that is none", "\xff\xea\x90\x00\x00\x00\x00\x00", "", "application/octet-stream"},
		{"a JPEG picture", "\xff\xd8\xff\xe0\x00\x10JFIF", "", "image/jpeg"},
		{"text in UTF-16", "\xff\xfeh\x00i\x00", "", "text/plain"},
		{"a program", "\x7fELF\x02\x01\x01\x00", "", "application/octet-stream"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := kindOf([]byte(c.start), c.claimed); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}
