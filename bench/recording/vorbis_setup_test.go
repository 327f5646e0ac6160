package recording

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
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

// TestOggLayout holds the parts of a real file against where the specifications
// put them.
func TestOggLayout(t *testing.T) {
	data := readFile(t, "tone.ogg")
	_, setup, err := readHeaders(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	second := bytes.Index(data[1:], []byte("OggS")) + 1
	comments := bytes.Index(data, []byte("\x03vorbis"))
	outside.Check(t, []outside.Case{
		{Source: "RFC_3533", Where: "section 6", What: "the second page begins behind 27 bytes of header, one lacing value and what that says", Got: float64(second), Want: float64(27 + 1 + int(data[27])), Why: "whole bytes"},
		{Source: "RFC_3533", Where: "section 6", What: "bytes of a page's header before its lacing values", Got: float64(pageHeadBytes), Want: 27, Why: "whole bytes"},
		{Source: "RFC_3533", Where: "section 6", What: "flag of a page that goes on with a packet", Got: float64(continuedPage), Want: 1, Why: "whole bytes"},
		{Source: "VORBIS_I", Where: "section 4.2.2", What: "bytes of the identification header", Got: float64(identification), Want: 30, Why: "whole bytes"},
		{Source: "VORBIS_I", Where: "section 5.2.1", What: "the comments begin behind header and lacing values of the second page", Got: float64(comments), Want: float64(second + 27 + int(data[second+26])), Why: "whole bytes"},
		{Source: "VORBIS_I", Where: "section 4.2.4", What: "packet type of the setup header", Got: float64(int(setup[0])), Want: 5, Why: "whole bytes"},
		{Source: "VORBIS_I", Where: "section 3.2.1", What: "sync pattern of a codebook, the lowest byte first: BCV", Got: float64(int(setup[8]) | int(setup[9])<<8 | int(setup[10])<<16), Want: 0x564342, Why: "whole bytes"},
	})
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
