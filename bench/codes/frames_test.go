package codes

import (
	"strings"
	"testing"
)

// Answers of several frames, as ISO 15765-2 parts them: a first frame with the
// length, then later ones counted from 21. Readers leave headers out and number the
// lines from 0, with the length in hexadecimal ahead or not. Four codes, ten bytes
// with service and count; three codes, eight.
func TestAnswersOfSeveralFrames(t *testing.T) {
	for name, c := range map[string]struct{ text, codes string }{
		"numbered lines, the length ahead": {"00A\n0: 43 04 01 33 03 01\n1: C1 00 04 20 00 00 00", "P0133 P0301 U0100 P0420"},
		"numbered lines, no length":        {"0: 43 03 01 33 03 01\n1: C1 00 00 00 00 00 00", "P0133 P0301 U0100"},
		"numbered lines without gaps":      {"008\r0:430301330301\r1:C100AAAAAAAAAA\r", "P0133 P0301 U0100"},
		"one line of two frames":           {"7E8 10 08 43 03 01 33 03 01 7E8 21 C1 00 00 00 00 00 00", "P0133 P0301 U0100"},
		"two lines with headers":           {"7E8 10 08 43 03 01 33 03 01\n7E8 21 C1 00 00 00 00 00 00", "P0133 P0301 U0100"},
		"long headers on one line":         {"18DAF110 10 08 43 03 01 33 03 01 18DAF110 21 C1 00", "P0133 P0301 U0100"},
		"two units on one line":            {"7E8 04 43 01 03 01 7E9 04 43 01 04 20", "P0301 P0420"},
	} {
		r, err := Read(c.text, Place{}, Tables{Groups: groups})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var got []string
		for _, code := range r.Codes {
			got = append(got, code.Code)
		}
		if strings.Join(got, " ") != c.codes || len(r.Unclear) != 0 {
			t.Errorf("%s: %q, unclear %+v; want %s", name, got, r.Unclear, c.codes)
		}
	}
	for name, text := range map[string]string{"the last line is missing": "00A\n0: 43 04 01 33 03 01", "the first line is missing": "1: C1 00 00 00 00 00 00", "a line is left out": "00F\n0: 43 06 01 33 03 01\n2: C1 00 00 00 00 00 00"} {
		if r, err := Read(text, Place{}, Tables{Groups: groups}); err == nil && len(r.Unclear) == 0 {
			t.Errorf("%s: %+v", name, r.Codes)
		}
	}
}
