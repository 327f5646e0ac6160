package web

import (
	"encoding/binary"
	"image"
	"io"
)

// orientation says how a camera was held: the Exif tag 274, "Orientation". Its
// values say which side of the scene the picture's first row and first column
// are (TIFF 6.0, page 36; Exif takes it over).
type orientation uint16

const upright orientation = 1

// orientationTag is the number of the tag in the first directory.
const orientationTag = 274

// readOrientation finds the orientation in a JPEG file; upright where it says
// none or cannot be read.
func readOrientation(r io.Reader) orientation {
	var start [2]byte
	if _, err := io.ReadFull(r, start[:]); err != nil || start != [2]byte{0xff, 0xd8} {
		return upright
	}
	for range 64 { // segments before the picture itself; a photo has fewer than ten
		marker, payload := nextSegment(r)
		switch {
		case payload == nil:
			return upright
		case marker == 0xe1 && len(payload) > 6 && string(payload[:6]) == "Exif\x00\x00":
			return tiffOrientation(payload[6:])
		}
	}
	return upright
}

// nextSegment reads one JPEG segment that comes before the picture; nil at its
// start or at anything else.
func nextSegment(r io.Reader) (marker byte, payload []byte) {
	var head [4]byte
	if _, err := io.ReadFull(r, head[:]); err != nil || head[0] != 0xff {
		return 0, nil
	}
	size := int(binary.BigEndian.Uint16(head[2:]))
	if head[1] == 0xda || head[1] == 0xd9 || size < 2 {
		return 0, nil
	}
	payload = make([]byte, size-2)
	if _, err := io.ReadFull(r, payload); err != nil {
		return 0, nil
	}
	return head[1], payload
}

// tiffOrientation reads the tag out of the first directory of a TIFF structure.
func tiffOrientation(b []byte) orientation {
	if len(b) < 8 {
		return upright
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(b[:2]) == "MM" {
		order = binary.BigEndian
	} else if string(b[:2]) != "II" {
		return upright
	}
	at := int64(order.Uint32(b[4:]))
	if at < 8 || at+2 > int64(len(b)) {
		return upright
	}
	entries := b[at+2:]
	for range order.Uint16(b[at:]) {
		if len(entries) < 12 {
			return upright
		}
		const short = 3 // the type of the value
		if order.Uint16(entries) == orientationTag && order.Uint16(entries[2:]) == short {
			if value := orientation(order.Uint16(entries[8:])); value >= 1 && value <= 8 {
				return value
			}
			return upright
		}
		entries = entries[12:]
	}
	return upright
}

// apply turns and mirrors a picture so that it is seen as the scene was.
func (o orientation) apply(from *image.RGBA) *image.RGBA {
	if o <= upright || o > 8 {
		return from
	}
	width, height := from.Rect.Dx(), from.Rect.Dy()
	to := image.NewRGBA(image.Rect(0, 0, width, height))
	if o >= 5 { // on its side
		to = image.NewRGBA(image.Rect(0, 0, height, width))
	}
	for y := range to.Rect.Dy() {
		for x := range to.Rect.Dx() {
			u, v := o.source(x, y, width, height)
			to.SetRGBA(x, y, from.RGBAAt(u, v))
		}
	}
	return to
}

// source is where in the stored picture, width by height, the point of the
// upright one comes from.
func (o orientation) source(x, y, width, height int) (int, int) {
	switch o {
	case 2: // first row top, first column right
		return width - 1 - x, y
	case 3: // bottom, right
		return width - 1 - x, height - 1 - y
	case 4: // bottom, left
		return x, height - 1 - y
	case 5: // left, top
		return y, x
	case 6: // right, top
		return y, height - 1 - x
	case 7: // right, bottom
		return width - 1 - y, height - 1 - x
	case 8: // left, bottom
		return width - 1 - y, x
	}
	return x, y
}
