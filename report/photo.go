package report

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/gif" // photos come in these kinds
	"image/jpeg"
	_ "image/png"
	"io"

	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp"
)

// Picture is a photo made small, upright, and free of everything but the picture.
type Picture struct {
	JPEG          []byte
	Width, Height int // pixels
}

const (
	// paperSide is about how many pixels the longer side of a photo gets: 300 a
	// inch at half the width of a page.
	paperSide = 1200
	// paperQuality is that of the JPEG.
	paperQuality = 80
	// mostPixels bounds what is unpacked: above a phone's photo. A small file can
	// claim to be a picture of any size.
	mostPixels = 52 << 20
)

// errNoPicture says that a file gives no picture here.
var errNoPicture = errors.New("it is of a kind of picture that cannot be read here")

// Shrink reads a photo (JPEG, PNG, GIF, WebP) and makes a small JPEG of it,
// turned the way the camera was held. Nothing of what stood beside the picture -
// position, moment, camera, thumbnail, comments - is taken over.
func Shrink(content io.ReadSeeker) (Picture, error) {
	claimed, kind, err := image.DecodeConfig(content)
	if err != nil {
		return Picture{}, errors.Join(errNoPicture, err)
	}
	if claimed.Width < 1 || claimed.Height < 1 || claimed.Width > mostPixels/claimed.Height {
		return Picture{}, fmt.Errorf("%w: %d x %d pixels are too many", errNoPicture, claimed.Width, claimed.Height)
	}
	turn := Upright
	if kind == "jpeg" {
		if turn, err = OrientationOf(content); err != nil {
			return Picture{}, err
		}
	}
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return Picture{}, err
	}
	photo, err := unpack(content, kind, max(claimed.Width, claimed.Height))
	if err != nil {
		return Picture{}, err
	}
	small := turn.Apply(smaller(photo, paperSide))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, small, &jpeg.Options{Quality: paperQuality}); err != nil {
		return Picture{}, err
	}
	return Picture{out.Bytes(), small.Bounds().Dx(), small.Bounds().Dy()}, nil
}

// mostJPEG bounds the file of a photo that is taken into memory.
const mostJPEG = 64 << 20

// unpack unpacks a picture, a camera's one at a part of its size where that will
// do.
func unpack(content io.ReadSeeker, kind string, longer int) (image.Image, error) {
	if points := pointsFor(longer, paperSide); kind == "jpeg" && points < 8 {
		data, err := io.ReadAll(io.LimitReader(content, mostJPEG))
		if err != nil {
			return nil, err
		}
		if small, ok := smallJPEG(data, points); ok {
			return small, nil
		}
		if _, err := content.Seek(0, io.SeekStart); err != nil {
			return nil, err
		}
	}
	photo, _, err := image.Decode(content)
	if err != nil {
		return nil, errors.Join(errNoPicture, err)
	}
	return photo, nil
}

// smaller makes the longer side about that many pixels long; a smaller picture
// keeps its size. What a camera gives is averaged over whole squares, which takes
// a tenth of the time of any other way; what else there is, on white, by x/image.
func smaller(photo image.Image, side int) image.Image {
	from := photo.Bounds()
	longer := max(from.Dx(), from.Dy())
	if camera, ok := photo.(*image.YCbCr); ok {
		if by := (longer + side/2) / side; by > 1 {
			return averaged(camera, by)
		}
		if longer <= side*3/2 {
			return camera
		}
	}
	width, height := from.Dx(), from.Dy()
	if longer > side {
		width, height = max(1, width*side/longer), max(1, height*side/longer)
	}
	to := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.Draw(to, to.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(to, to.Bounds(), photo, from, draw.Over, nil)
	return to
}

// averaged is the picture with each square of by x by pixels made one.
func averaged(from *image.YCbCr, by int) *image.YCbCr {
	width, height := max(1, from.Rect.Dx()/by), max(1, from.Rect.Dy()/by)
	to := image.NewYCbCr(image.Rect(0, 0, width, height), image.YCbCrSubsampleRatio444)
	across, down := subsampling(from.SubsampleRatio)
	averagePlane(to.Y, to.YStride, width, height, plane{from.Y, from.YStride, from.Rect.Dx(), from.Rect.Dy()}, by, 1, 1)
	colours := func(samples []byte) plane {
		return plane{samples, from.CStride, (from.Rect.Dx() + across - 1) / across, (from.Rect.Dy() + down - 1) / down}
	}
	averagePlane(to.Cb, to.CStride, width, height, colours(from.Cb), by, across, down)
	averagePlane(to.Cr, to.CStride, width, height, colours(from.Cr), by, across, down)
	return to
}

// plane is one of the three of a picture.
type plane struct {
	samples               []byte
	stride, width, height int
}

// subsampling is how many pixels share a sample of colour.
func subsampling(r image.YCbCrSubsampleRatio) (across, down int) {
	switch r {
	case image.YCbCrSubsampleRatio422:
		return 2, 1
	case image.YCbCrSubsampleRatio420:
		return 2, 2
	case image.YCbCrSubsampleRatio440:
		return 1, 2
	case image.YCbCrSubsampleRatio411:
		return 4, 1
	case image.YCbCrSubsampleRatio410:
		return 4, 2
	}
	return 1, 1
}

func averagePlane(to []byte, stride, width, height int, from plane, by, across, down int) {
	for y := range height {
		top, bottom := span(y, by, down, from.height)
		for x := range width {
			left, right := span(x, by, across, from.width)
			sum := 0
			for row := top; row < bottom; row++ {
				for _, v := range from.samples[row*from.stride+left : row*from.stride+right] {
					sum += int(v)
				}
			}
			n := (bottom - top) * (right - left)
			to[y*stride+x] = byte((sum + n/2) / n)
		}
	}
}

// span is which samples a pixel of the small picture covers; at least one.
func span(at, by, share, most int) (from, to int) {
	from = min(at*by/share, most-1)
	return from, max(from+1, min((at+1)*by/share, most))
}
