package recording

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/hajimehoshi/go-mp3"
)

// pcmBytes is a frame of MPEG-1 decoded: 1152 samples of two channels of 16 bits.
const pcmBytes = 4 * 1152

// openMP3 reads over the tags, then decodes even frames in chunks side by side
// and whatever follows in one go.
func openMP3(in *bufio.Reader) (*Recording, error) {
	if err := skipTags(in); err != nil {
		return nil, err
	}
	return newMP3Chunks(in, chunkFrames).open()
}

// skipTags reads over ID3 tags, which may claim any length, without room for them.
// 28 bits of their head are the length.
func skipTags(in *bufio.Reader) error {
	for {
		head, err := in.Peek(tagBytes)
		if err != nil || string(head[:3]) != "ID3" {
			return nil // too short: the decoder says so
		}
		size := int(head[6]&0x7f)<<21 | int(head[7]&0x7f)<<14 | int(head[8]&0x7f)<<7 | int(head[9]&0x7f)
		const footer = 0x10
		if head[5]&footer != 0 {
			size += tagBytes
		}
		_, _ = in.Discard(tagBytes)
		if n, err := in.Discard(size); err != nil {
			return cut(fmt.Sprintf("of the tag before its sound %d of %d bytes are there", n, size))
		}
	}
}

// mp3Flow decodes frame after frame.
type mp3Flow struct {
	reader *mp3.Decoder
	frames *frameCount
	raw    []byte
	out    []float32
}

// newMP3Flow decodes what before holds and in goes on with; drop frames are not
// handed out. The decoder ends quietly where a file is cut: frames, which have
// counted what is in before, count on.
func newMP3Flow(before []byte, drop int, in io.Reader, frames *frameCount) (*mp3Flow, error) {
	all := io.MultiReader(bytes.NewReader(before), io.TeeReader(in, frames))
	reader, err := mp3.NewDecoder(struct{ io.Reader }{all})
	if err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, cut("it ends before its first frame of sound")
		}
		return nil, &Error{Problem: "is broken MP3, or no sound at all", Expected: readable, Cause: err}
	}
	if _, err := io.CopyN(io.Discard, reader, int64(drop)*pcmBytes); err != nil {
		return nil, broken("MP3", err)
	}
	return &mp3Flow{reader: reader, frames: frames, raw: make([]byte, 4*pcmBytes), out: make([]float32, pcmBytes)}, nil
}

func (f *mp3Flow) next() ([]float32, error) {
	n, err := io.ReadFull(f.reader, f.raw)
	averaged(f.out, f.raw[:n])
	switch {
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		if err = f.frames.missing(); err == nil {
			err = io.EOF
		}
	case err != nil:
		err = broken("MP3", err)
	}
	return f.out[:n/4], err
}

// averaged puts the mean of two channels of 16 bits in out.
func averaged(out []float32, raw []byte) {
	for i := range len(raw) / 4 {
		left, right := int16(binary.LittleEndian.Uint16(raw[4*i:])), int16(binary.LittleEndian.Uint16(raw[4*i+2:]))
		out[i] = (float32(left) + float32(right)) / (1 << 16)
	}
}
