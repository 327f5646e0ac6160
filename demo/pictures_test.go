package demo

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "draw the pictures in content/pictures anew")

// everyPicture are all pictures that the stories show.
func everyPicture(t *testing.T) map[string]picture {
	t.Helper()
	told, err := readStories()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]picture{}
	for _, s := range told {
		for _, p := range s.pictures() {
			all[p.fileName()] = p
		}
	}
	return all
}

// TestPicturesLieReady holds the files in content/pictures to what the drawings
// draw now, and to what the stories show: none is missing, none is left over.
func TestPicturesLieReady(t *testing.T) {
	const folder = "content/pictures"
	all := everyPicture(t)
	if len(all) < 30 {
		t.Fatalf("only %d pictures", len(all))
	}
	if *update {
		writePictures(t, folder, all)
	}
	files, err := filepath.Glob(folder + "/*")
	if err != nil || len(files) != len(all) {
		t.Errorf("%d files for %d pictures (%v): run go test ./demo -update", len(files), len(all), err)
	}
	for name, p := range all {
		ready, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Errorf("%v: run go test ./demo -update", err)
			continue
		}
		drawn, err := p.drawn()
		if err != nil {
			t.Fatal(err)
		}
		if far := farOff(t, ready, drawn); far > 0.002 {
			t.Errorf("%s: %.1f %% of its pixels are not as they are drawn: run go test ./demo -update", name, 100*far)
		}
	}
}

func writePictures(t *testing.T, folder string, all map[string]picture) {
	t.Helper()
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, p := range all {
		drawn, err := p.drawn()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), drawn, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// farOff is the share of the pixels that differ by more than rounding on another
// machine makes.
func farOff(t *testing.T, a, b []byte) float64 {
	t.Helper()
	one, two := decoded(t, a), decoded(t, b)
	if one.Bounds() != two.Bounds() {
		return 1
	}
	far, all := 0, one.Bounds().Dx()*one.Bounds().Dy()
	for y := range one.Bounds().Dy() {
		for x := range one.Bounds().Dx() {
			r1, g1, b1, _ := one.At(x, y).RGBA()
			r2, g2, b2, _ := two.At(x, y).RGBA()
			if apart(r1, r2)+apart(g1, g2)+apart(b1, b2) > 24<<8 {
				far++
			}
		}
	}
	return float64(far) / float64(all)
}

func apart(a, b uint32) uint32 { return max(a, b) - min(a, b) }

func decoded(t *testing.T, file []byte) image.Image {
	t.Helper()
	got, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	return got
}
