package recording

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"runtime"

	"github.com/hajimehoshi/go-mp3"
)

const (
	chunkFrames = 128 // of a chunk: 3.3 s at 44.1 kHz
	warmFrames  = 1   // decoded before a chunk and dropped
	mostBack    = 511 // bytes that a frame's sound may begin before it
	mostWorkers = 8
)

// chunk is a run of frames that is decoded by itself to the very samples that it
// has within the whole.
//
// Of what came before, a frame needs the bit reservoir (main data that stands in
// earlier frames), the overlap of the granule before, and the 16 steps of the
// synthesis filter before. One frame decoded before it gives all: its first granule
// may come out wrong for want of the overlap, but leaves the right one behind;
// its second, of 18 steps, then fills the filter. What that frame needs of the reservoir
// is handed over in frames made silent.
//
// ref: ISO_11172_3 clause 2.4.2.7
type chunk struct {
	bytes []byte
	drop  int // frames before those of the chunk
	n     int // frames of the chunk
}

// mp3Chunks cuts the file into chunks and decodes a few ahead, each in a goroutine
// that ends with its chunk whether its samples are fetched or not; so nothing has
// to be closed. From where the frames are no longer even, the rest is decoded in one go.
type mp3Chunks struct {
	in       *bufio.Reader
	frames   *frameCount
	perChunk int
	first    []byte     // head of the first frame
	now      []mp3Frame // the chunk being gathered, behind those that it needs
	drop     int        // of them, before the chunk itself
	waiting  []chan decoded
	rest     decoder // set once no more chunks can be cut
}

type decoded struct {
	samples []float32
	err     error
}

func newMP3Chunks(in *bufio.Reader, perChunk int) *mp3Chunks {
	return &mp3Chunks{in: in, frames: new(frameCount), perChunk: perChunk}
}

// open begins; a file too short for two chunks is decoded in one go.
func (m *mp3Chunks) open() (*Recording, error) {
	c, ok := m.cut()
	if !ok {
		flow, err := m.flow()
		if err != nil {
			return nil, err
		}
		return &Recording{Format: "MP3", Channels: 2, rate: flow.reader.SampleRate(), decoder: flow}, nil
	}
	m.start(c)
	return &Recording{Format: "MP3", Channels: 2, rate: fullRates[m.first[2]>>2&3], decoder: m}, nil
}

// flow decodes what is gathered and all that follows.
func (m *mp3Chunks) flow() (*mp3Flow, error) {
	return newMP3Flow(m.bytes(), m.drop, m.in, m.frames)
}

// bytes are the frames gathered, those before the warm ones made silent: what they
// would decode to without their own reservoir is not sure to decode at all.
func (m *mp3Chunks) bytes() []byte {
	var out []byte
	held := 0
	for i, f := range m.now {
		if i >= m.drop-warmFrames {
			out = append(out, f.bytes...)
			continue
		}
		back := min(held, mostBack)
		out = append(out, f.silenced(back)...)
		held = back + f.main()
	}
	return out
}

// cut gathers the next chunk; false where the frames end or are no longer even
// before there is one.
func (m *mp3Chunks) cut() (chunk, bool) {
	for len(m.now)-m.drop < 4*m.perChunk {
		f, ok := m.frame()
		if !ok {
			return chunk{}, false
		}
		m.now = append(m.now, f)
		if len(m.now)-m.drop < m.perChunk {
			continue
		}
		if need, ok := m.needed(); ok {
			c := chunk{m.bytes(), m.drop, len(m.now) - m.drop}
			m.now, m.drop = append([]mp3Frame(nil), m.now[len(m.now)-need:]...), need
			return c, true
		}
	}
	return chunk{}, false
}

// needed is how many of the frames gathered a chunk needs that begins behind them;
// false where they do not hold all of it.
func (m *mp3Chunks) needed() (int, bool) {
	warm := len(m.now) - warmFrames
	if warm == 0 || m.now[warm].back > m.now[warm-1].held {
		return 0, false // its sound begins in frames that are missing
	}
	from := warm
	for have := 0; have < m.now[warm].back; have += m.now[from].main() {
		if from--; from < 0 {
			return 0, false
		}
	}
	return len(m.now) - from, true
}

// frame takes the next frame where it is whole and even; else it takes nothing.
func (m *mp3Chunks) frame() (mp3Frame, bool) {
	head, err := m.in.Peek(evenHead)
	if err != nil || m.first != nil && !alike(m.first, head) {
		return mp3Frame{}, false
	}
	f, size, ok := frameOf(head)
	if !ok {
		return f, false
	}
	whole, err := m.in.Peek(size)
	if err != nil {
		return f, false
	}
	f.bytes = bytes.Clone(whole)
	_, _ = m.in.Discard(size)
	_, _ = m.frames.Write(f.bytes) // never fails
	if m.first == nil {
		m.first = f.bytes[:4]
	}
	if n := len(m.now); n > 0 {
		f.held = m.now[n-1].held
		if f.back <= f.held {
			f.held = f.back
		}
	}
	f.held += f.main()
	return f, true
}

// start decodes a chunk in a goroutine.
func (m *mp3Chunks) start(c chunk) {
	done := make(chan decoded, 1)
	go func() {
		samples, err := c.decode()
		done <- decoded{samples, err}
	}()
	m.waiting = append(m.waiting, done)
}

// decode gives the samples of a chunk, up to a mistake where there is one.
func (c chunk) decode() (out []float32, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = broken("MP3", fmt.Errorf("decoder: %v", p))
		}
	}()
	reader, err := mp3.NewDecoder(struct{ io.Reader }{bytes.NewReader(c.bytes)})
	if err != nil {
		return nil, broken("MP3", err)
	}
	if _, err := io.CopyN(io.Discard, reader, int64(c.drop)*pcmBytes); err != nil {
		return nil, broken("MP3", err)
	}
	out = make([]float32, c.n*pcmBytes/4)
	raw := make([]byte, pcmBytes)
	for i := range c.n {
		n, err := io.ReadFull(reader, raw)
		averaged(out[i*pcmBytes/4:], raw[:n])
		if err != nil {
			return out[:i*pcmBytes/4+n/4], broken("MP3", err)
		}
	}
	return out, nil
}

func (m *mp3Chunks) next() ([]float32, error) {
	for m.rest == nil && len(m.waiting) <= min(runtime.GOMAXPROCS(0), mostWorkers) {
		c, ok := m.cut()
		if ok {
			m.start(c)
			continue
		}
		flow, err := m.flow()
		if err != nil {
			m.rest = failed{err}
		} else {
			m.rest = flow
		}
	}
	if len(m.waiting) == 0 {
		return m.rest.next()
	}
	d := <-m.waiting[0]
	m.waiting = m.waiting[1:]
	return d.samples, d.err
}

// failed is a decoder that could not begin.
type failed struct{ err error }

func (f failed) next() ([]float32, error) { return nil, f.err }
