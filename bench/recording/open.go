package recording

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// Recording is a sound file being read.
type Recording struct {
	Format   string // "WAV", "FLAC", "MP3", "Ogg Vorbis"
	Channels int
	rate     int
	decoder  decoder
	held     []float32 // decoded, not yet handed out
	err      error
}

// decoder gives the next samples, mono; io.EOF at a proper end.
type decoder interface {
	next() ([]float32, error)
}

// The sample rates and numbers of channels that a file may have.
const (
	lowestRate   = 1000
	highestRate  = 768000
	mostChannels = 32
)

// Open looks at the beginning of a sound file and makes ready to read it.
func Open(r io.Reader) (rec *Recording, err error) {
	defer func() {
		if p := recover(); p != nil {
			rec, err = nil, broken("inside", fmt.Errorf("decoder: %v", p))
		}
	}()
	in := bufio.NewReaderSize(r, 1<<16)
	head, err := in.Peek(64)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("reading the recording: %w", err)
	}
	rec, err = open(in, head)
	if err != nil {
		return nil, err
	}
	if rec.rate < lowestRate || rec.rate > highestRate {
		return nil, &Error{Problem: fmt.Sprintf("says %d samples a second", rec.rate), Expected: fmt.Sprintf("%d to %d", lowestRate, highestRate)}
	}
	if rec.Channels < 1 || rec.Channels > mostChannels {
		return nil, &Error{Problem: fmt.Sprintf("says %d channels", rec.Channels), Expected: fmt.Sprintf("1 to %d", mostChannels)}
	}
	return rec, nil
}

func open(in *bufio.Reader, head []byte) (*Recording, error) {
	has := func(at int, text string) bool { return len(head) >= at && bytes.HasPrefix(head[at:], []byte(text)) }
	switch {
	case len(head) == 0:
		return nil, &Error{Problem: "is empty", Expected: readable}
	case has(0, "RIFF") && has(8, "WAVE"):
		return openWAV(in)
	case has(0, "fLaC"):
		return openFLAC(in)
	case has(0, "OggS") && bytes.Contains(head, []byte("\x01vorbis")):
		return openVorbis(in)
	case has(0, "ID3"), len(head) > 1 && head[0] == 0xff && head[1]&0xe6 == 0xe2:
		return openMP3(in)
	}
	for _, k := range known {
		if has(k.at, k.mark) || k.inside != "" && bytes.Contains(head, []byte(k.inside)) {
			return nil, &Error{Problem: "is " + k.name + ", which is not read here", Expected: readable + ", or the page, where the browser reads it"}
		}
	}
	return nil, &Error{Problem: "is no sound file that is known here", Expected: readable}
}

// known are the marks of files that phones and recorders write.
var known = []struct {
	at           int
	mark, inside string
	name         string
}{
	{4, "ftyp", "", "an MPEG-4 file (AAC)"},
	{0, "#!AMR", "", "an AMR file"},
	{0, "caff", "", "a Core Audio file"},
	{0, "\x1aE\xdf\xa3", "", "a WebM or Matroska file"},
	{0, "RF64", "", "an RF64 file"},
	{0, "FORM", "", "an AIFF file"},
	{0, "\x00no mark", "OpusHead", "an Ogg Opus file"},
	{0, "\xff\xf1", "", "an AAC stream"},
	{0, "\xff\xf9", "", "an AAC stream"},
}

// SampleRate is the number of samples a second.
func (r *Recording) SampleRate() int { return r.rate }

// Read fills a part of the block with mono samples and gives how many; io.EOF at
// the end. A cut or broken file is an [Error].
func (r *Recording) Read(block []float32) (n int, err error) {
	defer func() {
		if p := recover(); p != nil {
			r.held, r.err = nil, broken(r.Format, fmt.Errorf("decoder: %v", p))
			n, err = 0, r.err
		}
	}()
	for idle := 0; len(r.held) == 0; idle++ {
		if r.err != nil {
			return 0, r.err
		}
		if r.held, r.err = r.decoder.next(); idle > 1000 {
			r.err = broken(r.Format, errors.New("frames without samples"))
		}
	}
	n = copy(block, r.held)
	r.held = r.held[n:]
	return n, nil
}
