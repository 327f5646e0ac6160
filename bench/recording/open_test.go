package recording

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"wreckwright/outside"
)

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// drain reads a recording whole.
func drain(r *Recording) ([]float32, error) {
	var all []float32
	block := make([]float32, 1000)
	for {
		n, err := r.Read(block)
		all = append(all, block[:n]...)
		if errors.Is(err, io.EOF) {
			return all, nil
		}
		if err != nil {
			return all, err
		}
	}
}

// TestTones reads one tone in every form: its rate, length, level and pitch are
// known from how it was made.
func TestTones(t *testing.T) {
	tests := []struct {
		file, format string
		rate         int
		lengthS      float64
		lossy        bool
	}{
		{"tone.wav", "WAV", 8000, 0.25, false},
		{"tone24.wav", "WAV", 8000, 0.25, false},
		{"tonef.wav", "WAV", 8000, 0.25, false},
		{"tone.flac", "FLAC", 16000, 1, false},
		{"tone.ogg", "Ogg Vorbis", 44100, 1, true},
		{"tone_stereo.mp3", "MP3", 44100, 1, true},
		{"tone_low.mp3", "MP3", 16000, 1, true},
	}
	for _, tt := range tests {
		r, err := Open(bytes.NewReader(readFile(t, tt.file)))
		if err != nil {
			t.Errorf("%s: %v", tt.file, err)
			continue
		}
		x, err := drain(r)
		if err != nil || r.Format != tt.format || r.SampleRate() != tt.rate {
			t.Errorf("%s: %v, %s at %d", tt.file, err, r.Format, r.SampleRate())
			continue
		}
		slack, level := 0.0, 1e-3
		if tt.lossy {
			slack, level = 0.1, 0.03 // coders add a delay and change levels a little
		}
		if got := float64(len(x)) / float64(tt.rate); math.Abs(got-tt.lengthS) > slack {
			t.Errorf("%s: %g s, want %g", tt.file, got, tt.lengthS)
		}
		if got := amplitude(x[len(x)/4:3*len(x)/4], 1000/float64(tt.rate)); math.Abs(got-0.5) > level {
			t.Errorf("%s: amplitude at 1000 Hz %.4f, want 0.5", tt.file, got)
		}
	}
}

// amplitude is that of one frequency, cycles a sample.
func amplitude(x []float32, f float64) float64 {
	re, im := 0.0, 0.0
	for i, v := range x {
		sin, cos := math.Sincos(2 * math.Pi * f * float64(i))
		re, im = re+float64(v)*cos, im+float64(v)*sin
	}
	return 2 * math.Hypot(re, im) / float64(len(x))
}

// wavOf writes a WAVE file by its published layout.
func wavOf(coding, channels, bits uint16, announce uint32, data []byte) []byte {
	var b bytes.Buffer
	b.WriteString("RIFF")
	le := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) }
	le(uint32(36 + len(data)))
	b.WriteString("WAVEfmt ")
	le(uint32(16))
	le([]uint16{coding, channels})
	le([]uint32{8000, 8000 * uint32(channels) * uint32(bits/8)})
	le([]uint16{channels * bits / 8, bits})
	b.WriteString("LIST")
	le(uint32(3))
	b.WriteString("odd\x00data")
	le(announce)
	b.Write(data)
	return b.Bytes()
}

