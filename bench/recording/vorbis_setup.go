package recording

import (
	"errors"
	"io"
	"math"
	"math/bits"
)

// mostHeaderBytes bounds what is read of a file before its first sound: pictures
// stand among the comments.
const mostHeaderBytes = 8 << 20

// mostBookValues bounds entries times dimensions of one codebook: a hundred times
// what encoders write.
const mostBookValues = 1 << 20

var errSetup = errors.New("no believable header of codebooks")

// readHeaders reads the pages up to the end of the third packet, the codebooks,
// and gives all of it, to be put before the rest again, and that packet.
//
// ref: RFC_3533 section 6
func readHeaders(in io.Reader) (all, setup []byte, err error) {
	packet, head := 0, make([]byte, pageHeadBytes)
	for packet < 3 && len(all) < mostHeaderBytes {
		if _, err := io.ReadFull(in, head); err != nil {
			return nil, nil, err
		}
		if string(head[:4]) != "OggS" {
			return nil, nil, errSetup
		}
		lacing := make([]byte, head[26])
		if _, err := io.ReadFull(in, lacing); err != nil {
			return nil, nil, err
		}
		all = append(append(all, head...), lacing...)
		for _, size := range lacing {
			part := make([]byte, size)
			if _, err := io.ReadFull(in, part); err != nil {
				return nil, nil, err
			}
			all = append(all, part...)
			if packet == 2 {
				setup = append(setup, part...)
			}
			if size < 255 {
				packet++
			}
		}
	}
	if packet < 3 {
		return nil, nil, errSetup
	}
	return all, setup, nil
}

// checkBooks walks the codebooks of a setup packet: the decoder makes room for
// entries times dimensions before it looks at one, and memory that is not there
// ends the program.
//
// ref: VORBIS_I section 3.2.1; VORBIS_I section 4.2.4
func checkBooks(setup []byte) error {
	if len(setup) < 8 || string(setup[:7]) != "\x05vorbis" {
		return errSetup
	}
	b := &bitReader{data: setup[7:]}
	for range b.take(8) + 1 {
		if err := b.book(); err != nil {
			return err
		}
	}
	return nil
}

// bitReader takes bits, the lowest of each byte first. Behind the end it gives
// noughts and remembers.
type bitReader struct {
	data []byte
	at   int
	over bool
}

func (b *bitReader) take(n int) uint32 {
	var v uint32
	for i := range n {
		if b.at/8 >= len(b.data) {
			b.over = true
			return v
		}
		v |= uint32(b.data[b.at/8]>>(b.at%8)&1) << i
		b.at++
	}
	return v
}

// book walks one codebook.
func (b *bitReader) book() error {
	sync, dimensions, entries := b.take(24), b.take(16), b.take(24)
	if sync != 0x564342 || uint64(entries)*uint64(max(dimensions, 1)) > mostBookValues {
		return errSetup
	}
	if b.take(1) == 1 {
		b.orderedLengths(entries)
	} else {
		b.lengths(entries)
	}
	kind := b.take(4)
	if kind > 2 || b.over {
		return errSetup
	}
	if kind == 0 {
		return nil
	}
	b.at += 64 // the least value and the step
	width := int(b.take(4)) + 1
	b.take(1)
	values := int(entries * dimensions)
	if kind == 1 {
		values = latticeValues(entries, dimensions)
	}
	if b.at += values * width; b.at > 8*len(b.data) {
		return errSetup
	}
	return nil
}

// lengths walks code lengths that stand one by one, with gaps where sparse.
func (b *bitReader) lengths(entries uint32) {
	sparse := b.take(1) == 1
	for range entries {
		if !sparse || b.take(1) == 1 {
			b.take(5)
		}
		if b.over {
			return
		}
	}
}

// orderedLengths walks code lengths that are told as how many there are of each.
func (b *bitReader) orderedLengths(entries uint32) {
	b.take(5)
	for done := uint32(0); done < entries && !b.over; {
		done += b.take(bits.Len32(entries - done))
	}
}

// latticeValues is the largest n whose power of the dimensions is within entries.
func latticeValues(entries, dimensions uint32) int {
	if dimensions == 0 {
		return 0
	}
	n := int(math.Pow(float64(entries), 1/float64(dimensions)))
	within := func(n int) bool { return math.Pow(float64(n), float64(dimensions)) <= float64(entries) }
	for within(n + 1) {
		n++
	}
	for n > 0 && !within(n) {
		n--
	}
	return n
}
