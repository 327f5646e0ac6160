package report_test

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/report"
)

func decoded(t testing.TB, content []byte) image.Image {
	t.Helper()
	picture, _, err := image.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// betrays reports whether a picture still holds what stood beside it.
func betrays(content []byte) bool {
	return bytes.Contains(content, []byte("GPS-51.5007N")) || bytes.Contains(content, []byte("secret"))
}

// TestShrinkTurnsUpright: eight ways of holding the camera, told by the dark
// corner of the gradient.
func TestShrinkTurnsUpright(t *testing.T) {
	// Where the stored picture's first row and column end up (TIFF 6.0, page 36).
	corners := map[int][2]float64{1: {0, 0}, 2: {1, 0}, 3: {1, 1}, 4: {0, 1}, 5: {0, 0}, 6: {1, 0}, 7: {1, 1}, 8: {0, 1}}
	for turn, corner := range corners {
		for _, size := range []int{300, 3000} { // small ones are taken as they are
			p, err := report.Shrink(bytes.NewReader(photo(size, size*3/4, 0, turn)))
			if err != nil {
				t.Fatal(err)
			}
			if (turn >= 5) != (p.Height > p.Width) || betrays(p.JPEG) || bytes.Contains(p.JPEG, []byte("Exif")) {
				t.Errorf("turn %d: %d x %d, or it tells more than the picture", turn, p.Width, p.Height)
			}
			picture := decoded(t, p.JPEG)
			x, y := int(corner[0]*float64(p.Width-9))+4, int(corner[1]*float64(p.Height-9))+4
			if r, g, _, _ := picture.At(x, y).RGBA(); r>>8 > 16 || g>>8 > 16 {
				t.Errorf("turn %d of %d pixels: the dark corner is not at %v but there is %d, %d", turn, size, corner, r>>8, g>>8)
			}
		}
	}
}

func TestShrinkKinds(t *testing.T) {
	clear := image.NewNRGBA(image.Rect(0, 0, 3000, 20)) // see-through: white on paper
	var out bytes.Buffer
	if err := png.Encode(&out, clear); err != nil {
		t.Fatal(err)
	}
	p, err := report.Shrink(bytes.NewReader(out.Bytes()))
	if err != nil || p.Width != 1200 {
		t.Fatalf("%d pixels wide, %v", p.Width, err)
	}
	if r, _, _, _ := decoded(t, p.JPEG).At(5, 2).RGBA(); r>>8 < 250 {
		t.Error("what is see-through is not white")
	}
	for name, content := range map[string][]byte{
		"text": []byte("no picture"), "cut off": photo(300, 200, 1, 1)[:700], "empty": nil,
		"drawing": []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`),
	} {
		if _, err := report.Shrink(bytes.NewReader(content)); err == nil {
			t.Errorf("%s gave a picture", name)
		}
	}
}

// TestBareIsTheSamePicture: every pixel stays, everything beside goes, and how the
// camera was held stays.
func TestBareIsTheSamePicture(t *testing.T) {
	whole := photo(400, 300, 3, 6)
	comment := append([]byte{0xff, 0xfe, 0, 8}, "secret"...)
	whole = append(append(append([]byte{}, whole[:2]...), comment...), whole[2:]...)
	whole = append(whole, "a film with a secret behind the end"...)
	bare, err := report.Bare(whole)
	if err != nil {
		t.Fatal(err)
	}
	if betrays(bare) {
		t.Error("what stood beside the picture is still there")
	}
	a, b := decoded(t, whole).(*image.YCbCr), decoded(t, bare).(*image.YCbCr)
	if !bytes.Equal(a.Y, b.Y) || !bytes.Equal(a.Cb, b.Cb) || !bytes.Equal(a.Cr, b.Cr) {
		t.Error("it is another picture")
	}
	if p, err := report.Shrink(bytes.NewReader(bare)); err != nil || p.Width != 300 {
		t.Errorf("it is not turned upright any more: %d wide, %v", p.Width, err)
	}
	if again, err := report.Bare(bare); err != nil || !bytes.Equal(again, bare) {
		t.Errorf("bared twice it is another file: %v", err)
	}
}

func TestBarePNG(t *testing.T) {
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewGray(image.Rect(0, 0, 9, 9))); err != nil {
		t.Fatal(err)
	}
	plain := out.Bytes()
	chunk := append([]byte{0, 0, 0, 14}, "tEXtplace\x00a secret"...)
	chunk = append(chunk[:4+4+14], 0, 0, 0, 0)
	whole := append(append(append([]byte{}, plain[:33]...), chunk...), plain[33:]...)
	bare, err := report.Bare(whole)
	if err != nil || !bytes.Equal(bare, plain) {
		t.Errorf("%q, %v", bare, err)
	}
	if _, err := report.Bare([]byte("RIFF....WEBP")); err == nil {
		t.Error("a kind that is not known was bared")
	}
}

// TestPhotosInTheZIP: small ones, bare originals, whole originals.
func TestPhotosInTheZIP(t *testing.T) {
	g := filled(t)
	for name, c := range map[string]struct {
		originals, positions bool
		told                 bool
		width                int
	}{
		"small":     {false, false, false, 480},
		"originals": {true, false, false, 640},
		"positions": {true, true, true, 640},
	} {
		o := g.options(buildfile.Full)
		o.Originals, o.Positions = c.originals, c.positions
		content := g.make(o)
		names, of := parts(t, content)
		n := 0
		for _, at := range names {
			if !strings.HasPrefix(at, "photos/") {
				continue
			}
			n++
			if betrays(of[at]) != c.told {
				t.Errorf("%s: %s betrays the place: %t", name, at, betrays(of[at]))
			}
			if !strings.HasPrefix(at, "photos/"+buildfile.HashOf(of[at])) {
				t.Errorf("%s: %s is not named by its content", name, at)
			}
		}
		if n != 2 || betrays(of[buildfile.PDFName]) {
			t.Errorf("%s: %d photos, or the PDF tells the place", name, n)
		}
		if said := seen(t, content); said != "" {
			t.Errorf("%s: %s", name, said)
		}
	}
}

// TestStopped: whoever calls it back does not wait for the rest.
func TestStopped(t *testing.T) {
	g := filled(t)
	ctx, stop := context.WithCancel(t.Context())
	b, err := g.shop.BuildFile(ctx, g.id, g.options(buildfile.Full))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	_, err = report.Make(ctx, &out, b, g.key, g.book.OpenFile, func(done, of int) {
		if done > of {
			t.Errorf("%d of %d", done, of)
		}
		stop()
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// BenchmarkThreeHundredPhotos makes a build file with 300 photos of twelve
// megapixels, each a file of its own.
func BenchmarkThreeHundredPhotos(b *testing.B) {
	g := newRig(b)
	g.withPhotos(300, 4032, 3024)
	b.ResetTimer()
	b.ReportAllocs()
	for b.Loop() {
		size := len(g.make(g.options(buildfile.Full)))
		b.ReportMetric(float64(size)/1e6, "MB_zip")
	}
	b.ReportMetric(peakMB(), "MB_peak")
}

func noisy(width, height int) []byte {
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	state := uint32(1)
	for y := range height {
		for x := range width {
			state = state*1664525 + 1013904223
			n := byte(state>>24) / 12
			picture.SetRGBA(x, y, color.RGBA{byte(x*200/width) + n, byte(y*200/height) + n, byte((x+y)*100/(width+height)) + n, 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: 85}); err != nil {
		panic(err)
	}
	return out.Bytes()
}

func FuzzOrientation(f *testing.F) {
	photo := []byte{0xff, 0xd8, 0xff, 0xd9}
	f.Add(photo)
	for held := range 10 {
		f.Add(append(append(append([]byte{}, photo[:2]...), exifWith(held)...), photo[2:]...))
	}
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00MM\x00\x2a\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, content []byte) {
		if o, _ := report.OrientationOf(bytes.NewReader(content)); o < 1 || o > 8 {
			t.Errorf("orientation %d", o)
		}
	})
}