func TestSamplesOfWAV(t *testing.T) {
	first := func(coding, bits uint16, data string) float64 {
		r, err := Open(bytes.NewReader(wavOf(coding, 1, bits, uint32(len(data)), []byte(data))))
		if err != nil {
			t.Fatal(err)
		}
		x, err := drain(r)
		if err != nil || len(x) != 1 {
			t.Fatal(x, err)
		}
		return float64(x[0])
	}
	check := func(what string, got, want float64) outside.Case {
		return outside.Case{Source: "RIFF_1991", Where: "WAVE form", What: what, Got: got, Want: want, Why: "exact in binary"}
	}
	outside.Check(t, []outside.Case{
		check("8 bits, offset binary 192: half", first(1, 8, "\xc0"), 0.5),
		check("8 bits, 128: the middle", first(1, 8, "\x80"), 0),
		check("16 bits, 0x4000: half", first(1, 16, "\x00\x40"), 0.5),
		check("16 bits, 0x8000: lowest", first(1, 16, "\x00\x80"), -1),
		check("24 bits, 0xc00000: minus half", first(1, 24, "\x00\x00\xc0"), -0.5),
		check("32 bits, 0x40000000: half", first(1, 32, "\x00\x00\x00\x40"), 0.5),
		check("float of 32 bits, 0x3e800000: a quarter", first(3, 32, "\x00\x00\x80\x3e"), 0.25),
	})
}

func TestChannelsAreAveraged(t *testing.T) {
	r, err := Open(bytes.NewReader(wavOf(1, 2, 16, 4, []byte("\x00\x40\x00\x20"))))
	if err != nil {
		t.Fatal(err)
	}
	if x, err := drain(r); err != nil || len(x) != 1 || x[0] != 0.375 {
		t.Errorf("%v, %v, want 0.375", x, err)
	}
}

func TestFramesOfMP3(t *testing.T) {
	size := func(head string) float64 {
		n, ok := frameBytes([]byte(head))
		if !ok {
			t.Fatalf("%x is no header", head)
		}
		return float64(n)
	}
	outside.Check(t, []outside.Case{
		{Source: "ISO_11172_3", Where: "clause 2.4.2.3", What: "bytes at 128 kbit/s, 44.1 kHz, no padding", Got: size("\xff\xfb\x90\x00"), Want: 417, Why: "whole bytes: 144 * 128000 / 44100 cut off"},
		{Source: "ISO_11172_3", Where: "clause 2.4.2.3", What: "the same, padded", Got: size("\xff\xfb\x92\x00"), Want: 418, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.2.3", What: "bytes at 320 kbit/s, 48 kHz", Got: size("\xff\xfb\xe4\x00"), Want: 960, Why: "whole bytes"},
		{Source: "ISO_13818_3", Where: "clause 2.4.2.3", What: "bytes at 64 kbit/s, 22.05 kHz", Got: size("\xff\xf3\x80\x00"), Want: 208, Why: "whole bytes: 72 * 64000 / 22050 cut off"},
	})
}

// TestFrameHeads: where the side information of a frame stands, how long it is and
// how far back the frame reaches.
func TestFrameHeads(t *testing.T) {
	of := func(head string) mp3Frame {
		f, _, ok := frameOf([]byte(head))
		if !ok {
			t.Fatalf("%x is no head", head)
		}
		return f
	}
	stereo, mono, checked := of("\xff\xfb\x90\x44\xff\x80\x00\x00"), of("\xff\xfb\x90\xc4\x00\x80\x00\x00"), of("\xff\xfa\x90\x44\x12\x34\x7f\x80")
	outside.Check(t, []outside.Case{
		{Source: "ISO_11172_3", Where: "clause 2.4.1.7", What: "bytes of side information, two channels", Got: float64(stereo.side), Want: 32, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.1.7", What: "bytes of side information, one channel", Got: float64(mono.side), Want: 17, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.1.7", What: "main_data_begin: nine bits, all set", Got: float64(stereo.back), Want: 511, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.1.7", What: "main_data_begin 1", Got: float64(mono.back), Want: 1, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.1.7", What: "main_data_begin behind a check sum of 16 bits", Got: float64(checked.back), Want: 255, Why: "whole bytes"},
		{Source: "ISO_11172_3", Where: "clause 2.4.2.7", What: "farthest that main data may begin before its frame", Got: float64(mostBack), Want: 511, Why: "whole bytes"},
	})
}

func TestMistakes(t *testing.T) {
	cutAt := func(name string, share float64) []byte {
		b := readFile(t, name)
		return b[:int(share*float64(len(b)))]
	}
	tests := []struct {
		name string
		data []byte
		want string
	}{
		{"empty", nil, "is empty"},
		{"text", []byte("time;bar\n0;41\n"), "is no sound file that is known here: it begins as plain text"},
		{"picture", []byte("\x89PNG\r\n\x1a\n\x00"), "is no sound file but a PNG picture"},
		{"MP4", []byte("\x00\x00\x00\x18ftypM4A mp42"), "is an MPEG-4 file (AAC)"},
		{"Opus", []byte("OggS\x00\x02..............\x00\x00\x00\x00....\x01\x13OpusHead"), "is an Ogg Opus file"},
		{"WAV cut", cutAt("tone.wav", 0.6), "is cut: 2382 of 4000 bytes of sound are there; 0.1489 s of sound could be read"},
		{"WAV cut in its header", cutAt("tone.wav", 0.004), "is cut"},
		{"FLAC cut", cutAt("tone.flac", 0.6), "is cut"},
		{"Ogg cut", cutAt("tone.ogg", 0.8), "is cut"},
		{"MP3 cut", cutAt("tone_stereo.mp3", 0.63), "is cut"},
		{"low MP3 cut", cutAt("tone_low.mp3", 0.63), "is cut"},
		{"coding", wavOf(85, 1, 16, 2, []byte("ab")), "is WAV with coding 85 of 16 bits"},
		{"no channels", wavOf(1, 0, 16, 2, []byte("ab")), "is broken WAV"},
		{"not a number", wavOf(3, 1, 32, 4, []byte("\xff\xff\xff\xff")), "a sample that is no number"},
	}
	for _, tt := range tests {
		r, err := Open(bytes.NewReader(tt.data))
		if err == nil {
			_, err = drain(r)
		}
		var wrong *Error
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), tt.want) || wrong.Expected == "" {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.want)
		}
	}
}

