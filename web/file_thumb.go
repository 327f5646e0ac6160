package web

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/gif" // photos come in these kinds
	"image/jpeg"
	"image/png"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"golang.org/x/image/draw"
	_ "golang.org/x/image/webp"

	"wreckwright/report"
	"wreckwright/store"
)

const (
	// thumbSide is the longer side of a small picture, in pixels.
	thumbSide = 480
	// mostUnpacked bounds the bytes that a picture takes when it is unpacked: those
	// of 52 megapixels, above a phone's photo, at four bytes each. A small file can
	// claim to be a picture of any size.
	mostUnpacked = 4 * 52 << 20
)

// scaledKinds are made small here; drawnKinds are small or scale by themselves
// and are served as they are.
var (
	scaledKinds = []string{"image/jpeg", "image/png", "image/gif", "image/webp"}
	drawnKinds  = []string{"image/svg+xml", "image/avif"}
)

// errNoPicture says that a file is of a kind that gives no small picture here,
// now or later.
var errNoPicture = errors.New("no picture to scale")

// brokenPicture is the error of a file that says it is a picture and cannot be
// unpacked: broken off on its way, or damaged.
type brokenPicture struct{ error }

// thumbs makes small pictures, one at a time: an unpacked photo takes up to 200 MB.
type thumbs struct{ one sync.Mutex }

// fileThumb serves a small picture of a file, or a drawn sheet where it has
// none.
func (s *Server) fileThumb(w http.ResponseWriter, r *http.Request) error {
	content, info, err := s.openFile(r)
	if err != nil {
		return err
	}
	defer content.Close()
	if slices.Contains(drawnKinds, info.MediaType) {
		serveFile(w, r, content, info)
		return nil
	}
	small, err := s.thumb(content, info)
	if err != nil {
		s.log.Debug("no small picture", "file", info.Hash, "reason", err)
	}
	w.Header().Set("Content-Security-Policy", uploadPolicy)
	w.Header().Set("Content-Type", "image/jpeg")
	if err == nil || errors.Is(err, errNoPicture) {
		cacheFile(w, info.Hash+"-small")
	} else {
		w.Header().Set("Cache-Control", "no-store") // the next time it may do
	}
	if err != nil {
		w.Header().Set("Content-Type", "image/svg+xml")
		small = []byte(sheetDrawing)
	}
	http.ServeContent(w, r, "", info.AddedAt, bytes.NewReader(small))
	return nil
}

// sheetDrawing stands for a file that has no picture.
const sheetDrawing = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 160 120"><rect width="160" height="120" fill="#efeae0"/>` +
	`<path d="M56 18h34l18 18v66H56z" fill="#fffdf8" stroke="#625b50" stroke-width="2" stroke-linejoin="round"/>` +
	`<path d="M90 18v18h18M66 52h32M66 64h32M66 76h22" fill="none" stroke="#625b50" stroke-width="2" stroke-linecap="round"/></svg>`

// thumb takes the small picture out of the book's folder or makes it and keeps
// it there. Where it cannot be kept it is made again the next time.
func (s *Server) thumb(content io.ReadSeeker, info store.FileInfo) ([]byte, error) {
	if !slices.Contains(scaledKinds, info.MediaType) {
		return nil, errNoPicture
	}
	at := s.workshop.Book().SmallPicturePath(info.Hash)
	if small, err := os.ReadFile(at); err == nil {
		return small, nil
	}
	s.thumbs.one.Lock()
	defer s.thumbs.one.Unlock()
	if small, err := os.ReadFile(at); err == nil {
		return small, nil // made while this request waited
	}
	small, err := makeThumb(content)
	if err != nil {
		return nil, err
	}
	if err := keepThumb(at, small); err != nil {
		s.log.Debug("small picture not kept", "error", err)
	}
	return small, nil
}

// keepThumb writes through a file aside, so that a half-written picture is never
// served.
func keepThumb(at string, small []byte) error {
	if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(at), ".new-*")
	if err != nil {
		return err
	}
	_, err = f.Write(small)
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), at)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // a leftover costs a few kilobytes only
	}
	return err
}

// makeThumb scales a photo down and turns it the way it was held.
func makeThumb(content io.ReadSeeker) ([]byte, error) {
	claimed, kind, err := image.DecodeConfig(content)
	if err != nil {
		return nil, decodingFailed(kind, err)
	}
	if claimed.Width < 1 || claimed.Height < 1 || claimed.Width > mostUnpacked/bytesPerPixel(claimed.ColorModel)/claimed.Height {
		return nil, fmt.Errorf("%w: %d x %d pixels are too many to unpack", errNoPicture, claimed.Width, claimed.Height)
	}
	turn := report.Upright
	if kind == "jpeg" {
		if turn, err = report.OrientationOf(content); err != nil {
			return nil, err
		}
	}
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	photo, _, err := image.Decode(content)
	if err != nil {
		return nil, decodingFailed(kind, err)
	}
	var out bytes.Buffer
	err = jpeg.Encode(&out, turn.Apply(scaleDown(photo, thumbSide)), &jpeg.Options{Quality: 80})
	return out.Bytes(), err
}

// bytesPerPixel is what the decoders take for a pixel of a colour model, rounded
// up where they differ.
func bytesPerPixel(m color.Model) int {
	if _, ok := m.(color.Palette); ok {
		return 1
	}
	switch m {
	case color.GrayModel, color.AlphaModel:
		return 1
	case color.Gray16Model, color.Alpha16Model:
		return 2
	case color.RGBA64Model, color.NRGBA64Model:
		return 8
	}
	return 4
}

// decodingFailed tells a picture in a form that is not known here, one that is
// broken, and a disk that did not read apart.
func decodingFailed(kind string, err error) error {
	var (
		disk   *fs.PathError
		noJPEG jpeg.UnsupportedError
		noPNG  png.UnsupportedError
	)
	cutOff := errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF)
	switch {
	case errors.As(err, &disk):
		return err
	case errors.As(err, &noJPEG), errors.As(err, &noPNG), kind == "webp" && !cutOff: // moving ones are not read
		return fmt.Errorf("%w: %w", errNoPicture, err)
	}
	return &brokenPicture{err}
}

// scaleDown makes the longer side that many pixels long, on white where the
// picture is see-through; a smaller picture keeps its size.
func scaleDown(photo image.Image, side int) *image.RGBA {
	from := photo.Bounds()
	width, height := from.Dx(), from.Dy()
	if longer := max(width, height); longer > side {
		width, height = max(1, width*side/longer), max(1, height*side/longer)
	}
	to := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.Draw(to, to.Bounds(), image.White, image.Point{}, draw.Src)
	draw.BiLinear.Scale(to, to.Bounds(), photo, from, draw.Over, nil)
	return to
}
