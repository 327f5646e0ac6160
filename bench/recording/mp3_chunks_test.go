package recording

import (
	"bufio"
	"bytes"
	"errors"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// inOneGo decodes a file from its beginning to its end.
func inOneGo(data []byte) ([]float32, error) {
	in := bufio.NewReader(bytes.NewReader(data))
	if err := skipTags(in); err != nil {
		return nil, err
	}
	flow, err := newMP3Flow(nil, 0, in, new(frameCount))
	if err != nil {
		return nil, err
	}
	return drain(&Recording{Format: "MP3", rate: flow.reader.SampleRate(), decoder: flow})
}

// inChunks decodes a file in chunks of so many frames.
func inChunks(data []byte, perChunk int) ([]float32, error) {
	in := bufio.NewReader(bytes.NewReader(data))
	if err := skipTags(in); err != nil {
		return nil, err
	}
	r, err := newMP3Chunks(in, perChunk).open()
	if err != nil {
		return nil, err
	}
	return drain(r)
}

// agree holds every sample, and the mistake at the end where there is one,
// against decoding in one go.
func agree(t *testing.T, name string, data []byte, perChunk int) {
	t.Helper()
	want, wrong := inOneGo(data)
	got, err := inChunks(data, perChunk)
	if !slices.Equal(got, want) {
		t.Errorf("%s, %d frames a chunk: %d samples, want %d, from %d on others", name, perChunk, len(got), len(want), firstOther(got, want))
	}
	if (err == nil) != (wrong == nil) || err != nil && err.Error() != wrong.Error() {
		t.Errorf("%s, %d frames a chunk: %v, want %v", name, perChunk, err, wrong)
	}
}

func firstOther(a, b []float32) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// chunkFiles are whole files: joint stereo, a varying bit rate, mono, and tags about the sound.
func chunkFiles(t testing.TB) map[string][]byte {
	tone := readFile(t, "tone_stereo.mp3")
	return map[string][]byte{
		"tone": tone, "low": readFile(t, "tone_low.mp3"),
		"vbr": readFile(t, "mix_vbr.mp3"), "joint": readFile(t, "mix_joint.mp3"), "mono": readFile(t, "mix_mono.mp3"),
		"tag before":         append([]byte("ID3\x03\x00\x00\x00\x00\x00\x05hello"), tone...),
		"tag behind":         slices.Concat(tone, []byte("TAG"), make([]byte, 125)),
		"noise in between":   slices.Concat(tone[:5000], []byte("\xff\xfbno frame at all"), tone[5000:]),
		"two in one":         slices.Concat(tone, readFile(t, "mix_joint.mp3")),
		"two of other rates": slices.Concat(readFile(t, "mix_mono.mp3"), tone),
	}
}

var chunkSizes = []int{2, 5, 13, chunkFrames}

// TestChunksAreExact: however a file is cut, the samples are the very same.
func TestChunksAreExact(t *testing.T) {
	for name, data := range chunkFiles(t) {
		for _, per := range chunkSizes {
			agree(t, name, data, per)
		}
	}
}

// TestChunksReachBack: the files that chunks are tested on are cut indeed, and at
// places where the sound begins in frames before.
func TestChunksReachBack(t *testing.T) {
	for _, name := range []string{"mix_vbr.mp3", "mix_joint.mp3", "mix_mono.mp3"} {
		m := newMP3Chunks(bufio.NewReader(bytes.NewReader(readFile(t, name))), 8)
		chunks, reach := 0, 0
		for {
			c, ok := m.cut()
			if !ok {
				break
			}
			chunks++
			if c.drop > warmFrames {
				reach++
			}
		}
		if chunks < 5 || reach < 5 {
			t.Errorf("%s: %d chunks, %d reach back", name, chunks, reach)
		}
	}
}

// TestBrokenInChunks: what is cut or broken anywhere ends in the same mistake after
// the same samples.
func TestBrokenInChunks(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, name := range []string{"mix_vbr.mp3", "mix_joint.mp3", "mix_mono.mp3"} {
		whole := readFile(t, name)
		for range 14 {
			data := slices.Clone(whole)
			for range 1 + random.IntN(4) {
				data[random.IntN(len(data))] = byte(random.Uint32())
			}
			if random.IntN(2) == 0 {
				data = data[:random.IntN(len(data))]
			}
			agree(t, name, data, 2+random.IntN(12))
		}
	}
}

// TestTagOfAnyLength: a tag that claims 256 MB takes no room, and is called cut.
func TestTagOfAnyLength(t *testing.T) {
	tag := "ID3\x04\x00\x00\x7f\x7f\x7f\x7f"
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Open(strings.NewReader(tag + "hello"))
	runtime.ReadMemStats(&after)
	var wrong *Error
	if !errors.As(err, &wrong) || wrong.Problem != "is cut: of the tag before its sound 5 of 268435455 bytes are there" {
		t.Error(err)
	}
	if taken := after.TotalAlloc - before.TotalAlloc; taken > 1<<20 {
		t.Errorf("%d bytes taken", taken)
	}
}

// FuzzChunks: whatever the bytes, chunks give what decoding in one go gives.
func FuzzChunks(f *testing.F) {
	for _, data := range chunkFiles(f) {
		f.Add(data[:min(len(data), 2500)], byte(3))
	}
	f.Fuzz(func(t *testing.T, data []byte, per byte) {
		agree(t, "fuzzed", data, 2+int(per%30))
	})
}
