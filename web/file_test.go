package web

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"os"
	"strings"
	"testing"

	"wreckwright/report"
)

// jpegOf is a photo of that size, of one colour.
func jpegOf(t testing.TB, width, height int) []byte {
	t.Helper()
	return encodeJPEG(t, image.NewGray(image.Rect(0, 0, width, height)))
}

func encodeJPEG(t testing.TB, picture image.Image) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

const someDrawing = `<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`

func TestFilesAreServedHarmless(t *testing.T) {
	g := newSurveyRig(t)
	for _, c := range []struct {
		name, claimed string
		content       []byte
		kind          string
		shown, boxed  bool // in the browser; in a sandbox
	}{
		{"a.jpg", "image/jpeg", jpegOf(t, 8, 8), "image/jpeg", true, true},
		{"a.svg", "image/svg+xml", []byte(someDrawing), "image/svg+xml", true, true},
		{"a.pdf", "application/pdf", []byte("%PDF-1.4\n"), "application/pdf", true, false},
		{"a.html", "image/jpeg", []byte("<!doctype html><script>alert(1)</script>"), "application/octet-stream", false, true},
		{"a.xml", "text/xml", []byte(`<?xml version="1.0"?><x/>`), "application/octet-stream", false, true},
		{"a.txt", "text/plain", []byte("P0301 misfire"), "text/plain; charset=utf-8", false, true},
		{"a.zip", "application/zip", []byte("PK\x03\x04rest"), "application/zip", false, true},
	} {
		a := g.keepFile(c.name, c.claimed, c.content)
		w := g.get("/files/" + a.Hash + "?name=" + c.name)
		h := w.Header()
		g.wants(w, 200)
		if !bytes.Equal(w.Body.Bytes(), c.content) {
			t.Errorf("%s: not the file that came in", c.name)
		}
		policy := h.Get("Content-Security-Policy")
		if h.Get("Content-Type") != c.kind || h.Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "script") {
			t.Errorf("%s: headers %v", c.name, h)
		}
		if strings.Contains(policy, "sandbox") != c.boxed {
			t.Errorf("%s: policy %q", c.name, policy)
		}
		disposition := h.Get("Content-Disposition")
		if strings.HasPrefix(disposition, "inline") != c.shown || !strings.Contains(disposition, "filename="+c.name) {
			t.Errorf("%s: disposition %q", c.name, disposition)
		}
		if !strings.Contains(h.Get("Cache-Control"), "immutable") {
			t.Errorf("%s: cached %q", c.name, h.Get("Cache-Control"))
		}
		g.wants(g.get("/files/"+a.Hash, "If-None-Match", h.Get("ETag")), http.StatusNotModified)
	}
}

func TestFileNamesCannotLeave(t *testing.T) {
	g := newSurveyRig(t)
	a := g.keepFile("a.zip", "application/zip", []byte("PK\x03\x04rest"))
	w := g.get("/files/" + a.Hash + "?name=..%2F..%2Fetc%0d%0aX:%22y")
	if d := w.Header().Get("Content-Disposition"); strings.ContainsAny(d, "/\r\n") || w.Header().Get("X") != "" {
		t.Errorf("disposition %q", d)
	}
	for _, hash := range []string{"..%2F..%2Fbook.db", strings.Repeat("0", 64), "x"} {
		g.wants(g.get("/files/"+hash), http.StatusNotFound)
		g.wants(g.get("/files/"+hash+"/thumb"), http.StatusNotFound)
	}
}

func TestThumbIsScaledOnceAndKept(t *testing.T) {
	g := newSurveyRig(t)
	a := g.keepFile("a.jpg", "image/jpeg", jpegOf(t, 1200, 900))
	w := g.get("/files/" + a.Hash + "/thumb")
	g.wants(w, 200)
	small, err := jpeg.DecodeConfig(w.Body)
	if err != nil || small.Width != 480 || small.Height != 360 {
		t.Fatalf("%d x %d, %v; want 480 x 360", small.Width, small.Height, err)
	}
	kept := g.book.SmallPicturePath(a.Hash)
	if err := os.WriteFile(kept, []byte("kept"), 0o600); err != nil {
		t.Fatal(err)
	}
	if w := g.get("/files/" + a.Hash + "/thumb"); w.Body.String() != "kept" {
		t.Error("made again although it was kept")
	}
	if found, err := g.book.Verify(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("small pictures trouble the book: %v, %v", found, err)
	}
}

func TestThumbWithoutAPictureIsADrawnSheet(t *testing.T) {
	g := newSurveyRig(t)
	for name, content := range map[string][]byte{
		"report.pdf": []byte("%PDF-1.4\n"),
		"torn.jpg":   jpegOf(t, 600, 600)[:400],
		"bomb.png":   pngClaiming(60_000, 60_000),
		"wide.png":   pngClaiming(1<<31-1, 1<<31-1),
	} {
		a := g.keepFile(name, "", content)
		w := g.get("/files/" + a.Hash + "/thumb")
		g.wants(w, 200, "<svg", "M56 18h34")
		if w.Header().Get("Content-Type") != "image/svg+xml" {
			t.Errorf("%s: served as %q", name, w.Header().Get("Content-Type"))
		}
	}
	a := g.keepFile("a.svg", "", []byte(someDrawing))
	w := g.get("/files/" + a.Hash + "/thumb")
	g.wants(w, 200, someDrawing)
	if !strings.Contains(w.Header().Get("Content-Security-Policy"), "sandbox") {
		t.Error("a drawing outside the sandbox")
	}
}