// TestRecorderStoppedShort: a size that was never written means up to the end.
func TestRecorderStoppedShort(t *testing.T) {
	for _, size := range []uint32{0, math.MaxUint32} {
		r, err := Open(bytes.NewReader(wavOf(1, 1, 16, size, make([]byte, 24000))))
		if err != nil {
			t.Fatal(err)
		}
		if x, err := drain(r); err != nil || len(x) != 12000 {
			t.Errorf("%d samples, %v", len(x), err)
		}
	}
}

// TestReadingFails: a file that cannot be read on is neither whole nor broken.
func TestReadingFails(t *testing.T) {
	gone := errors.New("the card was pulled out")
	endless := wavOf(1, 1, 16, math.MaxUint32, make([]byte, 8192))
	for name, data := range map[string][]byte{
		"endless WAV": endless, "endless WAV, between two reads": endless[:len(endless)-8192],
		"WAV": readFile(t, "tone.wav")[:2000], "FLAC": readFile(t, "tone.flac")[:3000], "Ogg": readFile(t, "tone.ogg")[:5000],
		"MP3": readFile(t, "mix_vbr.mp3")[:9000], "MP3 tag": []byte("ID3\x03\x00\x00\x00\x01\x00\x00hello"), "nothing": nil,
	} {
		r, err := Open(io.MultiReader(bytes.NewReader(data), iotest.ErrReader(gone)))
		if err == nil {
			_, err = drain(r)
		}
		var wrong *Error
		if !errors.Is(err, gone) || errors.As(err, &wrong) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// FuzzOpen: whatever the bytes, samples that are numbers or an error.
func FuzzOpen(f *testing.F) {
	for _, name := range []string{"tone.wav", "tone.flac", "tone.ogg", "tone_stereo.mp3", "tone_low.mp3", "tonef.wav"} {
		b := readFile(f, name)
		f.Add(b[:min(len(b), 3000)])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Open(bytes.NewReader(data))
		if err != nil {
			return
		}
		block := make([]float32, 4096)
		for range 200 {
			n, err := r.Read(block)
			for _, v := range block[:n] {
				if v != v {
					t.Fatal("a sample that is no number")
				}
			}
			if err != nil {
				return
			}
		}
	})
}
