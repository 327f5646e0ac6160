package recording

import "encoding/binary"

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

// mp3Frame is a whole frame of MPEG-1.
type mp3Frame struct {
	bytes        []byte
	sideAt, side int // place and bytes of its side information
	back         int // bytes of main data before the frame that its sound begins with
	held         int // bytes of main data that a decoder keeps after it
}

func (f mp3Frame) main() int { return len(f.bytes) - f.sideAt - f.side }

// evenHead is how much of a frame tells its length and how far back it reaches.
const evenHead = 8

// frameOf reads the head of a frame of MPEG-1 and gives its length. Frames of the
// lower rates, which have one granule, are left to the decoder itself.
//
// ref: ISO_11172_3 clause 2.4.1.7
func frameOf(h []byte) (f mp3Frame, size int, ok bool) {
	const version1, emphasisReserved = 3, 2
	bytes, ok := frameBytes(h)
	if !ok || h[1]>>3&3 != version1 || h[3]&3 == emphasisReserved {
		return f, 0, false
	}
	f = mp3Frame{sideAt: 4, side: 32}
	if h[1]&1 == 0 {
		f.sideAt += 2 // a check sum stands before
	}
	if isMono(h) {
		f.side = 17
	}
	f.back = int(binary.BigEndian.Uint16(h[f.sideAt:]) >> 7)
	return f, int(bytes), int(bytes) >= f.sideAt+f.side
}

func isMono(h []byte) bool { return h[3]>>6 == 3 }

// alike reports whether two heads are of one rate and one number of channels.
func alike(a, b []byte) bool { return a[2]&0x0c == b[2]&0x0c && isMono(a) == isMono(b) }

// silenced is the frame without sound of its own, that keeps up to back bytes of
// main data before it.
func (f mp3Frame) silenced(back int) []byte {
	out := append([]byte(nil), f.bytes...)
	clear(out[f.sideAt : f.sideAt+f.side])
	binary.BigEndian.PutUint16(out[f.sideAt:], uint16(back<<7))
	return out
}