// pngClaiming is the head of a PNG file that says how large it is and holds
// nothing (PNG specification, 11.2.2 IHDR).
func pngClaiming(width, height uint32) []byte {
	head := append([]byte("IHDR"), make([]byte, 13)...)
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	head[12], head[13] = 8, 6
	out := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head))
}

func TestThumbOfASeeThroughPictureIsOnWhite(t *testing.T) {
	g := newSurveyRig(t)
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewNRGBA(image.Rect(0, 0, 16, 16))); err != nil {
		t.Fatal(err)
	}
	a := g.keepFile("a.png", "", out.Bytes())
	small, err := jpeg.Decode(g.get("/files/" + a.Hash + "/thumb").Body)
	if err != nil {
		t.Fatal(err)
	}
	if r, _, _, _ := small.At(8, 8).RGBA(); r < 0xf000 || small.Bounds().Dx() != 16 {
		t.Errorf("see-through became %v, %v wide", small.At(8, 8), small.Bounds().Dx())
	}
}

// quarters is a picture whose corners tell which way it was turned: by the names
// of the scene's sides, top left is dark, top right red, bottom left green,
// bottom right blue.
var quarters = map[[2]bool]color.RGBA{ // [bottom, right]
	{false, false}: {20, 20, 20, 255}, {false, true}: {220, 20, 20, 255},
	{true, false}: {20, 220, 20, 255}, {true, true}: {20, 20, 220, 255},
}

// storedAs lays the scene out as a camera held that way stores it. The table is
// the standard's: which side of the scene the first row and the first column
// are (TIFF 6.0, page 36, tag 274).
var storedAs = map[report.Orientation][2]string{
	1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
	5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
}

func TestPhotosStandUpright(t *testing.T) {
	for held, sides := range storedAs {
		width, height := 64, 32
		if held >= 5 {
			width, height = 32, 64 // of the file, so that the scene is 64 x 32
		}
		stored := image.NewRGBA(image.Rect(0, 0, width, height))
		for v := range height {
			for u := range width {
				side := map[string]bool{}
				mark(side, sides[0], v < height/2)
				mark(side, sides[1], u < width/2)
				stored.SetRGBA(u, v, quarters[[2]bool{side["bottom"], side["right"]}])
			}
		}
		for _, order := range []binary.ByteOrder{binary.BigEndian, binary.LittleEndian} {
			small, err := makeThumb(bytes.NewReader(withExif(encodeJPEG(t, stored), exifOf(order, held))))
			if err != nil {
				t.Fatal(err)
			}
			checkQuarters(t, held, small)
		}
	}
}

// mark says on which side of the scene a point is: on that side when it is near
// the file's first row or column, else on the opposite one.
func mark(side map[string]bool, name string, near bool) {
	opposite := map[string]string{"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
	if !near {
		name = opposite[name]
	}
	side[name] = true
}

func checkQuarters(t *testing.T, held report.Orientation, small []byte) {
	t.Helper()
	seen, err := jpeg.Decode(bytes.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	if seen.Bounds().Dx() != 64 || seen.Bounds().Dy() != 32 {
		t.Fatalf("orientation %d: %v, want 64 x 32", held, seen.Bounds())
	}
	for at, want := range quarters {
		x, y := 12, 6
		if at[1] {
			x = 52
		}
		if at[0] {
			y = 26
		}
		r, green, b, _ := seen.At(x, y).RGBA()
		if far(r, want.R) || far(green, want.G) || far(b, want.B) {
			t.Errorf("orientation %d: at %d,%d is %v, want %v", held, x, y, seen.At(x, y), want)
		}
	}
}

// far allows for what JPEG loses.
func far(got uint32, want uint8) bool {
	d := int(got>>8) - int(want)
	return d < -30 || d > 30
}

// exifOf is a TIFF structure with one directory of two entries.
func exifOf(order binary.ByteOrder, held report.Orientation) []byte {
	b := []byte("II")
	if order == binary.BigEndian {
		b = []byte("MM")
	}
	add16 := func(v uint16) { b = append(b, 0, 0); order.PutUint16(b[len(b)-2:], v) }
	add32 := func(v uint32) { b = append(b, 0, 0, 0, 0); order.PutUint32(b[len(b)-4:], v) }
	add16(42)
	add32(8)
	add16(2)
	for _, e := range []struct{ tag, value uint16 }{{256, 7}, {274, uint16(held)}} {
		add16(e.tag)
		add16(3)
		add32(1)
		add16(e.value)
		add16(0)
	}
	add32(0)
	return b
}

// withExif puts the structure where cameras put it: in an APP1 segment after the
// start of the file.
func withExif(photo, exif []byte) []byte {
	segment := append([]byte("Exif\x00\x00"), exif...)
	out := append([]byte{}, photo[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(segment)+2))
	out = append(out, segment...)
	return append(out, photo[2:]...)
}
