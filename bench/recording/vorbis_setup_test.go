package recording

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// The headers of a file of a common encoder are walked to their end and believed;
// cut anywhere, or with a book that asks for terabytes, they are not.
func TestHeadersOfARealFile(t *testing.T) {
	data, err := os.ReadFile("testdata/tone.ogg")
	if err != nil {
		t.Fatal(err)
	}
	head, setup, err := readHeaders(bytes.NewReader(data))
	if err != nil || !bytes.HasPrefix(data, head) {
		t.Fatalf("the headers: %v", err)
	}
	if err := checkBooks(setup); err != nil {
		t.Fatalf("the books of a real file: %v", err)
	}
	if _, _, err := readHeaders(bytes.NewReader(data[:len(head)-1])); !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		t.Errorf("headers that are cut: %v", err)
	}
	// the first book stands behind "\x05vorbis", the count and its mark: 65535
	// dimensions of 2^24 - 1 entries
	for i := 12; i < 17; i++ {
		setup[i] = 0xff
	}
	if err := checkBooks(setup); !errors.Is(err, errSetup) {
		t.Errorf("a book of terabytes: %v", err)
	}
}

func TestBooksEndWhateverTheBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 400).Draw(t, "bytes")
		if err := checkBooks(append([]byte("\x05vorbis"), data...)); err != nil && !errors.Is(err, errSetup) {
			t.Fatal(err)
		}
	})
}

// The largest n with n to the power of the dimensions within the entries, by hand.
func TestLatticeValues(t *testing.T) {
	for _, k := range []struct {
		entries, dimensions uint32
		want                int
	}{{81, 4, 3}, {80, 4, 2}, {1, 1, 1}, {625, 4, 5}, {6561, 8, 3}, {0, 2, 0}, {5, 0, 0}} {
		if got := latticeValues(k.entries, k.dimensions); got != k.want {
			t.Errorf("%d entries of %d dimensions: %d, want %d", k.entries, k.dimensions, got, k.want)
		}
	}
}
