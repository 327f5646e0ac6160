package report

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"slices"
)

// markers of a JPEG file (ITU-T T.81, table B.1).
const (
	markerSOI   = 0xd8
	markerEOI   = 0xd9
	markerSOS   = 0xda
	markerAPP0  = 0xe0
	markerAPP1  = 0xe1
	markerAPP2  = 0xe2 // the colour profile
	markerAPP14 = 0xee // says how colours are coded
	markerAPP15 = 0xef
	markerCOM   = 0xfe
)

var errNotJPEG = errors.New("it is no JPEG file")

// eachSegment reads the segments before the picture itself until look is done.
// The reader then stands behind the header of the first scan.
func eachSegment(r io.Reader, look func(marker byte, payload []byte) bool) error {
	var start [2]byte
	if _, err := io.ReadFull(r, start[:]); err != nil || start != [2]byte{0xff, markerSOI} {
		return errNotJPEG
	}
	for range 1000 { // a photo has fewer than fifty
		var head [4]byte
		if _, err := io.ReadFull(r, head[:]); err != nil || head[0] != 0xff {
			return errNotJPEG
		}
		size := int(binary.BigEndian.Uint16(head[2:]))
		if head[1] == markerEOI || size < 2 {
			return errNotJPEG
		}
		payload := make([]byte, size-2)
		if _, err := io.ReadFull(r, payload); err != nil {
			return errNotJPEG
		}
		if !look(head[1], payload) || head[1] == markerSOS {
			return nil
		}
	}
	return errNotJPEG
}

// Bare is a photo as the camera gave it but for what stands beside the picture:
// position, moment, camera, comments, thumbnails and whatever follows its end.
// How the camera was held stays. Only JPEG and PNG can be had so.
func Bare(content []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(content, []byte{0xff, markerSOI}):
		return bareJPEG(content)
	case bytes.HasPrefix(content, pngStart):
		return barePNG(content)
	}
	return nil, errors.New("only of JPEG and PNG files the position can be taken out without changing the picture")
}

func bareJPEG(content []byte) ([]byte, error) {
	out := bytes.NewBuffer([]byte{0xff, markerSOI})
	from := bytes.NewReader(content)
	turn, err := OrientationOf(from)
	if err != nil {
		return nil, err
	}
	if turn != Upright {
		writeSegment(out, markerAPP1, turnOnly(turn))
	}
	if _, err := from.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	err = eachSegment(from, func(marker byte, payload []byte) bool {
		if keptSegment(marker, payload) {
			writeSegment(out, marker, payload)
		}
		return true
	})
	if err != nil {
		return nil, err
	}
	rest, err := io.ReadAll(from)
	if err != nil {
		return nil, err
	}
	end, err := pictureEnd(rest)
	out.Write(rest[:end])
	return out.Bytes(), err
}

// keptSegment reports whether a segment is needed to see the picture.
func keptSegment(marker byte, payload []byte) bool {
	switch {
	case marker == markerAPP2:
		return bytes.HasPrefix(payload, []byte("ICC_PROFILE\x00"))
	case marker == markerAPP0:
		return bytes.HasPrefix(payload, []byte("JFIF\x00"))
	case marker == markerAPP14:
		return true
	}
	return marker != markerCOM && (marker < markerAPP0 || marker > markerAPP15)
}

func writeSegment(out *bytes.Buffer, marker byte, payload []byte) {
	out.Write([]byte{0xff, marker})
	out.Write(binary.BigEndian.AppendUint16(nil, uint16(len(payload)+2)))
	out.Write(payload)
}

// pictureEnd finds the end of the picture in what follows the first scan's
// header. Between the scans of a progressive picture stand tables, and nothing
// else is let through; what follows the end - a second picture, a film - is cut
// off.
func pictureEnd(rest []byte) (int, error) {
	for i := 0; i+1 < len(rest); i++ {
		if rest[i] != 0xff {
			continue
		}
		switch marker := rest[i+1]; {
		case marker == markerEOI:
			return i + 2, nil
		case marker >= markerAPP0 && marker <= markerAPP15 || marker == markerCOM:
			return 0, errors.New("the JPEG file holds notes between its scans")
		}
	}
	return 0, errors.New("the JPEG file has no end: it broke off")
}

// turnOnly is an Exif block that says how the camera was held and nothing else.
func turnOnly(turn Orientation) []byte {
	b := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01")
	b = binary.BigEndian.AppendUint16(b, uint16(turn))
	return append(b, 0, 0, 0, 0, 0, 0)
}

var pngStart = []byte("\x89PNG\r\n\x1a\n")

// pngKept are the chunks that are needed to see the picture (PNG, third edition,
// 5.6): all the rest are texts, moments, Exif.
var pngKept = []string{"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "cHRM", "gAMA", "iCCP", "sBIT", "sRGB", "cICP", "bKGD", "pHYs"}

func barePNG(content []byte) ([]byte, error) {
	out := slices.Clone(pngStart)
	for rest := content[len(pngStart):]; len(rest) >= 12; {
		size := int64(binary.BigEndian.Uint32(rest))
		kind := string(rest[4:8])
		if size+12 > int64(len(rest)) {
			break
		}
		if slices.Contains(pngKept, kind) {
			out = append(out, rest[:size+12]...)
		}
		if kind == "IEND" {
			return out, nil
		}
		rest = rest[size+12:]
	}
	return nil, errors.New("the PNG file has no end: it broke off")
}
