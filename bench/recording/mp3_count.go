package recording

import (
	"encoding/binary"
	"fmt"
)

// frameCount follows the frames of an MP3 file by their headers, to see whether
// the last is whole and as many are there as the first one says.
//
// ref: ISO_11172_3 clause 2.4.2.3
type frameCount struct {
	head []byte // of the frame or tag at hand, gathered
	skip int64  // bytes to the next header
	n    int64
	said int64 // frames announced in the first, 0 where none
	lost bool  // something stood where a header was expected
}

const tagBytes = 10 // of an ID3 header; also enough for a frame's

// Write takes the bytes that the decoder reads.
func (c *frameCount) Write(p []byte) (int, error) {
	total := len(p)
	for len(p) > 0 && !c.lost {
		if c.skip > 0 {
			n := min(c.skip, int64(len(p)))
			c.skip, p = c.skip-n, p[n:]
			continue
		}
		want := tagBytes
		if c.inFirst() {
			want = firstBytes
		}
		n := min(want-len(c.head), len(p))
		c.head, p = append(c.head, p[:n]...), p[n:]
		if len(c.head) == want {
			c.take(want)
		}
	}
	return total, nil
}

// firstBytes is how much of the first frame is looked at for the announced count.
const firstBytes = 64

// inFirst reports whether the frame at hand may hold the count.
func (c *frameCount) inFirst() bool {
	return c.n == 0 && len(c.head) >= 4 && c.head[0] == 0xff
}

// take reads a header that is whole.
func (c *frameCount) take(have int) {
	h := c.head
	if string(h[:3]) == "ID3" {
		size := int64(h[6])<<21 | int64(h[7])<<14 | int64(h[8])<<7 | int64(h[9])
		c.skip, c.head = size, h[:0]
		return
	}
	size, ok := frameBytes(h)
	switch {
	case !ok:
		c.lost = true
		return
	case c.n == 0 && have < firstBytes:
		return // gather more of the first frame
	case c.n == 0:
		c.said = announced(h)
	}
	c.n++
	if c.skip = size - int64(len(h)); c.skip < 0 {
		c.lost = true
	}
	c.head = h[:0]
}

// missing says what of the file is not there. Tags behind the sound end the count.
func (c *frameCount) missing() error {
	switch {
	case c.skip > 0 && c.n > 0:
		return cut("its last frame of sound is not whole")
	case c.said > 0 && !c.lost && c.n < c.said:
		return cut(fmt.Sprintf("%d of %d frames of sound are there", c.n, c.said))
	}
	return nil
}

// announced is the number of frames, most often without itself, that the first
// frame tells, where an encoder wrote it.
func announced(h []byte) int64 {
	side := 32
	switch mono, low := h[3]>>6 == 3, h[1]>>3&1 == 0; {
	case mono && low:
		side = 9
	case mono || low:
		side = 17
	}
	at := 4 + side
	if mark := string(h[at : at+4]); mark != "Xing" && mark != "Info" || h[at+7]&1 == 0 {
		return 0
	}
	return int64(binary.BigEndian.Uint32(h[at+8:]))
}
