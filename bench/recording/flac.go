package recording

import (
	"errors"
	"fmt"
	"io"

	"github.com/mewkiz/flac"
)

type flacFile struct {
	stream *flac.Stream
	given  uint64
	out    []float32
}

func openFLAC(in io.Reader) (*Recording, error) {
	stream, err := flac.New(in)
	if err != nil {
		return nil, flacMistake(err)
	}
	info := stream.Info
	return &Recording{Format: "FLAC", Channels: int(info.NChannels), rate: int(info.SampleRate), decoder: &flacFile{stream: stream}}, nil
}

func flacMistake(err error) *Error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return cut("it ends within a frame of sound")
	}
	return broken("FLAC", err)
}

// next decodes a frame. The stream's own count of samples, where it is written,
// tells a whole file from a cut one.
func (f *flacFile) next() ([]float32, error) {
	frame, err := f.stream.ParseNext()
	if total := f.stream.Info.NSamples; errors.Is(err, io.EOF) {
		if f.given < total {
			return nil, cut(fmt.Sprintf("%d of %d samples are there", f.given, total))
		}
		return nil, io.EOF
	}
	if err != nil {
		return nil, flacMistake(err)
	}
	bits := int(frame.BitsPerSample)
	if bits == 0 {
		bits = int(f.stream.Info.BitsPerSample)
	}
	n := len(frame.Subframes[0].Samples)
	if cap(f.out) < n {
		f.out = make([]float32, n)
	}
	f.out = f.out[:n]
	clear(f.out)
	scale := 1 / (float32(uint64(1)<<(bits-1)) * float32(len(frame.Subframes)))
	for _, channel := range frame.Subframes {
		for i, v := range channel.Samples[:n] {
			f.out[i] += float32(v) * scale
		}
	}
	f.given += uint64(n)
	return f.out, nil
}
