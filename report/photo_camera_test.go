package report_test

import (
	"bytes"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/report"
)

// cameraPhotos are the photos that testdata/photos/make_photos.py made with another
// library, by name; it also says that they are upright when that library turns them.
func cameraPhotos(t testing.TB) map[string][]byte {
	t.Helper()
	found, err := filepath.Glob("testdata/photos/*.jpg")
	if err != nil || len(found) < 15 {
		t.Fatalf("%d photos, %v", len(found), err)
	}
	photos := map[string][]byte{}
	for _, name := range found {
		content, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		photos[filepath.Base(name)] = content
	}
	return photos
}

// tellsPlace reports whether a file still tells where or with what it was taken: by
// words, or by the numbers of the position.
func tellsPlace(content []byte) bool {
	for _, sign := range []string{"NORVANE-YARD", "GPS", "xmp", "Photoshop", "MPF\x00", "\x00\x00\x00\x33\x00\x00\x00\x01\x00\x00\x00\x1e\x00\x00\x00\x01"} {
		if bytes.Contains(content, []byte(sign)) {
			return true
		}
	}
	return false
}

// notUpright says what is wrong with the scene: red, green, blue, white by rows; in
// grey by how light they are.
func notUpright(picture image.Image, grey bool) string {
	b := picture.Bounds()
	if off := b.Dx()*3 - b.Dy()*4; off < -4 || off > 4 { // a pixel of rounding
		return fmt.Sprintf("%d x %d pixels", b.Dx(), b.Dy())
	}
	want := [][3]int{{255, 0, 0}, {0, 255, 0}, {0, 0, 255}, {255, 255, 255}}
	if grey { // ITU-R BT.601 of the four, from memory
		want = [][3]int{{76, 76, 76}, {150, 150, 150}, {29, 29, 29}, {255, 255, 255}}
	}
	for i, colour := range want {
		x, y := b.Min.X+b.Dx()/4+i%2*b.Dx()/2, b.Min.Y+b.Dy()/4+i/2*b.Dy()/2
		r, g, l, _ := picture.At(x, y).RGBA()
		for k, v := range []uint32{r, g, l} {
			if off := int(v>>8) - colour[k]; off < -12 || off > 12 {
				return fmt.Sprintf("at %d, %d it is %d, %d, %d where %v is", x, y, r>>8, g>>8, l>>8, colour)
			}
		}
	}
	return ""
}

// TestCameraPhotosAreUpright: of every way in which a camera is held and of every
// kind of JPEG that one writes; and the bare original still is the same, upright
// picture.
func TestCameraPhotosAreUpright(t *testing.T) {
	for name, content := range cameraPhotos(t) {
		t.Run(name, func(t *testing.T) {
			grey := strings.HasPrefix(name, "grey")
			if !tellsPlace(content) {
				t.Fatal("the photo does not tell where it was taken: the test shows nothing")
			}
			p, err := report.Shrink(bytes.NewReader(content))
			if err != nil {
				t.Fatal(err)
			}
			if wrong := notUpright(decoded(t, p.JPEG), grey); wrong != "" || tellsPlace(p.JPEG) {
				t.Errorf("made small: %s, or it tells the place", wrong)
			}
			bare, err := report.Bare(content)
			if err != nil {
				t.Fatal(err)
			}
			if tellsPlace(bare) {
				t.Error("the bare original tells the place")
			}
			if p, err = report.Shrink(bytes.NewReader(bare)); err != nil {
				t.Fatal(err)
			}
			if wrong := notUpright(decoded(t, p.JPEG), grey); wrong != "" {
				t.Errorf("the bare original: %s", wrong)
			}
		})
	}
}

// TestCameraPhotosInBuildFiles: on the paper they are upright, and neither it nor the
// ZIP tells where they were taken, unless positions were asked for.
func TestCameraPhotosInBuildFiles(t *testing.T) {
	g := newRig(t)
	var hung []rebuild.Attachment
	for name, content := range cameraPhotos(t) {
		if !strings.HasPrefix(name, "grey") {
			hung = append(hung, g.put(name, "image/jpeg", content))
		}
	}
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{Zone: "bonnet", What: "A dent", HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-05-01", Photos: hung})
	})
	small, originals := g.options(buildfile.Full), g.options(buildfile.Full)
	originals.Originals = true
	for name, content := range map[string][]byte{"redacted": g.make(g.options(buildfile.Redacted)), "small": g.make(small), "originals": g.make(originals)} {
		t.Run(name, func(t *testing.T) {
			names, of := parts(t, content)
			photos := 0
			for _, at := range names {
				if strings.HasPrefix(at, "photos/") {
					photos++
				}
				if !strings.HasPrefix(at, "data/") && tellsPlace(of[at]) {
					t.Errorf("%s tells the place", at)
				}
			}
			if photos != len(hung) {
				t.Errorf("%d photos in the ZIP, where %d hang", photos, len(hung))
			}
			onPaperUpright(t, unpacked(t, content), len(hung))
		})
	}
}

// onPaperUpright takes the pictures out of the paper with another tool.
func onPaperUpright(t *testing.T, dir string, want int) {
	t.Helper()
	tool(t, dir, "pdfimages", "-j", buildfile.PDFName, "page")
	pictures, err := filepath.Glob(filepath.Join(dir, "page*.jpg"))
	if err != nil || len(pictures) != want {
		t.Fatalf("%d pictures on the paper, where %d hang; %v", len(pictures), want, err)
	}
	for _, at := range pictures {
		content, err := os.ReadFile(at)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := notUpright(decoded(t, content), false); wrong != "" {
			t.Errorf("%s: %s", filepath.Base(at), wrong)
		}
		if tellsPlace(content) {
			t.Errorf("%s tells the place", filepath.Base(at))
		}
	}
}
