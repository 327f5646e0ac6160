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
	given    int       // samples decoded so far
	from     *source
	err      error
}

// source is the file, whose mistakes of reading are kept apart from those of what
// stands in it: decoders make one of the other.
type source struct {
	io.Reader
	failed error
}

// Read is part of [io.Reader].
func (s *source) Read(p []byte) (int, error) {
	if s.failed != nil {
		return 0, s.failed
	}
	n, err := s.Reader.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		s.failed = err
	}
	return n, err
}

// mistake is err, or why the file could not be read.
func (s *source) mistake(err error) error {
	if s != nil && s.failed != nil {
		return fmt.Errorf("reading the recording: %w", s.failed)
	}
	return err
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
	from := &source{Reader: r}
	in := bufio.NewReaderSize(from, 1<<16)
	head, err := in.Peek(64)
	if err == nil || errors.Is(err, io.EOF) {
		rec, err = open(in, head)
	}
	if err != nil {
		return nil, from.mistake(err)
	}
	rec.from = from
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
			if !k.sound {
				return nil, &Error{Problem: "is no sound file but " + k.name, Expected: readable}
			}
			return nil, &Error{Problem: "is " + k.name + ", which is not read here", Expected: readable + ", or the page, where the browser reads it"}
		}
	}
	return nil, &Error{Problem: "is no sound file that is known here" + asText(head), Expected: readable}
}

// asText says of what begins as plain text that it does.
func asText(head []byte) string {
	for _, c := range head {
		if c < ' ' && c != '\n' && c != '\r' && c != '\t' || c > '~' {
			return ""
		}
	}
	return ": it begins as plain text"
}

// known are the marks of files that phones and recorders write, and of others that
// are taken for them.
var known = []struct {
	at           int
	mark, inside string
	name         string
	sound        bool
}{
	{4, "ftyp", "", "an MPEG-4 file (AAC)", true},
	{0, "#!AMR", "", "an AMR file", true},
	{0, "caff", "", "a Core Audio file", true},
	{0, "\x1aE\xdf\xa3", "", "a WebM or Matroska file", true},
	{0, "RF64", "", "an RF64 file", true},
	{0, "FORM", "", "an AIFF file", true},
	{0, "\x00no mark", "OpusHead", "an Ogg Opus file", true},
	{0, "\xff\xf1", "", "an AAC stream", true},
	{0, "\xff\xf9", "", "an AAC stream", true},
	{0, "\x89PNG", "", "a PNG picture", false},
	{0, "\xff\xd8\xff", "", "a JPEG picture", false},
	{0, "%PDF", "", "a PDF document", false},
	{0, "PK\x03\x04", "", "a ZIP archive", false},
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
		r.held, r.err = r.decoder.next()
		r.given += len(r.held)
		switch {
		case r.err != nil:
			r.err = r.after(r.from.mistake(r.err))
		case idle > 1000:
			r.err = broken(r.Format, errors.New("frames without samples"))
		}
	}
	n = copy(block, r.held)
	r.held = r.held[n:]
	return n, nil
}

// after adds to a mistake of the file how much sound was there before it.
func (r *Recording) after(err error) error {
	var wrong *Error
	if !errors.As(err, &wrong) || r.rate == 0 {
		return err
	}
	told := *wrong
	told.Problem += fmt.Sprintf("; %.4g s of sound could be read", float64(r.given)/float64(r.rate))
	return &told
}
