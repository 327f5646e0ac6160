package report

import (
	"encoding/binary"
	"image"
	"math"
)

// smallJPEG unpacks a camera's JPEG at a half, a quarter or an eighth of its size:
// of each block of 8 by 8 only the coarse frequencies are turned back, by a
// transform of 4, 2 or 1 points, so that most of the work of unpacking is not
// done. It takes what phones and cameras write (baseline, one scan, one or three
// components); of all else it says false, and it is unpacked the long way.
//
// ref: ITU_T81 annex F, sequential DCT-based mode; ITU_T81 annex A.3.3, inverse DCT
func smallJPEG(data []byte, points int) (picture *image.YCbCr, ok bool) {
	s := &smallDecoder{data: data, points: points}
	if !s.headers() {
		return nil, false
	}
	s.prepare()
	if !s.scan() {
		return nil, false
	}
	return s.out, true
}

// pointsFor is how many points of each block make the longer side about that many
// pixels long; 8: all of them.
func pointsFor(longer, side int) int {
	for _, points := range []int{1, 2, 4} {
		if longer*points/8 >= side*4/5 {
			return points
		}
	}
	return 8
}

// smallPart is one component of the picture.
type smallPart struct {
	id, across, down, table int
	dc, ac                  int
	before                  int32 // the last block's mean
	plane                   []byte
	stride, height          int
}

type smallDecoder struct {
	data   []byte
	at     int
	points int

	width, height int
	parts         []smallPart
	quantities    [4][64]int32
	known         [4]bool
	codes         [2][4]*smallCodes
	restart       int

	bits  bitReader
	out   *image.YCbCr
	block [16]int32
}

// headers reads everything before the scan.
func (s *smallDecoder) headers() bool {
	if len(s.data) < 4 || s.data[0] != 0xff || s.data[1] != markerSOI {
		return false
	}
	s.at = 2
	for s.at+4 <= len(s.data) && s.data[s.at] == 0xff {
		marker, size := s.data[s.at+1], int(binary.BigEndian.Uint16(s.data[s.at+2:]))
		if size < 2 || s.at+2+size > len(s.data) {
			return false
		}
		payload := s.data[s.at+4 : s.at+2+size]
		s.at += 2 + size
		ok := true
		switch marker {
		case 0xc0, 0xc1:
			ok = s.frame(payload)
		case 0xc4:
			ok = s.huffman(payload)
		case 0xdb:
			ok = s.quantization(payload)
		case 0xdd:
			ok = len(payload) == 2
			if ok {
				s.restart = int(binary.BigEndian.Uint16(payload))
			}
		case markerAPP14:
			ok = len(payload) < 12 || payload[11] == 1 // otherwise the colours are not coded as usual
		case markerSOS:
			return s.scanHeader(payload)
		default:
			ok = marker >= markerAPP0 && marker <= markerAPP15 || marker == markerCOM
		}
		if !ok {
			return false
		}
	}
	return false
}

func (s *smallDecoder) frame(p []byte) bool {
	if len(p) < 6 || p[0] != 8 || s.parts != nil || len(p) != 6+3*int(p[5]) || p[5] != 1 && p[5] != 3 {
		return false
	}
	s.height, s.width = int(binary.BigEndian.Uint16(p[1:])), int(binary.BigEndian.Uint16(p[3:]))
	for i := range int(p[5]) {
		c := p[6+3*i:]
		s.parts = append(s.parts, smallPart{id: int(c[0]), across: int(c[1] >> 4), down: int(c[1] & 15), table: int(c[2])})
		if part := s.parts[i]; part.table > 3 || part.across < 1 || part.across > 2 || part.down < 1 || part.down > 2 || i > 0 && (part.across != 1 || part.down != 1) {
			return false
		}
	}
	if len(s.parts) == 1 {
		s.parts[0].across, s.parts[0].down = 1, 1
	}
	return s.width > 0 && s.height > 0 && s.width <= mostPixels/s.height
}

func (s *smallDecoder) quantization(p []byte) bool {
	for len(p) > 0 {
		wide, at := p[0]>>4, p[0]&15
		size := 64 * (1 + int(wide))
		if wide > 1 || at > 3 || len(p) < 1+size {
			return false
		}
		for i := range 64 {
			if wide == 1 {
				s.quantities[at][i] = int32(binary.BigEndian.Uint16(p[1+2*i:]))
			} else {
				s.quantities[at][i] = int32(p[1+i])
			}
		}
		s.known[at] = true
		p = p[1+size:]
	}
	return true
}

func (s *smallDecoder) huffman(p []byte) bool {
	for len(p) > 0 {
		if len(p) < 17 || p[0]>>4 > 1 || p[0]&15 > 3 {
			return false
		}
		codes, used := newSmallCodes(p[1:])
		if codes == nil {
			return false
		}
		s.codes[p[0]>>4][p[0]&15] = codes
		p = p[1+used:]
	}
	return true
}

func (s *smallDecoder) scanHeader(p []byte) bool {
	if len(s.parts) == 0 || len(p) != 4+2*len(s.parts) || int(p[0]) != len(s.parts) {
		return false
	}
	for i := range s.parts {
		part := &s.parts[i]
		part.dc, part.ac = int(p[2+2*i]>>4), int(p[2+2*i]&15)
		if int(p[1+2*i]) != part.id || part.dc > 3 || part.ac > 3 || s.codes[0][part.dc] == nil || s.codes[1][part.ac] == nil || !s.known[part.table] {
			return false
		}
	}
	return true
}

