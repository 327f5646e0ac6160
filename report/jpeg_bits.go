package report

// bitReader reads the bits of a scan: a zero after 0xff is stuffing, anything else
// a marker, before which the bits end (ITU-T T.81, F.1.2.3).
type bitReader struct {
	data   []byte
	at     int
	held   uint64 // the lowest n bits
	n      uint
	beyond int // bytes asked for after the end
}

func (b *bitReader) fill() {
	for b.n <= 48 {
		var next byte
		switch {
		case b.at >= len(b.data):
			b.beyond++
		case b.data[b.at] != 0xff:
			next = b.data[b.at]
			b.at++
		case b.at+1 < len(b.data) && b.data[b.at+1] == 0:
			next = 0xff
			b.at += 2
		default: // a marker: zeros from here on
			b.beyond++
		}
		b.held = b.held<<8 | uint64(next)
		b.n += 8
	}
}

// number reads a number of so many bits in the way that coefficients are written.
func (b *bitReader) number(size uint) int32 {
	if size == 0 {
		return 0
	}
	if b.n < size {
		b.fill()
	}
	b.n -= size
	v := int32(b.held>>b.n) & (1<<size - 1)
	if v < 1<<(size-1) {
		v += -1<<size + 1
	}
	return v
}

// passMarker goes on behind the next restart marker.
func (b *bitReader) passMarker() bool {
	if b.beyond > 8 || b.at+1 >= len(b.data) || b.data[b.at] != 0xff || b.data[b.at+1]&0xf8 != 0xd0 {
		return false
	}
	b.at += 2
	b.held, b.n, b.beyond = 0, 0, 0
	return true
}

// quickBits is how many bits are looked up at once.
const quickBits = 9

// smallCodes is a table of Huffman codes (ITU-T T.81, annex C and F.2.2.3).
type smallCodes struct {
	quick  [1 << quickBits]uint16 // length and value of the code that begins so; 0: a longer one
	values []byte
	most   [17]int32 // the greatest code of each length; -1: none
	first  [17]int32 // what is to be added to a code of that length to find its value
}

// newSmallCodes reads a table: how many codes of each length, then the values. It
// gives nil for one that cannot be.
func newSmallCodes(p []byte) (*smallCodes, int) {
	all := 0
	for _, n := range p[:16] {
		all += int(n)
	}
	if all == 0 || all > 256 || len(p) < 16+all {
		return nil, 0
	}
	c := &smallCodes{values: p[16 : 16+all]}
	code, at := int32(0), int32(0)
	for length := 1; length <= 16; length++ {
		n := int32(p[length-1])
		if code+n > 1<<length {
			return nil, 0
		}
		c.first[length], c.most[length] = at-code, -1
		for i := range n {
			c.note(code+i, length, c.values[at+i])
		}
		if n > 0 {
			c.most[length] = code + n - 1
		}
		code, at = (code+n)<<1, at+n
	}
	return c, 16 + all
}

// note enters a short code in the table that is looked up.
func (c *smallCodes) note(code int32, length int, value byte) {
	if length > quickBits {
		return
	}
	start := code << (quickBits - length)
	for i := range int32(1) << (quickBits - length) {
		c.quick[start+i] = uint16(length)<<8 | uint16(value)
	}
}

// read reads one value; false for a code that is none.
func (c *smallCodes) read(b *bitReader) (byte, bool) {
	if b.n < 16 {
		b.fill()
	}
	if quick := c.quick[b.held>>(b.n-quickBits)&(1<<quickBits-1)]; quick != 0 {
		b.n -= uint(quick >> 8)
		return byte(quick), true
	}
	for length := quickBits + 1; length <= 16; length++ {
		code := int32(b.held>>(b.n-uint(length))) & (1<<length - 1)
		if c.most[length] >= 0 && code <= c.most[length] {
			b.n -= uint(length)
			return c.values[code+c.first[length]], true
		}
	}
	return 0, false
}
