package recording

import (
	"bytes"
	"encoding/binary"
	"errors"
	"strings"
	"testing"
)

// TestCommentsWithoutEnd: a file that announces four thousand million comments is
// refused before room is made for them.
func TestCommentsWithoutEnd(t *testing.T) {
	data := readFile(t, "tone.ogg")
	at := bytes.Index(data, []byte("\x03vorbis"))
	vendor := int(binary.LittleEndian.Uint32(data[at+7:]))
	binary.LittleEndian.PutUint32(data[at+11+vendor:], 0xffffffff)
	second := bytes.LastIndex(data[:at], []byte("OggS"))
	setPageSum(data[second:])
	var wrong *Error
	if _, err := Open(bytes.NewReader(data)); !errors.As(err, &wrong) || !strings.Contains(err.Error(), errComments.Error()) {
		t.Errorf("%v", err)
	}
}

// setPageSum writes the checksum of the page that data begins with, so that the
// page is sound but for what it says.
func setPageSum(data []byte) {
	n := pageHeadBytes + int(data[26])
	for _, v := range data[pageHeadBytes : pageHeadBytes+int(data[26])] {
		n += int(v)
	}
	clear(data[22:26])
	sum := uint32(0)
	for _, b := range data[:n] {
		sum ^= uint32(b) << 24
		for range 8 {
			high := sum >> 31
			sum = sum<<1 ^ high*0x04c11db7
		}
	}
	binary.LittleEndian.PutUint32(data[22:], sum)
}
