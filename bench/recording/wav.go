package recording

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// wav reads the samples of a WAVE file.
type wav struct {
	in       *bufio.Reader
	form     wavForm
	left     int64 // bytes of the data chunk still to come; endless where the recorder never wrote it
	endless  bool
	raw      []byte
	out      []float32
	sample   func([]byte) float64
	announce int64
}

type wavForm struct {
	Coding     uint16
	Channels   uint16
	Rate       uint32
	ByteRate   uint32
	FrameBytes uint16
	Bits       uint16
}

const (
	codingPCM        = 1
	codingFloat      = 3
	codingExtensible = 0xfffe
	mostFormBytes    = 1 << 10
	wavFrames        = 1 << 12 // read at once
)

// openWAV reads up to the samples.
//
// ref: RIFF_1991 WAVE form
func openWAV(in *bufio.Reader) (*Recording, error) {
	if _, err := in.Discard(12); err != nil {
		return nil, cut("it ends in its header")
	}
	w := &wav{in: in}
	for seen := false; ; {
		var head struct {
			ID   [4]byte
			Size uint32
		}
		if err := binary.Read(in, binary.LittleEndian, &head); err != nil {
			return nil, cut("it ends before its samples")
		}
		size := int64(head.Size)
		switch string(head.ID[:]) {
		case "fmt ":
			if err := w.readForm(size); err != nil {
				return nil, err
			}
			seen = true
		case "data":
			if !seen {
				return nil, broken("WAV", errors.New("samples before the chunk that describes them"))
			}
			return w.ready(size)
		default:
			if n, err := io.CopyN(io.Discard, in, size+size%2); err != nil {
				return nil, cut(fmt.Sprintf("its chunk %q has %d of %d bytes", head.ID, n, size))
			}
		}
	}
}

func (w *wav) readForm(size int64) error {
	if size < 16 || size > mostFormBytes {
		return broken("WAV", fmt.Errorf("a description of %d bytes", size))
	}
	body := make([]byte, size+size%2)
	if _, err := io.ReadFull(w.in, body); err != nil {
		return cut("it ends in its header")
	}
	if _, err := binary.Decode(body, binary.LittleEndian, &w.form); err != nil {
		return broken("WAV", err)
	}
	if w.form.Coding == codingExtensible && size >= 26 {
		// the first two bytes of the sub-format are the coding
		w.form.Coding = binary.LittleEndian.Uint16(body[24:])
	}
	w.sample = sampleReader(w.form.Coding, w.form.Bits)
	if w.sample == nil {
		return &Error{Problem: fmt.Sprintf("is WAV with coding %d of %d bits", w.form.Coding, w.form.Bits), Expected: "PCM of 8, 16, 24 or 32 bits, or float of 32 or 64"}
	}
	if w.form.Channels == 0 || w.form.Channels > mostChannels || int(w.form.FrameBytes) != int(w.form.Channels)*int(w.form.Bits)/8 {
		return broken("WAV", fmt.Errorf("%d channels of %d bits in frames of %d bytes", w.form.Channels, w.form.Bits, w.form.FrameBytes))
	}
	return nil
}

// sampleReader turns the bytes of one sample into a number of full scale 1.
func sampleReader(coding, bits uint16) func([]byte) float64 {
	le := binary.LittleEndian
	switch {
	case coding == codingPCM && bits == 8:
		return func(b []byte) float64 { return (float64(b[0]) - 128) / 128 }
	case coding == codingPCM && bits == 16:
		return func(b []byte) float64 { return float64(int16(le.Uint16(b))) / (1 << 15) }
	case coding == codingPCM && bits == 24:
		return func(b []byte) float64 {
			return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
		}
	case coding == codingPCM && bits == 32:
		return func(b []byte) float64 { return float64(int32(le.Uint32(b))) / (1 << 31) }
	case coding == codingFloat && bits == 32:
		return func(b []byte) float64 { return float64(math.Float32frombits(le.Uint32(b))) }
	case coding == codingFloat && bits == 64:
		return func(b []byte) float64 { return math.Float64frombits(le.Uint64(b)) }
	}
	return nil
}

func (w *wav) ready(size int64) (*Recording, error) {
	// a recorder that was stopped short leaves the size at nothing or all ones
	w.endless = size == 0 || size == math.MaxUint32
	w.left, w.announce = size, size
	w.raw = make([]byte, wavFrames*int(w.form.FrameBytes))
	w.out = make([]float32, wavFrames)
	return &Recording{Format: "WAV", Channels: int(w.form.Channels), rate: int(w.form.Rate), decoder: w}, nil
}

func (w *wav) next() ([]float32, error) {
	raw := w.raw
	if !w.endless {
		raw = raw[:min(int64(len(raw)), w.left)]
	}
	n, err := io.ReadFull(w.in, raw)
	w.left -= int64(n)
	ended := errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
	switch {
	case err != nil && !ended:
		return nil, fmt.Errorf("reading the recording: %w", err)
	case !w.endless && w.left == 0 && n == 0, w.endless && n == 0 && ended:
		return nil, io.EOF
	}
	out, wrong := w.mix(raw[:n])
	if wrong == nil && ended && !w.endless {
		wrong = cut(fmt.Sprintf("%d of %d bytes of sound are there", w.announce-w.left, w.announce))
	}
	return out, wrong
}

func (w *wav) mix(raw []byte) ([]float32, error) {
	frame, width, channels := int(w.form.FrameBytes), int(w.form.Bits)/8, int(w.form.Channels)
	count := len(raw) / frame
	for i := range count {
		sum := 0.0
		for c := range channels {
			sum += w.sample(raw[i*frame+c*width:])
		}
		v := sum / float64(channels)
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			return nil, broken("WAV", errors.New("a sample that is no number"))
		}
		w.out[i] = float32(v)
	}
	return w.out[:count], nil
}
