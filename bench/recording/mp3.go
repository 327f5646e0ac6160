package recording

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/hajimehoshi/go-mp3"
)

type mp3File struct {
	reader *mp3.Decoder
	frames *frameCount
	raw    []byte
	out    []float32
}

// openMP3 decodes through a counter of frames, as the decoder ends quietly where
// a file is cut.
func openMP3(in io.Reader) (*Recording, error) {
	f := &mp3File{frames: new(frameCount), raw: make([]byte, 4*4608), out: make([]float32, 4608)}
	reader, err := mp3.NewDecoder(struct{ io.Reader }{io.TeeReader(in, f.frames)})
	if err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, cut("it ends before its first frame of sound")
		}
		return nil, &Error{Problem: "is broken MP3, or no sound at all", Expected: readable, Cause: err}
	}
	f.reader = reader
	return &Recording{Format: "MP3", Channels: 2, rate: reader.SampleRate(), decoder: f}, nil
}

func (f *mp3File) next() ([]float32, error) {
	n, err := io.ReadFull(f.reader, f.raw)
	for i := range n / 4 {
		left, right := int16(binary.LittleEndian.Uint16(f.raw[4*i:])), int16(binary.LittleEndian.Uint16(f.raw[4*i+2:]))
		f.out[i] = (float32(left) + float32(right)) / (1 << 16)
	}
	switch {
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		if e := f.frames.missing(); e != nil {
			return nil, e
		}
		return f.out[:n/4], io.EOF
	case err != nil:
		return nil, broken("MP3", err)
	}
	return f.out[:n/4], nil
}

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

// The bit rates of layer III, kbit/s, for MPEG-1 and for the lower rates of
// MPEG-2; the sampling rates of MPEG-1.
//
// ref: ISO_11172_3 clause 2.4.2.3; ISO_13818_3 clause 2.4.2.3
var (
	fullKbit  = [16]int{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320}
	lowKbit   = [16]int{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160}
	fullRates = [4]int{44100, 48000, 32000}
)

// frameBytes is the length of a frame of layer III by its header.
func frameBytes(h []byte) (int64, bool) {
	if h[0] != 0xff || h[1]&0xe6 != 0xe2 {
		return 0, false
	}
	version := h[1] >> 3 & 3 // 3: MPEG-1, 2: MPEG-2, 0: its extension to still lower rates
	rate, kbit, slots := fullRates[h[2]>>2&3], fullKbit[h[2]>>4], 144
	switch version {
	case 1:
		return 0, false
	case 0, 2:
		kbit, slots, rate = lowKbit[h[2]>>4], 72, rate/2
		if version == 0 {
			rate /= 2
		}
	}
	if rate == 0 || kbit == 0 {
		return 0, false
	}
	return int64(slots*kbit*1000/rate) + int64(h[2]>>1&1), true
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
