package recording

import (
	"bufio"
	"bytes"
	"errors"
	"io"

	"github.com/jfreymuth/oggvorbis"
)

type vorbisFile struct {
	reader   *oggvorbis.Reader
	channels int
	raw      []float32
	out      []float32
}

func openVorbis(in *bufio.Reader) (*Recording, error) {
	if err := checkComments(in); err != nil {
		return nil, vorbisMistake(err)
	}
	head, setup, err := readHeaders(in)
	if err != nil {
		return nil, vorbisMistake(err)
	}
	if err := checkBooks(setup); err != nil {
		return nil, vorbisMistake(err)
	}
	// without its Seek the reader does not look for the end first
	reader, err := oggvorbis.NewReader(io.MultiReader(bytes.NewReader(head), in))
	if err != nil {
		return nil, vorbisMistake(err)
	}
	c := reader.Channels()
	if c < 1 || c > mostChannels {
		return nil, broken("Ogg Vorbis", errors.New("no channels"))
	}
	v := &vorbisFile{reader: reader, channels: c, raw: make([]float32, 4096*c), out: make([]float32, 4096)}
	return &Recording{Format: "Ogg Vorbis", Channels: c, rate: reader.SampleRate(), decoder: v}, nil
}

func vorbisMistake(err error) *Error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return cut("the page that is marked as the last is missing")
	}
	return broken("Ogg Vorbis", err)
}

func (v *vorbisFile) next() ([]float32, error) {
	n, err := v.reader.Read(v.raw)
	count := n / v.channels
	for i := range count {
		sum := float32(0)
		for _, x := range v.raw[i*v.channels : (i+1)*v.channels] {
			sum += x
		}
		v.out[i] = sum / float32(v.channels)
		if v.out[i] != v.out[i] || v.out[i] > 1e6 || v.out[i] < -1e6 {
			return nil, broken("Ogg Vorbis", errors.New("a sample that is no number"))
		}
	}
	switch {
	case errors.Is(err, io.EOF):
		return v.out[:count], io.EOF
	case err != nil:
		return nil, vorbisMistake(err)
	}
	return v.out[:count], nil
}
