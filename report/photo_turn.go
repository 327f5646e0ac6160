package report

import (
	"encoding/binary"
	"errors"
	"image"
	"io"
)

// Orientation says how a camera was held: the Exif tag 274. Its values say which
// side of the scene the picture's first row and first column are (TIFF 6.0, page
// 36; Exif takes it over).
type Orientation uint16

// Upright is a picture stored as it is seen.
const Upright Orientation = 1

// orientationTag is the number of the tag.
const orientationTag = 274

// OrientationOf finds the orientation in a JPEG file; Upright where it says none.
// The error is one of reading.
func OrientationOf(content io.ReadSeeker) (Orientation, error) {
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return Upright, err
	}
	turn := Upright
	err := eachSegment(content, func(marker byte, payload []byte) bool {
		if marker == markerAPP1 && len(payload) > 6 && string(payload[:6]) == "Exif\x00\x00" {
			turn = tiffOrientation(payload[6:])
			return false
		}
		return true
	})
	if errors.Is(err, errNotJPEG) {
		err = nil // the decoder says what it is
	}
	return turn, err
}

// tiffOrientation reads the tag out of the first directory of a TIFF structure.
func tiffOrientation(b []byte) Orientation {
	if len(b) < 8 {
		return Upright
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(b[:2]) == "MM" {
		order = binary.BigEndian
	} else if string(b[:2]) != "II" {
		return Upright
	}
	at := int64(order.Uint32(b[4:]))
	if at < 8 || at+2 > int64(len(b)) {
		return Upright
	}
	entries := b[at+2:]
	for range order.Uint16(b[at:]) {
		if len(entries) < 12 {
			return Upright
		}
		const short = 3 // the type of the value
		if order.Uint16(entries) == orientationTag && order.Uint16(entries[2:]) == short {
			if value := Orientation(order.Uint16(entries[8:])); value >= 1 && value <= 8 {
				return value
			}
			return Upright
		}
		entries = entries[12:]
	}
	return Upright
}

// Apply turns and mirrors a picture so that it is seen as the scene was.
func (o Orientation) Apply(from image.Image) image.Image {
	if o <= Upright || o > 8 {
		return from
	}
	width, height := from.Bounds().Dx(), from.Bounds().Dy()
	if o >= 5 { // on its side
		width, height = height, width
	}
	if camera, ok := from.(*image.YCbCr); ok && (camera.SubsampleRatio == image.YCbCrSubsampleRatio444 || camera.SubsampleRatio == image.YCbCrSubsampleRatio420) {
		return o.applyTo(camera, width, height)
	}
	to := image.NewRGBA(image.Rect(0, 0, width, height))
	first := from.Bounds().Min
	for y := range height {
		for x := range width {
			u, v := o.source(x, y, from.Bounds().Dx(), from.Bounds().Dy())
			to.Set(x, y, from.At(first.X+u, first.Y+v))
		}
	}
	return to
}

// applyTo is Apply for what a camera gives, plane by plane.
func (o Orientation) applyTo(from *image.YCbCr, width, height int) image.Image {
	to := image.NewYCbCr(image.Rect(0, 0, width, height), from.SubsampleRatio)
	across, _ := subsampling(from.SubsampleRatio)
	part := func(n int) int { return (n + across - 1) / across }
	o.turnPlane(to.Y, to.YStride, from.Y, from.YStride, from.Rect.Dx(), from.Rect.Dy())
	o.turnPlane(to.Cb, to.CStride, from.Cb, from.CStride, part(from.Rect.Dx()), part(from.Rect.Dy()))
	o.turnPlane(to.Cr, to.CStride, from.Cr, from.CStride, part(from.Rect.Dx()), part(from.Rect.Dy()))
	return to
}

// turnPlane turns one plane of width by height samples.
func (o Orientation) turnPlane(to []byte, toStride int, from []byte, fromStride, width, height int) {
	across, down := width, height
	if o >= 5 {
		across, down = height, width
	}
	for y := range down {
		for x := range across {
			u, v := o.source(x, y, width, height)
			to[y*toStride+x] = from[v*fromStride+u]
		}
	}
}

// source is where in the stored picture, width by height, the point of the
// upright one comes from.
func (o Orientation) source(x, y, width, height int) (int, int) {
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