// prepare makes the planes, whole blocks large.
func (s *smallDecoder) prepare() {
	first := s.parts[0]
	units := func(pixels, per int) int { return (pixels + 8*per - 1) / (8 * per) }
	across, down := units(s.width, first.across), units(s.height, first.down)
	for i := range s.parts {
		part := &s.parts[i]
		part.stride, part.height = across*part.across*s.points, down*part.down*s.points
		part.plane = make([]byte, part.stride*part.height)
	}
	ratio := map[[2]int]image.YCbCrSubsampleRatio{
		{1, 1}: image.YCbCrSubsampleRatio444, {2, 2}: image.YCbCrSubsampleRatio420, {2, 1}: image.YCbCrSubsampleRatio422, {1, 2}: image.YCbCrSubsampleRatio440,
	}[[2]int{first.across, first.down}]
	size := image.Rect(0, 0, (s.width*s.points+7)/8, (s.height*s.points+7)/8)
	s.out = &image.YCbCr{Y: s.parts[0].plane, YStride: s.parts[0].stride, SubsampleRatio: ratio, Rect: size}
	if len(s.parts) == 3 {
		s.out.Cb, s.out.Cr, s.out.CStride = s.parts[1].plane, s.parts[2].plane, s.parts[1].stride
		return
	}
	grey := make([]byte, len(s.parts[0].plane))
	for i := range grey {
		grey[i] = 128
	}
	s.out.Cb, s.out.Cr, s.out.CStride = grey, grey, s.parts[0].stride
}

// scan reads all blocks.
func (s *smallDecoder) scan() bool {
	s.bits = bitReader{data: s.data, at: s.at}
	first := s.parts[0]
	across := first.stride / (first.across * s.points)
	down := first.height / (first.down * s.points)
	for unit := range across * down {
		if s.restart > 0 && unit > 0 && unit%s.restart == 0 && !s.startAnew() {
			return false
		}
		for i := range s.parts {
			part := &s.parts[i]
			for b := range part.across * part.down {
				x := (unit%across*part.across + b%part.across) * s.points
				y := (unit/across*part.down + b/part.across) * s.points
				if !s.readBlock(part) {
					return false
				}
				s.turnBack(part.plane[y*part.stride+x:], part.stride)
			}
		}
	}
	return s.bits.beyond <= 8
}

// startAnew passes a restart marker.
func (s *smallDecoder) startAnew() bool {
	if !s.bits.passMarker() {
		return false
	}
	for i := range s.parts {
		s.parts[i].before = 0
	}
	return true
}

// places says for each coefficient in the order of the file where it stands.
var places = [64]uint8{
	0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7, 14, 21, 28,
	35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
}

// readBlock reads the coefficients of a block and keeps the coarse ones.
func (s *smallDecoder) readBlock(part *smallPart) bool {
	quantities := &s.quantities[part.table]
	s.block = [16]int32{}
	size, ok := s.codes[0][part.dc].read(&s.bits)
	if !ok || size > 11 {
		return false
	}
	part.before += s.bits.number(uint(size))
	s.block[0] = part.before * quantities[0]
	codes := s.codes[1][part.ac]
	for k := 1; k < 64; k++ {
		code, ok := codes.read(&s.bits)
		if !ok {
			return false
		}
		run, size := int(code>>4), uint(code&15)
		if size == 0 {
			if run != 15 {
				break
			}
			k += 15
			continue
		}
		if k += run; k > 63 {
			return false
		}
		v := s.bits.number(size)
		if u, w := int(places[k]&7), int(places[k]>>3); u < s.points && w < s.points {
			s.block[w*4+u] = v * quantities[k]
		}
	}
	return true
}

// waves are the base of the transform of four points.
var waves = func() (m [4][4]float32) {
	for x := range 4 {
		for u := range 4 {
			m[x][u] = float32(math.Cos(float64((2*x+1)*u) * math.Pi / 8))
			if u == 0 {
				m[x][u] = float32(math.Sqrt2 / 2)
			}
		}
	}
	return m
}()

// turnBack turns the coarse coefficients into pixels.
func (s *smallDecoder) turnBack(to []byte, stride int) {
	f := &s.block
	switch s.points {
	case 1:
		to[0] = pixel(f[0] >> 3)
	case 2:
		sum, across, down, both := f[0]+4, f[1], f[4], f[5]
		to[0], to[1] = pixel((sum+across+down+both)>>3), pixel((sum-across+down-both)>>3)
		to[stride], to[stride+1] = pixel((sum+across-down-both)>>3), pixel((sum-across-down+both)>>3)
	default:
		var rows [4][4]float32
		for w := range 4 {
			for x := range 4 {
				rows[w][x] = float32(f[w*4])*waves[x][0] + float32(f[w*4+1])*waves[x][1] + float32(f[w*4+2])*waves[x][2] + float32(f[w*4+3])*waves[x][3]
			}
		}
		for y := range 4 {
			for x := range 4 {
				v := rows[0][x]*waves[y][0] + rows[1][x]*waves[y][1] + rows[2][x]*waves[y][2] + rows[3][x]*waves[y][3]
				to[y*stride+x] = pixel(int32(math.Floor(float64(v/4 + 0.5))))
			}
		}
	}
}

func pixel(v int32) byte { return byte(min(max(v+128, 0), 255)) }
