package report

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"
)

// scene is a picture with edges, gradients and noise of odd size.
func scene(width, height int) *image.RGBA {
	dice := rand.New(rand.NewPCG(3, 4))
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			n := byte(dice.IntN(20))
			c := color.RGBA{byte(x*200/width) + n, byte(y*200/height) + n, byte(128+100*math.Sin(float64(x+y)/17)) / 2, 255}
			if (x/70+y/50)%3 == 0 {
				c = color.RGBA{200, byte(x % 256), 30, 255}
			}
			picture.SetRGBA(x, y, c)
		}
	}
	return picture
}

// TestSmallJPEGAgainstTheWhole: the picture unpacked small is the one unpacked
// whole by the library and averaged, but for what averaging and a cut-off
// frequency differ in.
func TestSmallJPEGAgainstTheWhole(t *testing.T) {
	for _, size := range []image.Point{{640, 480}, {643, 477}, {16, 16}, {9, 200}} {
		for _, grey := range []bool{false, true} {
			var picture image.Image = scene(size.X, size.Y)
			if grey {
				flat := image.NewGray(picture.Bounds())
				for y := range size.Y {
					for x := range size.X {
						flat.Set(x, y, picture.At(x, y))
					}
				}
				picture = flat
			}
			var file bytes.Buffer
			if err := jpeg.Encode(&file, picture, &jpeg.Options{Quality: 90}); err != nil {
				t.Fatal(err)
			}
			for _, points := range []int{1, 2, 4} {
				compareSmall(t, file.Bytes(), points)
			}
		}
	}
}

// compareSmall holds the brightness of each small pixel to the mean of those that
// it stands for.
func compareSmall(t *testing.T, file []byte, points int) {
	t.Helper()
	whole, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	small, ok := smallJPEG(file, points)
	size := whole.Bounds().Size()
	if !ok || small.Rect.Dx() != (size.X*points+7)/8 || small.Rect.Dy() != (size.Y*points+7)/8 {
		t.Fatalf("%v at %d eighths: %t", size, points, ok)
	}
	by := 8 / points
	var sum, n float64
	for y := range size.Y / by {
		for x := range size.X / by {
			mean := 0.0
			for i := range by * by {
				mean += brightness(whole, x*by+i%by, y*by+i/by)
			}
			off := brightness(small, x, y) - mean/float64(by*by)
			sum, n = sum+off*off, n+1
			if points == 1 && math.Abs(off) > 3 { // the mean of a block is its mean
				t.Fatalf("%v at 1 eighth: pixel %d, %d is off by %.1f", size, x, y, off)
			}
		}
	}
	if off := math.Sqrt(sum / n); off > 8 {
		t.Errorf("%v at %d eighths: off by %.1f in the mean", size, points, off)
	}
}

// brightness is the sample as the file has it, before colours are made of it.
func brightness(picture image.Image, x, y int) float64 {
	if camera, ok := picture.(*image.YCbCr); ok {
		return float64(camera.YCbCrAt(x, y).Y)
	}
	return float64(color.GrayModel.Convert(picture.At(x, y)).(color.Gray).Y)
}

// TestSmallJPEGRefuses: what is cut off or no camera's picture is unpacked the
// long way, which says what is wrong.
func TestSmallJPEGRefuses(t *testing.T) {
	var file bytes.Buffer
	if err := jpeg.Encode(&file, scene(300, 200), nil); err != nil {
		t.Fatal(err)
	}
	for _, data := range [][]byte{nil, []byte("x"), file.Bytes()[:300], file.Bytes()[:file.Len()/2], bytes.Replace(file.Bytes(), []byte{0xff, 0xc0}, []byte{0xff, 0xc2}, 1)} {
		if _, ok := smallJPEG(data, 2); ok {
			t.Errorf("%d bytes gave a picture", len(data))
		}
	}
	for longer, want := range map[int]int{900: 8, 1900: 8, 2000: 4, 4032: 2, 8000: 1, 1: 8} {
		if got := pointsFor(longer, paperSide); got != want {
			t.Errorf("%d pixels: %d points, want %d", longer, got, want)
		}
	}
}

func FuzzSmallJPEG(f *testing.F) {
	var file bytes.Buffer
	if err := jpeg.Encode(&file, scene(40, 30), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(file.Bytes(), 2)
	f.Fuzz(func(_ *testing.T, data []byte, points int) {
		if len(data) > 1<<16 {
			return
		}
		for _, p := range []int{1, 2, 4} {
			smallJPEG(data, p)
		}
		_ = points
	})
}
