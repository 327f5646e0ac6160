package workshop_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// hush is an invented recording as WAV in which nothing is heard.
func hush(seconds int) *bytes.Reader {
	const rate = 8000
	var b bytes.Buffer
	n := uint32(seconds * rate)
	b.WriteString("RIFF")
	_ = binary.Write(&b, binary.LittleEndian, 36+2*n) // a Buffer takes all
	b.WriteString("WAVEfmt ")
	for _, v := range []any{uint32(16), uint16(1), uint16(1), uint32(rate), uint32(2 * rate), uint16(2), uint16(16)} {
		_ = binary.Write(&b, binary.LittleEndian, v)
	}
	b.WriteString("data")
	_ = binary.Write(&b, binary.LittleEndian, 2*n)
	noise := uint32(1)
	for range n {
		noise = noise*1664525 + 1013904223
		_ = binary.Write(&b, binary.LittleEndian, int16(noise>>25)-64)
	}
	return bytes.NewReader(b.Bytes())
}

func TestNothingHeardSaysNothing(t *testing.T) {
	heard, err := workshop.HearPump(context.Background(), hush(20), workshop.UnitSettings{})
	if err != nil || heard.Said != nil || len(heard.Runs) != 0 || len(heard.Cautions) == 0 {
		t.Errorf("%+v (%v)", heard, err)
	}
}

func TestListeningStopsWhenNobodyWaits(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := workshop.HearPump(ctx, hush(20), workshop.UnitSettings{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestWordsAreNoRecording(t *testing.T) {
	var invalid *rebuild.Invalid
	if _, err := workshop.HearPump(context.Background(), strings.NewReader("words, not sound"), workshop.UnitSettings{}); !errors.As(err, &invalid) || invalid.Problems[0].Field != "file" {
		t.Errorf("got %v", err)
	}
}
